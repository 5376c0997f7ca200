"""What a move leads to, said again; distances and the moves taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.mating_net import longest
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn != attacker or told.outcome(after) != -1 or after.is_game_over():
        return None
    found = goal(after, longest(after, told), told)
    if found is None or found["does"] != "capture" or len(found["line"]) == 2:  # type: ignore[arg-type]
        return found
    worth = {}
    for reply in after.legal_moves:
        then = after.copy()
        then.push(reply)
        worth[reply] = told.mate_plies(then) or 0
    for reply in [r for r, plies in worth.items() if plies == max(worth.values())]:
        other = goal(after, reply, told)
        if other is None or (other["does"], other["man"]) != ("capture", found["man"]):
            return None
    return found


def goal(after: chess.Board, reply: chess.Move, told: Told) -> dict[str, object] | None:
    """Return the line that begins with a reply."""
    board, line = after.copy(), list[str]()
    while len(line) < 8 and not board.is_game_over():
        line.append((longest(board, told) if line else reply).uci())
        board.push_uci(line[-1])
        answer = told.answer(board)
        if answer is None:
            return None
        taken = chess.PAWN if board.is_en_passant(answer) else board.piece_type_at(answer.to_square)
        board.push(answer)
        line.append(answer.uci())
        lost = [m for m in board.legal_moves if board.is_capture(m) and m.to_square == answer.to_square]
        man, does = answer.promotion or taken, "promotion" if answer.promotion else "capture"
        if len(line) == 8 and (board.is_checkmate() or answer.promotion):
            return None
        if board.is_checkmate():
            return {"kind": "leads_to", "line": line, "does": "mate", "man": None}
        if man is not None and not lost:
            return {"kind": "leads_to", "line": line, "does": does, "man": chess.piece_name(man)}
    return None
