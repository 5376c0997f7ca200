"""Why an attacked man is saved on this square, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas import saved
from tests.witness.ideas.critical import then
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.refutation import means
from tests.witness.ideas.waiting_move import Told


def lines(board: chess.Board, attacker: bool) -> list[str]:
    heavy = [s for s, p in board.piece_map().items() if p.color == attacker and p.piece_type != chess.KING]
    if len(heavy) != 1 or board.piece_type_at(heavy[0]) not in (chess.ROOK, chess.QUEEN):
        return []
    names = [chess.square_name(s) for s in (heavy[0], king_of(board, True), king_of(board, False))]
    found = []
    for place, word in ((1, "rank"), (0, "file")):
        at, one, other = (name[place] for name in names)
        found += [f"{word} {at}"] if one < at < other or other < at < one else []
    return found


def worth(board: chess.Board, told: Told) -> tuple[int, int]:
    """Return what a position is worth to the side that has just moved, more where it is better."""
    outcome = -told.outcome(board)
    plies = (told.mate_plies(board) or 0) if outcome else 0
    return outcome, plies if outcome < 0 else -plies


HITS = ["mate", "capture", "fork", "skewer", "attack"]


def how(before: chess.Board, there: chess.Board, reply: chess.Move, attacker: bool, man: int) -> str:
    means_it = means(before, there, reply, attacker)[0]
    if means_it in HITS[:-1]:
        return means_it
    return "attack" if man in saved.endangered(then(there, reply), attacker) else "none"


def blow(
    before: chess.Board, there: chess.Board, attacker: bool, told: Told, man: int
) -> tuple[chess.Move, str] | None:
    rows = {reply: worth(then(there, reply), told) for reply in there.legal_moves}
    best = sorted((r for r in rows if rows[r] == max(rows.values())), key=lambda reply: reply.uci())
    hits = [(reply, how(before, there, reply, attacker, man)) for reply in best]
    return min(hits, key=lambda hit: HITS.index(hit[1])) if hits and all(by in HITS for _, by in hits) else None


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    mine = saved.claim(before, move, after, attacker)
    if mine is None or not mine["moved"] or told.outcome(after) != -1:
        return None
    same = [
        other
        for other in sorted(before.legal_moves, key=lambda m: m.uci())
        if other.from_square == move.from_square
        and other != move
        and saved.claim(before, other, then(before, other), attacker) == mine
    ]
    best = worth(after, told)
    values = {other: worth(then(before, other), told) for other in same}
    rivals = [other for other in same if values[other][0] < 1]
    rivals = rivals or [other for other in same if values[other][1] <= best[1] - 4]
    good = [other for other in same if other not in rivals]
    if not rivals:
        return None
    held = [name for name in lines(after, attacker) if all(name in lines(then(before, o), attacker) for o in good)]
    line = next((n for n in held if any(n not in lines(then(before, o), attacker) for o in rivals)), "")
    left = [o for o in rivals if not line or line in lines(then(before, o), attacker)]
    blows = [(o, blow(before, then(before, o), attacker, told, o.to_square)) for o in left]
    if any(hit is None for _, hit in blows):
        return None
    told_of: dict[str, object] = {"kind": "safe_here", "line": line, "rival": None, "reply": None, "means": None}
    if blows:
        rival, hit = min(((o, hit) for o, hit in blows if hit), key=lambda item: HITS.index(item[1][1]))
        told_of |= {"rival": rival.uci(), "reply": hit[0].uci(), "means": hit[1]}
    place = 1 if line.startswith("rank") else 0
    others = [s for s, p in after.piece_map().items() if p.color != attacker and p.piece_type != chess.KING]
    at, king, *men = (chess.square_name(s)[place] for s in (move.to_square, king_of(after, not attacker), *others))
    together = bool(line and others) and all((man > at) == (king > at) and man != at for man in men)
    return told_of | {"together": together}
