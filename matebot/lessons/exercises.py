"""Exercises of a lesson: positions stage by stage, White to move, and their solutions by the method."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import cycle, islice

import chess

from matebot.games.positions import Practice, Wish, practice
from matebot.lessons.model_game import ByLadder, turned, turned_move
from matebot.lessons.sheet import Entries
from matebot.play.line import method_line
from matebot.wording import lesson as words

_LINE_PLIES = 3


@dataclass(frozen=True)
class Exercise:
    """A position to solve.

    Attributes
    ----------
    title : of its stage
    line : the method from here, to mate
    """

    board: chess.Board
    title: str
    line: tuple[chess.Move, ...]

    @property
    def moves(self) -> int:
        """White's moves to mate by the method."""
        return (len(self.line) + 1) // 2


def exercises(library: ByLadder, count: int, seed: int, mirror: bool) -> list[Exercise]:
    """Return so many exercises, the stages in turn, in the order of the stages.

    Raises
    ------
    UserError
        when there are not so many positions in a stage
    """
    stages = library.plan.stages
    wanted = [0] * len(stages)
    for number in islice(cycle(range(len(stages))), count):
        wanted[number] += 1
    found = []
    for stage, number in zip(stages, wanted, strict=True):
        for drawn in _drawn(library, stage.title, number, seed):
            line = method_line(library, *library.tables.stand(drawn.board))
            moves = tuple(turned_move(move, mirror) for move in line)
            found.append(Exercise(turned(drawn.board, mirror), stage.title, moves))
    return found


def _drawn(library: ByLadder, title: str, count: int, seed: int) -> Iterator[Practice]:
    if count:
        # Other positions than those the model game is chosen from.
        wish = Wish(library.material, stage=title, strong=chess.WHITE)
        yield from practice(library, wish, count, seed + 1_000)


def solutions(tasks: list[Exercise]) -> Entries:
    """Return the solutions: the first moves by the method against the longest defence."""
    return Entries(
        tuple(
            words.solution(number, task.board.variation_san(task.line[:_LINE_PLIES]), task.moves)
            for number, task in enumerate(tasks, start=1)
        )
    )
