"""Has the loops for five men compiled by a process of its own, once; what comes of it is kept.

What compiling takes is not given back by the process it is done in; and meanwhile endings of fewer men are solved.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from subprocess import DEVNULL, Popen, TimeoutExpired

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
    from matebot.solver.kernels import some

    return any(Path(some.stats.cache_path).glob("kernels.some-*.nbi"))  # type: ignore[attr-defined]


def main() -> None:
    """Compile nearly all the loops by solving a small ending with them."""
    from matebot.solver.geometry import Codes
    from matebot.solver.material import Material, closure
    from matebot.solver.retrograde import Solution, Solver

    solved: dict[Material, Solution] = {}

    def codes(material: Material, white_to_move: bool) -> Codes:
        return solved[material].codes(0, white_to_move)

    for material in closure(Material.parse(_ENDING)):
        solved[material] = Solver(material, codes, compiled=True).solve()


if __name__ == "__main__":
    main()
