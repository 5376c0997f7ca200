"""What a better move is praised for is not done by the slip too: positions in which it once was."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.counting import every_day
from tests.witness.spoken import claims
from tests.wording.claiming import said_of

#: Slips with the better move's deed that they share: key squares, a square guarded, a man attacked or neared, ...
_SHARED = (
    ("8/8/1k6/8/1p6/4K3/8/8 b - - 0 1", "Kc5"),
    ("8/B7/8/8/1k6/8/2P5/4K3 w - - 0 1", "Bd4"),
    ("8/7k/8/1Q6/8/2p3K1/8/8 w - - 0 1", "Qe5"),
    ("4r3/6K1/8/8/3P4/6k1/8/8 b - - 0 1", "Kf3"),
    ("8/8/4r3/8/8/4k3/3P4/2K5 b - - 0 1", "Ke2"),
    ("8/8/8/6b1/4k3/6K1/4b3/8 b - - 0 1", "Kd3"),
    ("8/5P2/k7/6bK/8/8/8/8 b - - 0 1", "Bf6"),
    ("4K2k/8/5R1n/8/8/8/8/8 b - - 0 1", "Ng4"),
    ("8/1K6/8/p7/k7/8/8/2Q5 w - - 0 1", "Qb1"),
    ("8/8/8/8/8/2q5/8/1K1k4 b - - 0 1", "Qc2+"),
    ("8/5B2/k7/8/5K2/8/7B/8 w - - 0 1", "Ke3"),
    ("8/8/8/k7/8/8/K2p4/8 b - - 0 1", "Ka4"),
    ("8/2q5/K7/3P4/8/3k4/8/8 b - - 0 1", "Qc5"),
    ("8/6k1/2K5/8/4pQ2/8/8/8 w - - 0 1", "Kb5"),
    ("8/8/8/8/8/b2p4/8/K1k5 b - - 0 1", "Bb2+"),
    ("4k3/2p3K1/3Q4/8/8/8/8/8 w - - 0 1", "Qh2"),
    ("8/8/8/8/4K3/7q/2k5/R7 b - - 0 1", "Qh7+"),
    ("7K/4k3/8/6R1/5P2/8/8/8 b - - 0 1", "Kf6"),
    ("8/8/K6N/8/1k6/1r6/8/8 b - - 0 1", "Kc3"),
    ("8/8/8/8/2K5/1R6/3b4/k7 w - - 0 1", "Kd3"),
    ("8/4Q2k/8/6p1/8/4K3/8/8 b - - 0 1", "Kh6"),
    ("8/8/8/1B6/8/B7/8/1k1K4 w - - 0 1", "Bb4"),
    ("8/2k2K2/8/8/8/8/3P4/2r5 b - - 0 1", "Kd8"),
    ("1R6/8/k7/2K5/P7/8/8/8 w - - 0 1", "Ra8+"),
    ("8/8/8/8/8/6R1/8/4K1nk b - - 0 1", "Ne2"),
    ("3R4/8/8/8/1k6/8/5K2/8 w - - 0 1", "Rd6"),
    ("8/8/8/5K2/8/8/1k6/4Q3 w - - 0 1", "Kf4"),
    ("4K3/8/7k/5r2/8/8/8/8 b - - 0 1", "Kh7"),
    ("6k1/4Kp2/8/8/5Q2/8/8/8 w - - 0 1", "Ke8"),
    ("8/8/8/8/7K/8/4k1r1/7N b - - 0 1", "Rg7"),
    ("8/6Q1/3r4/2K5/k7/8/8/8 w - - 0 1", "Qb7"),
    ("5K1k/8/4q3/8/6P1/8/8/8 b - - 0 1", "Qf6+"),
    ("8/8/7Q/4k3/8/5r2/8/6K1 w - - 0 1", "Qh5+"),
    ("8/8/8/8/8/7k/4BB2/2K5 w - - 0 1", "Bg1"),
    ("1B6/4Nk2/8/6K1/8/8/8/8 w - - 0 1", "Ng6"),
)
#: A reply as good after the better move; a loose man where the lesson is another; a man taken already; one that
#: another man takes; a check before which a man can be put; a new man where none but a queen is thought of; a mate that
#: is written otherwise after another reply; a man that may be kept longer; a better move that was read as the reply; a
#: king cut off that is approached; a king that comes to lead its pawn, twice; a man attacked again and taken later; a
#: mate forced after a reply; a guarded man that nobody takes back; two men that hang before and after; a king to be
#: brought up by a move as good; squares that a king guards; a line left, its reply apart; a
#: line on which the king stands; a man trapped, a cage, a box or a man won after the slip as well; another man taken in
#: place of the one kept; a king driven beside its pawn; "but" said twice; a way to a pawn that has gone on; a mate
#: threatened, and no man.
_ONCE_FALSE = (
    ("6k1/4Q3/8/8/7p/2K5/8/8 b - - 0 1", "h3"),
    ("8/8/7k/p7/6r1/8/6K1/8 w - - 0 1", "Kf3"),
    ("4B3/8/8/8/2k5/8/8/K6N w - - 0 1", "Kb1"),
    ("8/3r4/8/8/8/2Nk4/1K6/8 b - - 0 1", "Re7"),
    ("6K1/6b1/8/3k3n/8/8/8/8 b - - 0 1", "Ke6"),
    ("1k1B4/8/8/1K6/4P3/8/8/8 w - - 0 1", "Kc4"),
    ("4K3/3rN3/4k3/8/8/8/8/8 w - - 0 1", "Ng6"),
    ("8/3K4/8/4k3/8/b7/2b5/8 b - - 0 1", "Bh7"),
    ("8/6b1/2k5/8/1K6/8/b7/8 b - - 0 1", "Bf8+"),
    ("k7/2p5/4K3/8/1R6/8/8/8 w - - 0 1", "Rb5"),
    ("8/8/8/8/3K4/8/8/BkN5 w - - 0 1", "Kd5"),
    ("8/1k5b/8/4b3/8/8/6K1/8 b - - 0 1", "Bb2"),
    ("8/8/6p1/k7/8/1R6/3K4/8 w - - 0 1", "Kd3"),
    ("8/8/8/4P3/8/3K4/8/4k1r1 b - - 0 1", "Kd1"),
    ("8/7K/8/4p2k/8/8/5R2/8 w - - 0 1", "Rh2+"),
    ("2k5/7K/7p/3R4/8/8/8/8 w - - 0 1", "Rh5"),
    ("8/8/8/4k3/KP6/3q4/8/8 b - - 0 1", "Kd5"),
    ("8/7k/6b1/6QK/8/8/8/8 w - - 0 1", "Kh4"),
    ("8/8/8/6k1/8/6K1/1B2N3/8 w - - 0 1", "Be5"),
    ("3k4/1R6/8/4K3/8/8/8/8 w - - 0 1", "Kf4"),
    ("8/8/8/8/2r5/5KPk/8/8 b - - 0 1", "Rc1"),
    ("1K6/8/2k5/1P6/8/8/8/r7 b - - 0 1", "Kxb5"),
    ("8/8/5q2/K7/8/7P/7k/8 b - - 0 1", "Kg2"),
    ("8/kP6/4K3/8/8/8/1q6/8 b - - 0 1", "Qc1"),
    ("8/3r4/8/8/8/2Nk4/1K6/8 b - - 0 1", "Rb7+"),
    ("2K5/4P3/3k4/3q4/8/8/8/8 w - - 0 1", "e8=Q"),
    ("k7/2B5/8/1B6/8/7K/8/8 w - - 0 1", "Bd7"),
    ("8/8/8/8/8/8/P2r4/K1k5 b - - 0 1", "Rd3"),
    ("8/5Q2/8/3K1k2/8/3p4/8/8 b - - 0 1", "Kg5"),
    ("8/3Q4/8/4r3/8/3K3k/8/8 b - - 0 1", "Kg2"),
    ("8/8/3k4/3q4/5R2/6K1/8/8 b - - 0 1", "Qb3+"),
    ("4k3/8/8/7R/8/2p5/8/6K1 w - - 0 1", "Kh1"),
    ("3K4/8/k7/8/7R/8/1q6/8 w - - 0 1", "Rh6+"),
    ("3K4/1Q6/4k3/8/6r1/8/8/8 b - - 0 1", "Rg6"),
    ("6K1/8/3r4/8/1N6/8/2k5/8 b - - 0 1", "Kc3"),
    ("1N6/K1k5/8/8/8/4r3/8/8 b - - 0 1", "Re5"),
    ("1k6/8/8/7K/4Q2b/8/8/8 w - - 0 1", "Qxh4"),
    ("8/8/8/K2P4/3k4/3r4/8/8 b - - 0 1", "Kc3"),
    ("8/8/1p6/8/2R5/k1K5/8/8 w - - 0 1", "Rc6"),
    ("K4b2/8/1k6/8/2Q5/8/8/8 w - - 0 1", "Qd4+"),
    ("8/7b/7K/7p/8/4k3/8/8 b - - 0 1", "Kf2"),
    ("3K4/8/k7/2p5/8/1R6/8/8 w - - 0 1", "Ra3+"),
    ("8/8/3k4/8/5q1K/8/8/8 w - - 0 1", "Kh3"),
    ("8/6k1/8/8/4P3/8/8/KR6 w - - 0 1", "e5"),
    ("8/8/2n5/R7/8/1K6/8/1k6 w - - 0 1", "Ra2"),
    ("3k4/8/8/K7/5n2/8/8/2b5 b - - 0 1", "Bd2+"),
    ("3B4/5k2/6N1/8/4K3/8/8/8 w - - 0 1", "Kf5"),
    ("8/8/8/5B1k/4N3/4K3/8/8 w - - 0 1", "Bh7"),
)


@every_day(("method",), ("shortest",), "attack")
@pytest.mark.parametrize(("fen", "san"), [*_SHARED, *_ONCE_FALSE])
def test_what_tells_a_slip_from_the_better_move_holds_on_the_board(
    library: Library, fen: str, san: str, attack: str
) -> None:
    assert claims(*said_of(library, fen, san, attack, in_a_line=False)) > 0
