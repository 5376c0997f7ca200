"""What comes against a lost defence is quickest: the reply named belongs to the number told."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.method.library import Library
from matebot.wording.lasting import held
from tests.wording.sampling import WITH_LADDER, WITHOUT, maker_for, taken

STYLES = ("method", "shortest")


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("fen", "san", "slow"),
    [
        ("8/8/5K1p/8/8/8/5k2/1b6 w - - 0 1", "Ke5", "Kf3"),
        ("8/7K/8/8/8/8/1P3q1k/8 w - - 0 1", "Kg6", "Qxb2"),
        ("7k/8/1p6/8/8/2K5/4Q3/8 b - - 0 1", "Kg7", "Qb2"),
        ("1k6/8/8/8/6B1/7K/5P2/8 b - - 0 1", "Kc7", "Kg3"),
    ],
)
def test_no_reply_that_mates_later_is_named(library: Library, fen: str, san: str, slow: str, style: str) -> None:
    board = chess.Board(fen)
    facts = maker_for(library, board, style).facts(board.parse_san(san))
    assert slow not in " ".join(held(facts)), held(facts)


@pytest.mark.parametrize("ending", [*WITH_LADDER, *WITHOUT])
def test_what_comes_next_mates_in_the_number_told(library: Library, ending: str) -> None:
    """Values by the tables, moves by python-chess."""
    seen = 0
    for said in taken(library, ending, "defence", 40):
        facts, board = said.facts, chess.Board(said.facts.fen)
        if facts.worth.outcome_after >= 0 or not facts.worth.ranked_exactly:
            continue
        board.push_uci(facts.move)
        expects, ends = facts.seen.idea(Expects), facts.seen.idea(EndsIn)
        for reply in (*([expects.reply] if expects else ()), *(ends.line[:1] if ends else ())):
            there = board.copy()
            there.push(reply)
            plies = library.tables.value(there).dtm_plies
            assert plies is not None, (said.text, reply)
            assert (plies + 2) // 2 == facts.worth.mate_moves, (said.text, reply)
            seen += 1
    assert seen or ending in ("KRKB", "KBKP")
