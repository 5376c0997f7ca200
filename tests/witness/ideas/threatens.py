"""A threat, said again with the turn given back."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if after.is_check() or after.is_stalemate():
        return None
    placing = after.board_fen()
    again = chess.Board(f"{placing} {'w' if before.turn else 'b'} - - 0 1")
    best: tuple[int, str, str, int, int] | None = None
    for other in again.legal_moves:
        if other.from_square in [reply.to_square for reply in after.legal_moves]:
            continue
        then = again.copy()
        then.push(other)
        victim, man = again.piece_type_at(other.to_square), again.piece_type_at(other.from_square)
        taken = other.to_square in [reply.to_square for reply in then.legal_moves]
        could = other in before.legal_moves
        if then.is_checkmate() and not could:
            found = (0, other.uci(), "mate", other.to_square, man or 0)
        elif other.promotion == chess.QUEEN and not taken and not could:
            found = (1, other.uci(), "promotion", other.to_square, chess.QUEEN)
        elif victim and not (taken or then.is_checkmate() or other.promotion == chess.QUEEN or fell(before, other)):
            found = (2, other.uci(), "capture", other.to_square, victim)
        else:
            continue
        best = found if best is None else min(best, found)
    if best is None:
        return None
    _, name, threat, square, kind = best
    told: dict[str, object] = {"kind": "threatens", "threat": threat, "move": name}
    told["sure"] = threat == "promotion" and all(lets_through(after, reply, name) for reply in after.legal_moves)
    before_it, after_it = (list(board.attackers(before.turn, square)) for board in (before, after))
    comes = move.to_square in after_it and move.from_square not in before_it
    told["again"] = bool(after.piece_at(square)) and comes and any(man in after_it for man in before_it)
    return told | {"square": chess.square_name(square), "man": chess.piece_name(kind)}


def fell(before: chess.Board, take: chess.Move) -> bool:
    """Whether the man that a capture takes could be taken for nothing before."""
    found = False
    for move in before.legal_moves:
        if move.to_square == take.to_square:
            there = before.copy()
            there.push(move)
            found = found or all(back.to_square != take.to_square for back in there.legal_moves)
    return found


def lets_through(after: chess.Board, reply: chess.Move, promotion: str) -> bool:
    """Whether a reply may be taken, or the pawn then becomes a queen that cannot be."""
    there = after.copy()
    there.push(reply)
    if reply.to_square in [move.to_square for move in there.legal_moves]:
        return True
    if promotion not in [move.uci() for move in there.legal_moves]:
        return there.is_check() and any(answered(there, answer, promotion) for answer in there.legal_moves)
    there.push_uci(promotion)
    return there.peek().to_square not in [move.to_square for move in there.legal_moves]


def answered(board: chess.Board, answer: chess.Move, promotion: str) -> bool:
    """Whether after an answer to a check no reply checks again or stops the pawn."""
    there = board.copy()
    there.push(answer)
    return all(not there.gives_check(m) and lets_through(there, m, promotion) for m in there.legal_moves)
