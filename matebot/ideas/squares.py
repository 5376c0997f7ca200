"""Sets of squares as 64-bit numbers: what the attacker's men guard, and where a king gets to; shared by the ideas.

What is asked for again and again is remembered by the placement of the men, so ideas need not pass it on.
"""

from __future__ import annotations

from functools import lru_cache, reduce
from itertools import combinations
from operator import or_

import chess

from matebot.ideas.men import Men as Men  # whoever asks for squares speaks of placements
from matebot.ideas.men import guarded
from matebot.ideas.men import men_of as men_of
from matebot.ideas.quick_board import QuickBoard, quick

_REMEMBERED = 1024
_NOT_FILE_A = chess.BB_ALL & ~chess.BB_FILE_A
_NOT_FILE_H = chess.BB_ALL & ~chess.BB_FILE_H
_STEPS = bytes(max(abs((a >> 3) - (b >> 3)), abs((a & 7) - (b & 7))) for a in chess.SQUARES for b in chess.SQUARES)
_FROM_EDGE = bytes(min(s >> 3, 7 - (s >> 3), s & 7, 7 - (s & 7)) for s in chess.SQUARES)
#: What a queen on each square of an empty board attacks.
_OPEN_LINES = [
    chess.BB_RANK_ATTACKS[s][0] | chess.BB_FILE_ATTACKS[s][0] | chess.BB_DIAG_ATTACKS[s][0] for s in chess.SQUARES
]
CORNERS = (chess.A1, chess.H1, chess.A8, chess.H8)


def after_move(board: chess.Board, move: chess.Move) -> chess.Board:
    """Return the board after a legal move, without the moves that led to it.

    The ideas look at hundreds of boards for one answer, so a man that is no pawn is moved by its bits, which takes a
    fifth of copying and pushing.
    """
    source, target, turn = chess.BB_SQUARES[move.from_square], chess.BB_SQUARES[move.to_square], board.turn
    if board.pawns & source or board.promoted or board.castling_rights:
        there = quick(board)
        there.push(move)
        return there
    both, stays = source | target, ~target
    there = QuickBoard.__new__(QuickBoard)
    there.pawns = board.pawns & stays
    there.knights = (board.knights | target) ^ source if board.knights & source else board.knights & stays
    there.bishops = (board.bishops | target) ^ source if board.bishops & source else board.bishops & stays
    there.rooks = (board.rooks | target) ^ source if board.rooks & source else board.rooks & stays
    there.queens = (board.queens | target) ^ source if board.queens & source else board.queens & stays
    there.kings = board.kings ^ both if board.kings & source else board.kings
    mine, theirs = board.occupied_co[turn] ^ both, board.occupied_co[not turn] & stays
    there.occupied_co, there.occupied = [theirs, mine] if turn else [mine, theirs], mine | theirs
    there.promoted, there.chess960, there.castling_rights, there.ep_square = 0, board.chess960, 0, None
    there.turn, there.fullmove_number = not turn, board.fullmove_number + (not turn)
    there.halfmove_clock = 0 if board.occupied & target else board.halfmove_clock + 1
    there.move_stack, there._stack = [], []
    return there


def in_order(mask: int) -> tuple[chess.Square, ...]:
    """Return the squares of a set, a1 first."""
    if mask & mask - 1:
        return tuple(chess.scan_forward(mask))
    return (mask.bit_length() - 1,) if mask else ()  # as mostly


@lru_cache(maxsize=_REMEMBERED)
def guarding(men: Men, attacker: chess.Color) -> tuple[tuple[chess.Square, int], ...]:
    """Return each man of the attacker with the squares it guards; lines go through the defending king."""
    occupied = (men.white | men.black) & ~(men.kings & men.of(not attacker))
    return tuple((square, guarded(men, square, occupied, attacker)) for square in in_order(men.of(attacker)))


@lru_cache(maxsize=_REMEMBERED)
def shut_mask(men: Men, attacker: chess.Color) -> int:
    """Return the squares that any man of the attacker guards."""
    return _guarded_by(men, men.of(attacker), attacker)


def guarded_without(men: Men, man: chess.Square, attacker: chess.Color) -> int:
    """Return the squares that any man of the attacker would guard if one of them were taken off."""
    return _guarded_by(men, men.of(attacker) & ~chess.BB_SQUARES[man], attacker)


def _guarded_by(men: Men, own: int, colour: chess.Color) -> int:
    """Return the squares that men of a side guard where no others of it stand, lines through the other king."""
    occupied = men.of(not colour) & ~men.kings | own
    guarded = chess.BB_KING_ATTACKS[(own & men.kings).bit_length() - 1] if own & men.kings else 0
    for square in chess.scan_forward(own & men.knights):
        guarded |= chess.BB_KNIGHT_ATTACKS[square]
    for square in chess.scan_forward(own & men.pawns):
        guarded |= chess.BB_PAWN_ATTACKS[colour][square]
    for square in chess.scan_forward(own & (men.bishops | men.queens)):
        guarded |= chess.BB_DIAG_ATTACKS[square][chess.BB_DIAG_MASKS[square] & occupied]
    for square in chess.scan_forward(own & (men.rooks | men.queens)):
        guarded |= chess.BB_RANK_ATTACKS[square][chess.BB_RANK_MASKS[square] & occupied]
        guarded |= chess.BB_FILE_ATTACKS[square][chess.BB_FILE_MASKS[square] & occupied]
    return guarded


@lru_cache(maxsize=_REMEMBERED)
def range_mask(men: Men, attacker: chess.Color) -> int:
    """Return the range of the defending king."""
    return flood(chess.BB_SQUARES[men.king(not attacker)], ~shut_mask(men, attacker))


def grown(mask: int) -> int:
    """Return a set with all squares a king's step from it."""
    wide = mask | (mask << 1 & _NOT_FILE_A) | (mask >> 1 & _NOT_FILE_H)
    return (wide | wide << 8 | wide >> 8) & chess.BB_ALL


def flood(start: int, ways: int, enough: int = 64) -> int:
    """Return what king's steps over `ways` reach from a set; breaks off when more than `enough` are reached."""
    reached, ways = start, ways & chess.BB_ALL
    while True:  # as in `grown`, which would be called hundreds of times for an answer
        wide = reached | (reached << 1 & _NOT_FILE_A) | (reached >> 1 & _NOT_FILE_H)
        wider = reached | ((wide | wide << 8 | wide >> 8) & ways)
        if wider == reached or wider.bit_count() > enough:
            return wider
        reached = wider


def taken_for_nothing(board: chess.Board, square: chess.Square) -> bool:
    """Whether a legal move goes to a square, to take what stands there, and none takes it in turn."""
    goal = chess.BB_SQUARES[square]
    if board.occupied & goal and not board.attackers_mask(board.turn, square):
        return False  # as nearly always: no moves need to be made
    there = (after_move(board, take) for take in board.generate_legal_moves(chess.BB_ALL, goal))
    return any(not _is_taken_back(then, square) for then in there)


def _is_taken_back(board: chess.Board, square: chess.Square) -> bool:
    if not board.attackers_mask(board.turn, square):
        return False
    return any(board.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[square]))


def pawn_way(pawn: chess.Square, side: chess.Color) -> chess.Bitboard:
    """Return the squares before a side's pawn on its file, the promotion square among them, as bits."""
    goal = chess.square(chess.square_file(pawn), 7 if side else 0)
    return chess.between(pawn, goal) | chess.BB_SQUARES[goal]


def king_steps(a: chess.Square, b: chess.Square) -> int:
    """Return the king moves between two squares on an empty board."""
    return _STEPS[a << 6 | b]


def kings_apart(men: Men) -> int:
    """Return the king moves between the kings."""
    return king_steps(men.king(chess.WHITE), men.king(chess.BLACK))


def from_edge(square: chess.Square) -> int:
    """Return the steps of a square from the nearest edge, 0 to 3."""
    return _FROM_EDGE[square]


def off_centre(square: chess.Square) -> int:
    """Return how far a square is from the centre of the board, in halves of a file and of a rank."""
    return abs(2 * (square % 8) - 7) + abs(2 * (square // 8) - 7)


def takeable(men: Men, attacker: chess.Color) -> int:
    """Return the attacker's men that the defending king stands next to and nobody guards, as bits."""
    near = chess.BB_KING_ATTACKS[men.king(not attacker)] & men.of(attacker) & ~men.kings
    return near and near & ~shut_mask(men, attacker)


def _slope(square: chess.Square, step: int) -> int:
    return chess.square_rank(square) - step * chess.square_file(square)


#: The diagonals by their direction and where they cross the a-file.
_DIAGONALS = {
    (step, slope): sum(chess.BB_SQUARES[s] for s in chess.SQUARES if _slope(s, step) == slope)
    for step in (1, -1)
    for slope in {_slope(s, step) for s in chess.SQUARES}
}


@lru_cache(maxsize=64)
def lines_through(square: chess.Square) -> tuple[tuple[str, int], ...]:
    """Return the lines through a square with their squares: "rank 5", "file e" and its diagonals by their ends."""
    name, bit = chess.square_name(square), chess.BB_SQUARES[square]
    found = [
        (f"rank {name[1]}", chess.BB_RANK_ATTACKS[square][0] | bit),
        (f"file {name[0]}", chess.BB_FILE_ATTACKS[square][0] | bit),
    ]
    for step in (1, -1):
        line = _DIAGONALS[step, _slope(square, step)]
        ends = sorted(in_order(line), key=chess.square_file)
        found.append((f"diagonal {chess.square_name(ends[0])}-{chess.square_name(ends[-1])}", line))
    return tuple(found)


def lines_holding(squares: int, man: chess.Square) -> tuple[str, ...]:
    """Return the fewest lines through a man that hold a set of squares, at most two; none where they do not."""
    lines = lines_through(man)
    for few in (*combinations(lines, 1), *combinations(lines, 2)):
        if not squares & ~reduce(or_, (line for _, line in few)):
            return tuple(name for name, _ in few)
    return ()


def closes_in(was: chess.Square, now: chess.Square, goal: chess.Square) -> bool:
    """Whether a step leads nearer to a square in king's steps, and no farther from it by files or by ranks."""
    farther = abs(now % 8 - goal % 8) > abs(was % 8 - goal % 8) or abs(now // 8 - goal // 8) > abs(was // 8 - goal // 8)
    return not farther and king_steps(now, goal) < king_steps(was, goal)


def is_king_step(board: chess.Board, move: chess.Move) -> bool:
    """Whether a move not yet made on the board is a king's."""
    return bool(board.kings & chess.BB_SQUARES[move.from_square])


def king_goals(board: chess.Board) -> int:
    """Return the squares to which the king of the side to move may step, as bits."""
    steps = board.generate_legal_moves(board.kings & board.occupied_co[board.turn])
    return sum(chess.BB_SQUARES[step.to_square] for step in steps)


def after_king_step(men: Men, step: chess.Move) -> Men:
    """Return the placement after a step of a king, a capture too."""
    source, target = chess.BB_SQUARES[step.from_square], chess.BB_SQUARES[step.to_square]
    return Men(*(mask & ~source | target if mask & source else mask & ~target for mask in men))


def gives_check(board: chess.Board, move: chess.Move) -> bool:
    """Whether a legal move gives check, without making it unless it is a pawn's."""
    source, target, turn = chess.BB_SQUARES[move.from_square], chess.BB_SQUARES[move.to_square], board.turn
    if move.promotion or board.pawns & source:
        return board.gives_check(move)
    king = (board.kings & board.occupied_co[not turn]).bit_length() - 1
    leaper = board.knights & source
    if leaper and chess.BB_KNIGHT_ATTACKS[king] & target:
        return True
    if not _OPEN_LINES[king] & (source if leaper or board.kings & source else source | target):
        return False
    occupied = board.occupied & ~source | target
    if board.attackers_mask(turn, king, occupied) & ~source & ~target:
        return True
    lines = 0
    if (board.rooks | board.queens) & source:
        lines |= chess.BB_RANK_ATTACKS[king][chess.BB_RANK_MASKS[king] & occupied]
        lines |= chess.BB_FILE_ATTACKS[king][chess.BB_FILE_MASKS[king] & occupied]
    if (board.bishops | board.queens) & source:
        lines |= chess.BB_DIAG_ATTACKS[king][chess.BB_DIAG_MASKS[king] & occupied]
    return bool(lines & target)


def taken_by(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of the man that a move takes, en passant too, None without."""
    return board.piece_type_at(move.to_square) or (chess.PAWN if board.is_en_passant(move) else None)


def kind_of(board: chess.Board, square: chess.Square) -> chess.PieceType:
    """Return the kind of the man on a square that has one."""
    return board.piece_type_at(square) or chess.PAWN


def bishop_and_knight(men: Men, attacker: chess.Color) -> tuple[chess.Square, chess.Square] | None:
    """Return the squares of bishop and knight where the attacker has these two men and his king only."""
    own = men.of(attacker)
    bishop, knight = men.bishops & own, men.knights & own
    if own.bit_count() != 3 or bishop.bit_count() != 1 or knight.bit_count() != 1:
        return None
    return bishop.bit_length() - 1, knight.bit_length() - 1


def lone_heavy(men: Men, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's queen or rook where it is his only man beside the king."""
    own = men.of(attacker)
    heavy = (men.queens | men.rooks) & own
    return heavy.bit_length() - 1 if own.bit_count() == 2 and heavy else None


def opposition(men: Men) -> str | None:
    """Return the opposition the kings stand in.

    "direct" and "distant": on one line with one, or three or five, squares between; "diagonal": two ranks and two
    files apart.
    """
    white, black = men.king(chess.WHITE), men.king(chess.BLACK)
    ranks = abs(chess.square_rank(white) - chess.square_rank(black))
    files = abs(chess.square_file(white) - chess.square_file(black))
    if (ranks, files) == (2, 2):
        return "diagonal"
    if ranks * files or (ranks + files) % 2:
        return None
    return "direct" if ranks + files == 2 else "distant"
