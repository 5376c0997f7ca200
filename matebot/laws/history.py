"""The positions of a game since the last capture or pawn move, and what makes two of them the same (article 9.2.3)."""

from __future__ import annotations

from collections import Counter

import chess

Key = tuple[int, ...]


def position_key(board: chess.Board) -> Key:
    """Return what must be the same for two positions to be the same under article 9.2.3."""
    ep_square = board.ep_square if board.has_legal_en_passant() else None
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.castling_rights,
        board.turn,
        -1 if ep_square is None else ep_square,
    )


def key_after(board: chess.Board, move: chess.Move) -> Key:
    """Return the key of the position after a move that neither captures nor is a pawn's, castling rights being gone."""
    source, turn = chess.BB_SQUARES[move.from_square], board.turn
    step = source | chess.BB_SQUARES[move.to_square]
    masks = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    white = board.occupied_co[chess.WHITE]
    return *(mask ^ step if mask & source else mask for mask in masks), white ^ step if turn else white, 0, not turn, -1


def history_of(board: chess.Board) -> tuple[Counter[Key], list[chess.Board]]:
    """Count the positions since the last capture or pawn move; list those that occurred twice."""
    seen: Counter[Key] = Counter()
    seen[position_key(board)] += 1
    repeated: list[chess.Board] = []
    past = board.copy(stack=min(len(board.move_stack), max(board.halfmove_clock, 0)))
    while past.move_stack:
        past.pop()
        key = position_key(past)
        seen[key] += 1
        if seen[key] == 2:
            repeated.append(without_history(past))
    return seen, repeated


def with_history(board: chess.Board) -> chess.Board:
    """Return a copy of a board with the moves that led to it; in a long game to copy each of these takes long."""
    found = type(board).__new__(type(board))
    vars(found).update(vars(board))  # its own constructor would set up a game first
    found.occupied_co = board.occupied_co[:]
    found.move_stack, found._stack = board.move_stack[:], board._stack[:]
    return found


def without_history(board: chess.Board) -> chess.Board:
    """Return a position without its history, and without an en passant square that nobody can capture on."""
    found = board.copy(stack=False)
    if not board.has_legal_en_passant():
        found.ep_square = None
    return found
