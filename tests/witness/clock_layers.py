"""Worth under the fifty-move rule of every position of an ending with every clock, layer by layer, without tables.

The laws are those of `clock_search`, gone through from the other end: with no ply left everything but mate is drawn;
with some plies left a position is worth the best of its moves with one ply fewer. The moves are python-chess's; which
position a move leads to is worked out on the squares. For endings without two men alike and without pawns on both
sides (captures en passant are left to `clock_search`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice

import chess
import numpy as np
from numpy.typing import NDArray

from tests.witness.clock_search import Clocked, end_of
from tests.witness.positions import board_of, every_position, men_of

Squares = NDArray[np.int64]
#: Worth of positions: ``MATE - plies`` where the side to move mates, the same negative where it is mated, 0 drawn.
Scores = NDArray[np.int16]
MATE = 1_000

_BATCH = 20_000


def clocked(score: int) -> Clocked:
    """Return what a score says."""
    return Clocked((score > 0) - (score < 0), MATE - abs(score) if score else None)


def scored(value: Clocked) -> int:
    """Return the score of a value."""
    return 0 if value.mate_plies is None else value.outcome * (MATE - value.mate_plies)


def one_ply_before(scores: NDArray[np.int16]) -> Scores:
    """Return what moves are worth to the side that makes them, by the worth of the positions they lead to."""
    return np.asarray(np.sign(scores) - scores, dtype=np.int16)


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
        self.count = 0
        self._numbers = np.full(2 * 64 ** len(self.men), -1, np.int32)
        self._placed: list[NDArray[np.int8]] = []
        self._ends: dict[int, int] = {}
        self._settled: list[int] = []
        wanted = (
            chess.BB_ALL if pawn is None else chess.BB_SQUARES[pawn] | chess.BB_SQUARES[pawn ^ 7]
        )  # as symmetry has it
        self._collect(board for board in every_position(ending) if not board.pawns & ~wanted)
        self._places = np.concatenate(self._placed)
        self.left = 0
        self.scores = np.zeros(self.count, np.int16)
        self.scores[list(self._ends)] = list(self._ends.values())

    def advance(self) -> None:
        """Give every position one ply more."""
        worth = np.concatenate([one_ply_before(self.scores), np.array(self._settled, np.int16)])
        going_on = np.ones(self.count, np.bool_)
        going_on[list(self._ends)] = False
        self.scores = self.scores.copy()
        self.scores[going_on] = np.maximum.reduceat(worth[self._targets], self._starts)
        self.left += 1

    def board(self, number: int) -> chess.Board:
        """Return a position by its number."""
        *squares, turn = self._places[number].tolist()
        return board_of(self.men, squares, bool(turn))

    def number(self, board: chess.Board) -> int:
        """Return the number of a position of the ending, the side written first playing either colour."""
        for turned in (board, board.mirror()):
            squares = self._squares([turned])
            if (squares >= 0).all():
                return int(self._numbers[self._keys(squares, np.array([turned.turn]))[0]])
        raise ValueError(f"expected a position of the ending, got {board.fen()!r}")

    def _collect(self, boards: Iterator[chess.Board]) -> None:
        counts: list[int] = []
        targets: list[Squares] = []
        while batch := list(islice(boards, _BATCH)):
            fresh = self._numbered(batch)
            moves = [self._moves(board) for board in fresh]
            counts += [len(those) for those in moves if those]
            targets.append(self._reached(fresh, moves))
        # A move with a worth of its own points behind the last position; see `advance`.
        keys = np.concatenate(targets)
        own = keys < 0
        self._targets = np.where(own, self.count + np.cumsum(own) - 1, self._numbers[keys]).astype(np.int32)
        assert (self._targets >= 0).all()
        self._starts = np.cumsum(counts) - np.array(counts, np.int64)

    def _numbered(self, batch: list[chess.Board]) -> list[chess.Board]:
        """Give numbers to positions that have none and return them."""
        keys = self._keys(self._squares(batch), np.array([board.turn for board in batch]))
        fresh = []
        for board, key in zip(batch, keys.tolist(), strict=True):
            if self._numbers[key] < 0:
                self._numbers[key] = self.count
                end = end_of(board)
                if end is not None:
                    self._ends[self.count] = scored(end)
                fresh.append(board)
                self.count += 1
        turns = np.array([board.turn for board in fresh], np.int8)
        self._placed.append(np.vstack([self._squares(fresh), turns]).astype(np.int8).T)
        return fresh

    def _moves(self, board: chess.Board) -> list[int]:
        """Return the moves as ``source + 64 * target``, -1 for those that zero the clock; their worth is kept."""
        moves = []
        for move in [] if board.is_insufficient_material() else board.legal_moves:
            if board.is_zeroing(move):
                board.push(move)
                value = end_of(board) or self._beyond(board)
                board.pop()
                self._settled.append(int(one_ply_before(np.array(scored(value)))))
                moves.append(-1)
            else:
                moves.append(move.from_square + 64 * move.to_square)
        return moves

    def _reached(self, boards: list[chess.Board], moves: list[list[int]]) -> Squares:
        """Return the keys of the positions after the moves, -1 where the clock is zeroed."""
        every = np.array([move for those in moves for move in those], np.int64)
        parents = np.repeat(np.arange(len(boards)), [len(those) for those in moves])
        squares = self._squares(boards)[:, parents]
        squares = np.where(squares == every % 64, every // 64, squares)
        turns = np.array([not board.turn for board in boards])[parents]
        return np.where(every < 0, -1, self._keys(np.where(every < 0, 0, squares), turns))

    def _squares(self, boards: Sequence[chess.Board]) -> Squares:
        """Return the squares of the men, -1 for a man not there; shape (men, positions)."""
        masks = [[board.pieces_mask(*man) for man in self.men] for board in boards]
        return np.array([[mask.bit_length() - 1 for mask in row] for row in masks], np.int64).T

    def _keys(self, squares: Squares, turns: NDArray[np.bool_]) -> Squares:
        """Return one key for all images of a position."""
        keys = np.zeros((len(self._images), squares.shape[1]), np.int64)
        for row, image in zip(keys, self._images, strict=True):
            for man in image[squares]:
                row *= 64
                row += man
        return np.asarray(keys.min(axis=0) * 2 + turns, dtype=np.int64)


def _images(pawns: bool) -> list[Squares]:
    """Return where the symmetries of the board carry each square."""
    squares = np.arange(64)
    images = [squares, squares ^ 7]
    if not pawns:
        images += [image ^ 56 for image in images]
        images += [(image & 7) << 3 | image >> 3 for image in images]
    return images
