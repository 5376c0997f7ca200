"""What the lines of queens and rooks leave the defending king.

Definition. A rank or file on which a queen or rook of the attacker stands, and the defending king does not, leaves that
king the lines on its side. Two such men stand on neighbouring lines when these are ranks, or files, next to each other.
A man between counts for nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import chess

from matebot.ideas.squares import Men, in_order

Line = Callable[[chess.Square], int]
_LINES: tuple[Line, ...] = (chess.square_rank, chess.square_file)


def heavy(men: Men, attacker: chess.Color) -> tuple[chess.Square, ...]:
    """Return the squares of the attacker's queens and rooks."""
    return in_order((men.queens | men.rooks) & men.of(attacker))


def shut_in(most: int) -> Callable[[Men, chess.Color], bool]:
    """Return whether some line leaves the defending king so many lines at most."""

    def seer(men: Men, attacker: chess.Color) -> bool:
        king = men.king(not attacker)
        return any(
            line(king) != line(man) and (line(man) if line(king) < line(man) else 7 - line(man)) <= most
            for man in heavy(men, attacker)
            for line in _LINES
        )

    return seer


def on_neighbouring_lines(men: Men, attacker: chess.Color) -> bool:
    """Whether two of the attacker's queens and rooks stand on neighbouring lines."""
    return any(abs(line(a) - line(b)) == 1 for a, b in combinations(heavy(men, attacker), 2) for line in _LINES)


def edge_held(men: Men, attacker: chess.Color) -> bool:
    """Whether a queen or rook holds the line next to the edge on which the defending king stands."""
    king = men.king(not attacker)
    return any((line(king), line(man)) in ((0, 1), (7, 6)) for man in heavy(men, attacker) for line in _LINES)
