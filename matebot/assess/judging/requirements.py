"""Requirements such as ``wins>=0.95``: read, checked against what will be measured, and judged."""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Sequence

from matebot.assess.judging.measures import AGAINST_PREFIX, MEASURES, Measure
from matebot.errors import UserError
from matebot.records import dataclass

_COMPARE: dict[str, Callable[[float, float], bool]] = {
    ">=": operator.ge,
    "<=": operator.le,
    "==": operator.eq,
    "!=": operator.ne,
    ">": operator.gt,
    "<": operator.lt,
}
_FORM = re.compile(r"\s*([a-z_]+)\s*(>=|<=|==|!=|>|<)\s*(-?\d+(?:\.\d+)?)\s*\Z")


@dataclass(frozen=True, slots=True)
class Requirement:
    """A measure, how it is compared, and with what."""

    text: str
    measure: str
    compare: str
    bound: float

    @classmethod
    def parse(cls, text: str, parts: Sequence[str], against: bool = False) -> Requirement:
        """Read a requirement.

        Parameters
        ----------
        parts : the parts that will be run; a measure of another part could never hold
        against : whether there is a second engine, whose measures begin with ``against_``

        Raises
        ------
        UserError
            when it cannot be read or will not be measured
        """
        found = _FORM.match(text)
        if not found:
            raise UserError(f"expected a requirement such as 'wins>=0.95', got {text!r}")
        name = found[1]
        measure = MEASURES.get(name.removeprefix(AGAINST_PREFIX))
        if measure is None:
            raise UserError(f"expected a requirement on one of {', '.join(MEASURES)}, got {name!r}")
        if name.startswith(AGAINST_PREFIX) and not against:
            raise UserError(f"expected a second engine for a requirement on {name!r}, got none")
        if measure.parts and not set(measure.parts) & set(parts):
            others = ", ".join(measure.parts)
            raise UserError(f"expected a requirement on the parts {', '.join(parts)}, got {text!r} ({others})")
        bound = float(found[3])
        if (values := _never(measure, found[2], bound)) is not None:
            raise UserError(f"expected a requirement that {name!r} can meet (its values are {values}), got {text!r}")
        return cls(text.strip(), name, found[2], bound)

    @property
    def kind(self) -> str:
        """The kind of its measure."""
        return MEASURES[self.measure.removeprefix(AGAINST_PREFIX)].kind

    def holds(self, value: float | None) -> bool | None:
        """Whether the requirement is met by what was measured, None without anything to measure."""
        return None if value is None else _COMPARE[self.compare](value, self.bound)


def _never(measure: Measure, compare: str, bound: float) -> str | None:
    """Return what values a measure can have where none of them could meet a requirement, or none could fail for long.

    A bound out of reach is most often a share written in per cent.
    """
    most = 1.0 if measure.kind == "share" else float("inf")
    beyond = not 0 <= bound <= most or (compare == ">" and bound == most) or (compare == "<" and bound == 0)
    broken = measure.kind in ("count", "most") and compare == "==" and bound != int(bound)
    if not beyond and not broken:
        return None
    return "from 0 to 1" if measure.kind == "share" else "whole numbers from 0" if broken else "from 0"
