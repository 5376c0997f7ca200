"""Measure solving: ``python tests/benchmarks/solve.py [ENDING ... | all | ladders]`` prints one JSON object.

Everything is measured in *units*: one ``np.bitwise_and`` over 2 MiB, the median of many in the same process, over
arrays that take turns so that they do not all stay in the nearest cache. Each ending is solved in a process of its
own, from nothing to a first answer in it, with all the endings it leads to; ``total`` solves all that were asked for
in one process. ``ladders`` measures the ladders of each ending on top of its table.
"""

from __future__ import annotations

import json
import resource
import statistics
import subprocess
import sys
import time

DEFAULT = ("KQK", "KRK", "KBBK", "KBNK")
_WORDS = 1 << 18


def unit_seconds() -> float:
    """Return the seconds of one AND over 2 MiB."""
    import numpy as np

    arrays = [np.full(_WORDS, i, dtype=np.uint64) for i in range(24)]
    seconds = []
    for turn in range(400):
        left, right, out = (arrays[(3 * turn + i) % len(arrays)] for i in range(3))
        begun = time.perf_counter()
        np.bitwise_and(left, right, out=out)
        seconds.append(time.perf_counter() - begun)
    return statistics.median(seconds)


def peak_mib() -> float:
    """Return the most memory this process has taken."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def solve(names: list[str]) -> dict[str, float]:
    """Solve endings from nothing, to a first answer in each."""
    from matebot.solver.material import Material
    from matebot.solver.tables import Tables
    from matebot.verification.positions import sample

    questions = [(material, next(sample(material, 1, "first question"))) for material in map(Material.parse, names)]
    begun = time.perf_counter()
    tables = Tables(None)
    for material, board in questions:
        tables.prepare(material)
        tables.value(board)
    seconds, peak = time.perf_counter() - begun, peak_mib()
    return _figures(seconds, peak)


def ladders(ending: str) -> dict[str, float]:
    """Solve the ladders of an ending whose table is there."""
    from matebot.method.library import Library
    from matebot.method.plans import PLANS
    from matebot.solver.material import Material, closure
    from matebot.solver.tables import Tables

    library = Library(Tables(None))
    library.tables.prepare(Material.parse(ending))
    for child in closure(Material.parse(ending))[:-1]:  # those it leads to are ladders of their own
        library.ladders(child)
    begun = time.perf_counter()
    for plan in PLANS[ending]:
        library.ladder(plan)
    return _figures(time.perf_counter() - begun, peak_mib())


def _figures(seconds: float, peak: float) -> dict[str, float]:
    unit = unit_seconds()
    return {
        "unit_s": round(unit, 7),
        "seconds": round(seconds, 4),
        "units": round(seconds / unit),
        "peak_mib": round(peak, 1),
    }


def _apart(what: str, *names: str) -> dict[str, float]:
    """Measure in a process of its own."""
    command = [sys.executable, __file__, what, *names]
    found: dict[str, float] = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    return found


def main(arguments: list[str]) -> None:
    """Measure what is asked for and print it."""
    if arguments[:1] == ["--solve"]:
        print(json.dumps(solve(arguments[1:])))
    elif arguments[:1] == ["--ladders"]:
        print(json.dumps(ladders(arguments[1])))
    elif arguments == ["ladders"]:
        from matebot.method.plans import PLANS

        print(json.dumps({"ladders": {ending: _apart("--ladders", ending) for ending in PLANS}}, indent=2))
    else:
        from matebot.solver.material import COVERED

        names = [m.name for m in COVERED] if arguments == ["all"] else arguments or list(DEFAULT)
        endings = {name: _apart("--solve", name) for name in names}
        total = _apart("--solve", *names)
        unit = statistics.median(figures["unit_s"] for figures in endings.values())
        print(json.dumps({"unit_s": unit, "endings": endings, "total": total}, indent=2))


if __name__ == "__main__":
    main(sys.argv[1:])
