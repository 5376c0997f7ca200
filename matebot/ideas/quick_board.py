"""A board that finds the legal moves of few men by their bits, the same and in the same order as python-chess.

The ideas ask hundreds of boards for one answer, and most of the time went into moves. What is rare is left to the
library: castling, and pawns in check, beside a pin or en passant.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import chess
from chess import BB_ALL, Bitboard

from matebot.ideas.men import guarded

#: So many goals are a few.
_FEW = 4


class QuickBoard(chess.Board):
    """A board whose moves are made by bits."""

    def generate_legal_moves(self, from_mask: Bitboard = BB_ALL, to_mask: Bitboard = BB_ALL) -> Iterator[chess.Move]:
        """Return the legal moves, as the library makes them."""
        own = self.occupied_co[self.turn]
        if self.castling_rights or not own & self.kings:
            return super().generate_legal_moves(from_mask, to_mask)
        pawns = own & self.pawns & from_mask
        ahead = bool(pawns) and bool(_ahead(pawns, self.turn) & to_mask)
        if not ahead and not _reaches(self, own & from_mask, to_mask & ~own):
            return iter(())
        evading, pinned = _lines(self, own, (own & self.kings).bit_length() - 1)
        found = _men_moves(self, own, from_mask, to_mask, evading, pinned)
        if not ahead:
            return iter(found)
        if evading != BB_ALL or pinned or self.ep_square is not None:
            found += super().generate_legal_moves(pawns, to_mask)
        else:
            _add_pawn_moves(self, pawns, to_mask, found)
        return iter(found)


def quick(board: chess.Board) -> QuickBoard:
    """Return a board like another one, without the moves that led to it."""
    found = QuickBoard.__new__(QuickBoard)
    found.pawns, found.knights, found.bishops = board.pawns, board.knights, board.bishops
    found.rooks, found.queens, found.kings = board.rooks, board.queens, board.kings
    found.occupied_co, found.occupied, found.promoted = board.occupied_co[:], board.occupied, board.promoted
    found.chess960, found.castling_rights, found.ep_square = board.chess960, board.castling_rights, board.ep_square
    found.turn, found.fullmove_number, found.halfmove_clock = board.turn, board.fullmove_number, board.halfmove_clock
    found.move_stack, found._stack = [], []
    return found


def to_move(board: chess.Board, side: chess.Color) -> QuickBoard:
    """Return a board like another one, without the moves that led to it, where a side is to move, as if none had been.

    Nothing can be taken en passant there.
    """
    found = quick(board)
    found.turn, found.ep_square = side, None
    return found


def _reaches(board: chess.Board, men: Bitboard, goals: Bitboard) -> bool:
    """Whether any of some men, no pawn, may reach a goal; where these are a few, mostly none does."""
    if goals.bit_count() > _FEW:
        return True
    men &= ~board.pawns
    while men and goals:
        square = men.bit_length() - 1
        if board.attacks_mask(square) & goals:
            return True
        men ^= 1 << square
    return False


def _ahead(pawns: Bitboard, side: chess.Color) -> Bitboard:
    """Return all squares that pawns of a side may reach, and some more beyond the edge."""
    if side:
        return pawns << 7 | pawns << 8 | pawns << 9 | pawns << 16
    return pawns >> 7 | pawns >> 8 | pawns >> 9 | pawns >> 16


def _add_pawn_moves(board: chess.Board, pawns: Bitboard, to_mask: Bitboard, found: list[chess.Move]) -> None:
    """Add the moves of pawns where the king is not in check, none is pinned, and none is taken en passant."""
    turn, theirs, left = board.turn, board.occupied_co[not board.turn] & to_mask, pawns
    while left and theirs:
        source = left.bit_length() - 1
        left ^= 1 << source
        targets = chess.BB_PAWN_ATTACKS[turn][source] & theirs
        while targets:
            target = targets.bit_length() - 1
            targets ^= 1 << target
            found += _pawn_moves(source, target)
    step, free = 8 if turn else -8, ~board.occupied & BB_ALL
    single = (pawns << 8 if turn else pawns >> 8) & free
    double = (single << 8 & chess.BB_RANK_4 if turn else single >> 8 & chess.BB_RANK_5) & free
    for steps, targets in (1, single & to_mask), (2, double & to_mask):
        while targets:
            target = targets.bit_length() - 1
            targets ^= 1 << target
            found += _pawn_moves(target - steps * step, target)


def _men_moves(
    board: chess.Board,
    own: Bitboard,
    from_mask: Bitboard,
    to_mask: Bitboard,
    evading: Bitboard,
    pinned: list[tuple[Bitboard, Bitboard]],
) -> list[chess.Move]:
    """Return the legal moves of king and pieces; the king's come first where it is in check."""
    bit = own & board.kings
    king = bit.bit_length() - 1
    to_mask &= ~own
    from_square = own & ~board.pawns & from_mask
    found: list[chess.Move] = []
    if evading != BB_ALL and from_square & bit:
        from_square ^= bit
        found += _steps(board, own, king, to_mask)
    while from_square:
        source = from_square.bit_length() - 1
        from_square ^= 1 << source
        if source == king:
            found += _steps(board, own, king, to_mask)
            continue
        targets = board.attacks_mask(source) & to_mask & evading
        for man, line in pinned:
            if man >> source & 1:
                targets &= line
        while targets:
            target = targets.bit_length() - 1
            targets ^= 1 << target
            found.append(_move(source, target))
    return found


def _lines(board: chess.Board, own: Bitboard, king: chess.Square) -> tuple[Bitboard, list[tuple[Bitboard, Bitboard]]]:
    """Return where a man may go so that the king is not in check, and the men pinned with the lines they keep to."""
    theirs, occupied = board.occupied & ~own, board.occupied
    straight, slanted = theirs & (board.rooks | board.queens), theirs & (board.bishops | board.queens)
    snipers = (chess.BB_RANK_ATTACKS[king][0] | chess.BB_FILE_ATTACKS[king][0]) & straight
    snipers |= chess.BB_DIAG_ATTACKS[king][0] & slanted
    evading, pinned = BB_ALL, list[tuple[Bitboard, Bitboard]]()
    while snipers:
        sniper = snipers.bit_length() - 1
        snipers ^= 1 << sniper
        way = chess.between(king, sniper)
        between = way & occupied
        if not between:
            evading &= way | 1 << sniper
        elif not between & between - 1 and between & own:
            pinned.append((between, way | 1 << sniper))
    near = chess.BB_KNIGHT_ATTACKS[king] & theirs & board.knights
    near |= chess.BB_PAWN_ATTACKS[board.turn][king] & theirs & board.pawns
    while near:
        leaper = near & -near
        near ^= leaper
        evading &= leaper
    return evading, pinned


def _steps(board: chess.Board, own: Bitboard, king: chess.Square, to_mask: Bitboard) -> list[chess.Move]:
    """Return the legal steps of the king."""
    targets, theirs = chess.BB_KING_ATTACKS[king] & to_mask, board.occupied & ~own
    occupied = board.occupied ^ 1 << king  # lines go on behind him
    while theirs and targets:
        square = theirs.bit_length() - 1
        theirs ^= 1 << square
        targets &= ~guarded(board, square, occupied, not board.turn)
    found: list[chess.Move] = []
    while targets:
        target = targets.bit_length() - 1
        targets ^= 1 << target
        found.append(_move(king, target))
    return found


@cache
def _move(source: chess.Square, target: chess.Square) -> chess.Move:
    return chess.Move(source, target)


@cache
def _pawn_moves(source: chess.Square, target: chess.Square) -> tuple[chess.Move, ...]:
    """Return the move of a pawn to a square, or its promotions there."""
    if 7 < target < 56:
        return (_move(source, target),)
    return tuple(chess.Move(source, target, man) for man in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT))
