"""Which reason is told of a move, with which men, squares, moves and numbers: noted for positions of all endings."""

from __future__ import annotations

import pytest

from matebot.ideas.bridging import Bridging
from matebot.method.library import Library
from matebot.wording.attack import REASONS
from matebot.wording.moves import line, told
from matebot.wording.phrases import LINE
from tests.wording.telling import Row, marks_of, rows

ROWS = tuple(rows())
ANEW = "(told so on purpose: .venv/bin/python -m tests.wording.telling)"


@pytest.mark.parametrize("row", ROWS, ids=[f"{row.fen.split(' ')[0]} {row.move}" for row in ROWS])
def test_what_is_told_of_a_move_names_what_its_position_is_there_for(library: Library, row: Row) -> None:
    """Where another reason is told on purpose the rows are noted anew; see `telling`."""
    facts, better = row.facts(library)
    assert marks_of(facts, better) == row.marks, f"{' '.join(told(facts, better))} {ANEW}"
    text = line(facts, better)
    assert text.startswith({"white": "White: ", "black": "Black: "}[facts.turn])
    assert len(text) <= LINE


def test_every_reason_of_the_attacker_has_a_say_in_some_row(library: Library) -> None:
    """Of the move, or of the better one beside a slip; a bridge needs five men."""
    waiting = [reason for reason in REASONS if reason.idea is not Bridging]
    for row in ROWS:
        for facts in row.facts(library):
            if facts is not None and facts.by_attacker:
                waiting = [reason for reason in waiting if not reason.rule(facts)]
    assert waiting == []
