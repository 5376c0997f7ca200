"""Check solved endings with python-chess's moves on the user's own machine: each value against those one move later.

Where every position agrees with its successors, and mates are python-chess's mates, every value is right: a distance
is one more than a smaller one down to mate, and who stands in a draw always has a move that stays in it.
Never looks at how the values were worked out.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator
from itertools import chain, groupby, islice
from typing import NamedTuple

import chess
import numpy as np

from matebot.records import dataclass
from matebot.solver.codes import DRAW, ILLEGAL, TOO_LONG, mate_plies, number_of, white_wins
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables, Value
from matebot.verification.successors import TablePlaces, expected

#: How many disagreements are put into words.
SHOWN = 5
#: Positions held against their successors at a time: with five men so many that a row is read for dozens of them.
_BATCH, _LARGE_BATCH = 4_096, 100_000


@dataclass(frozen=True, slots=True)
class Finding:
    """How many positions were looked at, how many disagree with their successors, and the first of those in words."""

    positions: int = 0
    faults: int = 0
    shown: tuple[str, ...] = ()

    def __add__(self, other: Finding) -> Finding:
        shown = (*self.shown, *other.shown)[:SHOWN]
        return Finding(self.positions + other.positions, self.faults + other.faults, shown)


def examine(boards: Iterable[chess.Board], places: TablePlaces) -> Finding:
    """Hold positions of one ending against their successors."""
    left, found = iter(boards), Finding()
    for first in left:
        size = _BATCH if chess.popcount(first.occupied) <= 4 else _LARGE_BATCH
        found += _examined(chain([first], islice(left, size - 1)), places)
    return found


def _examined(boards: Iterable[chess.Board], places: TablePlaces) -> Finding:
    tables, found = places.tables, Finding()
    groups: dict[tuple[Material | None, bool], list[_Position]] = {}
    for board in boards:
        if _en_passant_matters(board):
            fault = disagreement(board, tables)
            found += Finding(1) if fault is None else Finding(1, 1, (fault,))
        else:
            stand, swapped = tables.stand(board)
            position = _Position(stand, swapped, _moves(board, swapped), board.is_check())
            groups.setdefault((stand.material, stand.white_to_move), []).append(position)
    for group in groups.values():
        group.sort(key=_row)
        found += _faults(group, places)
    return found


class _Position(NamedTuple):
    """A position as it stands in the tables, with what python-chess says of it.

    Attributes
    ----------
    moves : the legal moves as `successors.expected` takes them, the board turned where the colours are exchanged
    """

    stand: CanonicalPosition
    swapped: bool
    moves: array[int]
    in_check: bool

    def board(self) -> chess.Board:
        """Return the position again, which is one without a capture en passant."""
        stand, board = self.stand, chess.Board(None)
        men = [("K", True), ("K", False), *(stand.material.men if stand.material else ())]
        for (man, white), square in zip(men, (stand.white_king, stand.black_king, *stand.men), strict=True):
            board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
        board.turn = stand.white_to_move
        return board.mirror() if self.swapped else board


def _row(position: _Position) -> tuple[int, int]:
    """Tell in which row of the tables a position stands: those next to each other are read together."""
    stand = position.stand
    reduction = REDUCTION[stand.material is not None and stand.material.has_pawns]
    return reduction.king_class[stand.white_king], reduction.mapped[stand.white_king][stand.black_king]


def _faults(group: list[_Position], places: TablePlaces) -> Finding:
    """Find how positions of one ending with one side to move disagree with their successors.

    The value told in play, the entry in the table and what follows from the successors must be one and the same.
    """
    stands = [position.stand for position in group]
    follows = expected(places, stands, [position.moves for position in group], [one.in_check for one in group])
    squares = np.array([(s.white_king, s.black_king, *s.men) for s in stands]).T
    white = stands[0].white_to_move
    faults = 0
    shown: list[str] = []
    for run in _runs(group):
        kept = places.codes(stands[0].material, white, squares[:2, run], squares[2:, run])
        for position, codes, entry in zip(group[run], follows.T[run].tolist(), kept.T.tolist(), strict=True):
            wanted, told = _value(codes, white), places.tables.value_of(position.stand)
            if wanted != told or codes != entry:
                faults += 1
                if len(shown) < SHOWN:  # nobody reads the others, and a wrong table has thousands
                    shown.append(_fault(position.board(), wanted, told if wanted != told else _value(entry, white)))
    return Finding(len(group), faults, tuple(shown))


def _runs(group: list[_Position]) -> Iterator[slice]:
    """Yield the parts of sorted positions to be looked up together: with five men those in one row, read once."""
    ending, start = group[0].stand.material, 0
    if ending is None or not is_large(ending):
        yield slice(0, len(group))
        return
    for _, run in groupby(group, _row):
        end = start + sum(1 for _ in run)
        yield slice(start, end)
        start = end


def _moves(board: chess.Board, swapped: bool) -> array[int]:
    turned = 0o7070 if swapped else 0
    return array(
        "H",
        [
            (move.from_square | move.to_square << 6 | (move.promotion or 0) << 12) ^ turned
            for move in board.generate_legal_moves()
        ],
    )


def _value(codes: list[int], white_to_move: bool) -> Value | None:
    """Return what the codes of both metrics say, None where they are those of no position."""
    if ILLEGAL in codes:
        return None
    dtm, dtz = codes
    outcome = 0 if dtm == DRAW else 1 if white_wins(dtm) == white_to_move else -1
    return Value(outcome, mate_plies(dtm, white_to_move), number_of(dtz))


def _en_passant_matters(board: chess.Board) -> bool:
    """Whether a pawn may be captured en passant, now or after a double step."""
    if board.ep_square is not None:
        return True
    ours, theirs = (board.pawns & board.occupied_co[side] for side in (board.turn, not board.turn))
    reached = (ours & chess.BB_RANK_2) << 16 if board.turn else (ours & chess.BB_RANK_7) >> 16
    beside = (reached & ~chess.BB_FILE_A) >> 1 | (reached & ~chess.BB_FILE_H) << 1
    return bool(beside & theirs)


def disagreement(board: chess.Board, tables: Tables) -> str | None:
    """Return how a position disagrees with its successors (FEN, expected, got), None when it agrees."""
    wanted, told = _expected(board, tables), tables.value(board)
    return None if wanted == told else _fault(board, wanted, told)


def _fault(board: chess.Board, wanted: Value | None, told: Value | None) -> str:
    return f"{board.fen(en_passant='fen')}: expected {_words(wanted)}, got {_words(told)}"


def _words(value: Value | None) -> str:
    if value is None:
        return "no value"
    if value.outcome == 0 and value.dtm_plies is None and value.dtz_plies is None:
        return "drawn"
    outcome = {1: "won", 0: "drawn", -1: "lost"}[value.outcome]
    return f"{outcome}, mate in {value.dtm_plies} plies, capture, pawn move or mate in {value.dtz_plies}"


def _expected(board: chess.Board, tables: Tables) -> Value:
    losses: list[tuple[int, int]] = []
    wins: list[tuple[int, int]] = []
    drawn = False
    moves = list(board.legal_moves)
    if not moves:
        return Value(-1, 0, 0) if board.is_check() else Value(0, None, None)
    for move in moves:
        zeroing = board.is_zeroing(move)
        board.push(move)
        child, mated = tables.value(board), board.is_checkmate()
        board.pop()
        if child.dtm_plies is None or child.dtz_plies is None:
            drawn = True
        else:
            leg = min(1 + child.dtz_plies, TOO_LONG)
            if mated or (zeroing and child.dtz_plies < TOO_LONG):
                leg = 1
            (losses if child.outcome < 0 else wins).append((1 + child.dtm_plies, leg))
    if losses:
        return Value(1, min(dtm for dtm, _ in losses), min(leg for _, leg in losses))
    if drawn:
        return Value(0, None, None)
    return Value(-1, max(dtm for dtm, _ in wins), max(leg for _, leg in wins))
