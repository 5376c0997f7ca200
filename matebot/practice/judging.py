"""A pupil's move judged: its exercise, its idea or kind of slip, what it lost. Keeps nothing and writes nothing."""

from __future__ import annotations

import chess

from matebot.commentary import Commentator
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.facts.slip_kind import kind_of
from matebot.method.library import Library
from matebot.practice.ideas_named import idea_of
from matebot.practice.notes import Exercise, MoveNote
from matebot.solver.coverage import Refusal


class Judge:
    """Judges moves of pupils by exact values."""

    def __init__(self, library: Library) -> None:
        self.library = library
        self._commentator = Commentator(library)

    def covers(self, board: chess.Board) -> bool:
        """Whether a position is covered."""
        try:
            self.library.tables.check(board)
        except Refusal:
            return False
        return True

    def note(self, board: chess.Board, move: chess.Move, number: int, seconds: float | None) -> MoveNote | None:
        """Return what is noted of a move, None in a position that is not covered.

        Parameters
        ----------
        board : the position before, with the moves that led to it
        """
        maker = self._commentator.maker(board.copy())
        if maker is None:
            return None
        facts = maker.facts(move)
        slip = kind_of(facts)
        return MoveNote(
            number,
            board.fen(),
            move.uci(),
            self._exercise(maker, facts),
            None if slip else idea_of(facts),
            slip,
            facts.cost.moves_lost,
            method_moves(facts),
            seconds,
        )

    def exercise(self, board: chess.Board) -> Exercise | None:
        """Return the exercise of the side to move in a covered position with a legal move, else None."""
        maker = self._commentator.maker(board.copy())
        return None if maker is None else self._exercise(maker, maker.facts(maker.ranking[0].move))

    def _exercise(self, maker: FactMaker, facts: MoveFacts) -> Exercise:
        material = self.library.tables.stand(maker.board)[0].material
        ending = "KK" if material is None else material.name
        stage = facts.places.standings_before[0].stage if facts.places.standings_before else 0
        return Exercise(ending, stage, "attack" if facts.by_attacker else "defence")


def method_moves(facts: MoveFacts) -> int | None:
    """Return the attacker's moves to mate before a move, by the method where there is one; None when it is drawn."""
    if facts.places.standings_before:
        return facts.places.standings_before[0].moves
    return facts.worth.best_moves
