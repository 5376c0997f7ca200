"""Single codes are read where the symmetry of the board puts them, and rows are held no longer than there is room."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from random import Random

import chess
import numpy as np
import pytest

from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.lookup import ArrayTable, Reader, Recent, Value, bare_kings
from matebot.solver.material import Material
from matebot.solver.symmetry import WHOLE_BOARD

ENDINGS = ("KRK", "KBNK", "KPK", "KBPK", "KQKP")
Place = tuple[bool, int, int]
#: The ways in which a board may be turned and reflected: left to right alone, or also along a diagonal and up to down.
REFLECTIONS: dict[str, Callable[[int], int]] = {
    "across": lambda square: square ^ 7,
    "upwards": lambda square: square ^ 56,
    "diagonally": lambda square: chess.square(chess.square_rank(square), chess.square_file(square)),
}


@cache
def contents(place: Place, length: int) -> bytes:
    return Random(str(place)).randbytes(length)


class Made:
    """A table whose rows are made by chance, each always the same; what is read is noted."""

    def __init__(self, material: Material) -> None:
        self.length = 1
        for man, _ in material.men:
            self.length *= 48 if man == "P" else 64
        self.read: list[Place] = []

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        self.read.append((white_to_move, king_class, black_king))
        return contents(self.read[-1], self.length)


def made(ending: str, recent: Recent | None = None) -> tuple[Reader, Made]:
    table = Made(Material.parse(ending))
    return Reader(Material.parse(ending), table, recent=recent), table


def images(ending: str, squares: list[int]) -> Iterator[list[int]]:
    """Yield the squares of all men turned and reflected in every way that changes no value."""
    yield squares
    ways = [*REFLECTIONS] if "P" not in ending else ["across"]
    for number in range(1, 1 << len(ways)):
        turned = squares
        for bit, way in enumerate(ways):
            if number >> bit & 1:
                turned = [REFLECTIONS[way](square) for square in turned]
        yield turned


def expected(ending: str, white_to_move: bool, squares: list[int], home: tuple[int, ...]) -> set[int]:
    """Return what may stand in the table: of the images with the white king at home one, or two on the diagonal."""
    material, found = Material.parse(ending), set()
    for king, black_king, *men in images(ending, squares):
        if king in home:
            place, length = 0, 1
            for square, (man, _) in zip(men, material.men, strict=True):
                size = 48 if man == "P" else 64
                place, length = place * size + square - (8 if man == "P" else 0), length * size
            found.add(contents((white_to_move, home.index(king), black_king), length)[place])
    return found


def placements(ending: str, count: int) -> Iterator[tuple[bool, list[int]]]:
    random, men = Random(ending), Material.parse(ending).men
    for _ in range(count):
        squares = [random.randrange(64), random.randrange(64)]
        yield random.random() < 0.5, squares + [random.randrange(*((8, 56) if m == "P" else (0, 64))) for m, _ in men]


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_code_stands_where_a_symmetry_of_the_board_puts_the_men(ending: str) -> None:
    reader, table = made(ending)
    for side, squares in placements(ending, 300):
        white_king, black_king, *men = squares
        wanted = expected(ending, side, squares, tuple(reader.home))
        assert 1 <= len(wanted) <= 2
        assert reader.code(side, white_king, black_king, tuple(men)) in wanted
        assert reader.row(side, white_king, black_king)[reader.index(white_king, tuple(men))] in wanted
    assert len(table.read) == len(set(table.read))


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_home_of_the_white_king_is_the_triangle_or_half_of_the_board(ending: str) -> None:
    home = made(ending)[0].home
    assert len(home) == len(set(home)) == (32 if "P" in ending else 10)
    assert {image[0] for square in home for image in images(ending, [square])} == set(chess.SQUARES)


@pytest.mark.parametrize("ending", ENDINGS)
def test_many_rows_or_codes_at_once_are_those_one_by_one(ending: str) -> None:
    alone, full, random = made(ending)[0], made(ending)[0], Random(1)
    for _, squares in placements(ending, 40):
        white_king, black_king, *men = squares
        others = random.sample(chess.SQUARES, 8)
        for square in chess.SQUARES:
            full.row(True, white_king, square)
            full.row(False, square, black_king)
        for reader in (full, made(ending)[0]):  # whatever has been read before
            rows = reader.rows_of_black_king(white_king, others)
            assert rows == [alone.row(True, white_king, square) for square in others]
            codes = reader.codes_of_white_king(others, black_king, tuple(men))
            assert codes == [alone.code(False, square, black_king, tuple(men)) for square in others]


@pytest.mark.parametrize("square", [chess.A1, chess.H1, chess.A8, chess.H8])
def test_a_pawn_on_the_first_or_last_rank_has_no_code_and_costs_no_reading(square: int) -> None:
    for ending, men in (("KPK", (square,)), ("KBPK", (chess.C3, square))):
        reader, table = made(ending)
        assert reader.code(True, chess.E1, chess.E8, men) == ILLEGAL
        assert reader.codes_of_white_king([chess.E1], chess.E8, men) == [ILLEGAL]
        assert reader.index(chess.E1, men) < 0
        assert not table.read
    for edge in (chess.A2, chess.H7):
        assert made("KPK")[0].index(chess.A1, (edge,)) in (0, 7, 40, 47)


def test_a_step_of_a_man_moves_its_place_by_its_stride() -> None:
    assert made("KBNK")[0].strides == [64, 1]
    assert made("KBPK")[0].strides == [48, 1]
    assert made("KQKP")[0].strides == [48, 1]


def asked(reader: Reader, *kings: int) -> None:
    for king in kings:
        reader.code(True, chess.A1, king, (chess.C3,))


def test_a_row_is_read_again_only_when_it_was_not_asked_for_through_a_whole_age() -> None:
    reader, table = made("KRK")
    asked(reader, 20, 21)
    reader.age()
    asked(reader, 20)
    assert len(table.read) == 2
    reader.age()
    asked(reader, 20, 21)
    assert [king for _, _, king in table.read] == [20, 21, 21]
    assert [king for _, _, king in made_and_aged(2).read] == [20, 20]
    assert [king for _, _, king in made_and_aged(1).read] == [20]


def made_and_aged(times: int) -> Made:
    reader, table = made("KRK")
    asked(reader, 20)
    for _ in range(times):
        reader.age()
    asked(reader, 20)
    return table


def test_rows_of_all_readers_grow_old_together_when_the_younger_ones_fill_half_of_the_room() -> None:
    """A row of 64 codes counts as 264 bytes; three of them are room for the younger."""
    recent = Recent(6 * 264)
    (one, first), (other, second) = made("KRK", recent), made("KQK", recent)
    asked(one, 20, 21)
    asked(other, 30)
    asked(one, 20, 21)
    assert (len(first.read), len(second.read)) == (2, 1)
    asked(other, 31)  # the fourth makes old what is there, itself too
    asked(one, 22, 23)
    asked(other, 31)
    assert (len(first.read), len(second.read)) == (4, 2)
    asked(other, 32)  # the fourth of the next age: what was not asked for since is gone
    asked(one, 20)
    asked(other, 30, 31)
    assert ([king for _, _, king in first.read], [king for _, _, king in second.read]) == (
        [20, 21, 22, 23, 20],
        [30, 31, 32, 30],
    )
    recent.forget()
    asked(one, 20)
    asked(other, 31)
    assert (len(first.read), len(second.read)) == (6, 5)


def test_a_leg_is_looked_up_once_and_only_when_it_is_asked_for() -> None:
    times = list[int]()

    def leg() -> int:
        times.append(1)
        return 4

    value = Value(-1, 6, leg)
    assert not value.is_late()
    assert not times
    assert (value.dtz_plies, value.dtz_plies, len(times)) == (4, 4, 1)
    assert value == Value(-1, 6, 4)
    assert hash(value) == hash(Value(-1, 6, lambda: 4))
    assert all(value != other for other in (Value(1, 6, 4), Value(-1, 8, 4), Value(-1, 6, 2), (-1, 6, 4), None))
    assert repr(value) == "Value(-1, 6, 4)"


def test_a_win_is_late_where_neither_mate_nor_leg_comes_by_the_hundredth_ply() -> None:
    """Source: FIDE Laws of Chess, 9.3 and 9.6.2."""
    assert [clock for clock in range(110) if Value(1, 9, 5).is_late(clock)] == [*range(96, 110)]
    assert [clock for clock in range(110) if Value(1, 5, 5).is_late(clock)] == [*range(96, 110)]
    assert [clock for clock in range(110) if Value(1, 1, 1).is_late(clock)] == [*range(100, 110)]
    assert not any(Value(0, None, None).is_late(clock) for clock in (0, 100, 101))


def test_arrays_are_read_row_by_row_and_with_the_symmetry_they_were_made_with() -> None:
    codes = {side: np.random.default_rng(side).integers(0, 255, (64, 64, 64), np.uint8) for side in (False, True)}
    table = ArrayTable(codes)
    reader = Reader(Material.parse("KRK"), table, WHOLE_BOARD)
    for side, (white_king, black_king, rook) in placements("KRK", 100):
        assert reader.code(side, white_king, black_king, (rook,)) == codes[side][white_king, black_king, rook]
        assert table.row(side, white_king, black_king) is table.row(side, white_king, black_king)
    assert table.codes is codes


def test_kings_alone_are_drawn_and_never_stand_side_by_side() -> None:
    for white, black in ((white, black) for white in chess.SQUARES for black in chess.SQUARES):
        assert bare_kings(white, black) == (ILLEGAL if chess.square_distance(white, black) < 2 else DRAW)
