"""The sheet of an ending with a ladder: what it holds and where; every picture, number and slip is computed."""

from __future__ import annotations

from collections.abc import Iterator

import chess

from matebot import __version__
from matebot.errors import UserError
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.conditions import ticked
from matebot.lessons.exercises import Exercise, exercises, solutions
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply, model_game
from matebot.lessons.sheet import Block, Columns, Gallery, Grid, Section, Sheet, Shown, Ticks, Words
from matebot.lessons.slips import slip_pictures
from matebot.lessons.w_pictures import w_pictures
from matebot.method.field import key_squares
from matebot.method.ladder import Plan
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.method.proved import proved_figures
from matebot.wording import lesson as words

_PICTURES = 10


def plan_of(ending: str, ladder: str | None) -> Plan:
    """Return the plan of an ending to teach, its first one unless another is named.

    Raises
    ------
    UserError
        when the ending has no ladder, or none of that name
    """
    plans = PLANS.get(ending, ())
    if not plans:
        raise UserError(f"expected an ending with a ladder ({', '.join(PLANS)}), got {ending!r}")
    if ladder is None:
        return plans[0]
    found = [plan for plan in plans if plan.name == ladder.strip().casefold()]
    if not found:
        names = ", ".join(repr(plan.name) for plan in plans)
        raise UserError(f"expected a ladder of {ending} ({names}), got {ladder!r}")
    return found[0]


def lesson(library: Library, plan: Plan, count: int, seed: int, mirror: bool) -> Sheet:
    """Return the sheet of an ending.

    Parameters
    ----------
    count : exercises
    seed : repeats the choice of game, slips and exercises
    mirror : show everything mirrored left to right
    """
    followed = ByLadder(library, plan)
    game = model_game(followed, seed, mirror)
    tasks = exercises(followed, count, seed, mirror)
    front = (
        Section("", (Words(words.WHERE[plan.ending]), Words(words.LEGEND))),
        Section(words.HEADINGS["stages"], (_stages(plan, game),)),
        Section(words.HEADINGS["pictures"], (_pictures(followed, game, mirror),)),
        Section(words.HEADINGS["exercises"], (_tasks(tasks),)),
    )
    back = (
        Section(words.HEADINGS["slips"], (slip_pictures(followed, seed, mirror),), overleaf=True),
        Section(words.HEADINGS["budget"], tuple(_budget(plan))),
        Section(words.HEADINGS["game"], (_game(plan, game),)),
        Section(words.HEADINGS["solutions"], (solutions(tasks),)),
    )
    foot = words.source(__version__, plan.name, seed)
    return Sheet(words.TITLES[plan.ending], words.JOBS[plan.ending], (*front, *back), foot)


def _stages(plan: Plan, game: list[Ply]) -> Gallery:
    """Show the position in which each stage of the game is first played, its conditions ticked off."""
    shown = []
    for number, stage in enumerate(plan.stages):
        board = next((p.before for p in game if p.stage == number and p.before.turn == chess.WHITE), None)
        if board is None:
            continue
        marks = ticked(plan.name, number, board, chess.WHITE)
        under = Ticks(tuple((words.CONDITIONS[condition], there) for condition, there in marks.items()))
        caption = words.stage_caption(number + 1, stage.title)
        shown.append(Shown(marked(board, caption), (Words(f"{stage.aim[:1].upper()}{stage.aim[1:]}."), under)))
    return Gallery(tuple(shown))


def _pictures(library: ByLadder, game: list[Ply], mirror: bool) -> Gallery:
    shown: list[Shown] = []
    if library.plan.ending == "KBNK":
        shown += w_pictures(library, mirror)
    if library.plan.ending == "KPK":
        shown.append(_key_squares(game[0].before))
    shown += _moments(game)[: _PICTURES - len(shown)]
    return Gallery(tuple(shown))


def _key_squares(board: chess.Board) -> Shown:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    keys = sorted(key_squares(pawn))
    caption = words.key_caption([chess.square_name(square) for square in keys])
    return Shown(marked(board, caption, stars=keys))


def _moments(game: list[Ply]) -> list[Shown]:
    """Return the moves of the game that show something for the first time, in its order, the mate last."""
    found: dict[str, Shown] = {}
    for ply in game:
        if ply.before.turn == chess.BLACK:
            continue
        for kind, caption in _captions(ply):
            found.setdefault(kind, Shown(marked(ply.after, caption, played=ply.move)))
    mate = found.pop("mate", None)
    return [*found.values(), *([mate] if mate is not None else [])]


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


def _budget(plan: Plan) -> list[Block]:
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
    """Write the game in numbered moves, with a picture where a stage begins."""
    blocks: list[Words | Shown | Grid] = [Words(words.start_words((len(game) + 1) // 2))]
    line: list[str] = []
    stage: int | None = -1
    for number, ply in enumerate(game):
        if ply.before.turn == chess.WHITE:
            if ply.stage is not None and ply.stage != stage:
                blocks += [Words(" ".join(line))] if line else []
                line, stage = [], ply.stage
                blocks.append(Shown(marked(ply.before, words.stage_caption(stage + 1, plan.stages[stage].title))))
            line.append(f"{number // 2 + 1}. {ply.san}")
        else:
            line.append(ply.san)
    return Columns((*blocks, Words(" ".join(line))))


def _tasks(tasks: list[Exercise]) -> Gallery:
    shown = [
        Shown(marked(task.board, words.exercise_caption(number, task.title, task.moves), bare=True))
        for number, task in enumerate(tasks, start=1)
    ]
    return Gallery(tuple(shown), small=True)
