"""What no sample goes without: all mates and stalemates, positions before them, every distance, every row."""

from __future__ import annotations

from random import Random

import chess
import numpy as np
import pytest

from matebot.commands import verify
from matebot.solver.codes import DRAW
from matebot.solver.material import COVERED, Material
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables
from matebot.verification import pointed, successors
from matebot.verification.agreement import examine
from matebot.verification.positions import every, kings, sample
from tests.counting import counts, every_day
from tests.witness.positions import men_of
from tests.witness.whole import placements, stuck

SIDES = [True, False]


def key(board: chess.Board) -> tuple[str, bool]:
    return board.board_fen(), board.turn


def ends(ending: str, pairs: list[tuple[chess.Square, chess.Square]]) -> list[tuple[str, bool]]:
    """Return the mates and stalemates with the kings on some squares, the men written first being White's."""
    men, found = men_of(ending), []
    alike = [number for number in range(1, len(men)) if men[number] == men[number - 1]]
    for white, black in pairs:
        here = placements(men, [black], [white])
        for number in alike:
            here = here[:, here[number - 1] < here[number]]
        found += [key(board) for turn in SIDES for board in stuck(men, here, turn)]
    return found


@every_day(("KQK",), ("KRK", "KBK"))
def test_every_mate_and_stalemate_of_three_men_is_found(ending: str) -> None:
    material = Material.parse(ending)
    found = [key(b) for side in SIDES for b in pointed.ends(material, side, Random(1))]
    assert sorted(found) == sorted(ends(ending, kings(material)))


@every_day(("KPK", "KBNK", "KPKP", "KRKB"), ("KPPK", "KQKR", "KQKP", "KBKN", "KNPK", "KBKP"))
def test_every_mate_and_stalemate_with_a_king_at_the_edge_is_found(ending: str) -> None:
    """Four placements of the kings, one king two steps from the other; pawns that may be captured en passant aside."""
    material = Material.parse(ending)
    near = [(a, b) for a, b in kings(material) if chess.square_distance(a, b) == 2]
    edge = chess.SquareSet(chess.BB_RANK_1 | chess.BB_RANK_8 | chess.BB_FILE_A | chess.BB_FILE_H)
    pairs = Random(2).sample([pair for pair in near if set(pair) & set(edge)], 4)
    found = {key(b) for side in SIDES for b in pointed.ends(material, side, Random(2), pairs)}
    assert found == set(ends(ending, pairs))


@counts(30, 10, "every")
@pytest.mark.parametrize("material", COVERED, ids=lambda material: material.name)
def test_positions_that_no_luck_decides_are_legal_and_ends(material: Material, every: int) -> None:
    near = [pair for pair in kings(material) if chess.square_distance(*pair) == 2]
    for side in SIDES:
        for board in pointed.ends(material, side, Random(3), near[::every]):
            assert board.is_valid()
            assert board.turn == side
            assert board.is_checkmate() or board.is_stalemate()


def test_a_position_before_leads_to_the_one_it_was_made_from() -> None:
    for fen in ("7k/6Q1/6K1/8/8/8/8/8 b - - 0 1", "k7/P7/1K6/8/8/8/8/8 b - - 0 1", "k7/8/KP6/8/8/8/8/8 w - - 0 1"):
        board = chess.Board(fen)
        earlier = list(pointed.before(board, Random(4)))
        assert earlier
        for start in earlier:
            assert start.is_valid()
            reached = set()
            for move in start.legal_moves:
                start.push(move)
                reached.add(key(start))
                start.pop()
            assert key(board) in reached


def test_every_distance_and_the_longest_wins_and_every_row_are_in_the_sample(tables: Tables) -> None:
    krk = Material.parse("KRK")
    told = list(pointed.told(tables, krk, False, Random(5)))
    distances = {tables.value(board).dtm_plies for board in told}
    codes = tables.codes(krk, False)
    assert distances == {None, *(2 * int(code) for code in set(codes[codes < DRAW].ravel().tolist()))}
    rows = {(b.king(True), b.king(False)) for b in pointed.rows(krk, False, Random(5), kings(krk))}
    assert rows == set(kings(krk))


def test_the_sample_comes_again_and_has_both_colours_strong(tables: Tables) -> None:
    krk = Material.parse("KRK")
    boards = list(pointed.pointed(tables, krk, True, "1"))
    assert boards == list(pointed.pointed(tables, krk, True, "1"))
    assert {b.turn for b in boards} == {True, False}


def test_a_sample_of_a_large_ending_asks_for_no_whole_table(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    krkn = Material.parse("KRKN")
    total = verify._positions(tables, krkn)
    for module in (pointed, successors, verify):
        monkeypatch.setattr(module, "is_large", lambda material: True)
    monkeypatch.setattr(tables, "codes", refuse)
    monkeypatch.setattr(pointed, "_ENDS", 100)
    assert verify._positions(tables, krkn) == pytest.approx(total, rel=0.1)
    boards = [board for side in SIDES for board in pointed.pointed(tables, krkn, side, "1")]
    found = examine([*boards, *sample(krkn, 200, "1")], successors.TablePlaces(tables))
    assert found.positions > 700
    assert found.faults == 0, found.shown


def refuse(*asked: object) -> None:
    raise AssertionError("expected that no whole table is asked for")


def test_a_wrong_code_in_a_row_that_is_read_alone_is_found(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    krk = Material.parse("KRK")
    wrong = Tables()
    codes = tables.codes(krk, True).copy()
    wrong.prepare(krk)
    solution = wrong._endings[krk].solution
    assert solution is not None
    where = np.argwhere((codes > 3) & (codes < DRAW))[50]
    codes[tuple(where)] -= 1
    solution.metrics[0][True][...] = codes
    for module in (pointed, successors, verify):
        monkeypatch.setattr(module, "is_large", lambda material: True)
    found = examine(every(krk, REDUCTION[False].home[where[0]], int(where[1])), successors.TablePlaces(wrong))
    assert found.faults >= 1
