"""The cage, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_range

CORNERS = ("a1", "a8", "h1", "h8")
LIGHT_CORNERS, DARK_CORNERS = ("a8", "h1"), ("a1", "h8")


def is_light(square: int) -> bool:
    return (square // 8 + square % 8) % 2 == 1


def mating_corners(board: chess.Board, attacker: bool) -> tuple[str, ...]:
    letters: list[str] = []
    for square in chess.SQUARES:
        piece = board.piece_at(square)
        if piece is not None and piece.color == attacker:
            letter = piece.symbol().upper()
            letters.append({True: "L", False: "D"}[is_light(square)] if letter == "B" else letter)
    if "Q" in letters or "R" in letters or ("L" in letters and "D" in letters):
        return CORNERS
    if "N" in letters and "L" in letters:
        return LIGHT_CORNERS
    if "N" in letters and "D" in letters:
        return DARK_CORNERS
    return ()


def small_and_near(squares: set[int], corners: tuple[str, ...]) -> bool:
    def away(names: tuple[str, ...]) -> int:
        return min((chess.square_distance(s, chess.parse_square(n)) for s in squares for n in names), default=99)

    others = tuple(name for name in CORNERS if name not in corners)
    return len(squares) <= 14 and bool(corners) and away(corners) <= away(others)


def cage(board: chess.Board, attacker: bool) -> set[int] | None:
    squares = king_range(board, attacker)
    return squares if small_and_near(squares, mating_corners(board, attacker)) else None


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = cage(before, attacker), cage(after, attacker)
    mine = before.turn == attacker
    change = ""
    if mine and was is None and now is not None:
        change = "shuts"
    if mine and was is not None and now is None:
        change = "opens"
    if mine and was is not None and now is not None:
        change = "tightens" if len(now) < len(was) else "widens" if len(now) > len(was) else "holds"
    if not mine and was is None and now is not None:
        change = "enters"
    if not mine and was is not None and now is None:
        change = "leaves"
    sizes = len(king_range(before, attacker)), len(king_range(after, attacker))
    return {"kind": "cage", "change": change, "size_before": sizes[0], "size_after": sizes[1]} if change else None
