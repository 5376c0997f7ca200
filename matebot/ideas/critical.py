"""The critical test.

Definition. A move of the defender, lost, that lasts as long as any, while another lasts less long: by how many moves
(of the attacker) longer than the best and the worst of those that last less long, and how many others last as long. It
is the critical test when it lasts longer than every other. Of the best of those that last less long the first by its
name in long algebraic form is the next best; the move that is taught against it is its answer. It is *away from the
edge* when every move that lasts less long is a step of the king to a square nearer to the edge of the board.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, from_edge, is_king_step
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Critical(Idea):
    """A defence that lasts longest.

    Attributes
    ----------
    alone : whether it lasts longer than every other move
    longer_by, most : by how many moves, against the best and the worst that is shorter
    as_long : how many other moves last as long
    next_best, answer : the best move that is shorter, and what is played against it
    like_it : how many others last as long as that one
    off_edge : whether all that are shorter are steps of the king nearer to the edge
    """

    kind: ClassVar[str] = "critical"
    alone: bool
    longer_by: int
    most: int
    as_long: int
    next_best: chess.Move
    answer: chess.Move | None
    like_it: int
    off_edge: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Critical | None:
    """Return whether a move of the defender lasts longest and by how much, None where it does not."""
    mine = truth.mate_plies(after) if before.turn != attacker else None
    if mine is None or truth.outcome(after) <= 0:
        return None
    others: list[tuple[int, str, chess.Move]] = []
    for other, (outcome, plies) in truth.after(before).items():
        if other != move:
            if plies is None or outcome < 0 or plies > mine:
                return None
            others.append((-plies, other.uci(), other))
    shorter = [item for item in others if -item[0] < mine]
    if not shorter:
        return None
    plies, _, next_best = min(shorter, key=lambda item: item[:2])
    board = after_move(before, next_best)
    as_long = len(others) - len(shorter)
    off_edge = all(
        is_king_step(before, other) and from_edge(other.to_square) < from_edge(move.to_square)
        for _, _, other in shorter
    )
    return Critical(
        not as_long,
        (mine + plies) // 2,
        (mine + max(shorter)[0]) // 2,
        as_long,
        next_best,
        truth.answer(board),
        sum(item[0] == plies for item in shorter) - 1,
        is_king_step(before, move) and off_edge,
    )
