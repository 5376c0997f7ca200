"""Guards: tied and free men.

Definition. The wall is every square a king's step from the range and not in it; each is guarded. The guards of a square
of the wall are the attacker's men, the king among them, that guard it (lines go through the defending king). A man that
alone guards a square of the wall is tied to it; a man that is tied to none is free, whether it guards any or not.

A move of the attacker shows this when a tied man moves and a square that it alone held is in the range after (*lets
go*), or when a free man moves and the range does not grow, while another is tied before it and after it, or is *freed*:
tied before it and not after it, since the man that moved, not the king, guards all that it held alone. For this the
wall counts whole where there is a cage before the move, and otherwise only its squares next to the defending king. What
is let go lies *along* the fewest lines of a queen, rook or bishop through the square it left that hold it, at most two.
"""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import Men, grown, guarding, in_order, lines_holding, men_of, range_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class Guards(Idea):
    """A move of a tied or of a free man.

    Attributes
    ----------
    man : kind of the man that moved
    let_go : squares that count, that it alone held and that are in the range after; empty for a free man
    tied : the other men that are tied before the move, and after that of a free man
    freed, held : the first man that is freed, and what it held alone; both empty without one
    along : lines that hold what is let go, such as "rank 5", "file e" or "diagonal a2-g8"; empty without
    """

    kind: ClassVar[str] = "guards"
    man: chess.PieceType
    let_go: Squares
    tied: Squares
    along: tuple[str, ...]
    freed: Squares = ()
    held: Squares = ()


def guards(board: chess.Board, attacker: chess.Color) -> dict[chess.Square, tuple[chess.Square, ...]]:
    """Return each square of the wall, a1 first, with the men that guard it, a1 first."""
    men = men_of(board)
    reach = guarding(men, attacker)
    wall = in_order(wall_mask(men, attacker))
    return {square: tuple(man for man, over in reach if over >> square & 1) for square in wall}


def tied(board: chess.Board, attacker: chess.Color) -> dict[chess.Square, tuple[chess.Square, ...]]:
    """Return each tied man with the squares that it alone guards."""
    return {man: in_order(alone) for man, alone in tied_masks(men_of(board), attacker) if alone}


def free(board: chess.Board, attacker: chess.Color) -> chess.SquareSet:
    """Return the attacker's free men."""
    return chess.SquareSet(man for man, alone in tied_masks(men_of(board), attacker) if not alone)


@lru_cache(maxsize=1024)
def wall_mask(men: Men, attacker: chess.Color) -> int:
    """Return the wall as bits."""
    inside = range_mask(men, attacker)
    return grown(inside) & ~inside


@lru_cache(maxsize=1024)
def tied_masks(men: Men, attacker: chess.Color) -> tuple[tuple[chess.Square, int], ...]:
    """Return each man of the attacker with the squares of the wall that it alone guards, as bits."""
    once = twice = 0
    for _, over in guarding(men, attacker):
        twice |= once & over
        once |= over
    single = wall_mask(men, attacker) & ~twice
    return tuple((man, over & single) for man, over in guarding(men, attacker))


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Guards | None:
    """Return whether a tied man lets go of a square, or a free man moves; None otherwise."""
    if before.turn != attacker:
        return None
    old, new = men_of(before), men_of(after)
    counts = chess.BB_ALL if cage_mask(old, attacker) else chess.BB_KING_ATTACKS[old.king(not attacker)]
    alone = {man: held & counts for man, held in tied_masks(old, attacker)}
    others = tuple(man for man, held in alone.items() if held and man != move.from_square)
    man = before.piece_type_at(move.from_square) or chess.PAWN
    held, now = alone[move.from_square], range_mask(new, attacker)
    if held:
        slides = chess.BB_SQUARES[move.from_square] & (old.bishops | old.rooks | old.queens)
        along = lines_holding(held & now, move.from_square) if slides else ()
        return Guards(man, in_order(held & now), others, along) if held & now else None
    if not others or now.bit_count() > range_mask(old, attacker).bit_count():
        return None
    still = {other for other, over in tied_masks(new, attacker) if over & counts}
    over = 0 if man == chess.KING else dict(guarding(new, attacker))[move.to_square]
    freed = tuple(other for other in others if other not in still and not alone[other] & ~over)[:1]
    tied = tuple(other for other in others if other in still)
    if not tied and not freed:
        return None
    return Guards(man, (), tied, (), freed, in_order(alone[freed[0]]) if freed else ())
