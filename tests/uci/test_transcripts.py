"""Whole sessions, replayed as a whole, byte by byte, in pieces, with other line ends, and with more data after them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.uci.stdio import lines
from tests.uci.scripted import Cut, Replay, expected

GAME = """
> position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1
> go wtime 1000 btime 1000
= a1a8
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv a1a8
< bestmove a1a8
> isready
< readyok
> go movetime 5
= 0000
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0
< bestmove 0000
"""
PONDERING = """
> go ponder wtime 1 btime 1
= b1b2 b8b7
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv b1b2 b8b7
> isready
< readyok
> ponderhit
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv b1b2 b8b7
< bestmove b1b2 ponder b8b7
> go ponder
> ponderhit
= c1c2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv c1c2
< bestmove c1c2
> go ponder
> stop
= d1d2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv d1d2
< bestmove d1d2
"""
HELD = """
> go infinite
= e1e2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv e1e2
> ponderhit
> stop
< bestmove e1e2
> stop
> go
> go infinite
> go depth 3
> go infinite
= a1a2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv a1a2
< bestmove a1a2
= b1b2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv b1b2
< bestmove b1b2
= c1c2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv c1c2
< bestmove c1c2
= d1d2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv d1d2
> go
< bestmove d1d2
= e1e2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv e1e2
< bestmove e1e2
"""
OPTIONS = """
> setoption name multipv value 2
> setoption name MULTIPV value 0
< info string expected a whole number from 1 to 500 for MultiPV, got '0'
> joho isready
< readyok
> go
> go
= a1a2
< info depth 1 multipv 1 score cp 0 time 0 nodes 0 tbhits 0 pv a1a2
< bestmove a1a2
= 0000
< info depth 1 multipv 1 score cp 0 time 0 nodes 0 tbhits 0
< bestmove 0000
"""
LEFT_WHILE_HELD = """
> go infinite
= a1a2
< info depth 1 score cp 0 time 0 nodes 0 tbhits 0 pv a1a2
> quit
< bestmove a1a2
"""
TRANSCRIPTS = {
    "game": GAME,
    "pondering": PONDERING,
    "held": HELD,
    "options": OPTIONS,
    "left while held": LEFT_WHILE_HELD,
}
CUTS: dict[str, Cut] = {
    "whole": lambda data: [data],
    "byte by byte": lambda data: [data[at : at + 1] for at in range(len(data))],
    "sevens": lambda data: [data[at : at + 7] for at in range(0, len(data), 7)],
    "CR and LF": lambda data: [data.replace(b"\n", b"\r\n")],
    "CR alone": lambda data: [data.replace(b"\n", b"\r")],
    "CR and LF apart": lambda data: [part for line in data.splitlines() for part in (line + b"\r", b"\n")],
}
TRAILING = [b"", b"\n\n", b"stop", b"joho", b"\x00\xff\xfe\n\r\n", b"bestmove a1a2\nreadyok", b"position"]


@pytest.mark.parametrize("name", TRANSCRIPTS)
@pytest.mark.parametrize("cut", CUTS)
def test_a_transcript_sounds_the_same_however_its_bytes_come(name: str, cut: str) -> None:
    for trailing in TRAILING:
        replay = Replay()
        replay.feed(TRANSCRIPTS[name], CUTS[cut], trailing)
        assert replay.said == expected(TRANSCRIPTS[name]), trailing
        assert replay.owed == 0, trailing
        assert replay.left, trailing


def test_a_byte_order_mark_in_front_changes_nothing() -> None:
    replay = Replay()
    replay.feed(GAME, lambda data: [b"\xef\xbb\xbf" + data])
    assert replay.said == expected(GAME)


def test_nothing_is_heard_after_quit() -> None:
    replay = Replay()
    replay.feed("> quit", CUTS["whole"], b"isready\nuci\n")
    assert replay.said == []


@given(st.lists(st.binary(max_size=20)))
def test_reading_in_pieces_gives_the_lines_of_the_whole(pieces: list[bytes]) -> None:
    whole = b"".join(pieces).replace(b"\r", b"\n").split(b"\n")
    assert list(lines(pieces)) == whole


def test_a_line_in_a_million_pieces_is_joined_once() -> None:
    """Joining at each piece would take hours here."""
    assert list(lines(b"x" for _ in range(1_000_000))) == [b"x" * 1_000_000]
