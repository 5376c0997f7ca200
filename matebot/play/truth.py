"""Exact values and the move that is taught, for whoever sees ideas; the clock and the history are left out."""

from __future__ import annotations

import chess

from matebot.laws import Referee
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.line import as_move
from matebot.play.ranking import rank_with, square_order


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
        followed = self._by_method(board)
        if followed is not None:
            return followed
        board = board.copy(stack=False)
        board.halfmove_clock = 0
        referee = Referee(board, self._library.tables)
        ranking = rank_with(referee)
        return choose(self._library, referee, ranking, Style(attack="method")).move if ranking else None

    def _by_method(self, board: chess.Board) -> chess.Move | None:
        """Return what `choose` would by the method, by plain integers: a line of answers must not be waited for."""
        tables, library = self._library.tables, self._library
        stand, turned = tables.stand(board)
        here = library.rung(stand)
        if here is None or not stand.white_to_move:
            return None
        found: list[tuple[int, tuple[int, int, int], chess.Move]] = []
        for step in tables.steps(stand):
            rung = library.rung(step.child)
            if rung is None or rung.plies != here.plies - 1:
                continue
            if step.child.material == stand.material and rung.stage < here.stage:
                continue
            move = as_move(step, turned)
            found.append((step.code, square_order(move.from_square, move.to_square, move.promotion), move))
        return min(found, key=lambda item: item[:2])[2] if found else None
