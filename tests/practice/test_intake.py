"""Finished games are taken into the record, each once, with the side the tags or the user tell."""

from __future__ import annotations

import os
import sqlite3
import subprocess
from contextlib import closing, suppress
from pathlib import Path

import pytest

from matebot.cli import main
from tests.warm_processes import warm_python

QUEEN = '[Event "club"]\n[Date "2026.03.05"]\n[White "Mia Grey"]\n[Black "Bo"]\n[Result "1-0"]\n[SetUp "1"]\n' \
    '[FEN "k7/8/2K5/8/8/8/8/1Q6 w - - 0 1"]\n\n1. Kc7 Ka7 2. Qb7# 1-0\n\n'  # fmt: skip


def changed(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


DRAWN = changed(QUEEN, ("1. Kc7 Ka7 2. Qb7# 1-0", "1. Qb6 1/2-1/2"), ('"1-0"', '"1/2-1/2"'))
RESIGNED = changed(QUEEN, ("1. Kc7 Ka7 2. Qb7# 1-0", "1. Qb5 0-1"), ('"1-0"', '"0-1"'))
WON_EARLY = changed(QUEEN, ("1. Kc7 Ka7 2. Qb7# 1-0", "1. Qh1 Ka7 1-0"))
ONE_LEFT = changed(QUEEN, (" 2. Qb7# 1-0", " 1-0"))
OTHERS = changed(QUEEN, ("Mia Grey", "Chidi"))
UNDATED = changed(QUEEN, ("2026.03.05", "2026.??.??"))
NO_ENDING = '[White "Mia Grey"]\n[Black "Bo"]\n[Result "*"]\n\n1. e4 e5 *\n\n'


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    return tmp_path / "record.sqlite"


def take(place: Path, text: str, *arguments: str) -> int:
    games = place.with_name("games.pgn")
    games.write_text(text)
    return main(["annotate", str(games), "--out", str(place.with_name("out.pgn")), "--pupil", "Mia", *arguments])


def rows(place: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(place)) as connection:
        return connection.execute(query).fetchall()


def test_a_game_is_kept_with_its_day_its_side_and_its_moves(place: Path) -> None:
    assert take(place, QUEEN, "--player", "mia grey") == 0
    assert rows(place, "SELECT source, day, colour, line, result, finished, ending, side FROM games") == [
        ("file", "2026-03-05", "white", "c6c7 a8a7 b1b7", "won", 1, "KQK", "attack")
    ]
    assert rows(place, "SELECT move FROM moves ORDER BY number") == [("c6c7",), ("b1b7",)]
    assert rows(place, "SELECT grade FROM passages") == [(4,)]


def test_a_game_is_kept_once_however_often_it_comes_and_however_it_is_annotated(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for text in (QUEEN, QUEEN, changed(QUEEN, ("1. Kc7", "1. Kc7 { near } $1"))):
        assert take(place, text + QUEEN, "--player", "Mia Grey") == 0
    assert rows(place, "SELECT count(*) FROM games") == [(1,)]
    assert "0 games of Mia taken into the record, 2 there already" in capsys.readouterr().err


def test_the_same_moves_on_another_day_are_another_game(place: Path) -> None:
    assert take(place, QUEEN + changed(QUEEN, ("03.05", "03.06")), "--player", "Mia Grey") == 0
    assert rows(place, "SELECT count(*) FROM games") == [(2,)]


@pytest.mark.parametrize(
    ("text", "result", "grade"),
    [
        (DRAWN, "drawn", 1),
        (RESIGNED, "resigned", 1),
        (WON_EARLY, "broken off", None),
        (ONE_LEFT, "mate in one reached", 4),
    ],
)
def test_the_result_is_what_the_board_shows_else_what_the_tag_says(
    place: Path, text: str, result: str, grade: int | None
) -> None:
    assert take(place, text, "--player", "Mia Grey") == 0
    assert rows(place, "SELECT result FROM games") == [(result,)]
    assert rows(place, "SELECT grade FROM passages") == [(grade,)]


def test_other_peoples_games_and_those_without_an_ending_are_left_out_and_counted(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert take(place, QUEEN + OTHERS + NO_ENDING, "--player", "Mia Grey") == 0
    assert rows(place, "SELECT count(*) FROM games") == [(1,)]
    said = capsys.readouterr().err
    assert "1 game of Mia taken into the record, 1 without a covered move of the pupil, 1 without the pupil" in said


def test_the_side_tells_where_the_tags_do_not(place: Path) -> None:
    assert take(place, OTHERS, "--side", "black") == 0
    assert rows(place, "SELECT colour, side, result FROM games") == [("black", "defence", "lost")]


def test_a_game_without_a_full_date_is_of_today(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from datetime import date

    monkeypatch.setattr("matebot.commands.annotate.today", lambda: date(2026, 4, 1))
    assert take(place, UNDATED, "--player", "Mia Grey") == 0
    assert rows(place, "SELECT day FROM games") == [("2026-04-01",)]


def test_the_games_are_looked_over_where_there_can_be_no_record(
    place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", str(place.parent))
    assert take(place, QUEEN, "--player", "Mia Grey") == 0
    assert capsys.readouterr().err.count("without a record") == 1
    assert place.with_name("out.pgn").read_text().count("1. Kc7")


@pytest.mark.parametrize("broken", ["matebot.whole_file._swap", "matebot.commands.annotate.page"])
def test_nothing_is_recorded_of_games_that_could_not_be_written(
    place: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    def fail(*arguments: object) -> None:
        raise OSError(28, "No space left on device")

    html = "--player", "Mia Grey", "--html", str(place.with_name("page.html"))
    with monkeypatch.context() as full, suppress(OSError):
        full.setattr(broken, fail)
        assert take(place, QUEEN, *html) != 0
    assert rows(place, "SELECT count(*) FROM games") == [(0,)]
    assert take(place, QUEEN, *html) == 0
    assert rows(place, "SELECT count(*) FROM games") == [(1,)]


def test_nothing_is_recorded_where_nobody_reads_the_games(place: Path, tmp_path: Path) -> None:
    (tmp_path / "games.pgn").write_text(QUEEN)
    words = [warm_python(), "-m", "matebot", "annotate", str(tmp_path / "games.pgn"), "--pupil", "Mia Grey"]
    buffered = {**os.environ, "PYTHONUNBUFFERED": ""}  # the fault shows at the end then
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=buffered) as process:
        assert process.stdout is not None
        process.stdout.close()
    assert rows(place, "SELECT count(*) FROM games") == [(0,)]


def test_a_player_without_a_pupil_is_told_in_one_line(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (place.parent / "games.pgn").write_text(QUEEN)
    assert main(["annotate", str(place.parent / "games.pgn"), "--player", "Mia"]) == 2
    assert "expected --pupil with --player" in capsys.readouterr().err


def test_a_tag_with_the_family_name_first_is_the_same_pupil(place: Path) -> None:
    """PGN standard, section 8.1.1.4: the family name, a comma, the given name."""
    turned = changed(QUEEN, ('"Mia Grey"', '"Grey, Mia"'))
    assert take(place, turned + changed(OTHERS, ('"Chidi"', '"Mia, Grey"')), "--player", "Mia Grey") == 0
    assert rows(place, "SELECT count(*) FROM games") == [(1,)]
    assert take(place, QUEEN, "--player", "Grey, Mia") == 0
    assert rows(place, "SELECT count(*) FROM games") == [(2,)]


def test_the_names_in_the_tags_are_told_where_the_pupils_is_not_among_them(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert take(place, OTHERS + changed(OTHERS, ('"Bo"', '"?"')), "--player", "Mia Grey") == 0
    told = capsys.readouterr().err
    assert "'Bo'" in told
    assert "'Chidi'" in told
    assert "'?'" not in told
