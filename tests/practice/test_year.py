"""A year of practice by a pupil who forgets: due dates are the library's, and what is forgotten comes back sooner."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from statistics import mean

import pytest
from fsrs import Card, Rating, Scheduler

from matebot.practice.memory import HORIZON_DAYS
from matebot.practice.notes import Exercise, Grade
from matebot.practice.record import Record
from tests.practice.year import STAGES, Session, year


@pytest.fixture(scope="module")
def sessions(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Session]]:
    record = Record(tmp_path_factory.mktemp("year") / "record.sqlite", lambda text: None)
    yield list(year(record))
    record.close()


def test_every_due_date_of_the_year_is_the_librarys_own_answer(sessions: list[Session]) -> None:
    scheduler = Scheduler(learning_steps=(), relearning_steps=(), maximum_interval=HORIZON_DAYS, enable_fuzzing=False)
    cards: dict[Exercise, Card] = {}
    for session in sessions:
        expected = {exercise for exercise, card in cards.items() if card.due.date() <= session.day}
        assert set(session.due) == expected, session.day
        for exercise, grade in session.practised:
            day = datetime(session.day.year, session.day.month, session.day.day, tzinfo=UTC)
            cards[exercise], _ = scheduler.review_card(cards.get(exercise) or Card(card_id=1), Rating(int(grade)), day)
    assert len(sessions) == 200
    assert len(cards) == sum(STAGES.values())


def test_nothing_is_practised_as_due_twice_on_a_day(sessions: list[Session]) -> None:
    for session in sessions:
        exercises = [exercise for exercise, _ in session.practised]
        assert len(set(exercises)) == len(exercises), session.day
    assert any(len(session.practised) > 1 for session in sessions)


def test_what_was_forgotten_comes_back_sooner(sessions: list[Session]) -> None:
    pauses: dict[Grade, list[int]] = defaultdict(list)
    last: dict[Exercise, tuple[date, Grade]] = {}
    for session in sessions:
        for exercise, grade in session.practised:
            if exercise in last:
                day, before = last[exercise]
                pauses[before].append((session.day - day) // timedelta(1))
            last[exercise] = session.day, grade
    means = [mean(pauses[grade]) for grade in Grade]
    # Between the middle grades the pauses depend on how old an exercise was; see test_memory for equal histories.
    assert min(means) == means[0]
    assert max(means) == means[3]
    assert means[0] * 3 < means[3]


def test_the_course_comes_to_its_end_within_the_year(sessions: list[Session]) -> None:
    practised = {exercise for session in sessions for exercise, _ in session.practised}
    assert {exercise.ending for exercise in practised} == set(STAGES)
