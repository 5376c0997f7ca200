"""What a longer defence denies the attacker, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.box import box
from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, king_range
from tests.witness.ideas.refutation import means
from tests.witness.ideas.waiting_move import Told

BLOWS = ("capture", "fork", "skewer")


def mates_soonest(board: chess.Board, move: chess.Move, told: Told) -> bool:
    """Whether a move wins here, and none of the others that win mates sooner."""
    if move not in board.legal_moves or told.outcome(then(board, move)) != -1:
        return False
    wins = [told.mate_plies(then(board, m)) for m in board.legal_moves if told.outcome(then(board, m)) == -1]
    return told.mate_plies(then(board, move)) == min(n for n in wins if n is not None)


def best_answer(board: chess.Board, told: Told) -> chess.Move | None:
    """Return the move that is taught where it mates soonest, else the first that does."""
    quick = sorted((m for m in board.legal_moves if mates_soonest(board, m, told)), key=chess.Move.uci)
    return next((m for m in [told.answer(board), *quick] if m in quick), None)


def apart(board: chess.Board) -> int:
    return chess.square_distance(king_of(board, True), king_of(board, False))


def only_edge(board: chess.Board, attacker: bool) -> bool:
    """Whether there are replies, and all are steps of the defending king to the edge."""
    king = king_of(board, not attacker)
    return {(m.from_square == king, edge(m.to_square) == 0) for m in board.legal_moves} == {(True, True)}


def wins_man(board: chess.Board, squares: list[int]) -> bool:
    """Whether a man on one of the squares falls for nothing whatever the reply."""
    for reply in board.legal_moves:
        after = then(board, reply)
        men = [reply.to_square if s == reply.from_square else s for s in squares]
        takes = [m for m in after.legal_moves if m.to_square in men]
        free = [m for m in takes if m.to_square not in [r.to_square for r in then(after, m).legal_moves]]
        if not free:
            return False
    return True


def passed(board: chess.Board) -> chess.Board:
    """Return the same men with the other side to move."""
    return chess.Board(f"{board.board_fen()} {'b' if board.turn else 'w'} - - 0 1")


def room(board: chess.Board, attacker: bool) -> int:
    return len(king_range(board, attacker)) - board.is_check()


def boxed(board: chess.Board, attacker: bool) -> int:
    size = box(board, attacker)
    return 64 if size is None or board.queens else size


def safe(board: chess.Board, attacker: bool) -> bool:
    """Whether no man of the attacker can be taken by the next move, and none stands unguarded next to the king."""
    near = board.attacks(king_of(board, not attacker)) & chess.SquareSet(board.occupied_co[attacker])
    loose = [s for s in near if not board.attackers(attacker, s)]
    captures = [m for m in board.legal_moves if board.is_capture(m)]
    own = chess.popcount(board.occupied_co[not attacker])
    return not loose and (own == 1 or not captures)


def let_in(
    there: chess.Board, answer: chess.Move, best: chess.Board, attacker: bool, like: list[chess.Board] | None = None
) -> dict[str, object] | None:
    """Return what the answer does in one position that no move of the attacker does in the other, one of some alike."""
    alike = [best, *(like or [])]
    now, moves = then(there, answer), list(best.legal_moves)
    if now.is_checkmate():
        return None
    how, squares = means(there, there, answer, attacker)
    if how == "capture" or (how in BLOWS and wins_man(now, squares)):
        for one, m in [(board, m) for board in alike for m in board.legal_moves]:
            taken = [r for r in then(one, m).legal_moves if r.to_square == m.to_square]
            blow, hits = means(one, one, m, attacker)
            wins = one is best or blow == "capture" or (blow in BLOWS and wins_man(then(one, m), hits))
            if not taken and blow in BLOWS and wins:
                return None
        board = there if how == "capture" else now
        men = [chess.piece_name(k) for s in squares if (k := board.piece_type_at(s)) not in (None, chess.KING)]
        return {"what": how, "man": men[0] if men else None, "number": 0, "at_least": 0, "left": []}
    after = [(m, then(best, m)) for m in moves]
    if answer.promotion and now.is_check():
        if any(m.promotion and then(one, m).is_check() for one in alike for m in one.legal_moves):
            return None
        return {"what": "promotion", "man": None, "number": 0, "at_least": 0, "left": []}
    king = king_of(there, attacker)
    if answer.from_square == king:
        near = min([apart(b) for m, b in after if m.from_square == king_of(best, attacker)], default=8)
        if apart(now) <= 3 and apart(now) < near and not any(answer in b.legal_moves for b in alike):
            return {"what": "king", "man": None, "number": apart(now), "at_least": near, "left": []}
    if (
        all(edge(king_of(b, not attacker)) > 0 for b in alike)
        and only_edge(now, attacker)
        and not only_edge(passed(there), attacker)
        and not any(only_edge(then(one, m), attacker) for one in alike for m in one.legal_moves)
    ):
        return {"what": "edge", "man": None, "number": 0, "at_least": 0, "left": []}
    small = boxed(now, attacker)
    smallest = min([boxed(b, attacker) for _, b in after if safe(b, attacker)], default=64)
    if small <= 0.75 * min(smallest, boxed(there, attacker)):
        return {"what": "box", "man": None, "number": small, "at_least": smallest, "left": []}
    least = min([room(b, attacker) for _, b in after if safe(b, attacker)], default=0)
    if room(now, attacker) <= min(16, 0.75 * least, 0.75 * room(there, attacker)):
        checked = {king_of(now, not attacker)} if now.is_check() else set()
        left = sorted(king_range(now, attacker) - checked)
        number = {"number": room(now, attacker), "at_least": least}
        return {"what": "room", "man": None, **number, "left": [chess.square_name(s) for s in left]}
    return None


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker:
        return None
    lengths = {other.uci(): lasts(before, other, told) for other in before.legal_moves}
    mine = lengths[move.uci()]
    if max(lengths.values()) > mine or mine == float("inf"):
        return None
    shorter = sorted((name for name in lengths if lengths[name] < mine), key=lambda name: (-lengths[name], name))
    like = [then(before, m) for m in before.legal_moves if lengths[m.uci()] == mine and m != move]
    for name in shorter[:3]:
        there = then(before, chess.Move.from_uci(name))
        answer = best_answer(there, told)
        found = None if answer is None else let_in(there, answer, after, attacker, like)
        if found is not None and answer is not None:
            if found["what"] in ("edge", "box", "room") and any(mates_soonest(b, answer, told) for b in [after, *like]):
                continue
            return {"kind": "denies", "other": name, "answer": answer.uci(), **found}
    return None
