"""A defence is explained by what it alone does: what a shorter one does too is no reason for it."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of


def said(library: Library, fen: str, san: str) -> str:
    board = chess.Board(fen)
    return said_of("", maker_for(library, board), board.parse_san(san)).text


@pytest.mark.parametrize(
    ("fen", "san"),
    [
        ("8/8/8/7B/6N1/2k3K1/8/8 b", "Kc4"),
        ("8/8/2K3Q1/8/8/5k2/8/8 b", "Kf2"),
        ("8/k7/8/8/4K3/8/8/4q3 w", "Kd5"),
        ("8/8/8/8/p3r3/8/4k1K1/8 w", "Kg3"),
        ("8/5r2/8/8/8/8/p2k4/6K1 w", "Kg2"),
        ("5b2/3K4/8/8/8/8/6Q1/3k4 b", "Kc1"),
        ("8/7k/8/R7/1K6/8/8/8 b", "Kh6"),
    ],
)
def test_what_need_not_come_first_is_not_said_to(library: Library, fen: str, san: str) -> None:
    assert "must first" not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "by"),
    [
        ("8/4kR2/1P6/7K/8/8/8/8 b", "Kxf7", "at least 2 moves sooner"),
        ("8/8/8/8/K7/7p/8/Q4k2 b", "Kg2", "moves sooner"),
    ],
)
def test_how_much_sooner_any_other_move_is_mated_is_a_least_where_they_differ(
    library: Library, fen: str, san: str, by: str
) -> None:
    board = chess.Board(fen)
    move = board.parse_san(san)
    after = {item.move: item.mate_plies or 0 for item in maker_for(library, board).ranking}
    differ = len({plies for other, plies in after.items() if other != move}) > 1
    text = said(library, fen, san)
    assert by in text
    assert ("at least" in text) == differ
