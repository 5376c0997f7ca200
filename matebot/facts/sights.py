"""What can be seen on a board: squares of a king, walls, routes, boxes, oppositions; no values, no method."""

from __future__ import annotations

from itertools import pairwise

import chess

from matebot.method.field import box_squares, from_edge, key_squares, king_steps, right_corners

_RANK_NAMES = ("1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th")
#: The knight's route along an edge to a corner, as (steps from the corner along the edge, steps from the edge).
W_ROUTE = ((5, 1), (4, 3), (3, 1), (2, 3), (1, 1))


def king_square(board: chess.Board, colour: chess.Color) -> chess.Square:
    """Return the square of a king."""
    square = board.king(colour)
    assert square is not None
    return square


def kings_apart(board: chess.Board) -> int:
    """Return the king moves between the kings."""
    return king_steps(king_square(board, chess.WHITE), king_square(board, chess.BLACK))


def flights(board: chess.Board, colour: chess.Color) -> frozenset[chess.Square]:
    """Return the squares a king could go to if it were its side's turn."""
    king = king_square(board, colour)
    occupied = board.occupied & ~chess.BB_SQUARES[king]
    free = chess.SquareSet(chess.BB_KING_ATTACKS[king] & ~board.occupied_co[colour])
    return frozenset(s for s in free if not _attacked(board, not colour, s, occupied))


def _attacked(board: chess.Board, by: chess.Color, square: chess.Square, occupied: int) -> bool:
    return bool(board.attackers_mask(by, square, occupied) & ~chess.BB_SQUARES[square])


def loose_men(board: chess.Board, colour: chess.Color) -> tuple[chess.Square, ...]:
    """Return the men of a side that the other side, to move, may capture at once, a pawn en passant too."""
    taken = {m.to_square for m in board.generate_legal_moves(chess.BB_ALL, board.occupied_co[colour])}
    taken |= {passing_pawn(m) for m in board.generate_legal_ep()}
    return tuple(sorted(taken))


def passing_pawn(move: chess.Move) -> chess.Square:
    """Return the square of the pawn that a capture en passant takes."""
    return chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))


def men(board: chess.Board, kind: chess.PieceType, colour: chess.Color) -> list[chess.Square]:
    """Return the squares of a side's men of one kind."""
    return sorted(board.pieces(kind, colour))


def guards_together(
    board: chess.Board, colour: chess.Color
) -> tuple[tuple[chess.Square, ...], tuple[chess.Square, ...]]:
    """Return the squares next to the other king guarded by bishop and by knight.

    Both are empty unless bishop and knight stand on squares of one colour, so that together they guard both.
    """
    bishops, knights = men(board, chess.BISHOP, colour), men(board, chess.KNIGHT, colour)
    if len(bishops) != 1 or len(knights) != 1 or _dark(bishops[0]) != _dark(knights[0]):
        return (), ()
    near = [s for s in chess.SQUARES if king_steps(s, king_square(board, not colour)) == 1]
    by_bishop = tuple(s for s in near if s in board.attacks(bishops[0]))
    by_knight = tuple(s for s in near if s in board.attacks(knights[0]))
    return (by_bishop, by_knight) if by_bishop and by_knight else ((), ())


def _dark(square: chess.Square) -> bool:
    return bool(chess.BB_SQUARES[square] & chess.BB_DARK_SQUARES)


def right_corner_steps(board: chess.Board, attacker: chess.Color) -> dict[chess.Square, int]:
    """Return the defending king's steps to each corner of the bishop's colour; empty without bishop and knight."""
    bishops = men(board, chess.BISHOP, attacker)
    if len(bishops) != 1 or len(men(board, chess.KNIGHT, attacker)) != 1:
        return {}
    king = king_square(board, not attacker)
    return {corner: king_steps(king, corner) for corner in right_corners(bishops[0])}


def w_routes(corner: chess.Square) -> list[tuple[chess.Square, ...]]:
    """Return the knight's two routes to a corner, along its rank and along its file.

    For a8 and its rank: f7, e5, d7, c5, b7 (common practice, no source).
    """

    def place(along: int, depth: int, by_rank: bool) -> chess.Square:
        files, ranks = (along, depth) if by_rank else (depth, along)
        file = files if chess.square_file(corner) == 0 else 7 - files
        rank = ranks if chess.square_rank(corner) == 0 else 7 - ranks
        return chess.square(file, rank)

    return [tuple(place(a, d, by_rank) for a, d in W_ROUTE) for by_rank in (True, False)]


def w_step(board: chess.Board, move: chess.Move) -> tuple[int, tuple[chess.Square, ...]] | None:
    """Return which step (1 to 4) of a W route to a right corner a knight's move is, and the route.

    Only while the defending king stands on the two lines next to the route's edge.
    """
    attacker = board.turn
    if board.piece_type_at(move.from_square) != chess.KNIGHT:
        return None
    bishops = men(board, chess.BISHOP, attacker)
    if len(bishops) != 1 or len(men(board, chess.KNIGHT, attacker)) != 1:
        return None
    king = king_square(board, not attacker)
    for corner in right_corners(bishops[0]):
        for route, by_rank in zip(w_routes(corner), (True, False), strict=True):
            line = chess.square_rank if by_rank else chess.square_file
            if abs(line(king) - line(corner)) > 1:
                continue
            for number, (source, target) in enumerate(pairwise(route), start=1):
                if (move.from_square, move.to_square) == (source, target):
                    return number, route
    return None


def lone_piece(board: chess.Board, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's queen or rook when it is his only man."""
    own = [s for s, p in board.piece_map().items() if p.color == attacker and p.piece_type != chess.KING]
    if len(own) == 1 and board.piece_type_at(own[0]) in (chess.QUEEN, chess.ROOK):
        return own[0]
    return None


def box(board: chess.Board, attacker: chess.Color) -> int | None:
    """Return how many squares the lone queen's or rook's rank and file leave the defending king."""
    piece = lone_piece(board, attacker)
    return None if piece is None else box_squares(piece, king_square(board, not attacker))


def cut_off(board: chess.Board, attacker: chess.Color) -> str | None:
    """Return the line of a lone queen or rook that lies strictly between the kings, such as "5th rank" or "e-file"."""
    piece = lone_piece(board, attacker)
    if piece is None:
        return None
    mine, theirs = king_square(board, attacker), king_square(board, not attacker)
    for line, name in (
        (chess.square_rank, f"{_RANK_NAMES[chess.square_rank(piece)]} rank"),
        (chess.square_file, f"{chess.FILE_NAMES[chess.square_file(piece)]}-file"),
    ):
        low, high = sorted((line(mine), line(theirs)))
        if low < line(piece) < high:
            return name
    return None


def opposition(board: chess.Board) -> str | None:
    """Return the kind of opposition the kings stand in: "direct", "distant", "diagonal", or None."""
    white, black = king_square(board, chess.WHITE), king_square(board, chess.BLACK)
    ranks = abs(chess.square_rank(white) - chess.square_rank(black))
    files = abs(chess.square_file(white) - chess.square_file(black))
    kinds = {
        (0, 2): "direct",
        (2, 0): "direct",
        (2, 2): "diagonal",
        (0, 4): "distant",
        (4, 0): "distant",
        (0, 6): "distant",
        (6, 0): "distant",
    }
    return kinds.get((ranks, files))


def pawn_of(board: chess.Board, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's only man when it is a pawn."""
    own = [s for s, p in board.piece_map().items() if p.color == attacker and p.piece_type != chess.KING]
    return own[0] if len(own) == 1 and board.piece_type_at(own[0]) == chess.PAWN else None


def pawn_race(board: chess.Board, attacker: chess.Color) -> tuple[int, int, chess.Square] | None:
    """Return the moves of the attacker's lone pawn to promotion, the other king's steps to that square, and it.

    A double step counts as one move. None where a man stands in the pawn's way.
    """
    pawn = pawn_of(board, attacker)
    if pawn is None:
        return None
    goal = chess.square(chess.square_file(pawn), 7 if attacker else 0)
    if board.occupied & (chess.between(pawn, goal) | chess.BB_SQUARES[goal]):
        return None
    steps = abs(chess.square_rank(goal) - chess.square_rank(pawn))
    return min(steps, 5), king_steps(king_square(board, not attacker), goal), goal


def key_steps(board: chess.Board, attacker: chess.Color) -> int | None:
    """Return the attacking king's steps to the nearest key square of the lone pawn."""
    king = king_square(board, attacker)
    return min((king_steps(king, square) for square in key_squares_of(board, attacker)), default=None)


def barred(before: chess.Board, after: chess.Board, colour: chess.Color) -> frozenset[chess.Square]:
    """Return the squares next to the other king that a king has come to guard by its step."""
    near = chess.BB_KING_ATTACKS[king_square(after, not colour)] & chess.BB_KING_ATTACKS[king_square(after, colour)]
    return frozenset(chess.SquareSet(near & ~chess.BB_KING_ATTACKS[king_square(before, colour)]))


def way_shut(before: chess.Board, after: chess.Board, attacker: chess.Color) -> frozenset[chess.Square]:
    """Return the squares that the attacker has come to guard two steps from the other king, nearer to the centre."""
    king = king_square(after, not attacker)
    return frozenset(
        square
        for square in chess.SQUARES
        if king_steps(square, king) == 2
        and from_edge(square) > from_edge(king)
        and after.color_at(square) != attacker
        and after.is_attacked_by(attacker, square)
        and not before.is_attacked_by(attacker, square)
    )


def knights_move_off(board: chess.Board, attacker: chess.Color) -> bool:
    """Whether the attacker's lone queen stands a knight's move from the other king."""
    piece = lone_piece(board, attacker)
    if piece is None or board.piece_type_at(piece) != chess.QUEEN:
        return False
    return bool(chess.BB_KNIGHT_ATTACKS[piece] & chess.BB_SQUARES[king_square(board, not attacker)])


def abreast(board: chess.Board, attacker: chess.Color) -> bool:
    """Whether two bishops of the attacker stand side by side on a rank or file, and so hold neighbouring diagonals."""
    bishops = men(board, chess.BISHOP, attacker)
    return len(bishops) == 2 and abs(bishops[0] - bishops[1]) in (1, 8) and king_steps(*bishops) == 1


def kinds(board: chess.Board, colour: chess.Color) -> tuple[str, ...]:
    """Return the kinds of a side's men beside the king, the best first."""
    found = [p.piece_type for p in board.piece_map().values() if p.color == colour and p.piece_type != chess.KING]
    return tuple(chess.piece_name(piece_type) for piece_type in sorted(found, reverse=True))


def in_danger(board: chess.Board, attacker: chess.Color) -> frozenset[chess.Square]:
    """Return the attacker's men that the other king could take if it were his turn."""
    king = king_square(board, not attacker)
    men_near = chess.SquareSet(chess.BB_KING_ATTACKS[king] & board.occupied_co[attacker])
    return frozenset(s for s in men_near if not _attacked(board, attacker, s, board.occupied ^ chess.BB_SQUARES[king]))


def key_squares_of(board: chess.Board, attacker: chess.Color) -> frozenset[chess.Square]:
    """Return the key squares of the attacker's lone pawn."""
    pawn = pawn_of(board, attacker)
    if pawn is None:
        return frozenset()
    turn = 0 if attacker == chess.WHITE else 56
    return frozenset(square ^ turn for square in key_squares(pawn ^ turn))
