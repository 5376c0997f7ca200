"""The pawn outruns the king.

Definition. After a lost defence the attacker has one pawn, with nobody in its way, and the defender his king alone,
which needs more steps to the square of promotion than the pawn moves (a double step is one move); so it does after
every other defence that lasts no longer. Where the attacker has another man besides, one of his moves that mate
soonest must be the pawn's, so it must be after every other defence but captures, and with a queen or a rook his king
not stand beside it: else a mate without the pawn decides.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.shorter import soonest
from matebot.ideas.squares import after_move, king_steps, men_of, pawn_way
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_FROM_ITS_HOME_SQUARE = 5


@dataclass(frozen=True)
class Outruns(Idea):
    """The king comes too late.

    Attributes
    ----------
    pawn, goal : the pawn's square, and where it promotes
    moves, steps : moves of the pawn to it, and steps of the king
    """

    kind: ClassVar[str] = "outruns"
    pawn: chess.Square
    goal: chess.Square
    moves: int
    steps: int


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Outruns | None:
    """Return how the pawn outruns the defending king after a lost defence, None where it does not."""
    men = men_of(after)
    pawns, own = men.pawns & men.of(attacker), men.of(not attacker)
    if before.turn == attacker or pawns.bit_count() != 1 or own & ~men.kings or truth.outcome(after) <= 0:
        return None
    pawn = pawns.bit_length() - 1
    goal = chess.square(chess.square_file(pawn), 7 if attacker else 0)
    way = pawn_way(pawn, attacker)
    moves = min(abs(chess.square_rank(goal) - chess.square_rank(pawn)), _FROM_ITS_HOME_SQUARE)
    steps = king_steps(men.king(not attacker), goal)
    if steps <= moves or after.occupied & way or _is_caught_no_later(before, move, moves, goal, truth):
        return None
    heavy = (men.queens | men.rooks) & men.of(attacker)
    if heavy and king_steps(men.king(attacker), pawn) == 1:
        return None
    helped = men.of(attacker) & ~(men.kings | men.pawns)
    if helped and not all(_comes_on(there, pawn, truth) for there in _after_each(before, truth)):
        return None
    return Outruns(pawn, goal, moves, steps)


def _after_each(before: chess.Board, truth: Truth) -> list[chess.Board]:
    return [after_move(before, other) for other in truth.after(before) if not before.is_capture(other)]


def _comes_on(board: chess.Board, pawn: chess.Square, truth: Truth) -> bool:
    """Whether a move of the pawn is among those that mate soonest."""
    return any(reply.from_square == pawn for reply in soonest(board, truth))


def _is_caught_no_later(before: chess.Board, move: chess.Move, moves: int, goal: chess.Square, truth: Truth) -> bool:
    """Whether a defence that lasts no longer leaves the king so near that it would catch the pawn alone."""
    worth = truth.after(before)
    mine = worth[move].mate_plies or 0
    return any(
        king_steps(other.to_square, goal) <= moves
        for other, (_, plies) in worth.items()
        if plies is not None and plies <= mine and not before.is_capture(other)
    )
