"""The waiting move, said again in the plainest way; the distances are asked of the same tables."""

from __future__ import annotations

from typing import Protocol

import chess

from tests.witness.ideas.guards import guards
from tests.witness.ideas.king_range import beside, king_of, king_range, shut


class Told(Protocol):
    def outcome(self, board: chess.Board) -> int: ...
    def mate_plies(self, board: chess.Board) -> int | None: ...
    def answer(self, board: chess.Board) -> chess.Move | None: ...


def opposition(board: chess.Board) -> str:
    white, black = king_of(board, True), king_of(board, False)
    return {
        "2 0": "direct", "0 2": "direct", "4 0": "distant", "0 4": "distant", "6 0": "distant", "0 6": "distant",
        "2 2": "diagonal",
    }.get(f"{abs(white // 8 - black // 8)} {abs(white % 8 - black % 8)}", "")  # fmt: skip


def flights(board: chess.Board, attacker: bool) -> list[int]:
    king, closed = king_of(board, not attacker), shut(board, attacker)
    return [s for s in beside(king) if s not in closed and board.color_at(s) != (not attacker)]


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    man = before.piece_at(move.from_square)
    assert man is not None
    if before.turn != attacker or before.is_capture(move) or man.piece_type == chess.PAWN:
        return None
    mine = [p.piece_type for p in before.piece_map().values() if p.color == attacker]
    if chess.PAWN in mine and len(mine) > 2:
        return None
    if after.is_check() or before.is_check() or opposition(before) != opposition(after):
        return None
    if len(king_range(after, attacker)) > len(king_range(before, attacker)):
        return None
    if flights(before, attacker) != flights(after, attacker):
        return None
    placing, _, rest = before.fen().partition(" ")
    passed = chess.Board(f"{placing} {'b' if attacker else 'w'} - - {rest.split()[3]} 1")
    mate, now = told.mate_plies(passed), told.mate_plies(after)
    if mate is None or now is None or told.outcome(passed) != -1 or not 1 <= mate <= now:
        return None
    placing, _, rest = after.fen().partition(" ")
    back = chess.Board(f"{placing} {'w' if attacker else 'b'} - - {rest.split()[3]} 1")
    if told.outcome(back) == 1 and (told.mate_plies(back) or 0) < now + 1:
        return None
    kind = chess.piece_name(man.piece_type)
    held = {square: set(men) for square, men in guards(before, attacker).items()}
    renamed = {move.to_square: move.from_square}
    holding = {square: {renamed.get(man, man) for man in men} for square, men in guards(after, attacker).items()}
    same = king_range(before, attacker) == king_range(after, attacker) and held == holding
    return {"kind": "waiting_move", "man": kind, "replies": len(list(after.legal_moves))} | {
        "mate_plies": mate,
        "nothing_changes": same,
    }
