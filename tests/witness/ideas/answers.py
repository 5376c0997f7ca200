"""The answers to each reply, said again; distances and answers are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    rows: list[tuple[int, str, str | None]] = []
    for reply in after.legal_moves:
        then = after.copy()
        then.push(reply)
        plies = told.mate_plies(then) if told.outcome(then) == 1 else None
        if plies is None:
            return None
        answer = told.answer(then)
        rows.append((plies, reply.uci(), None if answer is None else answer.uci()))
    if before.turn != attacker or len(rows) not in (1, 2, 3):
        return None
    rows.sort(key=lambda row: (-row[0], row[1]))
    groups: list[dict[str, object]] = []
    for _, reply_name, answer_name in rows:
        for group in groups:
            if group["move"] == answer_name:
                assert isinstance(group["replies"], list)
                group["replies"].append(reply_name)
                break
        else:
            groups.append({"replies": [reply_name], "move": answer_name})
    critical, longer = None, 0
    if len(rows) > 1 and rows[0][0] > rows[1][0]:
        critical, longer = rows[0][1], (rows[0][0] - rows[1][0]) // 2
    return {"kind": "answers", "answers": groups, "critical": critical, "longer_by": longer}
