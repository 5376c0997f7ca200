"""What every command answers to bad input, and to closed streams: one line on standard error, status 2."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import chess.pgn
import pytest

from matebot.cli import main
from tests.warm_processes import warm_python

KRK = "8/8/8/4k3/8/8/8/K6R w - - 0 1"
DIGITS = "9" * 5_000
FENS = (
    "x",
    "",
    "8/8/8/8 w - - 0 1",
    KRK.replace("w", "\x1b[31m"),
    "k" * 400_000,
    "8/8/8/4k3/8/8/8/K6R w - - 0 " + DIGITS,
)
BAD = [
    *(["explain", fen] for fen in FENS),
    *(["demonstrate", "--fen", fen] for fen in FENS),
    ["explain"],
    ["explain", KRK, "--fen", KRK],
    ["explain", KRK, "--move", "\x1b]0;title\x07"],
    ["explain", KRK, "--seed", DIGITS],
    ["explain", KRK, "--profile", ""],
    ["demonstrate", KRK, "--ending", "KRK"],
    ["demonstrate", "three kings"],
    ["demonstrate", "--ending", "k" * 100_000],
    ["demonstrate", "--pgn", "/no/such/folder/x.pgn", "queen"],
    ["demonstrate", "--pgn", "a\0b", "queen"],
    ["method", "rook against queen and knight"],
    ["method", "\x1b[2J"],
    ["positions", "--ending", "rok", "--count", "1"],
    ["positions", "--ending", "KRK", "--count", DIGITS],
    ["positions", "--ending", "KRK", "--mate-in", DIGITS],
    ["positions", "--ending", "KRK", "--stage", "\x9b31m", "--seed", "1"],
    ["solve", "KRQ"],
    ["solve", "KRK", "--table-folder", ""],
    ["verify", "KBNKK"],
    ["verify", "KRK", "--jobs", "1000000"],
    ["verify", "KRK", "--count", "-1"],
    ["annotate"],
    ["annotate", "no such\x1b[31m file"],
    ["annotate", "a\0b"],
    ["annotate", "/"],
    ["no such command\n"],
    ["explain", KRK, "--no-such-option\x1b[31m"],
]


@pytest.mark.parametrize("words", BAD, ids=[f"{number} {words[0]!r:.20}" for number, words in enumerate(BAD)])
def test_bad_input_is_told_in_one_harmless_line_with_status_2(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    told = [line for line in shown.err.splitlines() if line.startswith("matebot: ")]
    assert len(told) == 1
    assert shown.err.splitlines()[-1] == told[0]
    assert told[0].isprintable()
    assert len(told[0]) < 1_600


def run_in_shell(words: str, python: str = sys.executable) -> subprocess.CompletedProcess[str]:
    """Run the program with a redirection of the shell, such as ``>&-``."""
    line = f"'{python}' -m matebot {words}"
    return subprocess.run(["sh", "-c", line], capture_output=True, text=True, check=False)


@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell that closes streams")
def test_with_a_closed_stream_a_command_ends_without_a_traceback() -> None:
    done = run_in_shell(f"explain '{KRK}' >&-")
    assert (done.returncode, done.stderr) == (0, "")
    quiet = run_in_shell(f"explain '{KRK}' 2>&-")
    assert quiet.returncode == 0
    assert quiet.stdout


@pytest.mark.parametrize("words", ["method queen --brief", "solve queen", "positions --ending KQK --seed 1"])
def test_without_an_output_a_command_does_its_work(words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What Python makes of a closed stream is none."""
    monkeypatch.setattr(sys, "stdout", None)
    assert main(words.split()) == 0


@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell that closes streams")
def test_games_need_somewhere_to_go(tmp_path: Path) -> None:
    games = tmp_path / "games.pgn"
    games.write_text("1. e4 *\n")
    done = run_in_shell(f"annotate '{games}' >&-")
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "matebot: expected --out FILE or a standard output to write the games to, got a closed one"
    ]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell with pipes")
def test_a_demonstration_is_written_though_nobody_reads_on(tmp_path: Path) -> None:
    pgn = tmp_path / "game.pgn"
    done = run_in_shell(f"demonstrate rook --pgn '{pgn}' --explanations full | head -1", warm_python())
    assert done.stderr == ""
    with pgn.open() as file:
        game = chess.pgn.read_game(file)
    assert game is not None
    assert game.end().board().is_checkmate()


def test_a_demonstrations_file_is_in_export_format(tmp_path: Path) -> None:
    """Source: PGN standard, 8.1.1 (the seven tag roster and its order) and 4.3 (the length of lines)."""
    pgn = tmp_path / "game.pgn"
    assert main(["demonstrate", "rook", "--pgn", str(pgn), "--explanations", "full"]) == 0
    lines = pgn.read_text(encoding="utf-8").splitlines()
    roster = ["Event", "Site", "Date", "Round", "White", "Black", "Result"]
    assert [line.split()[0] for line in lines[:7]] == [f"[{name}" for name in roster]
    assert max(map(len, lines)) <= 80
    with pgn.open() as file:
        game = chess.pgn.read_game(file)
    assert game is not None
    assert not game.errors
    comments = [" ".join(node.comment.split()) for node in game.mainline()]
    assert all(comment.endswith(".") and comment.count("tage 1 of 4") <= 1 for comment in comments)


def test_the_figures_shown_at_once_are_those_of_a_proof_made_now(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["method", "queen", "--brief", "--prove"]) == 0
    proved = capsys.readouterr().out
    assert "proved by matebot " in proved
    monkeypatch.setattr("matebot.commands.method.Proof", None)  # it is not made again
    assert main(["method", "queen", "--brief"]) == 0
    assert capsys.readouterr().out == proved


def test_either_side_can_be_named_first_as_the_one_that_wins(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Source: python-chess tells which moves are checkmate."""
    assert main(["positions", "--ending", "KNKB", "--count", "3", "--seed", "1"]) == 0
    for fen in capsys.readouterr().out.splitlines():
        board = chess.Board(fen)
        assert board.pieces(chess.KNIGHT, board.turn)
        assert any(board.san(move).endswith("#") for move in board.legal_moves)
    assert main(["positions", "--ending", "KBKN", "--turn", "white", "--strong", "black"]) == 2
    assert "expected the winner to move, as wherever KBKN is won (mate in 1)" in capsys.readouterr().err
