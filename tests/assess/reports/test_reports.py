"""The forms of a report: JSON of a documented shape, JUnit XML a general reader takes, Markdown and PGN."""

from __future__ import annotations

import copy
import io
import json
import re
from pathlib import Path
from typing import Any

import chess.pgn
import junitparser
import pytest

from matebot.assess import reports
from matebot.assess.plans.plan import make_plan
from matebot.assess.reports.as_json import SHAPE, misfit, read_report
from matebot.assess.reports.as_junit import as_junit
from matebot.assess.reports.formats import forms
from matebot.assess.reports.report import AssessmentReport
from tests.assess.command import Assess, Run


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Run, Path]:
    """Run the stalemating engine once with every form of report; nobody may change what it leaves behind."""
    tmp_path = tmp_path_factory.mktemp("reports")
    assess = Assess(tmp_path)
    more = [word for name in ("run.xml", "run.md") for word in ("--report", str(tmp_path / name))]
    requirements = ("--require", "wins>=0.95", "--require", "faults==0")
    run = assess(
        *assess.engine("stalemate"), "--suite", assess.suite(), *requirements, *more, "--pgn", str(tmp_path / "run.pgn")
    )
    return run, tmp_path


def test_all_forms_tell_the_same_story(files: tuple[Run, Path]) -> None:
    run, folder = files
    assert run.status == 1
    assert misfit(run.report, SHAPE, "") is None
    assert re.search(r"wins>=0.95 +0 \(0 of 2\) +NO", run.out)
    assert re.search(r"faults==0 +0 +yes", run.out)
    assert re.search(rf"^ *questions  +questions  +{len(run.report['questions'])} *$", run.out, re.MULTILINE)
    assert [item["holds"] for item in run.report["requirements"]] == [False, True]
    _check_junit(folder / "run.xml", run.report)
    _check_markdown((folder / "run.md").read_text(encoding="utf-8"))
    _check_pgn((folder / "run.pgn").read_text(encoding="utf-8"))


def _check_junit(path: Path, report: dict[str, Any]) -> None:
    # The reader is a general one, from outside the project.
    suites = {suite.name: suite for suite in junitparser.JUnitXml.fromfile(str(path))}
    assert set(suites) == {"attack", "defence", "analysis", "conduct", "requirements"}
    assert sum(len(list(suite)) for name, suite in suites.items() if name != "requirements") == report["tasks"]
    failed = [case.name for suite in suites.values() for case in suite if case.result]
    assert failed == ["wins>=0.95"]
    assert suites["requirements"].failures == 1
    assert "stalemate" in next(iter(suites["attack"])).system_out


def _check_markdown(text: str) -> None:
    assert text.startswith("# Assessment of a small engine")
    assert "| wins>=0.95 | 0 (0 of 2) | NO |" in text
    rows = [line for line in text.splitlines() if line.startswith("|")]
    assert all(line.endswith("|") for line in rows)
    assert "- seed: `1`" in text


def _check_pgn(text: str) -> None:
    handle, games = io.StringIO(text), []
    while (game := chess.pgn.read_game(handle)) is not None:
        games.append(game)
    assert len(games) == 2 + 2
    assert not any(game.errors for game in games)
    attack = games[0]
    assert attack.headers["Result"] == "1/2-1/2"
    assert attack.headers["Termination"] == "normal"
    assert attack.end().board().is_stalemate()
    assert "from win to draw, stalemate" in attack.end().comment


def test_a_form_is_one_file(files: tuple[Run, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    report = read_report(files[1] / "run.json")
    assert set(forms()) == {".xml", ".md"}
    (tmp_path / "as_form_of_a_test.py").write_text(
        "from matebot.assess.reports.report import Form\n"
        "FORM = Form('.count', lambda report: f'{len(report.results)} of {report.tasks}')\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(reports, "__path__", [*reports.__path__, str(tmp_path)])
    forms.cache_clear()
    try:
        assert forms()[".count"](report) == f"{report.tasks} of {report.tasks}"
    finally:
        forms.cache_clear()


def test_without_requirements_every_failed_game_fails_the_xml(assess: Assess, tmp_path: Path) -> None:
    path = tmp_path / "run.xml"
    run = assess(*assess.engine("illegal"), "--suite", assess.suite(), "--as", "attack", "--report", str(path))
    assert run.status == 0
    kinds = [case.result[0].type for suite in junitparser.JUnitXml.fromfile(str(path)) for case in suite if case.result]
    assert kinds == ["illegal move"] * 2


def test_characters_xml_does_not_allow_are_shown_as_such() -> None:
    engines = {"engine": {"name": "a\x00b\x1b\uffff <&>"}}
    text = as_junit(AssessmentReport(make_plan({"engine": "x"}), engines, "", (), tasks=0))
    assert junitparser.JUnitXml.fromstring(text.encode()).name == "assessment of a\\x00b\\x1b\\uffff <&>"


def test_a_value_out_of_shape_is_found_and_named(files: tuple[Run, Path]) -> None:
    report = files[0].report
    wrong = copy.deepcopy(report)
    wrong["games"][0]["success"] = "yes"
    assert "success" in (misfit(wrong, SHAPE, "") or "")
    wrong = copy.deepcopy(report)
    del wrong["questions"][0]["claim"]
    assert "claim" in (misfit(wrong, SHAPE, "") or "")
    wrong = copy.deepcopy(report)
    wrong["extra"] = 1
    assert misfit(wrong, SHAPE, "") is not None


@pytest.mark.parametrize(
    ("key", "wrong"),
    [
        ("fen", "nowhere"),
        ("goal", "fame"),
        ("moves", ["a1a9"]),
        ("moves", ["e2e4"]),
        ("task", ""),
    ],
)
def test_a_report_with_a_wrong_value_is_not_continued(
    assess: Assess, files: tuple[Run, Path], tmp_path: Path, key: str, wrong: object
) -> None:
    damaged = copy.deepcopy(files[0].report)
    damaged["games"][0][key] = wrong
    path = tmp_path / "damaged.json"
    path.write_text(json.dumps(damaged))
    assert "expected a report of an assessment with sound values" in assess.error("--continue", str(path))


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), 10**400])
def test_a_report_with_a_number_beyond_measure_is_not_continued(
    assess: Assess, files: tuple[Run, Path], tmp_path: Path, wrong: float
) -> None:
    damaged = copy.deepcopy(files[0].report)
    damaged["probes"][0]["seconds"] = wrong
    path = tmp_path / "damaged.json"
    path.write_text(json.dumps(damaged))
    assert "with float at '.probes[].seconds'" in assess.error("--continue", str(path))


def test_a_file_that_is_no_report_is_not_continued(assess: Assess, tmp_path: Path) -> None:
    path = tmp_path / "no.json"
    for text in ("", "[]", "{}", json.dumps({"format": "matebot assessment", "version": 2})):
        path.write_text(text)
        assert "expected a report" in assess.error("--continue", str(path))
    path.write_text("[" * 100_000)
    assert "expected a report" in assess.error("--continue", str(path))
    assert "expected a report" in assess.error("--continue", "")
    assert "beside 'continue'" in assess.error("--continue", str(path), "--seed", "3")


def test_the_words_of_an_engine_are_harmless_in_every_form(assess: Assess, tmp_path: Path) -> None:
    names = {form: tmp_path / f"run.{form}" for form in ("xml", "md", "pgn")}
    words = ("--report", str(names["xml"]), "--report", str(names["md"]), "--pgn", str(names["pgn"]))
    run = assess(*assess.engine("impostor"), "--suite", assess.suite(), "--as", "attack", *words)
    assert run.status == 0
    text, markdown = run.out, names["md"].read_text()
    for form in (text, markdown, names["xml"].read_text(), names["pgn"].read_text()):
        assert all(char == "\n" or char.isprintable() for char in form)
        assert "\\x1b[31mred" in form.replace("\\\\", "\\").replace("\\[", "[")
        assert max(map(len, form.splitlines())) < 1000
    # CommonMark: markup after a backslash is plain; tables of the same width all through.
    assert "<b>" not in markdown.replace("\\<b>", "")
    assert "](" not in markdown.replace("\\](", "")
    table = [line for line in markdown.splitlines() if line.startswith("| ")]
    assert len({len(re.findall(r"(?<!\\)\|", line)) for line in table[:8]}) == 1
    assert "... (cut)" in junitparser.JUnitXml.fromfile(str(names["xml"])).name
    _check_impostor(names["pgn"].read_text())


def _check_impostor(text: str) -> None:
    handle = io.StringIO(text)
    for _ in range(2):
        game = chess.pgn.read_game(handle)
        assert game is not None
        assert not game.errors
        assert game.end().board().is_checkmate()
        assert "red <b>" in game.headers["White"] + game.headers["Black"]
    assert chess.pgn.read_game(handle) is None
