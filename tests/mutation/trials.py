"""Trials of a changed module: which tests run, and which one notices.

All trials begin as forks of a process in which the tests are collected and, where the change cannot touch them, the
endings solved. A change within a function is made in the fork by giving the living functions their new code; a
change to what runs at import needs a fork that has not imported the package yet.
"""

from __future__ import annotations

import ast
import contextlib
import functools
import gc
import importlib
import json
import os
import pickle
import select
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, FunctionType
from typing import Any, NoReturn

import pytest

from tests.mutation.mutants import Edit, Mutant, Source

#: Says what became of a mutant and by which test, and ends the process.
Tell = Callable[[str, str], NoReturn]

KILLED, SURVIVED, TIMED_OUT, NOT_RUN = "killed", "survived", "timed out", "not run"
#: A test is given up after this much processor time: a share of what it took before, and a little.
_TIMES, _SECONDS = 8, 5
#: A trial that only waits is given up after this long.
_WAIT_SECONDS = 600
#: Tests dearer than this are tried after all others.
_CHEAP_SECONDS = 0.4


@dataclass(frozen=True)
class Cost:
    """What a test took and which lines of the module it ran."""

    seconds: float
    lines: frozenset[int]


@dataclass(frozen=True)
class Outcome:
    """What became of a mutant; `by` is the test that noticed."""

    key: str
    fate: str
    by: str = ""
    tests: int = 0


def processor_seconds() -> float:
    """Return the processor time of this process and those it has waited for."""
    return sum(os.times()[:4])


class Plan:
    """Chooses the tests for a mutant: only those that ran its lines, cheap ones first, file by file."""

    def __init__(self, costs: dict[str, Cost], budget_seconds: float) -> None:
        self.costs = costs
        self.budget_seconds = budget_seconds
        self.kills: dict[str, int] = {}

    def control(self) -> list[str]:
        """Return the tests that noticed something; without a change they must pass in the same surroundings."""
        return sorted(set(self.kills) & set(self.costs)) or list(self.costs)[:1]

    def tests_for(self, mutant: Mutant, at_import: bool = False) -> list[str]:
        """Return the names of the tests to run, in order, as long as the budget lasts."""
        first, last = mutant.lines
        wanted = set(range(first, last + 1))
        names = [name for name, cost in self.costs.items() if at_import or cost.lines & wanted]
        files: dict[str, float] = {}
        for name in names:
            files[name.split("::")[0]] = files.get(name.split("::")[0], 0) + self._price(name)

        def order(name: str) -> tuple[bool, bool, bool, float, str, float]:
            file, cost = name.split("::")[0], self.costs[name]
            dear = cost.seconds > _CHEAP_SECONDS
            return not cost.lines, name not in self.kills, dear, files[file], file, self._price(name)

        chosen: list[str] = []
        spent = 0.0
        for name in sorted(names, key=order):
            spent += self.costs[name].seconds
            if chosen and spent > self.budget_seconds:
                break
            chosen.append(name)
        return chosen

    def _price(self, name: str) -> float:
        return self.costs[name].seconds / (1 + self.kills.get(name, 0))

    def note(self, outcome: Outcome) -> None:
        """Try first what has noticed something before."""
        if outcome.by:
            self.kills[outcome.by] = self.kills.get(outcome.by, 0) + 1


class Runner:
    """A pytest plugin: runs chosen tests until one fails, each within its processor time."""

    def __init__(self, names: list[str], costs: dict[str, Cost], tell: Tell) -> None:
        self.names = names
        self.costs = costs
        self.tell = tell
        self.failed = ""

    def pytest_sessionstart(self) -> None:
        calm_hypothesis()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            self.tell(KILLED, "import")
        self.run({item.nodeid: item for item in session.items})
        return True

    def run(self, items: dict[str, pytest.Item]) -> None:
        chosen = [items[name] for name in self.names if name in items]
        signal.signal(signal.SIGPROF, self._out_of_time)
        for item, after in zip(chosen, [*chosen[1:], None], strict=True):
            cost = self.costs.get(item.nodeid)
            if cost is not None:
                signal.setitimer(signal.ITIMER_PROF, _SECONDS + _TIMES * cost.seconds)
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            signal.setitimer(signal.ITIMER_PROF, 0)
            if self.failed:
                self.tell(KILLED, item.nodeid)
        self.tell(SURVIVED, "")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            if "Timeout (>" in str(report.longrepr):
                self.tell(TIMED_OUT, report.nodeid)
            self.failed = report.nodeid

    def _out_of_time(self, number: int, frame: FrameType | None) -> None:
        self.tell(TIMED_OUT, "")


def calm_hypothesis() -> None:
    """Let failing examples stand as they are: nobody reads them."""
    from hypothesis import Phase, settings

    plain = settings.get_profile("matebot")
    phases = (Phase.explicit, Phase.generate)
    settings.register_profile("mutation", parent=plain, phases=phases, report_multiple_bugs=False)
    settings.load_profile("mutation")


def forked(body: Callable[[Tell], object]) -> tuple[int, int]:
    """Run a function in a process of its own, with nothing to read or say; return its id and a pipe with its word."""
    reading, writing = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child:
        os.close(writing)
    else:
        os.close(reading)
        _in_the_child(writing, body)
    return child, reading


def _in_the_child(writing: int, body: Callable[[Tell], object]) -> NoReturn:
    os.setpgid(0, 0)

    def tell(fate: str, by: str) -> NoReturn:
        os.write(writing, json.dumps([fate, by]).encode())
        os._exit(0)

    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        body(tell)
    except BaseException as fault:  # a change may break anything, and nothing of this process may go on
        tell(KILLED, repr(fault))
    tell(SURVIVED, "")


def side_by_side(jobs: int, work: Iterable[tuple[Mutant, int, Callable[[Tell], object]]]) -> Iterator[Outcome]:
    """Try mutants, some at once; each with the number of its tests and what is done in its fork."""
    running: dict[int, tuple[int, Mutant, int, float, str]] = {}
    waiting = iter(work)
    more = True
    while running or more:
        while more and len(running) < jobs:
            try:
                mutant, tests, body = next(waiting)
            except StopIteration:
                more = False
                break
            if not tests:
                yield Outcome(mutant.key, NOT_RUN)
                continue
            folder = tempfile.mkdtemp(prefix="mutation-")
            os.environ["MUTATION_FOLDER"] = folder
            child, pipe = forked(body)
            running[pipe] = child, mutant, tests, time.monotonic(), folder
        ready, _, _ = select.select(list(running), [], [], 1.0)
        late = [pipe for pipe, (_, _, _, begun, _) in running.items() if time.monotonic() - begun > _WAIT_SECONDS]
        for pipe in {*ready, *late}:
            child, mutant, tests, _, folder = running.pop(pipe)
            word = os.read(pipe, 1 << 16) if pipe in ready else b""
            os.close(pipe)
            with_group_gone(child)
            shutil.rmtree(folder, ignore_errors=True)
            # A process that died without a word was brought down by the change; one that said nothing hangs.
            fate, by = json.loads(word) if word else (KILLED, "died") if pipe in ready else (TIMED_OUT, "")
            yield Outcome(mutant.key, fate, by, tests)


def with_group_gone(child: int) -> None:
    """End a child and what it has started."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)


class Trials:
    """What is tried of a module.

    Attributes
    ----------
    mutants : the changes to be tried
    costs : what is known of the tests
    outcomes : what became of the changes so far
    """

    def __init__(self, source: Source, name: str, mutants: list[Mutant], costs: dict[str, Cost]) -> None:
        self.source, self.name, self.mutants, self.costs = source, name, mutants, costs
        self.outcomes: list[Outcome] = []

    def is_at_import(self, mutant: Mutant) -> bool:
        """Whether a change must be made before the module is imported: else it would come too late for what runs then.

        That is so within functions too that are called at import, and what stands outside as `lambda`, where no test
        runs the line later.
        """
        name = mutant.key.partition(":")[0].partition(".")[0]
        called = name == "module" or name in self.source.called_at_import
        return mutant.at_import or (called and not Plan(self.costs, 0).tests_for(mutant))


class Server:
    """A pytest plugin: measures the collected tests where needed, then tries every change within a function."""

    def __init__(self, modules: Sequence[Trials], warm: bool, jobs: int, budget_seconds: float) -> None:
        self.modules, self.warm, self.jobs = modules, warm, jobs
        self.budget_seconds = budget_seconds
        self.functions, self.remembering = list[FunctionType](), list[Any]()
        self.report: Callable[[tuple[int, Outcome | dict[str, Cost]]], None] = lambda word: None

    def pytest_sessionstart(self) -> None:
        calm_hypothesis()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            raise SystemExit("the tests cannot be collected")
        for module in self.modules:
            importlib.import_module(module.name)
        items = {item.nodeid: item for item in session.items}
        solved = [items.pop(name) for name in list(items) if name.startswith("tests/mutation/warm.py")]
        if self.warm:
            rest = next(iter(items.values()))
            for item in solved:  # a test to come keeps what was solved
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=rest)
        self._measure(items)
        for number, module in enumerate(self.modules):
            if any(not module.is_at_import(mutant) for mutant in module.mutants):
                self._try_all(number, module, items)
        return True

    def _measure(self, items: dict[str, pytest.Item]) -> None:
        """Measure, for all modules at once, the tests that are new to any of them."""
        new = [item for name, item in items.items() if any(name not in module.costs for module in self.modules)]
        measured = measure(new, [module.source.path for module in self.modules]) if new else {}
        for number, module in enumerate(self.modules):
            costs = {**module.costs, **measured.get(module.source.path, {})}
            module.costs = {name: cost for name, cost in costs.items() if name in items}
            self.report((number, module.costs))

    def _try_all(self, number: int, module: Trials, items: dict[str, pytest.Item]) -> None:
        plan = Plan(module.costs, self.budget_seconds)
        self.functions, self.remembering = living(module.source.path)
        if not self.functions:
            raise SystemExit(f"no function of {module.name} is found alive")
        gc.freeze()  # the forks share what is there as long as nobody touches it

        def work() -> Iterator[tuple[Mutant, int, Callable[[Tell], object]]]:
            for mutant in module.mutants:
                if not module.is_at_import(mutant):
                    names = plan.tests_for(mutant)
                    yield mutant, len(names), functools.partial(self._try, module, mutant, names, items)

        for outcome in side_by_side(self.jobs, work()):
            plan.note(outcome)
            self.report((number, outcome))
        must_survive(functools.partial(self._try, module, None, plan.control(), items))

    def _try(
        self, module: Trials, mutant: Mutant | None, names: list[str], items: dict[str, pytest.Item], tell: Tell
    ) -> None:
        try:
            change(module.source, mutant, self.functions)
        except LookupError:
            tell(NOT_RUN, "")
        change_anew(module.source, mutant, module.name)
        for function in self.remembering:
            function.cache_clear()
        move_folders(items)
        runner = Runner(names, module.costs, tell)
        items[names[0]].config.pluginmanager.register(runner)
        runner.run(items)


def must_survive(body: Callable[[Tell], object]) -> None:
    """Check that a trial without a change finds nothing: otherwise what was counted as killed proves nothing."""
    nothing = Mutant("no change at all", (0, 0), False, Edit(ast.Pass(), "", None, None))
    (outcome,) = side_by_side(1, [(nothing, 1, body)])
    if outcome.fate != SURVIVED:
        raise SystemExit(f"without a change: {outcome.fate} {outcome.by}")


def living(path: str) -> tuple[list[FunctionType], list[Any]]:
    """Return the functions of a file that are alive, and all functions of the house that remember results."""
    functions, remembering = list[FunctionType](), list[Any]()
    gc.unfreeze()  # what has been left out of searches is not listed either
    for item in gc.get_objects():
        if isinstance(item, FunctionType) and item.__code__.co_filename == path:
            functions.append(item)
        elif isinstance(item, functools._lru_cache_wrapper) and str(item.__module__).startswith(("matebot", "tests")):
            remembering.append(item)
    return functions, remembering


def change(source: Source, mutant: Mutant | None, functions: list[FunctionType]) -> None:
    """Give the living functions of a module the code they have with a change.

    Raises
    ------
    LookupError
        when no living function has the code that changes
    """
    if mutant is None:
        return
    old, new = source.compiled(), source.compiled(mutant)
    codes = {_mark(before): after for before, after in _pairs(old, new) if before != after}
    changed = [function for function in functions if _mark(function.__code__) in codes]
    if not changed:
        raise LookupError(mutant.key)
    for function in changed:
        function.__code__ = codes[_mark(function.__code__)]


def change_anew(source: Source, mutant: Mutant | None, name: str) -> None:
    """Have the change in a module, too, that a test loads anew by the finding of the one that is there."""
    spec = sys.modules[name].__spec__
    assert spec is not None
    vars(spec.loader)["get_code"] = lambda name: source.compiled(mutant)


def _mark(code: CodeType) -> tuple[object, ...]:
    """Return what tells a piece of code from the others; once it has run, it no longer equals what it was."""
    return code.co_qualname, code.co_firstlineno, code.co_code, code.co_names


def _pairs(old: CodeType, new: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    """Pair the pieces of code within two versions of one."""
    inner = [[part for part in code.co_consts if isinstance(part, CodeType)] for code in (old, new)]
    for before, after in zip(*inner, strict=False):
        if before.co_qualname == after.co_qualname and before.co_freevars == after.co_freevars:
            yield before, after
        yield from _pairs(before, after)


def move_folders(items: dict[str, pytest.Item]) -> None:
    """Give the tests a folder of their own, which goes with the trial."""
    config = next(iter(items.values())).config
    factory: Any = config._tmp_path_factory  # type: ignore[attr-defined]
    factory._basetemp = Path(os.environ["MUTATION_FOLDER"])


def measure(items: list[pytest.Item], paths: list[str]) -> dict[str, dict[str, Cost]]:
    """Run tests in a fork; return for each module what each took and which lines it ran. Failing ones are left out."""
    with tempfile.NamedTemporaryFile(prefix="mutation-", suffix=".json") as file:
        child, pipe = forked(functools.partial(_measured, items, paths, file.name))
        select.select([pipe], [], [])
        os.close(pipe)
        with_group_gone(child)
        found = json.loads(Path(file.name).read_text() or "{}")
    failed = [item.nodeid for item in items if item.nodeid not in found.get(paths[0], {})]
    if failed:
        print(f"left out, for they fail without a change: {', '.join(failed)}", flush=True)
    return {
        path: {name: Cost(seconds, frozenset(lines)) for name, (seconds, lines) in costs.items()}
        for path, costs in found.items()
    }


class Failures:
    """A pytest plugin: the names of the tests that failed."""

    def __init__(self) -> None:
        self.names: set[str] = set()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.names.add(report.nodeid)


def _measured(items: list[pytest.Item], paths: list[str], target: str, tell: Tell) -> None:
    from coverage import Coverage

    failures = Failures()
    items[0].config.pluginmanager.register(failures)
    seconds: dict[str, float] = {}
    watch = Coverage(data_file=None, include=paths, config_file=False)
    watch.start()
    for item, after in zip(items, [*items[1:], None], strict=True):
        watch.switch_context(item.nodeid)
        begun = processor_seconds()
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        seconds[item.nodeid] = processor_seconds() - begun
    watch.stop()
    found: dict[str, dict[str, tuple[float, list[int]]]] = {}
    for path in paths:
        costs = found[path] = {name: (cost, []) for name, cost in seconds.items() if name not in failures.names}
        for line, names in watch.get_data().contexts_by_lineno(path).items():
            for name in set(names) & set(costs):
                costs[name][1].append(line)
    Path(target).write_text(json.dumps(found))
    tell(SURVIVED, "")


def in_a_process_of_its_own(server: Server, targets: list[str]) -> Iterator[tuple[int, Outcome | dict[str, Cost]]]:
    """Let a server collect tests and try its mutants; return what the tests cost and the outcomes, by module."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        with os.fdopen(writing, "wb") as pipe, tempfile.TemporaryDirectory(prefix="mutation-") as folder:

            def report(word: tuple[int, Outcome | dict[str, Cost]]) -> None:
                pickle.dump(word, pipe)
                pipe.flush()

            server.report = report
            failed = pytest.main([*PYTEST, f"--basetemp={folder}/base", *targets], plugins=[server])
        os._exit(failed)
    os.close(writing)
    with os.fdopen(reading, "rb") as words:
        while True:
            try:
                yield pickle.load(words)
            except EOFError:
                break
    if os.waitpid(child, 0)[1]:
        raise SystemExit("the trials were broken off")


def try_at_import(module: Trials, budget_seconds: float, jobs: int) -> Iterator[Outcome]:
    """Try changes to what runs at import, each in a process that imports the package for the first time."""
    mutants = [mutant for mutant in module.mutants if module.is_at_import(mutant)]
    plan = Plan(module.costs, budget_seconds)

    def work() -> Iterator[tuple[Mutant, int, Callable[[Tell], object]]]:
        for mutant in mutants:
            names = plan.tests_for(mutant, at_import=True)
            yield mutant, len(names), functools.partial(_import_and_run, module, mutant, names)

    for outcome in side_by_side(jobs, work()):
        plan.note(outcome)
        yield outcome
    if mutants:
        must_survive(functools.partial(_import_and_run, module, None, plan.control()))


def _import_and_run(module: Trials, mutant: Mutant | None, names: list[str], tell: Tell) -> None:
    from importlib.machinery import SourceFileLoader

    plain = SourceFileLoader.get_code

    def get_code(loader: SourceFileLoader, name: str) -> CodeType | None:
        return module.source.compiled(mutant) if name == module.name else plain(loader, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign, assignment]
    files = sorted({name.split("::")[0] for name in names})
    base = f"--basetemp={os.environ['MUTATION_FOLDER']}/base"
    pytest.main([*PYTEST, base, *files], plugins=[Runner(names, module.costs, tell)])
    tell(KILLED, "import")  # the tests could not begin


PYTEST = ["-n", "0", "-q", "-s", "-p", "no:cacheprovider", "--timeout", "300"]
