"""The words follow from the facts, are short, and hold for either colour and any corner."""

from __future__ import annotations

import re
from random import Random

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.solver.material import COVERED
from matebot.terms import Mistake
from matebot.wording.moves import told
from matebot.wording.phrases import counted, listed, sentence
from tests.ideas.claims import near_positions
from tests.witness.positions import random_positions
from tests.witness.spoken import SAN, SQUARE, SQUARES
from tests.wording.sampling import WITH_LADDER, WITHOUT

ENDINGS = [material.name for material in COVERED]


def maker_for(library: Library, board: chess.Board) -> FactMaker:
    return FactMaker(Judged.of(library, board))


def said(library: Library, fen: str, san: str) -> str:
    board = chess.Board(fen)
    maker = maker_for(library, board)
    facts = maker.facts(board.parse_san(san))
    return " ".join(told(facts, maker.better(facts)))


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_move_gets_one_to_three_short_sentences(library: Library, ending: str) -> None:
    check_sentences(library, ending, 2)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("ending", ENDINGS)
def test_moves_in_five_hundred_positions_get_one_to_three_short_sentences(library: Library, ending: str) -> None:
    check_sentences(library, ending, 500)


def check_sentences(library: Library, ending: str, count: int) -> None:
    random = Random(f"words {ending}")
    for board in random_positions(ending, count, seed=21):
        moves = list(board.legal_moves)
        if not moves:
            continue
        maker = maker_for(library, board)
        for move in random.sample(moves, min(3, len(moves))):
            facts = maker.facts(move)
            sentences = told(facts, maker.better(facts))
            assert 1 <= len(sentences) <= 3
            for text in sentences:
                assert text.endswith(".")
                assert "\n" not in text
                assert "  " not in text
                assert "None" not in text
                assert len(text.split()) <= 45, text
            assert facts.san in sentences[0]


def test_the_words_are_the_same_with_colours_exchanged(library: Library) -> None:
    """Of moves as good one may be named for the other: which comes first goes by the squares."""
    same = others = 0
    for ending in (*WITH_LADDER, *WITHOUT):
        random = Random(f"colours {ending}")
        for board in (*near_positions(ending, 1, seed=22), *random_positions(ending, 1, seed=22)):
            ours, theirs = maker_for(library, board), maker_for(library, board.mirror())
            for move in random.sample(list(board.legal_moves), min(2, board.legal_moves.count())):
                twin = chess.Move(move.from_square ^ 56, move.to_square ^ 56, move.promotion)
                mine, other = (_said(maker, each) for maker, each in ((ours, move), (theirs, twin)))
                if re.findall(SAN, _exchanged(mine)) == re.findall(SAN, other):
                    assert _in_order(_exchanged(mine)) == _in_order(other)
                    same += 1
                else:
                    others += 1
    assert same > 2 * others


def _said(maker: FactMaker, move: chess.Move) -> str:
    facts = maker.facts(move)
    return " ".join(told(facts, maker.better(facts)))


def _exchanged(text: str) -> str:
    """Return a text with the names of the sides exchanged and the ranks counted from the other side."""
    text = text.replace("White", "<>").replace("Black", "White").replace("<>", "Black")
    ranks = r"(?<=[a-h])[1-8]|(?<=[NBRQ])[1-8](?=x?[a-h])|(?<=rank )[1-8]"
    return re.sub(ranks, lambda found: str(9 - int(found[0])), text)


def _in_order(text: str) -> str:
    """Return a text with each list of squares in the order of their names."""
    return re.sub(SQUARES, lambda found: " ".join(sorted(re.findall(SQUARE, found[0]))), text)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        (
            "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1",
            "Bf4",
            "Bf4 gives the bishop away: Kxf4, and a knight alone cannot mate; the win is gone",
        ),
        ("7k/8/5K2/6N1/4B3/8/8/8 w - - 0 1", "Bh7", "is stalemate"),
        ("k7/8/1K6/8/8/8/2Q5/8 w - - 0 1", "Qc8#", "is checkmate"),
        ("k7/8/1K6/8/8/8/2Q5/8 w - - 0 1", "Qc7", "is stalemate: Black's king has no move and is not in check"),
        ("8/8/8/8/8/1k6/4R3/K7 b - - 0 1", "Kc3", "Kc3 loses a move: "),
        (
            "4k3/3N3B/5K2/8/8/8/8/8 b - - 0 1",
            "Kd8",
            "Kd8 overlooks the loose knight: Kxd7 takes it; the draw is gone",
        ),
        ("1k6/1r6/2K5/Q7/8/8/8/8 w - - 0 1", "Qb4", "Qb4 gives the queen away: Rxb4"),
        ("8/8/8/3k4/8/4P3/8/K6R w - - 0 1", "e4+", "e4+ gives the pawn away: Kxe4"),
        ("8/8/8/8/K1k5/8/1p6/2B5 w - - 0 1", "Bxb2", "Bxb2 takes the loose pawn"),
        ("8/8/8/8/K1k5/8/1p6/2B5 w - - 0 1", "Bxb2", "the only move that draws"),
        ("8/8/8/8/K1k5/8/8/8 w - - 0 1", "Ka3", "changes nothing: only the kings are left"),
        ("8/8/8/8/K1k5/8/8/6N1 w - - 0 1", "Ka3", "changes nothing: king and knight alone cannot mate"),
        ("8/8/8/8/K1k5/8/8/6N1 b - - 0 1", "Kd5", "changes nothing: king and knight alone cannot mate"),
        ("8/P7/8/4k3/8/8/8/2K5 w - - 0 1", "a8=Q", "gives king and queen, which mate"),
        ("5K2/8/8/5R2/q1k5/8/8/8 w - - 0 1", "Rf4+", "skewers king and queen, and the queen falls"),
        (
            "7k/8/8/8/8/8/4B2r/4K3 w - - 0 1",
            "Kd1",
            "the king can still step off the edge",
        ),
        (
            "8/8/8/1P1k4/7q/7K/8/8 w - - 0 1",
            "Kxh4",
            "draws. It does not win: Black's king is inside the square of the pawn on b5",
        ),
        ("8/5K2/8/2R1b3/8/k7/8/8 b - - 0 1", "Ba1", "Not Bg3: Rc3+ forks king and bishop"),
        ("8/3K4/8/8/7P/8/6k1/8 b - - 0 1", "Kf1", "Kf1 cannot stop the pawn: Black's king is outside its square"),
        ("8/8/8/5k2/4R3/8/1K6/8 b - - 0 1", "Kxe4", "takes the loose rook"),
        ("8/8/8/8/8/2K5/4Q3/k7 b - - 0 1", "Kb1", "is forced: the only legal move. Next comes Qb2#"),
    ],
)
def test_what_matters_is_said(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


def test_a_move_is_told_as_worse_exactly_when_something_was_lost(library: Library) -> None:
    for ending in ("KBNK", "KPK", "KQKR"):
        for board in random_positions(ending, 20, seed=23):
            before, maker = library.tables.value(board), maker_for(library, board)
            for move in board.legal_moves:
                after = board.copy(stack=False)
                after.push(move)
                value = library.tables.value(after)
                worse = -value.outcome < before.outcome
                slower = (
                    -value.outcome == before.outcome != 0
                    and value.dtm_plies is not None
                    and value.dtm_plies + 1 != before.dtm_plies
                )
                mistake = maker.facts(move).cost.mistake
                assert (mistake is not Mistake.NONE) == (worse or slower)
                assert (mistake is Mistake.OUTCOME) == worse


def test_lists_counts_and_sentences_are_english() -> None:
    assert listed(["a1"]) == "a1"
    assert listed(["a1", "b2", "c3"]) == "a1, b2 and c3"
    assert listed(["a1", "b2"], "or") == "a1 or b2"
    assert counted(1, "move") == "1 move"
    assert counted(3, "move") == "3 moves"
    assert sentence("expect Kd3") == "Expect Kd3."
    assert sentence("g4 brings the pawn nearer") == "g4 brings the pawn nearer."
    assert sentence("exd6 takes") == "exd6 takes."


@pytest.mark.parametrize(
    ("fen", "san"),
    [
        ("8/8/8/3k4/8/8/1R6/R3K3 w - - 0 1", "Kd2"),
        ("8/8/8/3k4/8/1R6/8/Q3K3 w - - 0 1", "Kd2"),
        ("8/8/8/3k4/8/8/1B6/Q3K3 w - - 0 1", "Kd2"),
    ],
)
def test_men_that_mate_alone_are_not_said_to_need_their_king(library: Library, fen: str, san: str) -> None:
    assert not re.search(r"no mate|cannot mate|must help", said(library, fen, san))
