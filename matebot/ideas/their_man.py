"""Conditions about the defender's only man: how its pawn is held, where the kings stand to it.

Definition. The *square before* a pawn is the next one on its way. A pawn is *held* when a man stands on that square, or
when the attacker, with the pawn lifted off the board, attacks its king (check or pin) or guards that square: it cannot
go on, or not without being taken. The attacking king is in the *square* of the pawn when it needs no more steps to the
promotion square than the pawn (a double step not counted). Steps are king's steps.
"""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.ideas.squares import Men, guarding, king_steps, shut_mask


def their_man(men: Men, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the defender's only man beside the king."""
    theirs = men.of(not attacker) & ~men.kings
    return theirs.bit_length() - 1 if theirs.bit_count() == 1 else None


def man_away(men: Men, attacker: chess.Color) -> bool:
    """Whether the defender's only man does not stand beside its king."""
    man = their_man(men, attacker)
    return man is not None and king_steps(men.king(not attacker), man) > 1


def forked(men: Men, attacker: chess.Color) -> bool:
    """Whether one man of the attacker attacks the defender's king and his only man; lines go through the king."""
    man = their_man(men, attacker)
    if man is None:
        return False
    both = chess.BB_SQUARES[man] | chess.BB_SQUARES[men.king(not attacker)]
    return any(reach & both == both for _, reach in guarding(men, attacker))


def their_pawn(men: Men, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the defender's pawn where it is his only man beside the king."""
    man = their_man(men, attacker)
    return man if man is not None and men.pawns & chess.BB_SQUARES[man] else None


def promotion_of(pawn: chess.Square, attacker: chess.Color) -> chess.Square:
    """Return the square on which a pawn of the defender's promotes."""
    return chess.square(chess.square_file(pawn), 0 if attacker == chess.WHITE else 7)


def before_pawn(pawn: chess.Square, attacker: chess.Color) -> chess.Square:
    """Return the next square on the way of a pawn of the defender's."""
    return pawn - 8 if attacker == chess.WHITE else pawn + 8


def pawn_held(men: Men, attacker: chess.Color) -> bool:
    """Whether the defender's pawn is held."""
    pawn = their_pawn(men, attacker)
    if pawn is None:
        return False
    before, king = chess.BB_SQUARES[before_pawn(pawn, attacker)], chess.BB_SQUARES[men.king(not attacker)]
    return bool((men.white | men.black) & before or lifted_attacks(men, attacker, pawn) & (before | king))


def pawn_blocked(men: Men, attacker: chess.Color) -> bool:
    """Whether a man of the attacker, or the king, stands on the square before the defender's pawn."""
    pawn = their_pawn(men, attacker)
    return pawn is not None and bool(men.of(attacker) & chess.BB_SQUARES[before_pawn(pawn, attacker)])


def on_seventh(men: Men, attacker: chess.Color) -> bool:
    """Whether the defender's pawn is on its seventh rank."""
    pawn = their_pawn(men, attacker)
    return pawn is not None and chess.square_rank(pawn) == (1 if attacker == chess.WHITE else 6)


def lifted_attacks(men: Men, attacker: chess.Color, pawn: chess.Square) -> int:
    """Return the squares the attacker would guard with a pawn lifted off the board."""
    gone = ~chess.BB_SQUARES[pawn]
    return shut_mask(men._replace(pawns=men.pawns & gone, white=men.white & gone, black=men.black & gone), attacker)


def king_within(steps: int) -> Callable[[Men, chess.Color], bool]:
    """Tell whether the attacking king is at most so many steps from the square where the defender's pawn promotes."""

    def seer(men: Men, attacker: chess.Color) -> bool:
        pawn = their_pawn(men, attacker)
        return pawn is not None and king_steps(men.king(attacker), promotion_of(pawn, attacker)) <= steps

    return seer


def king_by_pawn(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacking king is at most two steps from the defender's pawn."""
    pawn = their_pawn(men, attacker)
    return pawn is not None and king_steps(men.king(attacker), pawn) <= 2


def king_in_square(men: Men, attacker: chess.Color) -> bool:
    """Whether the attacking king is in the square of the defender's pawn."""
    pawn = their_pawn(men, attacker)
    if pawn is None:
        return False
    goal = promotion_of(pawn, attacker)
    return king_steps(men.king(attacker), goal) <= king_steps(pawn, goal)


def cut_from_pawn(men: Men, attacker: chess.Color, piece: chess.Square | None) -> bool:
    """Whether a rank or file of a piece lies between the defender's pawn and its king."""
    pawn, king = their_pawn(men, attacker), men.king(not attacker)
    if pawn is None or piece is None:
        return False
    for line in (chess.square_rank, chess.square_file):
        ends = sorted((line(pawn), line(king)))
        if ends[0] < line(piece) < ends[1]:
            return True
    return False


def defender_before_pawn(men: Men, attacker: chess.Color) -> bool:
    """Whether the defending king stands on the square before its own pawn."""
    pawn = their_pawn(men, attacker)
    return pawn is not None and men.king(not attacker) == before_pawn(pawn, attacker)


def pawn_falls(men: Men, attacker: chess.Color) -> bool:
    """Whether the defender's pawn is attacked and can be taken: its king does not guard it, or two men attack it."""
    pawn = their_pawn(men, attacker)
    if pawn is None or not shut_mask(men, attacker) & chess.BB_SQUARES[pawn]:
        return False
    attackers = sum(bool(reach & chess.BB_SQUARES[pawn]) for _, reach in guarding(men, attacker))
    return attackers > 1 or king_steps(men.king(not attacker), pawn) > 1
