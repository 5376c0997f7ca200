"""What endings of five men need: names, men that are alike, where nobody can move; a few solved, on request."""

from __future__ import annotations

from pathlib import Path
from random import Random

import chess
import numpy as np
import pytest

from matebot.games.positions import Wish, _table
from matebot.method.library import Library
from matebot.solver.batches import Batches
from matebot.solver.codes import DRAW, ILLEGAL, MOST, flipped
from matebot.solver.material import COVERED, FIVE_MEN, Material, _promotions, closure
from matebot.solver.names import UnknownEnding, ending_named
from matebot.solver.tables import Tables
from matebot.verification.agreement import examine
from matebot.verification.ends import stuck
from matebot.verification.positions import every, placed, sample
from matebot.verification.successors import TablePlaces
from tests.five_men import five

KBBBK, KPPKP = five("KBBBK"), five("KPPKP")


def test_there_are_110_endings_of_five_men() -> None:
    """Three of five kinds against a bare king: 35; two of five kinds against one: 15 times 5."""
    assert len(set(FIVE_MEN)) == 110
    assert sum(not material.black for material in FIVE_MEN) == 35
    assert not set(FIVE_MEN) & set(COVERED)
    assert all(Material.of(material.white, material.black) == (material, False) for material in FIVE_MEN)


def test_what_an_ending_leads_to_is_solved_before_it() -> None:
    for material in FIVE_MEN:
        ordered = closure(material)
        assert ordered[-1] == material
        for place, other in enumerate(ordered):
            assert set(other.children()) <= set(ordered[:place])
    assert {m.name for m in closure(five("KRNKR"))} == {"KRK", "KNK", "KRNK", "KRKR", "KRKN", "KRNKR"}


def test_five_men_go_by_names_like_others_and_more_men_by_none() -> None:
    assert ending_named("knrkr").material == five("KRNKR")
    assert ending_named("bishop against two pawns").turned
    with pytest.raises(UnknownEnding, match="with at most three men beside the kings"):
        ending_named("KRNKRN")


def test_colours_are_never_exchanged_on_the_way_to_five_men() -> None:
    """White has more men whatever is promoted, so White's longest wins are never to be written as Black's."""
    for material in FIVE_MEN:
        for white, black in _promotions(material.white, material.black):
            child, swapped = Material.of(white, black)
            assert child in FIVE_MEN
            assert not swapped


def test_positions_that_the_lesser_side_wins_are_found_whatever_the_other_side_wins(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The longest wins White has codes for have none of Black's, and do not matter here."""
    codes = np.array([0, MOST[True], MOST[True] - 1, DRAW, 200, 254, ILLEGAL], np.uint8)
    with pytest.raises(OverflowError, match="expected wins in at most"):
        flipped(codes)
    library = Library(Tables(largest=5))
    monkeypatch.setattr(library.tables, "row_in_time", lambda material, side, number: codes)
    seen = _table(library, Wish(KPPKP, turned=True), True).read(0)
    assert seen.tolist() == [DRAW, DRAW, DRAW, DRAW, 54, 0, ILLEGAL]


def test_men_that_are_alike_may_change_places() -> None:
    assert [material.alike for material in (KBBBK, KPPKP, five("KRNKR"))] == [
        (slice(0, 3),),
        (slice(0, 2),),
        (),
    ]
    batches = Batches(KBBBK, Tables().codes)
    batch = np.array([[0, 0, 0], [63, 63, 63], [10, 30, 20], [20, 10, 30], [30, 20, 10]])
    (number,) = set(batches.numbers(batch).tolist())
    assert batches.squares(np.array([number])).T.tolist() == [[0, 63, 10, 20, 30]]


def test_every_position_comes_once_whatever_men_are_alike() -> None:
    seen = set()
    boards = every(KBBBK, chess.A1, chess.C2)
    for board in (next(boards) for _ in range(400)):
        assert board.fen() not in seen
        seen.add(board.fen())


@pytest.mark.parametrize("ending", ["KBBBK", "KPPKP", "KQPKR"])
def test_no_mate_and_no_stalemate_is_missed_with_five_men(ending: str) -> None:
    """Random men around a king in the corner; that nobody can move, python-chess says."""
    material, random, seen = five(ending), Random(ending), 0
    white_king, black_king = chess.C2, chess.A1
    for white_to_move in (False,):
        found = {tuple(men) for men in stuck(material, white_to_move, white_king, black_king).tolist()}
        for _ in range(4_000):
            men = [random.randrange(8, 56) if man == "P" else random.randrange(64) for man, _ in material.men]
            board = placed(material, [white_king, black_king, *men], False, white_to_move)
            if board is not None and not any(board.generate_legal_moves()):
                assert tuple(men) in found, board.fen()
                seen += 1
    assert seen > 5


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize(
    ("ending", "moves"),
    [
        ("KRNKR", 37),
        ("KBBKN", 78),
        ("KBBBK", 16),
        ("KNNKR", 3),
        ("KNNKB", 4),
        ("KNNKN", 7),
        ("KNNKP", 115),
        ("KRPKR", 74),
    ],
)
def test_the_longest_win_is_the_published_one_and_positions_agree_with_their_successors(
    ending: str, moves: int, tmp_path: Path
) -> None:
    """The lists of longest wins in endings of five men; from memory."""
    tables = Tables(tmp_path, largest=5)
    plies, _ = tables.longest(five(ending))
    assert (plies + 1) // 2 == moves
    found = examine(sample(five(ending), 2_000, "1"), TablePlaces(tables))
    assert not found.faults, found.shown
