"""Requirements such as ``wins>=0.95``: read, checked against what will be measured, and judged."""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from matebot.assess.measures import AGAINST_PREFIX, MEASURES
from matebot.errors import UserError

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
        if measure.part and measure.part not in parts:
            raise UserError(f"expected a requirement on the parts {', '.join(parts)}, got {text!r} ({measure.part})")
        return cls(text.strip(), name, found[2], float(found[3]))

    def holds(self, measured: Mapping[str, float | None]) -> bool:
        """Whether the requirement is met; what could not be measured does not meet it."""
        value = measured.get(self.measure)
        return value is not None and _COMPARE[self.compare](value, self.bound)
