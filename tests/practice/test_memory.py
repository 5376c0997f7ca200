"""When an exercise is due follows the library's own answers; the expected dates here are asked of it directly."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from fsrs import Card, Rating, Scheduler

from matebot.ideas.slip_kinds import SlipKind
from matebot.method.plans import PLANS
from matebot.practice import course
from matebot.practice.due import COURSE, ExerciseStanding, due_today, next_new, standings
from matebot.practice.memory import HORIZON_DAYS, remembered
from matebot.practice.notes import Exercise, Grade
from matebot.practice.reading import Review, SlipNote

FIRST = date(2026, 1, 1)
FAILED, FLAWED, SLOW, CLOSE = Grade
STAGES = {"KQK": 2, "KRK": 3, "KPK": 2, "KBBK": 3, "KBNK": 4}


def asked_directly(grades: list[tuple[date, Grade]]) -> date:
    """Return the due date from the library, used as its own documentation does, one day being one day."""
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), maximum_interval=HORIZON_DAYS, enable_fuzzing=False)
    card = Card(card_id=1)
    for day, grade in grades:
        card, _ = scheduler.review_card(card, Rating(int(grade)), datetime(day.year, day.month, day.day, tzinfo=UTC))
    return card.due.date()


@pytest.mark.parametrize(
    "grades",
    [
        [(0, CLOSE)],
        [(0, FAILED)],
        [(0, FAILED), (0, FLAWED), (0, CLOSE)],
        [(0, SLOW), (2, SLOW), (13, FAILED), (15, CLOSE), (40, CLOSE)],
        [(0, CLOSE), (9, CLOSE), (300, FLAWED), (301, CLOSE)],
    ],
)
def test_an_exercise_is_due_when_the_library_says(grades: list[tuple[int, Grade]]) -> None:
    days = [(FIRST + timedelta(ahead), grade) for ahead, grade in grades]
    memory = remembered(days, days[-1][0])
    assert memory is not None
    assert memory.due == asked_directly(days)
    assert memory.last == days[-1][0]


@pytest.mark.parametrize("grade", list(Grade))
@pytest.mark.parametrize("repeated", [1, 2, 7])
def test_nothing_is_due_on_the_day_it_was_practised(grade: Grade, repeated: int) -> None:
    memory = remembered([(FIRST, grade)] * repeated, FIRST)
    assert memory is not None
    assert memory.due > FIRST


def test_a_worse_grade_brings_an_exercise_back_sooner() -> None:
    before = [(FIRST, SLOW), (FIRST + timedelta(3), SLOW)]
    due = []
    for grade in Grade:
        memory = remembered([*before, (FIRST + timedelta(15), grade)], FIRST + timedelta(15))
        assert memory is not None
        due.append(memory.due)
    assert due == sorted(set(due))


def test_what_is_known_well_comes_back_after_two_years_or_more_and_within_the_horizon() -> None:
    day, grades = FIRST, []
    for _ in range(20):
        grades.append((day, CLOSE))
        memory = remembered(grades, day)
        assert memory is not None
        longest = memory.due - day
        day = memory.due
    assert timedelta(730) < longest <= timedelta(HORIZON_DAYS)


def test_games_of_days_to_come_count_as_todays_when_the_clock_was_set_back() -> None:
    today = FIRST + timedelta(10)
    later = [(FIRST, SLOW), (date(2031, 5, 5), SLOW)]
    assert remembered(later, today) == remembered([(FIRST, SLOW), (today, SLOW)], today)


def test_what_was_never_finished_has_no_memory() -> None:
    assert remembered([], FIRST) is None


def review(exercise: Exercise, game: int, grade: Grade | None, day: date = FIRST) -> Review:
    return Review(1, game, day, exercise, "won", 5, 5, 0, grade)


def names(found: list[ExerciseStanding]) -> list[str]:
    return [standing.exercise.ending for standing in found]


def test_the_hardest_kinds_of_slips_come_first_then_what_is_most_likely_forgotten() -> None:
    exercises = [Exercise(ending, 1, "attack") for ending in ("KBBK", "KBNK", "KPK", "KQK", "KRK")]
    reviews = [review(exercise, number, FAILED) for number, exercise in enumerate(exercises)]
    reviews.append(review(exercises[4], 9, SLOW, FIRST + timedelta(1)))
    slips = [
        SlipNote(1, 0, exercises[0], SlipKind.SLOW, 9),
        SlipNote(1, 1, exercises[1], SlipKind.STALEMATE, 1),
        SlipNote(1, 2, exercises[2], SlipKind.CAGE, 2),
    ]
    today = FIRST + timedelta(30)
    found = standings(reviews, slips, today)
    assert names(due_today(found, today)) == ["KBNK", "KPK", "KBBK", "KQK", "KRK"]


def test_old_slips_do_not_count_as_what_is_hard_now() -> None:
    exercise = Exercise("KRK", 1, "attack")
    reviews = [review(exercise, number, SLOW) for number in range(6)]
    (standing,) = standings(reviews, [SlipNote(1, 0, exercise, SlipKind.MAN, 3)], FIRST)
    assert standing.slips == ()
    assert len(standing.reviews) == 6


def test_an_exercise_that_was_broken_off_is_due_at_once() -> None:
    (standing,) = standings([review(Exercise("KRK", 1, "attack"), 1, None)], [], FIRST)
    assert due_today([standing], FIRST) == [standing]


def test_the_course_begins_with_the_easiest_mate_and_its_last_stage() -> None:
    assert next_new([], course.STAGES) == Exercise("KRRK", 3, "attack")


def test_the_course_has_every_ladder_but_those_of_a_queen_with_a_second_man_she_does_not_need() -> None:
    assert set(PLANS) - set(COURSE) == {"KQQK", "KQBK", "KQNK"}
    assert tuple(course.STAGES) == COURSE


@pytest.mark.parametrize(
    ("easier", "harder"),
    [("KRRK", "KRK"), ("KQK", "KQKP"), ("KPK", "KBPK"), ("KRK", "KRKP"), ("KQKP", "KQKR"), ("KBBK", "KBNK")],
)
def test_what_an_ending_leads_to_is_taught_before_it(easier: str, harder: str) -> None:
    """Common practice, no source."""
    assert COURSE.index(easier) < COURSE.index(harder)


def test_the_course_goes_back_stage_by_stage_and_on_to_the_next_ending_and_ends() -> None:
    found: list[ExerciseStanding] = []
    order = []
    while (exercise := next_new(found, STAGES)) is not None:
        order.append((exercise.ending, exercise.stage))
        found.append(ExerciseStanding(1, exercise, (), {}, (), None))
    assert order[:4] == [("KQK", 2), ("KQK", 1), ("KRK", 3), ("KRK", 2)]
    assert len(order) == sum(STAGES.values())
    assert {ending for ending, _ in order} == set(STAGES)
