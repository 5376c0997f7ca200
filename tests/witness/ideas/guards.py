"""Guards, tied and free men, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage, lines_of
from tests.witness.ideas.king_range import beside, king_of, king_range, names, without_king


def guards(board: chess.Board, attacker: bool) -> dict[int, list[int]]:
    inside, bare = king_range(board, attacker), without_king(board, attacker)
    found: dict[int, list[int]] = {}
    for square in chess.SQUARES:
        if square not in inside and any(other in inside for other in beside(square)):
            found[square] = [man for man in own_men(board, attacker) if square in bare.attacks(man)]
    return found


def own_men(board: chess.Board, attacker: bool) -> list[int]:
    return [square for square in chess.SQUARES if board.color_at(square) == attacker]


def tied(board: chess.Board, attacker: bool) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for square, men in guards(board, attacker).items():
        if len(men) == 1:
            found.setdefault(men[0], []).append(square)
    return found


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker:
        return None
    bound, now = tied(before, attacker), king_range(after, attacker)
    near = beside(king_of(before, not attacker))
    if cage(before, attacker) is None:
        bound = {man: [s for s in held if s in near] for man, held in bound.items()}
        bound = {man: held for man, held in bound.items() if held}
    others = sorted(man for man in bound if man != move.from_square)
    let_go = [square for square in bound.get(move.from_square, []) if square in now]
    free = move.from_square not in bound and bool(others) and len(now) <= len(king_range(before, attacker))
    piece = before.piece_at(move.from_square)
    assert piece is not None
    freed: list[int] = []
    if free:
        last = tied(after, attacker)
        if cage(before, attacker) is None:
            last = {man: [s for s in held if s in near] for man, held in last.items()}
        guarded = without_king(after, attacker).attacks(move.to_square) if piece.piece_type != chess.KING else ()
        loose = [man for man in others if not last.get(man)]
        freed = [man for man in loose if all(square in guarded for square in bound[man])][:1]
        others = [man for man in others if last.get(man)]
        free = bool(others or freed)
    if not let_go and not free:
        return None
    told: dict[str, object] = {"kind": "guards", "man": chess.piece_name(piece.piece_type), "let_go": names(let_go)}
    lines = lines_of(let_go, move.from_square) if piece.piece_type in (chess.BISHOP, chess.ROOK, chess.QUEEN) else []
    held = [square for man in freed for square in bound[man]]
    return told | {"tied": names(others), "along": lines, "freed": names(freed), "held": names(held)}
