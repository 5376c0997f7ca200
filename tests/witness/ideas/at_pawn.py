"""The defending king and the pawn, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    king, was = king_of(after, not attacker), king_of(before, not attacker)
    pawns = after.pieces(chess.PAWN, attacker)
    if before.turn == attacker or king == was or before.is_capture(move) or len(pawns) != 1:
        return None
    (pawn,) = pawns
    ahead = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s // 8 > pawn // 8 if attacker else s // 8 < pawn // 8)]
    last = chess.square(pawn % 8, 7 if attacker else 0)
    far, reach = chess.square_distance, ""
    if far(king, pawn) < far(was, pawn):
        reach = "nearer"
    if far(was, last) > far(pawn, last) >= far(king, last):
        reach = "square"
    if king in ahead and was not in ahead:
        reach = "in front"
    about = {"pawn": chess.square_name(pawn), "steps": far(king, pawn), "to_go": far(pawn, last)}
    return {"kind": "at_pawn", "reach": reach, **about} if reach else None
