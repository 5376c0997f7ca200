"""The purposes of a step of the attacking king, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.guards import tied
from tests.witness.ideas.king_range import beside, king_of, king_range, names, shut
from tests.witness.ideas.waiting_move import opposition


def edge(square: int) -> int:
    return min(square // 8, 7 - square // 8, square % 8, 7 - square % 8)


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or before.piece_type_at(move.from_square) != chess.KING:
        return None
    near, reach, closed = beside(king_of(after, not attacker)), beside(move.to_square), shut(before, attacker)
    fresh = [s for s in near if s in reach and s not in closed and after.color_at(s) != attacker]
    freed, held = [], []
    if len(king_range(after, attacker)) <= len(king_range(before, attacker)):
        was, now = tied(before, attacker), tied(after, attacker)
        for man in was:
            if man != move.from_square and before.piece_at(man) == after.piece_at(man):
                alone_before = [s for s in was[man] if s in near]
                alone_after = [s for s in now.get(man, []) if s in near]
                if alone_before and not alone_after:
                    freed.append(man)
                    held += [s for s in alone_before if s in reach]
    own = [s for s in chess.SQUARES if after.color_at(s) == attacker and after.piece_type_at(s) != chess.KING]
    purposes = []
    if opposition(after) == "direct":
        purposes.append("opposition")
    if fresh:
        purposes.append("shuts")
    if freed:
        purposes.append("frees")
    guarded = [s for s in own if s in reach and s not in closed and attacked_next(after, s, attacker)]
    if guarded:
        purposes.append("guards")
    heavy = [s for s in own if after.piece_type_at(s) in (chess.QUEEN, chess.ROOK)]
    inwards = edge(move.from_square) < 2 and edge(move.to_square) > edge(move.from_square)
    if cage(after, attacker) is None and len(heavy) < 2 and inwards:
        purposes.append("centre")
    stopped = [s for s in pawns_way(after, not attacker) if s in reach and s not in closed]
    if stopped:
        purposes.append("stops")
    if not purposes:
        return None
    told: dict[str, object] = {"kind": "king_nearer", "purposes": purposes}
    told |= {"shut": names(fresh), "freed": names(freed), "held": names(held)}
    return told | {"guarded": names(guarded), "stopped": names(stopped)}


def attacked_next(board: chess.Board, square: int, attacker: bool) -> bool:
    """Whether the other side attacks a square after one of its moves."""
    for reply in list(board.legal_moves):
        there = board.copy()
        there.push(reply)
        if there.is_attacked_by(not attacker, square):
            return True
    return False


def pawns_way(board: chess.Board, white: bool) -> list[int]:
    """Return the squares before the pawn of a side that has nothing else beside its king."""
    men = [s for s, piece in board.piece_map().items() if piece.color == white and piece.piece_type != chess.KING]
    if [board.piece_type_at(s) for s in men] != [chess.PAWN]:
        return []
    (pawn,) = men
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn) == white and s != pawn]
    return [] if any(board.color_at(s) == (not white) for s in way) else way
