"""The stages of the endings as exercises: how many there are, and their names.

The titles stand here once more, a test holds them against the ladders: a list of what is due should be there at once,
and the ladders take the solver with them.
"""

from __future__ import annotations

from matebot.practice.due import COURSE
from matebot.practice.notes import Exercise
from matebot.wording.practice import exercise_name

TITLES = {
    "KBNK": (
        "gather in the centre",
        "drive the king to the edge",
        "from the wrong corner to the right one",
        "mate in the right corner",
    ),
    "KBBK": (
        "gather in the centre",
        "drive the king to the edge",
        "along the edge to a corner",
        "mate in the corner",
    ),
    "KRK": (
        "cut the king off",
        "shrink the box",
        "push it to the edge",
        "mate on the edge",
    ),
    "KQK": (
        "confine the king to the edge",
        "bring the king",
        "mate",
    ),
    **dict.fromkeys(
        ("KRRK", "KQRK", "KQQK"),
        (
            "shut off half the board",
            "climb the staircase",
            "mate on the last step",
        ),
    ),
    **dict.fromkeys(
        ("KQBK", "KQNK"),
        (
            "confine the king to the edge",
            "bring a helper",
            "mate",
        ),
    ),
    **dict.fromkeys(("KBPK", "KNPK"), ("guard the pawn", "lead the king in", "promote")),
    "KPK": (
        "reach a key square",
        "escort the pawn",
        "promote",
    ),
    "KQKP": (
        "hold the pawn",
        "bring the king",
        "win the pawn",
    ),
    "KRKP": (
        "cut the king off",
        "bring the king",
        "win the pawn",
    ),
    "KQKR": (
        "bring the king to the centre",
        "drive the king to the edge",
        "make the rook leave",
        "win the rook",
    ),
    "KRPKR": (
        "put the rook on the fourth rank",
        "bring the king out",
        "walk down to the rook",
        "build the bridge",
    ),
}
#: How many stages each ending of the course has, in its order.
STAGES = {ending: len(TITLES[ending]) for ending in COURSE}


def title_of(exercise: Exercise) -> str:
    """Return the title of an exercise's stage; empty where there is none."""
    titles = TITLES.get(exercise.ending, ())
    return titles[exercise.stage - 1] if 0 < exercise.stage <= len(titles) else ""


def name_of(exercise: Exercise) -> str:
    """Return an exercise in words, with the title of its stage."""
    return exercise_name(exercise.ending, exercise.stage, exercise.side, title_of(exercise))
