"""The stages of the endings as exercises: how many there are, and their names."""

from __future__ import annotations

from matebot.method.plans import ALL_PLANS
from matebot.practice.due import COURSE
from matebot.practice.notes import Exercise
from matebot.wording.practice import exercise_name

#: Titles of the stages of every ending with a ladder, of the ladder the engine follows.
TITLES = {ending: tuple(stage.title for stage in plans[0].stages) for ending, plans in ALL_PLANS.items()}
#: How many stages each ending of the course has, in its order.
STAGES = {ending: len(TITLES[ending]) for ending in COURSE}


def title_of(exercise: Exercise) -> str:
    """Return the title of an exercise's stage; empty where there is none."""
    titles = TITLES.get(exercise.ending, ())
    return titles[exercise.stage - 1] if 0 < exercise.stage <= len(titles) else ""


def name_of(exercise: Exercise) -> str:
    """Return an exercise in words, with the title of its stage."""
    return exercise_name(exercise.ending, exercise.stage, exercise.side, title_of(exercise))
