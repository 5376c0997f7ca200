"""``matebot method``: teaches a ladder on the terminal, or lists the ladders and what has been proved about them."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace

from matebot import __version__
from matebot.commands.playing import add_flip, add_html, add_table_folder, ask_for, library_of
from matebot.errors import UserError
from matebot.lessons.html import page
from matebot.lessons.ladders import ladders_sheet
from matebot.lessons.lesson_plans import ladder_named
from matebot.lessons.screen import told
from matebot.lessons.teaching import teach
from matebot.method.library import Library
from matebot.method.plan import Figures, Plan
from matebot.method.plans import ALL_PLANS, PLANS
from matebot.method.proof import Proof
from matebot.method.proved import PROVED_BY, proved_figures
from matebot.solver.material import Material
from matebot.solver.names import UnknownEnding, ending_named
from matebot.whole_file import check_place, write_whole


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument(
        "words", nargs="*", metavar="ENDING", help=f"one of {', '.join(ALL_PLANS)} (default: a table of all)"
    )
    parser.add_argument("--ladder", metavar="NAME", help="which ladder of the ending, where it has several")
    parser.add_argument("--brief", action="store_true", help="print the table of the ladders only")
    parser.add_argument("--prove", action="store_true", help="prove the ladders anew, up to half a minute each")
    parser.add_argument("--json", action="store_true", help="print it as data")
    parser.epilog = (
        "With an ending its ladder is taught: stages with a position and conditions to tick off, positions to know by "
        "heart, slips with their refutations, the budget of moves."
    )
    add_html(parser)
    add_flip(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Teach a ladder, or show the table of all; with the figures proved for this version, or of a proof made now."""
    check_place(namespace.html)
    plans = _chosen(namespace)
    library = library_of(namespace)
    teaching = bool(namespace.words) and not namespace.brief
    if namespace.words and (teaching or namespace.prove or namespace.html):
        ask_for(Material.parse(plans[0].ending, largest=5), library)
    if namespace.prove:
        version, figures = __version__, _prove(library, plans)
    else:
        version, figures = PROVED_BY, {plan.name: proved_figures(plan) for plan in plans}
    lessons = [teach(library, plan, figures[plan.name]) for plan in plans] if teaching or namespace.html else []
    if namespace.html is not None:
        write_whole(namespace.html, page(ladders_sheet(lessons)))
    if namespace.json:
        parts = {lesson.plan.name: lesson.as_data() for lesson in lessons} if teaching else {}
        print(json.dumps(_all_data(plans, figures, version, parts, bool(namespace.words)), indent=2))
    elif teaching:
        for lesson in lessons:
            print("\n".join(told(lesson, version, not namespace.flip)))
    else:
        for plan in plans:
            _show(plan, figures[plan.name], version)
    if lessons:
        library.tables.keep()
    return 0


def _chosen(namespace: Namespace) -> list[Plan]:
    """Return the ladders asked for: without an ending all, in brief all of it, else the one that is taught."""
    if not namespace.words:
        if namespace.ladder is not None:
            raise UserError(f"expected an ending with --ladder, got only {namespace.ladder!r}")
        # Five men are solved for nobody who does not name them.
        named = PLANS if namespace.prove or namespace.html else ALL_PLANS
        return [plan for plans in named.values() for plan in plans]
    ending = _known(" ".join(namespace.words))
    if namespace.brief and namespace.ladder is None:
        return list(ALL_PLANS[ending])
    return [ladder_named(ending, namespace.ladder)]


def _known(name: str) -> str:
    try:
        ending = ending_named(name).material.name
    except UnknownEnding:
        ending = ""
    if ending not in ALL_PLANS:
        raise UserError(f"expected an ending with a ladder ({', '.join(ALL_PLANS)}), got {name!r}")
    return ending


def _prove(library: Library, plans: list[Plan]) -> dict[str, Figures]:
    found = {}
    for plan in plans:
        print(f"proving {plan.ending}, {plan.name} ...", file=sys.stderr)
        library.tables.prepare(Material.parse(plan.ending, largest=5))
        found[plan.name] = Proof(library.solved(plan), library.tables, library.worth).figures()
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


def _all_data(
    plans: list[Plan], figures: dict[str, Figures], version: str, parts: dict[str, dict[str, object]], one: bool
) -> object:
    found: dict[str, list[dict[str, object]]] = {}
    for plan in plans:
        ladder = _data(plan, figures[plan.name], version) | parts.get(plan.name, {})
        found.setdefault(plan.ending, []).append(ladder)
    data = [{"ending": ending, "ladders": ladders} for ending, ladders in found.items()]
    return data[0] if one else data


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
