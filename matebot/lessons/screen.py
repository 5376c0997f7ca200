"""What is taught of a ladder, told on a terminal: a screenful a stage, at most eighty columns wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

import chess

from matebot.games.diagram import BOARD_WIDTH, beside, board_text
from matebot.lessons.picture import Picture
from matebot.lessons.taught import Example, SlipTaught, StageTaught, Taught
from matebot.method.plans import ALL_PLANS
from matebot.wording import lesson as words
from matebot.wording.phrases import sentence
from matebot.wording.stages import sign_of

WIDTH = 78
_GAP, _IN_A_ROW = 2, 3
_TEXT_WIDTH = WIDTH - BOARD_WIDTH - _GAP
_FIFTY = 50


def told(taught: Taught, version: str, below: chess.Color = chess.WHITE) -> Iterator[str]:
    """Yield the lines of a lesson.

    Parameters
    ----------
    version : of the program by which the figures were proved
    below : the side at the bottom of the boards
    """
    body = [line for stage in taught.stages for line in _stage(taught, stage, below)]
    body += [*_slips(taught, below), *_budget(taught, version)]
    yield from _opening(taught)
    yield from wrap(words.terms(" ".join(" ".join(body).split())), WIDTH)
    yield from body


def _opening(taught: Taught) -> Iterator[str]:
    plan = taught.plan
    yield from _headed(words.ladder_heading(plan.heading, plan.name), "=")
    yield from wrap(plan.job, WIDTH)
    yield from wrap(plan.why, WIDTH)
    pictures = [stage.picture for stage in taught.stages if stage.picture is not None]
    pictures += [example.picture for example in taught.examples]
    pictures += [slip.picture for slip in taught.slips]
    found = {sign for picture in pictures for sign in _signs(picture).values()}
    yield from wrap(words.signs(found), WIDTH) if found else ()
    yield words.SHOWN


def _stage(taught: Taught, stage: StageTaught, below: chess.Color) -> Iterator[str]:
    yield ""
    heading = words.stage_heading(stage.number, len(taught.stages), stage.title, stage.most_moves)
    yield from _headed(heading, "-")
    beside_it = [*wrap(sentence(stage.aim), _TEXT_WIDTH), ""]
    if stage.picture is None:
        yield from beside_it
    else:
        beside_it += [words.TICK_OFF]
        for condition, there in stage.ticks:
            mark = words.TICKED if there else words.UNTICKED
            beside_it += wrap(f"{mark} {words.CONDITIONS[condition]}", _TEXT_WIDTH, subsequent_indent="    ")
        beside_it += ["", words.to_move(chess.COLOR_NAMES[stage.picture.board.turn])]
        yield from beside(_board(stage.picture, below), beside_it)
    yield from wrap(sign_of(taught.plan, stage.number), WIDTH)
    yield from wrap(words.beware(stage.trap), WIDTH)
    examples = taught.examples_of(stage.number)
    if examples:
        yield from ("", words.KNOW)
        for first in range(0, len(examples), _IN_A_ROW):
            yield ""
            yield from _row(examples[first : first + _IN_A_ROW], below)


def _row(examples: Sequence[Example], below: chess.Color) -> list[str]:
    """Return boards side by side, the words of each under it."""
    lines: list[str] = []
    for number, example in reversed(list(enumerate(examples))):
        text = "\n".join([_board(example.picture, below), *_caption(example.picture)])
        lines = beside(text, lines, BOARD_WIDTH) if number < len(examples) - 1 else text.split("\n")
    return lines


def _caption(picture: Picture) -> list[str]:
    return [f"  {line}" for line in wrap(picture.caption, BOARD_WIDTH - 2)]


def _slips(taught: Taught, below: chess.Color) -> Iterator[str]:
    yield ""
    yield from _headed(words.HEADINGS["slips"], "-")
    for slip in taught.slips:
        yield from beside(_board(slip.picture, below), _slip(slip))
        yield ""


def _slip(slip: SlipTaught) -> list[str]:
    said = [words.slip_heading(slip.picture.caption, slip.stage)]
    for text in slip.said:
        said += wrap(text, _TEXT_WIDTH)
    return said


def _budget(taught: Taught, version: str) -> Iterator[str]:
    plan, figures = taught.plan, taught.figures
    yield from _headed(words.HEADINGS["budget"], "-")
    total = sum(figures.stage_longest_moves)
    width = max(len(stage.title) for stage in taught.stages) + 3
    for stage in taught.stages:
        bar = "#" * stage.most_moves + "." * (_FIFTY - stage.most_moves)
        yield f"{f'{stage.number}. {stage.title}':<{width}}  {stage.most_moves:>2}"
        yield f"   {bar}"
    yield from wrap(words.budget_foot(total, figures.longest_moves, figures.mean_moves), WIDTH)
    yield from wrap(words.proved(version, figures.positions), WIDTH)
    yield ""
    yield words.practise_it(words.practise_command(plan.ending, None, "attack"))
    for other in ALL_PLANS[plan.ending]:
        if other != plan:
            yield words.another_ladder(plan.ending, other.name)


def _headed(text: str, rule: str) -> list[str]:
    lines = wrap(text, WIDTH)
    return [*lines, rule * max(map(len, lines))]


def _board(picture: Picture, below: chess.Color) -> str:
    return board_text(picture.board, below, _signs(picture))


def _signs(picture: Picture) -> dict[chess.Square, str]:
    """Return what is marked on empty squares: where the king can go, holes, squares to know, where a man came from."""
    empty = ~picture.board.occupied
    found = dict.fromkeys(picture.reach, "+")
    found |= {tail: ":" for tail, _ in picture.arrows[:1] if len(picture.arrows) == 1}
    found |= dict.fromkeys(picture.holes, "o") | dict.fromkeys(picture.stars, "*")
    return {square: sign for square, sign in found.items() if empty >> square & 1}
