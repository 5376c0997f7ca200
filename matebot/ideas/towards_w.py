"""On the way to the W.

Definition. The attacker has a bishop and a knight only, the defender a bare king; no cage before or after, the W not
under way before (see `knights_w`), the defending king at most one step from the edge of one of the ways and at least
four from its corner along it. A move of the attacker's man brings it nearer to its square of that way: the knight by
knight's moves on an empty board to the first square of the route, the king by king's steps to its square, the bishop
(by its moves on an empty board) to its own. Of several ways the one that needs fewest moves more, then the first.
"""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.knights_w import Way, progress, ways
from matebot.ideas.squares import in_order, king_steps, men_of
from matebot.records import dataclass

#: Nearer to the corner the W is not needed.
_FAR_FROM_CORNER = 4


@dataclass(frozen=True)
class TowardsW(Idea):
    """A man on its way to its square of the W.

    Attributes
    ----------
    man, post : its kind, and its square of the W
    moves : moves it still needs on an empty board, 0 when it is there
    corner : the corner the W leads to
    shuts : the squares that the man shuts from there
    """

    kind: ClassVar[str] = "towards_w"
    man: chess.PieceType
    post: chess.Square
    moves: int
    corner: chess.Square
    shuts: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> TowardsW | None:
    """Return where on the way to the W a move of the attacker brings a man, None where it does not."""
    if before.turn != attacker or before.is_capture(move) or before.occupied_co[not attacker] & ~before.kings:
        return None
    old, new = men_of(before), men_of(after)
    routes = ways(new, attacker)
    if not routes:
        return None
    man, king = before.piece_type_at(move.from_square) or chess.PAWN, new.king(not attacker)
    nearer = []
    for by in routes:
        post = {chess.KNIGHT: by.route[0], chess.BISHOP: by.bishop}.get(man, by.king)
        was, now = moves_between(man, move.from_square, post), moves_between(man, move.to_square, post)
        if now < was and by.away(king) <= 1 and by.along(king) >= _FAR_FROM_CORNER:
            nearer.append((by, post, now))
    if not nearer or cage_mask(old, attacker) or cage_mask(new, attacker):
        return None
    if any(progress(old, attacker, by) is not None for by in routes):
        return None
    found = [TowardsW(man, post, now, by.corner, in_order(_shut(man, by))) for by, post, now in nearer]
    return min(found, key=lambda idea: idea.moves)


def _shut(man: chess.PieceType, by: Way) -> int:
    """Return the squares that a man shuts from its square of the W."""
    if man == chess.KNIGHT:
        return chess.BB_KNIGHT_ATTACKS[by.route[0]] & chess.BB_CORNERS
    if man == chess.BISHOP:
        near = chess.BB_KING_ATTACKS[by.bishop] & chess.BB_DIAG_ATTACKS[by.bishop][0]
        return sum(chess.BB_SQUARES[square] for square in in_order(near) if by.away(square) == 0)
    beside = chess.BB_KING_ATTACKS[by.king] & chess.BB_KING_ATTACKS[by.route[0]]
    return sum(chess.BB_SQUARES[square] for square in in_order(beside) if by.away(square) == 1)


def moves_between(man: chess.PieceType, start: chess.Square, goal: chess.Square) -> int:
    """Return the moves of king, bishop or knight between two squares on an empty board."""
    if man == chess.KING:
        return king_steps(start, goal)
    if man == chess.BISHOP:
        return 0 if start == goal else 1 if chess.BB_DIAG_ATTACKS[start][0] >> goal & 1 else 2
    return _knight_moves(goal)[start]


@lru_cache(maxsize=64)
def _knight_moves(goal: chess.Square) -> bytes:
    """Return the moves of a knight from each square to one: the posts are few, and asked of again and again."""
    found, reached, moves = bytearray(64), 0, 0
    edge = chess.BB_SQUARES[goal]
    while edge:
        reached |= edge
        wider = 0
        for square in in_order(edge):
            found[square] = moves
            wider |= chess.BB_KNIGHT_ATTACKS[square]
        edge, moves = wider & ~reached, moves + 1
    return bytes(found)
