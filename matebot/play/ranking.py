"""Every legal move with its exact outcome under the laws, best first.

Order: wins before draws before losses; the shorter mate first when winning, the longer when losing. Among drawn
moves the weaker side first takes those drawn by the men, since a claim may not be made everywhere, then what ends the
game, then what leaves the other side fewer men; either side prefers draws in which only the clock or a repetition
saves the other, and where nobody may claim, the shorter mate of its own or the longer one of the other. Moves still
equal stand by the square they leave, then the square they go to (a1, b1, ... h8), then the new man (queen, rook,
bishop, knight).
"""

from __future__ import annotations

from typing import NamedTuple

import chess

from matebot.laws.referee import Referee
from matebot.laws.verdict import Verdict
from matebot.solver.coverage import men_of
from matebot.solver.material import ORDER
from matebot.solver.tables import Tables

_PROMOTION_ORDER = {
    None: 0,
    chess.QUEEN: 1,
    chess.ROOK: 2,
    chess.BISHOP: 3,
    chess.KNIGHT: 4,
}
#: Causes of draws that end the game.
FINAL_DRAWS = frozenset({"stalemate", "dead position", "repetition", "fifty moves"})
_tuple = tuple.__new__  # as `successors`


class Ranked(NamedTuple):
    """A legal move and what it is worth to the side that plays it.

    Attributes
    ----------
    outcome : 1 wins, 0 draws, -1 loses
    mate_plies : plies to mate counted from before the move, None when drawn
    exact : whether `mate_plies` is exact; otherwise mate comes no later
    cause : why, in the words of `laws.verdict.CAUSES`, of the position after the move
    verdict : the verdict on the position after the move, for the other side
    """

    move: chess.Move
    outcome: int
    mate_plies: int | None
    exact: bool
    cause: str
    verdict: Verdict


def rank_with(referee: Referee) -> list[Ranked]:
    """Return every legal move of the referee's position, best first."""
    board = referee.board
    weaker = is_weaker(board, board.turn)
    found = []
    for move, verdict in referee.all_after():  # in the order in which equal moves are to stand
        outcome, plies, exact, cause, _ = verdict
        found.append(_tuple(Ranked, (move, -outcome, None if plies is None else plies + 1, exact, cause, verdict)))
    return sorted(found, key=lambda item: _key(board, item, weaker))


def ranked(board: chess.Board, tables: Tables) -> list[Ranked]:
    """Return every legal move, best first (see the module's text for the order among equals).

    Raises
    ------
    Refusal
        when the position is not covered
    """
    return rank_with(Referee(board, tables))


def square_order(source: int, target: int, promotion: chess.PieceType | None) -> tuple[int, int, int]:
    """Return the key that orders moves of equal worth."""
    return source, target, _PROMOTION_ORDER[promotion]


def promotes_first(move: chess.Move) -> int:
    """Return the key that puts promotions before other moves of equal worth, that to a queen first."""
    return _PROMOTION_ORDER[move.promotion] if move.promotion else len(_PROMOTION_ORDER)


def as_good(item: Ranked, best: Ranked) -> bool:
    """Whether a move is the best one, or known to be as good."""
    known = item.exact and best.exact
    return item is best or (known and (item.outcome, item.mate_plies) == (best.outcome, best.mate_plies))


def comparable(ranking: list[Ranked]) -> bool:
    """Whether the distances of all moves that keep the outcome are exact; so they are where there is no move."""
    return all(item.exact for item in ranking if item.outcome == ranking[0].outcome)


def is_weaker(board: chess.Board, colour: chess.Color) -> bool:
    """Whether a side has the weaker men: fewer, or as many but lesser ones."""

    def strength(side: chess.Color) -> tuple[int, list[int]]:
        men = men_of(board, side)
        return len(men), [-ORDER.index(man) for man in men]

    return strength(colour) < strength(not colour)


def _key(board: chess.Board, item: Ranked, weaker: bool) -> tuple[int, ...]:
    if item.outcome:
        # Of those that are no more than bounds, the nearer to mate by the men.
        plain = 0 if item.exact else item.outcome * (item.verdict.value.dtm_plies or 0)
        return -item.outcome, item.outcome * (item.mate_plies or 0), plain
    saved = item.verdict.value
    hope = saved.outcome  # -1: only clock or repetition keeps the mover from winning
    unclaimed = (saved.dtm_plies or 0) * -hope
    if weaker:
        ends = 0 if item.cause in FINAL_DRAWS else 1 if board.is_capture(item.move) else 2
        return 0, int(hope == 1), ends, hope, unclaimed
    ends = 1 if item.cause in FINAL_DRAWS and hope != -1 else 0
    return 0, ends, hope, unclaimed
