"""What the attacker does with the move after next, said again; the moves taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.prepares import deed
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) < 1:
        return None
    first = told.answer(after)
    if first is None or deed(after, first, attacker) is not None:
        return None
    board = then(after, first)
    lengths = {reply.uci(): lasts(board, reply, told) for reply in board.legal_moves}
    if not lengths:
        return None
    reply = min(name for name in lengths if lengths[name] == max(lengths.values()))
    board = then(board, chess.Move.from_uci(reply))
    answer = told.answer(board)
    does = None if answer is None else deed(board, answer, attacker)
    if answer is None or does is None:
        return None
    taken = chess.PAWN if board.is_en_passant(answer) else board.piece_type_at(answer.to_square)
    man = answer.promotion or taken
    return {
        "kind": "looms",
        "line": [first.uci(), reply, answer.uci()],
        "does": does,
        "man": None if man is None else chess.piece_name(man),
    }
