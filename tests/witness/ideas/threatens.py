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
        if other in before.legal_moves or other.from_square in [reply.to_square for reply in after.legal_moves]:
            continue
        then = again.copy()
        then.push(other)
        victim, man = again.piece_type_at(other.to_square), again.piece_type_at(other.from_square)
        taken = other.to_square in [reply.to_square for reply in then.legal_moves]
        if then.is_checkmate():
            found = (0, other.uci(), "mate", other.to_square, man or 0)
        elif other.promotion == chess.QUEEN and not taken:
            found = (1, other.uci(), "promotion", other.to_square, chess.QUEEN)
        elif victim and not taken and other.to_square not in [m.to_square for m in before.legal_moves]:
            found = (2, other.uci(), "capture", other.to_square, victim)
        else:
            continue
        best = found if best is None else min(best, found)
    if best is None:
        return None
    _, name, threat, square, kind = best
    told: dict[str, object] = {"kind": "threatens", "threat": threat, "move": name}
    told["sure"] = threat == "promotion" and all(lets_through(after, reply, name) for reply in after.legal_moves)
    return told | {"square": chess.square_name(square), "man": chess.piece_name(kind)}


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
