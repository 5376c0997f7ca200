"""``matebot solve``: solve endings ahead and keep them on disk."""

from __future__ import annotations

import time
from argparse import ArgumentParser, Namespace

from matebot.commands.endings import add_endings, chosen, progress, tell, warn
from matebot.commands.playing import add_table_folder
from matebot.solver.material import Material
from matebot.solver.store import default_folder
from matebot.solver.tables import Tables
from matebot.terms import moves_begun


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_endings(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Solve the endings and say how long it took and what they take on disk; the status is 1 if any is not kept."""
    endings = chosen(namespace)
    folder = namespace.table_folder or default_folder()
    tables = Tables(folder, notice=warn)
    for number, material in enumerate(endings):
        progress(number, len(endings), f"solving {material.name}")
        tell(_solve(tables, material))
    sizes = [size for size in map(tables.bytes_on_disk, endings) if size]
    tell(f"{len(sizes)} of {len(endings)} endings kept in {folder or 'memory only'}, {sum(sizes) / 2**20:.1f} MiB")
    return 0 if len(sizes) == len(endings) else 1


def _solve(tables: Tables, material: Material) -> str:
    """Solve and keep an ending and what it leads to; return a line about it."""
    begun = time.monotonic()
    tables.prepare(material)
    kept = tables.bytes_on_disk(material) > 0
    seconds = "kept" if kept else f"{time.monotonic() - begun:.2f} s"
    mate, leg = (moves_begun(tables.longest(material, metric)[0]) for metric in ("dtm", "dtz"))
    tables.keep()
    longest = f"longest win: mate in {mate}; capture, pawn move or mate in {leg}" if mate else "no win"
    return f"{material.name:<5}{seconds:>9}  {longest}"
