"""The move that teaches most, chosen again by what the witnesses see, who share no code with the ideas."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import import_module
from random import Random
from typing import Any

import chess
import pytest

from matebot.play.best_to_teach import FOR, best_to_teach
from tests.witness.positions import random_positions

Claim = dict[str, Any]
#: By kind, what a claim says for a move: the squares it leaves, 0 where they do not matter, None where it is silent.
SAYS: dict[str, Callable[[Claim, chess.Board, chess.Move], int | None]] = {
    "knights_w": lambda claim, board, move: 0 if claim["state"] in ("ready", "step") else None,
    "cage": lambda claim, board, move: claim["size_after"] if claim["change"] in ("shuts", "tightens") else None,
    "saved": lambda claim, board, move: 0,
    "trapped": lambda claim, board, move: 0,
    "wrong_corner": lambda claim, board, move: 0 if claim["deed"] == "drives out" else None,
    "king_nearer": lambda claim, board, move: 0,
    "guards": lambda claim, board, move: None if claim["let_go"] or _lone_heavy(board, move) else 0,
    "box": lambda claim, board, move: claim["after"] if claim["change"] in ("shrinks", "makes") else None,
    "cut_off": lambda claim, board, move: 0 if claim["change"] == "sets" else None,
    "barrier": lambda claim, board, move: 0 if claim["new"] else None,
    "narrows": lambda claim, board, move: claim["size_after"],
    "off_the_rim": lambda claim, board, move: 0,
}
#: Where a knight's W is ready or under way, where a king is in the wrong corner, and with little to be said.
_ON_THE_EDGE = (
    "5k2/8/5K2/4N3/4B3/8/8/8 w - - 0 1",
    "4k3/7B/5K2/4N3/8/8/8/8 w - - 0 1",
    "4k3/3N3B/4K3/8/8/8/8/8 w - - 0 1",
    "8/8/8/8/4n3/5k2/4b3/7K b - - 0 1",
    "8/8/8/8/4bn2/5k2/8/4K3 b - - 0 1",
    "8/8/8/8/4n3/5k2/7b/4K3 b - - 0 1",
    "k7/2K5/8/8/N4B2/8/8/8 w - - 0 1",
    "7K/8/8/2k3n1/8/7b/8/8 b - - 0 1",
    "B7/3K4/8/2N5/8/8/8/k7 w - - 0 1",
    "8/8/3N3B/8/8/8/4K3/7k w - - 0 1",
    "5b2/6k1/8/8/2Kn4/8/8/8 b - - 0 1",
)


def _lone_heavy(board: chess.Board, move: chess.Move) -> bool:
    """Whether a queen or rook moves that is alone beside its king."""
    heavy = board.piece_type_at(move.from_square) in (chess.QUEEN, chess.ROOK)
    return heavy and board.occupied_co[board.turn].bit_count() == 2


def _claim(kind: str, board: chess.Board, move: chess.Move) -> Claim | None:
    after = board.copy(stack=False)
    after.push(move)
    claim: Claim | None = import_module(f"tests.witness.ideas.{kind}").claim(board, move, after, board.turn)
    return claim


def _says(kind: str, board: chess.Board, move: chess.Move) -> int | None:
    claim = _claim(kind, board, move)
    return None if claim is None else SAYS[kind](claim, board, move)


def _ends(board: chess.Board, move: chess.Move) -> bool:
    after = board.copy(stack=False)
    after.push(move)
    return board.is_capture(move) or after.is_checkmate()


def _order(board: chess.Board, move: chess.Move) -> tuple[int, ...]:
    """Return the key that puts the king first, nearer to the other, then goes by squares as the attacker sees them."""
    after = board.copy(stack=False)
    after.push(move)
    ours, theirs = after.king(board.turn), after.king(not board.turn)
    assert ours is not None
    assert theirs is not None
    seen = [square if board.turn else chess.square_mirror(square) for square in (move.from_square, move.to_square)]
    new = [None, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT].index(move.promotion)
    return int(ours != move.to_square), chess.square_distance(ours, theirs), *seen, new


def _chosen(board: chess.Board, moves: list[chess.Move], said: dict[str, int]) -> chess.Move:
    """Return the move that the witnesses choose, and count what has decided."""
    ending = [move for move in moves if _ends(board, move)]
    if ending:
        said["ends"] = said.get("ends", 0) + (len(ending) < len(moves))
        return min(ending, key=lambda move: _order(board, move))
    found = [move for move in moves if _claim("chasing_check", board, move) is None]
    for kind in SAYS:
        speaks = {move: squares for move in found if (squares := _says(kind, board, move)) is not None}
        if speaks:
            said[kind] = said.get(kind, 0) + (len(speaks) < len(moves))
            found = [move for move, squares in speaks.items() if squares == min(speaks.values())]
            break
    return min(found or moves, key=lambda move: _order(board, move))


def _choices(ending: str, count: int, seed: int) -> Iterator[tuple[chess.Board, list[chess.Move]]]:
    """Yield positions of the stronger side with some of its moves."""
    random = Random(seed)
    boards = [chess.Board(fen) for fen in _ON_THE_EDGE] if ending == "KBNK" else []
    for board in (*boards, *random_positions(ending, count, seed)):
        moves = list(board.legal_moves)
        if len(moves) > 1 and board.occupied_co[board.turn].bit_count() > 1:
            for few in (2, 2, 3, 3, 5, len(moves)):
                yield board, random.sample(moves, min(few, len(moves)))


@pytest.mark.parametrize(
    ("ending", "deciding"),
    [
        ("KBNK", ("knights_w", "cage", "saved", "wrong_corner", "king_nearer", "guards", "barrier", "narrows")),
        ("KBBK", ("cage", "saved", "king_nearer", "guards", "narrows")),
        ("KRK", ("cage", "saved", "box", "cut_off", "king_nearer")),
        ("KQK", ("cage", "box", "king_nearer")),
        ("KRKN", ("trapped", "saved", "cut_off", "ends")),
        ("KQKP", ("ends", "king_nearer")),
    ],
)
def test_the_move_that_teaches_most_is_the_one_that_the_witnesses_choose(
    ending: str, deciding: tuple[str, ...]
) -> None:
    said: dict[str, int] = {}
    for board, moves in _choices(ending, 60, seed=83):
        assert best_to_teach(board, moves) == _chosen(board, moves, said), (board.fen(), board.variation_san(moves[:1]))
    assert {kind for kind in deciding if not said.get(kind)} == set(), said


@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK", "KQK", "KRKN"])
def test_an_idea_speaks_for_a_move_where_its_witness_says_so(ending: str) -> None:
    """Nor does an idea that a move only touches: a cage that grows, a line that stood before, a man let go."""
    said = dict.fromkeys(FOR, 0)
    touched = dict.fromkeys(FOR, 0)
    for board, moves in _choices(ending, 25, seed=84):
        for move in moves[:3]:
            after = board.copy(stack=False)
            after.push(move)
            if after.is_checkmate() or board.is_capture(move):
                continue
            for kind, says in FOR.items():
                told = _says(kind, board, move)
                assert says(board, move, after, board.turn) == told, (kind, board.fen(), move)
                said[kind] += told is not None
                touched[kind] += told is None and _claim(kind, board, move) is not None
    assert set(FOR) == set(SAYS)
    assert sum(said.values()) > 50 < sum(touched.values()), (said, touched)
