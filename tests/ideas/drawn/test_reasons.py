"""Every reason told for a draw holds on the board, and the textbook positions get the textbook's reason."""

from __future__ import annotations

from collections.abc import Callable

import chess
import pytest

from matebot.ideas.drawn import minor_stops_pawn
from matebot.ideas.drawn.order import REASONS, reason
from matebot.play.ranking import is_weaker
from matebot.solver.material import COVERED
from matebot.solver.tables import Refusal, Tables
from tests.witness.drawn_reasons import claims
from tests.witness.positions import random_positions

_EACH = 40
Drawn = Callable[[chess.Board], bool]
#: Positions of which handbooks say that they are drawn, and the reason they give (from memory).
TEXTBOOK = [
    ("7k/8/6K1/7P/4B3/8/8/8 b", "wrong_rooks_pawn"),
    ("8/4k3/8/4K3/4P3/8/8/8 w", "king_before_pawn"),
    ("k7/8/1K6/P7/8/8/8/8 w", "king_before_pawn"),
    ("8/8/8/3nk3/8/3K4/8/R7 w", "knight_beside_king"),
    ("6k1/R7/6K1/8/8/5b2/8/8 b", "safe_corner"),
    ("3Q4/8/8/8/7K/8/2p5/1k6 w", "pawn_on_the_seventh"),
    ("7K/8/k1P5/7p/8/8/8/8 w", "both_aims"),
    ("8/8/8/8/4n3/8/k7/2K5 w", "too_few_men"),
    ("8/8/8/4k3/8/2N5/1N6/2K5 w", "too_few_men"),
    ("7k/5K2/6Q1/8/8/8/8/8 b", "stalemated"),
    ("8/Pk6/8/1N6/8/8/3K4/8 w", "knight_frozen"),
    ("8/6K1/8/2P5/4k3/8/N7/8 b", "man_caught"),
]


@pytest.fixture(scope="session")
def is_drawn(tables: Tables) -> Callable[[chess.Board], bool]:
    def drawn(board: chess.Board) -> bool:
        try:
            return tables.value(board).outcome == 0
        except Refusal:
            return False

    return drawn


@pytest.fixture(scope="session")
def holds(tables: Tables) -> Callable[[chess.Board], bool]:
    """Whether the side to move, which has the stronger men, does not win."""

    def held(board: chess.Board) -> bool:
        try:
            return tables.value(board).outcome <= 0
        except Refusal:
            return False

    return held


def attacker_of(board: chess.Board) -> chess.Color:
    return next((side for side in chess.COLORS if is_weaker(board, not side)), not board.turn)


@pytest.mark.parametrize(("placed", "kind"), TEXTBOOK)
def test_the_textbooks_draws_are_told_with_the_textbooks_reason(
    placed: str, kind: str, is_drawn: Drawn, holds: Drawn
) -> None:
    for board in (chess.Board(placed), chess.Board(placed).mirror()):
        assert is_drawn(board)
        found = reason(board, attacker_of(board), holds)
        assert found is not None
        assert found.kind == kind


@pytest.mark.parametrize("ending", [material.name for material in COVERED])
def test_what_is_said_of_a_draw_is_what_a_witness_sees(ending: str, is_drawn: Drawn, holds: Drawn) -> None:
    for board in random_positions(ending, _EACH, seed=11):
        if not is_drawn(board):
            continue
        side = attacker_of(board)
        held = claims(board, side, holds)
        told = [found for seen in REASONS if (found := seen(board, side)) is not None]
        stops = minor_stops_pawn.seen(board, side, holds)
        told += [] if stops is None else [stops]
        best = reason(board, side, holds)
        for found in [*told, *([best] if best is not None else [])]:
            data = found.as_data()
            kind = str(data.pop("kind"))
            expected = held[kind]
            if kind == "man_falls":
                captures = expected["capture"]
                assert isinstance(captures, list)
                assert data.pop("capture") in captures, board.fen()
                expected = {name: held for name, held in expected.items() if name != "capture"}
            assert data == expected, (board.fen(), kind)
        silent = {"minor_holds_rook", "man_falls", "man_caught", "stalemated", "too_few_men"}
        assert {found.kind for found in told} | silent >= held.keys(), board.fen()
        assert (best is None) == (not held), board.fen()


def test_a_man_beside_its_king_off_the_edge_does_not_step_between_on_it(holds: Drawn) -> None:
    found = reason(chess.Board("8/8/8/8/6B1/7K/6r1/6k1 b - - 0 1"), chess.BLACK, holds)
    assert found is not None
    assert found.as_data()["between"] == []


def test_most_draws_of_the_endings_teachers_teach_have_a_reason(is_drawn: Drawn, holds: Drawn) -> None:
    bars = {"KRKN": 1.0, "KRKB": 1.0, "KNNK": 1.0, "KPK": 0.85, "KBPK": 0.95, "KNPK": 0.8, "KBKP": 1.0}
    for ending, least in bars.items():
        drawn = [board for board in random_positions(ending, 300, seed=3) if is_drawn(board)]
        explained = sum(reason(board, attacker_of(board), holds) is not None for board in drawn)
        assert explained >= least * len(drawn) > 0, (ending, explained, len(drawn))
