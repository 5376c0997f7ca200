"""The one door to the exact values: from a ``chess.Board`` to outcome and distances, solving what is needed.

Knows nothing of the halfmove clock and of repetition; see `matebot.laws` for those.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import chess
import numpy as np

from matebot.solver.clocked import Ways
from matebot.solver.codes import (
    DRAW,
    TOO_LONG,
    code_of,
    expand,
    flip,
    mate_plies,
    number_of,
    squares_of,
    white_wins,
)
from matebot.solver.coverage import Refusal, check, men_of
from matebot.solver.endings import HELD_BYTES, MEN_HELD, METRICS, Endings, Stopped, ignore, never
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition, Value
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.successors import Step, Successors, arranged
from matebot.solver.symmetry import REDUCTION

#: Positions whose moves are remembered; searches come back to the same ones. About 5 KiB each.
_STEPS_KEPT = 2_048
#: The letter of each of python-chess's types of men, which begin with 1.
_LETTERS = "-PNBRQK"
_PIECES = {"": None, "Q": chess.QUEEN, "R": chess.ROOK, "B": chess.BISHOP, "N": chess.KNIGHT}
_TOO_LONG = np.array([code_of(TOO_LONG, winner) for winner in (True, False)], np.uint8)
_DRAWN = Value(0, None, None)
__all__ = ["METRICS", "Refusal", "Stopped", "Tables", "Value", "check"]


def move_of(step: Step, turned: bool) -> chess.Move:
    """Return a step as a move on the real board; `turned` tells that colours were exchanged."""
    return move_to(step.source, step.target, step.promotion, turned)


@cache
def move_to(source: int, target: int, promotion: str, turned: bool) -> chess.Move:
    """Return the same of a step given by its squares and the man promoted to."""
    turn = 56 if turned else 0
    return chess.Move(source ^ turn, target ^ turn, _PIECES[promotion])


class Tables(Endings):
    """Values of all covered endings, solved or read from disk when first asked for; see `Endings`.

    Attributes
    ----------
    cut : asked at each position of a line; when it returns True nothing more is added to what is being made
    ways : the shortest mates that clock and history leave open, as far as they have been worked out
    """

    def __init__(
        self,
        folder: Path | None = None,
        notice: Callable[[str], None] = ignore,
        stopped: Callable[[], bool] = never,
        held_bytes: int = HELD_BYTES,
        largest: int = 4,
    ) -> None:
        super().__init__(folder, notice, stopped, held_bytes, largest)
        self.cut: Callable[[], bool] = never
        self.ways = Ways(self)
        self._steps: dict[CanonicalPosition, list[Step]] = {}
        self.successors = Successors(lambda material: self._ending(material).dtm)

    def close(self) -> None:
        """Let go of all endings; what is asked afterwards is read or solved anew."""
        super().close()
        self._steps.clear()

    def check(self, board: chess.Board) -> None:
        """Raise `Refusal` unless the position is covered and its ending may be asked for; see `check_ending`."""
        check(board)
        if chess.popcount(board.occupied) > 2 + MEN_HELD:
            self.check_ending(Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0])

    def check_ending(self, material: Material) -> None:
        """Raise `Refusal` where an ending is not solved yet and takes too much to be solved without being asked for.

        This is the one place where it is decided whether questions about five men are answered.
        """
        if self.largest > 4 or not is_large(material) or self._is_at_hand(material):
            return
        raise Refusal("unsolved", self.offer([material]))

    def would_wait(self, board: chess.Board) -> bool:
        """Whether a position is of an ending of five men that is yet to be solved."""
        if chess.popcount(board.occupied) <= 2 + MEN_HELD:
            return False
        return not self._is_at_hand(Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0])

    def stand(self, board: chess.Board) -> tuple[CanonicalPosition, bool]:
        """Return a covered position in canonical form and whether the colours were exchanged.

        Raises
        ------
        Refusal
            when the position is not covered
        """
        self.check(board)
        return self.stand_of(board)

    def stand_of(self, board: chess.Board) -> tuple[CanonicalPosition, bool]:
        """Return the same for a position that is known to be covered, as those after its legal moves are."""
        squares = tuple(chess.scan_forward(board.occupied & ~board.kings))
        white = board.occupied_co[chess.WHITE]
        men = tuple((_LETTERS[board.piece_type_at(square) or 0], bool(white >> square & 1)) for square in squares)
        passed = board.ep_square if board.ep_square is not None and board.has_legal_en_passant() else None
        white_king, black_king = ((board.kings & side).bit_length() - 1 for side in (white, ~white))
        return arranged(board.turn, white_king, black_king, men, squares, passed)

    def value(self, board: chess.Board) -> Value:
        """Return the exact value of a covered position.

        Raises
        ------
        Refusal
            when the position is not covered
        """
        return self.value_of(self.stand(board)[0])

    def value_of(self, stand: CanonicalPosition) -> Value:
        """Return the exact value of a position in canonical form."""
        return self._value(stand, self.successors.code(stand))

    def value_after(self, step: Step) -> Value:
        """Return the exact value of the position after a move, for the side then to move."""
        return self._value(step.child, flip(step.code) if step.swapped else step.code)

    def _value(self, stand: CanonicalPosition, code: int) -> Value:
        if code == DRAW:
            return _DRAWN
        outcome = 1 if white_wins(code) == stand.white_to_move else -1
        return Value(outcome, mate_plies(code, stand.white_to_move), lambda: self._dtz_plies(stand, outcome))

    def code_in_time(self, stand: CanonicalPosition, clock_plies: int) -> int:
        """Return the code to mate of a position, drawn where the clock leaves no room for it: with five men only."""
        code = self.successors.code(stand)
        if stand.material is None or not is_large(stand.material) or code == DRAW:
            return code
        return DRAW if self._value(stand, code).is_late(clock_plies) else code

    def steps(self, stand: CanonicalPosition, turned: bool = False) -> list[Step]:
        """Return every legal move with the DTM code it leads to, in the order of `Successors.steps`."""
        if stand.material is not None:
            self.prepare(stand.material)
        return self.successors.steps(stand, turned)

    def remembered_steps(self, stand: CanonicalPosition) -> list[Step]:
        """Return the same, remembered for a while: for searches that come back to the same positions."""
        found = self._steps.get(stand)
        if found is None:
            if len(self._steps) >= _STEPS_KEPT:
                self._steps.clear()
            found = self._steps[stand] = self.steps(stand)
        return found

    def _dtz_plies(self, stand: CanonicalPosition, outcome: int) -> int | None:
        if stand.passed is None:
            assert stand.material is not None
            reader = self._ending(stand.material).dtz
            return number_of(reader.code(stand.white_to_move, stand.white_king, stand.black_king, stand.men))
        legs = []
        for step in self.successors.steps(stand):
            child = self.value_after(step)
            if outcome == 1 and child.outcome != -1:
                continue
            leg = child.dtz_plies or 0
            zeroed = step.zeroing and leg < TOO_LONG
            legs.append(1 if child.dtm_plies == 0 or zeroed else min(1 + leg, TOO_LONG))
        return min(legs) if outcome == 1 else max(legs, default=0)

    def rows(self, material: Material) -> int:
        """Return how many rows the codes with one side to move have."""
        return len(REDUCTION[material.has_pawns].home) * 64

    def whole_row(self, material: Material, white_to_move: bool, number: int, metric: str = "dtm") -> Codes:
        """Return one of the `rows` of codes."""
        row = self._ending(material).whole_row(METRICS.index(metric), white_to_move, *divmod(number, 64))
        return np.frombuffer(row, np.uint8)

    def row_in_time(self, material: Material, white_to_move: bool, number: int) -> Codes:
        """Return one row of codes, to mate, drawn where no clock leaves room for the win."""
        codes, legs = (self.whole_row(material, white_to_move, number, metric) for metric in METRICS)
        return np.where(np.isin(legs, _TOO_LONG), np.uint8(DRAW), codes)

    def longest(self, material: Material, metric: str = "dtm") -> tuple[int, str]:
        """Return the longest win of the stronger side, it being to move: plies, and a position (FEN).

        `metric` is "dtm" or "dtz"; without a win the result is ``(0, "")``.
        """
        ending, number = self._ending(material), METRICS.index(metric)
        by_row = ending.longest_wins(number, True)
        longest = max(by_row)
        if not longest:
            return 0, ""
        place = by_row.index(longest)
        row = self.whole_row(material, True, place, metric)
        plies = 2 * longest - 1 if metric == "dtm" else longest
        return plies, self._fen_in_row(material, divmod(place, 64), int((row == longest).argmax()))

    def longest_in_time(self, material: Material) -> tuple[int, str]:
        """Return the same of the wins to mate that the fifty-move rule leaves room for."""
        if not is_large(material):  # of so few men it does for all
            return self.longest(material)
        best, where = 0, (0, 0)
        for number in range(self.rows(material)):
            codes = self.row_in_time(material, True, number)
            won = np.where(codes < DRAW, codes, 0)
            if int(won.max()) > best:
                best, where = int(won.max()), (number, int(won.argmax()))
        if not best:
            return 0, ""
        return 2 * best - 1, self._fen_in_row(material, divmod(where[0], 64), where[1])

    def whole(self, material: Material, white_to_move: bool, metric: str = "dtm") -> Codes:
        """Return the codes of every placement, axes (men..., 64 white king, 64 black king)."""
        every = np.arange(64)
        men = [squares_of(man) for man, _ in material.men]
        return expand(self.codes(material, white_to_move, metric), material, men, every, every)

    def _fen_in_row(self, material: Material, kings: tuple[int, int], place: int) -> str:
        """Return a position (FEN), White to move, by its kings' row and its place in the row."""
        board = chess.Board(None)
        home = REDUCTION[material.has_pawns].home
        board.set_piece_at(home[kings[0]], chess.Piece(chess.KING, chess.WHITE))
        board.set_piece_at(kings[1], chess.Piece(chess.KING, chess.BLACK))
        sizes = tuple(len(squares_of(man)) for man, _ in material.men)
        for (man, white), index in zip(material.men, np.unravel_index(place, sizes), strict=True):
            piece = chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white)
            board.set_piece_at(int(squares_of(man)[index]), piece)
        return board.fen()
