"""A pitfall beside a move that draws, said again; the values are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.meets import pin
from tests.witness.ideas.prepares import falls
from tests.witness.ideas.refutation import means
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(before) or told.outcome(after):
        return None
    boards = {other.uci(): then(before, other) for other in before.legal_moves}
    losing = [name for name in boards if told.outcome(boards[name]) == 1]
    losing.sort(key=lambda name: (-(told.mate_plies(boards[name]) or 0), name))
    rows = []
    for name in losing[:6]:
        reply = told.answer(boards[name])
        if reply is not None:
            how, squares = means(boards[name], boards[name], reply, attacker)
            board = boards[name] if how == "capture" else then(boards[name], reply)
            men = [] if how == "run" else [chess.piece_name(board.piece_type_at(s) or 0) for s in squares]
            held = pin(boards[name], reply) if how == "none" else None
            if how in ("fork", "skewer") and not all(falls(board, last, told) for last in board.legal_moves):
                how, men = "none", []
            place = {"fork": 0, "skewer": 1, "mate": 3, "capture": 5}.get(how, 4) if held is None else 2
            told_how = {"means": how, "men": men} if held is None else {"means": None, "men": [held]}
            rows.append((place, {"other": name, "reply": reply.uci(), **told_how}))
    return {"kind": "pitfall", **min(rows, key=lambda row: row[0])[1]} if rows else None
