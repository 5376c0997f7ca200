"""A minor piece lost to the rook, said again from piece maps."""

from __future__ import annotations

import chess

from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, truth: Told
) -> dict[str, object] | None:
    men = {side: [(p.symbol().lower(), s) for s, p in sorted(after.piece_map().items()) if p.color == side]
           for side in (True, False)}  # fmt: skip
    kinds = {side: sorted(letter for letter, _ in found) for side, found in men.items()}
    if kinds[attacker] != ["k", "r"] or kinds[not attacker] not in (["b", "k"], ["k", "n"]):
        return None
    where = dict(men[not attacker])
    king = where.pop("k")
    ((letter, square),) = where.items()
    corner = None
    if letter == "b":
        for name in ("a1", "h1", "a8", "h8"):
            there = chess.parse_square(name)
            same = sum(divmod(there, 8)) % 2 == sum(divmod(square, 8)) % 2
            if corner is None and same and (there == king or there in chess.SquareSet(chess.BB_KING_ATTACKS[king])):
                corner = name
        if corner is None:
            return None
    elif max(abs(king % 8 - square % 8), abs(king // 8 - square // 8)) < 3:
        return None
    if after.turn == attacker and any(reply.to_square == square for reply in after.legal_moves):
        return None
    result = truth.outcome(after)
    if (result if after.turn == attacker else -result) != 1:
        return None
    return {
        "kind": "minor_lost",
        "minor": {"b": "bishop", "n": "knight"}[letter],
        "square": chess.square_name(square),
        "corner": corner,
        "covered": covered(after, square, attacker) if letter == "n" else [],
    }


def covered(board: chess.Board, knight: int, attacker: bool) -> list[str]:
    """Return the squares of a knight's moves where each is attacked, with the other side's king off the board."""
    goals = [s for s in chess.SquareSet(chess.BB_KNIGHT_ATTACKS[knight]) if board.color_at(s) != (not attacker)]
    bare = board.copy()
    bare.remove_piece_at(bare.king(not attacker) or 0)
    return [chess.square_name(s) for s in goals] if all(bare.attackers(attacker, s) for s in goals) else []
