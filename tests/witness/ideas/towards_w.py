"""On the way to the W, said again over the eight routes written out."""

from __future__ import annotations

import chess

from tests.witness.ideas.barrier import pair
from tests.witness.ideas.cage import cage, is_light
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.knights_w import WAYS, claims


def steps(kind: int, start: int, goal: int) -> int:
    """Count moves on an empty board, square by square outwards."""
    seen, rim, count = {start}, {start}, 0
    while goal not in seen:
        following = set()
        for square in rim:
            board = chess.Board(None)
            board.set_piece_at(square, chess.Piece(kind, True))
            following |= set(board.attacks(square))
        rim = following - seen
        seen |= rim
        count += 1
    return count


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    here = pair(after, attacker)
    if before.turn != attacker or here is None or before.is_capture(move):
        return None
    if cage(before, attacker) is not None or cage(after, attacker) is not None or _under_way(before, attacker):
        return None
    kind = before.piece_type_at(move.from_square)
    assert kind is not None
    king, found = king_of(after, not attacker), []
    for corner_name, route, bishop, post, line, edge in WAYS:
        corner = chess.parse_square(corner_name)
        if is_light(here[0]) != is_light(corner):
            continue
        near = [s for s in chess.SQUARES if edge in chess.square_name(s)]
        if min(chess.square_distance(king, s) for s in near) > 1:
            continue
        along = 1 if edge in "18" else 0
        if abs(ord(corner_name[1 - along]) - ord(chess.square_name(king)[1 - along])) < 4:
            continue
        name = {chess.KNIGHT: route.split()[0], chess.BISHOP: bishop}.get(kind, post)
        goal = chess.parse_square(name)
        was, now = steps(kind, move.from_square, goal), steps(kind, move.to_square, goal)
        if now < was:
            found.append((now, corner, line == "file", name, shut_from(kind, route.split()[0], name, edge)))
    if not found:
        return None
    now, corner, _, name, shuts = min(found)
    return {"kind": "towards_w", "man": chess.piece_name(kind), "post": name, "moves": now} | {
        "corner": chess.square_name(corner),
        "shuts": shuts,
    }


def shut_from(kind: int, knight: str, post: str, edge: str) -> list[str]:
    """Return the squares that a man shuts from its square of the W."""
    board = chess.Board(None)
    board.set_piece_at(chess.parse_square(post), chess.Piece(kind, True))
    reach = [chess.square_name(s) for s in board.attacks(chess.parse_square(post))]
    if kind == chess.KNIGHT:
        return sorted(name for name in reach if name in ("a1", "a8", "h1", "h8"))
    if kind == chess.BISHOP:
        beside = [n for n in reach if chess.square_distance(chess.parse_square(n), chess.parse_square(post)) == 1]
        return sorted(name for name in beside if edge in name)
    shared = "rank" if edge in "18" else "file"
    at = knight[1] if shared == "rank" else knight[0]
    return sorted(name for name in reach if at in name and name != knight)


def _under_way(before: chess.Board, attacker: bool) -> bool:
    """Whether the W is under way: some move of the knight would leave it or be a step of it."""
    board = before.copy(stack=False)
    board.turn = attacker
    knight = pair(board, attacker)
    assert knight is not None
    for target in chess.SQUARES:
        if target in board.attacks(knight[1]) and board.piece_at(target) is None:
            move = chess.Move(knight[1], target)
            after = board.copy(stack=False)
            after.push(move)
            if any(item["state"] != "ready" for item in claims(board, move, after, attacker)):
                return True
    return False
