"""Endings of five men take time and room, so they are solved only when asked for: what they take, and how to ask.

The figures are rough. They go by the size of an ending's sets and tables and by what some endings took on two cores.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from math import factorial, prod
from pathlib import Path

from matebot.solver.codes import squares_of
from matebot.solver.crew import can_compile
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION
from matebot.solver.time_left import effort

#: The men beside the kings in the largest endings that are solved without being asked for.
_MEN_UNASKED = 2
#: Work done in a second, in the units of `effort`, without and with compiled loops.
_EFFORT_A_SECOND = {False: 900_000, True: 2_200_000}
#: Kept bytes for each placement of all men, those that differ only in men that are alike counted once.
_KEPT_BYTES = 0.42
_MIB = 2**20


def is_large(material: Material) -> bool:
    """Whether an ending has five men."""
    return len(material.men) > _MEN_UNASKED


def kept_bytes(material: Material) -> int:
    """Return about what an ending takes on disk."""
    places = len(REDUCTION[material.has_pawns].home) * 64 * prod(len(squares_of(man)) for man, _ in material.men)
    return round(places * _KEPT_BYTES / prod(factorial(part.stop - part.start) for part in material.alike))


def offer(
    wanted: Sequence[Material], missing: Iterable[Material], folder: Path | None, usual_folder: Path | None
) -> str:
    """Say how endings of five men can be had.

    Parameters
    ----------
    missing : what has to be solved for them, themselves and endings they lead to
    folder : where it would be kept; None for nowhere
    usual_folder : where it is kept if nothing else is said
    """
    names = [material.name for material in wanted]
    if folder is None:
        return f"five men: expected a table folder that keeps {', '.join(names)}, got none"
    place = "" if folder == usual_folder else f" --table-folder {shlex.quote(str(folder))}"
    command = f"matebot solve {' '.join(names)}{place}"
    return f"five men: solve {', '.join(names)} first with `{command}`, {about(missing)}"


def about(missing: Iterable[Material]) -> str:
    """Say how long the solving of some endings takes, and how much room their files."""
    needed = list(missing)
    seconds = sum(map(effort, needed)) / _EFFORT_A_SECOND[can_compile()]
    room = sum(map(kept_bytes, needed))
    minutes = max(1, round(seconds / 60))
    time = f"{minutes} minute{'s' if minutes > 1 else ''}" if minutes < 100 else f"{round(minutes / 60)} hours"
    mebibytes = round(room / _MIB, -1)
    size = f"{mebibytes:.0f} MiB" if mebibytes < 1024 else f"{room / 2**30:.1f} GiB"
    return f"about {time} and {size}"
