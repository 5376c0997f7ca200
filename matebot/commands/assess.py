"""``matebot assess``: play against and question another engine over positions whose truth is known."""

from __future__ import annotations

import os
import shlex
import sys
import time
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from matebot.assess.engines.client import Unusable
from matebot.assess.engines.command_line import command_words
from matebot.assess.engines.interruption import STATUS, Interruption
from matebot.assess.judging.requirements import Requirement
from matebot.assess.judging.results import OWN, WIN_CENTIPAWNS, Result
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import (
    DEFENCES,
    KEYS,
    SELECTIONS,
    AssessmentPlan,
    empty_key,
    former_word,
    make_plan,
    merged,
    read_plan,
)
from matebot.assess.plans.suite import Suite, read_suite
from matebot.assess.plans.tasks import Task, make_tasks
from matebot.assess.reports.as_json import JsonWriter, read_report
from matebot.assess.reports.as_pgn import as_pgn
from matebot.assess.reports.as_text import as_text
from matebot.assess.reports.formats import forms
from matebot.assess.reports.report import AssessmentReport
from matebot.assess.running.runner import opened, run_tasks
from matebot.commands.playing import add_table_folder
from matebot.errors import UserError
from matebot.quoting import shown
from matebot.solver.store import default_folder
from matebot.solver.tables import Tables
from matebot.whole_file import check_place, write_whole

MET, MISSED, UNUSABLE, INTERRUPTED = 0, 1, 2, STATUS
#: Characters of a fault that are told.
MOST_OF_A_FAULT = 1500
#: Endings of the reports that can be written, for messages.
_ENDINGS = " or ".join((".json", *forms()))
#: What may be given beside --continue.
_CONTINUED = frozenset({"engine", "against", "jobs", "report", "pgn", "require"})
#: At most this share of a run is spent on writing the JSON report after every result.
_WRITING_SHARE = 0.05
_LINES_OF_PROGRESS = 20


def _defence(word: str) -> str:
    return str(former_word("defence", word))


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("--engine", metavar="CMD", help='its command line; the word "matebot" is this program')
    parser.add_argument("--against", metavar="CMD", help="a second engine: each attacks against the other's defence")
    parser.add_argument("--plan", metavar="NAME|FILE", help="values for all options, from a plan")
    parser.add_argument("--continue", dest="continued", type=Path, metavar="FILE.json", help="finish a broken off run")
    parser.add_argument("--yes", action="store_true", help="run and write what the continued report says")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--ending", action="append", metavar="KBNK", help="draw positions from an ending; repeatable")
    where.add_argument("--suite", metavar="FILE.epd", help="take the positions of a file")
    parser.add_argument("--as", choices=tuple(SELECTIONS), help="what the engine is tested as (default all)")
    parser.add_argument("--count", type=int, metavar="N", help="games or questions a part (default 20, or the suite)")
    parser.add_argument(
        "--seed", type=int, metavar="S", help="repeats the positions and a changing defence (default 1)"
    )
    limit = parser.add_mutually_exclusive_group()
    limit.add_argument("--movetime", type=int, metavar="MS", help="milliseconds a move (default 100)")
    limit.add_argument("--nodes", type=int, metavar="N", help="nodes a move")
    limit.add_argument("--depth", type=int, metavar="N", help="plies a move")
    limit.add_argument("--clock", metavar="10+0.1", help="seconds a game, and seconds gained with each move")
    parser.add_argument("--option", action="append", metavar="NAME=VALUE", help="a UCI option of the engine")
    parser.add_argument("--against-option", action="append", metavar="NAME=VALUE", help="one of the second engine")
    parser.add_argument(
        "--defence", type=_defence, choices=DEFENCES, help="how the engine's attack is met (default longest)"
    )
    parser.add_argument("--jobs", type=int, metavar="J", help="games at a time (default 1)")
    parser.add_argument("--lateness", type=int, metavar="MS", help="milliseconds a move may be late (default 1000)")
    parser.add_argument("--patience", type=float, metavar="S", help="seconds over the limit: a hang (default 10)")
    parser.add_argument("--require", action="append", metavar="EXPR", help="for example wins>=0.95; repeatable")
    parser.add_argument("--report", action="append", metavar="FILE", help=f"write a {_ENDINGS} file; repeatable")
    parser.add_argument("--pgn", metavar="FILE", help="write the games")
    parser.epilog = (
        f"A score of {WIN_CENTIPAWNS} centipawns or more claims a win, as an announced mate does, and one of less a "
        f"draw. An interruption ends the engines and writes the reports; the third leaves at once."
    )
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Assess and report; return 0 when all requirements hold, 1 when one does not, 2 when it could not be run."""
    with Interruption() as interruption:
        return _run(namespace, interruption)


def _run(namespace: Namespace, interruption: Interruption) -> int:
    given = _given(namespace)
    truth = SharedTruth(Tables(namespace.table_folder or default_folder()))
    before = None
    if namespace.continued is not None:
        before = _earlier(namespace.continued, given)
        _approve(before.plan, namespace, given)
    plan = (
        before.plan if before else make_plan(merged({} if namespace.plan is None else read_plan(namespace.plan), given))
    )
    _check(plan)
    for name in () if plan.suite else plan.ending:
        truth.ask_for(name)
    suite = read_suite(Path(plan.suite), truth) if plan.suite else None
    if before and suite and suite.sha256 != before.suite_sha256:
        raise UserError(f"expected the suite of the report to be unchanged, got {plan.suite!r}")
    tasks = make_tasks(plan, truth, suite.positions if suite else None)
    if not tasks:
        raise UserError(
            f"expected positions for {', '.join(plan.parts)}, got none in {plan.suite or ' '.join(plan.ending)!r}"
        )
    return _assess(plan, truth, tasks, suite, before, interruption)


def _assess(
    plan: AssessmentPlan,
    truth: SharedTruth,
    tasks: list[Task],
    suite: Suite | None,
    before: AssessmentReport | None,
    interruption: Interruption,
) -> int:
    done = {result.task for result in before.results} if before else set()
    left = [task for task in tasks if task.name not in done]
    skipped, checksum = (suite.skipped, suite.sha256) if suite else ((), "")
    for item in skipped:
        _tell(f"{plan.suite}, line {item.line}: {item.text}")
    desk: _Desk | None = None
    status = None
    try:
        # From the first engine on an interruption is taken only where there is nothing to be left behind.
        interruption.note_only()
        with opened(plan, max(1, min(plan.jobs, len(left))), interruption.check) as (teams, engines):
            report = AssessmentReport(plan, engines, checksum, skipped, len(tasks))
            report.results += before.results if before else []
            desk = _Desk(report)
            run_tasks(left, plan, truth, teams, desk.take, interruption.check)
    except Unusable as fault:
        if desk is None:
            raise
        _tell(str(fault))
        status = UNUSABLE
    except KeyboardInterrupt:
        status = INTERRUPTED
    if desk is None:
        return INTERRUPTED
    desk.finish()
    if status == INTERRUPTED:
        _tell_continuation(plan)
    if status is not None:
        return status
    if skipped:
        _tell(f"expected only usable positions in the suite, got {len(skipped)} others")
        return UNUSABLE
    return _judged(desk.report)


def _judged(report: AssessmentReport) -> int:
    """Return the status of a finished run; a requirement nothing could be measured for is told, and not passed over."""
    found = report.requirements()
    for item, _, holds in found:
        if holds is None:
            _tell(f"expected games or questions that count for {item.text!r}, got none")
    if any(holds is False for _, _, holds in found):
        return MISSED
    return UNUSABLE if any(holds is None for _, _, holds in found) else MET


class _Desk:
    """Takes results as they come: progress to the error stream, the report to its files."""

    def __init__(self, report: AssessmentReport) -> None:
        self.report = report
        self._json = [(Path(name), JsonWriter()) for name in report.plan.report if name.endswith(".json")]
        self._wrong = sum(not item.success for item in report.results)
        self._next_writing = 0.0
        self._live = sys.stderr.isatty()

    def take(self, result: Result) -> None:
        """Add a result."""
        self.report.results.append(result)
        self._wrong += not result.success
        self._progress()
        if time.monotonic() >= self._next_writing:
            self._write_json()

    def finish(self) -> None:
        """Write and print the whole report; the files first, since there may be nobody left to print to."""
        if self._live:
            _say("", end="\n")
        self._write_json()
        for name in self.report.plan.report:
            if Path(name).suffix in forms():
                write_whole(Path(name), forms()[Path(name).suffix](self.report))
        if self.report.plan.pgn:
            write_whole(Path(self.report.plan.pgn), as_pgn(self.report))
        with suppress(BrokenPipeError):  # whoever has read enough still wants to know the status
            print(as_text(self.report), flush=True)
            return
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

    def _write_json(self) -> None:
        started = time.monotonic()
        for path, writer in self._json:
            writer.write(self.report, path)
        now = time.monotonic()
        self._next_writing = now + (now - started) / _WRITING_SHARE

    def _progress(self) -> None:
        done, wanted = len(self.report.results), self.report.tasks
        text = f"{done} of {wanted} done, {self._wrong} not as wanted"
        if self._live:
            _say(f"\r{text}")
        elif done == wanted or done % max(1, wanted // _LINES_OF_PROGRESS) == 0:
            _say(text, end="\n")


def _tell(fault: str) -> None:
    _say(f"matebot: {shown(fault, MOST_OF_A_FAULT)}", end="\n")


def _say(text: str, end: str = "") -> None:
    """Print to the error stream; a terminal that has been closed is no reason to give up."""
    with suppress(OSError):
        print(text, end=end, flush=True, file=sys.stderr)


def _given(namespace: Namespace) -> dict[str, Any]:
    """Return the values given on the command line, by the keys of a plan."""
    values = {key: getattr(namespace, key) for key in KEYS if getattr(namespace, key, None) is not None}
    if (empty := empty_key(values)) is not None:
        raise UserError(f"expected a value after '--{empty.replace('_', '-')}', got ''")
    for key in ("option", "against_option"):
        if key in values:
            values[key] = dict(_pair(text) for text in values[key])
    return values


def _pair(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip():
        raise UserError(f"expected a UCI option as NAME=VALUE, got {text!r}")
    return name.strip(), value.strip()


def _earlier(path: Path, given: dict[str, Any]) -> AssessmentReport:
    """Return the report of a broken off run, with the few values that may be changed."""
    strange = sorted(set(given) - _CONTINUED)
    if strange:
        raise UserError(f"expected only {', '.join(sorted(_CONTINUED))} beside 'continue', got {strange[0]!r}")
    report = read_report(path)
    files = dict.fromkeys([*report.plan.report, *given.get("report", ()), str(path)])
    plan = replace(
        report.plan,
        jobs=given.get("jobs", report.plan.jobs),
        require=tuple(given.get("require", report.plan.require)),
        pgn=given.get("pgn", report.plan.pgn),
        report=tuple(files),
    )
    return AssessmentReport(
        plan, report.engines, report.suite_sha256, report.skipped, report.tasks, results=report.results
    )


def _approve(plan: AssessmentPlan, namespace: Namespace, given: dict[str, Any]) -> None:
    """Name the commands a report makes this program run; a report may come from anywhere, so nothing else is taken.

    Raises
    ------
    UserError
        when a command was not given here too, or a file would be written outside the report's folder, without --yes
    """
    for key in ("engine", "against"):
        command, here = getattr(plan, key), given.get(key)
        if command in ("", OWN) and here is None:
            continue
        if command != here and not namespace.yes:
            got = "none" if here is None else repr(here)
            raise UserError(f"expected --{key} {shlex.quote(command)}, which the report runs, or --yes, got {got}")
    home = namespace.continued.absolute().parent
    for name in filter(None, (*plan.report, plan.pgn)):
        asked = name in given.get("report", ()) or name == given.get("pgn")
        if not asked and not namespace.yes and Path(name).absolute().parent != home:
            raise UserError(f"expected --yes, since the report writes outside its folder, got {name!r}")
    for command, options in ((plan.engine, plan.option), (plan.against, plan.against_option)):
        if command:
            wanted = "".join(f", {name} = {value}" for name, value in options.items())
            _tell(f"continues with {command!r}{wanted}")


def _check(plan: AssessmentPlan) -> None:
    """Refuse what could only fail once everything has been measured."""
    if not plan.engine:
        raise UserError("expected an engine (--engine CMD, or in a plan), got none")
    for command in filter(None, (plan.engine, plan.against)):
        command_words(command)
    for text in plan.require:
        Requirement.parse(text, plan.parts, bool(plan.against))
    for name in filter(None, (*plan.report, plan.pgn)):
        if name != plan.pgn and Path(name).suffix not in (".json", *forms()):
            raise UserError(f"expected a report ending in {_ENDINGS}, got {name!r}")
        check_place(Path(name))


def _tell_continuation(plan: AssessmentPlan) -> None:
    kept: Sequence[str] = [name for name in plan.report if name.endswith(".json")]
    how = "without a .json report it starts anew"
    if kept:
        words = ["matebot", "assess", "--continue", kept[0]]
        words += ["--engine", plan.engine] if plan.engine != OWN else []
        words += ["--against", plan.against] if plan.against not in ("", OWN) else []
        how = f"continue with: {shlex.join(words)}"
    _tell(f"interrupted; {how}")
