"""Where nobody can move: the mates and stalemates of an ending, found without its tables.

Whole boards of men at a time: with both kings in place, a king is stuck where each square beside him is taken by his
own man, beside the other king, or seen by a man of the other side. Lines and squares seen are python-chess's, which
also has the last word on each position that is left.
"""

from __future__ import annotations

from itertools import combinations
from typing import Final

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.records import dataclass
from matebot.solver.codes import squares_of
from matebot.solver.material import Material

Bits = NDArray[np.uint64]
Truth = NDArray[np.bool_]

_BIT: Final = np.array([1 << square for square in range(64)], np.uint64)
_BETWEEN: Final = np.array([[chess.between(a, b) for b in range(64)] for a in range(64)], np.uint64)


def _seen(man: str, white: bool, square: int) -> int:
    """Return the squares a man sees on an empty board."""
    board = chess.Board(None)
    board.set_piece_at(square, chess.Piece.from_symbol(man if white else man.lower()))
    return int(board.attacks(square))


_SEES: Final = {
    (man, white): np.array([_seen(man, white, square) for square in range(64)], np.uint64)
    for man in "KQRBNP"
    for white in (True, False)
}
#: The squares a piece comes to first, on whatever line: where its own men stand on all of them it cannot move.
_FIRST: Final = {
    man: np.array(
        [
            sum(1 << t for t in chess.SquareSet(int(seen)) if man == "N" or chess.square_distance(s, t) == 1)
            for s, seen in enumerate(_SEES[man, True])
        ],
        np.uint64,
    )
    for man in "QRBN"
}


@dataclass(frozen=True, slots=True)
class _Men:
    """Men on all their squares at once: an array axis for each."""

    kinds: tuple[tuple[str, bool], ...]
    squares: tuple[NDArray[np.intp], ...]

    @staticmethod
    def of(material: Material) -> _Men:
        count = len(material.men)
        axes = [squares_of(man) for man, _ in material.men]
        shaped = [axis.reshape([-1 if i == n else 1 for i in range(count)]) for n, axis in enumerate(axes)]
        return _Men(material.men, tuple(np.broadcast_arrays(*shaped)))

    def taken(self, white: bool | None = None) -> Bits:
        """Return the squares on which men stand, of one side or of both."""
        bits = np.zeros(self.squares[0].shape, np.uint64)
        for (_, owner), squares in zip(self.kinds, self.squares, strict=True):
            if white is None or owner == white:
                bits |= _BIT[squares]
        return bits

    def see(self, white: bool, target: int, taken: Bits) -> Truth:
        """Whether any man of a side sees a square past the squares taken."""
        seen = np.zeros(taken.shape, np.bool_)
        for (man, owner), squares in zip(self.kinds, self.squares, strict=True):
            if owner == white:
                on_line = _SEES[man, white][squares] & _BIT[target] != 0
                seen |= on_line & (_BETWEEN[squares, target] & taken == 0)
        return seen


def stuck(material: Material, white_to_move: bool, white_king: int, black_king: int) -> NDArray[np.intp]:
    """Return where a side may have no legal move, the kings in place: shape (positions, men), squares.

    Every mate and every stalemate is among them, and little else.
    """
    men = _Men.of(material)
    mine, other = (white_king, black_king) if white_to_move else (black_king, white_king)
    placed = men.taken()
    kings = _BIT[mine] | _BIT[other]
    found = _apart(men) & (placed & kings == 0) & ~men.see(white_to_move, other, placed | kings)
    own = men.taken(white_to_move)
    for target in chess.SquareSet(chess.BB_KING_ATTACKS[mine] & ~chess.BB_KING_ATTACKS[other]):
        past_me = placed | _BIT[other]
        found &= (own & _BIT[target] != 0) | men.see(not white_to_move, target, past_me)
    if found.any():
        checked = men.see(not white_to_move, mine, placed | kings)
        found &= checked | _cannot_move(men, white_to_move, mine, placed | kings, own | _BIT[mine])
    return np.stack([squares[found] for squares in men.squares], axis=-1)


def _apart(men: _Men) -> Truth:
    apart = np.ones(men.squares[0].shape, np.bool_)
    for one, other in combinations(men.squares, 2):
        apart &= one != other
    return apart


def _cannot_move(men: _Men, white: bool, king: int, taken: Bits, own: Bits) -> Truth:
    """Whether each man of a side is bound to its king's line or has no square to go to."""
    none = np.ones(taken.shape, np.bool_)
    for (man, owner), squares in zip(men.kinds, men.squares, strict=True):
        if owner != white:
            continue
        bound = men.see(not white, king, taken & ~_BIT[squares])
        if man == "P":
            ahead = _BIT[squares + (8 if white else -8)]
            shut = (ahead & taken != 0) & (_SEES["P", white][squares] & taken & ~own == 0)
        else:
            shut = _FIRST[man][squares] & ~own == 0
        none &= bound | shut
    return none
