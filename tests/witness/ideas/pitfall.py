"""A pitfall beside a move that draws, said again; the values are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.meets import pin
from tests.witness.ideas.prepares import falls
from tests.witness.ideas.refutation import means
from tests.witness.ideas.waiting_move import Told


def is_free(there: chess.Board, goal: int | None = None) -> bool:
    """Whether the side to move can take a man, on a square or anywhere, so that nobody takes back."""
    takes = [m for m in there.legal_moves if there.is_capture(m) and goal in (None, m.to_square)]
    return any(not any(map(then(there, take).is_capture, then(there, take).legal_moves)) for take in takes)


def lost(board: chess.Board) -> tuple[list[str], bool]:
    """Return the one piece of the side to move where it falls after every reply, or wherever it goes; and which."""
    own = [s for s, man in board.piece_map().items() if man.color == board.turn and man.piece_type != chess.KING]
    if len(own) != 1 or board.piece_type_at(own[0]) == chess.PAWN or not any(board.legal_moves):
        return [], False
    name = chess.piece_name(board.piece_type_at(own[0]) or 0)
    if all(is_free(then(board, reply)) for reply in board.legal_moves):
        return [name], False
    away = [move for move in board.legal_moves if move.from_square == own[0]]
    shut = bool(away) and not board.is_check() and all(is_free(then(board, move), move.to_square) for move in away)
    return ([name], True) if shut else ([], False)


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
            men, shut = lost(board) if how == "none" and held is None else (men, False)
            if how == "none" and held is None and is_free(boards[name]):
                men, shut = [], False
            place = (
                {"fork": 0, "skewer": 1, "mate": 3, "capture": 6}.get(how, 5 - (how == "none" and bool(men)))
                if held is None
                else 2
            )
            told_how: dict[str, object] = {"means": how, "men": men, "shut": shut}
            if held is not None:
                told_how = {"means": None, "men": [held], "shut": False}
            rows.append((place, {"other": name, "reply": reply.uci(), **told_how}))
    return {"kind": "pitfall", **min(rows, key=lambda row: row[0])[1]} if rows else None
