"""The sheet of an ending with a ladder: what it holds and where; every picture, number and slip is computed."""

from __future__ import annotations

from collections.abc import Iterator

import chess

from matebot import __version__
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.lessons.exercises import Exercise, exercises, solutions
from matebot.lessons.lesson_plans import LessonPlan
from matebot.lessons.letters import lettered
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply, model_game, turned
from matebot.lessons.pawn_pictures import pawn_pictures
from matebot.lessons.sheet import Block, Columns, Gallery, Grid, Part, Section, Sheet, Shown, Words, marks_of
from matebot.lessons.slips import slip_pictures
from matebot.lessons.stage_pictures import stage_pictures
from matebot.lessons.traps import stalemates
from matebot.lessons.w_pictures import READY, w_pictures
from matebot.method.ladder import Plan
from matebot.method.library import Library
from matebot.method.proved import proved_figures
from matebot.wording import lesson as words

_PICTURES, _STALEMATES = 8, 2


def lesson(library: Library, plan: Plan, wanted: LessonPlan) -> Sheet:
    """Return the sheet of an ending.

    Parameters
    ----------
    plan : the ladder to teach
    wanted : how many exercises, of which stages, and so on; its ladder is `plan`
    """
    followed = ByLadder(library, plan)
    seed, mirror, chosen = wanted.seed, wanted.mirror, wanted.chosen(plan)
    game = model_game(followed, seed, mirror)
    tasks = exercises(followed, wanted.exercises, seed, mirror, chosen)
    pictures = (
        Section(words.HEADINGS["stages"], (stages(followed, game, mirror, chosen),)),
        Section(words.HEADINGS["pictures"], (_pictures(followed, game, tasks, mirror),)),
        Section(words.HEADINGS["exercises"], (_tasks(tasks),)),
    )
    back = (
        Section(words.HEADINGS["slips"], (slip_pictures(followed, seed, mirror),), overleaf=True),
        Section(words.HEADINGS["budget"], tuple(budget(plan))),
        Section(words.HEADINGS["game"], (_game(plan, game),)),
        Section(words.HEADINGS["solutions"], (solutions(tasks),)),
    )
    why = Section("", (Words(words.WHERE[plan.ending]), Words(words.legend(marks_of((*pictures, *back))))))
    foot = words.source(__version__, plan.name, seed)
    sheet = Sheet(words.TITLES[plan.ending], words.JOBS[plan.ending], (why, *pictures, *back), foot)
    return lettered(sheet, wanted.letters)


def stages(library: ByLadder, game: list[Ply], mirror: bool, chosen: set[int]) -> Gallery:
    """Return the pictures of the stages chosen, as far as a game and what is well known show them."""
    known = [turned(chess.Board(READY), mirror)] if library.plan.ending == "KBNK" else []
    return stage_pictures(library, game, known, chosen)


def _pictures(library: ByLadder, game: list[Ply], tasks: list[Exercise], mirror: bool) -> Gallery:
    """Return what to know by heart: what belongs to the ending, the game's moments, the stalemates, the mate last."""
    shown: list[Shown] = []
    if library.plan.ending == "KBNK":
        shown += w_pictures(library, mirror)
    if library.plan.ending == "KPK":
        shown += pawn_pictures(library, game[0].before, mirror)
    *found, mate = _moments(game)
    # Where the ending has pictures of its own they show the cage already.
    moments = [moment for kind, moment in found if not shown or kind == "waiting"]
    boards = [ply.before for ply in reversed(game)]
    boards += [board for task in reversed(tasks) for board in reversed(_positions(task))]
    traps = stalemates(boards, _STALEMATES)
    shown += moments[: _PICTURES - len(shown) - len(traps) - 1]
    shown += traps[: _PICTURES - len(shown) - 1]
    return Gallery((*shown, mate[1]))


def _positions(task: Exercise) -> list[chess.Board]:
    boards = [task.board.copy(stack=False)]
    for move in task.line:
        boards.append(boards[-1].copy(stack=False))
        boards[-1].push(move)
    return boards


def _moments(game: list[Ply]) -> list[tuple[str, Shown]]:
    """Return the moves of the game that show something for the first time, in its order, the mate last."""
    found: dict[str, Shown] = {}
    shown: set[str] = set()
    for ply in game:
        if ply.before.turn == chess.BLACK:
            continue
        for kind, caption in _captions(ply):
            if kind not in found and ply.after.fen() not in shown:
                found[kind] = Shown(marked(ply.after, caption, played=ply.move))
                shown.add(ply.after.fen())
    return list(found.items())


def _captions(ply: Ply) -> Iterator[tuple[str, str]]:
    for idea in ply.ideas:
        if isinstance(idea, Cage) and idea.change is CageChange.SHUTS:
            yield "cage", words.cage_caption(ply.san, idea.size_after)
        elif isinstance(idea, Box) and idea.change is BoxChange.SHRINKS and idea.after is not None:
            yield "box", words.box_caption(ply.san, idea.after)
        elif idea.kind == "waiting_move":
            yield "waiting", words.waiting_caption(ply.san)
        elif idea.kind == "mates":
            yield "mate", words.mate_caption(ply.san)


def budget(plan: Plan) -> list[Block]:
    """Return how many moves each stage takes at most, and the whole beside the fifty."""
    figures = proved_figures(plan)
    rows = tuple(
        (words.stage_caption(number, stage.title), str(most))
        for number, (stage, most) in enumerate(zip(plan.stages, figures.stage_longest_moves, strict=True), start=1)
    )
    total = sum(figures.stage_longest_moves)
    return [
        Grid(words.BUDGET_HEAD, rows),
        Words(words.budget_foot(total, figures.longest_moves, figures.mean_moves)),
    ]


def _game(plan: Plan, game: list[Ply]) -> Columns:
    """Write the game in numbered moves beside the pictures in which its stages begin."""
    parts: list[tuple[Shown, list[str]]] = []
    stage: int | None = -1
    for number, ply in enumerate(game):
        if ply.before.turn == chess.BLACK:
            parts[-1][1][-1] += f" {ply.san}"
            continue
        if not parts or (ply.stage is not None and ply.stage != stage):
            stage = ply.stage or 0
            caption = words.stage_caption(stage + 1, plan.stages[stage].title)
            parts.append((Shown(marked(ply.before, caption)), []))
        parts[-1][1].append(f"{number // 2 + 1}. {ply.san}")
    blocks = [Part(shown, tuple(moves)) for shown, moves in parts]
    return Columns((Words(words.start_words((len(game) + 1) // 2)), *blocks))


def _tasks(tasks: list[Exercise]) -> Gallery:
    shown = [
        Shown(marked(task.board, words.task_caption(number, task.title, task.moves, task.last), bare=True))
        for number, task in enumerate(tasks, start=1)
    ]
    return Gallery(tuple(shown), small=True)
