"""What is ranked ahead: the moves after each quiet reply, and nothing once something is asked."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from matebot.play.ahead import rank_ahead
from matebot.play.judged import Judged


@pytest.mark.parametrize("asked", [0, 1, *range(10, 26), 1000])
def test_moves_after_quiet_replies_are_ranked_until_something_is_asked(library: Library, asked: int) -> None:
    """A rook that hangs: one of the replies takes it."""
    judged, played = Judged.of(library, chess.Board("8/8/8/8/8/2k5/7R/K7 w - - 0 1")), chess.Move.from_uci("h2d2")
    looked = list[int]()

    def wanted() -> bool:
        looked.append(1)
        return len(looked) > asked

    rank_ahead(judged, played, wanted)
    after = judged.after(played)
    there = {reply: after.after(reply) for reply in list(after.board.legal_moves)}
    quiet = [reply for reply in there if not after.board.is_zeroing(reply)]
    ranked = [reply for reply in there if "ranking" in vars(there[reply])]
    asks = expected = 0  # it is asked before each reply, and before each move after a quiet one
    for reply in after.referee.steps:
        asks += 1 + (there[reply].board.legal_moves.count() if reply in quiet else 0)
        expected += reply in quiet and asks <= asked
    assert len(ranked) == expected
    assert set(ranked) <= set(quiet) < set(there)
    assert len(looked) <= asked + 1
