"""The threat that a drawing move meets, said again; the values are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.denies import passed
from tests.witness.ideas.refutation import means
from tests.witness.ideas.waiting_move import Told


def pin(board: chess.Board, reply: chess.Move) -> str | None:
    """Return the man that could not leave without opening a check by the man that moved."""
    after = then(board, reply)
    for square in after.attacks(reply.to_square):
        man = after.piece_at(square)
        if man is None or man.color != after.turn or man.piece_type == chess.KING:
            continue
        bare = after.copy(stack=False)
        bare.remove_piece_at(square)
        if reply.to_square in bare.checkers() and reply.to_square not in after.checkers():
            return chess.piece_name(man.piece_type)
    return None


def takes_again(after: chess.Board, reply: chess.Move) -> bool:
    """Whether a move is still a legal capture."""
    return reply in after.legal_moves and after.is_capture(reply)


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or before.is_check() or told.outcome(before) or told.outcome(after):
        return None
    waits = passed(before)
    reply = told.answer(waits) if told.outcome(waits) == 1 else None
    if reply is None:
        return None
    how, squares = means(waits, waits, reply, attacker)
    guarded = bool(after.attackers(not attacker, reply.to_square))
    said = {"kind": "meets", "reply": reply.uci(), "still": takes_again(after, reply), "guarded": guarded}
    if how in ("mate", "capture", "promotion", "fork", "skewer"):
        board = waits if how == "capture" else then(waits, reply)
        men = [chess.piece_name(board.piece_type_at(s) or 0) for s in squares]
        return {**said, "means": how, "men": [chess.piece_name(reply.promotion)] if reply.promotion else men}
    held = pin(waits, reply)
    return None if held is None else {**said, "means": None, "men": [held]}
