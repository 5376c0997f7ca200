"""Demonstrations, annotated games and ladders make pages too, with the same parts."""

from __future__ import annotations

from pathlib import Path

import pytest

from matebot.cli import main
from matebot.method.plans import PLANS
from tests.lessons.reading import document, pictures, placed

pytestmark = pytest.mark.usefixtures("lessons_taught_once")

START = "4k3/8/4K3/8/8/8/8/R7 w - - 0 1"
GAME = (
    '[White "<script>x</script>"]\n[SetUp "1"]\n[FEN "8/8/8/3k4/8/8/8/R3K3 w - - 0 1"]\n\n1. Ra5+ {<img src=x>} Kc4 *\n'
)


def test_a_demonstration_writes_a_page_whose_pictures_show_its_positions(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "d.html"
    assert main(["demonstrate", START, "--html", str(place)]) == 0
    assert "Ra8#" in capsys.readouterr().out
    shown = pictures(document(place.read_text(encoding="utf-8")))
    assert shown[0].fen == START
    assert len(shown) >= 2
    assert all(seen.men == placed(seen.fen) for seen in shown)
    assert "Ra8#" in place.read_text(encoding="utf-8")


def test_annotated_games_make_a_page_without_markup_of_their_own(tmp_path: Path) -> None:
    games, place = tmp_path / "g.pgn", tmp_path / "g.html"
    games.write_text(GAME + "\n1. e4 e5 {whole games too} *\n", encoding="utf-8")
    assert main(["annotate", str(games), "--out", str(tmp_path / "o.pgn"), "--html", str(place)]) == 0
    root = document(place.read_text(encoding="utf-8"))
    assert not list(root.iter("script"))
    assert not list(root.iter("img"))
    assert pictures(root)
    assert "whole games too" in " ".join(root.itertext())


def test_the_ladders_of_an_ending_make_a_page_with_every_stage(tmp_path: Path) -> None:
    place = tmp_path / "m.html"
    assert main(["method", "KQK", "--html", str(place)]) == 0
    root = document(place.read_text(encoding="utf-8"))
    text = " ".join(root.itertext())
    assert len(pictures(root)) > 3 + 5  # stages and slips, and what is to be known by heart
    stages = [f"{number}. {stage.title.capitalize()}" for number, stage in enumerate(PLANS["KQK"][0].stages, start=1)]
    for part in (*stages, "Beware in stage 3", "mate. No square is left", "rule allows 50", "The way back"):
        assert part in text


@pytest.mark.parametrize(
    "command",
    [
        ["demonstrate", START, "--html", "{}"],
        ["method", "KQK", "--html", "{}"],
        ["lesson", "KQK", "--out", "{}"],
        ["lesson", "--plan", "first-mates", "--out", "{}"],
    ],
)
def test_a_page_that_cannot_be_written_is_one_line_and_status_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    place = tmp_path / "none" / "x.html"
    assert main([part.format(place) for part in command]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert not place.parent.exists()


@pytest.mark.parametrize(
    "command",
    [["lesson"], ["lesson", "KRKR"], ["lesson", "--plan", "none"], ["lesson", "KQK", "--pgn", "x.pgn"]],
)
def test_a_lesson_that_cannot_be_is_one_line_status_2_and_no_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    assert main([*command, "--out", str(tmp_path / "x.html")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert not list(tmp_path.iterdir())
