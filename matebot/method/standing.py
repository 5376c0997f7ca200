"""Where a won position stands in one ladder, in the words a pupil is told."""

from __future__ import annotations

from dataclasses import dataclass

from matebot.method.ladder import Rung


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a won position stands in one ladder.

    Attributes
    ----------
    ladder : name of the ladder
    stage : number of the stage, 1 the first
    stages : how many the ladder has
    title, aim, trap : the stage in the trade's words
    moves : the attacker's moves to mate by the method against the longest defence
    """

    ladder: str
    stage: int
    stages: int
    title: str
    aim: str
    trap: str
    moves: int
    rung: Rung
