"""No rule that has a say about a good move is lost, whatever slower moves do too."""

from __future__ import annotations

from collections import Counter

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.wording import room_left
from matebot.wording.attack import REASONS, head, reasons
from matebot.wording.reason import Rank
from tests.witness.positions import random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KRK"])
def test_every_rule_that_has_a_say_gives_its_reason_once(library: Library, ending: str) -> None:
    weak = several = 0
    for board in random_positions(ending, 20, seed=77):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking[:3] if maker.verdict.outcome > 0 else []:
            facts = maker.facts(item.move)
            said = [(reason, text) for reason in REASONS if (text := reason.rule(facts))]
            assert Counter(head(deed.text) for deed in reasons(facts)) == Counter(head(text) for _, text in said), (
                board.fen()
            )
            weak += any(reason.rank is Rank.WEAK for reason, _ in said)
            several += len(said) > 1
    assert min(weak, several) > 3


@pytest.mark.parametrize(
    ("squares", "line"), [(("f4", "f5", "f6"), "f-file"), (("e1", "g1"), "rank 1"), (("e1", "f5"), "")]
)
def test_squares_taken_by_a_queen_on_a_line_of_hers_are_told_by_the_line(
    library: Library, squares: tuple[str, ...], line: str
) -> None:
    board = chess.Board("8/8/8/4K3/k7/8/8/3q4 b - - 0 1")
    facts = FactMaker(Judged.of(library, board)).facts(chess.Move.from_uci("d1f1"))
    text = room_left.line_taken(squares, facts)
    assert [square in text for square in squares] == [not line] * len(squares)
    assert line in text
