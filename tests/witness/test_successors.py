"""The comparison of a position with its successors accepts true values and finds every kind of wrong one.

All values are fed by hand; no solver takes part. The positions are hand-made.
"""

from __future__ import annotations

from collections.abc import Callable

import chess
import pytest

from tests.witness.successors import DRAWN, MATED, Expected, disagreement

#: White mates by Qg7 alone.
MATE_IN_ONE = "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1"
#: Black has Kg8 only.
ONE_REPLY = "7k/R7/5K2/8/8/8/8/8 b - - 0 1"
#: Black may go to b8 or take the queen on b7; the kings are far apart.
CAPTURE_OR_FLIGHT = "kR6/8/8/8/8/8/8/7K b - - 0 1"
STALEMATE = "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1"
CHECKMATE = "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1"
#: White may promote on a8, or move the king.
PROMOTION = "8/P7/8/8/8/7k/8/K7 w - - 0 1"

Values = Callable[[chess.Board], Expected]


def feed(root: Expected, moves: dict[str, Expected], others: Expected = DRAWN) -> Values:
    """Return values: of the position itself, of those after some moves, and of those after all others."""

    def value_of(board: chess.Board) -> Expected:
        if not board.move_stack:
            return root
        if board.is_checkmate():
            return MATED
        return moves.get(board.peek().uci(), others)

    return value_of


@pytest.mark.parametrize(
    ("fen", "root", "moves", "others"),
    [
        pytest.param(CHECKMATE, MATED, {}, DRAWN, id="checkmate"),
        pytest.param(STALEMATE, DRAWN, {}, DRAWN, id="stalemate"),
        pytest.param("7k/8/5K2/8/8/8/8/6N1 w - - 0 1", DRAWN, {}, DRAWN, id="dead position"),
        pytest.param(MATE_IN_ONE, Expected(1, 1, 1), {}, DRAWN, id="mate in one"),
        pytest.param(
            MATE_IN_ONE,
            Expected(1, 1, 1),
            {"f6f7": Expected(-1, 2, 2)},
            DRAWN,
            id="the shorter of two wins",
        ),
        pytest.param(
            CAPTURE_OR_FLIGHT,
            Expected(-1, 8, 5),
            {"a8a7": Expected(1, 3, 4), "a8b8": Expected(1, 7, 7)},
            DRAWN,
            id="the longer of two losses, the capture ending its leg",
        ),
        pytest.param(
            PROMOTION,
            Expected(1, 9, 1),
            {"a7a8q": Expected(-1, 10, 10), "a1b1": Expected(-1, 8, 2)},
            DRAWN,
            id="a pawn move ends the leg though mate is nearer otherwise",
        ),
        pytest.param(
            PROMOTION,
            Expected(1, 9, 3),
            {"a1b1": Expected(-1, 8, 2)},
            DRAWN,
            id="a pawn move that throws the win away ends no leg",
        ),
        pytest.param(CAPTURE_OR_FLIGHT, DRAWN, {"a8b8": DRAWN}, Expected(1, 9, 9), id="one drawing move is enough"),
    ],
)
def test_true_values_are_accepted_and_all_others_found(
    fen: str, root: Expected, moves: dict[str, Expected], others: Expected
) -> None:
    assert disagreement(chess.Board(fen), feed(root, moves, others)) is None
    for wrong in mutations(root):
        assert disagreement(chess.Board(fen), feed(wrong, moves, others)) is not None, wrong


def mutations(value: Expected) -> list[Expected]:
    """Return values that differ in the outcome, in one distance or in a distance that should not be there."""
    dtm, dtz = value.dtm_plies, value.dtz_plies
    if dtm is None or dtz is None:
        return [Expected(1, 1, 1), Expected(-1, 0, 0), Expected(0, 1, None), Expected(0, None, 1)]
    shifted = [
        value._replace(dtm_plies=dtm + 2),
        value._replace(dtm_plies=dtm - 2),
        value._replace(dtz_plies=dtz + 1),
        value._replace(dtz_plies=dtz - 1),
    ]
    return [*shifted, DRAWN, value._replace(outcome=-value.outcome), value._replace(dtz_plies=None)]


def test_a_wrong_successor_is_found() -> None:
    board = chess.Board(CAPTURE_OR_FLIGHT)
    right = {"a8a7": Expected(1, 3, 4), "a8b8": Expected(1, 7, 7)}
    for wrong in (Expected(1, 9, 9), DRAWN, Expected(-1, 8, 8)):
        fault = disagreement(board, feed(Expected(-1, 8, 5), right | {"a8b8": wrong}))
        assert fault is not None
        assert board.fen() in fault


def test_a_decided_successor_without_distances_is_a_contradiction() -> None:
    fault = disagreement(chess.Board(ONE_REPLY), feed(Expected(-1, 2, 2), {"h8g8": Expected(1, None, None)}))
    assert fault is not None
    assert "without distances" in fault


def test_the_position_is_left_as_it_was() -> None:
    board = chess.Board(MATE_IN_ONE)
    disagreement(board, feed(Expected(1, 1, 1), {}))
    assert board == chess.Board(MATE_IN_ONE)
    assert not board.move_stack
