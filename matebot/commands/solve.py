"""``matebot solve``: solve endings ahead and keep them on disk."""

from __future__ import annotations

import time
from argparse import ArgumentParser, Namespace

from matebot.commands.endings import add_endings, chosen, progress
from matebot.commands.playing import add_table_folder, library_of
from matebot.solver.store import path_of


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_endings(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Solve the endings and say how long it took and what they take on disk."""
    tables, endings = library_of(namespace).tables, chosen(namespace)
    for number, material in enumerate(endings):
        progress(number, len(endings), f"solving {material.name}")
        begun = time.monotonic()
        tables.prepare(material)
        plies, _ = tables.longest(material)
        tables.keep()
        longest = f"longest win {(plies + 1) // 2} moves" if plies else "no forced win"
        print(f"{material.name:<6}{time.monotonic() - begun:6.2f} s  {longest}")
    progress(len(endings), len(endings), "done")
    if tables.folder is not None:
        folder = tables.folder
        sizes = [path_of(folder, m).stat().st_size for m in endings if path_of(folder, m).exists()]
        print(f"{len(sizes)} endings kept in {folder}, {sum(sizes) / 2**20:.1f} MiB")
    return 0
