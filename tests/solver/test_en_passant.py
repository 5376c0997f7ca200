"""What captures en passant do to sets, held against python-chess's captures and what they lead to.

With king and pawn against king and pawn the side captured from has a bare king left, so nothing is forced there. With
more men the capture may lose, be the only move, or be one of two.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial
from random import Random
from types import SimpleNamespace
from typing import cast

import chess
import numpy as np
import pytest

from matebot.solver.attractor import Attractor
from matebot.solver.codes import squares_of
from matebot.solver.conversions import EnPassant
from matebot.solver.geometry import Words
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables
from matebot.terms import attacker_moves
from tests.witness.positions import board_of

HOME = REDUCTION[True].home
COUNT = 250


def axes_only(material: Material) -> Placement:
    """Return what the captures need of a placement; its sets of checks would take a second."""
    at = [squares_of(man) for man, _ in material.men]
    shape = (*map(len, at), len(HOME))
    given = SimpleNamespace(men=material.men, at=[*at, np.array(HOME)], shape=shape, king_axis=len(at))
    return cast("Placement", given)


class Landing:
    """The moves of an attractor that know of one pawn's double steps alone: sets are what they are made of there.

    Attributes
    ----------
    landed : what each of its double steps was taken back from
    done : whose steps were taken back, pawns by their axes
    """

    def __init__(self, placement: Placement, captures: EnPassant, pushed: int, stalemates: dict[bool, Words]) -> None:
        self.landed, self.done, out = list[Words](), list[int | str](), np.zeros(1, np.uint64)

        def before(*_: object, pawns: bool, among: object = None) -> None:
            self.done.append("pawns" if pawns else "not pawns")

        def double_step(landed: Words, axis: int, back: Words) -> None:
            if axis == pushed and back is out:
                self.landed.append(landed)

        def only(asked: Callable[..., Words]) -> Callable[..., Words]:
            return lambda part, *given: asked(part, *given) if given[-3] == pushed else part

        moves = SimpleNamespace(
            before=before,
            pawn_step=lambda part, axis, back: self.done.append(axis),
            landed=lambda part, axis: part,
            double_step=double_step,
        )
        given = SimpleNamespace(
            placement=placement,
            moves=moves,
            en_passant=SimpleNamespace(active=captures.active, lost=only(captures.lost), won=only(captures.won)),
            sets=SimpleNamespace(empty=lambda shape: out),
            _stalemates=stalemates.__getitem__,
        )
        for name in ("pawns_before_lost", "pawns_before_open"):
            setattr(given, name, partial(getattr(Attractor, name), given))
        self.attractor = cast("Attractor", given)


def just_pushed(material: Material, pushed: int, random: Random) -> Iterator[tuple[chess.Board, tuple[int, ...]]]:
    """Yield positions after a double step that has been made beside a pawn of the other side, and the men's squares."""
    pusher = material.men[pushed][1]
    takers = [i for i, man in enumerate(material.men) if man == ("P", not pusher)]
    rank, behind = (3, -8) if pusher else (4, 8)
    men = [(chess.PIECE_SYMBOLS.index(man.lower()), colour) for man, colour in material.men]
    while True:
        squares = [random.choice(squares_of(man).tolist()) for man, _ in material.men]
        file = random.randrange(8)
        squares[pushed] = chess.square(file, rank)
        for taker, side in zip(takers, random.sample([-1, 1], len(takers)), strict=True):
            if 0 <= file + side < 8:
                squares[taker] = chess.square(file + side, rank)
        kings = random.choice(HOME), random.choice(chess.SQUARES)
        passed = squares[pushed] + behind
        everybody = [(chess.KING, True), (chess.KING, False), *men]
        board = board_of(everybody, [*kings, *squares], not pusher, passed)
        if chess.popcount(board.occupied) == len(everybody) and board.is_valid():
            yield board, (*squares, *kings)


@pytest.mark.parametrize("ending", ["KPKP", "KPPKP", "KQPKP"])
def test_a_double_step_achieves_what_the_captures_leave_of_it(tables: Tables, ending: str) -> None:
    material, random, seen = Material.parse(ending, largest=5), Random(ending), Counter[tuple[int, bool]]()
    placement = axes_only(material)
    captures = EnPassant(placement, tables.codes)
    pawns = [axis for axis, (man, _) in enumerate(material.men) if man == "P"]
    for pushed in pawns:
        pusher, high = material.men[pushed][1], random.randrange(8, 16)
        shape = tuple(8 if axis == pushed else size for axis, size in enumerate(placement.shape))
        bits = np.random.default_rng(pushed)
        part, *halves = (bits.integers(0, 1 << 63, shape, np.uint64) for _ in range(3))
        beaten = halves[0] | halves[1]
        side = Landing(placement, captures, pushed, dict(zip((not pusher, pusher), (halves[1], ~beaten), strict=True)))
        back = Attractor.before_lost(side.attractor, part, halves[0], pusher, high)
        lost = side.landed.pop()
        assert Attractor.before_open(side.attractor, part, not pusher, high) is back
        open_ = side.landed.pop()
        assert side.done == 2 * ["not pawns", *(axis for axis in pawns if material.men[axis][1] == pusher)]
        positions = just_pushed(material, pushed, random)
        for board, squares in (next(positions) for _ in range(COUNT)):
            plies = [value(board, move, tables) for move in board.legal_moves if board.is_en_passant(move)]
            seen[len(plies), any(found > 0 for found in plies)] += 1
            there = is_there(part, placement, pushed, squares)
            if plies:
                within = all(found > 0 and attacker_moves(found, True) <= high for found in plies)
                assert is_there(lost, placement, pushed, squares) == (
                    within and is_there(beaten, placement, pushed, squares)
                ), board.fen()
            else:
                assert is_there(lost, placement, pushed, squares) == there
            wins = any(found < 0 and attacker_moves(-found, False) <= high for found in plies)
            assert is_there(open_, placement, pushed, squares) == (there and not wins), board.fen()
    assert seen[1, False] > 50
    assert (seen[1, True] > 5) == (ending != "KPKP")
    assert (seen[2, False] + seen[2, True] > 5) == (ending == "KPPKP")


def value(board: chess.Board, move: chess.Move, tables: Tables) -> int:
    """Return the plies to mate after a capture, below zero where the side that captured wins, 0 for a draw."""
    board.push(move)
    found = tables.value(board)
    board.pop()
    return found.outcome * (found.dtm_plies or 0)


def is_there(part: Words, placement: Placement, pushed: int, squares: tuple[int, ...]) -> bool:
    *men, white_king, black_king = squares
    where = [square % 8 if axis == pushed else square - int(placement.at[axis][0]) for axis, square in enumerate(men)]
    return bool(int(part[(*where, HOME.index(white_king))]) >> black_king & 1)
