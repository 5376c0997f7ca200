"""The words of whole games and of positions to play on: summaries, the table of games looked over, tasks."""

from __future__ import annotations

from collections.abc import Sequence

from matebot.wording.phrases import side
from matebot.wording.practice import ending_name, slips_counted

SUMMARY = "In sum"
SUMMARY_HEAD = ("stage", "moves", "by the method at most")
IN_ALL, NO_LADDER = "in all", "no ladder of stages"
#: Columns of the table of games looked over, each in two lines.
TABLE_HEAD = (
    ("", "ending"),
    ("", "stage"),
    ("moves of", "the attack"),
    ("moves", "lost"),
    ("moves of", "the defence"),
    ("moves", "lost"),
    ("longest", "stay"),
    ("method", "at most"),
    ("", "how it was left"),
)

#: How a stay in a stage ends.
WIN_GONE, DRAW_GONE, OTHER_ENDING, NOT_COVERED = "win gone", "draw gone", "other ending", "not covered any more"
NEXT_STAGE, BACK, MATE, STALEMATE, MOVES_END, DRAWN = "next stage", "back", "mate", "stalemate", "moves end", "drawn"
_TIMES = {1: "once", 2: "twice"}


def stage_name(ending: str, title: str) -> str:
    """Return a stage by its title, the ending where there is none."""
    return title or f"{ending_name(ending)}: {NO_LADDER}"


def most(moves: int | None) -> str:
    """Return the most moves the method takes, a dash where it has no say."""
    return "-" if moves is None else str(moves)


def lost(moves: int, unsure: int) -> str:
    """Return how many moves were lost, where of some it is not known, at least."""
    return f"at least {moves}" if unsure else str(moves)


def left(counted: Sequence[tuple[str, int]]) -> str:
    """Return how stays ended and how often."""
    return ", ".join(f"{how} {_TIMES.get(number, f'{number} times')}" for how, number in counted)


def stage_of(number: int, stages: int, title: str) -> str:
    """Return a stage with its number: ``Stage 3 of 4: from the wrong corner to the right one``."""
    return f"Stage {number} of {stages}: {title}"


def task(turn: str, attacks: bool, moves: int) -> str:
    """Say who is to do what."""
    return f"{side(turn)}, to move, {'mates' if attacks else 'is mated'} in {moves}"


def slips(whose: str, counted: Sequence[tuple[str, int]]) -> str:
    """Return the slips of a side by kind."""
    return f"Slips of the {whose}: {slips_counted(counted)}."


NO_SLIPS = "No slips."


MOST_LOST, LONGEST, MOST_GIVEN = "where most moves were lost", "the longest stage", "where most was given away"


def practise(command: str, title: str, why: str) -> list[str]:
    """Say what to practise, why, and by which command."""
    where = f" {title!r}, {why}" if title else " it" if why == LONGEST else f", {why}"
    return [f"To practise{where}:", f"  {command}"]
