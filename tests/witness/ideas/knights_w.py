"""The knight's W, said again by writing out the eight routes."""

from __future__ import annotations

import chess

from tests.witness.ideas.barrier import pair
from tests.witness.ideas.cage import cage, is_light
from tests.witness.ideas.king_range import king_of

#: Corner, route of the knight, bishop and king when ready, and the edge the route belongs to.
WAYS = {
    ("a8", "f7 e5 d7 c5 b7", "h7", "f6", "rank", "8"),
    ("a8", "b3 d4 b5 d6 b7", "b1", "c3", "file", "a"),
    ("h1", "c2 d4 e2 f4 g2", "a2", "c3", "rank", "1"),
    ("h1", "g6 e5 g4 e3 g2", "g8", "f6", "file", "h"),
    ("a1", "f2 e4 d2 c4 b2", "h2", "f3", "rank", "1"),
    ("a1", "b6 d5 b4 d3 b2", "b8", "c6", "file", "a"),
    ("h8", "c7 d5 e7 f5 g7", "a7", "c6", "rank", "8"),
    ("h8", "g3 e4 g5 e6 g7", "g1", "f3", "file", "h"),
}


def near_edge(king: int, corner: int, line: str, name: str, steps: int) -> bool:
    edge = [s for s in chess.SQUARES if name in chess.square_name(s)]
    within = min(chess.square_distance(king, s) for s in edge) <= steps
    along = chess.square_file if line == "rank" else chess.square_rank
    return within and abs(along(king) - along(corner)) <= 5


def claims(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> list[dict[str, object]]:
    found = []
    for corner_name, route_names, bishop_name, king_name, line, edge in WAYS:
        corner, route = chess.parse_square(corner_name), [chess.parse_square(s) for s in route_names.split()]
        here, there = pair(before, attacker), pair(after, attacker)
        if here is None or there is None or is_light(here[0]) != is_light(corner):
            continue

        def ready(board: chess.Board, route: list[int] = route) -> bool:
            return (
                pair(board, attacker) == (chess.parse_square(bishop_name), route[0])  # noqa: B023
                and chess.square_name(king_of(board, attacker)) == king_name  # noqa: B023
                and near_edge(king_of(board, not attacker), corner, line, edge, 0)  # noqa: B023
            )

        man = before.piece_at(move.from_square)
        assert man is not None
        under_way = (
            here[1] in route[:4]
            and chess.square_distance(king_of(before, attacker), here[1]) <= 2
            and near_edge(king_of(before, not attacker), corner, line, edge, 1)
            and (here[1] != route[0] or ready(before))
        )
        knight = man.symbol().upper() == "N"
        state, step = "", 0
        if ready(after):
            state = "ready"
        elif (
            under_way
            and knight
            and there[1] == route[route.index(here[1]) + 1]
            and near_edge(king_of(before, not attacker), corner, line, edge, 1 if here[1] == route[1] else 0)
        ):
            state, step = "step", route.index(here[1]) + 1
        elif under_way and cage(after, attacker) is not None:
            state = "may stop"
        elif under_way and (knight or here[1] == route[0]):
            state = "leaves"
        if state:
            names = [chess.square_name(s) for s in route]
            kind = chess.piece_name(man.piece_type)
            found.append(
                {"kind": "knights_w", "state": state, "step": step, "man": kind}
                | {"corner": corner_name, "route": names}
            )
    return found


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    found = claims(before, move, after, attacker) if before.turn == attacker else []
    for state in ("ready", "step", "may stop", "leaves"):
        same = [item for item in found if item["state"] == state]
        if same:
            return min(same, key=lambda item: (chess.parse_square(str(item["corner"])), _by_file(item)))
    return None


def _by_file(item: dict[str, object]) -> bool:
    """Whether the route goes along the corner's file: its first and third square lie on one file."""
    route = item["route"]
    assert isinstance(route, list)
    return bool(route[0][0] == route[2][0])
