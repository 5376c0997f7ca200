"""A way shut, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import CORNERS, mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import beside, king_of, names, shut


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker:
        return None
    was, now = shut(before, attacker), shut(after, attacker)
    free = [s for s in beside(king_of(after, not attacker)) if after.piece_at(s) is None]
    for aim, target, serving in leading(after, attacker):
        squares = [s for s in free if s in now and s not in was and s in serving]
        if squares:
            last = not [s for s in free if s not in now and s in serving]
            return {"kind": "shuts_way", "aim": aim, "squares": names(squares), "target": target, "last": last}
    return None


def leading(board: chess.Board, attacker: bool) -> list[tuple[str, str | None, list[int]]]:
    """Return where ways of the defending king lead: aim, man or corner, squares next to the king that lead there."""
    near = beside(king_of(board, not attacker))
    return [(aim, goal, [s for s in serving if s in near]) for aim, goal, serving in anywhere(board, attacker)]


def anywhere(board: chess.Board, attacker: bool) -> list[tuple[str, str | None, list[int]]]:
    """Return the same with all squares of the board that lead there, measured from where the king stands."""
    king, far = king_of(board, not attacker), chess.square_distance
    men: dict[bool, list[int]] = {True: [], False: []}
    for square, piece in board.piece_map().items():
        if piece.piece_type != chess.KING:
            men[piece.color].append(square)
    good = sorted(chess.parse_square(name) for name in mating_corners(board, attacker))
    bad = [c for c in sorted(map(chess.parse_square, CORNERS)) if good and c not in good]
    goals: list[tuple[str, int]] = []
    if len(men[not attacker]) == 1:
        goals.append(("own man", men[not attacker][0]))
    if len(men[attacker]) == 1 and board.piece_type_at(men[attacker][0]) == chess.PAWN:
        goals.append(("pawn", men[attacker][0]))
    if bad and min(far(king, c) for c in bad) <= 3:
        goals.append(("wrong corner", sorted(bad, key=lambda c: far(king, c))[0]))
    found: list[tuple[str, str | None, list[int]]] = [
        (aim, chess.square_name(goal), [s for s in chess.SQUARES if far(s, goal) < far(king, goal)])
        for aim, goal in goals
    ]
    found.append(("centre", None, [s for s in chess.SQUARES if edge(s) > edge(king)]))
    heavy = board.pieces(chess.QUEEN, attacker) | board.pieces(chess.ROOK, attacker)
    if good and not heavy and min(far(king, c) for c in good) <= 2:
        goal = sorted(good, key=lambda c: far(king, c))[0]
        away = [s for s in chess.SQUARES if far(s, goal) > far(king, goal)]
        found.append(("out of the corner", chess.square_name(goal), away))
    return found
