"""A coach's lesson becomes a page: his words as they are, pictures where he wants them, and no markup of his."""

from __future__ import annotations

import re
from pathlib import Path

import chess
import pytest

from matebot.cli import main
from matebot.errors import UserError
from matebot.lessons.coach import coach_sheet
from matebot.lessons.coach_pgn import read_lesson
from matebot.lessons.html import page
from matebot.method.library import Library
from matebot.solver.tables import Tables
from tests.lessons.reading import document, pictures, placed

EVIL = "</p></style><script>alert(1)</script><img src=x onerror=y>&lt;"
HEAD = '[Event "An evening"]\n[White "{white}"]\n[Black "Pupil"]\n[Result "*"]\n[SetUp "1"]\n[FEN "{fen}"]\n\n'
READY = "4k3/5N1B/5K2/8/8/8/8/8 w - - 0 1"


def made(tables: Tables, folder: Path, moves: str, white: str = "Coach", fen: str = READY) -> str:
    place = folder / "lesson.pgn"
    place.write_text(HEAD.format(white=white, fen=fen) + moves, encoding="utf-8")
    return page(coach_sheet(Library(tables), read_lesson(place, tables)))


def paragraphs(text: str) -> list[tuple[str, str]]:
    return [(item.get("class", ""), item.text or "") for item in document(text).iter("p")]


def test_pictures_stand_where_they_are_marked_and_at_the_start(tables: Tables, tmp_path: Path) -> None:
    text = made(tables, tmp_path, "1. Ne5 $0 Kd8 {picture} (1... Kf8 {Diagram.} 2. Nd7+) 2. Ke6 {no picture here} *")
    shown = [seen.fen.split()[0] for seen in pictures(document(text))]
    for san_line in ([], ["Ne5"], ["Ne5", "Kd8"], ["Ne5", "Kf8"]):
        board = chess.Board(READY)
        for san in san_line:
            board.push_san(san)
        assert board.board_fen() in shown
    assert len(shown) == 4
    assert all(seen.men == placed(seen.fen) for seen in pictures(document(text)))
    assert ("", "no picture here") in paragraphs(text)
    assert not [words for _, words in paragraphs(text) if words.strip(". ").casefold() in ("picture", "diagram")]


def test_a_new_stage_of_the_main_line_brings_a_picture(tables: Tables, tmp_path: Path) -> None:
    text = made(
        tables, tmp_path, "1. Rb1 Kd4 2. Rb4+ Kd5 *", fen="8/8/8/8/8/2k5/8/K1R5 w - - 0 1".replace("2k5", "3k4")
    )
    assert len(pictures(document(text))) >= 1
    assert "cut the king off" in pictures(document(text))[0].text


def test_the_coachs_words_stay_and_what_is_not_true_stands_behind_them(tables: Tables, tmp_path: Path) -> None:
    remark = "Takes d7; Black wins, mate in 16, says nobody."
    found = paragraphs(made(tables, tmp_path, f"1. Ne5! {{{remark}}} Kd8 *"))
    place = found.index(("", remark))
    assert found[place + 1] == ("told", '"wins" does not hold: White mates in 16.')
    assert found[place + 2][0] != "told" or "mate in 16" in found[place + 2][1]
    assert ("strong", "1. Ne5!") in found


def test_tags_and_remarks_bring_in_no_markup(tables: Tables, tmp_path: Path) -> None:
    text = made(tables, tmp_path, f"{{{EVIL}}} 1. Ne5 {{{EVIL}}} (1. Nd6+ {{{EVIL}}}) Kd8 *", white=EVIL)
    root = document(text)
    assert not list(root.iter("script"))
    assert not list(root.iter("img"))
    assert len(list(root.iter("style"))) == 1
    assert sum(item.text == EVIL for item in root.iter("p")) == 3


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (HEAD.format(white="a", fen=READY) + "1. Ne5 Kd8 2. Ke7 *", "game 1: expected moves that can be read"),
        (HEAD.format(white="a", fen=READY) + "1. -- *", "game 1: expected moves, got a null move"),
        ("1. e4 e5 *", "game 1, its start: expected"),
        (HEAD.format(white="a", fen="4k3/8/8/8/8/8/3PPP2/3RK3 w - - 0 1") + "1. d4 *", "game 1, its start: expected"),
        (HEAD.format(white="a", fen="nonsense") + "*", "game 1: expected moves that can be read"),
        ("", "expected a lesson in PGN with moves or a position, got none"),
        ("\x00\xff garbage", "expected a lesson in PGN with moves or a position, got none"),
        (HEAD.format(white="a", fen=READY) + "1. Ne5 " + "(1. Nd6+ " * 1 + ") *", None),
        (HEAD.format(white="a", fen=READY) + "1. Ne5 " + "(1. Ng5 (1. Nh6 " * 20 + ") " * 40 + "*", "game 1: expected"),
    ],
)
def test_what_cannot_be_a_lesson_is_refused_in_one_line(
    tables: Tables, tmp_path: Path, content: str, fault: str | None
) -> None:
    place = tmp_path / "bad.pgn"
    place.write_text(content, encoding="latin-1")
    if fault is None:
        assert len(read_lesson(place, tables)) == 1
        return
    with pytest.raises(UserError) as caught:
        read_lesson(place, tables)
    assert str(caught.value).startswith(fault)
    assert "\n" not in str(caught.value)


def test_no_file_or_a_folder_is_refused(tables: Tables, tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "none.pgn"):
        with pytest.raises(UserError, match="expected a file"):
            read_lesson(place, tables)


def test_the_command_says_how_many_claims_do_not_hold(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Counted by hand: that Black wins is false, that it is mate in 16 for White is true."""
    place = tmp_path / "lesson.pgn"
    place.write_text(HEAD.format(white="Coach", fen=READY) + "1. Ne5 {Black wins. White mates in 16.} Kd8 *")
    assert main(["lesson", "--pgn", str(place), "--out", str(tmp_path / "x.html")]) == 0
    (told,) = capsys.readouterr().out.splitlines()
    assert re.findall(r"\d+", told) == ["2", "1"]
    assert told in " ".join(text for _, text in paragraphs((tmp_path / "x.html").read_text(encoding="utf-8")))
