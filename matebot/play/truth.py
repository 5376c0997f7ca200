"""Exact values and the move that is taught, for whoever sees ideas; the clock and the history are left out."""

from __future__ import annotations

import chess

from matebot.laws import Referee
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.ranking import rank_with


class TableTruth:
    """Answers from the tables, and the move of the method where the attacker has one.

    Parameters
    ----------
    library : the tables and the ladders
    """

    def __init__(self, library: Library) -> None:
        self._library = library

    def outcome(self, board: chess.Board) -> int:
        """Return 1 where the side to move wins, 0 where it is drawn, -1 where it loses."""
        return self._library.tables.value(board).outcome

    def mate_plies(self, board: chess.Board) -> int | None:
        """Return the plies to mate, None where it is drawn."""
        return self._library.tables.value(board).dtm_plies

    def answer(self, board: chess.Board) -> chess.Move | None:
        """Return the move of the method, the best move where it has no say, None where there is no move."""
        referee = Referee(board, self._library.tables)
        ranking = rank_with(referee)
        return choose(self._library, referee, ranking, Style(attack="method")).move if ranking else None
