"""What a lost defence ends in, said again; the moves taught and the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) < 1:
        return None
    board, names = after.copy(), list[str]()
    while len(names) < 6:
        answer = told.answer(board)
        if answer is None:
            return None
        taken = chess.PAWN if board.is_en_passant(answer) else board.piece_type_at(answer.to_square)
        man = answer.promotion or taken
        names.append(answer.uci())
        board.push(answer)
        if board.is_checkmate() or man:
            does = "mate" if board.is_checkmate() else "promotion" if answer.promotion else "capture"
            kind = None if does == "mate" or man is None else chess.piece_name(man)
            return {"kind": "ends_in", "line": names, "does": does, "man": kind}
        lengths = {reply.uci(): lasts(board, reply, told) for reply in board.legal_moves}
        longest = max(lengths.values())
        alike = [name for name in lengths if lengths[name] == longest]
        names.append(min([name for name in alike if name[4:] in ("", "q")] or alike))
        board.push_uci(names[-1])
    return None
