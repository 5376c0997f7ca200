"""``matebot verify``: check solved endings against python-chess's moves on this machine."""

from __future__ import annotations

import json
import signal
import time
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, suppress
from itertools import islice
from math import factorial, prod
from multiprocessing import get_context
from pathlib import Path
from types import FrameType

import chess

from matebot.commands.endings import add_endings, chosen, progress, tell, warn
from matebot.commands.playing import add_table_folder
from matebot.errors import UserError
from matebot.records import dataclass
from matebot.solver.codes import ILLEGAL
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.store import default_folder
from matebot.solver.tables import Tables
from matebot.verification.agreement import Finding, examine
from matebot.verification.pointed import pointed
from matebot.verification.positions import every, kings, sample
from matebot.verification.successors import TablePlaces

#: With five men more at a time, so that positions share the rows that have to be read for them.
_PART_POSITIONS, _LARGE_PART_POSITIONS = 250, 100_000
#: Of how many rows the legal positions of an ending of five men are counted, to say about how many it has.
_ROWS_COUNTED = 24
#: Positions looked at for each of a few placements of the kings, to tell how long all take.
_TRIED = 1_000
#: Not every system starts more processes for one pool.
_MOST_JOBS = 61
_COUNT = """positions by chance (default 2000), beside all mates and stalemates, positions before them, some of every
distance and one of every row, with five men with the kings on some squares only"""
_FROM = "with --all: go on with the Nth placement of the kings, as told when it was broken off"


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of the work: positions with two kings in place, a part of a sample, or what no sample goes without."""

    material: Material
    kings: tuple[chess.Square, chess.Square] | None = None
    count: int = 0
    seed: str = ""
    white_to_move: bool | None = None

    def boards(self, tables: Tables) -> Iterator[chess.Board]:
        if self.kings is not None:
            return every(self.material, *self.kings)
        if self.white_to_move is not None:
            return pointed(tables, self.material, self.white_to_move, self.seed)
        return sample(self.material, self.count, self.seed)


_Run = Callable[[Iterable[_Part]], Iterator[Finding]]


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_endings(parser)
    parser.add_argument("--all", action="store_true", help="check every position up to symmetry, not a sample")
    parser.add_argument("--count", type=int, default=2_000, metavar="N", help=_COUNT)
    parser.add_argument("--seed", type=int, default=1, metavar="S", help="chooses the sample")
    parser.add_argument("--jobs", type=int, default=1, metavar="N", help="processes to share the work (default 1)")
    parser.add_argument("--json", action="store_true", help="print what was found as data")
    parser.add_argument("--from", type=int, default=1, metavar="N", dest="first", help=_FROM)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Check the endings; the status is 1 when a position disagrees."""
    for name in ("count", "jobs"):
        if getattr(namespace, name) < 1:
            raise UserError(f"expected --{name} of at least 1, got {getattr(namespace, name)!r}")
    if namespace.jobs > _MOST_JOBS:
        raise UserError(f"expected --jobs of at most {_MOST_JOBS}, got {namespace.jobs!r}")
    endings = chosen(namespace)
    if namespace.first != 1:
        _check_first(namespace, endings)
    folder = namespace.table_folder or default_folder()
    tables = Tables(folder, notice=warn, largest=5)
    for number, material in enumerate(endings):
        progress(number, len(endings), f"preparing {material.name}")
        tables.prepare(material)
        tables.keep()  # before the other processes look for it
    whole, data = Finding(), []
    with _runner(namespace.jobs, folder, tables) as runner:
        for material in endings:
            found = _verify(runner, tables, material, namespace)
            whole += found
            data.append(_data(material, found))
    if namespace.json:
        tell(json.dumps({"python_chess": chess.__version__, "endings": data}, indent=2))
        return 1 if whole.faults else 0
    tell(f"{whole.positions:,} positions checked with the moves of python-chess {chess.__version__}: {_said(whole)}")
    return 1 if whole.faults else 0


def _check_first(namespace: Namespace, endings: list[Material]) -> None:
    if not namespace.all or len(endings) != 1:
        raise UserError(f"expected --from with --all and one ending, got {namespace.first!r}")
    most = len(kings(endings[0]))
    if not 1 <= namespace.first <= most:
        raise UserError(f"expected --from of 1 to {most}, the placements of the kings, got {namespace.first!r}")


def _verify(runner: _Run, tables: Tables, material: Material, namespace: Namespace) -> Finding:
    total = _positions(tables, material)
    parts = _parts(material, namespace, total)
    if namespace.all:
        warn(_estimate(tables, material, namespace.jobs))
    elif namespace.count >= total:
        told = f"{total:,} positions up to symmetry"
        warn(f"{material.name}: {told}, so each is checked, not {namespace.count:,} by chance")
    begun, found, done = time.monotonic(), Finding(), namespace.first - 1
    try:
        for finding in runner(parts[done:]):
            found, done = found + finding, done + 1
            progress(done, len(parts), f"{material.name}: {found.positions:,} positions")
    except KeyboardInterrupt:
        if namespace.all:
            warn(f"{material.name}: {found.positions:,} positions, {_said(found)}; go on with --from {done + 1}")
        raise
    if not namespace.json:
        rest = "" if namespace.first == 1 else f" from placement {namespace.first:,} of {len(parts):,}"
        seconds = time.monotonic() - begun
        tell(f"{material.name:<5}{found.positions:>12,} positions{rest}, {seconds:.1f} s: {_said(found)}")
        for fault in found.shown:
            tell(f"  {fault}")
    return found


def _data(material: Material, found: Finding) -> dict[str, object]:
    return {
        "ending": material.name,
        "positions": found.positions,
        "disagree": found.faults,
        "shown": list(found.shown),
    }


def _parts(material: Material, namespace: Namespace, total: int) -> list[_Part]:
    if namespace.all or namespace.count >= total:
        return [_Part(material, kings=placed) for placed in kings(material)]
    size = _PART_POSITIONS
    if is_large(material):
        size = min(_LARGE_PART_POSITIONS, -(-namespace.count // namespace.jobs))
    by_chance = [
        _Part(material, count=min(size, namespace.count - start), seed=f"{namespace.seed} {start}")
        for start in range(0, namespace.count, size)
    ]
    return [*(_Part(material, seed=str(namespace.seed), white_to_move=side) for side in chess.COLORS), *by_chance]


def _said(found: Finding) -> str:
    return f"{found.faults:,} disagree" if found.faults else "all agree with their successors"


def _estimate(tables: Tables, material: Material, jobs: int) -> str:
    """Say how long every position will take, going by a few."""
    places, tried, seconds = TablePlaces(tables), 0, 0.0
    placed = kings(material)
    examine(islice(every(material, *placed[0]), _TRIED), places)  # the first positions of a process take longer
    for pair in placed[:: max(1, len(placed) // 4)]:
        begun = time.monotonic()
        tried += examine(islice(every(material, *pair), _TRIED), places).positions
        seconds += time.monotonic() - begun
    total = _positions(tables, material)
    minutes = total * seconds / max(1, tried) / jobs / 60
    time_left = "less than a minute" if minutes < 1 else f"about {round(minutes)} min"
    return f"{material.name}: about {total:,} positions, {time_left}"


def _positions(tables: Tables, material: Material) -> int:
    """Return how many positions `every` goes through, captures en passant aside, as far as the tables tell.

    With five men it is about so many.
    """
    if is_large(material):
        numbers = range(0, tables.rows(material), tables.rows(material) // _ROWS_COUNTED)
        rows = (tables.whole_row(material, side, number, "dtm") for side in chess.COLORS for number in numbers)
        total = sum(int((row != ILLEGAL).sum()) for row in rows) * tables.rows(material) // len(numbers)
    else:
        total = sum(int((tables.codes(material, side) != ILLEGAL).sum()) for side in chess.COLORS)
    return total // prod(factorial(part.stop - part.start) for part in material.alike)


@contextmanager
def _runner(jobs: int, folder: Path | None, tables: Tables) -> Iterator[_Run]:
    """Give a way to work through parts, here or in other processes; results come in the order of the parts."""
    if jobs == 1:
        places = TablePlaces(tables)
        yield lambda parts: (examine(part.boards(tables), places) for part in parts)
        return
    pool = ProcessPoolExecutor(jobs, get_context("spawn"), _begin, (folder,))
    with suppress(ValueError):  # outside the main thread no signal is taken
        signal.signal(signal.SIGTERM, _interrupt)
    try:
        yield lambda parts: pool.map(_examine, parts)
    finally:
        pool.shutdown(cancel_futures=True)


def _interrupt(number: int, frame: FrameType | None) -> None:
    """End as by hand, so that no helping process is left behind."""
    raise KeyboardInterrupt


#: What a helping process looks values up in.
_places = TablePlaces(Tables())


def _begin(folder: Path | None) -> None:
    global _places
    _places = TablePlaces(Tables(folder, largest=5))


def _examine(part: _Part) -> Finding:
    return examine(part.boards(_places.tables), _places)
