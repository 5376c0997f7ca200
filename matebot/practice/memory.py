"""When an exercise is due again: the grades of its games, in the order of days, given to a model of memory.

The model is that of the library `fsrs`, with its own parameters, without its short steps within a day and without
chance: intervals are whole days. It is asked in calendar days of the pupil (each at noon), so neither the time of day
nor a change of time zone matters. Nothing of its state is kept: it follows from the games.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from matebot.practice.notes import Grade
from matebot.records import dataclass

if TYPE_CHECKING:
    from fsrs import Card, Rating, Scheduler

#: The longest time until an exercise is due again: four years.
HORIZON_DAYS = 1461
#: The model aims at this chance that an exercise is still known on the day it is due.
WANTED_CHANCE = 0.9
#: Exercises whose cards are kept.
_KEPT = 256


@dataclass(frozen=True, slots=True)
class ExerciseMemory:
    """What the model says of one exercise.

    Attributes
    ----------
    last, due : days, both by the pupil's calendar
    chance : that it is still known today
    """

    last: date
    due: date
    chance: float


def remembered(grades: Iterable[tuple[date, Grade]], today: date) -> ExerciseMemory | None:
    """Return what is left of the games graded so, given in the order of days; None without any.

    A day after today (the clock has been set back) counts as today.
    """
    card = _card(tuple((min(day, today), grade) for day, grade in grades))
    if card.last_review is None:
        return None
    chance = _scheduler().get_card_retrievability(card, _noon(today))
    return ExerciseMemory(card.last_review.date(), card.due.date(), chance)


@lru_cache(_KEPT)
def _card(grades: tuple[tuple[date, Grade], ...]) -> Card:
    """Return what has become of a new card; from one game to the next most exercises stay as they were."""
    scheduler, ratings, card = _scheduler(), _ratings(), _mutable()(card_id=1)
    for day, grade in grades:
        card, _ = scheduler.review_card(card, ratings[grade], _noon(day))
    return card


@cache
def _scheduler() -> Scheduler:
    from fsrs import Scheduler

    return Scheduler(
        desired_retention=WANTED_CHANCE,
        learning_steps=(),
        relearning_steps=(),
        maximum_interval=HORIZON_DAYS,
        enable_fuzzing=False,
    )


@cache
def _ratings() -> dict[Grade, Rating]:
    from fsrs import Rating

    return {grade: Rating(int(grade)) for grade in Grade}


@cache
def _mutable() -> type[Card]:
    from fsrs import Card

    class Mutable(Card):
        """A card that the library changes in place: it copies one at every step, a third of the time it takes."""

        def __copy__(self) -> Card:
            return self

    return Mutable


@cache
def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)
