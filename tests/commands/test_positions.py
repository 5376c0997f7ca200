"""``matebot positions`` as it is called: its formats read back, its files, its refusals, and the suites it made."""

from __future__ import annotations

import io
from pathlib import Path

import chess
import chess.pgn
import pytest

from matebot.cli import main
from matebot.resources import config_names, config_text

#: How the suites that ship with the program were made.
SUITES = {
    "kbnk-gather": "--ending KBNK --stage 1 --count 20 --seed 1",
    "kbnk-to-the-edge": "--ending KBNK --stage 2 --count 20 --seed 2",
    "kbnk-wrong-corner": "--ending KBNK --stage 3 --count 20 --seed 3",
    "kbnk-right-corner": "--ending KBNK --stage 4 --count 20 --seed 4",
    "kbbk-long": "--ending KBBK --mate-in 14..19 --count 20 --seed 5",
    "krk-long": "--ending KRK --mate-in 12..16 --count 20 --seed 6",
    "kpk-key-squares": "--ending KPK --stage 1 --count 20 --seed 7",
}


def call(words: str) -> int:
    return main(["positions", *words.split()])


def test_every_suite_that_ships_has_its_command() -> None:
    assert {f"suites/{name}.epd" for name in SUITES} == {n for n in config_names() if n.startswith("suites/")}


@pytest.mark.parametrize("name", SUITES)
def test_a_suite_that_ships_is_what_its_command_makes(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(f"{SUITES[name]} --format epd") == 0
    assert capsys.readouterr().out == config_text(f"suites/{name}.epd")


def test_epd_is_read_back_with_its_operations(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("--ending KBNK --stage 3 --mate-in 20..24 --count 12 --seed 8 --format epd") == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 12
    for number, line in enumerate(lines, start=1):
        board, operations = chess.Board.from_epd(line)
        assert board.is_valid()
        assert operations["id"] == f"KBNK {number:02}"
        assert operations["dm"] in range(20, 25)
        assert operations["c0"] == "Stage 3 of 4: from the wrong corner to the right one"
        best = operations["bm"]
        assert isinstance(best, list)
        assert best
        assert all(move in board.legal_moves for move in best)


def test_every_move_that_mates_at_once_is_among_the_best(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: python-chess tells which moves are checkmate."""
    assert call("--ending KQK --mate-in 1 --count 60 --seed 9 --format epd") == 0
    several = 0
    for line in capsys.readouterr().out.splitlines():
        board, operations = chess.Board.from_epd(line)
        mates = []
        for move in board.legal_moves:
            board.push(move)
            if board.is_checkmate():
                mates.append(move)
            board.pop()
        best = operations["bm"]
        assert isinstance(best, list)
        assert set(best) == set(mates)
        several += len(mates) > 1
    assert several


def test_a_defence_says_no_distance_of_its_own_mate(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: the EPD standard, where `dm` counts the moves in which the side to move mates."""
    assert call("--ending KRK --turn black --strong white --count 5 --seed 1 --format epd") == 0
    for line in capsys.readouterr().out.splitlines():
        _, operations = chess.Board.from_epd(line)
        assert "dm" not in operations
        assert str(operations["c1"]).startswith("Black, to move, is mated in ")


def test_pgn_is_read_back_as_games_without_moves(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("--ending KPK --count 5 --seed 2 --format pgn") == 0
    text = capsys.readouterr().out
    assert call("--ending KPK --count 5 --seed 2 --format fen") == 0
    fens = capsys.readouterr().out.splitlines()
    handle, games = io.StringIO(text), []
    while (game := chess.pgn.read_game(handle)) is not None:
        games.append(game)
    assert [game.board().fen() for game in games] == fens
    for game in games:
        assert game.headers["SetUp"] == "1"
        assert (game.headers["Event"], game.headers["Result"]) == ("practice", "*")
        assert not game.errors
        assert not game.variations
        assert "to move" in game.comment


def test_a_file_is_written_and_nothing_else_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "practice.epd"
    assert call(f"--ending KQK --count 3 --seed 1 --format epd --out {out}") == 0
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(out.read_text(encoding="utf-8").splitlines()) == 3


def test_a_seed_drawn_by_lot_is_told_and_repeats(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("--ending KRK --count 5") == 0
    shown = capsys.readouterr()
    words = shown.err.split()
    seed = words[words.index("--seed") + 1]
    assert call(f"--ending KRK --count 5 --seed {seed}") == 0
    assert capsys.readouterr().out == shown.out


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ("--ending KBNN", ("expected an ending such as KBNK", "'KBNN'")),
        ("--ending KBNK --count 0", ("at least 1", "0")),
        ("--ending KBNK --count x", ("--count", "'x'")),
        ("--ending KBNK --seed -1", ("seed from 0", "-1")),
        ("--ending KBNK --mate-in 5..3", ("8..12", "'5..3'")),
        ("--ending KBNK --mate-in 0", ("from 1 up", "'0'")),
        ("--ending KBNK --mate-in ten", ("8..12", "'ten'")),
        ("--ending KBNK --turn green", ("--turn", "white", "black")),
        ("--ending KBNK --format doc", ("--format", "fen", "epd", "pgn")),
        ("--ending KBNK --stage 7", ("1 gather in the centre", "'7'")),
        ("--ending KRK --mate-in 30", ("mate in 1..16", "'30'")),
        ("--count 3", ("--ending",)),
        ("--ending KRK --count 1 --seed 1 --out /no/such/folder/x", ("folder that is there", "'/no/such/folder/x'")),
        ("--ending KRK --count 1 --out /", ("folder that is there", "'/'")),
    ],
)
def test_wrong_words_are_refused_in_one_line_with_what_is_allowed(
    words: str, parts: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.splitlines()) == 1
    assert all(part in shown.err for part in parts), shown.err
