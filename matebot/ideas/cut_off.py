"""Cut-off line.

Definition. The attacker has one queen or rook only. The king is cut off by its rank or file when that line lies
strictly between the kings; where both do, the rank counts. Beside other men of its own, one of them at least stands on
the line or beyond it: a king is cut off from what it could help. A move of the attacker is seen when a line cuts off
after it that did not before (*sets*), or the same line cuts off still (*keeps*), or one did before and none after
(*gives up*). A line does not count when a man shields a square of it beside the weak king: there it may step over.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, in_order, lone_heavy, men_of
from matebot.records import dataclass


class CutChange(Enum):
    """What a move does to the line."""

    SETS = "sets"
    KEEPS = "keeps"
    GIVES_UP = "gives up"


@dataclass(frozen=True)
class CutOff(Idea):
    """A line that keeps the kings apart.

    Attributes
    ----------
    change : what the move does to it
    line : the line, "rank" or "file" and its name, such as "rank 5" or "file e"
    """

    kind: ClassVar[str] = "cut_off"
    change: CutChange
    line: str


def cut_off(men: Men, attacker: chess.Color) -> str | None:
    """Return the line that cuts the king off, the rank before the file; None without one."""
    piece = lone_heavy(men, attacker)
    if piece is None:
        return None
    mine, theirs = men.king(attacker), men.king(not attacker)
    others = in_order(men.of(not attacker) & ~men.kings)
    for line, name in (
        (chess.square_rank, f"rank {chess.RANK_NAMES[chess.square_rank(piece)]}"),
        (chess.square_file, f"file {chess.FILE_NAMES[chess.square_file(piece)]}"),
    ):
        here, there = line(theirs) - line(piece), line(mine) - line(piece)
        apart = here * there < 0
        if apart and (not others or any((line(other) - line(piece)) * here <= 0 for other in others)):
            return name
    return None


def _held(men: Men, attacker: chess.Color) -> str | None:
    """Return the line that cuts the king off, where no man shields a square of it beside the king."""
    name, piece = cut_off(men, attacker), lone_heavy(men, attacker)
    if name is None or piece is None:
        return None
    line = chess.square_rank if name.startswith("rank") else chess.square_file
    near = (step for step in in_order(chess.BB_KING_ATTACKS[men.king(not attacker)]) if line(step) == line(piece))
    return None if any(chess.between(piece, step) & (men.white | men.black) for step in near) else name


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> CutOff | None:
    """Return what a move of the attacker does to the cut-off line; None where there is none before and after."""
    if before.turn != attacker:
        return None
    was, now = (_held(men_of(board), attacker) for board in (before, after))
    if now is not None:
        return CutOff(CutChange.KEEPS if now == was else CutChange.SETS, now)
    return None if was is None else CutOff(CutChange.GIVES_UP, was)
