"""What is told of a king's ways and of what it comes for, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace

import chess
import pytest

from matebot.ideas.guards import Guards
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.wording import kings, maxims, minors, room_left
from matebot.wording.coming import _takes_back
from tests.wording.bare import facts_of

_FAR = 20


@pytest.mark.parametrize(
    ("aim", "shut", "target", "last", "text"),
    [
        (Aim.CENTRE, "d4", None, True, "d4, the way back to the centre"),
        (Aim.CENTRE, "d4", None, False, "d4, one of its ways back to the centre"),
        (Aim.CENTRE, "d4 d3", None, False, "d4 d3, two of its ways back to the centre"),
        (Aim.CENTRE, "d4 d3", None, True, "d4 d3, the way back to the centre"),
        (Aim.CENTRE, "d4 d3 d2", None, True, ""),  # all of them are named
        (Aim.CENTRE, "e5", None, True, ""),  # that is told of no square named
        (Aim.CENTRE, "e5 d4", None, True, "d4, the way back to the centre"),
        (Aim.WRONG_CORNER, "b2", "a1", True, "b2, the way to a1, the wrong corner"),
        (Aim.WRONG_CORNER, "b2", "a1", False, ""),  # it runs there another way
        (Aim.OUT_OF_CORNER, "d4", "a1", True, "d4, by which it could get away from the corner a1"),
        (Aim.OUT_OF_CORNER, "d4", "a1", False, "d4, by which it could get away from the corner a1"),
    ],
)
def test_squares_taken_are_told_with_where_they_lead(
    aim: Aim, shut: str, target: str | None, last: bool, text: str
) -> None:
    goal = None if target is None else chess.parse_square(target)
    idea = ShutsWay(aim, tuple(map(chess.parse_square, shut.split())), goal, last)
    facts = facts_of(
        "8/8/8/8/8/2k5/8/K3B1N1 w - - 0 1",
        "e1f2",
        by_winner=True,
        seen=SimpleNamespace(idea={ShutsWay: idea}.get),
        worth=SimpleNamespace(mate_moves=_FAR),
    )
    there, leads = room_left._leads(("d4", "d3", "d2", "b2"), facts)
    assert f"{' '.join(there)}{leads}" == text


@pytest.mark.parametrize(
    ("runs", "mate_moves", "ahead", "text", "rule"),
    [
        (True, 3, ("Kb4", "Kb2"), " for the mate: if Kb4, Kb2", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, ("Kb4", "Rd4#"), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, ("Kb4",), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, (), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (False, 3, ("Kb4", "Kb2"), ": it guards a3 and a4 on the pawn's way", maxims.ESCORT),
        (True, _FAR, ("Kb4", "Kb2"), ": it guards a3 and a4 on the pawn's way", maxims.ATTACK_TOGETHER),
    ],
)
def test_where_mate_comes_before_the_pawn_is_a_queen_the_king_comes_for_the_mate(
    runs: bool, mate_moves: int, ahead: tuple[str, ...], text: str, rule: str
) -> None:
    facts = facts_of(
        "8/8/8/8/2k5/8/P2R4/K7 w - - 0 1",
        "a1b1",
        by_winner=True,
        ahead=ahead,
        race=SimpleNamespace(runs_alone=runs),
        worth=SimpleNamespace(mate_moves=mate_moves, outcome_after=1),
        ways=SimpleNamespace(way_guarded=("a4", "a3")),
        as_quick=(),
    )
    assert kings._to_help(facts) == text
    assert kings.help_maxim(facts) == rule


@pytest.mark.parametrize(
    ("uci", "square", "kind", "text"),
    [
        ("d2d5", "d5", "rook", "offers to exchange rooks"),
        ("d2d5", "d5", "knight", "offers the rook for the knight"),
        ("d2d5", "e5", "rook", "lets the rook take only at its own cost"),
    ],
)
def test_a_man_that_is_taken_back_is_exchanged_or_takes_at_its_own_cost(
    uci: str, square: str, kind: str, text: str
) -> None:
    facts = facts_of("8/8/8/8/2k5/8/3R4/K7 w - - 0 1", uci, by_winner=True)
    assert _takes_back(chess.parse_square(square), kind, facts) == text


@pytest.mark.parametrize(
    ("freed", "text"),
    [
        (chess.E4, "takes over d5 from White's king, which may now move"),
        (chess.C3, "takes over d5 from the knight, which may now move"),
    ],
)
def test_a_man_that_is_freed_is_named_and_the_king_by_its_side(freed: int, text: str) -> None:
    idea = Guards(chess.BISHOP, (), (), (), (freed,), (chess.D5,))
    facts = facts_of("8/8/3k4/8/4K3/2N5/8/5B2 w - - 0 1", "f1g2", by_winner=True, gives=SimpleNamespace(check=True))
    assert minors.free_man(idea, facts) == text
