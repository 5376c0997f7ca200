"""Whether the defending king is shut in a cage, by the same definition as anywhere in the program.

The attacker's men stand still; the king may go wherever no man of the attacker and not its king guards, sliders
seeing through the defending king. Its range is a cage when it has at most 14 squares and lies no farther from a corner
in which mate can be forced than from any other.
"""

from __future__ import annotations

import chess

_LARGEST = 14
_CORNERS = (chess.A1, chess.A8, chess.H1, chess.H8)


def is_shut_in(board: chess.Board, attacker: chess.Color) -> bool:
    """Whether the king of the side that defends is in a cage."""
    reach = _range(board, attacker)
    right = _forcing_corners(board, attacker)
    if not right or len(reach) > _LARGEST:
        return False
    wrong = [corner for corner in _CORNERS if corner not in right]
    return _distance(reach, right) <= _distance(reach, wrong)


def _range(board: chess.Board, attacker: chess.Color) -> set[chess.Square]:
    still = board.copy(stack=False)
    king = still.king(not attacker)
    assert king is not None
    still.remove_piece_at(king)
    reach, border = {king}, [king]
    while border:
        for square in chess.SquareSet(chess.BB_KING_ATTACKS[border.pop()]):
            own = still.color_at(square) == (not attacker)
            if square not in reach and not own and not still.is_attacked_by(attacker, square):
                reach.add(square)
                border.append(square)
    return reach


def _forcing_corners(board: chess.Board, attacker: chess.Color) -> list[chess.Square]:
    own = board.occupied_co[attacker]
    bishops = board.bishops & own
    light, dark = bishops & chess.BB_LIGHT_SQUARES, bishops & chess.BB_DARK_SQUARES
    if (board.queens | board.rooks) & own or (light and dark):
        return list(_CORNERS)
    if bishops and board.knights & own:
        colour = chess.BB_LIGHT_SQUARES if light else chess.BB_DARK_SQUARES
        return [corner for corner in _CORNERS if chess.BB_SQUARES[corner] & colour]
    return []


def _distance(reach: set[chess.Square], corners: list[chess.Square]) -> int:
    return min((chess.square_distance(a, b) for a in reach for b in corners), default=9)
