"""The program assessed by itself is perfect in every part, and a run can be repeated, broken off and continued."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import chess
import pytest

from tests.assess.command import PATIENCE_SECONDS, ROOT, UNHURRIED, Assess
from tests.assess.engines.test_faults import differing
from tests.warm_processes import warm_python

#: What the program needs to be exact, however busy the machine: it answers as soon as it can all the same.
EXACT = ("--movetime", "60000", *UNHURRIED)


@pytest.fixture
def _warm_engines(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the program be started as an engine by what stands for the interpreter."""
    monkeypatch.setattr(sys, "executable", warm_python())


@pytest.mark.parametrize("count", ["6", pytest.param("30", marks=pytest.mark.exhaustive)])
def test_the_program_is_perfect_in_every_part(assess: Assess, count: str) -> None:
    endings = [word for name in ("KBNK", "KRKN", "KPK") for word in ("--ending", name)]
    run = assess("--engine", "matebot", *endings, "--count", count, "--seed", "5", *EXACT)
    assert run.status == 0
    assert differing(run.measures) == {}
    assert run.measures["held"] == 1
    assert {game["goal"] for game in run.report["games"]} == {"win", "hold", "last"}
    assert {question["outcome"] for question in run.report["questions"]} == {1, 0, -1}


@pytest.mark.usefixtures("_warm_engines")
@pytest.mark.parametrize("count", ["5", pytest.param("30", marks=pytest.mark.exhaustive)])
def test_the_method_and_a_changing_defence_give_few_moves_away(assess: Assess, count: str) -> None:
    arguments = ("--as", "attack", "--ending", "KBNK", "--count", count, "--defence", "changing")
    run = assess("--engine", "matebot", "--option", "Attack=method", *arguments, *EXACT)
    assert run.measures["wins"] == 1
    assert 0 < (run.measures["excess_moves_mean"] or 0) < 15
    # The moves really are a legal game that ends in mate; the chess library is the witness.
    for game in run.report["games"]:
        board = chess.Board(game["fen"])
        for move in game["moves"]:
            board.push_uci(move)
        assert board.is_checkmate()


def test_the_same_seed_gives_the_same_run(assess: Assess) -> None:
    def games(seed: str, name: str) -> list[tuple[str, list[str]]]:
        arguments = ("--as", "attack", "--ending", "KRK", "--count", "4", "--defence", "changing", "--jobs", "2")
        run = assess(*assess.engine("none"), *arguments, "--seed", seed, report=name)
        return sorted((game["fen"], game["moves"]) for game in run.report["games"])

    first = games("7", "first.json")
    assert games("7", "again.json") == first
    assert games("8", "other.json") != first


@pytest.mark.usefixtures("_warm_engines")
def test_two_engines_attack_each_other(assess: Assess) -> None:
    arguments = ("--ending", "KQK", "--count", "3", "--require", "wins==0", "--require", "against_wins==1")
    run = assess(*assess.engine("stalemate"), "--suite", assess.suite(), "--against", "matebot", *arguments[4:])
    assert run.status == 0
    assert (run.measures["wins"], run.measures["against_wins"]) == (0, 1)
    assert (run.measures["draws_stalemate"], run.measures["against_draws_stalemate"]) == (2, 0)
    assert [game["player"] for game in run.report["games"]] == ["engine", "against"] * 2
    assert "a small engine against matebot" in run.out


@pytest.mark.usefixtures("_warm_engines")
def test_a_broken_off_run_prints_what_it_has_and_is_continued(assess: Assess, tmp_path: Path) -> None:
    path = tmp_path / "run.json"
    command = ["assess", "--engine", "matebot", "--as", "attack", "--ending", "KRK", "--count", "400"]
    process = subprocess.Popen(
        [warm_python(), "-m", "matebot", *command, "--report", str(path)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    while not (path.exists() and json.loads(path.read_text())["games"]):
        assert process.poll() is None
        time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=PATIENCE_SECONDS)
    broken = json.loads(path.read_text())
    assert process.returncode == 130
    assert 0 < len(broken["games"]) < 400
    assert f"not finished: {len(broken['games'])} of 400 done" in out
    assert f"--continue {path}" in err
    assert "Traceback" not in err
    assert "Warning" not in err
    # A shorter plan, or the rest would take long: the tasks of both are the same as far as they go.
    broken["plan"]["count"] = broken["tasks"] = len(broken["games"]) + 3
    path.write_text(json.dumps(broken))
    run = assess("--continue", str(path), report="other.json")
    assert run.status == 0
    assert run.report["complete"]
    assert [game["task"] for game in run.report["games"]] == [f"attack {n}" for n in range(1, broken["tasks"] + 1)]
    assert run.report["games"][: len(broken["games"])] == broken["games"]
    assert json.loads(path.read_text())["complete"]


def test_no_engine_is_left_behind(assess: Assess, tmp_path: Path) -> None:
    pids = tmp_path / "pids"
    wrapper = tmp_path / "wrapped.py"
    target = ROOT / "tests" / "assess" / "engines" / "small.py"
    wrapper.write_text(
        "import os, runpy, sys\n"
        f"open({str(pids)!r}, 'a').write(f'{{os.getpid()}}\\n')\n"
        f"sys.argv = ['small.py', 'illegal']\nrunpy.run_path({str(target)!r}, run_name='__main__')\n"
    )
    assess("--engine", f"{sys.executable} {wrapper}", "--suite", assess.suite(), "--as", "attack")
    started = [int(pid) for pid in pids.read_text().split()]
    assert len(started) == 2
    for pid in started:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)
