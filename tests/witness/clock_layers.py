"""Worth under the fifty-move rule of every position of an ending with every clock, layer by layer, without tables.

The laws are those of `clock_search`, gone through from the other end: with no ply left everything but mate is drawn;
with some plies left a position is worth the best of its moves with one ply fewer. The moves are those
of `whole`. For endings without two men alike and without pawns on both sides (captures en passant are left to
`clock_search`).
"""

from __future__ import annotations

from collections.abc import Callable

import chess
import numpy as np
from numpy.typing import NDArray

from tests.witness.clock_search import Clocked, end_of
from tests.witness.positions import men_of
from tests.witness.whole import (
    MATE,
    Group,
    Scores,
    Squares,
    Worth,
    Worths,
    checked,
    homes,
    legal,
    moves,
    one_ply_before,
    placed,
    placements,
)

Numbers = NDArray[np.int64]


def clocked(score: int) -> Clocked:
    """Return what a score says."""
    return Clocked((score > 0) - (score < 0), MATE - abs(score) if score else None)


def scored(value: Clocked) -> int:
    """Return the score of a value."""
    return 0 if value.mate_plies is None else value.outcome * (MATE - value.mate_plies)


class ClockLayers:
    """All positions of an ending up to symmetry, the side written first playing White, with their legal moves.

    Parameters
    ----------
    beyond : gives the value of a position in which a capture or pawn move has just set the clock to zero and the
        game goes on
    pawn : the square of the only pawn where not all positions are wanted: pawns stand still while the clock runs

    Attributes
    ----------
    count : how many positions there are; see `board`
    scores : their worth with `left` plies left before the draw
    """

    def __init__(self, ending: str, beyond: Callable[[chess.Board], Clocked], pawn: chess.Square | None = None) -> None:
        self.men = men_of(ending)
        pawns = [colour for man, colour in self.men if man == chess.PAWN]
        assert len(set(self.men)) == len(self.men)
        assert len(set(pawns)) < 2
        self._images = _images(bool(pawns))
        self._beyond = beyond
        self._pawn = pawn
        self._numbers = np.full(2 * 64 ** len(self.men), -1, np.int32)
        self._squares = {turn: self._positions(turn) for turn in (True, False)}
        self._first = {True: 0, False: self._squares[True].shape[1]}
        self.count = sum(squares.shape[1] for squares in self._squares.values())
        for turn, squares in self._squares.items():
            self._numbers[self._keys(squares, turn)] = self._first[turn] + np.arange(squares.shape[1])
        self.left = 0
        self.scores: Worths = np.concatenate(
            [np.where(checked(self.men, squares, turn), -MATE, 0) for turn, squares in self._squares.items()]
        ).astype(np.int16)
        self._link()

    def advance(self) -> None:
        """Give every position one ply more."""
        worth = np.concatenate([one_ply_before(self.scores), self._settled])
        self.scores = self.scores.copy()
        self.scores[self._going_on] = np.maximum.reduceat(worth[self._targets], self._starts)
        self.left += 1

    def board(self, number: int) -> chess.Board:
        """Return a position by its number."""
        turn = number < self._first[False]
        return placed(self.men, self._squares[turn][:, number - self._first[turn]], turn)

    def told(self, worth: Worth) -> Scores:
        """Return the scores of all positions by their numbers; shape (2, count)."""
        return np.concatenate([worth(self.men, squares, turn) for turn, squares in self._squares.items()], axis=1)

    def number(self, board: chess.Board) -> int:
        """Return the number of a position of the ending, the side written first playing either colour."""
        for turned in (board, board.mirror()):
            masks = [turned.pieces_mask(*man) for man in self.men]
            if all(masks):
                squares = np.array([[mask.bit_length() - 1] for mask in masks])
                return int(self._numbers[self._keys(squares, turned.turn)[0]])
        raise ValueError(f"expected a position of the ending, got {board.fen()!r}")

    def _positions(self, turn: chess.Color) -> Squares:
        """Return one legal position of every class that symmetry makes."""
        parts = []
        for home in homes(self.men):
            squares = placements(self.men, [home])
            if self._pawn is not None:
                there = squares[[man for man, _ in self.men].index(chess.PAWN)]
                squares = squares[:, (there == self._pawn) | (there == self._pawn ^ 7)]  # as symmetry has it
            parts.append(squares[:, legal(self.men, squares, turn)])
        every = np.concatenate(parts, axis=1)
        return every[:, np.unique(self._keys(every, turn), return_index=True)[1]]

    def _link(self) -> None:
        """Note which positions the moves lead to, and what ends of games and moves that zero the clock are worth."""
        parents, targets, settled = list[Numbers](), list[Numbers](), list[Worths]()
        for turn, squares in self._squares.items():
            for group in moves(self.men, squares, turn):
                parents.append(self._first[turn] + group.parents)
                if group.zeroing:  # a worth of its own, which stands behind those of all positions
                    targets.append(self.count + sum(map(len, settled)) + np.arange(len(group.parents)))
                    settled.append(one_ply_before(self._after_zeroing(group, not turn)))
                else:
                    targets.append(self._numbers[self._keys(group.squares, not turn)].astype(np.int64))
        made = np.concatenate(parents)
        order = np.argsort(made, kind="stable")
        self._targets = np.concatenate(targets)[order]
        assert (self._targets >= 0).all()
        self._going_on, self._starts = np.unique(made[order], return_index=True)
        self._settled = np.concatenate(settled) if settled else np.zeros(0, np.int16)
        self.scores[self._going_on] = 0

    def _after_zeroing(self, group: Group, turn: chess.Color) -> Worths:
        if len(group.men) == 2:  # bare kings
            return np.zeros(len(group.parents), np.int16)
        different, which = np.unique(group.squares, axis=1, return_inverse=True)
        boards = [placed(group.men, column, turn) for column in different.T]
        worth = [scored(end_of(board) or self._beyond(board)) for board in boards]
        return np.array(worth, np.int16)[which.reshape(-1)]

    def _keys(self, squares: Squares, turn: chess.Color) -> Squares:
        """Return one key for all images of a position."""
        keys = np.zeros((len(self._images), squares.shape[1]), np.int64)
        for row, image in zip(keys, self._images, strict=True):
            for man in image[squares]:
                row *= 64
                row += man
        return np.asarray(keys.min(axis=0) * 2 + turn, dtype=np.int64)


def _images(pawns: bool) -> list[Squares]:
    """Return where the symmetries of the board carry each square."""
    squares = np.arange(64)
    images = [squares, squares ^ 7]
    if not pawns:
        images += [image ^ 56 for image in images]
        images += [(image & 7) << 3 | image >> 3 for image in images]
    return images
