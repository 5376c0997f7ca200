"""The range of the king, said again in the plainest way."""

from __future__ import annotations

import chess

#: Where the men stand, and who attacks.
Placed = tuple[int, ...]

DISTANCE = [[chess.square_distance(a, b) for b in chess.SQUARES] for a in chess.SQUARES]
BESIDE = [[b for b in chess.SQUARES if DISTANCE[a][b] == 1] for a in chess.SQUARES]

#: What was found for placements of the men, which are asked for again and again, for either attacker.
_SHUT: dict[Placed, frozenset[int]] = {}
_RANGE: dict[Placed, frozenset[int]] = {}
_REMEMBERED = 2_000


def without_king(board: chess.Board, attacker: bool) -> chess.Board:
    bare = board.copy(stack=False)
    bare.remove_piece_at(king_of(board, not attacker))
    return bare


def king_of(board: chess.Board, colour: bool) -> int:
    (square,) = board.pieces(chess.KING, colour)
    return square


def placement(board: chess.Board, attacker: bool) -> Placed:
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens
    return *kinds, *board.occupied_co, board.occupied_co[True] & board.kings, attacker


def shut(board: chess.Board, attacker: bool) -> set[int]:
    placed = placement(board, attacker)
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
    placed = placement(board, attacker)
    if placed not in _RANGE:
        if len(_RANGE) >= _REMEMBERED:
            _RANGE.clear()
        _RANGE[placed] = frozenset(walk(king_of(board, not attacker), shut(board, attacker)))
    return set(_RANGE[placed])


def names(squares: object) -> list[str]:
    return [chess.square_name(s) for s in sorted(squares)]  # type: ignore[call-overload]
