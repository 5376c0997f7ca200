"""The single games, questions and probes an assessment is made of, drawn by seed or taken from a suite.

A task is determined by the plan alone, so an interrupted run can be taken up again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from random import Random
from typing import TypeVar

import chess

from matebot.assess.judging.results import AGAINST, ENGINE, OWN
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import AssessmentPlan
from matebot.laws.verdict import FINAL
from matebot.records import dataclass
from matebot.solver.coverage import men_of
from matebot.solver.material import Material

_T = TypeVar("_T")
_DEFAULT_COUNT = 20
_TRIES = 3000
#: Probes of conduct -> the position they are made in.
PROBES = {
    "a mated side is asked": "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1",
    "a stalemated side is asked": "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1",
    "stop ends an infinite search": "8/8/8/3k4/8/3K4/3B4/3N4 w - - 0 1",
}


@dataclass(frozen=True, slots=True)
class Task:
    """One game, question or probe.

    Attributes
    ----------
    name : unique in its plan, "attack 12"
    part : one of `results.PARTS`
    goal : "win", "hold" or "last" for games, "" otherwise
    player, opponent : who is judged, and who plays the other side
    white : whether `player` has the white men
    """

    name: str
    part: str
    ending: str
    fen: str
    goal: str
    player: str
    opponent: str
    white: bool


@dataclass(frozen=True, slots=True)
class StartPosition:
    """A usable position: where it is from, its ending and its outcome for the side to move."""

    ending: str
    board: chess.Board
    outcome: int


def make_tasks(plan: AssessmentPlan, truth: SharedTruth, suite: Sequence[StartPosition] | None) -> list[Task]:
    """Return all tasks of a plan.

    Parameters
    ----------
    suite : positions to use; None draws them at random from the plan's endings
    """
    tasks: list[Task] = []
    for part in plan.parts:
        if part == "conduct":
            tasks += (
                Task(f"conduct {n}", part, "", fen, "", ENGINE, "", True) for n, fen in _numbered(PROBES.values())
            )
            continue
        found = _drawn(plan, truth, part) if suite is None else _taken(part, suite, plan.count)
        tasks += (task for number, one in _numbered(found) for task in _tasks(part, number, one, bool(plan.against)))
    return tasks


def _numbered(items: Iterable[_T]) -> Iterator[tuple[int, _T]]:
    return enumerate(items, start=1)


def _tasks(part: str, number: int, one: StartPosition, against: bool) -> Iterator[Task]:
    board, fen, name = one.board, one.board.fen(), f"{part} {number}"
    winner = board.turn if one.outcome > 0 else not board.turn
    if part == "analysis":
        yield Task(name, part, one.ending, fen, "", ENGINE, "", board.turn)
    elif part == "defence":
        goal = "last" if one.outcome else "hold"
        yield Task(name, part, one.ending, fen, goal, ENGINE, OWN, not winner if one.outcome else _weaker(board))
    elif against:
        yield Task(name, part, one.ending, fen, "win", ENGINE, AGAINST, winner)
        yield Task(f"{name} turned", part, one.ending, fen, "win", AGAINST, ENGINE, winner)
    else:
        yield Task(name, part, one.ending, fen, "win", ENGINE, OWN, winner)


def _weaker(board: chess.Board) -> chess.Color:
    white, black = (Material.of(men_of(board, colour), "") for colour in chess.COLORS)
    if white == black:
        return board.turn
    return Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[1]


def _taken(part: str, suite: Sequence[StartPosition], count: int | None) -> list[StartPosition]:
    """Choose the suite's positions that suit a part."""
    fits = [one for one in suite if part != "attack" or one.outcome != 0]
    return fits[:count]


def _drawn(plan: AssessmentPlan, truth: SharedTruth, part: str) -> Iterator[StartPosition]:
    """Draw positions for a part; endings and wanted outcomes take turns, so even a few positions have all outcomes."""
    kinds = _kinds(plan.ending, _WANTED[part])
    barren: set[tuple[str, int]] = set()
    for number in range(plan.count or _DEFAULT_COUNT):
        wanted = kinds[number % len(kinds)][1]
        others = kinds[number % len(kinds) :] + kinds[: number % len(kinds)]
        for kind in sorted(others, key=lambda kind: kind[1] != wanted):
            found = None if kind in barren else _draw(kind, truth, Random(f"{plan.seed} {part} {number} {kind}"))
            if found is not None:
                yield found
                break
            barren.add(kind)


def _kinds(endings: Sequence[str], outcomes: Sequence[int]) -> list[tuple[str, int]]:
    """Return every ending with every outcome, each followed by the next ending with the next outcome."""
    count = len(endings)
    return [
        (endings[number % count], outcomes[(number % count + number // count) % len(outcomes)])
        for number in range(count * len(outcomes))
    ]


#: Part -> outcomes for the stronger side (of two equal sides: the one to move) positions are drawn with, in turn.
_WANTED = {"attack": (1,), "defence": (1, 0), "analysis": (1, 0)}


def _draw(kind: tuple[str, int], truth: SharedTruth, random: Random) -> StartPosition | None:
    """Draw a position by trial; None where none turns up."""
    ending, wanted = kind
    material = Material.parse(ending, largest=5)
    for _ in range(_TRIES):
        board = _placed(material, random)
        if board is None or truth.refusal(board) is not None:
            continue
        verdict = truth.judge(board)
        strong = board.turn if _weaker(board) != board.turn or material.white == material.black else not board.turn
        mine = verdict.outcome if board.turn == strong else -verdict.outcome
        if verdict.cause not in FINAL and mine == wanted:
            return StartPosition(ending, board, verdict.outcome)
    return None


def _placed(material: Material, random: Random) -> chess.Board | None:
    """Place the men anywhere, either side strong, either side to move; None where a pawn stands on the last rank."""
    turned = random.random() < 0.5
    squares = random.sample(chess.SQUARES, 2 + len(material.men))
    board = chess.Board(None)
    men = [("K", True), ("K", False), *material.men]
    for square, (man, white) in zip(squares, men, strict=True):
        if man == "P" and not 8 <= square < 56:
            return None
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white != turned))
    board.turn = random.random() < 0.5
    return board
