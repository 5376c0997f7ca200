"""``matebot method``: the ladders, and what has been proved about them."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace

from matebot import __version__
from matebot.commands.playing import add_html, add_table_folder, library_of
from matebot.errors import UserError
from matebot.lessons.html import page
from matebot.lessons.ladders import ladders_sheet
from matebot.method.ladder import Plan
from matebot.method.plans import PLANS
from matebot.method.proof import Figures, Proof
from matebot.method.proved import PROVED_BY, proved_figures
from matebot.solver.material import Material
from matebot.solver.names import UnknownEnding, ending_named
from matebot.whole_file import check_place, write_whole


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("words", nargs="*", metavar="ENDING", help=f"one of {', '.join(PLANS)} (default: all)")
    parser.add_argument("--prove", action="store_true", help="prove the ladders anew, which takes up to half a minute")
    parser.add_argument("--json", action="store_true", help="print the ladders as data")
    add_html(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Show the ladders at once, with the figures proved for this version, or of a proof made now if it is asked for."""
    check_place(namespace.html)
    chosen = [_known(" ".join(namespace.words))] if namespace.words else list(PLANS)
    plans = [plan for ending in chosen for plan in PLANS[ending]]
    version, told = PROVED_BY, {plan.name: proved_figures(plan) for plan in plans}
    if namespace.prove:
        version, told = __version__, _prove(namespace, plans)
    if namespace.html is not None:
        write_whole(namespace.html, page(ladders_sheet(library_of(namespace), plans)))
    if namespace.json:
        data = [
            {"ending": ending, "ladders": [_data(plan, told[plan.name], version) for plan in PLANS[ending]]}
            for ending in chosen
        ]
        print(json.dumps(data[0] if namespace.words else data, indent=2))
        return 0
    for plan in plans:
        _show(plan, told[plan.name], version)
    return 0


def _known(name: str) -> str:
    try:
        ending = ending_named(name).material.name
    except UnknownEnding:
        ending = ""
    if ending not in PLANS:
        raise UserError(f"expected an ending with a ladder ({', '.join(PLANS)}), got {name!r}")
    return ending


def _prove(namespace: Namespace, plans: list[Plan]) -> dict[str, Figures]:
    library, found = library_of(namespace), {}
    for plan in plans:
        print(f"proving {plan.ending}, {plan.name} ...", file=sys.stderr)
        library.tables.prepare(Material.parse(plan.ending))
        found[plan.name] = Proof(library.ladder(plan), library.tables, library.followed).figures()
    library.tables.keep()
    return found


def _show(plan: Plan, figures: Figures, version: str) -> None:
    print(f"{plan.ending}: {plan.name}")
    for number, (stage, most) in enumerate(zip(plan.stages, figures.stage_longest_moves, strict=True), start=1):
        print(f"  {number}. {stage.title} (at most {most} moves)")
        print(f"     {stage.aim}")
    print(
        f"  by the method at most {figures.longest_moves} moves, {figures.mean_moves:.2f} on average; "
        f"shortest {figures.shortest_longest_moves} and {figures.shortest_mean_moves:.2f}"
    )
    print(f"  proved by matebot {version} over {figures.positions:,} won positions with the attacker to move\n")


def _data(plan: Plan, figures: Figures, version: str) -> dict[str, object]:
    return {
        "name": plan.name,
        "stages": [
            {"title": stage.title, "aim": stage.aim, "longest_moves": longest}
            for stage, longest in zip(plan.stages, figures.stage_longest_moves, strict=True)
        ],
        "proved_by": version,
        "longest_moves": figures.longest_moves,
        "mean_moves": round(figures.mean_moves, 4),
        "shortest_longest_moves": figures.shortest_longest_moves,
        "shortest_mean_moves": round(figures.shortest_mean_moves, 4),
        "positions": figures.positions,
    }
