"""The steps of the bridge, seen and said again by the witness, over placements near it; nothing is solved."""

from __future__ import annotations

from collections import Counter
from random import Random

import chess

from matebot.ideas import bridging
from tests.witness.ideas import bridging as witness


def near_the_bridge(random: Random) -> chess.Board:
    """Return a placement with the pawn on the seventh and its king at most three steps away, valid or not."""
    board = chess.Board(None)
    pawn = random.randrange(48, 56)
    near = [square for square in chess.SQUARES if 0 < chess.square_distance(square, pawn) <= 3]
    squares = [pawn, random.choice(near), *random.sample(chess.SQUARES, k=3)]
    for square, symbol in zip(squares, "PKRrk", strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    board.turn = chess.WHITE
    return board


def test_every_step_of_the_bridge_is_borne_out_for_both_colours() -> None:
    random, found = Random("bridging"), Counter[str]()
    for _ in range(500):
        board = near_the_bridge(random)
        if len(board.piece_map()) < 5 or not board.is_valid():
            continue
        for before, attacker in ((board, chess.WHITE), (board.mirror(), chess.BLACK)):
            for move in before.legal_moves:
                after = before.copy(stack=False)
                after.push(move)
                idea = bridging.seen(before, move, after, attacker)
                data = None if idea is None else idea.as_data()
                assert data == witness.claim(before, move, after, attacker), f"{before.fen()} {move}"
                if idea is not None:
                    found[idea.step.value] += 1
    assert set(found) == {step.value for step in bridging.Step}, found
