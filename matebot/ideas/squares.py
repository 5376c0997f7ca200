"""Sets of squares as 64-bit numbers: what the attacker's men guard, and where a king gets to; shared by the ideas.

What is asked for again and again is remembered by the placement of the men, so ideas need not pass it on.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import chess

_REMEMBERED = 1024
_NOT_FILE_A = chess.BB_ALL & ~chess.BB_FILE_A
_NOT_FILE_H = chess.BB_ALL & ~chess.BB_FILE_H
CORNERS = (chess.A1, chess.H1, chess.A8, chess.H8)


class Men(NamedTuple):
    """A placement: the squares of all men by kind and by colour, as bits."""

    pawns: int
    knights: int
    bishops: int
    rooks: int
    queens: int
    kings: int
    white: int
    black: int

    def of(self, colour: chess.Color) -> int:
        """Return the squares of a side's men, its king among them."""
        return self.white if colour else self.black

    def king(self, colour: chess.Color) -> chess.Square:
        """Return the square of a king."""
        return (self.kings & self.of(colour)).bit_length() - 1


def men_of(board: chess.Board) -> Men:
    """Return the placement on a board."""
    white, black = board.occupied_co[chess.WHITE], board.occupied_co[chess.BLACK]
    return Men(board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings, white, black)


def in_order(mask: int) -> tuple[chess.Square, ...]:
    """Return the squares of a set, a1 first."""
    return tuple(chess.scan_forward(mask))


@lru_cache(maxsize=_REMEMBERED)
def guarding(men: Men, attacker: chess.Color) -> tuple[tuple[chess.Square, int], ...]:
    """Return each man of the attacker with the squares it guards; lines go through the defending king."""
    occupied = (men.white | men.black) & ~(men.kings & men.of(not attacker))
    return tuple((square, _guarded(men, square, occupied, attacker)) for square in in_order(men.of(attacker)))


def _guarded(men: Men, square: chess.Square, occupied: int, colour: chess.Color) -> int:
    bit = chess.BB_SQUARES[square]
    if bit & men.kings:
        return chess.BB_KING_ATTACKS[square]
    if bit & men.knights:
        return chess.BB_KNIGHT_ATTACKS[square]
    if bit & men.pawns:
        return chess.BB_PAWN_ATTACKS[colour][square]
    reach = 0
    if bit & (men.bishops | men.queens):
        reach |= chess.BB_DIAG_ATTACKS[square][chess.BB_DIAG_MASKS[square] & occupied]
    if bit & (men.rooks | men.queens):
        reach |= chess.BB_RANK_ATTACKS[square][chess.BB_RANK_MASKS[square] & occupied]
        reach |= chess.BB_FILE_ATTACKS[square][chess.BB_FILE_MASKS[square] & occupied]
    return reach


@lru_cache(maxsize=_REMEMBERED)
def shut_mask(men: Men, attacker: chess.Color) -> int:
    """Return the squares that any man of the attacker guards."""
    shut = 0
    for _, reach in guarding(men, attacker):
        shut |= reach
    return shut


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
    reached = start
    while True:
        wider = reached | (grown(reached) & ways)
        if wider == reached or wider.bit_count() > enough:
            return wider
        reached = wider


def king_steps(a: chess.Square, b: chess.Square) -> int:
    """Return the king moves between two squares on an empty board."""
    return chess.square_distance(a, b)


def from_edge(square: chess.Square) -> int:
    """Return the steps of a square from the nearest edge, 0 to 3."""
    rank, file = chess.square_rank(square), chess.square_file(square)
    return min(rank, 7 - rank, file, 7 - file)
