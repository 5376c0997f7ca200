"""A guarded man pinned, said again by taking it away."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or after.is_check():
        return None
    replies = list(after.legal_moves)
    if any(reply.to_square == move.to_square for reply in replies):
        return None
    for square, piece in sorted(after.piece_map().items()):
        if piece.color == attacker or piece.symbol().upper() in "KP":
            continue
        if any(reply.from_square == square for reply in replies) or not after.attackers(not attacker, square):
            continue
        if _checked(after, square, attacker) == {move.to_square} and not _checked(before, square, attacker):
            return {"kind": "pins", "square": chess.square_name(square), "man": chess.piece_name(piece.piece_type)}
    return None


def _checked(board: chess.Board, square: chess.Square, attacker: bool) -> set[chess.Square]:
    """Return from where the king is attacked without the man on a square, beyond what attacks it anyway."""
    bare = board.copy()
    bare.remove_piece_at(square)
    king = board.king(not attacker)
    assert king is not None
    return set(bare.attackers(attacker, king)) - set(board.attackers(attacker, king))
