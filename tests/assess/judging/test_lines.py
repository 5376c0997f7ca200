"""Lines of an engine held against the protocol (UCI protocol description, April 2006)."""

from __future__ import annotations

import pytest

from matebot.assess.judging.lines import is_rubbish

#: The words of `info` that the description has a number after.
NUMBERED = ("depth", "seldepth", "time", "nodes", "multipv", "currmovenumber", "hashfull", "nps", "tbhits", "cpuload")


@pytest.mark.parametrize("word", NUMBERED)
def test_an_info_has_one_number_after_each_word_that_takes_one(word: str) -> None:
    for good in (f"info {word} 12", f"info {word} -1 pv a1a2", f"info {word} +3", f"info pv a1a2 {word} 0"):
        assert not is_rubbish(good), good
    for bad in (
        f"info {word}",
        f"info {word} many",
        f"info {word} 1.5",
        f"info pv a1a2 {word} x",
        f"info {word} x 5",
        f"info {word} ?5",
    ):
        assert is_rubbish(bad), bad
        assert not is_rubbish(bad.replace("info ", "info string ")), bad


def test_a_score_is_in_hundredths_of_a_pawn_or_moves_to_mate() -> None:
    for good in ("cp 13", "cp -5", "mate 3", "mate -2 lowerbound", "cp 7 upperbound depth 3"):
        assert not is_rubbish(f"info depth 1 score {good}"), good
    for bad in ("", "cp", "mate", "cp x", "mate soon", "13", "lowerbound 13", "pawns 1", "cp lowerbound 5"):
        assert is_rubbish(f"info depth 1 score {bad}"), bad


@pytest.mark.parametrize(
    "line",
    ["", "info", "info string depth x score none", "depth x", "hello depth x", "bestmove score", "info mood 5 fine"],
)
def test_what_the_protocol_does_not_know_is_no_rubbish(line: str) -> None:
    assert not is_rubbish(line)
