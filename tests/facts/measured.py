"""What the legal moves of a position come to, by the values one move later; and moves of all kinds beside it."""

from __future__ import annotations

import chess

from matebot.facts.making import FactMaker
from matebot.facts.played import Played
from matebot.method.library import Library
from matebot.play.judged import Judged
from tests.witness import slip_kinds as witness
from tests.witness.ideas import hanging
from tests.witness.positions import random_positions

#: Behind any mate.
NEVER = 10_000


class Measured:
    """The legal moves of a position by what they come to, for the side to move: an outcome, and plies to mate."""

    def __init__(self, library: Library, board: chess.Board) -> None:
        self.library, self.board = library, board
        self.worth = {move: self._worth(move) for move in board.legal_moves}
        ordered = sorted(self.worth.values(), key=lambda worth: (worth[0], -worth[0] * worth[1]))
        self.outcome, self.plies = ordered[-1]

    def _worth(self, move: chess.Move) -> tuple[int, int]:
        value = self.library.tables.value(witness.played(self.board, move))
        return -value.outcome, 0 if value.dtm_plies is None else value.dtm_plies + 1

    def lag(self, move: chess.Move) -> int:
        outcome, plies = self.worth[move]
        return abs(plies - self.plies) if outcome == self.outcome else NEVER

    def clearly_better(self, mine: chess.Move) -> set[chess.Move]:
        if self.worth[mine][0] < self.outcome:
            return {move for move in self.worth if self.worth[move][0] == self.outcome}
        return {move for move in self.worth if 2 * self.lag(move) < self.lag(mine)}

    def best(self) -> list[chess.Move]:
        return [move for move in self.worth if self.lag(move) == 0]

    def no_better(self, mine: chess.Move) -> set[chess.Move]:
        found, checks = set(), witness.played(self.board, mine).is_check()
        for move in self.worth:
            after = witness.played(self.board, move)
            alike = move.from_square == mine.from_square and self.worth[move][0] == self.worth[mine][0]
            sound = any(after.legal_moves) and hanging.claim(self.board, move, after, self.board.turn) is None
            if alike and sound and move != mine and self.lag(move) >= self.lag(mine):
                found |= {move} if checks or not after.is_check() else set()
        return found


def moves_played(library: Library, ending: str, count: int = 6, seed: int = 91) -> list[tuple[Played, Measured]]:
    """Return moves of all kinds from random positions, each with what it is held against."""
    found = []
    for board in random_positions(ending, count, seed):
        maker = FactMaker(Judged.of(library, board))
        measured = Measured(library, board)
        moves = sorted(measured.worth, key=lambda move: (measured.worth[move], move.uci()))
        found += [(Played(maker, move), measured) for move in moves[:: 1 + len(moves) // 8]]
    return found
