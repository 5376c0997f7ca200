"""The range of the king, said again in the plainest way."""

from __future__ import annotations

import chess

BESIDE = [[b for b in chess.SQUARES if chess.square_distance(a, b) == 1] for a in chess.SQUARES]


def without_king(board: chess.Board, attacker: bool) -> chess.Board:
    bare = board.copy(stack=False)
    for square in chess.SQUARES:
        if board.piece_at(square) == chess.Piece(chess.KING, not attacker):
            bare.remove_piece_at(square)
    return bare


def king_of(board: chess.Board, colour: bool) -> int:
    (square,) = [s for s in chess.SQUARES if board.piece_at(s) == chess.Piece(chess.KING, colour)]
    return square


def shut(board: chess.Board, attacker: bool) -> set[int]:
    bare = without_king(board, attacker)
    return {square for square in chess.SQUARES if bare.is_attacked_by(attacker, square)}


def beside(square: int) -> list[int]:
    return BESIDE[square]


def walk(start: int, closed: set[int]) -> set[int]:
    reached, todo = {start}, [start]
    while todo:
        for other in beside(todo.pop()):
            if other not in closed and other not in reached:
                reached.add(other)
                todo.append(other)
    return reached


def king_range(board: chess.Board, attacker: bool) -> set[int]:
    return walk(king_of(board, not attacker), shut(board, attacker))


def names(squares: object) -> list[str]:
    return [chess.square_name(s) for s in sorted(squares)]  # type: ignore[call-overload]
