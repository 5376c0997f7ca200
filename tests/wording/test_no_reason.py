"""What is no reason for an outcome is not told as one, and of a draw it is told whose king holds it."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.method.library import Library
from matebot.play.ranking import Ranked
from matebot.wording.moves import told
from tests.counting import counts
from tests.wording.sampling import maker_for, taken


def said(library: Library, men: str, san: str, attack: str = "method") -> str:
    board = chess.Board(f"{men} - - 0 1")
    maker = maker_for(library, board, attack)
    facts = maker.facts(board.parse_san(san))
    return " ".join(told(facts, maker.better(facts)))


@pytest.mark.parametrize("men", ["8/8/8/8/1q6/8/8/2K1k3 w", "8/1k6/8/K7/8/1q1P4/8/8 w"])
def test_after_a_forced_move_no_reply_is_told_that_only_goes_on(library: Library, men: str) -> None:
    (move,) = chess.Board(f"{men} - - 0 1").legal_moves
    text = said(library, men, chess.Board(f"{men} - - 0 1").san(move))
    assert "forced" in text
    assert "ext" not in text


def test_a_king_is_in_its_pawns_way_only_where_nothing_but_the_pawn_holds(library: Library) -> None:
    assert " way" not in said(library, "8/8/8/4K3/6p1/5k2/8/4R3 b", "Kg3")
    assert " way" in said(library, "2Q5/1K6/8/8/8/1p6/8/1k6 b", "Kb2")


def test_a_king_with_a_pawn_is_not_blamed_for_the_edge(library: Library) -> None:
    assert "edge" not in said(library, "8/8/8/4K3/6p1/5k2/8/4R3 b", "Kg3")


def test_a_king_leads_a_pawn_only_from_beside_it(library: Library) -> None:
    text = said(library, "8/8/4K3/8/5r2/3P4/8/3k4 b", "Rf1")
    assert "the rook must be given" in text
    assert "leads" not in text


@pytest.mark.parametrize(
    ("men", "san", "missed"),
    [
        ("3B2K1/8/8/4r3/3k4/8/8/8 b", "Kd5", "Re8+"),
        ("8/8/8/8/8/8/5Q1r/4K2k b", "Rh3", "Rxf2"),
        ("4Q3/3K4/8/8/4r3/7k/8/8 b", "Rf4", "Rxe8"),
    ],
)
def test_beside_a_chance_missed_no_reply_is_told_that_does_not_matter(
    library: Library, men: str, san: str, missed: str
) -> None:
    text = said(library, men, san)
    assert missed in text
    assert not re.search(r"\bNow [KQ]", text)


def test_room_left_to_a_king_is_no_reason_why_a_move_holds_a_draw(library: Library) -> None:
    text = said(library, "8/K7/1Pk5/3b4/8/8/8/8 b", "Bc4")
    assert "Kb5" in text
    assert "only" not in text


def test_a_bishop_that_shuts_the_king_in_is_no_example_of_the_king_going_first(library: Library) -> None:
    assert "King first" not in said(library, "8/8/8/8/8/8/2k2BB1/7K w", "Bf1")
    assert "King first" not in said(library, "8/8/8/8/8/8/2k2BB1/7K w", "Bf1", "shortest")


def test_of_a_draw_let_slip_in_it_is_told_whose_king_holds_it(library: Library) -> None:
    assert "gives White's king time to catch the pawn" in said(library, "8/8/8/8/3k4/6p1/8/3K4 b", "Kc3")
    assert "Drawn" not in said(library, "8/1k6/8/8/1K6/3P4/8/8 w", "Kc4")  # the key square missed says it


@pytest.mark.parametrize(
    ("men", "san", "line"),
    [("8/K7/1Rq5/8/5k2/8/8/8 b", "Qc3", "rank 6"), ("5K2/8/7r/8/k7/8/8/8 b", "Rh8+", "rank 6")],
)
def test_a_line_is_not_given_up_where_the_better_move_leaves_it_too(
    library: Library, men: str, san: str, line: str
) -> None:
    assert f"gives up {line}" not in said(library, men, san)


_ROOM = re.compile(r"leaves (?:the|\w+'s) king (?:free|its room|in the open|the way)|leaves the way|off the edge by")


@counts(15, 25)
def test_room_is_a_reason_only_where_the_king_uses_it(library: Library, count: int) -> None:
    told_of = 0
    for ending in ("KQKP", "KRKP", "KQKR", "KBBK"):
        for one in taken(library, ending, "slips", count):
            if not _ROOM.search(one.text):
                continue
            board = chess.Board(one.facts.fen)
            board.push_uci(one.facts.move)
            ranked = maker_for(library, board).ranking
            best = [item.move for item in ranked if (item.outcome, item.mate_plies) == _worth(ranked[0])]
            assert all(board.piece_type_at(reply.from_square) == chess.KING for reply in best), one.text
            told_of += 1
    assert told_of


def _worth(item: Ranked) -> tuple[int, int | None]:
    return item.outcome, item.mate_plies
