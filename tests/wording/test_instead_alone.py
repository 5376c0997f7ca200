"""What is told of a better move, or is not since the slip does so too: asked of boards and of what is seen alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cut_off import CutOff
from matebot.ideas.idea import Idea
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.shuts_way import ShutsWay
from matebot.ideas.waiting_move import WaitingMove
from matebot.wording import aftermath, answers, chances, coming, king_and_pawn, remedies, room_left, rooms, undone
from matebot.wording.reason import Reason
from tests.wording.bare import facts_of

ROOK, RACE, PAWN = "8/8/8/3k4/8/8/8/K3R3 w", "8/8/8/3k3r/8/8/P7/K7 w", "8/8/8/3k4/8/8/P7/K7 w"
NULL = chess.Move.null()
BOTH = "8/8/8/3k3r/8/8/P7/K3R3 w"


def facts(placed: str, uci: str, *, shown: tuple[type[Idea], ...] = (), **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, and as told."""
    ideas: dict[type[Idea], Any] = {kind: SimpleNamespace(squares=(4,)) for kind in shown}
    seen = SimpleNamespace(idea=ideas.get, move=uci, slower_moves=told.pop("slower", None), answers_check=False)
    room = SimpleNamespace(king="d5", squares_taken=told.pop("taken", ()), squares_given=told.pop("given_back", ()))
    room.flights = told.pop("flights", ())
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
    given = facts(ROOK, "a1a2", shown=slip, flights=("e1",))
    assert chances._apart_too(facts(ROOK, "e1e2", shown=better, slower=slower), given) == too


def test_a_king_that_cannot_go_there_after_the_slip_either_is_parted_from_its_man_too() -> None:
    slower = SimpleNamespace(as_bad_guards=lambda squares, move: [])
    better = facts(ROOK, "e1e2", shown=(ShutsWay,), slower=slower)
    assert chances._apart_too(better, facts(ROOK, "a1a2", flights=("d1",)))
    assert not chances._apart_too(better, facts(ROOK, "a1a2", flights=("e1",)))


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
    assert remedies._told(Reason(shuts(way).rule), facts(placed, "a1b2"), slip)  # it is told for another reason


@pytest.mark.parametrize(("by_rule", "too", "told"), [(True, False, True), (True, True, False), (False, True, True)])
def test_a_key_square_is_told_where_no_step_about_as_bad_goes_to_one(
    monkeypatch: pytest.MonkeyPatch, by_rule: bool, too: bool, told: bool
) -> None:
    reason = Reason(lambda _: "goes to a key square")
    monkeypatch.setattr(remedies, "REASONS", ())
    monkeypatch.setattr(remedies, "_shown_too", lambda *_: False)
    monkeypatch.setattr(remedies, "_on_key_too", lambda *_: too)
    if by_rule:
        monkeypatch.setattr(king_and_pawn, "key_square", reason.rule)
    assert bool(remedies._told(reason, facts(PAWN, "a1b1"), facts(PAWN, "a1b2"))) == told


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
        (OffTheRim, "brings the knight in", {"by_king": True, "gains": Gain.CENTRE}, ("Kd4", "Ka2"), False),
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


ON_EDGE, IN_CORNER = "keeps Black's king on the edge", "keeps Black's king in the corner"
WITH_BISHOP = "8/8/8/3k4/8/8/8/K3B3 w"
OPENED, LOOSE, WIDER = (
    {Cage: SimpleNamespace(change=change, loose=loose)}
    for change, loose in ((CageChange.OPENS, ()), (CageChange.OPENS, (4,)), (CageChange.WIDENS, ()))
)


@pytest.mark.parametrize(
    ("text", "better", "slip", "told"),
    [
        ("", {}, {}, ""),
        ("shrinks the box", {}, {}, "shrinks the box"),
        ("shrinks the box", {}, {"does": "shrinks the box"}, ""),
        ("covers e4 and e5", {"taken": ("e4",)}, {}, "covers e4 and e5"),
        ("covers e4 and e5", {"taken": ("e4", "d4")}, {}, "covers e4 and e5"),
        ("covers e4 and e5", {"taken": ("d4",)}, {}, "covers d4"),
        ("covers e4 and e5", {"taken": ("d4", "d5")}, {}, "covers d4 and d5"),
        ("covers e4 and e5", {"taken": ("d4", "d5", "d6")}, {}, "covers d4, d5 and d6"),
        ("covers e4 and e5", {"taken": ("d4", "d5", "d6", "d7")}, {}, ""),
        ("covers e4 and e5", {}, {}, ""),
        ("takes e4 from the king", {"taken": ("e4",)}, {}, "takes e4 from the king"),
        ("takes e4 from the king", {"taken": ("e4",)}, {"taken": ("e4", "d4")}, ""),
        ("takes e4 from the king", {"taken": ("e4",)}, {"taken": ("e4",)}, ""),
        ("takes e4 from the king", {}, {}, "takes e4 from the king"),
        ("shrinks the box", {"taken": ("e4",)}, {"taken": ("e4",)}, "shrinks the box"),
        ("prepares the opposition", {}, {}, "prepares the opposition"),
        ("prepares the opposition", {}, {"placed": WITH_BISHOP}, ""),
        ("shrinks the box", {}, {"placed": WITH_BISHOP}, "shrinks the box"),
        ("shrinks the box", {"idea": WaitingMove}, {}, ""),
        ("waits", {}, {}, ""),
        ("cuts the king off from its rook", {}, {}, ""),
        ("cuts the king off from its knight", {}, {}, "cuts the king off from its knight"),
        ("cuts the king off from its knight", {"cuts": True}, {}, ""),
        ("shrinks the box", {"cuts": True}, {}, "shrinks the box"),
        ("keeps the cage shut: if Kd6, Ke2", {}, {"ideas": OPENED}, "keeps the cage shut: if Kd6, Ke2"),
        ("keeps the cage shut: if Kd6, Ke2", {}, {"ideas": LOOSE}, ""),
        ("keeps the cage shut: if Kd6, Ke2", {}, {"ideas": WIDER}, ""),
        ("keeps the cage shut: if Kd6, Ke2", {}, {}, ""),
        (ON_EDGE, {}, {"flights": ("a4", "a5")}, ""),
        (ON_EDGE, {}, {"flights": ("a4", "b5")}, ON_EDGE),
        (IN_CORNER, {}, {"flights": ("a4", "a5")}, IN_CORNER),
        (ON_EDGE.replace("keeps", "holds"), {}, {"flights": ("a4",)}, ON_EDGE.replace("keeps", "holds")),
        ("brings the king up", {"uci": "a1b2"}, {"kings": 3}, ""),
        ("brings the king up", {"uci": "a1b2"}, {"kings": 4}, "brings the king up"),
        ("shrinks the box", {"uci": "a1b2"}, {"kings": 3}, "shrinks the box"),
        ("shrinks the box", {"idea": OffTheRim, "shown": True}, {}, "shrinks the box"),
        ("shrinks the box", {"idea": OffTheRim, "shown": True, "bad": True}, {}, ""),
        ("shrinks the box", {"idea": OffTheRim, "bad": True}, {}, "shrinks the box"),
    ],
)
def test_what_a_better_move_does_is_told_but_where_the_slip_or_a_move_as_bad_does_so_or_it_says_too_little(
    monkeypatch: pytest.MonkeyPatch, text: str, better: dict[str, Any], slip: dict[str, Any], told: str
) -> None:
    monkeypatch.setattr(remedies, "REASONS", (Reason(rule=lambda _: slip.get("does", "waits for nothing")),))
    for name in ("_shown_too", "_is_beside_the_point"):
        monkeypatch.setattr(remedies, name, lambda *_: False)
    reason = Reason(rule=lambda _: text, idea=better.get("idea"))
    slower = SimpleNamespace(
        as_bad_cuts_off=lambda move: better.get("cuts", False) and move == "a1a2",
        as_bad=lambda idea, purpose, move: better.get("bad", False) and purpose is None and move == "a1a2",
    )
    shown = (better["idea"],) if "shown" in better else ()
    good = facts(
        ROOK,
        better.get("uci", "e1e2"),
        shown=shown,
        slower=slower,
        taken=better.get("taken", ()),
        kings=SimpleNamespace(kings_after=3),
    )
    given = facts(
        slip.get("placed", ROOK),
        "a1a2",
        taken=slip.get("taken", ()),
        kings=SimpleNamespace(kings_after=slip.get("kings", 4)),
    )
    vars(given.room)["flights"] = slip.get("flights", ())
    vars(given.seen)["idea"] = slip.get("ideas", {}).get
    assert remedies._told(reason, good, given) == told


@pytest.mark.parametrize(
    ("idea", "told"),
    [
        (KingNearer((Purpose.SHUTS,), (), (), (), (), ()), True),
        (KingNearer((Purpose.FREES,), (), (), (), (), ()), False),
        (KingNearer((Purpose.CENTRE,), (), (), (), (), ()), False),  # a move as bad does so too
        (Prepares(NULL, NULL, Next.BOX, None, forced=False, forks=False, fastest=True), True),
        (Prepares(NULL, NULL, Next.BOX, None, forced=False, forks=False, fastest=False), False),
        (
            Prepares(NULL, NULL, Next.OPPOSITION, None, forced=False, forks=False, fastest=True),
            False,
        ),  # so after a slip
        (
            Prepares(NULL, NULL, Next.CAPTURE, chess.ROOK, forced=False, forks=False, sure=False, fastest=True),
            False,
        ),  # it walks in
        (Prepares(NULL, NULL, Next.CAPTURE, chess.PAWN, forced=False, forks=False, sure=False, fastest=True), True),
    ],
)
def test_a_purpose_is_told_but_what_is_freed_what_a_move_as_bad_has_and_what_is_not_prepared_in_the_fastest_way(
    monkeypatch: pytest.MonkeyPatch, idea: KingNearer | Prepares, told: bool
) -> None:
    monkeypatch.setattr(remedies, "REASONS", ())
    for name in ("_shown_too", "_is_beside_the_point"):
        monkeypatch.setattr(remedies, name, lambda *_: False)
    slower = SimpleNamespace(as_bad=lambda idea, purpose, move: purpose is Purpose.CENTRE)
    reason = Reason(lambda _: "shrinks the box", idea=type(idea))
    if isinstance(idea, KingNearer):
        reason = Reason(reason.rule, idea=KingNearer, purpose=lambda one: one.purposes[0])
    monkeypatch.setattr(coming, "is_only_next", lambda *_: True)
    better, given = facts(ROOK, "e1e2", slower=slower), facts(ROOK, "a1a2")
    vars(better.seen)["idea"] = {type(idea): idea}.get
    vars(given.seen)["goes_alike"] = lambda *_: True
    assert bool(remedies._told(reason, better, given)) == told


@pytest.mark.parametrize(
    ("placed", "uci", "reply", "answer", "does"),
    [
        (PAWN, "a1b1", "Kd6", "a4", "brings the pawn on"),
        (PAWN, "a2a3", "Kd6", "a4", ""),
        (PAWN, "a1b1", "Kd6", "bxa4", ""),
        (PAWN, "a1b1", "Kd6", "a8=R", "makes the rook"),
        (RACE, "a1b2", "Rh3", "axh3", "takes the rook"),
        (RACE, "a1b2", "Kd4", "Kxh5", "takes the rook"),
        ("8/8/8/3k4/8/8/7p/K3R3 w", "e1e2", "h1=Q", "Kxb2", ""),  # where the king gets to is not why
        ("8/8/8/3k4/8/8/6pp/K3R3 w", "e1e2", "Kd4", "Kxb2", ""),
        (ROOK, "e1e2", "Kd6", "Kb2", "brings the king up"),
        (ROOK, "e1e2", "Rh4", "Kb2", "brings the king up"),
        (ROOK, "e1e2", "Kc3", "Kb1", ""),
        (ROOK, "e1e2", "Kd6", "Kb1", ""),
        (ROOK, "e1e2", "Kd6", "Rb2", ""),
        (ROOK, "a1b2", "Kd6", "Ka2", ""),
        (ROOK, "a1b2", "Kd6", "Kb3", "brings the king up"),
    ],
)
def test_the_move_after_the_reply_is_told_of_a_pawn_that_goes_on_a_man_taken_or_a_king_that_comes_nearer(
    placed: str, uci: str, reply: str, answer: str, does: str
) -> None:
    assert answers.answer_does(facts(placed, uci), reply, answer) == does


PUSHED = "8/8/8/3k4/8/8/4P3/K7 w"


@pytest.mark.parametrize(
    ("placed", "uci", "text", "told", "beside"),
    [
        (PUSHED, "a1b1", "brings the king up", {}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1a2", "brings the king up", {}, True),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1b2", "brings the king up", {}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1a2", "opposes Black's king", {}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1a2", "brings the king up", {"alone": True}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1a2", "brings the king up", {"held": ("e2",)}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "e3e4", "brings the king up", {}, False),
        ("8/8/8/3k4/8/4P3/8/1K6 w", "b1b2", "heads for the centre", {"loose": "e3"}, True),
        ("8/8/8/3k4/8/4P3/n7/1K6 w", "b1a2", "heads for the centre", {"loose": "e3"}, True),
        ("8/8/8/3k4/8/4P3/1n6/K7 w", "a1b2", "heads for the centre", {"loose": "e3"}, False),
        ("8/8/8/3k4/8/4R2p/8/1K6 w", "b1a2", "brings the king up", {}, True),
        ("8/8/8/3k4/8/4R2n/8/1K6 w", "b1a2", "brings the king up", {}, False),
        ("8/8/8/3k4/8/4P2P/8/5K2 w", "f1f2", "brings the king up", {}, False),
        ("8/8/8/3k4/4P3/8/7P/5K2 w", "f1e1", "brings the king up", {}, False),
        (PUSHED, "a1b1", "drives the king to the edge", {}, True),
        (ROOK, "a1b1", "drives the king to the edge", {}, False),
        (PUSHED, "a1b1", "drives the king back", {}, False),
    ],
)
def test_a_king_that_comes_nearer_but_farther_from_a_pawn_or_too_late_is_beside_the_point(
    placed: str, uci: str, text: str, told: dict[str, Any], beside: bool
) -> None:
    better = facts(
        placed,
        uci,
        race=SimpleNamespace(runs_alone=told.get("alone", False)),
        ways=SimpleNamespace(held_from=told.get("held", ())),
        loose_men=SimpleNamespace(loose=tuple(filter(None, [told.get("loose")]))),
    )
    reason = Reason(rule=lambda _: text)
    assert remedies._is_beside_the_point(reason, text, better, facts(placed, uci)) == beside
