"""Tables that solve on a thread of their own, so that nobody need wait for a solution longer than suits him.

Whoever asks for an ending waits until it is there, or gives up with `Stopped`; solving goes on behind all the same.
What is asked for last is solved first. numpy lets go of the interpreter while it works, so both threads get on.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import chess

from matebot.solver.ending import Ending
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material, closure
from matebot.solver.offer import is_large
from matebot.solver.tables import Stopped, Tables
from matebot.solver.time_left import TimeLeft

#: How often somebody who waits looks whether he should give up.
_POLL_SECONDS = 0.004
#: How often it is told at most how far the solving of five men is.
_TELL_SECONDS = 2.0


@dataclass(eq=False, slots=True)
class _Order:
    """Work somebody waits for, about an ending; `fault` is what kept it from being done."""

    name: Hashable
    material: Material
    work: Callable[[], object]
    done: threading.Event = field(default_factory=threading.Event)
    fault: BaseException | None = None


def _never() -> bool:
    return False


def _ignore(text: str) -> None:
    pass


class TablesBehind(Tables):
    """Tables whose endings are solved behind.

    Attributes
    ----------
    impatient : asked while an ending is waited for; when it returns True the waiting ends with `Stopped`
    cut : asked at each position besides; when it returns True whatever is being made of the tables ends with `Stopped`
    progress : told at most every two seconds how far the solving of five men is
    """

    def __init__(self, folder: Path | None = None, largest: int = 4) -> None:
        super().__init__(folder, largest=largest)
        self.progress: Callable[[str], None] = _ignore
        self._left: TimeLeft | None = None
        self._told_at = -_TELL_SECONDS
        self.impatient: Callable[[], bool] = _never
        self._orders: list[_Order] = []  # the last is worked on
        self._lock = threading.Lock()  # the orders, and whether there is a thread
        self._thread: threading.Thread | None = None
        self._present: _Order | None = None
        self._closed = False

    def is_ready(self, material: Material) -> bool:
        """Whether an ending can be asked without waiting for its solution."""
        return material in self._endings

    def prepare(self, material: Material) -> None:
        """Make an ending ready for questions: read it, or wait until it is solved.

        Raises
        ------
        Stopped
            when whoever asks has no time to wait
        """
        if not self.is_ready(material) and (self._is_behind() or not self._read(material)):
            self.do_behind(material, material, partial(super().prepare, material))

    def do_behind(self, name: Hashable, material: Material, work: Callable[[], object]) -> None:
        """Have something about an ending done behind, and wait for it as for a solution.

        Parameters
        ----------
        name : tells it from other work
        material : what the work may lead to besides is more urgent than anything else while somebody waits for it

        Raises
        ------
        Stopped
            when whoever asks has no time to wait
        """
        if self._is_behind():
            work()
            return
        order = self._place(name, material, work)
        while not order.done.wait(_POLL_SECONDS):
            if self.impatient():
                raise Stopped
        if order.fault is not None:
            raise order.fault

    def known(self, board: chess.Board) -> tuple[int, int] | None:
        """Return outcome and plies to mate (0 when drawn) of a covered position, None where that is not solved yet."""
        self.check(board)
        stand, _ = super().stand_of(board)
        if stand.material is not None and not self.is_ready(stand.material):
            return None
        try:
            value = self.value_of(stand)
        except Stopped:  # its file has turned out damaged
            return None
        if value.is_late():
            return 0, 0
        return value.outcome, value.dtm_plies or 0

    def stand_of(self, board: chess.Board) -> tuple[CanonicalPosition, bool]:
        """Return a covered position in canonical form and whether the colours were exchanged; see `cut`."""
        if self.cut():
            raise Stopped
        return super().stand_of(board)

    def finish(self, asked_seconds: float, rest_seconds: float) -> None:
        """Solve what was wanted last, if there is time, and nothing more, and keep it; see `finish_keeping`.

        Five men take too long to be waited for; what is solved of what they need is kept.
        """
        end = time.monotonic() + asked_seconds
        with self._lock:
            order = self._orders[-1] if self._orders else None
        if order is not None and not self.is_ready(order.material) and not is_large(order.material):
            order.done.wait(asked_seconds)
        self._closed = True
        self.finish_keeping(end - time.monotonic(), rest_seconds)

    def close(self) -> None:
        """Let go of all endings and give up what is being solved; nothing can be asked afterwards."""
        self._closed = True
        super().close()

    def heartbeat(self, plies_done: int) -> None:
        """Raise `Stopped` where the work is to end, see `pulse`; behind, tell how far it is."""
        if not self._is_behind():
            super().heartbeat(plies_done)
            return
        if self._left is not None and self._at_work is not None:
            self._left.layer(self._at_work)
        self.pulse()

    def pulse(self) -> None:
        """Raise `Stopped` where the work is to end: on the thread behind when something else is more urgent."""
        if not self._is_behind():
            super().pulse()
            return
        if self._closed or self._is_passed_over() or self._is_unwanted():
            raise Stopped
        self._tell()

    def _solve_all(self, needed: list[Material]) -> None:
        """Solve endings in their order; with five men tell how far it is, not which of how many."""
        if not is_large(needed[-1]):
            super()._solve_all(needed)
            return
        self._left = TimeLeft(needed)
        try:
            for ending in needed:
                self._solve_next(ending)
        finally:
            self._left = None

    def _packing(self) -> bool:
        if self._closed:
            raise Stopped
        self._tell()
        return False

    def _tell(self) -> None:
        now = time.monotonic()
        if self._left is not None and now - self._told_at >= _TELL_SECONDS:
            self._told_at = now
            self.progress(self._left.told())

    def _is_behind(self) -> bool:
        return threading.current_thread() is self._thread

    def _is_passed_over(self) -> bool:
        """Whether an ending is wanted now to which the present work does not lead."""
        with self._lock:
            first = self._orders[-1] if self._orders else None
        return first is not None and first is not self._present and self._at_work not in closure(first.material)

    def _is_unwanted(self) -> bool:
        """Whether five men are being solved that may not be solved any more; a damaged file is always solved again."""
        present = self._present
        if self.largest > 4 or present is None:
            return False
        return present.name == present.material and is_large(present.material)

    def _solve(self, ending: Ending) -> None:
        """Solve an ending behind, and keep it at once, also where its file turns out damaged while it is read."""
        if self._is_behind():
            super()._solve(ending)
            self.keep_behind()
        else:
            self.do_behind(("again", ending.material), ending.material, partial(self._solve_again, ending))

    def _solve_again(self, ending: Ending) -> None:
        if not ending.is_there:
            self._solve(ending)

    def _place(self, name: Hashable, material: Material, work: Callable[[], object]) -> _Order:
        """Put work in front of all other, and see that somebody works."""
        with self._lock:
            order = next((o for o in self._orders if o.name == name), None)
            if order is None:
                order = _Order(name, material, work)
            else:
                self._orders.remove(order)
            self._orders.append(order)
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, daemon=True)
                self._thread.start()
        return order

    def _work(self) -> None:
        while (order := self._next()) is not None:
            try:
                order.work()
            except Stopped as fault:
                if not self._closed and not self._is_unwanted():
                    continue  # something else comes first; what is done so far stays done
                order.fault = fault
            except BaseException as fault:
                order.fault = fault
            with self._lock:
                self._orders.remove(order)
            order.done.set()

    def _next(self) -> _Order | None:
        with self._lock:
            self._present = self._orders[-1] if self._orders else None
            if self._present is None:
                self._thread = None
            return self._present
