"""Sheets of ladders: each stage with its picture, conditions, aim and trap, and how long it lasts at most."""

from __future__ import annotations

from collections.abc import Iterable

from matebot import __version__
from matebot.lessons.ending import budget, stages
from matebot.lessons.model_game import ByLadder, model_game
from matebot.lessons.sheet import Entries, Section, Sheet
from matebot.method.ladder import Plan
from matebot.method.library import Library
from matebot.wording import lesson as words

_SEED = 1


def ladders_sheet(library: Library, plans: Iterable[Plan]) -> Sheet:
    """Return the sheet of ladders."""
    sections: list[Section] = []
    for plan in plans:
        followed = ByLadder(library, plan)
        game = model_game(followed, _SEED, mirror=False)
        traps = tuple(words.trap(number, stage.trap) for number, stage in enumerate(plan.stages, start=1))
        shown = stages(followed, game, False, set(range(len(plan.stages))))
        heading = words.ladder_heading(plan.ending, plan.name)
        sections.append(Section(heading, (shown, Entries(traps), *budget(plan)), overleaf=bool(sections)))
    return Sheet(words.LADDERS, "", tuple(sections), words.made_by(__version__))
