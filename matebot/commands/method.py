"""``matebot method``: the ladders with what has been proved about them."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace

from matebot.commands.playing import add_table_folder, library_of
from matebot.errors import UserError
from matebot.method.ladder import Plan
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.method.proof import Figures, Proof
from matebot.solver.material import Material


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("ending", nargs="?", help=f"one of {', '.join(PLANS)} (default: all)")
    parser.add_argument("--json", action="store_true", help="print the ladders as data")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Prove the ladders anew and print their figures."""
    library = library_of(namespace)
    chosen = [_known(namespace.ending)] if namespace.ending else list(PLANS)
    proved = [(ending, [(plan, _prove(library, plan)) for plan in PLANS[ending]]) for ending in chosen]
    if namespace.json:
        data = [_data(ending, ladders) for ending, ladders in proved]
        print(json.dumps(data[0] if namespace.ending else data, indent=2))
        return 0
    for ending, ladders in proved:
        for plan, figures in ladders:
            _show(ending, plan, figures)
    return 0


def _known(ending: str) -> str:
    if ending.upper() not in PLANS:
        raise UserError(f"expected an ending with a ladder ({', '.join(PLANS)}), got {ending!r}")
    return ending.upper()


def _prove(library: Library, plan: Plan) -> Figures:
    print(f"proving {plan.ending}, {plan.name} ...", file=sys.stderr)
    library.tables.prepare(Material.parse(plan.ending))
    return Proof(library.ladder(plan), library.tables, library.followed).figures()


def _show(ending: str, plan: Plan, figures: Figures) -> None:
    print(f"{ending}: {plan.name}")
    for number, (stage, longest) in enumerate(zip(plan.stages, figures.stage_longest_moves, strict=True), start=1):
        print(f"  {number}. {stage.title} (at most {longest} moves)")
        print(f"     {stage.aim}")
    print(
        f"  by the method at most {figures.longest_moves} moves, {figures.mean_moves:.2f} on average; "
        f"shortest {figures.shortest_longest_moves} and {figures.shortest_mean_moves:.2f}"
    )
    print(f"  proved over {figures.positions:,} won positions with the attacker to move\n")


def _data(ending: str, ladders: list[tuple[Plan, Figures]]) -> dict[str, object]:
    return {
        "ending": ending,
        "ladders": [
            {
                "name": plan.name,
                "stages": [
                    {"title": stage.title, "aim": stage.aim, "longest_moves": longest}
                    for stage, longest in zip(plan.stages, figures.stage_longest_moves, strict=True)
                ],
                "longest_moves": figures.longest_moves,
                "mean_moves": round(figures.mean_moves, 4),
                "shortest_longest_moves": figures.shortest_longest_moves,
                "shortest_mean_moves": round(figures.shortest_mean_moves, 4),
                "positions": figures.positions,
            }
            for plan, figures in ladders
        ],
    }
