"""A placement of men as 64-bit numbers, and what each man guards."""

from __future__ import annotations

from typing import NamedTuple

import chess

_tuple = tuple.__new__  # makes a placement as its own constructor does: hundreds are made for an answer


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
        return (self.kings & (self.white if colour else self.black)).bit_length() - 1


def men_of(board: chess.Board) -> Men:
    """Return the placement on a board."""
    black, white = board.occupied_co
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
    return _tuple(Men, (*kinds, white, black))


def guarded(men: chess.Board | Men, square: chess.Square, occupied: int, colour: chess.Color) -> int:
    """Return what a man guards, with lines as far as what is occupied."""
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
