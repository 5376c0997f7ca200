"""Stalemate trap.

Definition. A move *gives* stalemate when it does. A move of the attacker that does not *avoids* it when other legal
moves would. A move of the defender *sets* it when some legal reply of the attacker would.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import Men, guarded_without, in_order, men_of
from matebot.records import dataclass


class StalemateDeed(Enum):
    """What a move has to do with stalemate."""

    GIVES = "gives"
    AVOIDS = "avoids"
    SETS = "sets"


@dataclass(frozen=True)
class StalemateTrap(Idea):
    """Moves that would be stalemate.

    Attributes
    ----------
    deed : what the move does about it
    moves : the other moves, or the replies, that would be stalemate; empty where the move is
    """

    kind: ClassVar[str] = "stalemate_trap"
    deed: StalemateDeed
    moves: tuple[chess.Move, ...]


#: How many squares next to a king a man guards at most; a pawn may become a queen.
_MOST = {chess.PAWN: 5, chess.KNIGHT: 2, chess.BISHOP: 2, chess.ROOK: 4, chess.QUEEN: 5, chess.KING: 4}


def stalemating(board: chess.Board) -> Iterator[chess.Move]:
    """Yield the legal moves that stalemate the other side; the board is pushed and popped."""
    men = men_of(board)
    over = {man: _must_cover(men, man, board.turn) for man in in_order(board.occupied_co[board.turn])}
    able = sum(chess.BB_SQUARES[man] for man, squares in over.items() if squares.bit_count() <= _most(board, man))
    moves = [m for m in board.generate_legal_moves(able) if not over[m.from_square] & ~_could_cover(board, m)]
    for move in sorted(moves, key=lambda m: m.uci()):
        board.push(move)
        if not board.is_check() and not any(board.generate_legal_moves()):
            yield move
        board.pop()


def _must_cover(men: Men, man: chess.Square, attacker: chess.Color) -> int:
    """Return the squares the other king could go to if a man were taken off: all that the man must guard."""
    near = chess.BB_KING_ATTACKS[men.king(not attacker)] & ~men.of(not attacker)
    return near & ~guarded_without(men, man, attacker)


def _most(board: chess.Board, man: chess.Square) -> int:
    return _MOST[board.piece_type_at(man) or chess.PAWN]


def _could_cover(board: chess.Board, move: chess.Move) -> int:
    """Return the squares a man guards after its move if nothing stands in its way, or more."""
    kind, square = move.promotion or board.piece_type_at(move.from_square), move.to_square
    if kind == chess.KNIGHT:
        return chess.BB_KNIGHT_ATTACKS[square]
    if kind == chess.KING:
        return chess.BB_KING_ATTACKS[square]
    lines = chess.BB_RANK_ATTACKS[square][0] | chess.BB_FILE_ATTACKS[square][0]
    diagonals = chess.BB_DIAG_ATTACKS[square][0]
    return lines if kind == chess.ROOK else diagonals if kind in (chess.BISHOP, chess.PAWN) else lines | diagonals


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StalemateTrap | None:
    """Return what a move has to do with stalemate, None where nothing."""
    if not after.is_check() and not any(after.generate_legal_moves()):
        return StalemateTrap(StalemateDeed.GIVES, ())
    own = before.turn == attacker
    moves = tuple(m for m in stalemating(quick(before if own else after)) if m != move)
    if not moves:
        return None
    return StalemateTrap(StalemateDeed.AVOIDS if own else StalemateDeed.SETS, moves)
