"""Rows in the form they are packed in: what is left out is told again from the squares alone."""

from __future__ import annotations

from math import comb
from random import Random

import chess
import numpy as np
import pytest

from matebot.solver.codes import DRAW, ILLEGAL, squares_of
from matebot.solver.material import Material
from matebot.solver.row_form import row_form
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables


def _is_position(material: Material, squares: list[int], white_to_move: bool) -> bool:
    """Whether all men have squares of their own and the side that has moved is not in check."""
    board = chess.Board(None)
    for square, (man, white) in zip(squares, [("K", True), ("K", False), *material.men], strict=True):
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
    board.turn = white_to_move
    return len(set(squares)) == len(squares) and not board.was_into_check()


@pytest.mark.parametrize("ending", ["KRKN", "KBBK", "KPK"])
def test_a_row_made_short_and_whole_again_is_the_same(ending: str, tables: Tables) -> None:
    material, random = Material.parse(ending), Random(ending)
    form, home = row_form(material), REDUCTION[material.has_pawns].home
    for side in (True, False):
        codes = tables.codes(material, side)
        for _ in range(40):
            king, black_king = random.randrange(len(home)), random.randrange(64)
            row = codes[king, black_king].reshape(-1)
            if (row != ILLEGAL).any():
                short = form.short(row)
                assert ILLEGAL not in short[short.tolist().index(DRAW) if DRAW in short else -1 :]
                assert (form.whole(short, side, home[king], black_king) == row).all()


@pytest.mark.parametrize("ending", ["KRNKR", "KQBKP", "KPPKP", "KBBBK"])
def test_with_five_men_the_placements_that_are_no_positions_are_those_of_python_chess(ending: str) -> None:
    material, random = Material.parse(ending, largest=5), Random(ending)
    form, home = row_form(material), REDUCTION[material.has_pawns].home
    squares, seen = [squares_of(man) for man, _ in material.men], {True: 0, False: 0}
    for side in (True, False):
        for _ in range(6):
            white_king, black_king = random.choice(home), random.randrange(64)
            if chess.square_distance(white_king, black_king) < 2:
                continue
            row = form.whole(np.full(form.size, DRAW, np.uint8), side, white_king, black_king)
            row = row.reshape([len(one) for one in squares])
            for _ in range(150):
                at = [random.randrange(len(one)) for one in squares]
                men = [int(one[place]) for one, place in zip(squares, at, strict=True)]
                legal = _is_position(material, [white_king, black_king, *men], side)
                assert (row[tuple(at)] != ILLEGAL) == legal, (white_king, black_king, men)
                seen[legal] += 1
    assert min(seen.values()) > 100


def test_of_men_that_are_alike_one_order_is_kept() -> None:
    assert row_form(Material.parse("KBBBK", largest=5)).size == comb(64, 3)
    assert row_form(Material.parse("KPPKP", largest=5)).size == comb(48, 2) * 48
    assert row_form(Material.parse("KRNKR", largest=5)).size == 64**3
