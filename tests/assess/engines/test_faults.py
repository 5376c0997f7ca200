"""Each small engine has one fault; it is found, named and counted right, and nobody is blamed for another's."""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

import chess
import pytest

from tests.assess.command import SMALL, Assess
from tests.counting import counts

#: What is counted as it must be for an engine without a fault, in a run of every part.
CLEAN = {
    "wins": 1,
    "excess_moves_mean": 0,
    "losses": 0,
    "draws_stalemate": 0,
    "draws_lost_piece": 0,
    "draws_fifty_moves": 0,
    "draws_repetition": 0,
    "draws_other": 0,
    "shortfall_moves_mean": 0,
    "right_answers": 1,
    "wrong_outcomes": 0,
    "false_mates": 0,
    "late_mates": 0,
    "thrown_moves": 0,
    "faults": 0,
}


def differing(measures: dict[str, float | None]) -> dict[str, float | None]:
    return {name: measures[name] for name, clean in CLEAN.items() if name in measures and measures[name] != clean}


@counts(2, 4)
def test_an_engine_without_a_fault_is_not_blamed(assess: Assess, count: int) -> None:
    run = assess(*assess.engine("none"), "--ending", "KQK", "--count", str(count))
    assert run.status == 0
    assert differing(run.measures) == {}
    assert run.measures["held"] == 1
    assert run.report["complete"]


def test_a_random_mover_wins_nothing_and_breaks_no_rule(assess: Assess) -> None:
    run = assess(*assess.engine("random"), "--ending", "KQK", "--count", "4")
    drawn = sum(run.measures[name] or 0 for name in CLEAN if name.startswith("draws_"))
    assert run.measures["wins"] == 0
    assert drawn == 4
    assert run.measures["faults"] == 0
    assert run.measures["false_mates"] == 0
    # Where it happened is known too: every throw stands in a stage of the method.
    throws = [game["slips"][-1] for game in run.report["games"] if game["goal"] == "win"]
    assert all(slip["stage"] and slip["moves_lost"] is None for slip in throws)
    assert re.search(r"Where a small engine went wrong\n  ending +stage +wins thrown +moves lost\n  KQK ", run.out)


def test_an_engine_that_stalemates_is_found(assess: Assess) -> None:
    run = assess(*assess.engine("stalemate"), "--suite", assess.suite())
    found = differing(run.measures)
    assert found == {
        "wins": 0,
        "excess_moves_mean": None,
        "draws_stalemate": 2,
        "thrown_moves": 2,
        "right_answers": 0,
    }
    assert all(game["cause"] == "stalemate" for game in run.report["games"] if game["goal"] == "win")


@pytest.mark.parametrize(("name", "cause"), [("shuffle", "repetition"), ("wander", "fifty moves")])
def test_wins_let_slip_by_the_rules_are_told_apart(assess: Assess, name: str, cause: str) -> None:
    run = assess(*assess.engine(name), "--ending", "KRK", "--as", "attack", "--count", "2")
    assert [game["cause"] for game in run.report["games"]] == [cause] * 2
    assert run.measures[f"draws_{cause.replace(' ', '_')}"] == 2
    for game in run.report["games"]:
        assert game["slips"][-1]["stage"]
        assert game["slips"][-1]["cause"] == cause
        board = chess.Board(game["fen"])
        for move in game["moves"]:
            board.push_uci(move)
        # The chess library is the witness of the repetition; with the other it is too late to mate in time.
        assert board.is_repetition(3) if cause == "repetition" else 100 - board.halfmove_clock < 2 * 16


@counts(4, 8)
def test_a_draw_that_is_thrown_away_is_found(assess: Assess, count: int) -> None:
    endings = ("--ending", "KQKR", "--ending", "KPK")
    run = assess(*assess.engine("random"), *endings, "--as", "defence", "--count", str(count))
    games = run.report["games"]
    assert {game["goal"] for game in games} == {"hold", "last"}
    assert (run.measures["held"] or 0) < 1
    assert (run.measures["shortfall_moves_mean"] or 0) > 0
    lost = [game for game in games if game["goal"] == "hold" and not game["success"]]
    assert all((game["slips"][-1]["before"], game["slips"][-1]["after"]) == (0, -1) for game in lost)


def test_an_engine_that_cannot_be_started_again_ends_the_run_and_loses_nothing(assess: Assess, tmp_path: Path) -> None:
    once, used = tmp_path / "once.py", tmp_path / "used"
    once.write_text(
        f"import pathlib, runpy, sys\nused = pathlib.Path({str(used)!r})\n"
        f"sys.exit(9) if used.exists() else used.touch()\nsys.argv = ['small.py', 'crash']\n"
        f"runpy.run_path({str(SMALL)!r}, run_name='__main__')\n"
    )
    engine = shlex.join([sys.executable, str(once)])
    run = assess("--engine", engine, "--ending", "KRK", "--as", "attack", "--count", "3", "--seed", "4")
    assert run.status == 2
    assert "ends in the handshake" in run.err
    assert [game["cause"] for game in run.report["games"]] == ["crash"]
    assert "not finished: 1 of 3 done" in run.out


def test_a_false_announcement_is_found(assess: Assess) -> None:
    run = assess(*assess.engine("false mate"), "--suite", assess.suite())
    # It always says mate in one; with the queen on g2 that is true (Qg7), with the queen on f2 it is not.
    # In the games it says so as well: where the queen stands on f2, and where it is to be mated itself.
    assert differing(run.measures) == {"right_answers": 0.5, "false_mates": 3}
    assert [len(game["false_mates"]) for game in run.report["games"]] == [0, 1, 0, 1]
    assert [(q["score"], q["false_mate"]) for q in run.report["questions"]] == [("mate 1", False), ("mate 1", True)]


def test_false_announcements_in_games_are_found_too(assess: Assess) -> None:
    run = assess(*assess.engine("brag"), "--ending", "KRK", "--as", "attack", "--count", "2")
    found = 0
    for game in run.report["games"]:
        for false in game["false_mates"]:
            assert (false["player"], false["score"]) == ("engine", "mate 1")
            # The chess library is the witness: at that move no move mates.
            board, own = chess.Board(game["fen"]), game["colour"] == "white"
            moves = iter(game["moves"])
            for _ in range(false["move"] - 1):
                while board.turn != own:
                    board.push_uci(next(moves))
                board.push_uci(next(moves))
            while board.turn != own:
                board.push_uci(next(moves))
            assert not any(mates(board, move) for move in board.legal_moves)
            found += 1
    assert found > 0
    assert run.measures["false_mates"] == found
    assert run.measures["wins"] == 1


def mates(board: chess.Board, move: chess.Move) -> bool:
    after = board.copy()
    after.push(move)
    return after.is_checkmate()


def test_what_the_standard_lets_an_engine_say_is_no_fault(assess: Assess) -> None:
    """UCI protocol, April 2006: unknown commands and tokens are to be ignored by the interface too."""
    run = assess(*assess.engine("aloud"), "--suite", assess.suite())
    assert run.status == 0
    assert run.measures["faults"] == 0


def test_a_late_announcement_is_found(assess: Assess) -> None:
    run = assess(*assess.engine("late mate"), "--suite", assess.suite())
    assert differing(run.measures) == {"right_answers": 0, "late_mates": 2}


#: So long an engine is waited for that never answers.
SHORT = ("--patience", "0.5")
#: Small engine -> the fault, how often it comes, and what else changes with it. Six times are two attacks, one defence
#: (the other is mate before the engine moves), two questions and one probe; None where the length of games decides.
CONDUCT = {
    "illegal": ("illegal move", 6, {"wins", "losses", "excess_moves_mean", "shortfall_moves_mean", "right_answers"}),
    "no move": ("no move", 2, {"wins", "losses", "excess_moves_mean"}),
    "crash": ("crash", None, {"wins", "losses", "excess_moves_mean", "shortfall_moves_mean", "right_answers"}),
    "runaway": ("crash", 1, set()),
    "rubbish": ("rubbish", None, set()),
    "shout": ("rubbish", None, set()),
    "daydream": ("rubbish", None, set()),
    "fable": ("rubbish", None, set()),
    "deaf": ("ignored stop", 1, set()),
    "hasty": ("early answer", 1, set()),
    "twice": ("unasked answer", None, set()),
}
#: Who is not tested in every part; the deaf does not hear stop and is waited for in vain.
PARTLY = {"no move": ("--as", "attack"), "deaf": ("--as", "conduct", "--patience", "3")}


@pytest.mark.parametrize("name", CONDUCT)
def test_a_fault_of_conduct_is_named_and_no_other_is(assess: Assess, name: str) -> None:
    kind, times, others = CONDUCT[name]
    run = assess(*assess.engine(name), "--suite", assess.suite(), *PARTLY.get(name, ()))
    assert run.fault_kinds == {kind}
    count = run.measures[f"{kind.replace(' ', '_')}_faults"]
    assert count == run.measures["faults"]
    assert count == times if times is not None else (count or 0) >= 1
    assert set(differing(run.measures)) <= others | {"faults"}
    assert kind in run.out
    assert run.status == 0


def test_a_crash_is_counted_where_it_happens_and_the_engine_is_started_again(assess: Assess) -> None:
    # Dies at the seventh question: a win from afar takes more moves than that each time.
    run = assess(*assess.engine("crash"), "--ending", "KRK", "--as", "attack", "--count", "3", "--seed", "4")
    games = run.report["games"]
    assert [game["cause"] for game in games] == ["crash"] * 3
    assert [game["faults"][0]["move"] for game in games] == [7, 7, 7]
    assert "exit status 3" in games[0]["faults"][0]["text"]
    assert "out of luck" in games[0]["faults"][0]["text"]
    assert run.measures["losses"] == 3


def test_an_engine_that_never_answers_hangs(assess: Assess) -> None:
    arguments = ("--suite", assess.suite(), "--as", "attack", *SHORT)
    run = assess(*assess.engine("silent"), *arguments)
    assert run.fault_kinds == {"hang"}
    assert (run.measures["hang_faults"], run.measures["losses"], run.measures["wins"]) == (2, 2, 0)


def test_late_answers_are_counted_and_played_on_with(assess: Assess) -> None:
    arguments = ("--suite", assess.suite(), "--as", "attack", "--lateness", "300")
    run = assess(*assess.engine("late"), *arguments)
    moves = sum((len(game["moves"]) + 1) // 2 for game in run.report["games"])
    assert run.fault_kinds == {"time overrun"}
    # The first answer in an ending may take longer.
    assert run.measures["time_overrun_faults"] == moves - 1
    assert run.measures["wins"] == 1


def test_a_clock_that_runs_out_loses_the_game(assess: Assess) -> None:
    arguments = ("--ending", "KRK", "--as", "attack", "--count", "1", "--clock", "1.2", "--lateness", "0")
    run = assess("--engine", assess.engine("late")[1], *arguments)
    (game,) = run.report["games"]
    assert (game["result"], game["cause"]) == ("lost", "flag fall")
    # One answer without charge, at most two of half a second or more; the fourth comes too late at the latest.
    assert 2 <= game["faults"][0]["move"] <= 4


@pytest.mark.parametrize(
    ("command", "reason"),
    [
        ("no-such-engine-anywhere", "an engine that can be run"),
        ("stillborn", "ends in the handshake"),
        ("mute", "no uciok within"),
    ],
)
def test_an_engine_that_cannot_be_run_is_refused(
    assess: Assess, monkeypatch: pytest.MonkeyPatch, command: str, reason: str
) -> None:
    if command == "mute":  # the others end by themselves, on a busy machine later
        monkeypatch.setattr("matebot.assess.engines.uci_monitor.UciMonitor.handshake_seconds", 1.0)
    engine = command if command.startswith("no-") else assess.engine(command)[1]
    assert reason in assess.error("--engine", engine)


def test_the_last_words_of_an_engine_that_dies_in_the_handshake_are_shown(assess: Assess) -> None:
    assert "(exit code: 4), 'no such file')" in assess.error("--engine", assess.engine("stillborn")[1])


def test_an_unknown_or_wrong_engine_option_is_refused(assess: Assess) -> None:
    assert "does not support option Nope" in assess.error(*assess.engine("none"), "--option", "Nope=1")
    assert "at most 9" in assess.error(*assess.engine("none"), "--option", "Patience=77")
    assert "NAME=VALUE" in assess.error(*assess.engine("none"), "--option", "Patience")
