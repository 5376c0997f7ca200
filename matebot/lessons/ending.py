"""The sheet of an ending with a ladder: what it holds and where; every picture, number and slip is computed."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from matebot import __version__
from matebot.lessons.exercises import LessonExercise, exercises, solutions
from matebot.lessons.lesson_plans import LessonPlan
from matebot.lessons.letters import lettered
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply
from matebot.lessons.parts import budget, example_gallery, slip_gallery, stage_gallery
from matebot.lessons.sheet import Columns, Gallery, Part, Section, Sheet, Shown, Words, marks_of
from matebot.lessons.taught import Example, ExampleKind, Taught
from matebot.lessons.teaching import teach
from matebot.method.library import Library
from matebot.method.plan import Plan
from matebot.wording import lesson as words

#: So many pictures to know by heart fit on the first side of the paper; so many of them may be the ending's own.
_PICTURES, _OWN = 8, 6
_ENDS = (ExampleKind.STALEMATE, ExampleKind.MATE)


def lesson(library: Library, plan: Plan, wanted: LessonPlan) -> Sheet:
    """Return the sheet of an ending.

    Parameters
    ----------
    plan : the ladder to teach
    wanted : how many exercises, of which stages, and so on; its ladder is `plan`
    """
    tasks = exercises(ByLadder(library, plan), wanted.exercises, wanted.seed, wanted.mirror, wanted.chosen(plan))
    return lesson_sheet(teach(library, plan, seed=wanted.seed, mirror=wanted.mirror), tasks, wanted)


def lesson_sheet(taught: Taught, tasks: list[LessonExercise], wanted: LessonPlan) -> Sheet:
    """Return what is taught, and exercises, as a sheet."""
    plan = taught.plan
    pictures = (
        Section(words.HEADINGS["stages"], (stage_gallery(taught, wanted.chosen(plan)),)),
        Section(words.HEADINGS["pictures"], (example_gallery(_that_fit(taught)),)),
        Section(words.HEADINGS["exercises"], (_tasks(tasks),)),
    )
    back = (
        Section(words.HEADINGS["slips"], (slip_gallery(taught),), overleaf=True),
        Section(words.HEADINGS["budget"], budget(taught)),
        Section(words.HEADINGS["game"], (_game(plan, taught.game),)),
        Section(words.HEADINGS["solutions"], (solutions(tasks),)),
    )
    why = Section("", (Words(plan.why), Words(words.legend(marks_of((*pictures, *back))))))
    foot = words.source(__version__, plan.name, wanted.seed)
    sheet = Sheet(plan.heading, plan.job, (why, *pictures, *back), foot)
    return lettered(sheet, wanted.letters)


def _that_fit(taught: Taught) -> list[Example]:
    """Return as many positions to know by heart as the paper has room for, the stalemates and the mate among them."""
    ends = [example for example in taught.examples if example.kind in _ENDS]
    others = [example for example in taught.examples if example.kind not in _ENDS]
    first = others[: max(min(len(others), _OWN), _PICTURES - len(ends))]
    return [*first, *ends[max(0, len(first) + len(ends) - _PICTURES) :]]


def _game(plan: Plan, game: Sequence[Ply]) -> Columns:
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


def _tasks(tasks: list[LessonExercise]) -> Gallery:
    shown = [
        Shown(marked(task.board, words.task_caption(number, task.title, task.moves, task.last), bare=True))
        for number, task in enumerate(tasks, start=1)
    ]
    return Gallery(tuple(shown), small=True)
