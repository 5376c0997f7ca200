"""What need not be looked for, by what is known of a position."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas import denies, ends_in, leads_to
from matebot.ideas.squares import after_move
from matebot.ideas.truth import only_mate_is_far
from matebot.method.library import Library
from matebot.play.truth import TableTruth

_MATE_NEXT = "k7/8/1K6/8/8/8/8/6R1 b - - 0 1"


@pytest.mark.parametrize(
    ("fen", "plies", "far"),
    [
        ("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", 20, True),
        (_MATE_NEXT, 2, False),
        (_MATE_NEXT, 1, True),
        ("8/8/4k3/8/8/8/4P3/3K4 w - - 0 1", 6, False),
        ("8/8/8/3kr3/8/8/8/K6Q w - - 0 1", 2, False),
    ],
)
def test_a_mate_is_all_there_is_where_nothing_can_be_taken_or_promoted(
    library: Library, fen: str, plies: int, far: bool
) -> None:
    """Mate after the only reply, Kb8 and Rg8, is two plies away."""
    assert only_mate_is_far(chess.Board(fen), chess.WHITE, TableTruth(library), plies) == far


def test_no_line_is_followed_where_only_a_far_mate_can_end_it(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    truth, asked = TableTruth(library), list[chess.Board]()
    monkeypatch.setattr(truth, "answer", asked.append)
    attack, defence = (chess.Board(f"8/8/8/8/4k3/8/8/K1BN4 {side} - - 0 1") for side in "wb")
    for before, idea in ((attack, leads_to), (defence, ends_in)):
        for move in before.legal_moves:
            after = before.copy(stack=False)
            after.push(move)
            assert idea.seen(before, move, after, chess.WHITE, truth) is None
    assert not asked


def test_no_smallest_box_is_looked_for_where_an_answer_leaves_none(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(chances: denies.Chances) -> int:
        raise AssertionError("expected that no box is asked for")

    monkeypatch.setattr(denies.Chances, "box", property(refuse))
    truth, before = TableTruth(library), chess.Board("7N/8/8/8/8/6B1/3k4/6K1 b - - 0 1")
    found = [
        denies.seen(before, move, after_move(before, move), chess.WHITE, truth) for move in list(before.legal_moves)
    ]
    assert found
