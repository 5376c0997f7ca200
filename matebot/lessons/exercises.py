"""Exercises of a lesson: positions stage by stage, White to move, and their solutions by the method."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle, islice

import chess

from matebot.games.positions import Practice, Wish, practice
from matebot.lessons.model_game import ByLadder, turned, turned_move
from matebot.lessons.sheet import Entries
from matebot.play.line import method_line
from matebot.records import dataclass
from matebot.wording import lesson as words

_CHOICE, _FEWEST_MOVES = 2, 2


@dataclass(frozen=True)
class LessonExercise:
    """A position to solve.

    Attributes
    ----------
    title : of its stage
    line : the method from here, to mate
    stage_plies : so much of it until the next stage begins, or the mate
    """

    board: chess.Board
    title: str
    line: tuple[chess.Move, ...]
    stage_plies: int

    @property
    def moves(self) -> int:
        """White's moves until the stage is done."""
        return (self.stage_plies + 1) // 2

    @property
    def left(self) -> int:
        """White's moves from there to mate, by the method."""
        return (len(self.line) + 1) // 2 - self.moves

    @property
    def last(self) -> bool:
        """Whether it ends with the mate."""
        return self.stage_plies == len(self.line)


def exercises(library: ByLadder, count: int, seed: int, mirror: bool, chosen: set[int]) -> list[LessonExercise]:
    """Return so many exercises, the stages chosen in turn, in the order of the stages.

    Raises
    ------
    UserError
        when there are not so many positions in a stage
    """
    stages = library.plan.stages
    wanted = [0] * len(stages)
    for number in islice(cycle(sorted(chosen)), count):
        wanted[number] += 1
    found = []
    for stage, number in zip(stages, wanted, strict=True):
        tasks = [
            _task(library, drawn.board, stage.title, mirror)
            for drawn in _drawn(library, stage.title, number * _CHOICE, seed)
        ]
        # What a single move solves is no exercise as long as there are others.
        found += sorted(tasks, key=lambda task: task.moves < _FEWEST_MOVES)[:number]
    return found


def _task(library: ByLadder, board: chess.Board, title: str, mirror: bool) -> LessonExercise:
    line = method_line(library, board, None)
    moves = tuple(turned_move(move, mirror) for move in line)
    return LessonExercise(turned(board, mirror), title, moves, _stage_plies(library, board, line))


def _stage_plies(library: ByLadder, start: chess.Board, line: list[chess.Move]) -> int:
    """Return the plies before another stage, or another ending, begins with White to move."""
    board = start.copy(stack=False)
    here = library.rung(library.tables.stand(board)[0])
    for number, move in enumerate(line, start=1):
        board.push(move)
        stand = library.tables.stand(board)[0]
        if board.turn == chess.BLACK or not any(board.generate_legal_moves()):
            continue
        rung = library.rung(stand)
        if here is None or rung is None or stand.material != library.material or rung.stage != here.stage:
            return number
    return len(line)


def _drawn(library: ByLadder, title: str, count: int, seed: int) -> Iterator[Practice]:
    if count:
        # Other positions than those the model game is chosen from.
        wish = Wish(library.material, stage=title, strong=chess.WHITE)
        yield from practice(library, wish, count, seed + 1_000)


def solutions(tasks: list[LessonExercise]) -> Entries:
    """Return the solutions: the moves of the stage by the method against the longest defence."""
    return Entries(
        tuple(
            words.solution(number, task.board.variation_san(task.line[: task.stage_plies]), task.left)
            for number, task in enumerate(tasks, start=1)
        )
    )
