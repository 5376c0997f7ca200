"""How far the solving of some endings is, and about how long the rest of it takes.

The work on an ending is taken to be the size of its sets times the directions its men move in times a number of
layers that is usual; the time for it is learnt from what has been done.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from math import prod

from matebot.solver.codes import squares_of
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION

#: Directions in which men move, and those of both kings.
_DIRECTIONS = {"Q": 8, "R": 4, "B": 4, "N": 4, "P": 1}
_KINGS = 8
#: Layers of an ending of five men, those of both winners and both metrics together.
_LAYERS = 120
#: Before this share of the work is done nothing is said of the rest.
_TOO_SOON = 0.02


def effort(material: Material) -> int:
    """Return the work on an ending; what it leads to not included."""
    words = len(REDUCTION[material.has_pawns].home) * prod(len(squares_of(man)) for man, _ in material.men)
    return words * (_KINGS + sum(_DIRECTIONS[man] for man, _ in material.men))


class TimeLeft:
    """Told of every layer, says how much is done.

    Parameters
    ----------
    endings : those to be solved, in any order but for the last, for which the others are needed
    clock : seconds that pass
    """

    def __init__(self, endings: Iterable[Material], clock: Callable[[], float] = time.monotonic) -> None:
        self._left = {material: effort(material) for material in endings}
        self._total = max(1, sum(self._left.values()))
        self._last = next(reversed(self._left), None)
        self._clock, self._begun = clock, clock()
        self._at_work: Material | None = None
        self._layers = 0

    def layer(self, material: Material) -> None:
        """Take note of a layer of an ending; that the one before is solved follows from it."""
        if material != self._at_work:
            if self._at_work is not None:
                self._left.pop(self._at_work, None)
            self._at_work, self._layers = material, 0
        self._layers += 1

    @property
    def done(self) -> float:
        """The share of the work that is done, between 0 and 1."""
        now = 0.0
        if self._at_work in self._left:
            now = self._left[self._at_work] * min(0.95, self._layers / _LAYERS)
        return (self._total - sum(self._left.values()) + now) / self._total

    def told(self) -> str:
        """Return in words what is being solved and how far it is."""
        ending = "" if self._at_work is None else f" {self._at_work.name}"  # before the first layer it is not known
        more = "" if self._last in (None, self._at_work) else f" for {self._last.name}"
        return f"solving{ending}{more}: {self.done:.0%}{self.said()}"

    def said(self) -> str:
        """Return the time left in words, nothing as long as it is too soon to tell."""
        done = self.done
        if done < _TOO_SOON:
            return ""
        seconds = (self._clock() - self._begun) * (1 - done) / done
        return f", about {round(seconds)} s left" if seconds < 100 else f", about {round(seconds / 60)} min left"
