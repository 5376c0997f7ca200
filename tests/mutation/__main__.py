"""The command: changes one module a little, many times, and counts how often a test notices.

Own code, because the tools at hand start the tests anew for every change, which here costs ten seconds each time, or
cannot change what stands in tables outside functions.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import tomllib
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from tests.mutation.mutants import Source
from tests.mutation.trials import (
    KILLED,
    NOT_RUN,
    SURVIVED,
    TIMED_OUT,
    Cost,
    Outcome,
    Server,
    Trials,
    in_a_process_of_its_own,
    try_at_import,
)

EQUIVALENT = Path(__file__).with_name("equivalent.toml")
#: The tests that are asked about a module where no others are named: the longest beginning decides.
TARGETS = {
    "matebot/laws": "tests/laws tests/play",
    # An ending is solved by the first test that asks for it: that must be one that notices what is wrong with it.
    "matebot/solver": "tests/solver/test_successors.py tests/solver tests/laws tests/method",
    "matebot/play": "tests/play",
    "matebot/assess": "tests/assess",
    "matebot/uci": "tests/uci",
    "matebot/facts": "tests/facts",
    "matebot/method": "tests/method tests/play/test_games.py tests/test_method_game.py",
    "matebot/ideas": "tests/ideas",
    "matebot/wording": "tests/wording tests/test_commentary.py tests/lessons/test_claims.py",
    "matebot": "tests",
}
#: Modules whose changes may show in a solved ending, so that none may be solved before, and those among them of which
#: nothing is used until the clock or repeated positions matter.
COLD = ("matebot/solver/", "matebot/terms")
LATE = tuple(f"matebot/solver/{name}" for name in ("repetition", "late", "layers", "clocked", "batches"))


def main() -> None:
    """Try the mutants of modules and print which survive."""
    options = _options()
    equivalent = tomllib.loads(EQUIVALENT.read_text(encoding="utf-8"))
    modules = [Module(path, equivalent.get(path, {})) for path in options.modules]
    for module in modules:
        module.choose(options)
    if options.sample:
        for together in [[module] for module in modules] if options.each else [modules]:
            _sample(together, options.sample, options.seed)
    _try(options, modules)
    for module in modules:
        module.memory.survivors = [outcome.key for outcome in module.outcomes if outcome.fate in (SURVIVED, NOT_RUN)]
        module.memory.write()
    print()
    for module in modules:
        _tell_survivors(module)
    for module in modules:
        _tell(module.path, module.outcomes, module.named)
    if len(modules) > 1:
        _tell("all", [one for module in modules for one in module.outcomes], sum(module.named for module in modules))


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__.splitlines()[0])
    parser.add_argument(
        "names",
        nargs="+",
        metavar="module or tests",
        help="the modules to change, as matebot/laws/referee.py, or rooms of them, as matebot/facts; "
        "and the tests to ask: by default those that go with the first module's room",
    )
    parser.add_argument("--jobs", type=int, default=1, help="how many mutants are tried at once")
    parser.add_argument(
        "--budget", type=float, default=20, help="what passes this many seconds of tests counts as surviving"
    )
    parser.add_argument(
        "--solved",
        help="the endings to solve beforehand, as KRK,KBNK, or none; by default all, or none for the solver",
    )
    parser.add_argument("--only", default="", help="try only mutants whose names hold this")
    parser.add_argument("--sample", type=int, help="try only this many mutants, chosen by chance from all modules")
    parser.add_argument("--each", action="store_true", help="with --sample: so many of each module")
    parser.add_argument("--seed", type=int, default=1, help="repeats the choice")
    parser.add_argument("--survivors", action="store_true", help="try only those that survived the last time")
    options = parser.parse_args()
    named = [Path(name) for name in options.names if name.startswith("matebot")]
    options.modules = [str(path) for name in named for path in (sorted(name.glob("*.py")) if name.is_dir() else [name])]
    options.tests = [name for name in options.names if not name.startswith("matebot")]
    if not options.modules:
        parser.error("expected a module, as matebot/laws/referee.py")
    return options


class Module(Trials):
    """A module, those of its mutants that are to be tried, and what has been remembered of it."""

    def __init__(self, path: str, equivalent: dict[str, str]) -> None:
        source = Source.of(path)
        self.path = path
        self.memory = Memory(Path(".mutation") / f"{path.removesuffix('.py').replace('/', '.')}.json", path)
        mutants = [mutant for mutant in source.mutants if mutant.key not in equivalent]
        self.named = len(source.mutants) - len(mutants)
        super().__init__(source, path.removesuffix(".py").replace("/", "."), mutants, self.memory.costs)

    def choose(self, options: argparse.Namespace) -> None:
        """Keep the mutants that are asked for."""
        self.mutants = [mutant for mutant in self.mutants if options.only in mutant.key]
        if options.survivors:
            self.mutants = [mutant for mutant in self.mutants if mutant.key in self.memory.survivors]


def _sample(modules: list[Module], count: int, seed: int) -> None:
    """Keep so many mutants of all modules."""
    every = [(module, mutant) for module in modules for mutant in module.mutants]
    chosen = random.Random(seed).sample(every, min(count, len(every)))
    for module in modules:
        module.mutants = [mutant for owner, mutant in chosen if owner is module]


def _try(options: argparse.Namespace, modules: list[Module]) -> None:
    """Try mutants, those within functions first; remember the costs of the tests."""
    room = max((name for name in TARGETS if options.modules[0].startswith(name)), key=len)
    cold = any(name.startswith(COLD) and not name.startswith(LATE) for name in options.modules)
    warm = not cold if options.solved is None else options.solved != "none"
    if options.solved:
        os.environ["MUTATION_SOLVED"] = options.solved
    total, count = sum(len(module.mutants) for module in modules), 0
    targets = [*(options.tests or TARGETS[room].split()), *(["tests/mutation/warm.py"] if warm else [])]
    server = Server(list(modules), warm, options.jobs, options.budget)
    within = in_a_process_of_its_own(server, targets)
    at_import = (found for number in range(len(modules)) for found in _tried_at_import(number, modules, options))
    for number, word in chain(within, at_import):
        module = modules[number]
        if isinstance(word, Outcome):
            module.outcomes.append(word)
            count += 1
            where = f"{Path(module.path).stem}: " if len(modules) > 1 else ""
            print(f"{count:4} of {total}  {word.fate:9}  {where}{word.key}  {word.by}", flush=True)
        else:
            module.costs = module.memory.costs = word
            module.memory.write()


def _tried_at_import(
    number: int, modules: list[Module], options: argparse.Namespace
) -> Iterator[tuple[int, Outcome | dict[str, Cost]]]:
    for outcome in try_at_import(modules[number], options.budget, options.jobs):
        yield number, outcome


class Memory:
    """What is remembered of a module between two runs: the costs of its tests, and who survived.

    A test is measured anew when its file or the module has changed.
    """

    def __init__(self, path: Path, module: str) -> None:
        self.path, self.mark = path, _mark(module)
        found = json.loads(path.read_text()) if path.exists() else {}
        fresh = {file for file, mark in found.get("files", {}).items() if Path(file).exists() and _mark(file) == mark}
        same = found.get("mark") == self.mark
        tests = {name: cost for name, cost in found.get("tests", {}).items() if same and name.split("::")[0] in fresh}
        self.costs = {name: Cost(seconds, frozenset(lines)) for name, (seconds, lines) in tests.items()}
        self.survivors: list[str] = found.get("survivors", [])

    def write(self) -> None:
        """Write it down."""
        tests = {name: [cost.seconds, sorted(cost.lines)] for name, cost in self.costs.items()}
        files = {file: _mark(file) for file in {name.split("::")[0] for name in tests}}
        content = {"mark": self.mark, "files": files, "tests": tests, "survivors": self.survivors}
        self.path.parent.mkdir(exist_ok=True)
        self.path.write_text(json.dumps(content))


def _mark(file: str) -> str:
    return hashlib.sha256(Path(file).read_bytes()).hexdigest()


def _tell_survivors(module: Module) -> None:
    """Print who survived, by line."""
    lines = {mutant.key: mutant.lines[0] for mutant in module.mutants}
    alive = [outcome for outcome in module.outcomes if outcome.fate in (SURVIVED, NOT_RUN)]
    for outcome in sorted(alive, key=lambda outcome: lines[outcome.key]):
        print(f"{module.path}:{lines[outcome.key]}  {outcome.key}  ({outcome.tests} tests)")


def _tell(name: str, outcomes: list[Outcome], equivalent: int) -> None:
    """Print the count; what ran out of time is neither killed nor alive."""
    if not outcomes:
        return
    count = Counter(outcome.fate for outcome in outcomes)
    alive = count[SURVIVED] + count[NOT_RUN]
    share = 100 * count[KILLED] / max(1, count[KILLED] + alive)
    print(
        f"{name}: {len(outcomes)} mutants tried, {equivalent} more named equivalent; {count[KILLED]} killed, "
        f"{count[SURVIVED]} survived, {count[NOT_RUN]} run by no test, {count[TIMED_OUT]} out of time: "
        f"{share:.1f} % killed, without those out of time"
    )


if __name__ == "__main__":
    main()
