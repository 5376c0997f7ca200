"""Has the loops for five men compiled by a process of its own, once; what comes of it is kept.

What compiling takes is not given back by the process it is done in; and meanwhile endings of fewer men are solved.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from subprocess import DEVNULL, Popen, TimeoutExpired
from typing import Any

from matebot.solver.crew import can_compile

_ASKED_SECONDS = 0.05
#: An ending that with what it leads to is solved by nearly all the loops: men that leap and men that run, a pawn.
_ENDING = "KPK"


def begin() -> Popen[bytes] | None:
    """Begin where it has not been done before; None where there is nothing to do or no process can be had."""
    if not can_compile() or _is_done():
        return None
    with suppress(OSError):
        command = [sys.executable, "-m", "matebot.solver.compile_ahead"]
        return Popen(command, stdin=DEVNULL, stdout=DEVNULL, stderr=DEVNULL)
    return None


def finish(compiling: Popen[bytes], pulse: Callable[[], None]) -> None:
    """Wait for the end; `pulse` is called meanwhile, and where it raises the process is ended."""
    try:
        while True:
            try:
                compiling.wait(_ASKED_SECONDS)
                return
            except TimeoutExpired:
                pulse()
    finally:
        end(compiling)


def end(compiling: Popen[bytes]) -> None:
    """End the process if it has not ended."""
    compiling.kill()
    compiling.wait()


def _is_done() -> bool:
    """Whether something compiled is kept: then what is missing, of a newer program say, is compiled when needed."""
    from matebot.solver.set_kernels import some

    return any(Path(some.stats.cache_path).glob("set_kernels.some-*.nbi"))  # type: ignore[attr-defined]


def main() -> None:
    """Compile the loops: most by solving a small ending with them, those that only five men need by what they take."""
    from matebot.solver.geometry import Codes
    from matebot.solver.material import Material, closure
    from matebot.solver.retrograde import Solution, Solver

    solved: dict[Material, Solution] = {}

    def codes(material: Material, white_to_move: bool) -> Codes:
        return solved[material].codes(0, white_to_move)

    for material in closure(Material.parse(_ENDING)):
        solved[material] = Solver(material, codes, compiled=True).solve()
    for kernel, signature in _of_five_men():
        kernel.compile(signature)


def _of_five_men() -> list[tuple[Any, tuple[Any, ...]]]:
    """Return the loops that no smaller ending needs, and the types they are called with."""
    from numba import core

    from matebot.solver import row_kernels, set_kernels

    types: Any = core.types
    codes, numbers, words = types.uint8[::1], types.int64[::1], types.uint64[::1]
    fixed, places = types.Array(types.uint8, 1, "C", readonly=True), types.UniTuple(types.int64, 3)
    apart, whole = (types.Array(types.uint64, 4, layout, readonly=True) for layout in "AC")
    squares = (numbers,) * 4
    return [
        *(
            (set_kernels.masked, (types.uint64[:, :, :, ::1], apart, more, types.int64, types.int64))
            for more in (apart, whole)
        ),
        (row_kernels.by_mate, (codes, fixed, codes)),
        (row_kernels.by_place, (codes, codes, codes)),
        *(
            (
                row_kernels.expand,
                (types.uint8[:, :, :, ::1], *squares, types.Array(types.uint8, 5, layout), types.int64),
            )
            for layout in "AC"
        ),
        (row_kernels.fill_gaps, (codes, numbers, codes)),
        (row_kernels.lengthen, (codes, types.int32[::1], places, places, types.uint64, words, words, words, codes)),
        (row_kernels.look_up, (codes, types.boolean[::1])),
    ]


if __name__ == "__main__":
    main()
