"""``matebot method``: the ladders, and what has been proved about them, now or before."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace

from matebot.commands.playing import add_table_folder, library_of
from matebot.commands.proofs import KeptProof, KeptProofs
from matebot.errors import UserError
from matebot.method.ladder import Plan
from matebot.method.plans import PLANS
from matebot.method.proof import Proof
from matebot.solver.material import Material
from matebot.solver.names import UnknownEnding, ending_named
from matebot.solver.store import default_folder


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("words", nargs="*", metavar="ENDING", help=f"one of {', '.join(PLANS)} (default: all)")
    parser.add_argument(
        "--prove", action="store_true", help="prove the ladders, and keep the figures beside the tables"
    )
    parser.add_argument("--json", action="store_true", help="print the ladders as data")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Show the ladders at once, with the figures of a proof that is kept, or of one made now if it is asked for."""
    chosen = [_known(" ".join(namespace.words))] if namespace.words else list(PLANS)
    kept = KeptProofs(namespace.table_folder or default_folder())
    if namespace.prove:
        _prove(namespace, chosen, kept)
    told = [(ending, [(plan, kept.of(plan)) for plan in PLANS[ending]]) for ending in chosen]
    if namespace.json:
        data = [_data(ending, ladders) for ending, ladders in told]
        print(json.dumps(data[0] if namespace.words else data, indent=2))
        return 0
    for ending, ladders in told:
        for plan, proof in ladders:
            _show(ending, plan, proof)
    return 0


def _known(name: str) -> str:
    try:
        ending = ending_named(name).material.name
    except UnknownEnding:
        ending = ""
    if ending not in PLANS:
        raise UserError(f"expected an ending with a ladder ({', '.join(PLANS)}), got {name!r}")
    return ending


def _prove(namespace: Namespace, endings: list[str], kept: KeptProofs) -> None:
    library = library_of(namespace)
    for plan in (plan for ending in endings for plan in PLANS[ending]):
        print(f"proving {plan.ending}, {plan.name} ...", file=sys.stderr)
        library.tables.prepare(Material.parse(plan.ending))
        kept.add(plan, Proof(library.ladder(plan), library.tables, library.followed).figures())
    library.tables.keep()
    try:
        kept.write()
    except UserError as fault:
        print(f"the figures are not kept: {fault}", file=sys.stderr)


def _show(ending: str, plan: Plan, proof: KeptProof | None) -> None:
    print(f"{ending}: {plan.name}")
    for number, stage in enumerate(plan.stages, start=1):
        most = "" if proof is None else f" (at most {proof.figures.stage_longest_moves[number - 1]} moves)"
        print(f"  {number}. {stage.title}{most}")
        print(f"     {stage.aim}")
    if proof is None:
        print(f"  no proof is kept here; matebot method {ending} --prove makes one\n")
        return
    figures = proof.figures
    print(
        f"  by the method at most {figures.longest_moves} moves, {figures.mean_moves:.2f} on average; "
        f"shortest {figures.shortest_longest_moves} and {figures.shortest_mean_moves:.2f}"
    )
    print(f"  proved by matebot {proof.version} over {figures.positions:,} won positions with the attacker to move\n")


def _data(ending: str, ladders: list[tuple[Plan, KeptProof | None]]) -> dict[str, object]:
    return {"ending": ending, "ladders": [_ladder_data(plan, proof) for plan, proof in ladders]}


def _ladder_data(plan: Plan, proof: KeptProof | None) -> dict[str, object]:
    stages: list[dict[str, object]] = [{"title": stage.title, "aim": stage.aim} for stage in plan.stages]
    if proof is None:
        return {"name": plan.name, "stages": stages, "proved_by": None}
    figures = proof.figures
    for stage, longest in zip(stages, figures.stage_longest_moves, strict=True):
        stage["longest_moves"] = longest
    return {
        "name": plan.name,
        "stages": stages,
        "proved_by": proof.version,
        "longest_moves": figures.longest_moves,
        "mean_moves": round(figures.mean_moves, 4),
        "shortest_longest_moves": figures.shortest_longest_moves,
        "shortest_mean_moves": round(figures.shortest_mean_moves, 4),
        "positions": figures.positions,
    }
