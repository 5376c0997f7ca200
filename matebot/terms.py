"""Terms of the trade that every room shares: closed lists of words, and plies counted as moves.

One convention for every number of a move: it counts the attacker's moves up to mate from the position in which the
move is chosen, so an attacker's move counts itself. Score, list, sentence, table and comment all show that number.
"""

from __future__ import annotations

from enum import IntEnum, StrEnum

#: Plies without a capture or pawn move after which a draw may be claimed: FIDE Laws of Chess, article 9.3.
CLAIM_PLIES = 100


class Outcome(IntEnum):
    """What a position is worth to a side."""

    LOSS = -1
    DRAW = 0
    WIN = 1

    @property
    def word(self) -> str:
        """The outcome as a word of data: ``win``."""
        return self.name.lower()


class Cause(StrEnum):
    """Why a position has its outcome; the last two are a win or loss not yet mate, and a draw by the position."""

    CHECKMATE = "checkmate"
    STALEMATE = "stalemate"
    DEAD_POSITION = "dead position"
    FIFTY_MOVES = "fifty moves"
    REPETITION = "repetition"
    FORCED = "forced"
    BALANCE = "balance"


class Mistake(StrEnum):
    """What a move gave away, the gravest first; one move without more is no mistake, only slower.

    The cage is given up where the move opens it. Outcome, man, stage and cage count from the first move they cost.
    """

    OUTCOME = "outcome"
    MAN = "man"
    STAGE = "stage"
    CAGE = "cage"
    MOVES = "moves"
    SLOWER = "slower"
    NONE = "none"

    @property
    def is_slip(self) -> bool:
        """Whether it is told and marked as a mistake."""
        return self not in (Mistake.SLOWER, Mistake.NONE)


def attacker_moves(plies: int, attacker_to_move: bool) -> int:
    """Return how many of the attacker's moves lie within a number of plies.

    >>> attacker_moves(5, True), attacker_moves(4, False), attacker_moves(99, False)
    (3, 2, 49)
    """
    return (plies + attacker_to_move) // 2


def moves_left(clock_plies: int, attacker_to_move: bool) -> int:
    """Return the attacker's moves before a draw may be claimed; a mate by the last of them still counts."""
    return attacker_moves(max(0, CLAIM_PLIES - clock_plies), attacker_to_move)


def moves_begun(plies: int) -> int:
    """Return how many moves of the side that began have been made in a number of plies."""
    return attacker_moves(plies, True)
