"""Figures of proofs, kept beside the tables with the version that made them, so that they can be shown at once.

A proof holds for the program it was made with: when the method or the solver has changed, it counts no more.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path

from matebot import __version__
from matebot.method import proof
from matebot.method.ladder import Plan
from matebot.method.proof import Figures
from matebot.whole_file import write_whole

_NAME = "proofs.json"
#: A file of figures has a few thousand characters.
_MOST_BYTES = 1_000_000
_FIELDS = {
    "stage_longest_moves": list,
    "longest_moves": int,
    "mean_moves": float,
    "shortest_longest_moves": int,
    "shortest_mean_moves": float,
    "positions": int,
}


@dataclass(frozen=True, slots=True)
class KeptProof:
    """The figures of a proof and the version of the program that made it."""

    version: str
    figures: Figures


class KeptProofs:
    """The proofs kept in a folder; None keeps them for this run only."""

    def __init__(self, folder: Path | None) -> None:
        self._path = None if folder is None else folder / _NAME
        self._proofs = _read(self._path)

    def of(self, plan: Plan) -> KeptProof | None:
        """Return the proof of a plan, None where none is kept that holds for this program."""
        found = self._proofs.get(_key(plan))
        return found if found and len(found.figures.stage_longest_moves) == len(plan.stages) else None

    def add(self, plan: Plan, figures: Figures) -> None:
        """Take in a proof just made."""
        self._proofs[_key(plan)] = KeptProof(__version__, figures)

    def write(self) -> None:
        """Write all proofs to the folder.

        Raises
        ------
        UserError
            when it cannot be written to
        """
        if self._path is not None:
            data = {key: {"version": kept.version, **asdict(kept.figures)} for key, kept in self._proofs.items()}
            write_whole(self._path, json.dumps({"program": _program(), "proofs": data}, indent=2) + "\n")


def _key(plan: Plan) -> str:
    return f"{plan.ending} {plan.name}"


@cache
def _program() -> str:
    """Return a mark of everything a proof rests on: the sources of the method and the solver."""
    room = Path(proof.__file__).parent
    whole = hashlib.sha256()
    for path in sorted([*room.glob("*.py"), *(room.parent / "solver").glob("*.py")]):
        whole.update(path.read_bytes())
    return whole.hexdigest()


def _read(path: Path | None) -> dict[str, KeptProof]:
    """Return the proofs of a file; none where it is missing, damaged or of another program."""
    try:
        if path is None or not path.is_file() or path.stat().st_size > _MOST_BYTES:
            return {}
        data = json.loads(path.read_bytes())
        if data["program"] != _program():
            return {}
        return {str(key): _proof(value) for key, value in data["proofs"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _proof(value: dict[str, object]) -> KeptProof:
    """Return a proof from its data; anything odd in it is a fault."""
    for name, kind in _FIELDS.items():
        if type(value[name]) is not kind:
            raise TypeError(name)
    fields = {name: value[name] for name in _FIELDS}
    longest = tuple(int(moves) for moves in fields.pop("stage_longest_moves"))  # type: ignore[attr-defined]
    return KeptProof(str(value["version"]), Figures(longest, **fields))  # type: ignore[arg-type]
