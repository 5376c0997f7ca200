"""Which room of the house may import which: everything flows one way, from the squares to the words.

The sources are read, not run, so imports inside functions and for hints count as well.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterable
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import matebot

PACKAGE = Path(matebot.__file__).parent
WITNESSES = Path(__file__).parent / "witness"

BASE = (
    "matebot.errors",
    "matebot.resources",
    "matebot.terms",
    "matebot.quoting",
    "matebot.whole_file",
    "matebot.settings",
    "matebot.wakeful",
)
INNER = (
    "chess",
    "matebot.terms",
    "matebot.solver",
    "matebot.laws",
    "matebot.play",
    "matebot.method",
    "matebot.facts",
    "matebot.ideas",
    "matebot.wording",
)
OUTER = (*BASE, *INNER, "matebot", "matebot.position", "matebot.uci", "matebot.profiles", "matebot.commentary")

#: Room -> what it may import beside itself, `matebot.records` and the standard library. The longest name that begins a
#: module's name is its room, so one module can be a room of its own where it may do more than its neighbours.
ROOMS: dict[str, tuple[str, ...]] = {
    "matebot.errors": (),
    "matebot.records": (),
    "matebot.terms": (),
    "matebot.quoting": (),
    "matebot.wakeful": (),
    "matebot.whole_file": ("matebot.errors",),
    "matebot.settings": ("matebot.errors", "matebot.quoting", "matebot.resources"),
    "matebot.resources": ("matebot.errors",),
    "matebot.uci": ("matebot",),
    "matebot.solver": ("numpy",),
    "matebot.solver.compile_ahead": ("numba",),
    "matebot.solver.compiling": ("numba", "numpy"),
    "matebot.solver.packing": ("zstandard",),
    "matebot.solver.tables": ("numpy", "chess"),
    "matebot.solver.coverage": ("chess",),
    "matebot.solver.behind": ("chess",),
    "matebot.laws": ("chess", "matebot.solver", "matebot.terms"),
    "matebot.ideas": ("chess", "matebot.method.condition", "matebot.method.plan"),
    "matebot.method": ("numpy", "matebot.solver", "matebot.terms"),
    "matebot.method.behind": ("matebot.solver",),
    "matebot.method.library": ("chess", "numpy", "matebot.solver", "matebot.terms"),
    "matebot.play.ranking": ("chess", "matebot.solver", "matebot.laws"),
    "matebot.play": ("chess", "matebot.solver", "matebot.laws", "matebot.method", "matebot.terms"),
    "matebot.play.judged": ("chess", "matebot.laws", "matebot.method", "matebot.ideas.squares"),
    "matebot.play.truth": (
        "chess",
        "matebot.solver",
        "matebot.laws",
        "matebot.method",
        "matebot.ideas",
        "matebot.terms",
    ),
    "matebot.play.best_to_teach": ("chess", "matebot.ideas"),
    "matebot.play.in_a_draw": ("chess", "matebot.solver", "matebot.laws", "matebot.ideas.squares"),
    "matebot.facts": ("chess", "matebot.ideas", "matebot.laws", "matebot.method", "matebot.play", "matebot.terms"),
    "matebot.wording": (
        "matebot.facts",
        "matebot.ideas",
        "matebot.method.condition",
        "matebot.method.plan",
        "matebot.method.standing",
        "matebot.terms",
    ),
    "matebot.verification": (*BASE, "chess", "numpy", "matebot.solver"),
    "matebot.profiles": (*BASE, "matebot.uci"),
    "matebot.commentary": INNER,
    "matebot.games": OUTER,
    "matebot.games.positions": (*OUTER, "numpy"),
    "matebot.assess": OUTER,
    "matebot.assess.engines.processes": ("psutil",),
    "matebot.lessons": (*OUTER, "matebot.games", "matebot.ideas", "matebot.practice"),
    "matebot.practice": (*OUTER, "matebot.games"),
    "matebot.practice.record": (*BASE, "platformdirs"),
    "matebot.practice.memory": (*BASE, "fsrs"),
    "matebot.answers": OUTER,
    "matebot.position": ("chess",),
    "matebot.partner": (*OUTER, "matebot.practice", "matebot.answers"),
    "matebot.uci.stdio": (*OUTER, "matebot.partner"),
    "matebot.commands": (
        *OUTER,
        "matebot.partner",
        "matebot.games",
        "matebot.assess",
        "matebot.verification",
        "matebot.practice",
        "matebot.lessons",
    ),
    "matebot.cli": (*BASE, "matebot", "matebot.uci.stdio"),
    "matebot.__main__": ("matebot.cli",),
}
#: The ends of the house, and who alone may import them.
ENDS = {
    "matebot.uci.stdio": ("matebot.commands", "matebot.cli"),
    "matebot.commands": ("matebot.cli",),
    "matebot.cli": ("matebot.__main__",),
}


def begins(prefix: str, name: str) -> bool:
    """Whether a dotted name is another one or lies below it; the package itself holds nothing but its version."""
    return name == prefix or (prefix != "matebot" and name.startswith(prefix + "."))


def modules() -> dict[str, Path]:
    """Return every module of the package by its name."""
    return {name_of(path): path for path in sorted(PACKAGE.rglob("*.py"))}


def name_of(path: Path) -> str:
    parts = ("matebot", *path.relative_to(PACKAGE).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = modules()


def imports_of(source: str, module: str, known: Iterable[str] = MODULES) -> set[str]:
    """Return the modules a source imports outside the standard library, by their full names."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            parent = ".".join(module.split(".")[: -node.level]) if node.level else ""
            base = ".".join(filter(None, (parent, node.module)))
            members = {f"{base}.{alias.name}" for alias in node.names}
            found.update(members & set(known))
            if members - set(known):
                found.add(base)
    return {name for name in found if name.split(".")[0] not in sys.stdlib_module_names}


def room_of(module: str) -> str | None:
    """Return the room a module belongs to."""
    return max((room for room in ROOMS if begins(room, module)), key=len, default=None)


def faults(module: str, imported: Iterable[str]) -> list[str]:
    """Return what a module imports though its room may not, or the ends of the house though nobody may."""
    room = room_of(module)
    assert room is not None, f"expected every module to belong to a room in ROOMS, got {module!r}"
    own = ".".join(room.split(".")[:2])
    allowed = (own, "matebot.records", *ROOMS[room])
    return [
        name
        for name in sorted(imported)
        if not any(begins(prefix, name) for prefix in allowed) or _is_end_to(module, name)
    ]


def _is_end_to(module: str, name: str) -> bool:
    return any(
        begins(end, name) and not begins(end, module) and not any(begins(friend, module) for friend in friends)
        for end, friends in ENDS.items()
    )


@cache
def imported_by(module: str) -> set[str]:
    """Return what a module of the package imports."""
    return imports_of(MODULES[module].read_text(encoding="utf-8"), module)


def test_every_module_imports_only_what_its_room_may() -> None:
    wrong = {module: faults(module, imported_by(module)) for module in MODULES if module != "matebot"}
    assert len(wrong) > 200
    assert not {module: names for module, names in wrong.items() if names}


#: The packages of a room that has several, from the ground up: each imports only those before it.
FLOORS = {"matebot.assess": ("judging", "plans", "engines", "running", "reports")}


@pytest.mark.parametrize("room", FLOORS)
def test_the_packages_of_a_room_import_only_those_below(room: str) -> None:
    floors = [f"{room}.{name}" for name in FLOORS[room]]
    for number, floor in enumerate(floors):
        for module in (name for name in MODULES if begins(floor, name)):
            assert not [
                name for name in imported_by(module) for above in floors[number + 1 :] if begins(above, name)
            ], module
    assert {name for name in MODULES if begins(room, name)} == {
        name for name in MODULES if name == room or any(begins(floor, name) for floor in floors)
    }


def test_the_package_itself_imports_nothing() -> None:
    assert not imports_of(MODULES["matebot"].read_text(encoding="utf-8"), "matebot")


def test_no_module_leads_back_to_itself() -> None:
    graph = {name: {other for other in imported_by(name) if other in MODULES} for name in MODULES}
    # An ordering from leaf to root exists; graphlib raises the circle otherwise.
    assert len(list(TopologicalSorter(graph).static_order())) == len(MODULES)


def _dotted(path: Path) -> str:
    return ".".join(("tests.witness", *path.relative_to(WITNESSES).with_suffix("").parts))


def test_the_witnesses_know_nothing_of_the_program() -> None:
    for path in WITNESSES.rglob("*.py"):
        imported = imports_of(path.read_text(encoding="utf-8"), _dotted(path))
        assert not [name for name in imported if name.split(".")[0] == "matebot"], path.name


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("import chess.engine", {"chess.engine"}),
        ("import os, numpy as np", {"numpy"}),
        ("from matebot.solver import geometry, nothing", {"matebot.solver.geometry", "matebot.solver"}),
        ("from matebot import __version__", {"matebot"}),
        ("from . import moves", {"matebot.solver.moves"}),
        ("from .moves import preimage", {"matebot.solver.moves"}),
        ("from ..laws import judge", {"matebot.laws"}),
        ("def later():\n    from matebot.cli import main", {"matebot.cli"}),
        ("if TYPE_CHECKING:\n    import chess", {"chess"}),
        ("from __future__ import annotations", set()),
    ],
)
def test_every_form_of_import_is_read(source: str, expected: set[str]) -> None:
    assert imports_of(source, "matebot.solver.codes") == expected


@pytest.mark.parametrize(
    ("module", "imported"),
    [
        ("matebot.solver.moves", "chess"),
        ("matebot.solver.retrograde", "matebot.laws"),
        ("matebot.solver.tables", "matebot.play.ranking"),
        ("matebot.uci.session", "chess"),
        ("matebot.uci.session", "matebot.solver.tables"),
        ("matebot.uci.session", "matebot.uci.stdio"),
        ("matebot.wording.moves", "matebot.solver.tables"),
        ("matebot.ideas.cage", "matebot.method.library"),
        ("matebot.ideas.cage", "matebot.facts.move_facts"),
        ("matebot.method.ladder", "matebot.ideas.seeing"),
        ("matebot.play.judged", "matebot.facts.move_facts"),
        ("matebot.wording.moves", "chess"),
        ("matebot.method.ladder", "chess"),
        ("matebot.play.choice", "matebot.wording.moves"),
        ("matebot.games.demonstrate", "matebot.commands.demonstrate"),
        ("matebot.partner", "matebot.uci.stdio"),
        ("matebot.assess.plans.plan", "matebot.cli"),
        ("matebot.uci.stdio", "matebot.commands.solve"),
        ("matebot.resources", "yaml"),
    ],
)
def test_an_import_against_the_flow_is_found(module: str, imported: str) -> None:
    assert faults(module, [imported]) == [imported]
