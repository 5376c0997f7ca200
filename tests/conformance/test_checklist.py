"""Every row of the UCI protocol (description of April 2006), against the real process.

One process takes most rows, one after the other; what begins or ends a session has a process of its own.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

import pytest

from tests.conformance.process import Engine

KBNK = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
MATE_IN_ONE = "7k/8/6K1/8/8/8/8/R7 w - - 0 1"


@pytest.fixture(scope="module")
def running() -> Iterator[Engine]:
    with Engine(None, python=sys.executable) as engine:
        yield engine


@pytest.fixture
def engine(running: Engine) -> Engine:
    running.settle()
    return running


def best(lines: list[str]) -> str:
    return lines[-1].split()[1]


def test_uci_names_the_engine_and_its_options_and_may_be_sent_twice(engine: Engine) -> None:
    engine.send("uci")
    first = engine.until("uciok")
    assert first[0].startswith("id name matebot")
    assert any(line.startswith("option name MultiPV type spin") for line in first)
    engine.send("uci")
    assert engine.until("uciok") == first


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_lines_end_in_any_way_and_white_space_is_free(engine: Engine, end: bytes) -> None:
    engine.send_bytes(b"  joho \t isready  " + end + b"debug   on" + end)
    assert engine.until("readyok") == ["readyok"]
    engine.send_bytes(b"position   fen  " + KBNK.encode() + end + b" go\t depth 3" + end)
    assert best(engine.until("bestmove")) == "a1b2"


def test_unknown_lines_and_words_at_the_wrong_time_are_ignored(engine: Engine) -> None:
    engine.send("what is this", "stop", "ponderhit", "", "register later", "register name a code b", "debug off")
    assert engine.ready() == ["readyok"]


def test_options_take_any_case_and_a_bad_value_changes_nothing(engine: Engine) -> None:
    engine.send("setoption name MULTIPV value 3", "setoption name multipv value 0")
    assert engine.line() == "info string expected a whole number from 1 to 500 for MultiPV, got '0'"
    engine.send("setoption name No Such Thing value 1", "setoption name Attack value wild")
    assert "expected one of the options" in str(engine.line())
    assert "expected one of shortest, method for Attack, got 'wild'" in str(engine.line())
    lines = engine.ask(f"position fen {KBNK}", "go")
    assert sum(" multipv " in line for line in lines) == 3
    assert [line.split(" multipv ")[1][0] for line in lines if " multipv " in line] == ["1", "2", "3"]


def test_multipv_shows_all_legal_moves_best_first(engine: Engine) -> None:
    lines = engine.ask("setoption name MultiPV value 500", f"position fen {MATE_IN_ONE}", "go")
    shown = [line for line in lines if " multipv " in line]
    assert len(shown) == 20
    assert " score mate 1 " in shown[0]
    mates = [int(line.split(" score mate ")[1].split()[0]) for line in shown if " score mate " in line]
    assert mates == sorted(mates)


@pytest.mark.parametrize(
    ("position", "move", "score"),
    [
        (f"fen {KBNK}", "a1b2", "mate 30"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w - -", "a1b2", "mate 30"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w - - 0", "a1b2", "mate 30"),
        (f"fen {KBNK} moves a1b2 e4d4", None, "mate 29"),
        ("fen 8/P6k/8/8/8/8/8/2K5 w - - 0 1", None, "mate"),
        ("fen 8/8/8/8/4K3/8/8/k1bn4 b - - 0 1", None, "mate 30"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 b - - 0 1", None, "mate -"),
        ("fen k7/8/8/8/8/8/8/KN6 w - - 0 1", None, "cp 0"),
    ],
)
def test_positions_are_read_and_answered(engine: Engine, position: str, move: str | None, score: str) -> None:
    lines = engine.ask(f"position {position}", "go")
    assert f" score {score}" in lines[-2]
    assert best(lines) != "0000"
    if move:
        assert best(lines) == move


@pytest.mark.parametrize(
    ("position", "reason"),
    [
        ("startpos", "32 men: at most five are covered"),
        ("startpos moves e2e4 e7e5", "32 men: at most five are covered"),
        ("fen 8/8/8/8/4k3/8/3PPP2/K1BN4 w - - 0 1", "7 men: at most five are covered"),
        ("fen 4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "castling rights"),
        ("fen 8/8/8/8/8/8/4k3/R3K3 w - - 0 1", "in check"),
        ("fen 8/8/8/8/4k3/8/8/P3K3 w - - 0 1", "a pawn stands on the first or last rank"),
        ("fen 8/8/8/8/4k3/8/8/1BN5 w - - 0 1", "white has no king"),
        ("fen 8/8/8/8/4k3/8/8/K1BX4 w - - 0 1", "piece placement"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 x - - 0 1", "side to move"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w abc - 0 1", "castling rights"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w - z9 0 1", "en passant square"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w - - x 1", "halfmove clock"),
        ("fen 8/8/8/8/4k3/8/8/K1BN4 w - - 0 x", "move number"),
        ("fen 8/8", "four to six fields"),
        ("", "four to six fields"),
        (f"fen {KBNK} moves a1a3", "expected move 1 to be legal"),
        (f"fen {KBNK} moves a1b2 e4e5 b2b2", "expected move 3"),
        (f"fen {KBNK} moves 0000", "a null move"),
        (f"fen {KBNK} moves xyz", "long algebraic form, got 'xyz'"),
    ],
)
def test_what_is_not_covered_is_refused_with_the_reason_once(engine: Engine, position: str, reason: str) -> None:
    engine.send(f"position {position}")
    notice = engine.line()
    assert notice is not None
    assert notice.startswith("info string ")
    assert reason in notice
    for _ in range(2):
        lines = engine.ask("go")
        assert len(lines) == 2
        assert " score cp 0 " in lines[0]
        assert lines[-1] == "bestmove 0000"


def test_a_go_without_any_position_says_so() -> None:
    with Engine(None) as engine:
        lines = engine.ask("go")
    assert lines[0] == "info string expected a position before go, got none"
    assert lines[-1] == "bestmove 0000"


def test_a_refusal_and_the_words_of_a_profile_come_before_readyok(engine: Engine) -> None:
    engine.send("position startpos", "setoption name Profile value club-evening")
    said = engine.ready()
    assert said[0] == "info string 32 men: at most five are covered"
    assert said[1].startswith("info string profile club-evening: ")
    assert said[2:] == ["readyok"]


@pytest.mark.parametrize(
    ("fen", "score", "word"),
    [
        ("R6k/8/6K1/8/8/8/8/8 b - - 0 1", "mate 0", "checkmate"),
        ("7k/5Q2/8/6K1/8/8/8/8 b - - 0 1", "cp 0", "stalemate"),
    ],
)
def test_a_finished_game_has_no_move(engine: Engine, fen: str, score: str, word: str) -> None:
    lines = engine.ask(f"position fen {fen}", "go")
    assert lines[0] == f"info string {word}"
    assert f" score {score} " in lines[-2]
    assert lines[-1] == "bestmove 0000"


def test_a_win_the_clock_no_longer_allows_is_a_draw_with_the_reason(engine: Engine) -> None:
    lines = engine.ask("position fen 8/8/8/8/4k3/8/8/K1BN4 w - - 60 90", "go")
    assert lines[0] == "info string drawn: the side to move would mate in 30, but the fifty-move rule comes first"
    assert " score cp 0 " in lines[-2]


def test_a_position_on_the_board_for_the_third_time_is_a_draw_and_still_gets_a_move(engine: Engine) -> None:
    there_and_back = "a1a2 e4d4 a2a1 d4e4"
    lines = engine.ask(f"position fen 8/8/8/8/4k3/8/8/K1BN4 w - - 0 1 moves {there_and_back} {there_and_back}", "go")
    assert lines[0] == "info string drawn: the side to move would mate in 30, but the third repetition comes first"
    assert " score cp 0 " in lines[-2]
    assert best(lines) != "0000"


def test_mate_on_the_hundredth_ply_counts(engine: Engine) -> None:
    lines = engine.ask("position fen 7k/8/6K1/8/8/8/8/R7 w - - 99 90", "go")
    assert " score mate 1 " in lines[-2]
    assert best(lines) == "a1a8"


@pytest.mark.parametrize(
    "limits",
    [
        "depth 1",
        "nodes 5",
        "mate 3",
        "movetime 10",
        "wtime 1000 btime 1000 winc 10 binc 10 movestogo 3",
        "binc 1 depth 2 wtime 5 searchmoves a1b2 c1e3 nodes 2",
    ],
)
def test_limits_come_in_any_mix(engine: Engine, limits: str) -> None:
    engine.ask(f"position fen {KBNK}", "go")  # solves the ending
    assert best(engine.ask(f"go {limits}")) == "a1b2"


def test_searchmoves_limits_the_choice(engine: Engine) -> None:
    assert best(engine.ask(f"position fen {KBNK}", "go searchmoves c1a3 c1h6")) == "c1a3"
    lines = engine.ask(f"position fen {KBNK}", "go searchmoves h1h8")
    assert lines[0] == "info string expected legal moves to search, got 'h1h8'"
    assert best(lines) == "a1b2"


@pytest.mark.parametrize(("held", "release"), [("infinite", "stop"), ("ponder", "ponderhit"), ("ponder", "stop")])
def test_the_move_is_held_back_until_the_word(engine: Engine, held: str, release: str) -> None:
    engine.send(f"position fen {KBNK}", f"go {held}")
    assert engine.until("info depth")
    for _ in range(3):
        assert engine.ready()[-2:] == ["readyok"]
    engine.send(release)
    lines = engine.until("bestmove")
    assert lines[-1].startswith("bestmove a1b2 ponder e4")
    assert [line.split()[:2] for line in lines[:-1]] == ([["info", "depth"]] if release == "ponderhit" else [])


def test_a_second_go_never_gets_two_answers_for_one_question(engine: Engine) -> None:
    engine.send(f"position fen {KBNK}", "go", "go infinite", f"position fen {MATE_IN_ONE}", "go", "stop", "isready")
    answers = [line for line in engine.until("readyok") if line.startswith("bestmove")]
    while len(answers) < 3:
        answers.append(engine.until("bestmove")[-1])
    assert answers[2] == "bestmove a1a8"
    assert engine.ready() == ["readyok"]


def test_a_hundred_thousand_moves_are_read(engine: Engine) -> None:
    moves = " ".join(["a1a2", "e4e5", "a2a1", "e5e4"] * 25_000)
    lines = engine.ask(f"position fen {KBNK} moves {moves}", "go")
    assert "fifty-move rule" in " ".join(lines)


def test_ucinewgame_forgets_the_game(engine: Engine) -> None:
    first = engine.ask(f"position fen {KBNK} moves a1b2 e4d4", "go")
    engine.send("ucinewgame")
    again = engine.ask(f"position fen {KBNK} moves a1b2 e4d4", "go")
    assert best(first) == best(again)


def test_a_profile_sets_the_options_from_the_start_and_by_option(engine: Engine) -> None:
    question = (f"position fen {KBNK} moves a1a2 e4e5", "go")
    with Engine(None, "--profile", "first-lesson") as begun:
        lines = begun.ask(*question)
    assert any(line.startswith("info string Black: Ke5 ") for line in lines)
    assert any(line.startswith("info string White: You are there when ") for line in lines)
    engine.send("setoption name Profile value First-Lesson")
    assert "Explanations full" in str(engine.line())
    sentences = [line for line in lines if "string" in line]
    assert [line for line in engine.ask(*question) if "string" in line] == sentences


def test_explanations_off_say_nothing(engine: Engine) -> None:
    assert not [x for x in engine.ask(f"position fen {KBNK} moves a1a2 e4e5", "go") if "string" in x]


def test_a_changing_defence_tells_its_seed_once_a_game(engine: Engine) -> None:
    engine.send("setoption name Defence value changing")
    fen = "8/8/8/8/4k3/8/8/K1BN4 b - - 0 1"
    assert "info string changing defence with seed" in engine.ask(f"position fen {fen}", "go")[0]
    assert "seed" not in " ".join(engine.ask(f"position fen {fen}", "go"))
    engine.send("ucinewgame", "setoption name Seed value 5")
    assert engine.ask(f"position fen {fen}", "go")[0] == "info string changing defence with seed 5"
