"""Legs found slab by slab, held against a slower route that takes all legs for in time first."""

from __future__ import annotations

from collections import Counter

import chess
import numpy as np
import pytest

from matebot.solver import legs as module
from matebot.solver.attractor import Attractor, Distances
from matebot.solver.codes import DRAW, TOO_LONG
from matebot.solver.crew import Crew
from matebot.solver.geometry import Codes
from matebot.solver.legs import Known, Legs, _levels, _Slab
from matebot.solver.lookup import ArrayTable, Reader
from matebot.solver.material import FIVE_MEN, Material
from matebot.solver.placement import Placement
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


def _repeated(finder: Legs, winner: bool, known: Known) -> dict[bool, Distances]:
    """Return the legs in time: all are taken for that first, until the rest bear each other out."""
    attractor, loser = finder._attractor, not winner
    whole = _Slab(attractor, finder._crew, lambda plies: None, (slice(None),) * len(attractor.placement.shape))
    in_time = {side: known[side][winner] for side in (True, False)}
    while True:
        late = known[winner][winner] & ~in_time[winner]
        zeroing, spoiling = finder._zeroing(winner, in_time[loser]), finder._spoiling(winner, late)
        legs = whole.legs(winner, known, zeroing, spoiling)
        if not any((in_time[side] & ~legs[side].known[winner]).any() for side in (True, False)):
            return legs
        in_time = {side: legs[side].known[winner] for side in (True, False)}


@pytest.mark.parametrize("too_long", [4, 9, 101])
@pytest.mark.parametrize(
    "ending", ["KPK", "KRK", *(pytest.param(name, marks=pytest.mark.exhaustive) for name in ("KPKP", "KNPK", "KRKP"))]
)
def test_legs_by_slabs_are_those_that_bear_each_other_out(
    ending: str, too_long: int, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a short limit many legs are too long, as with five men."""
    monkeypatch.setattr(module, "TOO_LONG", too_long)
    material, crew = Material.parse(ending), Crew()
    attractor = Attractor(Placement(material), tables.codes, crew)
    shape = attractor.placement.shape
    mates = {side: Distances(shape) for side in (True, False)}
    winners = (True, False) if material.black else (True,)
    for winner in winners:
        attractor.grow(winner, mates)
    known = {side: mates[side].known for side in (True, False)}
    finder, legs = Legs(attractor, crew, lambda plies: None), {side: Distances(shape) for side in (True, False)}
    late = 0
    for winner in winners:
        finder.add(winner, known, legs)
        expected = _repeated(finder, winner, known)
        for side in (True, False):
            left = known[side][winner] & ~expected[side].known[winner]
            late += int(np.bitwise_count(left).sum())
            expected[side].add(left, winner, too_long)
            assert (legs[side].known[winner] == known[side][winner]).all()
            for place, digit in enumerate(expected[side].digits):
                assert (legs[side].digits[place] & known[side][winner] == digit).all()
    assert (late > 0) == (too_long < 100)


def test_a_pawn_move_leads_into_a_slab_that_has_come_before() -> None:
    for material in FIVE_MEN:
        pawns = [(axis, white) for axis, (man, white) in enumerate(material.men) if man == "P"]
        placement = Placement.__new__(Placement)
        placement.men, placement.shape = material.men, tuple(64 for _ in range(4))
        seen = set[tuple[int, ...]]()
        for cuts in _levels(placement):
            now = [tuple(cut[axis].start // 8 for axis, _ in pawns) for cut in cuts]
            for ranks in now:
                for number, (_, white) in enumerate(pawns):
                    further = ranks[number] + (1 if white else -1)
                    if 0 <= further < 6:
                        assert (*ranks[:number], further, *ranks[number + 1 :]) in seen
            seen.update(now)
        assert len(seen) == 6 ** len(pawns)


def heard(ending: str, tables: Tables) -> list[int]:
    """Return what is told between layers or slabs while the legs of an ending are found."""
    material, crew, told = Material.parse(ending), Crew(), list[int]()
    attractor = Attractor(Placement(material), tables.codes, crew)
    mates, legs = ({side: Distances(attractor.placement.shape) for side in (True, False)} for _ in range(2))
    attractor.grow(True, mates)
    Legs(attractor, crew, told.append).add(True, {side: mates[side].known for side in (True, False)}, legs)
    return told


def test_layers_are_told_without_pawns_and_slabs_with_them(tables: Tables) -> None:
    """Source for the 32 plies of king and rook with the other side to move: handbooks, from memory."""
    assert heard("KRK", tables) == [*range(1, 32 + 1)]
    assert heard("KPK", tables) == [0] * 6


def test_a_capture_into_a_win_that_comes_too_late_saves_the_loser(tables: Tables) -> None:
    """With two rooks a king may take one; here the win of the other counts as none from eleven moves on."""
    material, most = Material.parse("KRRK"), 10

    def in_time(child: Material, white_to_move: bool) -> Codes:
        codes = tables.codes(child, white_to_move)
        return np.where((codes < DRAW) & (codes > most), np.uint8(DRAW), codes)

    crew, placement = Crew(), Placement(material)
    mates, legs = ({side: Distances(placement.shape) for side in (True, False)} for _ in range(2))
    Attractor(placement, tables.codes, crew).grow(True, mates)
    attractor = Attractor(placement, in_time, crew)
    Legs(attractor, crew, lambda plies: None).add(True, {side: mates[side].known for side in (True, False)}, legs)
    found = Reader(material, ArrayTable({side: legs[side].reduced(attractor.legal[side]) for side in (True, False)}))
    tally = Counter[bool]()
    for board in random_positions("KRRK", 3_000, seed=5):
        captures = list(board.generate_legal_captures())
        if not captures or tables.value(board).outcome != -1:
            continue
        stand, _ = tables.stand(board)
        rests = []
        for move in captures:
            board.push(move)
            rests.append((tables.value(board).dtm_plies or 0) // 2 + 1)
            board.pop()
        late = max(rests) > most
        leg = found.code(False, stand.white_king, stand.black_king, stand.men)
        assert (leg == TOO_LONG) == late, board.fen()
        tally[late] += 1
        if min(tally[True], tally[False]) > 3:
            return
    raise AssertionError(f"expected four of either kind, found {tally}")


def test_a_leg_may_end_with_the_only_move_of_the_loser(tables: Tables) -> None:
    """After Rg2 the king must take it, and the other rook wins (worked out by hand: no move mates at once)."""
    board = chess.Board("8/8/8/R5R1/8/2K5/8/7k w - - 0 1")
    assert tables.value(board).dtz_plies == 2
    board.push_uci("g5g2")
    assert [move.uci() for move in board.legal_moves] == ["h1g2"]
    assert (tables.value(board).outcome, tables.value(board).dtz_plies) == (-1, 1)
