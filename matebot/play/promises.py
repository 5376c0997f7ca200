"""What has been announced in a game: a mate told to come in so many moves is never played later than that.

A mate by the shortest way may be told, and a capture or pawn move on, when the clock is at zero again or the ending
has a ladder, the method would take longer. So every announcement is kept for the positions after any reply to the
move, and the method is followed only as far as that allows (`choice.on_ladder`). Best play always keeps the promise:
a shortest mate told is one, and a mate by the method that was in time enters no position for the second time.
"""

from __future__ import annotations

from typing import Final

import chess

from matebot.laws.history import Key, position_key
from matebot.laws.referee import Referee

#: Positions kept, those of a whole game.
_MOST: Final = 10_000


class Promises:
    """The announcements of one game, whichever way it is taken back and played again."""

    def __init__(self) -> None:
        self._within: dict[Key, int] = {}

    def forget(self) -> None:
        """Begin a new game."""
        self._within.clear()

    def keep(self, board: chess.Board, move: chess.Move, mate_plies: int | None) -> None:
        """Remember that mate has been announced with a move.

        Parameters
        ----------
        board : the position before the move
        mate_plies : plies to mate counted from before the move, None where none has been announced
        """
        if mate_plies is None:
            return
        after = board.copy(stack=False)
        after.push(move)
        for reply in list(after.legal_moves):
            after.push(reply)
            key = position_key(after)
            self._within.pop(key, None)
            self._within[key] = mate_plies - 2
            after.pop()
        while len(self._within) > _MOST:
            del self._within[next(iter(self._within))]

    def bind(self, referee: Referee) -> None:
        """Tell a referee what has been announced; a win nobody has announced is of another game."""
        if referee.here().outcome <= 0:
            return
        referee.promised_plies = self._within.get(position_key(referee.board))
        if referee.promised_plies is None:
            self.forget()
