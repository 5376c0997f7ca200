"""The pawn that outruns the king, said again by counting; the moves that mate soonest are asked of the tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    pawns, men = list(after.pieces(chess.PAWN, attacker)), after.piece_map()
    lone = sum(piece.color != attacker for piece in men.values()) == 1
    if before.turn == attacker or told.outcome(after) < 1 or len(pawns) != 1 or not lone:
        return None
    file, rank = chess.square_file(pawns[0]), chess.square_rank(pawns[0])
    ahead = range(rank + 1, 8) if attacker else range(rank - 1, -1, -1)
    if any(chess.square(file, r) in men for r in ahead):
        return None
    moves = len(ahead) - (len(ahead) == 6)
    goal, king = chess.square(file, 7 if attacker else 0), after.king(not attacker)
    assert king is not None
    steps = max(abs(chess.square_file(king) - file), abs(chess.square_rank(king) - chess.square_rank(goal)))
    helpers = {p.piece_type for p in men.values() if p.color == attacker} - {chess.KING, chess.PAWN}
    leader = after.king(attacker)
    assert leader is not None
    led = helpers & {chess.ROOK, chess.QUEEN} and chess.square_distance(leader, pawns[0]) == 1
    if steps <= moves or led or (helpers and not _runs_always(before, chess.square_name(pawns[0]), told)):
        return None
    lengths = {other: lasts(before, other, told) for other in before.legal_moves if not before.is_capture(other)}
    no_longer = [other.to_square for other, plies in lengths.items() if plies <= lasts(before, move, told)]
    if any(chess.square_distance(to, goal) <= moves for to in no_longer):
        return None
    squares = {"pawn": chess.square_name(pawns[0]), "goal": chess.square_name(goal)}
    return {"kind": "outruns", **squares, "moves": moves, "steps": steps}


def _runs_always(before: chess.Board, pawn: str, told: Told) -> bool:
    for other in before.legal_moves:
        if before.is_capture(other):
            continue
        there = before.copy()
        there.push(other)
        if not any(name.startswith(pawn) for name in quickest(there, told)):
            return False
    return True
