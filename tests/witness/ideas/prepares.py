"""What a move prepares, said again; distances and the move taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import box, cage, cut_off, king_up, knights_w
from tests.witness.ideas.mating_net import natural
from tests.witness.ideas.waiting_move import Told, opposition


def walks_less(board: chess.Board, then: chess.Board, attacker: bool) -> bool:
    return len(box.reached(then, attacker)) < len(box.reached(board, attacker))


def deed(board: chess.Board, move: chess.Move, attacker: bool) -> str | None:
    then = board.copy()
    then.push(move)

    def change(of: object) -> object:
        told = of.claim(board, move, then, attacker)  # type: ignore[attr-defined]
        return None if told is None else told.get("change", told.get("state"))

    shuts = cage.claim(board, move, then, attacker)
    loose = shuts is not None and bool(shuts["loose"])

    facts = [
        ("mate", then.is_checkmate()),
        ("promotion", move.promotion is not None),
        ("capture", board.is_capture(move)),
        ("W ready", change(knights_w) == "ready"),
        ("W step", change(knights_w) == "step"),
        ("shuts", change(cage) == "shuts" and not loose),
        ("tightens", change(cage) == "tightens" and not loose),
        ("opposition", board.piece_type_at(move.from_square) == chess.KING and opposition(then) == "direct"),
        ("shrinks", change(box) == "shrinks" and walks_less(board, then, attacker)),
        ("cuts off", change(cut_off) == "sets"),
        ("box", change(box) == "makes" and len(box.bars(then, attacker)) == 2),
        ("king up", king_up.claim(board, move, then, attacker) is not None),
    ]
    return next((name for name, holds in facts if holds), None)


def gains(before: chess.Board, board: chess.Board, answer: chess.Move, does: str, attacker: bool) -> bool:
    """Whether more is reached than stood before the move."""
    last = board.copy()
    last.push(answer)
    others = [p for p in before.piece_map().values() if p.color != attacker]
    if does in ("shuts", "tightens", "opposition") and len(others) > 1:
        return False
    cages = [len(cage.cage(b, attacker) or ()) for b in (before, last)]
    boxes = [box.box(b, attacker) for b in (before, last)]
    return {
        "shuts": cages[0] == 0 or cages[1] < cages[0],
        "tightens": cages[1] < cages[0],
        "shrinks": boxes[0] is None or (boxes[1] or 99) < boxes[0],
        "box": boxes[0] is None or (boxes[1] or 99) < boxes[0],
        "cuts off": cut_off.line(before, attacker) is None,
        "opposition": opposition(before) != "direct",
        "king up": king_up.nearer(before, last),
    }.get(does, True)


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn != attacker or told.outcome(after) != -1 or after.is_game_over():
        return None
    rows, first = [], after
    for reply in after.legal_moves:
        then = after.copy()
        then.push(reply)
        rows.append((told.mate_plies(then) or 0, reply))
    longest = max(plies for plies, _ in rows)
    reply = sorted((reply for plies, reply in rows if plies == longest), key=lambda m: natural(first, m))[0]
    after = after.copy()
    after.push(reply)
    answer = told.answer(after)
    if answer is None:
        return None
    does = deed(after, answer, attacker)
    at_once = deed(before, answer, attacker) if answer in before.legal_moves else None
    if does is None or does == at_once or not gains(before, after, answer, does, attacker):
        return None
    for plies, other in rows if does == "capture" else ():
        there = first.copy()
        there.push(other)
        if plies == longest and not there.is_capture(told.answer(there)):  # type: ignore[arg-type]
            return None
    takes_it = answer.from_square == move.to_square and does == "capture"
    hit = [s for s in first.attacks(move.to_square) if first.color_at(s) == (not attacker)]
    forks = takes_it and move.to_square in first.checkers() and answer.to_square in hit
    between = chess.SquareSet.between(move.to_square, answer.to_square)
    skewers = takes_it and first.is_check() and first.king(not attacker) in [*between]
    man = answer.promotion or after.piece_type_at(answer.to_square)
    if after.is_en_passant(answer):
        man = chess.PAWN
    told_of: dict[str, object] = {"kind": "prepares", "reply": reply.uci(), "move": answer.uci(), "does": does}
    return (
        told_of
        | {"man": None if man is None else chess.piece_name(man), "forced": len(rows) == 1}
        | {"forks": forks, "skewers": skewers}
        | {"sure": does != "capture" or all(won(first, other, answer, told, forks or skewers) for _, other in rows)}
        | {"or_mate": does == "capture" and _mixed(first, [other for _, other in rows], told)}
        | {"fastest": answer in _soonest(after, told)}
    )


def _soonest(board: chess.Board, told: Told) -> list[chess.Move]:
    """Return the moves after which mate is as near as after any."""
    plies = {}
    for move in board.legal_moves:
        then = board.copy()
        then.push(move)
        lost = then.is_checkmate() or (not then.is_game_over() and told.outcome(then) == -1)
        plies[move] = (told.mate_plies(then) or 0) if lost else 999
    return [move for move in plies if plies[move] == min(plies.values())]


def _mixed(first: chess.Board, replies: list[chess.Move], told: Told) -> bool:
    """Whether each reply is met by a capture or a near mate, and one at least by no capture."""
    captures = []
    for reply in replies:
        there = first.copy()
        there.push(reply)
        answer = told.answer(there)
        captures.append(answer is not None and there.is_capture(answer))
    return all(falls(first, reply, told) for reply in replies) and not all(captures)


def won(first: chess.Board, reply: chess.Move, capture: chess.Move, told: Told, blow: bool) -> bool:
    """Whether a man falls after a reply, or the man that hit two takes the one that is not the king."""
    if falls(first, reply, told):
        return True
    there = first.copy()
    there.push(reply)
    if not blow or capture not in there.legal_moves or there.piece_at(capture.to_square) is None:
        return False
    there.push(capture)
    return not any(back.to_square == capture.to_square for back in there.legal_moves)


def falls(first: chess.Board, reply: chess.Move, told: Told) -> bool:
    """Whether after a reply the move taught takes a man, or mate comes with two moves at most."""
    there = first.copy()
    there.push(reply)
    answer = told.answer(there)
    return (told.mate_plies(there) or 99) <= 3 or (answer is not None and there.is_capture(answer))
