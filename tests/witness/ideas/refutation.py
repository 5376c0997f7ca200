"""The refutation of a slip, said again; the values are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.holes import holes
from tests.witness.ideas.king_range import king_range, names
from tests.witness.ideas.saved import could_take
from tests.witness.ideas.shuts_way import leading
from tests.witness.ideas.waiting_move import Told

ORDER = ["mate", "capture", "promotion", "fork", "skewer", "pin", "attack", "run", "none"]
WORTH = {"p": 1, "n": 3, "b": 3, "r": 5, "q": 9}


def letter(board: chess.Board, square: int) -> str:
    piece = board.piece_at(square)
    assert piece is not None
    return piece.symbol().lower()


def gains(board: chess.Board, square: int, by: str) -> bool:
    kind = letter(board, square)
    if kind == "k" or not board.attackers(board.turn, square):
        return True
    return by != "k" and WORTH[kind] > WORTH[by]


def pinned(board: chess.Board, reply: chess.Move, by: str) -> list[int]:
    """Return the men that could not leave without a check by the man that moved.

    They are stronger and it is guarded, or pawns one step from their last rank and nobody attacks it.
    """
    if by not in "brq" or board.is_check():
        return []
    held, guarded = [], bool(board.attackers(not board.turn, reply.to_square))
    attacked, last = bool(board.attackers(board.turn, reply.to_square)), 6 if board.turn else 1
    for square in board.attacks(reply.to_square):
        if board.color_at(square) == board.turn and letter(board, square) != "k":
            bare = board.copy(stack=False)
            bare.remove_piece_at(square)
            kind, runs = letter(board, square), chess.square_rank(square) == last
            counts = (guarded and WORTH[kind] > WORTH[by]) or (not attacked and kind == "p" and runs)
            if reply.to_square in bare.checkers() and counts:
                held.append(square)
    return held


def falls(board: chess.Board, answer: chess.Move, forked: list[int], fork: int) -> bool:
    """Whether one of the men forked can be taken at a gain after an answer."""
    there = board.copy()
    there.push(answer)
    now = [answer.to_square if square == answer.from_square else square for square in forked]
    took = WORTH[letter(board, fork)] if answer.to_square == fork and letter(board, fork) != "k" else 0
    for take in there.legal_moves:
        goal = take.to_square
        if goal not in now or (answer.to_square == fork and goal != fork) or not there.is_capture(take):
            continue
        if there.is_en_passant(take):
            continue
        won, by = WORTH[letter(there, goal)], letter(there, take.from_square)
        last = there.copy()
        last.push(take)
        retaken = any(move.to_square == goal for move in last.legal_moves)
        if won > took and (not retaken or (by != "k" and won > WORTH[by])):
            return True
    return False


def means(before: chess.Board, after: chess.Board, reply: chess.Move, attacker: bool) -> tuple[str, list[int]]:
    then = after.copy()
    then.push(reply)
    if then.is_checkmate():
        return "mate", []
    if after.piece_at(reply.to_square) is not None:
        return "capture", [reply.to_square]
    if reply.promotion is not None:
        return "promotion", [reply.to_square]
    by, own = letter(then, reply.to_square), [s for s in chess.SQUARES if then.color_at(s) == then.turn]
    hit = [s for s in own if s in then.attacks(reply.to_square)]
    forked = [s for s in hit if gains(then, s, by)]
    if len(forked) >= 2 and all(falls(then, answer, forked, reply.to_square) for answer in then.legal_moves):
        return "fork", forked
    for front in hit if by in "brq" else []:
        if letter(then, front) == "k" or WORTH[letter(then, front)] > WORTH[by]:
            off = then.copy()
            off.remove_piece_at(front)
            for back in own:
                seen_now = back in off.attacks(reply.to_square) and back not in then.attacks(reply.to_square)
                if back == front or not seen_now or letter(then, back) == "k" or not gains(then, back, by):
                    continue
                if all(falls(then, answer, [front, back], reply.to_square) for answer in then.legal_moves):
                    return "skewer", sorted((front, back))
    if held := pinned(then, reply, by):
        return "pin", held
    if after.turn != attacker and by == "k":
        if could_take(then, attacker):
            return "attack", could_take(then, attacker)
        ways = holes(after, attacker)
        if reply.to_square in ways or reply.to_square not in king_range(before, attacker):
            return "run", [reply.to_square]
        beside_it = [s for s in sorted(ways) if chess.square_distance(s, reply.to_square) == 1]
        if beside_it:
            return "run", beside_it
    return "none", []


def slower(before: chess.Board, after: chess.Board, attacker: bool, told: Told) -> bool:
    if before.turn != attacker or told.outcome(after) != -1:
        return False
    was, now = told.mate_plies(before), told.mate_plies(after)
    assert was is not None
    assert now is not None
    opened = cage(before, attacker) is not None and cage(after, attacker) is None
    return opened or now + 1 - was >= 4


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    falls = told.outcome(before) > -told.outcome(after)
    if not falls and not slower(before, after, attacker, told):
        return None
    shell: dict[str, object] = {"kind": "refutation", "men": [], "squares": [], "outcome_falls": falls}
    shell |= {"leads": None, "target": None}
    if not list(after.legal_moves):
        return {**shell, "means": "stalemate", "reply": None}
    rows = []
    for reply in after.legal_moves:
        then = after.copy()
        then.push(reply)
        if told.outcome(then) == -told.outcome(after):
            rows.append((told.mate_plies(then) or 0, reply))
    if not falls:
        rows = [row for row in rows if row[0] == max(rows, key=lambda r: r[0])[0]]
    best: tuple[tuple[int, int, int, int, str], chess.Move, str, list[int], dict[str, object]] | None = None
    for plies, reply in rows:
        how, squares = means(before, after, reply, attacker)
        place, lead = led(after, reply, attacker)
        key = (ORDER.index(how), plies, place, -(reply.promotion or 0), reply.uci())
        if best is None or key < best[0]:
            best = key, reply, how, squares, lead
    assert best is not None
    _, reply, how, squares, lead = best
    then = after.copy()
    then.push(reply)
    board = after if how == "capture" else then
    men = [] if how == "run" else [chess.piece_name(board.piece_type_at(s) or 0) for s in squares]
    return {**shell, **lead, "means": how, "reply": reply.uci(), "men": men, "squares": names(squares)}


def led(after: chess.Board, reply: chess.Move, attacker: bool) -> tuple[int, dict[str, object]]:
    """Return where a step of the defending king leads, and its place in the order of the ways."""
    order = ["own man", "pawn", "wrong corner", "centre", "out of the corner"]
    if after.turn != attacker and letter(after, reply.from_square) == "k":
        for aim, target, serving in leading(after, attacker):
            if reply.to_square in serving:
                return order.index(aim), {"leads": aim, "target": target}
    return len(order), {"leads": None, "target": None}
