"""What is to be assessed and how: one frozen plan, from the command line, a TOML file or a report to be continued.

Keys of a plan file are the names of the command's options with ``_`` for ``-``; ``option`` is a table. Never starts
an engine.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, field, fields, replace
from typing import Any

from matebot.assess.judging.requirements import Requirement
from matebot.assess.judging.results import PARTS
from matebot.errors import UserError
from matebot.records import dataclass
from matebot.settings import read_settings
from matebot.solver.material import Material

_FOLDER = "plans"
_CLOCK = re.compile(r"(\d+(?:\.\d+)?)(?:\+(\d+(?:\.\d+)?))?\Z")
#: What may be asked for -> the parts that makes.
SELECTIONS = {
    "attack": ("attack",),
    "defence": ("defence",),
    "both": ("attack", "defence"),
    "analysis": ("analysis",),
    "conduct": ("conduct",),
    "all": PARTS,
}
ELEMENTARY = ("KQK", "KRK", "KBBK", "KBNK")
DEFENCES = ("longest", "changing")
#: Words that plans and reports used before -> those they stand for.
_FORMER = {"defence": {"varied": "changing"}}
MOST_JOBS = 64


@dataclass(frozen=True, slots=True)
class AssessmentPlan:
    """An assessment to be made.

    Attributes
    ----------
    engine, against : command lines of the engine and of the other one, "" for none; "matebot" is this program
    ending : endings random positions are drawn from
    suite : file of EPD positions used instead, "" for none
    selection : one of `SELECTIONS`
    count : games or questions a part; None takes 20, or the whole suite
    seed : repeats the random positions and the changing defence
    movetime, nodes, depth : limit of each move, ms, nodes, plies; at most one is set
    clock : limit of each game, "10+0.1" in seconds, "" for none
    option, against_option : UCI options, values as text
    defence : how matebot defends against the engine, one of `DEFENCES`
    jobs : games played at a time
    lateness : ms a move may be late without being a time overrun; the first in each ending may use up the patience
    patience : seconds after the limit until an engine that has not answered is taken to hang
    require : requirements on the measures
    report, pgn : files to write
    """

    engine: str = ""
    against: str = ""
    ending: tuple[str, ...] = ELEMENTARY
    suite: str = ""
    selection: str = "all"
    count: int | None = None
    seed: int = 1
    movetime: int | None = None
    nodes: int | None = None
    depth: int | None = None
    clock: str = ""
    option: Mapping[str, str] = field(default_factory=dict)
    against_option: Mapping[str, str] = field(default_factory=dict)
    defence: str = "longest"
    jobs: int = 1
    lateness: int = 1000
    patience: float = 10.0
    require: tuple[str, ...] = ()
    report: tuple[str, ...] = ()
    pgn: str = ""

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts to be run; two engines only attack each other."""
        return ("attack",) if self.against else SELECTIONS[self.selection]

    @property
    def clock_seconds(self) -> tuple[float, float] | None:
        """The base time and the increment of the clock, in seconds."""
        found = _CLOCK.match(self.clock)
        return (float(found[1]), float(found[2] or 0)) if found else None

    def as_data(self) -> dict[str, Any]:
        """Return the plan as JSON values."""
        return asdict(self)


#: Key in a file -> type of its value.
_TYPES: dict[str, tuple[type, ...]] = {
    "engine": (str,),
    "against": (str,),
    "ending": (str, list, tuple),
    "suite": (str,),
    "as": (str,),
    "count": (int,),
    "seed": (int,),
    "movetime": (int,),
    "nodes": (int,),
    "depth": (int,),
    "clock": (str,),
    "option": (dict,),
    "against_option": (dict,),
    "defence": (str,),
    "jobs": (int,),
    "lateness": (int,),
    "patience": (int, float),
    "require": (list, tuple),
    "report": (str, list, tuple),
    "pgn": (str,),
}
KEYS = tuple(_TYPES)
_LIMITS = ("movetime", "nodes", "depth", "clock")
_WHERE = ("ending", "suite")
_LISTS = ("ending", "require", "report")
_DAY_SECONDS = 86_400
#: The least and the most a number may be.
_RANGES: dict[str, tuple[float, float]] = {
    "count": (1, 10**9),
    "seed": (0, 2**63),
    "movetime": (1, _DAY_SECONDS * 1000),
    "nodes": (1, 2**63),
    "depth": (1, 10_000),
    "jobs": (1, MOST_JOBS),
    "lateness": (0, _DAY_SECONDS * 1000),
    "patience": (0.05, _DAY_SECONDS),
}


def read_plan(name: str) -> dict[str, Any]:
    """Return the values of a plan by its name, or from a file; a suite stands relative to that file.

    Raises
    ------
    UserError
        naming the file, the key and what is allowed
    """
    data, path = read_settings(name, _FOLDER, "plan")
    values = _plan(name, data)
    if path is not None and values.get("suite"):
        values["suite"] = str(path.parent / values["suite"])
    return values


def _plan(name: str, data: dict[str, Any]) -> dict[str, Any]:
    data.pop("description", None)
    for key in data:
        if key not in _TYPES:
            raise UserError(f"{name}: expected only the keys description, {', '.join(KEYS)}, got {key!r}")
    if (empty := empty_key(data)) is not None:
        raise UserError(f"{name}: expected a value for {empty!r}, or no such key, got ''")
    try:
        make_plan(data)
    except UserError as fault:
        raise UserError(f"{name}: {fault}") from None
    return data


def empty_key(values: Mapping[str, Any]) -> str | None:
    """Return a key whose value, or one of them, is an empty text: a variable was not set where they were made."""
    return next(
        (key for key, value in values.items() if "" in (value if isinstance(value, list | tuple) else [value])), None
    )


def make_plan(values: Mapping[str, Any]) -> AssessmentPlan:
    """Return the plan of a set of values, by the keys of a plan file.

    Raises
    ------
    UserError
        when a value is not allowed
    """
    ready: dict[str, Any] = {}
    for key, value in values.items():
        ready["selection" if key == "as" else key] = _value(key, value)
    return checked(AssessmentPlan(**ready))


def _value(key: str, value: Any) -> Any:
    """Return a value in the form the plan keeps it in."""
    kinds = tuple(kind.__name__ for kind in _TYPES[key])
    if type(value).__name__ not in kinds:
        raise UserError(f"expected a value of type {' or '.join(kinds)} for {key!r}, got {value!r}")
    if key in _RANGES:
        least, most = _RANGES[key]
        if not least <= value <= most:  # so asked, "not a number" is refused too
            raise UserError(f"expected {least} to {most} for {key!r}, got {value!r}")
    value = former_word(key, value)
    if key in _LISTS:
        return (value,) if isinstance(value, str) else tuple(map(str, value))
    return {str(name): _option_text(item) for name, item in value.items()} if "dict" in kinds else value


def former_word(key: str, value: Any) -> Any:
    """Return the present word where a key used to have another, else the value as it is."""
    words = _FORMER.get(key, {})
    return words.get(value, value) if words else value


def merged(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Return values with others laid over them; a limit or a choice of positions replaces any other kind of it."""
    dropped = {key for group in (_LIMITS, _WHERE) if any(key in over for key in group) for key in group}
    return {**{key: value for key, value in base.items() if key not in dropped}, **over}


def checked(plan: AssessmentPlan) -> AssessmentPlan:
    """Return the plan with its endings in canonical form once everything in it is known to be allowed.

    Raises
    ------
    UserError
        naming what is not allowed
    """
    if plan.selection not in SELECTIONS:
        raise UserError(f"expected one of {', '.join(SELECTIONS)} for 'as', got {plan.selection!r}")
    if plan.defence not in DEFENCES:
        raise UserError(f"expected one of {', '.join(DEFENCES)} for 'defence', got {plan.defence!r}")
    if plan.against and plan.selection not in ("attack", "all"):
        raise UserError(f"expected 'attack' with a second engine, as each attacks the other, got {plan.selection!r}")
    limits = [name for name in _LIMITS if getattr(plan, name)]
    if len(limits) > 1:
        raise UserError(f"expected one of the limits {', '.join(_LIMITS)}, got {' and '.join(limits)}")
    if plan.clock and not (
        plan.clock_seconds and plan.clock_seconds[0] > 0 and max(plan.clock_seconds) <= _DAY_SECONDS
    ):
        raise UserError(f"expected a clock such as '10+0.1' (at most a day, in seconds), got {plan.clock!r}")
    for text in plan.require:
        Requirement.parse(text, plan.parts, bool(plan.against))
    try:
        endings = tuple(Material.parse(name, largest=5).name for name in plan.ending)
    except ValueError as fault:
        raise UserError(str(fault)) from None
    if not endings:
        raise UserError("expected at least one ending, got none")
    return replace(plan, ending=endings, movetime=plan.movetime or (None if limits else 100))


def plan_from_data(data: Mapping[str, Any]) -> AssessmentPlan:
    """Return the plan that stands in a report."""
    known = {item.name for item in fields(AssessmentPlan)}
    values = {("as" if key == "selection" else key): value for key, value in data.items() if key in known}
    return make_plan({key: value for key, value in values.items() if value is not None})


def _option_text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
