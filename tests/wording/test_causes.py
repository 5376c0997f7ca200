"""What is told as the cause of a slip, asked of the facts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.narrows import Narrows
from matebot.wording.causes import _box, _edge, _from_keys
from matebot.wording.denials import _lost


def facts(**told: object) -> MoveFacts:
    """Return facts of which a rule asks no more than is told."""
    return cast("MoveFacts", SimpleNamespace(**told))


@pytest.mark.parametrize(
    ("man", "was", "left", "best", "narrows", "told"),
    [
        ("rook", 8, 12, 11, False, True),
        ("rook", 8, 12, 12, False, False),
        ("rook", 8, 12, 14, False, False),
        ("rook", 7, 12, 11, False, False),  # the box has done its work
        ("rook", 8, 12, 11, True, False),
        ("queen", 8, 12, 11, False, False),
        ("rook", 20, 42, 8, False, True),
    ],
)
def test_a_box_grows_where_that_of_a_rook_was_large_and_the_better_move_leaves_less(
    man: str, was: int, left: int, best: int, narrows: bool, told: bool
) -> None:
    for change in (BoxChange.WIDENS, BoxChange.HOLDS):
        ideas = {Box: Box(change, was, left, True), Narrows: SimpleNamespace() if narrows else None}
        slip = facts(
            seen=SimpleNamespace(idea=ideas.get),
            men=SimpleNamespace(attacker_men=(man,)),
            box=SimpleNamespace(box_after=left),
        )
        text = _box(slip, facts(box=SimpleNamespace(box_after=best)))
        assert text == ("lets the box grow" if told and change is BoxChange.WIDENS else "")


@pytest.mark.parametrize(
    ("before", "after", "corner", "text"),
    [
        (3, 2, "a1", "goes nearer to a1, where mate is forced"),
        (3, 2, None, "goes nearer to a right corner, where mate is forced"),
        (1, 0, "h8", "goes nearer to h8, where mate is forced"),
        (4, 3, "a1", ""),  # it is far off still
        (3, 3, "a1", ""),
        (2, 3, "a1", ""),
        (None, None, None, ""),  # there are no bishop and knight
        (2, None, None, ""),  # one of them has been taken
    ],
)
def test_a_king_goes_nearer_to_a_corner_in_which_it_is_mated(
    before: int | None, after: int | None, corner: str | None, text: str
) -> None:
    steps = SimpleNamespace(corner_steps_before=before, corner_steps_after=after, right_corner=corner)
    man = SimpleNamespace(piece="king", rim_before=1, rim_after=1)
    assert _edge(facts(man=man, corner=steps), facts(man=man)) == text


@pytest.mark.parametrize(
    ("was", "now", "best", "told"),
    [
        (1, 2, 1, True),
        (1, 2, 0, True),
        (0, 1, 0, True),
        (1, 2, 2, False),
        (1, 1, 1, False),
        (2, 1, 1, False),
        (None, 2, 1, False),
        (1, None, 1, False),
        (None, None, None, False),
    ],
)
def test_a_king_goes_away_from_the_key_squares_where_the_better_step_does_not(
    was: int | None, now: int | None, best: int | None, told: bool
) -> None:
    keys = SimpleNamespace(key_steps_before=was, key_steps_after=now, key_squares=("d6", "e6", "f6"))
    steps = ("king", "king", False), ("king", "king", True), ("pawn", "king", False), ("king", "pawn", False)
    for piece, other, runs in steps:
        better = facts(
            man=SimpleNamespace(piece=other),
            keys=SimpleNamespace(key_steps_after=best),
            race=SimpleNamespace(runs_alone=runs),
        )
        text = _from_keys(facts(man=SimpleNamespace(piece=piece), keys=keys), better)
        away = told and piece == other == "king" and not runs
        assert text == ("takes the king farther from the key squares d6, e6 and f6" if away else "")


@pytest.mark.parametrize(
    ("line", "man", "text"),
    [
        ("d4d5", chess.ROOK, "rook"),
        ("e2e1q d4e1", chess.QUEEN, "pawn"),
        ("e2e1q d4d5", chess.ROOK, "rook"),
        ("e5e1 d4e1", chess.ROOK, "rook"),
        ("e2e1q d4d5 a7a6 d5e1", chess.QUEEN, "queen"),
        ("d4d5", None, ""),
    ],
)
def test_a_man_that_falls_is_named_a_pawn_where_it_has_just_promoted(line: str, man: int | None, text: str) -> None:
    moves = tuple(map(chess.Move.from_uci, line.split()))
    assert _lost(cast("EndsIn", SimpleNamespace(line=moves, man=man))) == text
