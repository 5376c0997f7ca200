"""A game in progress as the pupil plays it: moves, takebacks, help, the result; judged when asked for. No files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING
from uuid import uuid4

import chess

from matebot.practice.grading import passages
from matebot.practice.notes import UNJUDGED, GameNote, MoveNote, Result
from matebot.terms import CLAIM_PLIES

if TYPE_CHECKING:
    from matebot.practice.judging import Judge


@dataclass(slots=True)
class PupilsMove:
    """A move of the pupil; `ply` counts from the beginning of the game."""

    board: chess.Board
    move: chess.Move
    ply: int
    seconds: float | None
    helped: bool
    taken_back: bool = False
    judged: bool = False
    note: MoveNote | None = None


class Notebook:
    """One game.

    Parameters
    ----------
    board : where it begins, with the moves that led there
    colour : the pupil's
    key : what makes it this game, by default something that was never there before
    began : when, aware of its time zone; by default now

    Attributes
    ----------
    declared : how the game is said to have ended where the board does not tell
    entries : the pupil's moves in the order in which they were made
    """

    def __init__(
        self,
        pupil: str,
        source: str,
        board: chess.Board,
        colour: chess.Color,
        key: str | None = None,
        began: datetime | None = None,
        day: str | None = None,
    ) -> None:
        began = began or datetime.now(UTC)
        self.pupil, self.source, self.colour = pupil, source, colour
        self.key = key or uuid4().hex
        self.began = began.astimezone(UTC).isoformat(timespec="seconds")
        self.day = day or began.astimezone().date().isoformat()
        self.board = board.copy()
        self.fen = board.fen()
        self.hints = self.takebacks = 0
        self.resigned = self.closed = False
        self.declared: Result | None = None
        self._root = len(board.move_stack)
        self.entries: list[PupilsMove] = []

    @property
    def plies(self) -> int:
        """How many moves of both sides stand on the board."""
        return len(self.board.move_stack) - self._root

    @property
    def has_moves(self) -> bool:
        """Whether the pupil has moved at all."""
        return bool(self.entries)

    def play(self, move: chess.Move, seconds: float | None = None, helped: bool = False) -> None:
        """Make a legal move of either side."""
        if self.board.turn == self.colour:
            self.entries.append(PupilsMove(self.board.copy(), move, self.plies, seconds, helped))
        self.board.push(move)

    def take_back(self, plies: int) -> None:
        """Take back so many moves of both sides; the pupil's are kept in the notes and marked."""
        for _ in range(plies):
            self.board.pop()
        gone = [entry for entry in self.entries if entry.ply >= self.plies and not entry.taken_back]
        for entry in gone:
            entry.taken_back = True
        self.takebacks += bool(gone)

    def result(self) -> Result:
        """Return how the game stands or ended."""
        board = self.board
        if self.resigned:
            return Result.RESIGNED
        if board.is_checkmate():
            return Result.LOST if board.turn == self.colour else Result.WON
        if board.is_stalemate() or board.is_insufficient_material():
            return Result.DRAWN
        if board.halfmove_clock >= CLAIM_PLIES or board.is_repetition():
            return Result.DRAWN
        if self.declared is not None:
            return self.declared
        unseen = self.source != "practise"  # an interface does not show the move that mates
        return Result.NEARLY if unseen and board.turn == self.colour and _mates_at_once(board) else Result.OPEN

    def judge(self, judge: Judge, wanted: Callable[[], bool] = lambda: True) -> bool:
        """Judge the moves not yet judged while that is wanted; whether all are."""
        for entry in self.entries:
            if not entry.judged:
                if not wanted():
                    return False
                entry.note = judge.note(entry.board, entry.move, 0, entry.seconds)
                entry.judged = True
        return True

    def state(self) -> tuple[object, ...]:
        """Return what changes whenever there is something new to keep."""
        judged = sum(entry.judged for entry in self.entries)
        return self.plies, len(self.entries), judged, self.takebacks, self.hints, self.closed, self.result()

    def notes(self) -> list[MoveNote]:
        """Return the notes of the pupil's moves; those not judged yet say so, positions not covered have none."""
        found = [entry for entry in self.entries if entry.note is not None or not entry.judged]
        return [
            replace(entry.note or _unjudged(entry), number=number, taken_back=entry.taken_back, helped=entry.helped)
            for number, entry in enumerate(found, start=1)
        ]

    def game(self) -> GameNote:
        """Return the game as it is recorded."""
        result, moves = self.result(), self.notes()
        return GameNote(
            key=self.key,
            pupil=self.pupil,
            source=self.source,
            began=self.began,
            day=self.day,
            colour=chess.COLOR_NAMES[self.colour],
            fen=self.fen,
            line=" ".join(move.uci() for move in self.board.move_stack[self._root :]),
            result=result,
            finished=self.closed or result not in (Result.OPEN, Result.NEARLY),
            hints=self.hints,
            takebacks=self.takebacks,
            moves=tuple(moves),
            passages=passages(moves, result),
        )


def _unjudged(entry: PupilsMove) -> MoveNote:
    return MoveNote(0, entry.board.fen(), entry.move.uci(), UNJUDGED, None, None, None, None, entry.seconds)


def _mates_at_once(board: chess.Board) -> bool:
    for move in board.legal_moves:
        board.push(move)
        mate = board.is_checkmate()
        board.pop()
        if mate:
            return True
    return False
