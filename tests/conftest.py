"""What all tests share: the options of the run, one set of tables, and the same random cases on every machine."""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from _pytest.runner import runtestprotocol

if TYPE_CHECKING:  # who only hands out files to workers imports none of it
    import chess
    from xdist.scheduler import LoadFileScheduling

    from matebot.laws.referee import Referee
    from matebot.laws.verdict import Verdict
    from matebot.method.ladder import Rungs
    from matebot.method.library import Library
    from matebot.method.plan import Plan
    from matebot.play.ranking import Ranked
    from matebot.solver.tables import Tables
    from tests.sharing import Shelf

#: Files with tests of what is taught.
TEACHING = ("tests/lessons/", "tests/test_readme.py", "tests/commands/test_showing.py")
#: Files with tests of what the clock leaves, whose layers take seconds an ending.
CLOCKED = (
    *("tests/laws/", "tests/play/test_draws.py", "tests/play/test_promises.py", "tests/play/test_ranking.py"),
    *("tests/solver/test_changes.py", "tests/solver/test_layers.py"),
)
#: Files with tests that mostly wait for other processes, while the two other workers have a core each.
WAITING = ("tests/assess/", "tests/conformance/", "tests/practice/test_record.py", "tests/practice/test_session.py")
#: Files that share samples of moves with what is told of them.
SAMPLED = ("tests/wording/", "tests/facts/test_reproach.py")
TOGETHER = {"lessons": TEACHING, "clock": CLOCKED, "processes": WAITING, "samples": SAMPLED}


# A shell starts what runs in its background with interruptions ignored, nohup with the end of the terminal, and so
# would be every program under test.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--endings",
        default="KBBK,KBNK",
        metavar="ENDING,...",
        help="endings whose every position the tests marked exhaustive look at, or: all",
    )
    parser.addoption(
        "--in-full",
        default="KNNNK,KPPKP",
        metavar="ENDING,...",
        help="endings of five men whose every position a test marked exhaustive looks at",
    )
    parser.addoption(
        "--five-men",
        type=Path,
        metavar="FOLDER",
        help="where tests marked exhaustive find the endings of five men that they look at; without it some are solved",
    )


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> LoadFileScheduling:
    """Give a file to each worker, and to one of them all files that teach, wait, share samples, or go by the clock."""
    from xdist.scheduler import LoadFileScheduling

    class AlikeTogether(LoadFileScheduling):  # type: ignore[misc]
        def _split_scope(self, nodeid: str) -> str:
            together = (name for name, files in TOGETHER.items() if nodeid.startswith(files))
            return next(together, nodeid.partition("::")[0])

    return AlikeTogether(config, log)


# Each search for garbage costs more than what it finds here, and is told to a callback of hypothesis as well. What a
# file of tests leaves is looked through when it has run, and once only.
gc.set_threshold(1_000_000, 1_000, 1_000)


def pytest_sessionstart(session: pytest.Session) -> None:
    """Have the same examples in every run: machines differ in speed, and a failure must come back; make moves once."""
    if not session.config.pluginmanager.hasplugin("dsession"):
        from hypothesis import settings

        from tests.made_once import make_moves_once

        settings.register_profile("matebot", deadline=None, derandomize=True, database=None)
        settings.load_profile("matebot")
        make_moves_once()


def pytest_collection(session: pytest.Session) -> None:
    """Have each worker import other tests first, so that it finds the rest compiled: to compile takes long."""
    workers, worker = (os.environ.get(f"PYTEST_XDIST_WORKER{name}", "") for name in ("_COUNT", ""))
    if worker and session.config.args_source is pytest.Config.ArgsSource.TESTPATHS:
        files = sorted(Path(__file__).parent.rglob("test_*.py"))
        for path in files[len(files) * int(worker.removeprefix("gw")) // int(workers) :]:
            with suppress(Exception, pytest.skip.Exception):  # which is told when it is collected
                import_module(".".join(path.relative_to(session.config.rootpath).with_suffix("").parts))


@pytest.hookimpl(tryfirst=True)
def pytest_pycollect_makeitem(collector: pytest.Collector, obj: object) -> list[pytest.Item] | None:
    """Make no tests marked exhaustive where they are left out anyway: there are thousands of them, in each worker."""
    if collector.config.option.markexpr != "not exhaustive":
        return None
    marks: list[pytest.Mark] = getattr(obj, "pytestmark", [])
    return [] if any(mark.name == "exhaustive" for mark in marks) else None


def pytest_collection_finish() -> None:
    """Leave out of later searches for garbage what stays to the end: thousands of tests, and every module."""
    gc.freeze()


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> bool | None:
    """Have a worker tell of a test once: five messages, of which nobody reads four, took longer than most tests.

    That it began, was set up and cleared away is told where something went wrong in it or somebody wants to see it.
    """
    option = item.config.option
    if "PYTEST_XDIST_WORKER" not in os.environ or option.verbose > 0 or option.durations is not None or option.xmlpath:
        return None
    for report in runtestprotocol(item, log=False, nextitem=nextitem):
        if report.when == "call" or not report.passed:
            item.ihook.pytest_runtest_logreport(report=report)
    return True


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
    """Look for garbage at the end of a file, among what is new since the end of the last one."""
    yield
    if nextitem is None or nextitem.path != item.path:
        gc.collect(1)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    from matebot.solver.material import COVERED, Material
    from tests.five_men import five, solved_endings

    if "chosen_ending" in metafunc.fixturenames:
        names: str = metafunc.config.getoption("--endings")
        chosen = COVERED if names == "all" else tuple(map(Material.parse, names.split(",")))
        metafunc.parametrize("chosen_ending", chosen, ids=[material.name for material in chosen])
    if "chosen_five" in metafunc.fixturenames:
        metafunc.parametrize("chosen_five", [five(name) for name in metafunc.config.getoption("--in-full").split(",")])
    if "five_ending" in metafunc.fixturenames:
        metafunc.parametrize("five_ending", solved_endings(metafunc.config.getoption("--five-men")))


@pytest.fixture(scope="session")
def shelf(shared_folder: Path) -> Iterator[Shelf]:
    """Return what the workers of the run share."""
    from tests.sharing import Shelf, leave

    if "PYTEST_XDIST_WORKER" not in os.environ:
        yield Shelf(None)
        return
    folder = shared_folder / "solved"
    folder.mkdir(exist_ok=True)
    yield Shelf(folder)
    leave(folder)


@pytest.fixture(scope="session")
def tables(shelf: Shelf) -> Tables:
    """Tables in memory, shared by all tests: an ending is solved once."""
    from tests.sharing import SharedTables

    return SharedTables(shelf)


@pytest.fixture(scope="module")
def library(tables: Tables) -> Library:
    """Look ladders up over the shared tables, for each module anew."""
    from matebot.method.library import Library

    return Library(tables)


@pytest.fixture
def judgements(monkeypatch: pytest.MonkeyPatch) -> dict[str, list[object]]:
    """Note which positions are looked at for whether they are covered, given a referee, judged, and ranked."""
    from matebot.laws.referee import Referee
    from matebot.play import judged as judged_module
    from matebot.play import ranking
    from matebot.solver import tables as tables_module

    found: dict[str, list[object]] = {"checks": [], "referees": [], "verdicts": [], "rankings": []}
    check, begin, judge, rank = tables_module.check, Referee.__init__, Referee._judge, ranking.rank_with

    def checks(board: chess.Board, *rest: int) -> None:
        found["checks"].append(board.fen())
        check(board, *rest)

    def begins(self: Referee, board: chess.Board, tables: Tables) -> None:
        found["referees"].append(board.fen())
        begin(self, board, tables)

    def judges(self: Referee, at: Any, occurrences: int) -> Verdict:
        found["verdicts"].append((self.board.fen(), *self.board.move_stack, at))
        return judge(self, at, occurrences)

    def ranks(referee: Referee) -> list[Ranked]:
        found["rankings"].append((referee.board.fen(), *referee.board.move_stack))
        return rank(referee)

    monkeypatch.setattr(tables_module, "check", checks)
    monkeypatch.setattr(Referee, "__init__", begins)
    monkeypatch.setattr(Referee, "_judge", judges)
    monkeypatch.setattr(judged_module, "rank_with", ranks)
    return found


@pytest.fixture(scope="session")
def five_men(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Tables:
    """Tables of the folder given, or that solve five men when asked for: a minute, a gigabyte and a half each."""
    from matebot.solver.tables import Tables

    folder: Path | None = request.config.getoption("--five-men")
    return Tables(folder or tmp_path_factory.mktemp("five_men"), largest=5)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder that all workers of the run share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def table_folder(shared_folder: Path, shelf: Shelf) -> Iterator[Path]:
    """Keep solved endings in one folder, for all workers of the run and all processes they start.

    A test that looks at what is kept, or spoils it, takes a folder of its own.
    """
    from tests.sharing import keep_what_is_solved

    folder = shared_folder / "tables"
    folder.mkdir(exist_ok=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("MATEBOT_TABLES", str(folder))
        keep_what_is_solved(patch, shelf, folder)
        yield folder


@pytest.fixture(scope="session", autouse=True)
def compiled_once() -> Iterator[None]:
    """Let the processes under test read compiled modules where the tests have theirs, and leave them there."""
    with pytest.MonkeyPatch.context() as patch:
        if sys.pycache_prefix is not None:
            patch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
            patch.setenv("PYTHONPYCACHEPREFIX", sys.pycache_prefix)
        yield


@pytest.fixture(scope="session", autouse=True)
def layers_worked_out_once() -> Iterator[None]:
    """Let the layers of a clock be kept longer than a session has room for, so that the next test finds them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("matebot.solver.clocked._CHAINS_BYTES", 1 << 29)
        yield


@pytest.fixture(scope="session")
def lessons_taught_once() -> Iterator[None]:
    """Let commands have what has been taught in the same worker already."""
    from tests.lessons.once import taught_once

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("matebot.lessons.ending.teach", taught_once)
        patch.setattr("matebot.commands.method.teach", taught_once)
        yield


@pytest.fixture(scope="session", autouse=True)
def shared_ladders(shelf: Shelf) -> Iterator[None]:
    """Let all libraries have the same ladders, so that none is solved again for every test and command."""
    from matebot.method.library import Library
    from tests.sharing import SharedLadders

    begin, solve, ladders = Library.__init__, Library.ladder, SharedLadders(shelf)

    def begin_with_ladders(library: Library, tables: Tables) -> None:
        begin(library, tables)
        library._ladders = ladders

    def solve_alone(library: Library, plan: Plan) -> Rungs:
        if plan.name in library._ladders:
            return library._ladders[plan.name]
        with shelf.alone(plan.name):
            return solve(library, plan)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Library, "__init__", begin_with_ladders)
        patch.setattr(Library, "ladder", solve_alone)
        yield
