"""A file is cut into games as python-chess cuts it, and the texts joined are the file again."""

from __future__ import annotations

import io

import chess.pgn
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.games.game_texts import game_texts
from matebot.games.movetext import read_game

_PIECES = [
    '[Event "a"]\n',
    '[FEN "x"]\n',
    "\n",
    "\r\n",
    "1. e4 e5\n",
    "{",
    "}",
    "(",
    ")",
    ";",
    "%",
    "$4 ",
    "1-0\n",
    "é",
]


def texts(text: str) -> list[str]:
    return list(game_texts(io.BytesIO(text.encode("utf-8"))))


@given(st.lists(st.sampled_from(_PIECES), max_size=40).map("".join))
def test_any_text_is_cut_without_loss_and_read_without_failure(text: str) -> None:
    parts = texts(text)
    assert "".join(parts) == text
    for part in parts:
        assert part
        reading = read_game(part)
        assert all(0 < w.end <= w.behind <= w.close <= len(part) for w in reading.written)


@given(st.binary(max_size=200))
def test_any_bytes_come_out_as_they_went_in(data: bytes) -> None:
    parts = list(game_texts(data.splitlines(keepends=True)))
    assert "".join(parts).encode("utf-8", "surrogateescape") == data


@pytest.mark.parametrize(
    "text",
    [
        '[Event "a"]\n\n1. e4 *\n\n[Event "b"]\n\n1. d4 *\n',
        "1. e4 *\n\n\n1. d4 *\n\n",
        '[Event "a"]\n\n1. e4 {a comment\n\nwith a blank line} e5\n2. Nf3 *\n\n[Event "b"]\n\n*\n',
        '[Event "a"]\n\n1. e4 {[Event "not a tag"]\n[Site "nor this"]} *\n\n',
        '[Event "a"]\n\n1. e4 ; {not open\n e5 *\n\n1. d4 *\n',
        '% {escape\n[Event "a"]\n\n1. e4\n%{\ne5 *\n\n[Event "b"]\n\n1. c4 *\n',
        '[Event "a"]\n[Site "b"]\n1. e4 *\n',
    ],
)
def test_games_are_cut_where_python_chess_cuts_them(text: str) -> None:
    handle = io.StringIO(text)
    read = list(iter(lambda: chess.pgn.read_game(handle), None))
    parts = texts(text)
    assert len(parts) == len(read)
    for part, game in zip(parts, read, strict=True):
        assert [w.move for w in read_game(part).written] == list(game.mainline_moves())


def test_a_game_without_moves_is_a_game() -> None:
    assert len(texts('[Event "a"]\n[Site "x"]\n\n[Event "b"]\n[Site "y"]\n\n1. e4 *\n')) == 2


@pytest.mark.parametrize(
    ("moves", "expected"),
    [
        ("1.e4 e5 2.Nf3", "e4 e5 Nf3"),
        ("e4 e5 Nf3", "e4 e5 Nf3"),
        ("1. e2e4! e7e5?! 2. Ng1f3!!", "e4 e5 Nf3"),
        ("1. e4 $1 {x} (1. d4 d5 (1... Nf6) 2. c4) 1... e5 $2 2. Nf3", "e4 e5 Nf3"),
        ("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. 0-0 Nf6 5. d3 O-O", "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6 d3 O-O"),
        ("1. e4 a6 2. e5 d5 3. exd6e.p.", "e4 a6 e5 d5 exd6"),
        ("1. e4 a6 2. e5 d5 3. exd6 e.p. += N", "e4 a6 e5 d5 exd6"),
        ("1. e4 ; rest\n1... e5 {a (b} 2. Nf3++", "e4 e5 Nf3"),
    ],
)
def test_moves_are_read_in_every_usual_writing(moves: str, expected: str) -> None:
    reading = read_game(moves + " *")
    assert reading.start is not None
    assert reading.start.variation_san([w.move for w in reading.written]).count(" ") > 1
    board, names = reading.start.copy(), []
    for written in reading.written:
        names.append(board.san_and_push(written.move))
    assert names == expected.split()
    assert reading.faults == []


def test_what_is_written_to_a_move_is_found_with_it() -> None:
    text = "{before} 1. e4!? $10 {one} {two} (1. d4 d5) (1. c4) {three} e5 *"
    reading = read_game(text)
    first = reading.written[0]
    assert reading.before == ["before"]
    assert text[reading.opening :].startswith("1. e4")
    assert first.nags == {5, 10}
    assert first.comments == ["one", "two", "three"]
    assert first.variations == [["d4", "d5"], ["c4"]]
    assert (text[: first.end], text[: first.behind], text[: first.close]) == (
        "{before} 1. e4!? $10",
        "{before} 1. e4!? $10 {one} {two}",
        "{before} 1. e4!? $10 {one} {two} (1. d4 d5) (1. c4) {three}",
    )
    assert first.bare
    assert not reading.written[1].bare


@pytest.mark.parametrize(
    ("moves", "faults"),
    [
        ("1. e4 e5 2. Ke3 *", ["at move 2. expected a legal move (illegal san), got 'Ke3'"]),
        ("1. Nd2 *", ["at move 1. expected a legal move (illegal san), got 'Nd2'"]),
        ("1. e4 hello *", ["at move 1... expected a move, got 'hello'"]),
        ("1. e4 (1. d4 Kd5) 1... e5 *", ["at move 1... expected a legal move (illegal san), got 'Kd5'"]),
        ("1. e4 ) e5 *", ["at move 1... expected a variation to be opened before it is closed, got ')'"]),
        ("1. e4 { e5 *", ["at move 1... expected a comment to be closed, got '{ e5 *'"]),
    ],
)
def test_what_cannot_be_read_is_named_with_its_place(moves: str, faults: list[str]) -> None:
    assert read_game(moves).faults == faults


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\r\r\n"])
def test_games_are_cut_and_read_alike_whatever_ends_their_lines(end: str) -> None:
    lines = [
        '[Event "a"]',
        '[Site "b"]',
        "",
        "% no move",
        "1. e4 ; no move",
        "e5 *",
        "",
        '[Event "c"]',
        "",
        "1. d4 *",
        "",
    ]
    parts = texts(end.join(lines))
    assert "".join(parts) == end.join(lines)
    readings = [read_game(part) for part in parts]
    assert [reading.tags for reading in readings] == [{"Event": "a", "Site": "b"}, {"Event": "c"}]
    assert [[written.move.uci() for written in reading.written] for reading in readings] == [["e2e4", "e7e5"], ["d2d4"]]
    assert not any(reading.faults for reading in readings)


def test_other_characters_that_may_end_lines_end_none() -> None:
    reading = read_game('[Event "Odd \u2028\x85\x0b line"]\n[FEN "7k/8/6K1/8/8/8/8/R7 w - - 0 1"]\n\n1. Ra8# *\n')
    assert reading.tags["Event"] == "Odd \u2028\x85\x0b line"
    assert [written.move.uci() for written in reading.written] == ["a1a8"]
    assert not reading.faults
