"""Conditions about the attacker's only pawn: who guards it, where the kings stand to it.

Definition. The pawn is *safe* when another man guards it, every man on the board standing in the way, when its king is
next to it, or when the defending king is outside its square. Its way is *sure* when its king is on the promotion square
or next to it, or the defending king is outside the square. Steps are king's steps.
"""

from __future__ import annotations

import chess

from matebot.ideas.squares import Men, in_order, king_steps

_LIGHT = chess.BB_LIGHT_SQUARES


def pawn_of(men: Men, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's only pawn as White would see it."""
    own = men.pawns & men.of(attacker)
    return turned(own.bit_length() - 1, attacker) if own.bit_count() == 1 else None


def turned(square: chess.Square, attacker: chess.Color) -> chess.Square:
    """Return a square as White would see it if he were the attacker."""
    return square if attacker == chess.WHITE else chess.square_mirror(square)


def on_key_square(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacking king stands on a key square of its pawn or past them, or guards it (see `Condition`)."""
    pawn, king = pawn_of(men, attacker), turned(men.king(attacker), attacker)
    if pawn is None:
        return False
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    column, row = chess.square_file(king), chess.square_rank(king)
    if king_steps(king, pawn) <= 1 and king_steps(turned(men.king(not attacker), attacker), pawn) <= 4:
        return True
    if file in (0, 7):
        return column == (1 if file == 0 else 6) and row >= 6
    rows = (rank + 2,) if rank <= 3 else (rank + 1, rank + 2) if rank < 6 else (6, 7)
    return (row in rows or row > max(rows)) and abs(column - file) <= 1


def outside_square(men: Men, attacker: chess.Color) -> bool:
    """Whether the defending king is outside the square of the pawn."""
    pawn, king = pawn_of(men, attacker), turned(men.king(not attacker), attacker)
    return pawn is not None and king_steps(king, chess.square(chess.square_file(pawn), 7)) > 7 - chess.square_rank(pawn)


def in_front(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacking king is in front of its pawn."""
    pawn, king = pawn_of(men, attacker), turned(men.king(attacker), attacker)
    if pawn is None or abs(chess.square_file(king) - chess.square_file(pawn)) > 1:
        return False
    return chess.square_rank(king) > chess.square_rank(pawn)


def on_seventh(men: Men, attacker: chess.Color) -> bool:
    """Whether the pawn is on its seventh rank."""
    pawn = pawn_of(men, attacker)
    return pawn is not None and chess.square_rank(pawn) == 6


def pawn_safe(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacker's pawn is safe."""
    return outside_square(men, attacker) or king_guards_pawn(men, attacker) or _guarded_by_man(men, attacker)


def way_sure(men: Men, attacker: chess.Color) -> bool:
    """Whether the way of the attacker's pawn is sure."""
    pawn = pawn_of(men, attacker)
    if pawn is None:
        return False
    promotion = chess.square(chess.square_file(pawn), 7)
    return outside_square(men, attacker) or king_steps(turned(men.king(attacker), attacker), promotion) <= 1


def king_guards_pawn(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacking king is next to its pawn."""
    pawn = pawn_of(men, attacker)
    return pawn is not None and king_steps(turned(men.king(attacker), attacker), pawn) <= 1


def corner_held(men: Men, attacker: chess.Color) -> bool:
    """Whether the pawn is no rook's pawn, or a bishop goes on the colour of its promotion square."""
    pawn = pawn_of(men, attacker)
    if pawn is None:
        return False
    file = chess.square_file(pawn)
    promotion = chess.BB_SQUARES[turned(chess.square(file, 7), attacker)]
    bishops = men.bishops & men.of(attacker)
    colour = _LIGHT if promotion & _LIGHT else chess.BB_ALL & ~_LIGHT
    return file not in (0, 7) or bool(bishops & colour)


def _guarded_by_man(men: Men, attacker: chess.Color) -> bool:
    pawn = men.pawns & men.of(attacker)
    if pawn.bit_count() != 1:
        return False
    board = chess.Board(None)
    board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings = men[:6]
    board.occupied_co, board.occupied = [men.black, men.white], men.white | men.black
    others = men.of(attacker) & ~men.kings & ~pawn
    return any(board.attacks_mask(square) & pawn for square in in_order(others))
