"""Follows the games of a session from what an interface sends: positions and the questions about them.

An interface never says that a move was taken back, that a game is new or how one ended; it sends positions. Each is
laid beside the game so far:

- it goes on from it: the moves are played;
- it has fewer or other moves, but the beginning of the game, at least one move of the pupil, is the same: moves were
  taken back;
- it has nothing to do with it, or begins all over: a new game.

A position may come with all moves from the beginning, or as a FEN alone. A position pondered on counts only once the
game goes on from it. The engine's side is the one it is asked to move for; where it is asked for both, nobody plays
against it and nothing is noted. Never judges and never writes.
"""

from __future__ import annotations

import chess

from matebot.practice.notebook import Notebook
from matebot.practice.notes import Result
from matebot.records import dataclass

_MEN = 4


@dataclass(frozen=True, slots=True)
class Placed:
    """The interface has sent a position; `board` has the moves that led to it, `at` is in seconds."""

    board: chess.Board
    at: float


@dataclass(frozen=True, slots=True)
class Answered:
    """A question about the last position was answered with a move, or None."""

    best: str | None
    at: float
    ponder: bool = False
    infinite: bool = False


@dataclass(frozen=True, slots=True)
class GameBegins:
    """The interface has said that a new game begins."""


Event = Placed | Answered | GameBegins


class _Line:
    """A game as positions and the moves between them.

    Attributes
    ----------
    own : numbers of the moves the engine gave
    root : number of the position the notebook begins with
    """

    def __init__(self, boards: list[chess.Board]) -> None:
        self.boards = boards
        self.moves = _moves(boards)
        self.own: set[int] = set()
        self.root = len(boards)

    def cut(self, kept: int) -> None:
        """Keep so many positions."""
        del self.boards[kept:], self.moves[kept - 1 :]
        self.own = {number for number in self.own if number < len(self.moves)}

    def push(self, move: chess.Move) -> None:
        after = self.boards[-1].copy()
        after.push(move)
        self.boards.append(after)
        self.moves.append(move)

    def pupils(self, moves: int) -> int:
        """Return how many of the first so many moves are the pupil's."""
        return sum(number not in self.own for number in range(self.root, moves))

    def link(self, path: list[chess.Board]) -> tuple[int, list[chess.Move]] | None:
        """Return how many positions stay and which moves follow if a path belongs to this game, else None."""
        fens = [board.fen() for board in self.boards]
        if path[0].fen() in fens:
            return self._overlap(fens, [board.fen() for board in path], path)
        step = _step(self.boards[-1], path[0])
        if step is not None:
            return len(self.boards), [step, *_moves(path)]
        keys = [board.epd() for board in self.boards]
        return self._overlap(keys, [board.epd() for board in path], path) if path[0].epd() in keys else None

    def _overlap(self, known: list[str], new: list[str], path: list[chess.Board]) -> tuple[int, list[chess.Move]]:
        best = (0, 0)
        for begin, key in enumerate(known):
            if key == new[0]:
                same = next((n for n, (a, b) in enumerate(zip(known[begin:], new, strict=False)) if a != b), None)
                best = max(best, (min(len(known) - begin, len(new)) if same is None else same, begin))
        same, begin = best
        return begin + same, _moves(path)[same - 1 :]


class Follower:
    """Keeps the notebook of the game in progress.

    Parameters
    ----------
    pupil : who plays against the engine

    Attributes
    ----------
    notebook : the game in progress, None where there is none to note
    closed : notebooks of games that are over, until somebody takes them
    """

    def __init__(self, pupil: str) -> None:
        self.pupil = pupil
        self.notebook: Notebook | None = None
        self.closed: list[Notebook] = []
        self._line: _Line | None = None
        self._waiting: Placed | None = None  # not asked about yet
        self._pondered: tuple[Placed, Answered] | None = None
        self._answered_at: float | None = None
        self._engine: chess.Color | None = None
        self._alone = False  # the engine is asked for both sides

    def take(self, event: Event) -> None:
        """Take in what has happened."""
        if isinstance(event, GameBegins):
            self.end_game()
        elif isinstance(event, Placed):
            self._settle(event.board)
            self._waiting = event
        else:
            self._take_answer(event)

    def end_game(self) -> None:
        """Close the game in progress: another one begins, or the session ends."""
        waiting, self._waiting, self._pondered = self._waiting, None, None
        if waiting is not None and self._line is not None:
            link = self._line.link(_path(waiting.board))
            if link is not None and link[0] == len(self._line.boards):
                self._follow(waiting)  # the last move, which nothing was asked about
        self._close()
        self._line, self._engine, self._alone, self._answered_at = None, None, False, None

    def _close(self) -> None:
        if self.notebook is not None and self.notebook.has_moves:
            self.notebook.closed = True
            self.closed.append(self.notebook)
        self.notebook = None

    def _settle(self, board: chess.Board) -> None:
        """Find out from the next position whether the one pondered on came about."""
        pondered, self._pondered = self._pondered, None
        if pondered is None:
            return
        placed, answer = pondered
        expected = [key.fen() for key in _path(placed.board)]
        if [key.fen() for key in _path(board)][: len(expected)] == expected and len(_path(board)) > len(expected):
            self._follow(placed)
            self._play_own(answer)

    def _take_answer(self, event: Answered) -> None:
        waiting, self._waiting = self._waiting, None
        if event.infinite:
            return
        if waiting is None:
            if not event.ponder and self._line is not None and len(self._line.moves) - 1 in self._line.own:
                self._take_back(len(self._line.boards) - 1)  # asked once more
                self._play_own(event)
        elif event.ponder:
            self._pondered = (waiting, event)
        else:
            self._follow(waiting)
            self._play_own(event)

    def _play_own(self, answer: Answered) -> None:
        """Take the side to move for the engine's, and its answer for played."""
        assert self._line is not None
        self._answered_at = answer.at
        turn = self._line.boards[-1].turn
        if self._engine is not None and self._engine != turn:
            self._alone = self._alone or len(self._line.moves) - 1 in self._line.own
            self._close()
        self._engine = turn
        if self.notebook is None and not self._alone:
            self._open()
        if answer.best is not None:
            self._line.own.add(len(self._line.moves))
            self._play(chess.Move.from_uci(answer.best), None)

    def _open(self) -> None:
        """Begin the notebook: with the pupil's last move, since nobody knows who made those before it."""
        assert self._line is not None
        boards = self._line.boards
        first = next((n for n, board in enumerate(boards) if chess.popcount(board.occupied) <= _MEN), None)
        if first is None:
            return
        self._line.root = max(first, len(boards) - 2)
        self.notebook = Notebook(self.pupil, "session", boards[self._line.root], not self._engine)
        for move in self._line.moves[self._line.root :]:
            self.notebook.play(move)

    def _follow(self, placed: Placed) -> None:
        """Lay a position beside the game: play on, take back, or begin anew."""
        path = _path(placed.board)
        link = None if self._line is None else self._line.link(path)
        if self._line is None or link is None or not self._belongs(self._line, link[0]):
            self._close()
            self._engine, self._alone, self._answered_at = None, False, None
            self._line = _Line(path)
            return
        kept, moves = link
        if kept < len(self._line.boards):
            self._take_back(kept)
        seconds = None if self._answered_at is None or len(moves) != 1 else round(placed.at - self._answered_at, 1)
        for move in moves:
            self._play(move, seconds)

    def _belongs(self, line: _Line, kept: int) -> bool:
        """Whether what is left of the game makes it the same one, with moves taken back where some are missing."""
        if kept == len(line.boards) or all(number in line.own for number in range(kept - 1, len(line.moves))):
            return True
        if kept - 1 < line.root:
            return False
        over = self.notebook is not None and self.notebook.result() not in (Result.OPEN, Result.NEARLY)
        return line.pupils(kept - 1) > 0 or (line.pupils(len(line.moves)) == 1 and not over)

    def _take_back(self, kept: int) -> None:
        assert self._line is not None
        plies = len(self._line.boards) - kept
        self._line.cut(kept)
        if self.notebook is not None:
            self.notebook.take_back(min(plies, self.notebook.plies))

    def _play(self, move: chess.Move, seconds: float | None) -> None:
        assert self._line is not None
        self._line.push(move)
        if self.notebook is not None:
            self.notebook.play(move, seconds)


def _path(board: chess.Board) -> list[chess.Board]:
    """Return the positions of a game up to this one."""
    past, path = board.copy(), [board]
    while past.move_stack:
        past.pop()
        path.append(past.copy())
    return path[::-1]


def _moves(path: list[chess.Board]) -> list[chess.Move]:
    """Return the moves between the positions of a game."""
    return path[-1].move_stack[len(path[0].move_stack) :]


def _step(before: chess.Board, after: chess.Board) -> chess.Move | None:
    """Return the move that leads from one position to another, None where none does."""
    wanted = after.epd()
    for move in list(before.legal_moves):
        before.push(move)
        found = before.epd() == wanted
        before.pop()
        if found:
            return move
    return None
