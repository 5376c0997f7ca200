"""What is taught of a ladder as parts of a page."""

from __future__ import annotations

from collections.abc import Container, Iterable

from matebot.lessons.sheet import Block, Gallery, Grid, Shown, Ticks, Words
from matebot.lessons.taught import Example, StageTaught, Taught
from matebot.wording import lesson as words
from matebot.wording.phrases import sentence


def stage_gallery(taught: Taught, chosen: Container[int] | None = None) -> Gallery:
    """Return the stages that have a picture, with their aims and conditions.

    Parameters
    ----------
    chosen : numbers of stages, 0 the first; all without it
    """
    shown = [_stage(stage) for stage in taught.stages if chosen is None or stage.number - 1 in chosen]
    return Gallery(tuple(one for one in shown if one is not None))


def _stage(stage: StageTaught) -> Shown | None:
    if stage.picture is None:
        return None
    under = Ticks(tuple((words.CONDITIONS[condition], there) for condition, there in stage.ticks))
    return Shown(stage.picture, (Words(sentence(stage.aim)), under))


def example_gallery(examples: Iterable[Example]) -> Gallery:
    """Return positions to know by heart."""
    return Gallery(tuple(Shown(example.picture) for example in examples))


def slip_gallery(taught: Taught) -> Gallery:
    """Return the slips with what is said of them."""
    return Gallery(tuple(Shown(slip.picture, (Words(" ".join(slip.said)),)) for slip in taught.slips))


def budget(taught: Taught) -> tuple[Block, ...]:
    """Return how many moves each stage takes at most, and the whole beside the fifty."""
    figures = taught.figures
    rows = tuple((words.stage_caption(stage.number, stage.title), str(stage.most_moves)) for stage in taught.stages)
    total = sum(figures.stage_longest_moves)
    return (
        Grid(words.BUDGET_HEAD, rows),
        Words(words.budget_foot(total, figures.longest_moves, figures.mean_moves)),
    )
