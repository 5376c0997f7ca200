"""``matebot solve``: solve endings ahead and keep them on disk."""

from __future__ import annotations

import json
import time
from argparse import ArgumentParser, Namespace

from matebot.commands.endings import add_endings, chosen, progress, tell, warn
from matebot.commands.playing import add_table_folder
from matebot.errors import UserError
from matebot.method.library import Library
from matebot.method.plans import LARGE_PLANS
from matebot.solver.material import Material, closure
from matebot.solver.offer import about
from matebot.solver.store import default_folder
from matebot.solver.tables import Tables
from matebot.solver.time_left import TimeLeft
from matebot.terms import CLAIM_PLIES, moves_begun


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_endings(parser)
    parser.add_argument("--with-five-men", action="store_true", help="all means the 110 endings of five men as well")
    parser.add_argument(
        "--table-budget",
        type=int,
        default=0,
        metavar="MIB",
        help="room for the files; beyond it those of five men used least lately are thrown out (default: no limit)",
    )
    parser.add_argument("--json", action="store_true", help="print the endings as data")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Solve the endings and say how long it took and what they take on disk; the status is 1 if any is not kept."""
    endings = chosen(namespace)
    folder = namespace.table_folder or default_folder()
    tables = Tables(folder, notice=warn)
    if namespace.table_budget < 0:
        raise UserError(f"expected --table-budget of at least 0 MiB, got {namespace.table_budget!r}")
    tables.set_budget(namespace.table_budget)
    if namespace.with_five_men:
        _tell_all(namespace, tables, endings)
    solved: list[dict[str, object]] = []
    for number, material in enumerate(endings):
        progress(number, len(endings), f"solving {material.name}")
        solved.append(_solve(tables, material))
        if not namespace.json:
            tell(_line(solved[-1]))
        ladders = _ladders(tables, material)
        solved[-1]["ladders"] = ladders
        if ladders and not namespace.json:
            tell(f"      ladder: {', '.join(ladders)}")
    sizes = [size for size in map(tables.bytes_on_disk, endings) if size]
    where = folder or "memory only"
    if namespace.json:
        data = {"folder": None if folder is None else str(folder), "kept": len(sizes), "bytes": sum(sizes)}
        tell(json.dumps({**data, "endings": solved}, indent=2))
    else:
        tell(f"{len(sizes)} of {len(endings)} endings kept in {where}, {sum(sizes) / 2**20:.1f} MiB")
    return 0 if len(sizes) == len(endings) else 1


def _tell_all(namespace: Namespace, tables: Tables, endings: list[Material]) -> None:
    """Say what all endings of five men take, before anything is done."""
    if namespace.endings not in ([], ["all"]):
        raise UserError(f"expected no names of endings with --with-five-men, got {' '.join(namespace.endings)!r}")
    missing = [material for material in endings if not tables.has_file(material)]
    warn(f"{len(missing)} endings to solve, {about(missing)}; what is done stays done if you interrupt")


def _solve(tables: Tables, material: Material) -> dict[str, object]:
    """Solve and keep an ending and what it leads to; return what there is to tell."""
    begun, solved = time.monotonic(), set[Material]()
    left = TimeLeft(other for other in closure(material) if not tables.has_file(other))

    def watch(ending: Material) -> None:
        solved.add(ending)
        left.layer(ending)
        if len(material.men) > 2:
            progress(round(1000 * left.done), 1000, f"{material.name}: solving {ending.name}{left.said()}")

    tables.watch = watch
    if len(material.men) > 2:  # whoever interrupts it goes on later with what is not kept yet
        for other in closure(material)[:-1]:
            tables.prepare(other)
            tables.keep()
    tables.prepare(material)
    seconds = round(time.monotonic() - begun, 2) if material in solved else None
    mate, leg = (tables.longest(material, metric)[0] for metric in ("dtm", "dtz"))
    tables.keep()
    return {
        "ending": material.name,
        "seconds": seconds,
        "longest_moves": moves_begun(mate),
        "longest_moves_to_conversion": moves_begun(leg) if leg <= CLAIM_PLIES else None,
    }


def _ladders(tables: Tables, material: Material) -> list[str]:
    """Solve and keep the ladders of an ending of five men, and return their names."""
    plans, library = LARGE_PLANS.get(material.name, ()), Library(tables)
    for plan in plans:
        library.ladder(plan)
    return [plan.name for plan in plans]


def _line(solved: dict[str, object]) -> str:
    seconds = "kept" if solved["seconds"] is None else f"{solved['seconds']:.2f} s"
    mate, leg = solved["longest_moves"], solved["longest_moves_to_conversion"]
    leg = f"more than {moves_begun(CLAIM_PLIES)}" if leg is None else leg
    longest = f"longest win: mate in {mate}; capture, pawn move or mate in {leg}" if mate else "no win"
    return f"{solved['ending']:<5}{seconds:>9}  {longest}"
