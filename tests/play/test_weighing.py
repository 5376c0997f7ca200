"""What an estimate knows of an ending: of two positions, much alike, the one weighs more that a textbook prefers."""

from __future__ import annotations

import chess
import pytest

from matebot.play.weighing import WEIGHT, weigh

#: White to move unless told, seen from White: the heavier, the lighter, and how much lies between them at least.
PAIRS = {
    "a pawn runs where the king is outside its square": ("4k3/8/8/P7/8/8/8/K7", "3k4/8/8/P7/8/8/8/K7", 250),
    "the step of a king that is to move counts": ("4k3/8/8/P7/8/8/8/K7 w", "4k3/8/8/P7/8/8/8/K7 b", 250),
    "a pawn makes two steps at first": ("6k1/8/8/8/8/8/P7/7K", "5k2/8/8/8/8/8/P7/7K", 250),
    "later it makes one": ("6k1/8/8/8/8/P7/8/7K", "5k2/8/8/8/8/P7/8/7K", 250),
    "its own king is in its way": ("7k/8/8/P7/8/8/1K6/8", "7k/K7/8/P7/8/8/8/8", 250),
    "its own king guards all its way": ("1k6/3K4/3P4/8/8/8/8/8 w", "1k6/8/3P4/3K4/8/8/8/8 w", 100),
    "beside the last square and the pawn it guards all too": (
        "1k6/4K3/3P4/8/8/8/8/8 w",
        "1k6/8/3P4/4K3/8/8/8/8 w",
        400,
    ),
    "two ranks ahead is a key square": ("4k3/8/4K3/8/4P3/8/8/8", "4k3/8/8/4K3/4P3/8/8/8", 150),
    "beside them is one too": ("4k3/8/3K4/8/4P3/8/8/8", "4k3/8/2K5/8/4P3/8/8/8", 150),
    "beyond the middle one rank ahead is a key square": ("4k3/8/4K3/4P3/8/8/8/8", "4k3/8/8/3KP3/8/8/8/8", 150),
    "of a rook's pawn b7 is a key square": ("3k4/1K6/8/8/P7/8/8/8", "3k4/2K5/8/8/P7/8/8/8", 150),
    "of the other rook's pawn it is g7": ("4k3/6K1/8/8/7P/8/8/8", "4k3/5K2/8/8/7P/8/8/8", 150),
    "a pawn further on weighs more": ("8/8/4P3/k7/8/8/8/4K2n", "8/8/8/k7/4P3/8/8/4K2n", 20),
    "a man may take a pawn that would run": ("7k/8/8/P7/8/8/8/K7", "7k/8/8/P7/8/8/8/K6n", 400),
    "b5 is none": ("3k4/1K6/8/8/P7/8/8/8", "3k4/8/8/1K6/P7/8/8/8", 150),
    "what counts is who is nearer to the square before it": (
        "8/8/4K3/8/4P3/8/4k3/7n",
        "8/8/4k3/8/4P3/8/4K3/7n",
        40,
    ),
    "the bishop of the right colour guards the corner": ("1k6/8/P7/8/8/8/8/KB6", "1k6/8/P7/8/8/8/8/K1B5", 300),
    "far from the corner the wrong bishop matters less": ("8/8/P4k2/8/8/8/8/K1B5", "1k6/8/P7/8/8/8/8/K1B5", 100),
    "at every step the king that holds the corner matters more": (
        "2k5/8/P7/8/8/8/8/K1B5",
        "1k6/8/P7/8/8/8/8/K1B5",
        60,
    ),
    "beside another pawn the wrong bishop does not matter": ("1k6/8/1P6/8/8/8/8/KB6", "1k6/8/P7/8/8/8/8/K1B5", 300),
    "five steps from the corner it matters little": ("8/8/5k2/8/8/P7/8/K1B5", "8/8/4k3/8/8/P7/8/K1B5", 40),
    "and no less six steps from it": ("8/8/5k2/8/8/P7/8/K1B5 b", "8/8/6k1/8/8/P7/8/K1B5 b", -30),
    "a pawn runs beside one of the other side too": ("4k3/8/8/P7/8/7p/8/6K1", "3k4/8/8/P7/8/7p/8/6K1", 250),
    "of two that run the one further on weighs more": ("8/8/P7/8/8/8/8/K6k", "8/8/8/P7/8/8/8/K6k", 45),
    "only against a bare king is a square key": ("4k3/8/4K3/8/4P3/8/8/8", "4k3/7p/4K3/8/4P3/8/8/8", 300),
    "away from the pawn no king guards all its way": ("1k6/4K3/3P4/8/8/8/8/8", "1k6/4K3/8/3P4/8/8/8/8", 200),
    "nor two steps from its last square": ("1k6/4K3/3P4/8/8/8/8/8", "1k6/8/3PK3/8/8/8/8/8", 400),
    "g6 is no key square of the other rook's pawn": ("4k3/6K1/8/8/7P/8/8/8", "4k3/8/6K1/8/7P/8/8/8", 150),
    "a rook more wins": ("4k3/8/8/8/8/8/8/R3K3", "4k3/8/8/8/8/8/8/B3K3", 400),
    "two knights do not": ("4k3/8/8/8/8/8/8/1N2KB2", "4k3/8/8/8/8/8/8/1N2K1N1", 400),
    "a rook against a bishop does not": ("4k3/8/8/8/8/8/8/R3K3", "4kb2/8/8/8/8/8/8/R3K3", 400),
    "a queen against a rook does": ("4kr2/8/8/8/8/8/8/Q3K3", "4kb2/8/8/8/8/8/8/R3K3", 300),
    "the queen weighs most": ("4k3/8/8/8/8/8/8/Q3K3", "4k3/8/8/8/8/8/8/R3K3", 350),
    "in the middle it is farther from mate": ("4k3/8/4K3/8/8/8/8/R7", "8/4k3/8/4K3/8/8/8/R7", 10),
    "the other king helps when near": ("4k3/8/4K3/8/8/8/8/R7", "4k3/8/8/8/8/8/4K3/R7", 20),
}

#: The same, with what lies between them to a hundredth of a pawn, as an estimate is shown to whoever asks. Where a man
#: stands beside them, the kings stand so that all other things are equal.
APART = {
    "its second step is worth 5": ("8/8/8/7k/K7/4P3/8/q7", "8/8/8/7k/K7/8/4P3/q7", 5),
    "with the third it is 15": ("8/8/8/7k/K3P3/8/8/q7", "8/8/8/7k/K7/8/4P3/q7", 15),
    "with the fourth 40": ("8/8/8/4P2k/K7/8/8/q7", "8/8/8/7k/K7/8/4P3/q7", 40),
    "with the fifth 90": ("8/8/4P3/7k/K7/8/8/q7", "8/8/8/7k/K7/8/4P3/q7", 90),
    "with the sixth 180": ("8/4P3/8/7k/K7/8/8/q7", "8/8/8/7k/K7/8/4P3/q7", 180),
    "a pawn more is worth 100 and its steps": ("8/3P4/8/7k/K7/8/4P3/q7", "8/8/8/7k/K7/8/4P3/q7", 280),
    "two steps nearer to the square before it are worth 14 each": (
        "7k/8/8/8/K7/8/4P3/q7",
        "8/8/8/7k/K7/8/4P3/q7",
        28,
    ),
    "of two that run a step saved is worth 12": ("8/8/P7/8/8/8/8/K6k", "8/8/8/P7/8/8/8/K6k", 50 + 12 - 14),
    "to run is worth 520, less for each of three steps": (
        "4k3/8/8/P7/8/8/8/K7",
        "3k4/8/8/P7/8/8/8/K7",
        520 - 3 * 12 + 14,
    ),
    "a key square is worth 260": ("4k3/8/4K3/8/4P3/8/8/8", "4k3/8/8/4K3/4P3/8/8/8", 260 - 14 + 6),
    "a step to the edge is worth 12": ("4k3/8/8/8/K7/8/8/R7", "8/4k3/8/8/K7/8/8/R7", 12),
    "two steps of the kings to each other are worth 6 each": ("4k3/8/4K3/8/8/8/8/R7", "4k3/8/8/8/K7/8/8/R7", 12),
    "kings as far apart as can be are worth nothing": ("4k3/8/8/8/8/8/8/R3K3", "r3k3/8/8/8/8/8/8/R3K3", 500 + 3 * 12),
    "a step from the corner that it holds is worth 60": (
        "2k5/8/P7/8/8/8/8/K1B5",
        "1k6/8/P7/8/8/8/8/K1B5",
        60 + 14,
    ),
}


def seen_by_white(text: str) -> int:
    board = chess.Board(f"{text if ' ' in text else f'{text} w'} - - 0 1")
    return weigh(board) if board.turn else -weigh(board)


@pytest.mark.parametrize(("heavier", "lighter", "margin"), PAIRS.values(), ids=PAIRS)
def test_of_two_positions_the_better_one_weighs_more(heavier: str, lighter: str, margin: int) -> None:
    assert seen_by_white(heavier) >= seen_by_white(lighter) + margin


@pytest.mark.parametrize(("heavier", "lighter", "apart"), APART.values(), ids=APART)
def test_of_two_positions_the_better_one_weighs_so_much_more(heavier: str, lighter: str, apart: int) -> None:
    assert seen_by_white(heavier) - seen_by_white(lighter) == apart


@pytest.mark.parametrize("men", ["q", "r", "bb", "bn", "qr", "rb", "rn"])
def test_men_that_win_weigh_what_each_weighs(men: str) -> None:
    place = "4k3/8/8/8/8/8/8/{}K3"
    kinds = {sign: WEIGHT[chess.PIECE_SYMBOLS.index(sign)] for sign in men}
    more = seen_by_white(place.format(f"{men.upper()}{4 - len(men)}")) - seen_by_white(place.format("Q3"))
    assert more == sum(kinds[sign] for sign in men) - WEIGHT[chess.QUEEN]


def test_two_knights_weigh_as_little_for_each_as_one() -> None:
    one, two, bishop = (seen_by_white(f"4k3/8/8/8/8/8/8/{men}K3") for men in ("3N", "2NN", "3B"))
    assert two - one == WEIGHT[chess.KNIGHT] // 8
    assert bishop - one == (WEIGHT[chess.BISHOP] - WEIGHT[chess.KNIGHT]) // 8
