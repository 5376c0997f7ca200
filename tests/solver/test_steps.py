"""Moves and the values they lead to, walked by plain integers: held against python-chess's moves."""

from __future__ import annotations

import chess
import pytest

from matebot.play.ranking import square_order
from matebot.solver.codes import DRAW, deepen, undeepen, white_wins
from matebot.solver.lookup import CanonicalPosition, Reader
from matebot.solver.material import Material
from matebot.solver.successors import Successors
from matebot.solver.tables import Tables, move_of
from tests.ideas.claims import near_positions
from tests.witness.positions import random_en_passant_positions, random_positions

ENDINGS = ("KBNK", "KQKR", "KPK", "KPKP", "KRKP", "KBBK", "KK")


#: A double step beside a pawn, and kings that may go to the square a pawn has just passed, which captures nothing.
PASSING = (
    "7k/8/8/8/3p4/8/4P3/K7 w - - 0 1",
    "8/8/8/8/3pP3/5k2/8/K7 b - e3 0 1",
    "k7/8/5K2/3Pp3/8/8/8/8 w - e6 0 1",
)


def boards(ending: str) -> list[chess.Board]:
    """Return positions with a move, captures en passant among them."""
    found = [*random_positions(ending, 40, 1), *random_en_passant_positions(30 if ending == "KPKP" else 0, 1)]
    found += [chess.Board(fen) for fen in PASSING if ending == "KPKP"]
    return [board for board in found if any(board.legal_moves)]


def where(stand: CanonicalPosition) -> tuple[object, ...]:
    """Return a position without the order of men that are alike, and kings alone without their colours."""
    white, white_king, black_king = stand[1:4]
    if stand.material is None:
        return (white_king, black_king) if white else (black_king ^ 56, white_king ^ 56)
    return stand[:4], sorted(zip(stand.material.men, stand.men, strict=True))


@pytest.mark.parametrize("ending", ENDINGS)
def test_every_legal_move_is_walked_and_told_the_worth_of_where_it_leads(tables: Tables, ending: str) -> None:
    for board in boards(ending):
        stand, turned = tables.stand(board)
        steps = {move_of(step, turned): step for step in tables.steps(stand)}
        assert set(steps) == set(board.legal_moves), board.fen()
        for move, step in steps.items():
            after = board.copy(stack=False)
            after.push(move)
            value = tables.value(after)
            winner = None if step.code == DRAW else white_wins(step.code) == stand.white_to_move
            assert value.outcome == (0 if winner is None else -1 if winner else 1), (board.fen(), move)
            assert step.mate_plies == value.dtm_plies, (board.fen(), move)
            assert step.zeroing == board.is_zeroing(move)
            there, _ = tables.stand(after)
            assert where(step.child) == where(there), (board.fen(), move)
            assert step.child.passed == there.passed or not after.has_legal_en_passant(), (board.fen(), move)


@pytest.mark.parametrize("ending", ENDINGS)
def test_what_moves_lead_to_is_told_alike_with_and_without_the_positions(tables: Tables, ending: str) -> None:
    for board in boards(ending):
        stand, turned = tables.stand(board)
        steps = tables.steps(stand, turned)
        told = [(step.source, step.target, step.promotion, step.code) for step in steps]
        assert tables.successors.codes(stand, turned) == told, board.fen()
        if stand.material is not None:
            best = (min if stand.white_to_move else max)(step.code for step in steps)
            assert list(tables.successors.all_best(stand, turned)) == [step for step in steps if step.code == best]


@pytest.mark.parametrize("ending", ENDINGS[:-1])
def test_the_best_move_walked_is_the_first_of_the_best_in_the_order_of_squares(tables: Tables, ending: str) -> None:
    for board in boards(ending):
        stand, turned = tables.stand(board)
        steps = {move_of(step, turned): step for step in tables.steps(stand)}
        best = (min if stand.white_to_move else max)(step.code for step in steps.values())
        wanted = min(
            (move for move, step in steps.items() if step.code == best),
            key=lambda move: square_order(move.from_square, move.to_square, move.promotion),
        )
        found = tables.successors.best(stand, turned)
        assert (move_of(found, turned), found) == (wanted, steps[wanted]), board.fen()


@pytest.mark.parametrize("ending", [*ENDINGS[:-1], "KQK", "KRKR"])
def test_whether_there_is_a_move_is_what_python_chess_says(tables: Tables, ending: str) -> None:
    near = near_positions(ending, 300, 2)
    able = [tables.successors.can_move(tables.stand(board)[0]) == any(board.legal_moves) for board in near]
    assert all(able)


@pytest.mark.parametrize("fen", ["8/8/4k3/8/2R5/8/1N2K3/r7 w - - 0 1", "4k3/8/3R4/8/8/2N1K3/8/r7 b - - 0 1"])
def test_no_row_is_read_to_see_that_a_king_can_move(fen: str) -> None:
    def refuse(material: Material) -> Reader:
        raise AssertionError("expected that no row is asked for")

    stand, _ = Tables(largest=5).stand(chess.Board(fen))
    assert Successors(refuse).can_move(stand)


def test_the_best_move_of_a_mated_side_is_an_error(tables: Tables) -> None:
    mated = chess.Board("k7/1Q6/1K6/8/8/8/8/8 b - - 0 1")
    with pytest.raises(ValueError, match="expected a position with a move"):
        tables.successors.best(*tables.stand(mated))


@pytest.mark.parametrize("white_moves", [True, False])
def test_the_code_a_best_move_leads_to_is_undone_by_its_move(white_moves: bool) -> None:
    for code in range(2, 253):
        assert deepen(undeepen(code, white_moves), white_moves) == code
