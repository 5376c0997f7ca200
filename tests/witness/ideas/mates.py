"""Mate, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import beside, king_of, without_king


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if not after.is_checkmate():
        return None
    king = chess.square_name(king_of(after, after.turn))
    man = chess.piece_name(after.piece_type_at(move.to_square) or 0)
    corner = king in ("a1", "h1", "a8", "h8")
    return {"kind": "mates", "king": king, "man": man, "in_corner": corner} | {
        "on_edge": edge(chess.parse_square(king)) == 0,
        "holders": [
            {
                "man": chess.piece_name(after.piece_type_at(s) or 0),
                "square": chess.square_name(s),
                "checks": checks,
                "squares": [*map(chess.square_name, held)],
                "alone": [chess.square_name(to) for to in held if held_alone(after, to)],
            }
            for s, checks, held in holders(after)
        ],
        "blocked": [
            chess.square_name(s) for s in after.attacks(chess.parse_square(king)) if after.color_at(s) == after.turn
        ],
    }


def held_alone(after: chess.Board, square: int) -> bool:
    """Whether one man only guards a square beside the king that is mated."""
    bare = without_king(after, not after.turn)
    return sum(square in bare.attacks(s) for s in chess.SQUARES if after.color_at(s) not in (after.turn, None)) == 1


def holders(after: chess.Board) -> list[tuple[int, bool, list[int]]]:
    """Return who checks and who is the first to hold each square beside the king that is mated."""
    king, attacker = king_of(after, after.turn), not after.turn
    bare = without_king(after, attacker)
    men = [s for s in chess.SQUARES if after.color_at(s) == attacker]
    checking = [s for s in men if s in after.checkers()]
    mine = king_of(after, attacker)
    order = checking + [s for s in men if s not in checking and s != mine] + [mine]
    first: dict[int, list[int]] = {s: [] for s in order}
    for square in beside(king):
        if after.color_at(square) != after.turn:
            first[next(s for s in order if square in bare.attacks(s))].append(square)
    return [(s, s in checking, sorted(held)) for s, held in first.items() if held or s in checking]
