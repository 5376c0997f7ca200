"""The stages of the endings as exercises: how many there are, and their names."""

from __future__ import annotations

from matebot.method.plans import PLANS
from matebot.practice.due import COURSE
from matebot.practice.notes import Exercise
from matebot.wording.practice import exercise_name

#: How many stages each ending of the course has.
STAGES = {ending: len(PLANS[ending][0].stages) for ending in COURSE}


def title_of(exercise: Exercise) -> str:
    """Return the title of an exercise's stage; empty where there is none."""
    plans = PLANS.get(exercise.ending, ())
    stages = plans[0].stages if plans else ()
    return stages[exercise.stage - 1].title if 0 < exercise.stage <= len(stages) else ""


def name_of(exercise: Exercise) -> str:
    """Return an exercise in words, with the title of its stage."""
    return exercise_name(exercise.ending, exercise.stage, exercise.side, title_of(exercise))
