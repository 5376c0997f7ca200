"""Sheets of ladders: stages with pictures and traps, what to know by heart, slips, and how long each stage lasts."""

from __future__ import annotations

from collections.abc import Iterable

from matebot import __version__
from matebot.lessons.parts import budget, example_gallery, slip_gallery, stage_gallery
from matebot.lessons.sheet import Entries, Section, Sheet, Words, marks_of
from matebot.lessons.taught import Taught
from matebot.wording import lesson as words


def ladders_sheet(ladders: Iterable[Taught]) -> Sheet:
    """Return the sheet of ladders."""
    sections: list[Section] = []
    for taught in ladders:
        plan = taught.plan
        traps = tuple(words.trap(stage.number, stage.trap) for stage in taught.stages)
        about = Words(f"{plan.job} {plan.why}")
        own = [
            Section(words.ladder_heading(plan.heading, plan.name), (about, stage_gallery(taught), Entries(traps))),
            Section(words.HEADINGS["pictures"], (example_gallery(taught.examples),)),
            Section(words.HEADINGS["slips"], (slip_gallery(taught),)),
            Section(words.HEADINGS["budget"], budget(taught)),
        ]
        legend = Section("", (Words(words.legend(marks_of(own))),))
        sections += [legend, *own]
    return Sheet(words.LADDERS, "", tuple(sections), words.made_by(__version__))
