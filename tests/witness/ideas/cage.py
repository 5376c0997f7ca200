"""The cage, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_range, names, shut, without_king

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
    if not change:
        return None
    told: dict[str, object] = {"kind": "cage", "change": change, "size_before": sizes[0], "size_after": sizes[1]}
    ways: list[int] = []
    if change in ("shuts", "tightens") and now is not None:
        round_it = {b for s in now for b in beside(s)} - now
        ways = sorted(s for s in round_it if s in shut(after, attacker) and s not in shut(before, attacker))
        ways = [s for s in ways if s != move.from_square]
    same = king_range(before, attacker) == king_range(after, attacker)
    loose = [chess.square_name(s) for s in sorted(king_range(after, attacker)) if after.color_at(s) == attacker]
    lines = along(ways, after, move.to_square, attacker)
    return (
        told
        | {"gate": names(ways), "along": lines, "same": same, "loose": loose}
        | {"room": names(now or ()) if change in ("shuts", "tightens") else []}
    )


def along(ways: list[int], board: chess.Board, man: int, attacker: bool) -> list[str]:
    """Return the fewest lines through a queen, rook or bishop on which three squares or more lie, all guarded by it."""
    if len(ways) < 3 or any(s not in without_king(board, attacker).attacks(man) for s in ways):
        return []
    if board.piece_type_at(man) not in (chess.BISHOP, chess.ROOK, chess.QUEEN):
        return []
    return lines_of(ways, man)


def lines_of(squares: list[int], man: int) -> list[str]:
    """Return the lines of a man that reach squares, where they are at most two."""
    found = {line_of(man, square) for square in squares}
    return sorted(found, key=_rising_last) if len(found) < 3 else []


def line_of(man: int, square: int) -> str:
    """Return the line that joins two squares."""
    if man // 8 == square // 8:
        return f"rank {man // 8 + 1}"
    if man % 8 == square % 8:
        return f"file {'abcdefgh'[man % 8]}"
    slope = (square // 8 - man // 8) // (square % 8 - man % 8)
    ends = sorted((s for s in chess.SQUARES if s // 8 - slope * (s % 8) == man // 8 - slope * (man % 8)), key=_file)
    return f"diagonal {chess.square_name(ends[0])}-{chess.square_name(ends[-1])}"


def _file(square: int) -> int:
    return square % 8


def _rising_last(line: str) -> tuple[int, bool]:
    """Put ranks first, then files, rising diagonals, falling ones."""
    kind, name = line.split()
    return ["rank", "file", "diagonal"].index(kind), name[1:2] > name[-1]
