"""The defender and his own men, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn == attacker or before.is_capture(move):
        return None
    king, man = king_of(after, not attacker), before.piece_at(move.from_square)
    assert man is not None
    far = chess.square_distance
    if man.piece_type != chess.KING:
        pawn = man.piece_type == chess.PAWN
        last = chess.square(chess.square_file(move.to_square), 0 if attacker else 7)
        steps = far(last if pawn else king, move.to_square)
        loose = before.attackers(attacker, move.from_square) and not before.attackers(not attacker, move.from_square)
        hit = loose and not after.attackers(attacker, move.to_square)
        help_ = "saves" if hit and move.promotion is None else "runs" if pawn else ""
        return _told(help_, man.piece_type, move.to_square, steps) if help_ else None
    men = [s for s, piece in sorted(after.piece_map().items()) if piece.color != attacker and s != king]
    for square in men:
        others = [s for s in after.attackers(not attacker, square) if s != king]
        if far(king, square) == 1 and far(move.from_square, square) > 1 and not others:
            return _told("guards", after.piece_type_at(square) or 0, square, 1)
    if len(men) == 1 and far(king, men[0]) < far(move.from_square, men[0]):
        return _told("nearer", after.piece_type_at(men[0]) or 0, men[0], far(king, men[0]))
    return None


def _told(help_: str, kind: int, square: int, steps: int) -> dict[str, object]:
    return {"kind": "stands_by", "help": help_, "man": chess.piece_name(kind)} | {
        "square": chess.square_name(square),
        "steps": steps,
    }
