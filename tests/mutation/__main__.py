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
from pathlib import Path

from tests.mutation.mutants import Mutant, Source
from tests.mutation.trials import (
    KILLED,
    NOT_RUN,
    SURVIVED,
    TIMED_OUT,
    Cost,
    Outcome,
    Plan,
    Server,
    in_a_process_of_its_own,
    try_at_import,
)

EQUIVALENT = Path(__file__).with_name("equivalent.toml")
#: The tests that are asked about a module where no others are named: the longest beginning decides.
TARGETS = {
    "matebot/laws": "tests/laws tests/play",
    "matebot/solver": "tests/solver tests/laws",
    "matebot/play": "tests/play",
    "matebot/assess": "tests/assess",
    "matebot/uci": "tests/uci",
    "matebot/facts": "tests/facts",
    "matebot/method": "tests/method tests/play/test_games.py tests/test_method_game.py",
    "matebot/ideas": "tests/ideas",
    "matebot/wording": "tests/wording tests/test_commentary.py",
    "matebot": "tests",
}
#: Modules whose changes may show in a solved ending, so that none may be solved before.
COLD = ("matebot/solver/", "matebot/terms")


def main() -> None:
    """Try the mutants of a module and print which survive."""
    options = _options()
    path = Path(options.module).resolve()
    source = Source(path.read_text(encoding="utf-8"), str(path), words="wording" not in options.module)
    module = options.module.removesuffix(".py").replace("/", ".")
    equivalent = tomllib.loads(EQUIVALENT.read_text(encoding="utf-8")).get(options.module, {})
    mutants = [mutant for mutant in source.mutants if mutant.key not in equivalent]
    named = len(source.mutants) - len(mutants)
    memory = Memory(Path(".mutation") / f"{module}.json", options.module)
    mutants = [mutant for mutant in mutants if options.only in mutant.key]
    if options.survivors:
        mutants = [mutant for mutant in mutants if mutant.key in memory.survivors]
    if options.sample and options.sample < len(mutants):
        mutants = random.Random(options.seed).sample(mutants, options.sample)
    outcomes = _tried(options, source, module, mutants, memory)
    memory.survivors = [outcome.key for outcome in outcomes if outcome.fate in (SURVIVED, NOT_RUN)]
    memory.write()
    _tell(options.module, mutants, outcomes, named)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__.splitlines()[0])
    parser.add_argument("module", help="the module to change, as matebot/laws/referee.py")
    parser.add_argument("tests", nargs="*", help="the tests to ask; by default those that go with the module's room")
    parser.add_argument("--jobs", type=int, default=1, help="how many mutants are tried at once")
    parser.add_argument(
        "--budget", type=float, default=20, help="what passes this many seconds of tests counts as surviving"
    )
    parser.add_argument("--solved", help="the endings to solve beforehand, as KRK,KBNK, or none; by default all")
    parser.add_argument("--only", default="", help="try only mutants whose names hold this")
    parser.add_argument("--sample", type=int, help="try only this many mutants, chosen by chance")
    parser.add_argument("--seed", type=int, default=1, help="repeats the choice")
    parser.add_argument("--survivors", action="store_true", help="try only those that survived the last time")
    return parser.parse_args()


def _tried(
    options: argparse.Namespace, source: Source, module: str, mutants: list[Mutant], memory: Memory
) -> list[Outcome]:
    """Try mutants, those within functions first; remember the costs of the tests."""
    room = max((name for name in TARGETS if options.module.startswith(name)), key=len)
    warm = not options.module.startswith(COLD) and options.solved != "none"
    if options.solved:
        os.environ["MUTATION_SOLVED"] = options.solved
    outcomes: list[Outcome] = []

    def report(outcome: Outcome) -> None:
        outcomes.append(outcome)
        print(f"{len(outcomes):4} of {len(mutants)}  {outcome.fate:9}  {outcome.key}  {outcome.by}", flush=True)

    server = Server(source, module, warm, memory.costs, options.jobs, options.budget)
    server.wanted = [mutant for mutant in mutants if not mutant.at_import]
    targets = [*(options.tests or TARGETS[room].split()), *(["tests/mutation/warm.py"] if warm else [])]
    for word in in_a_process_of_its_own(server, targets):
        if isinstance(word, Outcome):
            report(word)
        else:
            memory.costs = word
    at_import = [mutant for mutant in mutants if mutant.at_import]
    for outcome in try_at_import(source, module, at_import, Plan(memory.costs, options.budget), options.jobs):
        report(outcome)
    return outcomes


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


def _tell(module: str, mutants: list[Mutant], outcomes: list[Outcome], equivalent: int) -> None:
    """Print who survived and the count; what ran out of time is neither killed nor alive."""
    lines = {mutant.key: mutant.lines[0] for mutant in mutants}
    alive = [outcome for outcome in outcomes if outcome.fate in (SURVIVED, NOT_RUN)]
    print()
    for outcome in sorted(alive, key=lambda outcome: lines[outcome.key]):
        print(f"{module}:{lines[outcome.key]}  {outcome.key}  ({outcome.tests} tests)")
    count = Counter(outcome.fate for outcome in outcomes)
    share = 100 * count[KILLED] / max(1, count[KILLED] + len(alive))
    print(
        f"{module}: {len(outcomes)} mutants tried, {equivalent} more named equivalent; {count[KILLED]} killed, "
        f"{count[SURVIVED]} survived, {count[NOT_RUN]} run by no test, {count[TIMED_OUT]} out of time: "
        f"{share:.1f} % killed, without those out of time"
    )


if __name__ == "__main__":
    main()
