"""Promotions into wins that the fifty-move rule forbids are worth a draw."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from matebot.solver.codes import DRAW, ILLEGAL, TOO_LONG, code_of, uniform
from matebot.solver.conversions import Conversion, _best_promotion
from matebot.solver.crew import Crew
from matebot.solver.geometry import Codes
from matebot.solver.late_legs import timed
from matebot.solver.material import Material

MATES = np.array([[3, 90, DRAW, 200, 150, ILLEGAL]], np.uint8)
IN_TIME = np.array([[5, 50, DRAW, code_of(7, False), code_of(100, False), ILLEGAL]], np.uint8)
LATE = np.array([[5, TOO_LONG, DRAW, code_of(7, False), code_of(TOO_LONG, False), ILLEGAL]], np.uint8)


@pytest.mark.parametrize(("ending", "to_move"), [("KNNKP", {True}), ("KBPKR", {False}), ("KPPKP", {True, False})])
def test_wins_too_long_are_drawn_and_only_the_sides_that_promotions_leave_to_move_are_read(
    ending: str, to_move: set[bool]
) -> None:
    material = Material.parse(ending, largest=5)
    children = [child for child in material.children() if len(child.men) == 3]
    asked = set[bool]()

    def codes(child: Material, white_to_move: bool, metric: str) -> Codes:
        assert child in children
        assert metric == "dtz"
        asked.add(white_to_move)
        return LATE if child == children[0] else IN_TIME

    table = timed(material, codes)
    assert table is not None
    assert asked == to_move
    for side in to_move:
        assert np.asarray(table(children[0], side, MATES)).tolist() == [[3, DRAW, DRAW, 200, DRAW, ILLEGAL]]
        assert table(children[1], side, MATES) is None


def test_where_no_win_is_too_long_there_is_nothing_to_change() -> None:
    assert timed(Material.parse("KNNKP", largest=5), lambda child, side, metric: IN_TIME) is None
    assert timed(Material.parse("KNNKR", largest=5), lambda child, side, metric: LATE) is None


@pytest.mark.parametrize(
    ("there", "reads"),
    [
        (None, True),
        ({DRAW, 5}, False),
        ({DRAW, code_of(TOO_LONG, True)}, True),
        ({DRAW, code_of(TOO_LONG, False)}, True),
    ],
)
def test_legs_are_read_only_where_too_long_ones_may_be_among_them(there: set[int] | None, reads: bool) -> None:
    asked = Counter[str]()

    def codes(child: Material, white_to_move: bool, metric: str) -> Codes:
        asked["read"] += 1
        return LATE

    def present(child: Material, white_to_move: bool, metric: str) -> frozenset[int] | None:
        asked[metric] += 1
        return None if there is None else frozenset(there)

    assert (timed(Material.parse("KNNKP", largest=5), codes, present) is not None) == reads
    assert asked.keys() == ({"dtz", "read"} if reads else {"dtz"})


@pytest.mark.parametrize(
    ("late", "changed"), [("", None), ("Q", 20), ("R", []), ("N", []), ("QR", DRAW), ("QN", 20), ("RBN", [])]
)
def test_a_pawn_becomes_what_wins_in_time_where_the_best_man_takes_too_long(
    late: str, changed: int | list[int] | None
) -> None:
    worth = {"Q": 10, "R": 20, "B": DRAW, "N": DRAW}

    def valued(material: Material, white_to_move: bool) -> Codes:
        assert not white_to_move
        return uniform(material, worth[material.white])

    def drawn(material: Material, white_to_move: bool, known: Codes) -> Codes | None:
        assert (known == worth[material.white]).all()
        return uniform(material, DRAW) if material.white in late else None

    crew = Crew(lambda: None)
    best, changes = _best_promotion([("P", True)], 0, valued, np.array([0, 27]), crew, drawn if late else None)
    assert set(best.reshape(-1).tolist()) == {10, ILLEGAL}
    if changed is None or isinstance(changed, list):
        assert (changes if changes is None else changes[0].tolist()) == changed
        return
    assert changes is not None
    assert changes[0].tolist() == np.flatnonzero(best == 10).tolist()
    assert set(changes[1].tolist()) == {changed}
    promotes = Conversion(True, best.copy(), (), lambda child: lambda part, rows: None, changes)
    promotes.heed_the_clock()
    assert promotes.codes.tolist() == np.where(best == 10, changed, best).tolist()
    Conversion(True, best, (), lambda child: lambda part, rows: None).heed_the_clock()
    assert set(best.reshape(-1).tolist()) == {10, ILLEGAL}
