"""Two heavy men, which shut the king in on fewer and fewer ranks or files and mate it without their king."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import everywhere
from matebot.method.squares import lines_left
from matebot.method.zones import Zones
from matebot.solver.geometry import Words

#: Ranks or files left to the king: half the board, and the last step of the staircase.
HALF_THE_BOARD = 4
LAST_STEP = 2


def _shut_in(lines: int) -> Callable[[Zones], Words]:
    """Return where a rank or file of one of the two men leaves the king so many lines at most."""

    def zone(zones: Zones) -> Words:
        either = [zones.black_king_by_man(man, lambda man, king: lines_left(man, king) <= lines) for man in (0, 1)]
        return zones.everywhere & (either[0] | either[1])

    return zone


def _staircase(name: str, ending: str, words: tuple[tuple[str, str], tuple[str, str], tuple[str, str]]) -> Plan:
    """Return the ladder of two heavy men; `words` are the aim and the trap of each stage."""
    zones = (everywhere, _shut_in(HALF_THE_BOARD), _shut_in(LAST_STEP))
    titles = ("shut off half the board", "climb the staircase", "mate on the last step")
    stages = (Stage(title, *said, zone) for title, said, zone in zip(titles, words, zones, strict=True))
    return Plan(name, ending, tuple(stages))


KRRK = _staircase(
    "staircase",
    "KRRK",
    (
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
)

KQRK = _staircase(
    "staircase of queen and rook",
    "KQRK",
    (
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
)

KQQK = _staircase(
    "staircase of queens",
    "KQQK",
    (
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
)

LADDERS = (KRRK, KQRK, KQQK)
