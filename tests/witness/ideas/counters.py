"""What the best reply to a defence does, said again in the plainest way; distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import sooner
from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.denies import passed
from tests.witness.ideas.expects import plain
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) <= 0:
        return None
    reply, does = answer(after, attacker, told)
    if does is None:
        return None
    shorter = sooner.claim(before, move, after, attacker, told)
    apart = False
    if shorter is not None:
        longest = max(lasts(before, m, told) for m in before.legal_moves)
        best = [then(before, m) for m in before.legal_moves if lasts(before, m, told) == longest]
        apart = tells(after, reply, does, best, attacker, told)
    return {"kind": "counters", "reply": reply, **does, "apart": apart}


def answer(board: chess.Board, attacker: bool, told: Told) -> tuple[str, dict[str, object] | None]:
    """Return the first of the quickest replies that does something with a name, the one that is taught before all."""
    taught, names = told.answer(board), sorted(quickest(board, told))
    if taught is not None and taught.uci() in names:
        names = [taught.uci(), *names]
    deeds = [(name, deed(board, chess.Move.from_uci(name), attacker)) for name in names]
    return next(((name, does) for name, does in deeds if does is not None), ("", None))


def tells(
    there: chess.Board, reply: str, does: dict[str, object], best: list[chess.Board], attacker: bool, told: Told
) -> bool:
    kinds = [(deed(there, chess.Move.from_uci(name), attacker) or {}).get("does") for name in quickest(there, told)]
    quick = [(b, name) for b in best for name in quickest(b, told)]
    elsewhere = [(deed(b, chess.Move.from_uci(name), attacker) or {}).get("does") for b, name in quick]
    again = reply in [name for _, name in quick]
    return set(kinds) == {does["does"]} and does["does"] not in elsewhere and not again


def loose(board: chess.Board) -> set[int]:
    """Return where men stand that the side to move takes and loses nothing for."""
    takes = [m for m in board.legal_moves if board.is_capture(m)]
    return {m.to_square for m in takes if all(r.to_square != m.to_square for r in then(board, m).legal_moves)}


def deed(board: chess.Board, reply: chess.Move, attacker: bool) -> dict[str, object] | None:
    """Return what a move of the attacker does."""
    now, king = then(board, reply), king_of(board, not attacker)
    men = [(s, p.piece_type) for s, p in board.piece_map().items() if p.color != attacker and s != king]
    lone = men[0] if len(men) == 1 and men[0][1] != chess.PAWN else None
    if now.is_check():
        goals = [m.to_square if m.from_square == king else None for m in now.legal_moves]
        if not goals or None in goals:
            return None
        if edge(king) > 0 and {edge(g) for g in goals if g is not None} == {0}:
            return _named("drives")
        near = lone is not None and chess.square_distance(king, lone[0]) == 1
        if near and lone and all(chess.square_distance(g, lone[0]) > 1 for g in goals if g is not None):
            return _named("parts", man=lone[1])
        return None
    if board.is_capture(reply) or reply.promotion is not None:
        return None
    fresh = lone and lone[0] in now.attacks(reply.to_square) and not board.attackers(attacker, lone[0])
    if lone and fresh and not now.attackers(not attacker, lone[0]):
        return _named("hits", man=lone[1])
    if board.is_check():
        return None
    waits = passed(board)
    hung = loose(waits)
    if len(hung) == 1 and not loose(now):
        (square,) = hung
        return _named("saves", man=board.piece_type_at(square))
    ways = [{m.to_square for m in b.legal_moves if m.from_square == king} for b in (waits, now)]
    taken = sorted(s for s in ways[0] - ways[1] if board.piece_at(s) is None)
    if 1 <= len(taken) <= 3 and not men:
        return _named("takes", [chess.square_name(s) for s in taken])
    return _named("nears") if reply.from_square == king_of(board, attacker) and plain(reply, king) else None


def _named(does: str, squares: list[str] | None = None, man: int | None = None) -> dict[str, object]:
    return {"does": does, "squares": squares or [], "man": None if man is None else chess.piece_name(man)}
