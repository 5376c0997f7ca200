"""Minor piece against pawn: a lone bishop or knight, which cannot mate, against a lone pawn that does not get through.

It is seen how the pawn is held now: it can be taken at once for nothing; by squares of its way that the piece guards or
stands on, without one that the pawn steps over from home; or by the king inside the pawn's square, nearer to promotion
than the pawn's king. Else how it is held next,
the piece's side to move: the piece *gives itself* for the pawn, which is guarded; or it *comes*, by a move to a square
on which nothing takes it, to guard or stand on squares of that way. None of these need be so where it takes longer.
The king holds *alone* where the pawn does not win with the piece taken off the board.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import kinds, king, men, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import after_move, pawn_way
from matebot.records import dataclass

#: Ranks to go for a pawn that may step over a square.
_FROM_HOME = 6


@dataclass(frozen=True)
class MinorStopsPawn(Idea):
    """How the pawn is stopped.

    Attributes
    ----------
    minor, held : the kind of the minor piece, and the squares of the pawn's way it guards or blocks
    king_near : whether its king is near
    takes : kind of the man that takes the pawn, the piece before the king; None where none can
    gives : whether the piece can give itself for it
    comes : the moves by which it comes to hold it
    king_alone : whether its king holds the pawn without it
    """

    kind: ClassVar[str] = "minor_stops_pawn"

    minor: chess.PieceType
    held: tuple[chess.Square, ...]
    king_near: bool
    takes: chess.PieceType | None
    gives: bool
    comes: tuple[chess.Move, ...]
    king_alone: bool


def seen(board: chess.Board, attacker: chess.Color, is_drawn: Callable[[chess.Board], bool]) -> MinorStopsPawn | None:
    """Return how a lone minor piece, the attacker's, stops the other side's only man, a pawn."""
    own, theirs = men(board, attacker), men(board, not attacker)
    if kinds(board, attacker) not in ((chess.KNIGHT,), (chess.BISHOP,)) or kinds(board, not attacker) != (chess.PAWN,):
        return None
    minor, pawn = own[0][1], theirs[0][1]
    goal = promotion_square(pawn, not attacker)
    held = chess.SquareSet(_holds(board, minor, pawn, not attacker))
    late = ranks_to_go(pawn, not attacker) + (board.turn == attacker)
    steps = chess.square_distance(king(board, attacker), goal)
    near = steps <= late and steps < chess.square_distance(king(board, not attacker), goal)
    steps_of = [move for move in board.legal_moves if move.from_square == minor] if board.turn == attacker else []
    gives = any(move.to_square == pawn for move in steps_of)
    comes = sorted((m for m in steps_of if _comes(after_move(board, m), m.to_square, pawn)), key=chess.Move.uci)
    takes, alone = _takes(board, attacker), _holds_alone(board, minor, attacker, is_drawn)
    return MinorStopsPawn(own[0][0], tuple(held), near, takes, gives, tuple(comes), alone)


def _holds_alone(
    board: chess.Board, minor: chess.Square, attacker: chess.Color, is_drawn: Callable[[chess.Board], bool]
) -> bool:
    bare = quick(board)
    bare.remove_piece_at(minor)
    # The pawn's side is now the stronger one: with the colours exchanged it is asked of the right side.
    if bare.turn != attacker:
        return is_drawn(bare.mirror())
    replies = [after_move(bare, move) for move in bare.legal_moves]
    return any(not after.pawns or is_drawn(after.mirror()) for after in replies) if replies else not bare.is_check()


def _holds(board: chess.Board, minor: chess.Square, pawn: chess.Square, white: chess.Color) -> chess.Bitboard:
    way = pawn_way(pawn, white)
    if ranks_to_go(pawn, white) == _FROM_HOME:
        step = pawn + (8 if white else -8)
        over = chess.BB_SQUARES[step]
        if not board.occupied & (over | chess.BB_SQUARES[2 * step - pawn]):
            way &= ~over
    return way & (board.attacks_mask(minor) | chess.BB_SQUARES[minor])


def _comes(after: chess.Board, minor: chess.Square, pawn: chess.Square) -> bool:
    return bool(_holds(after, minor, pawn, after.turn)) and not any(
        after.generate_legal_moves(to_mask=chess.BB_SQUARES[minor])
    )


def _takes(board: chess.Board, attacker: chess.Color) -> chess.PieceType | None:
    """Return the kind of the man that takes the pawn so that nothing is taken in its turn."""
    found = list[chess.PieceType]()
    for move in board.generate_legal_captures() if board.turn == attacker else ():
        after = after_move(board, move)
        if not any(after.generate_legal_captures()):
            found.append(board.piece_type_at(move.from_square) or chess.KING)
    return min(found, default=None)
