"""What is told of a better move, or is not since the slip does so too: asked of boards and of what is seen alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.cut_off import CutOff
from matebot.ideas.idea import Idea
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.shuts_way import ShutsWay
from matebot.wording import aftermath, chances, remedies, room_left, rooms, undone
from matebot.wording.reason import Reason
from tests.wording.bare import facts_of

ROOK, RACE, PAWN = "8/8/8/3k4/8/8/8/K3R3 w", "8/8/8/3k3r/8/8/P7/K7 w", "8/8/8/3k4/8/8/P7/K7 w"
BOTH = "8/8/8/3k3r/8/8/P7/K3R3 w"


def facts(placed: str, uci: str, *, shown: tuple[type[Idea], ...] = (), **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, and as told."""
    ideas: dict[type[Idea], Any] = {kind: SimpleNamespace(squares=(4,)) for kind in shown}
    seen = SimpleNamespace(idea=ideas.get, move=uci, slower_moves=told.pop("slower", None), answers_check=False)
    room = SimpleNamespace(king="d5", squares_taken=told.pop("taken", ()), squares_given=told.pop("given_back", ()))
    given = SimpleNamespace(by_king=False, gains_now=False, gains=None)
    vars(given).update(told.pop("time", {}))
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, seen=seen, room=room, given=given, **told)


@pytest.mark.parametrize(
    ("text", "first", "named"),
    [
        ("now Kf3 comes nearer", "Ra1 allows Kf3, which attacks the rook", True),
        ("Now Kf3 comes nearer", "Ra1 allows Kf3.", True),
        ("now Kf3 comes nearer", "Ra1 allows Kf2, which attacks the rook", False),
        ("now Kf3 comes nearer", "Ra1 lets the pawn go on by g5: Rg1 stops it", True),
        ("now Kf3 comes nearer", "Ra1 lets the pawn go on by g5", False),
        ("then Kf3 comes nearer", "Ra1 allows Kf3, which attacks the rook", False),
    ],
)
def test_what_is_done_with_the_time_has_been_told_where_a_reply_is_named_that_does_so(
    text: str, first: str, named: bool
) -> None:
    assert aftermath.in_time(text, first) == named


@pytest.mark.parametrize(
    ("better", "slip", "cuts", "guards", "too"),
    [
        ((), (), True, [1], False),
        ((ShutsWay,), (), True, [1], True),
        ((ShutsWay,), (), True, [], False),
        ((CutOff,), (), False, [1], False),
        ((CutOff,), (), True, [], True),
        ((CutOff,), (CutOff,), False, [], True),
        ((CutOff, ShutsWay), (), False, [1], False),
    ],
)
def test_a_king_is_parted_from_its_man_too_by_a_line_or_by_the_squares_that_are_told(
    monkeypatch: pytest.MonkeyPatch,
    better: tuple[type[Idea], ...],
    slip: tuple[type[Idea], ...],
    cuts: bool,
    guards: list[int],
    too: bool,
) -> None:
    monkeypatch.setattr(rooms, "cuts", lambda *_: "cuts the king off")
    monkeypatch.setattr(chances, "of", lambda kind, text: lambda one: "is told" if one.seen.idea(kind) else "")
    slower = SimpleNamespace(
        as_bad_cuts_off=lambda move: cuts and move == "a1a2",
        as_bad_guards=lambda squares, move: guards if (squares, move) == ((4,), "a1a2") else [],
    )
    told = chances._apart_too(facts(ROOK, "e1e2", shown=better, slower=slower), facts(ROOK, "a1a2", shown=slip))
    assert told == too


def shuts(way: str) -> Reason:
    return Reason(rule=lambda facts: f"shuts e5, the way {way}", idea=ShutsWay)


@pytest.mark.parametrize(
    ("placed", "way", "given_back", "told"),
    [
        (ROOK, "back to the centre", (), True),
        (ROOK, "off the edge", (), True),
        (ROOK, "back to the centre", ("e4",), False),
        (RACE, "back to the centre", (), False),
        (RACE, "to its rook", (), True),
        (ROOK, "to its rook", ("e4",), True),
        (PAWN, "off the edge", (), True),
        (BOTH, "off the edge", (), True),
    ],
)
def test_a_way_to_the_centre_is_told_but_in_a_race_and_where_the_slip_lets_go_of_squares(
    monkeypatch: pytest.MonkeyPatch, placed: str, way: str, given_back: tuple[str, ...], told: bool
) -> None:
    monkeypatch.setattr(remedies, "REASONS", ())
    monkeypatch.setattr(remedies, "_shown_too", lambda *_: False)
    slip = facts(placed, "a1b1", given_back=given_back)
    assert bool(remedies._told(shuts(way), facts(placed, "a1b2"), slip)) == told


@pytest.mark.parametrize(
    ("idea", "text", "time", "ahead", "beside"),
    [
        (None, "takes e4 from the king", {"by_king": True}, ("Kd4", "Ka2"), True),
        (None, "takes e4 from the king", {"by_king": True}, ("Ke4", "Ka2"), False),
        (None, "takes e4 from the king", {"by_king": False}, ("Kd4", "Ka2"), False),
        (None, "takes e4 from the king", {"by_king": True}, (), False),
        (None, "takes f4 from the king", {"by_king": True}, ("Kd4", "Ka2"), False),
        (OffTheRim, "brings the knight in", {"by_king": True}, ("Kd4", "Ka2"), False),
        (
            OffTheRim,
            "brings the knight in",
            {"by_king": True, "gains_now": True, "gains": Gain.CENTRE},
            ("Kd4", "Ka2"),
            True,
        ),
        (
            OffTheRim,
            "brings the knight in",
            {"by_king": True, "gains_now": True, "gains": Gain.PAWN},
            ("Kd4", "Ka2"),
            False,
        ),
        (None, "waits", {"by_king": True, "gains_now": True, "gains": Gain.CENTRE}, ("Kd4", "Ka2"), False),
    ],
)
def test_squares_taken_are_beside_the_point_where_the_slip_gives_the_king_another_step(
    idea: type[Idea] | None, text: str, time: dict[str, Any], ahead: tuple[str, ...], beside: bool
) -> None:
    reason, better = Reason(rule=lambda facts: text, idea=idea), facts(ROOK, "e1e2", taken=("e4",))
    slip = facts(ROOK, "a1a2", time=time, then=SimpleNamespace(ahead=ahead))
    assert remedies._is_beside_the_point(reason, text, better, slip) == beside


@pytest.mark.parametrize(
    ("placed", "uci", "taken", "line"),
    [
        ("8/8/8/3k4/8/8/8/K5R1 w", "g1e1", ("e4", "e5"), "the e-file"),
        ("8/8/8/3k4/8/8/8/K5R1 w", "g1e1", ("e4",), ""),
        ("8/8/8/3k4/8/8/8/K5R1 w", "g1e1", ("e4", "e1"), ""),
        ("8/8/8/3k4/8/8/8/K5R1 w", "g1e1", ("e4", "d4"), ""),
        ("8/8/8/3k4/8/8/8/K5Q1 w", "g1e1", ("e4", "e5"), ""),
        ("8/8/8/3k4/8/8/4N3/K5R1 w", "g1e1", ("e4", "e5"), ""),
        ("8/8/8/3k4/8/8/8/K4B2 w", "f1g2", ("e4", "f3"), ""),  # the king stands on that line
    ],
)
def test_a_line_is_named_that_holds_two_squares_taken_or_more_and_no_other_man(
    placed: str, uci: str, taken: tuple[str, ...], line: str
) -> None:
    assert room_left._line(facts(placed, uci, taken=taken)) == line


@pytest.mark.parametrize(
    ("placed", "uci", "line"),
    [
        ("8/8/8/k7/8/8/8/1R5K w", "b1g1", "file b"),
        ("8/8/8/k7/8/8/8/1R5K w", "b1b3", ""),
        ("8/8/8/7k/8/8/8/K5R1 w", "g1c1", "file g"),
        ("3k4/2R5/8/8/8/8/8/K7 w", "c7c1", "rank 7"),
        ("8/8/8/8/8/8/1R6/3k3K w", "b2b5", "rank 2"),
        ("8/8/8/8/8/8/1R6/3k3K w", "b2g2", ""),
        ("8/8/8/3k4/8/8/8/1R5K w", "b1g1", ""),  # the king is not on the edge
        ("8/8/8/3k4/8/8/1R6/7K w", "b2b5", ""),
        ("8/8/8/k7/8/8/8/2R4K w", "c1g1", ""),
    ],
)
def test_a_line_next_to_the_edge_is_let_go_where_the_king_stands_on_that_edge(placed: str, uci: str, line: str) -> None:
    assert undone.edge_line(facts(placed, uci)) == line
