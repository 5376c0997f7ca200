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
    found = goal(after, told)
    if found is not None and as_soon_at_once(before, after, found, told):
        return None
    if found is None or found["does"] != "capture" or len(found["line"]) == 2:  # type: ignore[arg-type]
        return found
    return found if falls(after, told, 2) else None


def as_soon_at_once(before: chess.Board, after: chess.Board, found: dict[str, object], told: Told) -> bool:
    """Whether the capture at the end, or the pawn's step that comes next before a promotion, wins as soon at once."""
    line = [chess.Move.from_uci(name) for name in found["line"]]  # type: ignore[attr-defined]
    first = {"capture": line[-1], "promotion": line[1]}.get(str(found["does"]))
    if first is None or first not in before.legal_moves or before.is_capture(first) != (found["does"] == "capture"):
        return False
    if found["does"] == "promotion" and before.piece_type_at(first.from_square) != chess.PAWN:
        return False
    there = before.copy()
    there.push(first)
    if told.outcome(there) != -1:
        return False
    return (told.mate_plies(there) or 0) <= (told.mate_plies(after) or 0)


def falls(board: chess.Board, told: Told, deep: int) -> bool:
    """Whether a man is taken, or mate near, so soon against every reply that lasts nearly longest."""
    rows = []
    for reply in board.legal_moves:
        then = board.copy()
        then.push(reply)
        rows.append((told.mate_plies(then) or 0, then))
    longest_plies = max((plies for plies, _ in rows), default=0)
    for plies, then in rows:
        if plies <= 3 or plies < longest_plies - 2:
            continue
        answer = told.answer(then)
        if answer is None:
            return False
        if then.is_capture(answer):
            continue
        if deep == 1:
            return False
        then.push(answer)
        if not falls(then, told, deep - 1):
            return False
    return True


def goal(after: chess.Board, told: Told) -> dict[str, object] | None:
    """Return the line to the first goal."""
    board, line = after.copy(), list[str]()
    while len(line) < 8 and not board.is_game_over():
        line.append(longest(board, told).uci())
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
