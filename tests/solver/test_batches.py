"""Moves of whole batches are those of single positions, and lead to the same values."""

from __future__ import annotations

from collections import Counter
from random import Random

import chess
import numpy as np
import pytest

import matebot.solver.batches as module
from matebot.solver.batches import Batches, TooMuchWork
from matebot.solver.codes import ILLEGAL
from matebot.solver.lookup import CanonicalPosition, Row
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.witness.positions import board_of, random_positions

ENDINGS = ["KRK", "KBNK", "KQKR", "KPK", "KQKP", "KBPK", "KPKP", "KNNK"]


def stands_of(tables: Tables, ending: str, count: int) -> list[CanonicalPosition]:
    """Return random positions in canonical form, either side to move, no capture en passant pending."""
    return [tables.stand(board)[0] for board in random_positions(ending, count, seed=21)]


@pytest.mark.parametrize("ending", ENDINGS)
def test_every_move_of_a_batch_is_one_of_the_position_and_the_other_way_round(tables: Tables, ending: str) -> None:
    batches = Batches(Material.parse(ending), tables.codes)
    for white in (True, False):
        stands = [stand for stand in stands_of(tables, ending, 100) if stand.white_to_move == white]
        batch = batches.of(stands)
        after, parents = batches.quiet(batch, white)
        codes = batches.codes(after, not white)
        legal = codes != ILLEGAL
        got = [Counter[object]() for _ in stands]
        for parent, squares, code in zip(parents[legal], after[:, legal].T.tolist(), codes[legal], strict=True):
            got[parent][(*squares, int(code))] += 1
        leaving, whose = batches.zeroing(batch, white)
        for parent, code in zip(whose, leaving.tolist(), strict=True):
            got[parent][code] += 1
        for stand, found in zip(stands, got, strict=True):
            expected = Counter[object]()
            for step in tables.steps(stand):
                child = step.child
                squares = (child.white_king, child.black_king, *child.men, step.code)
                expected[step.code if step.zeroing else squares] += 1
            assert found == expected, stand


@pytest.mark.parametrize("man", ["P", "N", "B", "R", "Q"])
def test_only_a_pawn_beside_it_takes_a_pawn_that_has_made_a_double_step(tables: Tables, man: str) -> None:
    """Nor may the step be made where that pawn gives check: what it would take does not matter then."""
    ending, random, stands = f"K{man}KP", Random(f"beside {man}"), list[CanonicalPosition]()
    while len(stands) < 40:
        board = chess.Board(None)
        squares = random.sample([s for s in chess.SQUARES if s not in (chess.D5, chess.E5, chess.E6, chess.E7)], 2)
        men = zip((*squares, chess.D5, chess.E7), ("K", "k", man, "p"), strict=True)
        for square, sign in men:
            board.set_piece_at(square, chess.Piece.from_symbol(sign))
        board.turn = chess.BLACK
        if board.is_valid():
            stands.append(tables.stand(board)[0])
    stands = [
        stand for stand in stands if not stand.white_to_move and str(stand.material) == str(Material.parse(ending))
    ]
    batches = Batches(Material.parse(ending), tables.codes)
    codes, whose = batches.zeroing(batches.of(stands), False)
    for number, stand in enumerate(stands):
        expected = sorted(step.code for step in tables.steps(stand) if step.zeroing)
        assert sorted(codes[whose == number].tolist()) == expected, stand


def quiet_moves_to(stand: CanonicalPosition) -> list[list[int]]:
    """Return where the men stood before each quiet move of a king or a piece that leads here, by python-chess."""
    assert stand.material is not None
    men = [(chess.KING, True), (chess.KING, False)]
    men += [(chess.PIECE_SYMBOLS.index(man.lower()), colour) for man, colour in stand.material.men]
    squares, mover = [stand.white_king, stand.black_king, *stand.men], not stand.white_to_move
    here, found = board_of(men, squares, mover), []
    for number, (man, colour) in enumerate(men):
        if colour == mover and man != chess.PAWN:
            for origin in here.attacks(squares[number]) & ~here.occupied:
                before = [*squares[:number], origin, *squares[number + 1 :]]
                if not board_of(men, before, mover).was_into_check():
                    found.append(before)
    return sorted(found)


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_way_back_is_that_of_the_chess_library(tables: Tables, ending: str) -> None:
    batches = Batches(Material.parse(ending), tables.codes)
    for white in (True, False):
        stands = [stand for stand in stands_of(tables, ending, 60) if stand.white_to_move != white]
        before, parents = batches.quiet(batches.of(stands), white)
        legal = batches.codes(before, white) != ILLEGAL
        for number, stand in enumerate(stands):
            found = sorted(before[:, legal & (parents == number)].T.tolist())
            assert found == quiet_moves_to(stand)


def test_numbers_and_squares_are_the_same_position(tables: Tables) -> None:
    for ending in ("KRK", "KBNK"):
        batches = Batches(Material.parse(ending), tables.codes)
        batch = batches.of(stands_of(tables, ending, 50))
        assert np.array_equal(batches.squares(batches.numbers(batch)), batch)


def test_men_that_are_alike_have_one_number_in_either_order(tables: Tables) -> None:
    batches, stands = Batches(Material.parse("KNNK"), tables.codes), stands_of(tables, "KNNK", 20)
    turned = [stand._replace(men=stand.men[::-1]) for stand in stands]
    assert [batches.number(stand) for stand in stands] == [batches.number(stand) for stand in turned]
    for order in (stands, turned):
        assert batches.numbers(batches.of(order)).tolist() == [batches.number(stand) for stand in order]


@pytest.mark.parametrize("parted", [False, True])
@pytest.mark.parametrize("ending", ["KBNK", "KPKP"])
def test_codes_read_row_by_row_are_those_of_the_whole_table(
    ending: str, parted: bool, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As with five men, here for an ending of four; a parted row gives one code at a time."""

    def row(material: Material, white_to_move: bool, king_class: int, black_king: int) -> Row:
        whole = tables.row(material, white_to_move, king_class, black_king)
        return [whole[place] for place in range(len(whole))] if parted else whole

    whole, by_rows = (Batches(Material.parse(ending), tables.codes, given) for given in (None, row))
    batch = whole.of(stands_of(tables, ending, 200))
    expected = {white: (whole.codes(batch, white), whole.zeroing(batch, white)[0]) for white in (True, False)}
    monkeypatch.setattr(module, "is_large", lambda material: len(material.men) > 1)
    for white, (codes, zeroing) in expected.items():
        assert np.array_equal(by_rows.codes(batch, white), codes)
        assert np.array_equal(by_rows.zeroing(batch, white)[0], zeroing)
        assert by_rows.codes(batch[:, :0], white).tolist() == []
    assert not {key for key in by_rows._flat if len(key[0].men) > 1}


def test_looking_into_rows_of_five_men_is_allowed_by_the_rows_not_by_the_positions(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    material = Material.parse("KRNKR", largest=5)
    monkeypatch.setattr(module, "_LOOK", 1)
    monkeypatch.setattr(module, "_PART", 100)
    batches = Batches(material, lambda material, white: np.empty(0, np.uint8), lambda *place: SomeRow())
    near = np.array([[0] * 8, [63] * 8, [9] * 8, [20] * 8, list(range(30, 38))])  # only the last man moves
    far = np.array([[0] * 8, list(range(40, 48)), [9] * 8, [20] * 8, [30] * 8])  # the weak king moves
    batches.allow(300)
    batches.codes(near, True)
    batches.codes(near, True)
    with pytest.raises(TooMuchWork):
        batches.codes(far, True)
    batches.allow(None)
    assert set(batches.codes(far, True).tolist()) == {7}
    batches.allow(8 * 101)
    batches.codes(far, True)
    with pytest.raises(TooMuchWork):
        batches.codes(far, True)


class SomeRow:
    """A row that is not held whole."""

    def __getitem__(self, place: int, /) -> int:
        return 7

    def __len__(self) -> int:
        return 0
