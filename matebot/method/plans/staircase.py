"""Two heavy men, which shut the king in on fewer and fewer ranks or files and mate it without their king."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans.shared import everywhere
from matebot.method.squares import lines_left

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: Ranks or files left to the king: half the board, and the last step of the staircase.
HALF_THE_BOARD = 4
LAST_STEP = 2


def _shut_in(lines: int) -> Callable[[Zones], Words]:
    """Return where a rank or file of one of the two men leaves the king so many lines at most."""

    def zone(zones: Zones) -> Words:
        either = [zones.black_king_by_man(man, lambda man, king: lines_left(man, king) <= lines) for man in (0, 1)]
        return zones.everywhere & (either[0] | either[1])

    return zone


def _stages(*words: tuple[str, str]) -> tuple[Stage, ...]:
    """Return the stages; `words` are the aim and the trap of each."""
    half, step, last = words
    return (
        Stage("shut off half the board", *half, everywhere, marks=(_C.MEN_SAFE,)),
        Stage(
            "climb the staircase",
            *step,
            _shut_in(HALF_THE_BOARD),
            conditions=(_C.SHUT_IN_HALF,),
            marks=(_C.NEIGHBOURING_LINES, _C.MEN_SAFE),
        ),
        Stage(
            "mate on the last step",
            *last,
            _shut_in(LAST_STEP),
            conditions=(_C.SHUT_IN_TWO,),
            marks=(_C.EDGE_HELD, _C.MEN_SAFE),
        ),
    )


KRRK = Plan(
    "staircase",
    "KRRK",
    _stages(
        (
            "put a rook on a rank or file that leaves the king at most four lines",
            "a rook next to the king that nobody guards is lost",
        ),
        (
            "one rook holds the line, the other checks on the next one; then they change their parts",
            "a rook that the king comes up to goes far away along its line first; only then comes the next check",
        ),
        (
            "hold the line next to the edge with one rook and mate along the edge with the other",
            "a rook that stands in the other's way, or next to the king, lets it out",
        ),
    ),
    heading="Mate with two rooks",
    job="Shut the king in on half the board, take one rank or file after another with checks, mate it on the last.",
    why="One rook shuts a line, the other takes the next with check: the king can only give way, and at the edge no "
    "line is left. Your own king is not needed.",
    place=10,
    in_course=True,
    figures=Figures((7, 8, 5), 12, 3.2429, 7, 3.2088, 8_325_184),
)

KQRK = Plan(
    "staircase of queen and rook",
    "KQRK",
    _stages(
        (
            "put queen or rook on a rank or file that leaves the king at most four lines",
            "a rook next to the king that nobody guards is lost, and with it the short way",
        ),
        (
            "one of the two holds the line, the other checks on the next one; then they change their parts",
            "a rook that the king comes up to goes far away along its line, or the queen guards it",
        ),
        (
            "hold the line next to the edge with one and mate along the edge with the other",
            "queen and rook together easily take every square without check: stalemate",
        ),
    ),
    heading="Mate with queen and rook",
    job="Shut the king in on half the board, take one rank or file after another with checks, mate it on the last.",
    why="One of the two shuts a line, the other takes the next with check: the king can only give way, and at the edge "
    "no line is left. Your own king is not needed.",
    place=20,
    in_course=True,
    figures=Figures((6, 6, 4), 7, 2.5363, 6, 2.5282, 6_911_296),
)

KQQK = Plan(
    "staircase of queens",
    "KQQK",
    _stages(
        (
            "put a queen on a rank or file that leaves the king at most four lines",
            "two queens that give no check often leave the king no square: stalemate",
        ),
        (
            "one queen holds the line, the other checks on the next one",
            "a queen's move that is no check must leave the king a square",
        ),
        (
            "hold the line next to the edge with one queen and mate along the edge with the other",
            "a king in the corner is stalemated before one thinks of it: give check",
        ),
    ),
    heading="Mate with two queens",
    job="Shut the king in on half the board, take the next ranks or files with checks, mate it on the last.",
    why="One queen shuts a line, the other takes the next with check. A quiet move may be stalemate.",
    place=30,
    figures=Figures((4, 4, 3), 4, 1.8601, 4, 1.8565, 5_657_120),
)

LADDERS = (KRRK, KQRK, KQQK)
