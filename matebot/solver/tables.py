"""The one door to the exact values: from a ``chess.Board`` to outcome and distances, solving what is needed.

Knows nothing of the halfmove clock and of repetition; see `matebot.laws` for those.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

import chess
import numpy as np

from matebot.solver.budget import mark_used, throw_out
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
from matebot.solver.ending import Ending
from matebot.solver.geometry import Codes
from matebot.solver.keeping import Keeper
from matebot.solver.late_legs import timed
from matebot.solver.lookup import CanonicalPosition, Recent, Row, Value
from matebot.solver.material import Material, closure
from matebot.solver.memory import give_back
from matebot.solver.offer import is_large, offer
from matebot.solver.retrograde import Solver
from matebot.solver.store import Folder, default_folder, path_of
from matebot.solver.successors import Step, Successors, arranged
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Damaged

METRICS = ("dtm", "dtz")
#: Positions whose moves are remembered; searches come back to the same ones. About 5 KiB each.
_STEPS_KEPT = 2_048
#: The letter of each of python-chess's types of men, which begin with 1.
_LETTERS = "-PNBRQK"
_PIECES = {"": None, "Q": chess.QUEEN, "R": chess.ROOK, "B": chess.BISHOP, "N": chess.KNIGHT}
#: Endings of more men beside the kings are never held unpacked.
_MEN_HELD = 2
_TOO_LONG = np.array([code_of(TOO_LONG, winner) for winner in (True, False)], np.uint8)
#: Solving that takes no longer than this goes without a word.
_QUIET_SECONDS = 0.3

#: What solutions may take before they are packed, with those packed in memory; and what the rows at hand may take.
#: With what solving one ending takes beside them, a session with a table folder stays below 256 MiB over its start.
_HELD_BYTES, _ROWS_BYTES = 96 * 2**20, 24 * 2**20

__all__ = ["Refusal", "Stopped", "Tables", "Value", "check"]


class Stopped(Exception):
    """The work was given up because the caller asked for it."""


def _never() -> bool:
    return False


def _ignore(told: object) -> None:
    pass


def move_of(step: Step, turned: bool) -> chess.Move:
    """Return a step as a move on the real board; `turned` tells that colours were exchanged."""
    turn = 56 if turned else 0
    return chess.Move(step.source ^ turn, step.target ^ turn, _PIECES[step.promotion])


class Tables:
    """Values of all covered endings, solved or read from disk when first asked for.

    Parameters
    ----------
    folder : where solved endings are kept between runs; None keeps them in memory only
    notice : receives lines about progress and about files that had to be rebuilt
    stopped : asked between layers; when it returns True the work ends with `Stopped`
    held_bytes : solutions beyond this are packed before the next one is begun, in memory where there is no folder
    largest : the most men of an ending that is solved because a question needs it, 4 or 5; what is kept is always read

    Attributes
    ----------
    largest : see above
    watch : told between layers which ending is being solved
    cut : asked at each position of a line; when it returns True nothing more is added to what is being made
    ways : the shortest mates that clock and history leave open, as far as they have been worked out
    """

    def __init__(
        self,
        folder: Path | None = None,
        notice: Callable[[str], None] = _ignore,
        stopped: Callable[[], bool] = _never,
        held_bytes: int = _HELD_BYTES,
        largest: int = 4,
    ) -> None:
        self.folder = folder
        self._held_bytes, self.largest = held_bytes, largest
        self.notice = notice
        self.stopped = stopped
        self.watch: Callable[[Material], None] = _ignore
        self.cut: Callable[[], bool] = _never
        self.ways = Ways(self)
        self._endings: dict[Material, Ending] = {}
        self._keeper = Keeper()
        self._recent = Recent(_ROWS_BYTES)
        self._steps: dict[CanonicalPosition, list[Step]] = {}
        self._at_work: Material | None = None  # what was solved last
        self._budget_bytes = 0
        self._target: Material | None = None  # what is being solved, or was last
        self._at_hand: set[Material] = set()  # of five men, with all endings of five men they lead to
        self._unsound: dict[Material, int] = {}  # files that were found damaged, and when they had been written
        self._shelf = None if folder is None else Folder(folder, lambda text: self.notice(text))
        self.successors = Successors(lambda material: self._ending(material).dtm)

    def prepare(self, material: Material) -> None:
        """Make an ending ready for questions: read it, or solve it and what it leads to."""
        if material not in self._endings and not self._read(material):
            smaller = [m for m in closure(material)[:-1] if m not in self._endings and not self._read(m)]
            self._keeper.prefer(material)
            self._target = material
            self._solve_all([*smaller, material])

    def has_file(self, material: Material) -> bool:
        """Whether there is a file of an ending, sound or not."""
        return self.folder is not None and path_of(self.folder, material).is_file()

    def _solve_all(self, needed: list[Material]) -> None:
        begun = time.monotonic()
        for number, ending in enumerate(needed, start=1):
            if time.monotonic() - begun > _QUIET_SECONDS:
                self.notice(f"solving {needed[-1].name}: {number} of {len(needed)} endings")
            self._solve_next(ending)

    def _solve_next(self, material: Material) -> None:
        fresh = self._new(material)
        self._solve(fresh)
        self._endings[material] = fresh

    def _packing(self) -> bool:
        """Whether an ending of five men should not be packed further; asked every fraction of a second meanwhile."""
        self.pulse()
        return False

    def pulse(self) -> None:
        """Raise `Stopped` where the work is to end; called every fraction of a second while five men are solved."""
        if self.stopped():
            raise Stopped

    def keep(self, interrupted: Callable[[], bool] = _never) -> None:
        """Keep what has been solved and is not kept yet, before this returns; for when no answer is waited for.

        Parameters
        ----------
        interrupted : asked every fraction of a millisecond; when it returns True the rest is left for the next time
        """
        self._keeper.now(interrupted)

    def keep_behind(self) -> None:
        """Keep what has been solved on a thread of its own, and return at once."""
        self._keeper.behind()

    def finish_keeping(self, asked_seconds: float, rest_seconds: float) -> None:
        """Keep what has been solved and give up: at most so long for endings that were asked for, and for the rest."""
        self._keeper.finish(asked_seconds, rest_seconds)

    def set_budget(self, mebibytes: int) -> None:
        """Let the files in the folder take at most so much from now on, 0 for no limit; see `budget`."""
        self._budget_bytes = mebibytes * 2**20
        self._keep_to_budget()

    def _keep_to_budget(self) -> None:
        if not self._budget_bytes or self.folder is None:
            return
        asked = [*self._at_hand] if self._target is None else [*self._at_hand, self._target]
        taken = throw_out(self.folder, self._budget_bytes, {m for material in asked for m in closure(material)})
        if taken > self._budget_bytes:
            over = f"{taken / 2**20:.0f} MiB, more than the {self._budget_bytes / 2**20:.0f} MiB allowed"
            self.notice(f"solved endings take {over}: those in use and those of fewer men are kept")

    def close(self) -> None:
        """Let go of all endings; what is asked afterwards is read or solved anew."""
        self._keeper.give_up()
        self._recent.forget()
        for ending in self._endings.values():  # they hold each other, so nobody else would let go of them soon
            ending.kept = ending.solution = None
        self._endings.clear()
        self._at_hand.clear()
        self._steps.clear()
        self._keeper, self._recent = Keeper(), Recent(_ROWS_BYTES)

    def bytes_on_disk(self, material: Material) -> int:
        """Return the size of an ending's file, 0 where the ending is in memory only."""
        kept = self._ending(material).kept
        return kept.size if kept is not None and kept.on_disk else 0

    def _bytes_packed(self) -> int:
        """Return what is packed in memory."""
        kept = (ending.kept for ending in list(self._endings.values()))
        return sum(one.size for one in kept if one is not None and not one.on_disk)

    def folder_remark(self) -> str | None:
        """Return what is to be told of the table folder at once: why it cannot be used, or that it is yet to be made.

        What has been returned here is not told again in a notice.
        """
        return None if self._shelf is None else self._shelf.remark()

    def check(self, board: chess.Board) -> None:
        """Raise `Refusal` unless the position is covered and its ending may be asked for; see `check_ending`."""
        check(board)
        if chess.popcount(board.occupied) > 2 + _MEN_HELD:
            self.check_ending(Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0])

    def check_ending(self, material: Material) -> None:
        """Raise `Refusal` where an ending is not solved yet and takes too much to be solved without being asked for.

        This is the one place where it is decided whether questions about five men are answered.
        """
        if self.largest > 4 or not is_large(material) or self._is_at_hand(material):
            return
        raise Refusal("unsolved", self.offer([material]))

    def offer(self, wanted: Sequence[Material]) -> str:
        """Say how endings of five men that are not solved yet can be had; see `offer`."""
        needed = dict.fromkeys(m for material in wanted for m in closure(material))
        missing = [m for m in needed if m not in self._endings and not self.has_file(m)]
        return offer(wanted, missing or wanted, self.folder, default_folder())

    def would_wait(self, board: chess.Board) -> bool:
        """Whether a position is of an ending of five men that is yet to be solved."""
        if chess.popcount(board.occupied) <= 2 + _MEN_HELD:
            return False
        return not self._is_at_hand(Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0])

    def _is_at_hand(self, material: Material) -> bool:
        """Whether an ending of five men and all such endings it leads to are solved; opens their files."""
        if material not in self._at_hand and all(
            m in self._endings or self._opens(m) for m in closure(material) if is_large(m)
        ):
            self._at_hand.add(material)
        return material in self._at_hand

    def _opens(self, material: Material) -> bool:
        """Open an ending's file if it is sound; one that was not is looked at again once it has been replaced."""
        written = self._written_ns(material)
        if written is None or self._unsound.get(material) == written:
            return False
        if self._read(material):
            return True
        self._unsound[material] = written
        return False

    def _written_ns(self, material: Material) -> int | None:
        with suppress(OSError):
            if self.folder is not None:
                return path_of(self.folder, material).stat().st_mtime_ns
        return None

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
            return Value(0, None, None)
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

    def _ending(self, material: Material) -> Ending:
        found = self._endings.get(material)
        if found is None:
            self.prepare(material)
            found = self._endings[material]
        return found

    def heartbeat(self, plies_done: int) -> None:
        """Raise `Stopped` when the work is to end; called between layers, with the plies done."""
        self.pulse()
        if self._at_work is not None:
            self.watch(self._at_work)

    def codes(self, material: Material, white_to_move: bool, metric: str = "dtm") -> Codes:
        """Return the codes of an ending for one side to move, in the reduced layout (see `codes`).

        `metric` is "dtm" or "dtz".
        """
        return self._ending(material).codes(METRICS.index(metric), white_to_move)

    def row(
        self, material: Material, white_to_move: bool, king_class: int, black_king: int, metric: str = "dtm"
    ) -> Row:
        """Return one row of the codes of an ending; see `codes`."""
        ending = self._ending(material)
        reader = ending.dtm if metric == METRICS[0] else ending.dtz
        return reader.row(white_to_move, reader.home[king_class], black_king)

    def _read(self, material: Material) -> bool:
        """Open an ending's file, if it is kept and sound."""
        kept = None if self._shelf is None else self._shelf.read(material)
        if kept is None:
            return False
        self._endings[material] = ending = self._new(material)
        ending.kept = kept
        if self.folder is not None:
            mark_used(self.folder, material)
        return True

    def _new(self, material: Material) -> Ending:
        return Ending(material, self._solve, self._spoilt, self._shelf, self._recent, self.pulse)

    def _solve(self, ending: Ending) -> None:
        self._at_work = ending.material
        self._keeper.make_room(self._held_bytes - self._bytes_packed())
        solver = Solver(
            ending.material, self.codes, self.heartbeat, timed=timed(ending.material, self.codes), pulse=self.pulse
        )
        if len(ending.material.men) > _MEN_HELD:
            give_back()
            ending.solve_and_keep(solver, self._packing)
            del solver
            give_back()
            self._keep_to_budget()
            return
        ending.solution = solver.solve()
        self._keeper.add(ending)

    def _spoilt(self, material: Material, fault: Damaged) -> None:
        if self._shelf is not None:
            self._shelf.tell_damaged(material, fault)

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
        places = [divmod(row, 64) for row in range(self.rows(material))]
        longest, place = max(
            ((ending.longest_win(number, True, *place), place) for place in places), key=lambda found: found[0]
        )
        if not longest:
            return 0, ""
        row = self.whole_row(material, True, 64 * place[0] + place[1], metric)
        plies = 2 * longest - 1 if metric == "dtm" else longest
        return plies, self._fen_in_row(material, place, int((row == longest).argmax()))

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
