"""Work on large arrays shared by the cores, a part at a time; numpy lets go of the interpreter meanwhile.

Who asks for the work does his share of it, and looks between two parts whether it is to end. Small arrays are one
part, and nobody else is called.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from importlib.util import find_spec
from queue import SimpleQueue
from typing import Final, TypeVar

Part = TypeVar("Part")

#: Arrays of fewer words are not divided: those of four men.
_SMALL_WORDS: Final = 1 << 20
#: Words of a part: what is done to one stays near the core, and every operation is long enough to let go for.
_PART_WORDS: Final = 1 << 17
#: More cores do not help: memory is what is waited for.
_MOST_HANDS: Final = 4


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _nothing() -> None:
    pass


class Crew:
    """Some threads that work for one.

    Parameters
    ----------
    pulse : called between parts by whoever asked for the work; may raise to end it
    hands : threads at work, his own included; by default the cores there are

    Attributes
    ----------
    pulse : see above
    hands : how many work at once, so how many need scratch space of their own
    """

    def __init__(self, pulse: Callable[[], None] = _nothing, hands: int | None = None) -> None:
        self.pulse = pulse
        self.hands = min(_MOST_HANDS, _cores()) if hands is None else hands

    def each(self, parts: Sequence[Part], work: Callable[[Part, int], None]) -> None:
        """Do the work on every part, in any order; it is told the part and whose hand, from 0, is at it.

        Raises what the work or the pulse raises, when nobody is at work any more.
        """
        if len(parts) == 1:
            work(parts[0], 0)
            return
        todo, faults = iter(parts), list[BaseException]()
        shift = _Shift(lambda hand: self._help(todo, work, hand, faults))
        _call(shift, min(self.hands, len(parts)) - 1)
        try:
            for part in todo:
                self.pulse()
                work(part, 0)
        finally:
            for _ in todo:  # nobody begins another part
                pass
            shift.end()
        if faults:
            raise faults[0]

    @staticmethod
    def _help(todo: Iterator[Part], work: Callable[[Part, int], None], hand: int, faults: list[BaseException]) -> None:
        try:
            for part in todo:
                work(part, hand)
        except BaseException as fault:
            faults.append(fault)
            for _ in todo:
                pass


class _Shift:
    """Work that helpers come to until it is over; who comes later finds nothing to do, and is not waited for."""

    def __init__(self, work: Callable[[int], None]) -> None:
        self._work: Callable[[int], None] | None = work
        self._at_work = 0
        self._change = threading.Condition()

    def help(self, hand: int) -> None:
        """Have a hand work, if there still is something to do."""
        with self._change:
            work = self._work
            if work is None:
                return
            self._at_work += 1
        try:
            work(hand)
        finally:
            del work  # nothing it works on is held while nobody needs it
            with self._change:
                self._at_work -= 1
                self._change.notify()

    def end(self) -> None:
        """Wait for whoever is at work, and let nobody begin any more."""
        with self._change:
            self._work = None
            while self._at_work:
                self._change.wait()


#: Where helpers wait for work; each thread of theirs lives on, since to begin one takes as long as a small part.
_calls: SimpleQueue[tuple[_Shift, int]] = SimpleQueue()
_helpers: list[threading.Thread] = []


def _call(shift: _Shift, count: int) -> None:
    """Call so many helpers to a shift."""
    while len(_helpers) < count:
        _helpers.append(threading.Thread(target=_serve, daemon=True))
        _helpers[-1].start()
    for hand in range(1, count + 1):
        _calls.put((shift, hand))


def _serve() -> None:
    while True:
        shift, hand = _calls.get()
        shift.help(hand)
        del shift


def _alone() -> None:
    """Forget the helpers of a process this one was split off from: they are not in it."""
    global _calls
    _calls = SimpleQueue()
    _helpers.clear()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_alone)


@cache
def can_compile() -> bool:
    """Whether numba is installed; it is not imported here."""
    return find_spec("numba") is not None


def is_large(words: int) -> bool:
    """Whether an array of so many words is divided."""
    return words >= _SMALL_WORDS


def parts_of(size: int, words: int, least: int = 1) -> list[slice]:
    """Divide an axis of a large array into parts; one part where the array is small.

    Parameters
    ----------
    size : length of the axis
    words : size of the whole array
    least : the shortest part

    >>> parts_of(640, 1 << 10)
    [slice(0, 640, None)]
    >>> parts_of(64, 1 << 22)[-1]
    slice(62, 64, None)
    """
    if not is_large(words):
        return [slice(0, size)]
    step = max(least, size * _PART_WORDS // words)
    return [slice(start, min(start + step, size)) for start in range(0, size, step)]
