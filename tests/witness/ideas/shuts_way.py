"""A way shut, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import CORNERS, mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import beside, king_of, names, shut


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker:
        return None
    king, far = king_of(after, not attacker), chess.square_distance
    was, now = shut(before, attacker), shut(after, attacker)
    free = [s for s in beside(king) if after.piece_at(s) is None]
    fresh = [s for s in free if s in now and s not in was]
    left = [s for s in free if s not in now]
    men = {side: [s for s, p in after.piece_map().items() if p.color == side and p.piece_type != chess.KING] for side in
           (True, False)}  # fmt: skip
    good = sorted(chess.parse_square(name) for name in mating_corners(after, attacker))
    bad = [c for c in sorted(map(chess.parse_square, CORNERS)) if good and c not in good]
    tries: list[tuple[str, int | None, list[int], list[int]]] = []

    def lead(aim: str, target: int | None, serves: list[bool]) -> None:
        serving = {square for square, does in zip(beside(king), serves, strict=True) if does}
        tries.append((aim, target, [s for s in fresh if s in serving], [s for s in left if s in serving]))

    if len(men[not attacker]) == 1:
        (target,) = men[not attacker]
        lead("own man", target, [far(s, target) < far(king, target) for s in beside(king)])
    if len(men[attacker]) == 1 and after.piece_type_at(men[attacker][0]) == chess.PAWN:
        (target,) = men[attacker]
        lead("pawn", target, [far(s, target) < far(king, target) for s in beside(king)])
    if bad and min(far(king, c) for c in bad) <= 3:
        target = sorted(bad, key=lambda c: far(king, c))[0]
        lead("wrong corner", target, [far(s, target) < far(king, target) for s in beside(king)])
    lead("centre", None, [edge(s) > edge(king) for s in beside(king)])
    if good and min(far(king, c) for c in good) <= 3:
        target = sorted(good, key=lambda c: far(king, c))[0]
        lead("out of the corner", target, [far(s, target) > far(king, target) for s in beside(king)])
    for aim, goal, squares, more in tries:
        if squares:
            where = None if goal is None else chess.square_name(goal)
            return {"kind": "shuts_way", "aim": aim, "squares": names(squares), "target": where, "last": not more}
    return None
