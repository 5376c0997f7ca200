"""What falls: a man that a capture or a check wins for nothing, whatever the reply."""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.ideas.squares import after_move, gives_check, taken_for_nothing


def is_taken(board: chess.Board, square: chess.Square) -> bool:
    """Whether the side to move takes what stands on a square and cannot be taken back there."""
    return board.color_at(square) is (not board.turn) and taken_for_nothing(board, square)


def piece_falls(board: chess.Board) -> bool:
    """Whether a capture or a check wins the one piece of the side not to move, whatever the reply."""
    return piece_won_by(board)[0]


def piece_won_by(board: chess.Board) -> tuple[bool, chess.Move | None]:
    """Return the same, and the check where it is one."""
    own = board.occupied_co[not board.turn] & ~board.kings
    # Without it, it was taken or became nothing.
    if not own or is_taken(board, own.bit_length() - 1):
        return True, None
    check = _winning_check(board, own.bit_length() - 1)
    return check is not None, check


def _winning_check(board: chess.Board, square: chess.Square) -> chess.Move | None:
    """Return a check that hits the man on a square, which then falls for nothing whatever the reply; None without."""
    for check in board.generate_legal_moves():
        if gives_check(board, check):
            there = after_move(board, check)
            if not there.attackers_mask(board.turn, square) or any(there.generate_legal_captures()):
                continue  # it does not hit the man, or costs one itself
            if whatever(there, is_lost, square):
                return check
    return None


def whatever(board: chess.Board, comes: Callable[[chess.Board, chess.Square], bool], square: chess.Square) -> bool:
    """Whether something comes about a man on a square after every legal move, of which there is one."""
    replies = list(board.generate_legal_moves())
    return bool(replies) and all(comes(after_move(board, reply), square) for reply in replies)


def is_lost(board: chess.Board, square: chess.Square) -> bool:
    """Whether the man that stood on a square is taken for nothing, there or where it went."""
    own = board.occupied_co[not board.turn] & ~board.kings
    return any(is_taken(board, place) for place in chess.scan_forward(own))
