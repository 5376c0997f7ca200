"""What it comes to that squares are taken from the defending king: where it is held, or what is left to it.

Definitions, of a move that takes squares to which the king could go. It is left *no square* where it can go nowhere,
*only* one to which it can. It is *held on the edge* where it stands there, can go to the edge alone, and could go
elsewhere before. *Shut* is a line of a rook or bishop that moved to it and on which every square taken lies, two or
more. *Left* are at most three squares. Else the squares taken are named.
"""

from __future__ import annotations

from collections.abc import Sequence

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import from_edge, lines_holding
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import parse_square, rival_king

_FEW, _PAIR = 3, 2
_RANKS, _FILES = {"1": "rank 1", "8": "rank 8"}, {"a": "the a-file", "h": "the h-file"}


def taken(facts: MoveFacts, squares: Sequence[str] = ()) -> str:
    """Say what it comes to that squares are taken from the king; nothing where none are.

    Parameters
    ----------
    squares : those to be named, if not all that are taken
    """
    lost, left, king = facts.room.squares_taken, facts.room.flights, rival_king(facts)
    named = tuple(squares) or lost
    if not named or not lost:
        return ""
    if not left and not facts.gives.check:
        return f"leaves {king} no square"
    if len(left) == 1:
        return f"leaves {king} only {left[0]}"
    if held_on_edge(facts):
        return holds(facts)
    if line := _line(facts):
        return f"shuts {line} to {king}"
    if 0 < len(left) <= _FEW and len(named) > 1:
        return f"leaves {king} only {listed(left)}"
    return f"takes {listed(named)} from {king}"


def holds(facts: MoveFacts) -> str:
    """Say on which line of the edge a king is held that can go along it only."""
    line = next(
        (line for at, lines in ((1, _RANKS), (0, _FILES)) if (line := _only_line(facts, at, lines))), "the edge"
    )
    return f"holds {rival_king(facts)} on {line}"


def _only_line(facts: MoveFacts, at: int, names: dict[str, str]) -> str:
    """Return the line of the edge on which all squares of the king lie; nothing without one."""
    lines = {square[at] for square in (facts.room.king, *facts.room.flights)}
    return names.get(lines.pop(), "") if len(lines) == 1 else ""


def held_on_edge(facts: MoveFacts) -> bool:
    """Whether the king can go along the edge only, and could go elsewhere before."""
    here = (facts.room.king, *facts.room.flights)
    return not any(from_edge(parse_square(square)) for square in here) and any(
        from_edge(parse_square(square)) for square in facts.room.squares_taken
    )


def _line(facts: MoveFacts) -> str:
    """Return the line of a rook or bishop on which all squares taken lie, two or more; nothing without one."""
    lost, now = [parse_square(square) for square in facts.room.squares_taken], parse_square(facts.move[2:4])
    if facts.man.piece not in ("rook", "bishop") or len(lost) < _PAIR:
        return ""
    lines = lines_holding(sum(1 << square for square in lost), now)
    straight = [line for line in lines if line.startswith(("rank", "file")) == (facts.man.piece == "rook")]
    return line_name(straight[0]) if len(lines) == len(straight) == 1 else ""
