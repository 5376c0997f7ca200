"""What is due, hardest kinds of slips first, and what comes next when nothing is. Reads no file and makes no words."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from matebot.ideas.slip_kinds import SlipKind, hardness
from matebot.method.plans import ALL_PLANS
from matebot.practice.memory import ExerciseMemory, remembered
from matebot.practice.notes import Exercise
from matebot.practice.reading import Review, SlipNote
from matebot.records import dataclass

#: Slips in so many last games of an exercise tell what is hard about it now.
_RECENT_GAMES = 5
#: The order in which endings are taught, each from its end backwards (common practice, no source): the staircase, the
#: lone queen and rook, the lone pawn and what comes of it, two minor pieces, and last the longest. A queen with a
#: second man that she does not need is no lesson of its own.
COURSE = tuple(ending for ending, plans in ALL_PLANS.items() if plans[0].in_course)


@dataclass(frozen=True, slots=True)
class ExerciseStanding:
    """How an exercise stands with a pupil.

    Attributes
    ----------
    reviews : what each game told of it, in the order of days
    kinds : kinds of slips in all games and how often
    slips : kinds of slips in the last few games and how often, the hardest first
    memory : None where no game could be graded: it is due at once
    """

    pupil: int
    exercise: Exercise
    reviews: tuple[Review, ...]
    kinds: Mapping[str, int]
    slips: tuple[tuple[str, int], ...]
    memory: ExerciseMemory | None

    def due(self, today: date) -> date:
        """Return the day on which it is due; today for what was never finished."""
        return today if self.memory is None else self.memory.due

    def is_due(self, today: date) -> bool:
        """Whether it is due today or has been before."""
        return self.due(today) <= today


def standings(reviews: Iterable[Review], slips: Iterable[SlipNote], today: date) -> list[ExerciseStanding]:
    """Return how every exercise stands with every pupil who has practised it."""
    grouped: dict[tuple[int, Exercise], list[Review]] = defaultdict(list)
    for review in reviews:
        grouped[review.pupil, review.exercise].append(review)
    seen: dict[tuple[int, Exercise], list[SlipNote]] = defaultdict(list)
    for note in slips:
        seen[note.pupil, note.exercise].append(note)
    found = []
    for (pupil, exercise), own in grouped.items():
        recent = {review.game for review in own[-_RECENT_GAMES:]}
        kinds, late = Counter[str](), Counter[str]()
        for note in seen[pupil, exercise]:
            kinds[note.slip] += note.times
            if note.game in recent:
                late[note.slip] += note.times
        graded = [(review.day, review.grade) for review in own if review.grade is not None]
        ordered = tuple(sorted(late.items(), key=lambda item: hardness(item[0])))
        found.append(ExerciseStanding(pupil, exercise, tuple(own), kinds, ordered, remembered(graded, today)))
    return found


def due_today(found: Sequence[ExerciseStanding], today: date) -> list[ExerciseStanding]:
    """Return what is due, by the hardest kind of recent slip, then by what is most likely forgotten."""
    return sorted(
        (standing for standing in found if standing.is_due(today)),
        key=lambda standing: (
            hardness(standing.slips[0][0]) if standing.slips else len(SlipKind),
            0.0 if standing.memory is None else standing.memory.chance,
            standing.exercise,
            standing.pupil,
        ),
    )


def next_new(found: Sequence[ExerciseStanding], stages: dict[str, int]) -> Exercise | None:
    """Return the first exercise of the course that a pupil has not practised, None when all have been.

    Parameters
    ----------
    found : how everything stands with this pupil
    stages : how many stages each ending of the course has, in its order
    """
    known = {standing.exercise for standing in found}
    course = (Exercise(ending, stage, "attack") for ending, last in stages.items() for stage in range(last, 0, -1))
    return next((exercise for exercise in course if exercise not in known), None)
