"""Which reason is told of a move, with which men, squares, moves and numbers: noted for positions of all endings."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from itertools import groupby

import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.bridging import Bridging
from matebot.method.library import Library
from matebot.wording.attack import REASONS
from matebot.wording.moves import one_line, told
from matebot.wording.phrases import LINE
from tests.wording.telling import Row, marks_of, rows

ROWS = tuple(rows())
#: Rows by their men: hundreds of tests more would take a worker as long as what they ask.
BY_MEN = {men: tuple(of_men) for men, of_men in groupby(sorted(ROWS, key=lambda row: row.men), key=lambda row: row.men)}
Found = Callable[[Row], tuple[MoveFacts, MoveFacts | None]]
ANEW = "(told so on purpose: .venv/bin/python -m tests.wording.telling)"


@pytest.fixture(scope="module")
def found(library: Library) -> Found:
    """Return how the facts of a row are had, found once for all tests."""
    return cache(partial(Row.facts, library=library))


@pytest.mark.parametrize("men", BY_MEN)
def test_what_is_told_of_a_move_names_what_its_position_is_there_for(found: Found, men: str) -> None:
    """Where another reason is told on purpose the rows are noted anew; see `telling`."""
    differing = []
    for row in BY_MEN[men]:
        facts, better = found(row)
        sentences = told(facts, better)
        text = one_line(facts.turn, sentences)
        assert text.startswith({"white": "White: ", "black": "Black: "}[facts.turn])
        assert len(text) <= LINE
        if marks_of(sentences) != row.marks:
            differing.append(f"{row.fen} {row.move}: {' '.join(sentences)}")
    assert not differing, "\n".join([ANEW, *differing])


def test_every_reason_of_the_attacker_has_a_say_in_some_row(found: Found) -> None:
    """Of the move, or of the better one beside a slip; a bridge needs five men."""
    waiting = [reason for reason in REASONS if reason.idea is not Bridging]
    for row in ROWS:
        for facts in found(row) if waiting else ():
            if facts is not None and facts.by_attacker:
                waiting = [reason for reason in waiting if not reason.rule(facts)]
    assert waiting == []
