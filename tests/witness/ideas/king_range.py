"""The range of the king, said again in the plainest way."""

from __future__ import annotations

import chess

BESIDE = [[b for b in chess.SQUARES if chess.square_distance(a, b) == 1] for a in chess.SQUARES]


#: What was found for placements of the men, which are asked for again and again, for either attacker.
_SHUT: dict[tuple[str, bool], frozenset[int]] = {}
_REMEMBERED = 500


def without_king(board: chess.Board, attacker: bool) -> chess.Board:
    bare = board.copy(stack=False)
    bare.remove_piece_at(king_of(board, not attacker))
    return bare


def king_of(board: chess.Board, colour: bool) -> int:
    (square,) = board.pieces(chess.KING, colour)
    return square


def shut(board: chess.Board, attacker: bool) -> set[int]:
    placed = board.board_fen(), attacker
    if placed not in _SHUT:
        if len(_SHUT) >= _REMEMBERED:
            _SHUT.clear()
        bare = without_king(board, attacker)
        _SHUT[placed] = frozenset(square for square in chess.SQUARES if bare.is_attacked_by(attacker, square))
    return set(_SHUT[placed])


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
