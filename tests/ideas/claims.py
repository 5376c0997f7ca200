"""Moves on which ideas and their witnesses are compared, and the comparing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from random import Random
from typing import Protocol

import chess

from matebot.ideas.idea import Idea
from tests.witness.ideas.king_range import DISTANCE
from tests.witness.positions import board_of, men_of, random_positions

#: Endings the claims are drawn from.
ENDINGS = ("KBNK", "KBBK", "KRK", "KQK", "KPK", "KQKR", "KQKP", "KRKP", "KRKB", "KRKN", "KBPK")
#: How far a square is from the edge.
_INWARD = [min(s // 8, 7 - s // 8, s % 8, 7 - s % 8) for s in chess.SQUARES]
Pair = tuple[chess.Board, chess.Move, chess.Board, chess.Color]
Seen = Callable[[chess.Board, chess.Move, chess.Board, chess.Color], Idea | None]
Claim = Callable[[chess.Board, chess.Move, chess.Board, bool], dict[str, object] | None]


class Witness(Protocol):
    """A witness's module."""

    def claim(
        self, before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, /
    ) -> dict[str, object] | None: ...


def near_positions(ending: str, count: int, seed: int) -> Iterator[chess.Board]:
    """Yield legal positions with the men close to a king on or near the edge, where ideas are thickest."""
    random = Random(f"near {ending} {seed}")
    while count:
        first = random.random() < 0.5
        men = men_of(ending, first)
        rim = [s for s in chess.SQUARES if _INWARD[s] <= random.choice((0, 0, 1))]
        king = random.choice(rim)
        close = [s for s in chess.SQUARES if 0 < DISTANCE[s][king] <= random.choice((2, 3, 4))]
        if len(close) < len(men) - 1:
            continue
        squares = random.sample(close, len(men) - 1)
        squares.insert(ending.rindex("K"), king)
        board = board_of(men, squares, random.random() < 0.5)
        if board.is_valid():
            count -= 1
            yield board


def boards(ending: str, count: int, seed: int) -> Iterator[tuple[chess.Board, chess.Color]]:
    """Yield positions, two in three of them with the men close, and a side that attacks: one that has men."""
    random = Random(f"boards {ending} {seed}")
    for board in [*near_positions(ending, count - count // 3, seed), *random_positions(ending, count // 3, seed)]:
        sides = [c for c in chess.COLORS if chess.popcount(board.occupied_co[c]) > 1]
        yield board, random.choice(sides)


@cache
def pairs(ending: str, count: int, seed: int, each: int = 2) -> tuple[Pair, ...]:
    """Return moves (before, move, after, attacker), some from each position; nobody may change the boards."""
    random = Random(f"pairs {ending} {seed}")
    found: list[Pair] = []
    for board, attacker in boards(ending, count, seed):
        moves = list(board.legal_moves)
        for move in random.sample(moves, min(each, len(moves))):
            after = board.copy(stack=False)
            after.push(move)
            found.append((board, move, after, attacker))
            if len(found) == count:
                return tuple(found)
    return tuple(found)


def mirrored(pair: Pair) -> Pair:
    """Return the same move with colours exchanged and the board turned over."""
    before, move, after, attacker = pair
    turned = chess.Move(move.from_square ^ 56, move.to_square ^ 56, move.promotion)
    return before.mirror(), turned, after.mirror(), not attacker


def compare(seen: Seen, claim: Claim, moves: Iterable[Pair]) -> Counter[bool]:
    """Hold an idea and its witness together; return how often it was seen (True) and not (False)."""
    tally: Counter[bool] = Counter()
    for before, move, after, attacker in moves:
        idea = seen(before, move, after, attacker)
        data = None if idea is None else idea.as_data()
        expected = claim(before, move, after, attacker)
        assert data == expected, f"{before.fen()} {move.uci()} {chess.COLOR_NAMES[attacker]}: {data} != {expected}"
        tally[idea is not None] += 1
    return tally
