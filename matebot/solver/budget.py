"""Room on disk: of the files of five men those used least lately are thrown out; those of fewer men are small and stay.

When a file was last used stands in its time of change, since nothing else needs that. A file is thrown out whole, in
one step; a process that has it open goes on reading it, another one solves the ending again.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Collection
from contextlib import suppress
from pathlib import Path

from matebot.solver.material import COVERED, FIVE_MEN, Material
from matebot.solver.offer import is_large
from matebot.solver.store import path_of


def mark_used(folder: Path, material: Material) -> None:
    """Remember that an ending's file is used now, where it is one that may be thrown out."""
    if is_large(material):
        with suppress(OSError):
            os.utime(path_of(folder, material))


def throw_out(folder: Path, budget_bytes: int, in_use: Collection[Material]) -> int:
    """Throw out files until all together keep to a budget, and return what they take then, in bytes.

    Parameters
    ----------
    in_use : endings whose files stay, whatever they take
    """
    total, files = 0, list[tuple[int, int, Path]]()
    for material in (*COVERED, *FIVE_MEN):
        path = path_of(folder, material)
        with suppress(OSError):
            found = path.lstat()
            if stat.S_ISREG(found.st_mode):
                total += found.st_size
                if is_large(material) and material not in in_use:
                    files.append((found.st_mtime_ns, found.st_size, path))
    for _, size, path in sorted(files):
        if total <= budget_bytes:
            break
        with suppress(OSError):  # not every system lets go of a file that is open
            path.unlink()
            total -= size
    return total
