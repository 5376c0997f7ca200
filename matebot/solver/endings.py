"""The endings at hand: read where they are kept, else solved with all they lead to, and kept.

Knows of tables and files, not of positions; see `tables` for those.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from matebot.solver import compile_ahead
from matebot.solver.budget import mark_used, throw_out
from matebot.solver.ending import Ending
from matebot.solver.geometry import Codes
from matebot.solver.keeping import Keeper
from matebot.solver.late_legs import timed
from matebot.solver.lookup import Recent, Row
from matebot.solver.material import Material, closure
from matebot.solver.memory import give_back, map_large_arrays
from matebot.solver.offer import is_large, offer
from matebot.solver.retrograde import Solver
from matebot.solver.sources import Damaged
from matebot.solver.store import Folder, default_folder, path_of

if TYPE_CHECKING:
    from subprocess import Popen

METRICS = ("dtm", "dtz")
#: Endings of more men beside the kings are never held unpacked.
MEN_HELD = 2
#: Solving that takes no longer than this goes without a word.
_QUIET_SECONDS = 0.3

#: What solutions may take before they are packed, with those packed in memory; and what the rows at hand may take.
#: With what solving one ending takes beside them, a session with a table folder stays below 256 MiB over its start.
HELD_BYTES, _ROWS_BYTES = 96 * 2**20, 24 * 2**20


class Stopped(Exception):
    """The work was given up because the caller asked for it."""


def never() -> bool:
    """Never stop."""
    return False


def ignore(told: object) -> None:
    """Tell nobody."""


class Endings:
    """The endings that have been asked for, each solved or read from disk when that first happens.

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
    """

    def __init__(
        self,
        folder: Path | None = None,
        notice: Callable[[str], None] = ignore,
        stopped: Callable[[], bool] = never,
        held_bytes: int = HELD_BYTES,
        largest: int = 4,
    ) -> None:
        self.folder = folder
        self._held_bytes, self.largest = held_bytes, largest
        self.notice = notice
        self.stopped = stopped
        self.watch: Callable[[Material], None] = ignore
        self._endings: dict[Material, Ending] = {}
        self._keeper = Keeper()
        self._recent = Recent(_ROWS_BYTES)
        self._at_work: Material | None = None  # what was solved last
        self._compiling: Popen[bytes] | None = None
        self._budget_bytes = 0
        self._target: Material | None = None  # what is being solved, or was last
        self._at_hand: set[Material] = set()  # of five men, with all endings of five men they lead to
        self._unsound: dict[Material, int] = {}  # files that were found damaged, and when they had been written
        self._shelf = None if folder is None else Folder(folder, lambda text: self.notice(text))

    def prepare(self, material: Material) -> None:
        """Make an ending ready for questions: read it, or solve it and what it leads to."""
        if material not in self._endings and not self._read(material):
            smaller = [m for m in closure(material)[:-1] if m not in self._endings and not self._read(m)]
            self._keeper.prefer(material)
            self._target = material
            self._compiling = compile_ahead.begin() if len(material.men) > MEN_HELD else None
            try:
                self._solve_all([*smaller, material])
            finally:
                if self._compiling is not None:
                    compile_ahead.end(self._compiling)

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

    def keep(self, interrupted: Callable[[], bool] = never) -> None:
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

    def offer(self, wanted: Sequence[Material]) -> str:
        """Say how endings of five men that are not solved yet can be had; see `offer`."""
        needed = dict.fromkeys(m for material in wanted for m in closure(material))
        missing = [m for m in needed if m not in self._endings and not self.has_file(m)]
        return offer(wanted, missing or wanted, self.folder, default_folder())

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

    def _codes_there(self, material: Material, white_to_move: bool, metric: str) -> frozenset[int] | None:
        return self._ending(material).present(METRICS.index(metric), white_to_move)

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
        large = len(ending.material.men) > MEN_HELD
        if large:
            if self._compiling is not None:
                compile_ahead.finish(self._compiling, self.pulse)
            map_large_arrays()
        late = timed(ending.material, self.codes, self._codes_there)
        solver = Solver(ending.material, self.codes, self.heartbeat, timed=late, pulse=self.pulse)
        if large:
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
