"""Positions in which something was said that did not hold, or that no witness could read."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.counting import every_day
from tests.witness.spoken import claims
from tests.wording.claiming import said_of

_MOVES = (
    ("8/8/1k6/8/3K1p2/8/8/8 w - - 0 1", "Ke5"),
    ("8/2P5/3B4/k7/8/1K6/8/8 w - - 0 1", "c8=Q"),
    ("7K/8/8/6k1/2B5/N7/8/8 w - - 0 1", "Be6"),
    ("6k1/8/8/2K5/8/8/5p2/5R2 b - - 0 1", "Kh8"),
    ("8/8/8/5KR1/8/7k/6b1/8 b - - 0 1", "Bf3"),
    ("8/8/8/7r/8/8/2k5/6KN w - - 0 1", "Kf2"),
    ("8/k7/4q3/8/K7/8/1B6/8 b - - 0 1", "Ka6"),
    ("8/8/8/8/3K1P2/8/k4r2/8 w - - 0 1", "Ke4"),
    ("8/2K1k3/8/3B4/8/8/N7/8 w - - 0 1", "Be4"),
    ("8/2K1k3/8/3B4/8/8/N7/8 w - - 0 1", "Nc3"),
    ("1b6/8/8/8/1K6/n7/8/5k2 b - - 0 1", "Bd6+"),
    ("7k/3P4/5K2/8/8/8/8/8 w - - 0 1", "Kg6"),
    ("1K6/1b2k3/p7/8/8/8/8/8 b - - 0 1", "a5"),
    ("8/8/8/8/8/8/2p5/2k3QK b - - 0 1", "Kb2"),
    ("8/4Q3/8/6K1/8/8/p7/1k6 w - - 0 1", "Kf4"),
    ("8/3k4/8/2K5/7p/4Q3/8/8 w - - 0 1", "Kd5"),
    ("8/8/8/6P1/3k4/8/5K2/7q b - - 0 1", "Ke4"),
    ("2K1k3/2Q5/4p3/8/8/8/8/8 w - - 0 1", "Qg7"),
    ("8/1R6/3k4/8/8/8/1p6/2K5 w - - 0 1", "Kd2"),
    ("8/8/8/4r3/8/4k3/5P2/1K6 b - - 0 1", "Kxf2"),
    ("8/8/8/5R2/6n1/4K3/7k/8 w - - 0 1", "Kf3"),
    ("2K5/1p6/r7/5k2/8/8/8/8 b - - 0 1", "b6"),
    ("8/8/8/4k3/8/6r1/2p5/4K3 b - - 0 1", "Ke4"),
    ("8/8/8/2K5/3Q4/8/1b6/k7 w - - 0 1", "Qd1+"),
    ("8/8/8/7p/8/8/4Bk1K/8 b - - 0 1", "Kxe2"),
)


@every_day(("method",), ("shortest",), "attack")
@pytest.mark.parametrize("in_a_line", [False, True])
@pytest.mark.parametrize(("fen", "san"), _MOVES)
def test_what_is_said_of_the_move_holds(library: Library, fen: str, san: str, attack: str, in_a_line: bool) -> None:
    text, about = said_of(library, fen, san, attack, in_a_line)
    assert claims(text, about) > 0
