"""Makes the facts about the moves of one position, each when it is first asked for."""

from __future__ import annotations

from copy import copy

import chess

from matebot.facts.move_facts import MoveFacts
from matebot.facts.played import Played
from matebot.facts.standard import Standard
from matebot.play.judged import Judged


class FactMaker(Standard):
    """Makes the facts of moves from one position, held against its best moves."""

    def __init__(self, judged: Judged, attack: str = "shortest") -> None:
        super().__init__(judged, attack)
        # What the facts are held against does not hold them in turn: they go when nobody asks any more.
        self._alike = copy(self)
        self._facts: dict[chess.Move, MoveFacts] = {}

    def moves_lost(self, move: chess.Move) -> int | None:
        """Return by how many moves a legal move makes a win longer or a defence shorter, None where it is not known.

        Nothing where it follows the method and that is the style in force.
        """
        played = self.judged.item(move)
        return 0 if self.method_moves(played) else self.lost(played)

    def given_away(self, move: chess.Move) -> int | None:
        """Return the outcome that a legal move gave away, None where it kept it."""
        best = self.ranking[0].outcome
        return best if self.judged.item(move).outcome < best else None

    def better(self, facts: MoveFacts) -> MoveFacts | None:
        """Return the facts of the best move where a move loses something."""
        best = facts.instead.best
        return None if best is None else self.facts(chess.Move.from_uci(best))

    def facts(self, move: chess.Move) -> MoveFacts:
        """Return the facts of a legal move."""
        if move not in self._facts:
            self._facts[move] = MoveFacts.of(Played(self._alike, move))
        return self._facts[move]
