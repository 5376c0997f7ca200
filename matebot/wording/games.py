"""The words of whole games: the summary at the end, and the table of games looked over."""

from __future__ import annotations

from collections.abc import Sequence

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


def stage_name(ending: str, title: str) -> str:
    """Return a stage by its title, the ending where there is none."""
    return title or f"{ending_name(ending)}: {NO_LADDER}"


def most(moves: int | None) -> str:
    """Return the most moves the method takes, a dash where it has no say."""
    return "-" if moves is None else str(moves)


def slips(side: str, counted: Sequence[tuple[str, int]]) -> str:
    """Return the slips of a side by kind."""
    return f"Slips of the {side}: {slips_counted(counted)}."


NO_SLIPS = "No slips."


MOST_LOST, LONGEST, MOST_GIVEN = "where most moves were lost", "the longest stage", "where most was given away"


def practise(command: str, title: str, why: str) -> list[str]:
    """Say what to practise, why, and by which command."""
    where = f" {title!r}, {why}" if title else " it" if why == LONGEST else f", {why}"
    return [f"To practise{where}:", f"  {command}"]
