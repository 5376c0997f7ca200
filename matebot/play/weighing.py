"""What a position with few men looks like, in hundredths of a pawn: an estimate, never a truth.

Values of the men and rules of thumb are those of any textbook (from memory): the rule of the square, key squares, the
king in front of its pawn, the bishop of the wrong colour, the bare king driven to the edge.
"""

from __future__ import annotations

import chess

WEIGHT: dict[chess.PieceType, int] = {
    chess.PAWN: 100,
    chess.KNIGHT: 320,
    chess.BISHOP: 330,
    chess.ROOK: 500,
    chess.QUEEN: 900,
}
#: What a pawn is worth more with each step it has made, and once it cannot be stopped.
_ADVANCE = (0, 0, 5, 15, 40, 90, 180, 0)
_UNSTOPPABLE, _STEP = 520, 12
_KEY_SQUARE, _NEARER = 260, 14
#: Without pawns a side needs this much more to win.
_WINNING = 400
_TO_EDGE, _KINGS_NEAR = 12, 6


def weigh(board: chess.Board) -> int:
    """Return the estimate for the side to move; there are no more than three men beside the kings."""
    white = _men(board, chess.WHITE) - _men(board, chess.BLACK)
    if not board.pawns and abs(white) < _WINNING:
        white = int(white / 8)
    elif not board.pawns and not board.bishops | board.rooks | board.queens:
        white = int(white / 8)  # two knights
    if white:
        winner = white > 0
        drive = _driven(board, not winner)
        white += drive if winner else -drive
    return white if board.turn else -white


def _men(board: chess.Board, side: chess.Color) -> int:
    own = board.occupied_co[side]
    total = (
        320 * chess.popcount(board.knights & own)
        + 330 * chess.popcount(board.bishops & own)
        + 500 * chess.popcount(board.rooks & own)
        + 900 * chess.popcount(board.queens & own)
    )
    for square in chess.scan_forward(board.pawns & own):
        total += _pawn(board, square, side)
    return total


def _pawn(board: chess.Board, square: chess.Square, side: chess.Color) -> int:
    """Return what a pawn is worth, where it stands and as the kings stand to it."""
    file, rank = square & 7, square >> 3
    done = rank if side else 7 - rank
    last = file + (56 if side else 0)
    own_king, other_king = board.king(side), board.king(not side)
    assert own_king is not None
    assert other_king is not None
    steps = 7 - done - (done == 1)
    value = WEIGHT[chess.PAWN] + _ADVANCE[done]
    ahead = square + (8 if side else -8)
    value += _NEARER * (chess.square_distance(other_king, ahead) - chess.square_distance(own_king, ahead))
    others = board.occupied_co[not side] & ~board.kings
    if others & ~board.pawns:
        return value
    if _runs(board, square, side, steps, last, own_king, other_king):
        return value + _UNSTOPPABLE - _STEP * steps
    helpers = board.occupied_co[side] & ~board.kings & ~board.pawns
    if helpers:
        return _beside_bishop(board, value, last, other_king)
    if not others and _on_key_square(own_king, file, done, side):
        return value + _KEY_SQUARE
    return value


def _runs(
    board: chess.Board,
    square: chess.Square,
    side: chess.Color,
    steps: int,
    last: chess.Square,
    own_king: chess.Square,
    other_king: chess.Square,
) -> bool:
    """Whether no king can stop a pawn: the rule of the square, its own king and others out of its way."""
    file = chess.BB_FILES[square & 7]
    way = file & (_above(square) if side else ~_above(square) & ~chess.BB_SQUARES[square])
    if way & board.occupied:
        return False
    reach = chess.square_distance(other_king, last) - (board.turn != side)
    guarded = chess.square_distance(own_king, last) <= 1 and chess.square_distance(own_king, square) <= 1
    return reach > steps or guarded


def _above(square: chess.Square) -> int:
    return chess.BB_ALL << (square + 1)


def _on_key_square(king: chess.Square, file: int, done: int, side: chess.Color) -> bool:
    """Whether a king stands on a key square of its pawn, against a bare king: two ranks ahead, later one."""
    rank = king >> 3 if side else 7 - (king >> 3)
    if file in (0, 7):
        return rank >= 6 and (king & 7) == (1 if file == 0 else 6)
    ahead = rank - done
    near = abs((king & 7) - file) <= 1
    return near and (ahead >= 2 or (done >= 4 and ahead >= 1))


def _beside_bishop(board: chess.Board, value: int, last: chess.Square, king: chess.Square) -> int:
    """Lower a rook's pawn whose bishop does not guard the corner, the nearer the king that holds it."""
    if not board.bishops or last & 7 not in (0, 7):
        return value
    dark = bool(board.bishops & chess.BB_DARK_SQUARES)
    if dark == bool(chess.BB_SQUARES[last] & chess.BB_DARK_SQUARES):
        return value
    return value - WEIGHT[chess.BISHOP] - 60 * max(0, 5 - chess.square_distance(king, last))


def _driven(board: chess.Board, side: chess.Color) -> int:
    """Return how far a king is driven to the edge, and how near the other king is."""
    king, other = board.king(side), board.king(not side)
    assert king is not None
    assert other is not None
    file, rank = king & 7, king >> 3
    edge = max(3 - min(file, 7 - file), 3 - min(rank, 7 - rank))
    return _TO_EDGE * edge + _KINGS_NEAR * (7 - chess.square_distance(king, other))
