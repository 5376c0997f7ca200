"""``matebot verify``: check solved endings against python-chess's moves on this machine."""

from __future__ import annotations

import sys
import time
from argparse import ArgumentParser, Namespace

from matebot.commands.endings import add_endings, chosen, progress
from matebot.commands.playing import add_table_folder, library_of
from matebot.errors import UserError
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from matebot.verification import disagreement, every, sample

_SHOWN = 5
#: Rough seconds for one position with all its moves, for the estimate only.
_SECONDS_A_POSITION = 0.0003


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_endings(parser)
    parser.add_argument("--all", action="store_true", help="check every position up to symmetry, not a sample")
    parser.add_argument("--count", type=int, default=2_000, help="positions of a sample (default 2000)")
    parser.add_argument("--seed", type=int, default=1, help="chooses the sample")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Check the endings; the status is 1 when a position disagrees."""
    if namespace.count < 1:
        raise UserError(f"expected a count of at least 1, got {namespace.count!r}")
    tables, endings = library_of(namespace).tables, chosen(namespace)
    return max(_verify(tables, material, namespace) for material in endings)


def _verify(tables: Tables, material: Material, namespace: Namespace) -> int:
    total = _about(tables, material) if namespace.all else namespace.count
    if namespace.all:
        minutes = total * _SECONDS_A_POSITION / 60
        print(f"{material.name}: about {total:,} positions, {minutes:.0f} minutes", file=sys.stderr)
    boards = every(material) if namespace.all else sample(material, namespace.count, namespace.seed)
    begun, faults, done = time.monotonic(), [], 0
    for board in boards:
        fault = disagreement(board, tables)
        done += 1
        if fault is not None:
            faults.append(fault)
        if done % 1_000 == 0:
            progress(min(done, total - 1), total, f"{material.name}: {done:,} positions")
    tables.keep()
    seconds = time.monotonic() - begun
    print(f"{material.name}: {done:,} positions and all their moves, {len(faults)} disagree, {seconds:.1f} s")
    for fault in faults[:_SHOWN]:
        print(f"  {fault}")
    return 1 if faults else 0


def _about(tables: Tables, material: Material) -> int:
    return sum(int((tables.codes(material, side) != 255).sum()) for side in (True, False))
