"""What leaves is whole lines in the words of the UCI protocol description (April 2006)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.uci.partnership import Answer, Line, Report
from matebot.uci.writer import best_move, info_line, info_string, report_lines
from tests.uci.ways import CHARACTERS

MATE = Line(5, 7, "mate", -3, None, 11, 12, 13, ("e1e2", "e8e7"))
DRAW = Line(0, None, "cp", 0, None, 1, 0, 0, ())
BOUND = Line(9, None, "mate", 40, "lowerbound", 1, 2, 3, ("a7a8q",))


@pytest.mark.parametrize(
    ("line", "number", "text"),
    [
        (MATE, None, "info depth 5 seldepth 7 score mate -3 time 11 nodes 12 tbhits 13 pv e1e2 e8e7"),
        (MATE, 2, "info depth 5 seldepth 7 multipv 2 score mate -3 time 11 nodes 12 tbhits 13 pv e1e2 e8e7"),
        (DRAW, None, "info depth 0 score cp 0 time 1 nodes 0 tbhits 0"),
        (BOUND, None, "info depth 9 score mate 40 lowerbound time 1 nodes 2 tbhits 3 pv a7a8q"),
    ],
)
def test_a_line_of_play_is_written_with_its_score_and_the_moves_last(line: Line, number: int | None, text: str) -> None:
    assert info_line(line, number) == text


@pytest.mark.parametrize(
    ("answer", "text"),
    [
        (Answer("e2e4"), "bestmove e2e4"),
        (Answer("e2e4", "e7e5"), "bestmove e2e4 ponder e7e5"),
        (Answer(None), "bestmove 0000"),
        (Answer(None, "e7e5"), "bestmove 0000"),
    ],
)
def test_an_answer_ends_in_its_move_or_the_null_move(answer: Answer, text: str) -> None:
    assert best_move(answer) == text


def test_sentences_come_before_lines_and_several_lines_are_numbered_best_first() -> None:
    texts = report_lines(Report(("a", "b"), (MATE, DRAW)))
    assert texts[:2] == ["info string a", "info string b"]
    assert [" multipv 1 " in texts[2], " multipv 2 " in texts[3]] == [True, True]


def test_a_single_line_is_numbered_where_several_were_asked_for() -> None:
    assert " multipv 1 " in report_lines(Report((), (MATE,)), numbered=True)[0]
    assert "multipv" not in report_lines(Report((), (MATE,)))[0]


@given(st.text(CHARACTERS, max_size=3000))
def test_no_sentence_breaks_its_line_or_grows_without_end(text: str) -> None:
    line = info_string(text)
    assert len(line.splitlines()) == 1
    assert line.startswith("info string ")
    assert len(line) < 1100


def test_a_sentence_too_long_keeps_its_beginning_and_its_end() -> None:
    line = info_string("expected " + "x" * 5000 + ", got 'y'")
    assert line.startswith("info string expected xxx")
    assert line.endswith("xxx, got 'y'")
