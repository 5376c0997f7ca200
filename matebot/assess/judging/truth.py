"""What is true of a position, and how matebot plays against an engine; shared by all jobs behind one lock.

The clock counts in every answer. Of the history only a third repetition on the board does: to judge at every move
what repetitions may still be forced would take seconds a move with engines that wander about.
"""

from __future__ import annotations

from threading import Lock

import chess

from matebot.errors import UserError
from matebot.laws.history import Key, position_key
from matebot.laws.verdict import FINAL, Verdict
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, is_weaker
from matebot.solver.coverage import Refusal
from matebot.solver.material import Material
from matebot.solver.tables import Tables

#: How much sooner than the longest a changing defence may be mated, a move.
CHANGING_PLIES = 2
_SIGHT_PLIES = 4
#: Positions judged that are kept: a game asks for one, what may come after it, and the one before.
_KEPT = 256


class SharedTruth:
    """Verdicts, and the moves that defend, finish off or set traps.

    Parameters
    ----------
    tables : the values; asked by one thread at a time, as they are solved when first needed
    """

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._library = Library(tables)
        self._lock = Lock()
        self._judged: dict[Key, Judged] = {}

    def ask_for(self, ending: str) -> None:
        """See that an ending may be asked for.

        Raises
        ------
        UserError
            when it has five men and is not solved yet
        """
        try:
            self.tables.check_ending(Material.parse(ending, largest=5))
        except Refusal as refusal:
            raise UserError(str(refusal)) from None

    def refusal(self, board: chess.Board) -> str | None:
        """Return why a position is not covered, or None."""
        try:
            self.tables.check(board)
        except Refusal as refusal:
            return str(refusal)
        return None

    def judge(self, board: chess.Board) -> Verdict:
        """Judge a covered position with its clock; a third repetition is a draw."""
        with self._lock:
            verdict = self._at(board).referee.here()
        if verdict.cause not in FINAL and board.is_repetition(3):
            return Verdict(0, None, True, "repetition", verdict.value)
        return verdict

    def ranked(self, board: chess.Board) -> list[Ranked]:
        """Return every legal move, best first, without regard to the history."""
        with self._lock:
            return self._at(board).ranking

    def stage(self, board: chess.Board) -> str:
        """Return the stage of the method a position is in, "" where the method has no say."""
        with self._lock:
            standings = self._at(board).standings
        return standings[0].title if standings else ""

    def _at(self, board: chess.Board) -> Judged:
        """Return a position judged without its history: the one kept, or made of the one before, if that is."""
        key = _key(board)
        if key not in self._judged:
            made = self._made(board)
            if len(self._judged) >= _KEPT:
                del self._judged[next(iter(self._judged))]
            self._judged[key] = made
        return self._judged[key]

    def _made(self, board: chess.Board) -> Judged:
        if board.move_stack:
            was = board.copy(stack=1)
            move = was.pop()
            if (before := self._judged.get(_key(was))) is not None:
                return before.after_alone(move)
        return Judged.of(self._library, board.copy(stack=False))

    def reply(self, board: chess.Board, seed: str) -> chess.Move:
        """Return what matebot plays; it takes a draw by repetition, and sets a trap anew only where there is no other.

        Parameters
        ----------
        seed : "" for the longest defence; otherwise the choices of a changing defence
        """
        style = Style(defence="changing" if seed else "longest", margin_plies=CHANGING_PLIES, seed=seed)
        moves = self.ranked(board)
        if moves[0].outcome < 0:
            moves = [item for item in moves if _times(board, item.move) >= 2][:1] or moves
        elif moves[0].outcome == 0 and not is_weaker(board, board.turn):
            times = {item: _times(board, item.move) for item in moves if item.outcome == 0}
            moves = [item for item in times if times[item] == min(times.values())]
        with self._lock:
            return choose(self._at(board), style, moves).move

    def why_drawn(self, board: chess.Board, verdict: Verdict) -> str:
        """Return why a position is drawn: a cause of the laws, "lost piece", or "drawn position" where none is seen.

        A piece counts as lost when best play captures one of the stronger side's men within a few plies.
        """
        if verdict.cause != "balance":
            return verdict.cause
        stronger = not is_weaker(board, chess.WHITE)
        board = board.copy()
        for _ in range(_SIGHT_PLIES):
            moves = self.ranked(board)
            if not moves or board.is_insufficient_material():
                break
            if board.turn != stronger and board.is_capture(moves[0].move):
                return "lost piece"
            board.push(moves[0].move)
        return "drawn position"


def _key(board: chess.Board) -> Key:
    return *position_key(board), board.halfmove_clock


def _times(board: chess.Board, move: chess.Move) -> int:
    """Return how often the position after a move has occurred before, twice at most."""
    board.push(move)
    try:
        return board.is_repetition(2) + board.is_repetition(3)
    finally:
        board.pop()
