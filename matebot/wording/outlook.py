"""What is beside the single move: the stage's aim, what to expect, the trap to avoid, the count of the game."""

from __future__ import annotations

from collections.abc import Sequence

from matebot.method.facts import Standing
from matebot.wording.phrases import counted, listed, sentence


def heading(standing: Standing) -> str:
    """Return the title of a stage: ``Stage 2 of 4: drive the king to the edge``."""
    return f"Stage {standing.stage} of {standing.stages}: {standing.title}"


def aim(standing: Standing) -> str:
    """Return what the attacker wants in a stage, and how far it is by the method."""
    return sentence(f"aim: {standing.aim}")


def trap(standing: Standing) -> str:
    """Return what to beware of in a stage."""
    return sentence(f"beware: {standing.trap}")


def by_method(standing: Standing, mate_plies: int, attacker_to_move: bool) -> str:
    """Return how the method compares with the shortest mate."""
    shortest = (mate_plies + 1) // 2 if attacker_to_move else mate_plies // 2
    if standing.moves == shortest:
        return sentence(f"the method mates in {standing.moves}, as fast as can be")
    return sentence(f"the method mates in {standing.moves}, the shortest way in {shortest}")


def expected(moves: Sequence[str]) -> str:
    """Return the moves to expect (SAN), best play on both sides."""
    return sentence(f"expect {' '.join(moves)}")


def tally(lost: int, left: int, at_least: bool = False) -> str:
    """Return the running count for a side: moves lost so far, moves left under the fifty-move rule.

    `at_least` tells that of some moves it is not known what they lost.
    """
    least = "at least " if at_least else ""
    return sentence(f"so far {least}{counted(lost, 'move')} lost; the fifty-move rule leaves {counted(left, 'move')}")


def without_ladder(ending: str) -> str:
    """Say that an ending has no ladder."""
    return sentence(f"there is no ladder of stages for {ending}: moves are explained by outcome and distance")


def repeatable(seed: int) -> str:
    """Say by which seed the changing defence can be repeated."""
    return f"changing defence with seed {seed}"


def good_word(moves: Sequence[str]) -> str:
    """Return a short word for a good move."""
    return f"{listed(moves)}: good"
