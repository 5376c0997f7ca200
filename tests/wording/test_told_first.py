"""What of a move is told first, where its squares lead and why it is drawn: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.knight_beside_king import KnightBesideKing
from matebot.ideas.drives import Where
from matebot.ideas.king_up import KingUp
from matebot.ideas.pins import Pins
from matebot.ideas.prepares import Prepares
from matebot.ideas.shuts_way import Aim
from matebot.ideas.threatens import Threatens
from matebot.wording import (
    attack,
    leads,
    missed,
    remedies,
    room_left,
    slip_draws,
)
from matebot.wording.reason import Deed, Rank, Reason
from matebot.wording.said import Rule
from tests.wording.bare import facts_with as facts

ROOK, MINORS, PAWN = "8/8/8/3k4/8/8/8/K6R w", "8/8/8/3k4/8/8/8/K5BN w", "8/8/8/3k4/8/8/4P3/K7 w"


EDGE = "8/8/8/k7/8/8/8/1R5K w"


@pytest.mark.parametrize(
    ("placed", "uci", "ahead", "others", "line"),
    [
        (EDGE, "b1g1", ("Kb4",), (), "file b"),
        (EDGE, "b1g1", ("Ka4",), (), ""),
        (EDGE, "b1g1", ("Nb4",), (), ""),
        (EDGE, "b1g1", (), (), ""),
        (EDGE, "b1g1", ("Kb4",), ("b1f1",), "file b"),
        (EDGE, "b1g1", ("Kb4",), ("b1b2",), ""),
        ("8/8/8/k7/8/8/8/1K6 w", "b1c1", ("Kb4",), (), ""),
        ("8/8/8/k7/8/8/8/1Q5K w", "b1g1", ("Kb4",), (), "file b"),
        ("8/8/8/k7/8/8/1B6/7K w", "b2d4", ("Kb4",), (), ""),
    ],
)
def test_the_line_that_held_the_king_on_the_edge_is_left_where_it_steps_inwards_then(
    placed: str, uci: str, ahead: tuple[str, ...], others: tuple[str, ...], line: str
) -> None:
    given = facts(placed, uci, ahead=ahead, no_better=[facts(placed, other) for other in others])
    assert missed.edge_left(given) == line


def _said(text: str, about: MoveFacts, shared: bool = False) -> Rule:
    """Return a rule that says the same of one move, or of all."""
    return lambda one: text if one is about or shared else ""


@pytest.mark.parametrize(
    ("rank", "rules", "text"),
    [
        (Rank.REASON, [("", True), ("takes e4", True)], "takes e4"),
        (Rank.REASON, [("takes e4", False), ("waits", True)], "waits"),
        (Rank.REASON, [("takes e4", False)], ""),
        (Rank.PLAN, [("takes e4", True)], ""),
    ],
)
def test_what_every_best_move_does_is_told_first(
    monkeypatch: pytest.MonkeyPatch, rank: Rank, rules: list[tuple[str, bool]], text: str
) -> None:
    better, other, slip = facts(ROOK, "h1h5"), facts(ROOK, "h1h4"), facts(ROOK, "h1h2")
    reasons = [Reason(_said(text, better, shared)) for text, shared in rules]
    monkeypatch.setattr(remedies, "REASONS", reasons)
    monkeypatch.setattr(remedies, "_told", lambda reason, one, _: reason.rule(one))
    assert remedies.shared(better, slip, [better, other], rank) == text


@pytest.mark.parametrize(
    ("opposes", "text"), [(True, "takes the opposition"), (False, "takes the opposition and shuts d4")]
)
def test_the_way_that_an_opposition_shuts_is_left_out_where_the_slip_shuts_it(
    monkeypatch: pytest.MonkeyPatch, opposes: bool, text: str
) -> None:
    reason = Reason(lambda one: "takes the opposition and shuts d4" if one.move == "a1b2" else "")
    monkeypatch.setattr(remedies, "REASONS", ())
    monkeypatch.setattr(remedies, "_shown_too", lambda *_: False)
    monkeypatch.setattr(remedies, "_is_beside_the_point", lambda *_: False)
    monkeypatch.setattr(remedies, "_opposed_alone", lambda text, *_: text.partition(" and shuts ")[0])
    if opposes:
        monkeypatch.setattr(remedies, "_OPPOSES", reason.rule)
    better = facts(ROOK, "a1b2", seen={"slower_moves": None})
    assert remedies._told(reason, better, facts(ROOK, "h1h4")) == text


@pytest.mark.parametrize(
    ("placed", "uci", "told", "squares", "text"),
    [
        (ROOK, "h1h4", {"squares_taken": ("d4", "c4"), "flights": ("d5", "e5", "e6", "d6")}, (), "shuts rank 4 to"),
        (MINORS, "h1f2", {"squares_taken": ("e4", "d4"), "flights": ("d6", "e5", "e6", "c5")}, (), "takes e4 and d4"),
        (
            MINORS,
            "h1f2",
            {"squares_taken": ("e4", "d4"), "flights": ("d6", "e5", "e6", "c5")},
            ("e4",),
            "takes e4 from",
        ),
        (
            MINORS,
            "h1f2",
            {"squares_taken": ("e4", "d4"), "flights": ("d6", "e5")},
            (),
            "leaves Black's king only d6 and",
        ),
        (
            MINORS,
            "h1f2",
            {"squares_taken": ("e4", "d4"), "flights": ("d6", "e5")},
            ("e4",),
            "takes e4 from Black's king",
        ),
        (MINORS, "h1f2", {"squares_taken": ("e4",), "flights": ("d6",)}, (), "leaves Black's king only d6"),
        (MINORS, "h1f2", {"squares_taken": ("e4",)}, (), "leaves Black's king no square"),
        (MINORS, "h1f2", {"squares_taken": ("e4",), "check": True}, (), "takes e4 from Black's king"),
        (MINORS, "h1f2", {"squares_taken": ("e4",), "flights": ("d6", "c5"), "squares_given": ("c6",)}, (), ""),
        (MINORS, "h1f2", {"flights": ("d6",)}, (), ""),
    ],
)
def test_squares_taken_are_told_by_what_is_left(
    placed: str, uci: str, told: dict[str, Any], squares: tuple[str, ...], text: str
) -> None:
    found = room_left.taken(facts(placed, uci, **told), squares)
    assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("king", "flights", "text"),
    [
        ("a1", (), "rank 1"),
        ("a1", ("a2",), "the a-file"),
        ("a1", ("b1",), "rank 1"),
        ("h8", ("h7",), "the h-file"),
        ("d8", ("c8", "e8"), "rank 8"),
        ("a1", ("a2", "b1"), "the edge"),
    ],
)
def test_a_king_is_held_on_the_line_along_which_it_can_go(king: str, flights: tuple[str, ...], text: str) -> None:
    assert room_left.holds(facts(ROOK, "h1h4", king=king, flights=flights)) == f"holds Black's king on {text}"


@pytest.mark.parametrize(
    ("uci", "catch", "moves", "told"),
    [("a1b2", 4, 3, "too late"), ("a1b2", 5, 3, "why"), ("a1b2", None, 3, "why"), ("a1b2", 5, None, "too late")],
)
def test_a_king_inside_the_square_after_the_better_move_as_well_is_told_by_the_other_that_comes_too_late(
    monkeypatch: pytest.MonkeyPatch, uci: str, catch: int | None, moves: int | None, told: str
) -> None:
    monkeypatch.setattr(slip_draws, "_too_late", lambda *_: "too late")
    monkeypatch.setattr(slip_draws, "why_drawn", lambda _: "why")
    drawn = InsideTheSquare(chess.E2, 4, 5)
    better = facts(PAWN, "e2e4", race={"catch_steps": catch, "pawn_moves": moves})
    slip = facts(PAWN, uci, seen={"why_drawn": drawn})
    assert slip_draws.reason(slip, better) == told
    other = facts(PAWN.replace(" w", " b"), "d5d4", by_winner=False, seen={"why_drawn": drawn})
    assert slip_draws.reason(other, better) == "why"
    held = KnightBesideKing(chess.E2)
    for one, text in ((slip, ""), (other, "why")):
        vars(one.seen)["why_drawn"] = held
        assert slip_draws.reason(one, better) == text


@pytest.mark.parametrize(
    ("placed", "check", "ahead", "to"),
    [
        ("8/8/4k3/6p1/8/8/8/K6R w", True, ("Kf5", ""), "f5"),
        ("8/8/4k3/6p1/8/8/8/K6R w", True, ("Kxf5", ""), ""),
        ("8/8/4k3/6p1/8/8/8/K6R w", False, ("Kf5", ""), ""),
        ("8/8/4k3/6p1/8/8/8/K6R w", True, ("g4", ""), ""),
        ("8/8/4k3/6p1/8/8/8/K6R w", True, (), ""),
        ("8/8/4k3/6n1/8/8/8/K6R w", True, ("Kf5", ""), ""),
        ("8/8/5k2/6p1/8/8/8/K6R w", True, ("Kf5", ""), ""),
        ("8/8/4k3/6p1/8/8/8/K6R w", True, ("Ke5", ""), ""),
    ],
)
def test_a_check_drives_the_king_beside_its_pawn_where_it_stood_farther(
    placed: str, check: bool, ahead: tuple[str, ...], to: str
) -> None:
    assert slip_draws._checked_to_pawn(facts(placed, "h1h2", check=check, ahead=ahead, only=True)) == to
    assert not slip_draws._checked_to_pawn(facts(placed, "h1h2", check=check, ahead=ahead))


def test_a_move_is_told_by_what_it_is_for_first_then_by_plans_then_by_what_slower_ones_share(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shared = {"own": None, "plan": "", "rest": "", "lets": "Kb3 would let it out", "weak": "", "little": None}
    ranks = {"plan": Rank.PLAN, "weak": Rank.WEAK, "little": Rank.WEAK}
    given = facts(ROOK, "h1h4")
    reasons = {name: Reason(_said(f"{name}: more", given), rank=ranks.get(name, Rank.REASON)) for name in shared}
    silent = Reason(lambda _: "")
    order = ("rest", "plan", "weak", "own", "little", "lets")
    monkeypatch.setattr(attack, "REASONS", (silent, *(reasons[name] for name in order)))
    names = {id(reason): name for name, reason in reasons.items()}
    monkeypatch.setattr(attack, "_shared", lambda reason, _: shared[names[id(reason)]])
    told = [deed.text for deed in attack.reasons(given)]
    assert told == ["own: more", "lets; Kb3 would let it out", "plan: more", "little: more", "rest: more", "weak: more"]


@pytest.mark.parametrize(
    ("reason", "text", "ahead", "in_short", "shows"),
    [
        (None, "takes e4: if Kd6, Rh5", ("Kd6", "Rh5"), False, True),
        (None, "takes e4: if Kd6, Rh5", ("Kd6",), False, False),
        (None, "takes e4", ("Kd6", "Rh5"), False, False),
        (Threatens, "takes e4", ("Kd6", "Rh5"), False, False),
        (KingUp, "takes e4: if Kd6, Rh5", ("Kd6", "Rh5"), True, True),
        (Prepares, "takes e4", (), False, True),
        (Prepares, "takes e4", (), True, False),
    ],
)
def test_a_line_is_shown_where_it_is_told_or_where_the_reason_is_a_line(
    reason: Any, text: str, ahead: tuple[str, ...], in_short: bool, shows: bool
) -> None:
    deed = Deed(text, None if reason is None else Reason(lambda _: text, idea=reason), in_short=in_short)
    assert attack.shows_answer(deed, facts(ROOK, "h1h4", ahead=ahead)) == shows


@pytest.mark.parametrize(
    ("plain", "other", "yields"),
    [(False, "takes e4: if", False), (False, "takes d4: if", True), (True, "takes e4; so", False), (True, "", True)],
)
def test_moves_as_quick_do_without_what_is_told_where_the_same_rule_says_something_else(
    plain: bool, other: str, yields: bool
) -> None:
    quick, given = facts(ROOK, "h1h5"), facts(ROOK, "h1h4", as_quick=[])
    vars(given)["as_quick"] = [quick]

    def rule(one: MoveFacts) -> str:
        return "takes e4: if Kd6, Rh5" if one is given else other

    deed = Deed("takes e4", plain=rule) if plain else Deed("takes e4", Reason(rule))
    assert list(attack.without(given, deed)) == ([quick] if yields else [])
    assert list(attack.without(given, Deed("takes e4"))) == [quick]


@pytest.mark.parametrize(
    ("aim", "told", "tells"),
    [
        (Aim.PAWN, {}, True),
        (Aim.OWN_MAN, {"mate": 5}, True),
        (Aim.OWN_MAN, {"mate": 4}, False),
        (Aim.CENTRE, {}, False),
        (Aim.WRONG_CORNER, {"mate": 4}, True),
    ],
)
def test_a_way_matters_but_near_mate_or_beside_a_pawn(aim: Aim, told: dict[str, Any], tells: bool) -> None:
    idea: Any = SimpleNamespace(aim=aim)
    assert room_left.tells(idea, facts(PAWN, "a1b2", **told)) == tells
    assert room_left.tells(idea, facts(ROOK, "a1b2", **told)) == (tells or aim is Aim.CENTRE)


ROOKS = "8/8/8/3k4/8/8/8/K5RR w"
CHECKED = {"check": True, "flights": ("d6",), "ahead": ("Kd6", "Kb2")}


@pytest.mark.parametrize(
    ("told", "plain", "texts"),
    [
        (CHECKED, "", ["is driven, and the king comes up: if Kd6, Kb2"]),
        ({**CHECKED, "only_reply": "Kd6"}, "", []),  # it goes to the square that is told
        ({**CHECKED, "drives": "", "only_reply": "Kd6"}, "", ["gives check, and the king comes up: if Kd6, Kb2"]),
        ({**CHECKED, "drives": ""}, "", ["gives check, and the king comes up: if Kd6, Kb2"]),
        ({**CHECKED, "check": False}, "", []),
        ({**CHECKED, "ahead": ("Kd6",)}, "", []),
        ({**CHECKED, "ahead": ("Kd6", "Rh6+")}, "", []),
        ({**CHECKED, "ahead": ("Kd6", "Kxb2")}, "", []),
        ({**CHECKED, "ahead": ("Kd6", "Kb1")}, "", []),
        ({**CHECKED, "ahead": ("Kd6", "Kc4")}, "", []),  # only the check makes that possible
        ({**CHECKED, "ahead": ("Kd6", "Kb3")}, "", ["is driven, and the king comes up: if Kd6, Kb3"]),
        ({"ahead": ("Kd6", "Rh6+")}, "holds d4", ["holds d4: if Kd6, Rh6+"]),
        ({"ahead": ("Kd6", "Rh6+")}, "holds d4: so", ["holds d4: so"]),
        ({"ahead": ("Kd6",)}, "holds d4", ["holds d4"]),
        ({}, "holds d4", ["holds d4"]),
    ],
)
def test_where_no_reason_is_known_a_check_with_which_the_king_comes_up_is_told_and_what_changes_on_the_board(
    monkeypatch: pytest.MonkeyPatch, told: dict[str, Any], plain: str, texts: list[str]
) -> None:
    drives = told.get("drives", "is driven")
    monkeypatch.setattr(attack, "reasons", lambda _: iter([]))
    monkeypatch.setattr(leads, "driven", lambda _: drives)
    monkeypatch.setattr(attack, "PLAIN", (lambda _: "", lambda _: plain))
    given = facts(ROOK, "h1h5", **{name: value for name, value in told.items() if name != "drives"})
    assert [deed.text for deed in attack._deeds(given)] == texts
    monkeypatch.setattr(attack, "reasons", lambda _: iter([Deed("comes first")]))
    assert [deed.text for deed in attack._deeds(given)] == ["comes first", *texts]


@pytest.mark.parametrize(
    ("placed", "where", "told", "text"),
    [
        (ROOK, Where.TO_EDGE, {"flights": ("a4", "b1")}, "drives the king to the edge"),
        (ROOK, Where.TO_EDGE, {"flights": ("a4", "b2")}, "drives the king towards the edge"),
        (ROOKS, Where.TO_EDGE, {"flights": ("a4",)}, "drives the king to the edge, where it can be mated"),
        (ROOK, Where.TO_EDGE, {"flights": ("a4",), "narrows": "shuts rank 4"}, ""),
        (ROOK, Where.TO_EDGE, {"flights": ("a4",), "narrows": "shuts rank 4", "check": True}, "drives the king to the"),
        (
            ROOK,
            Where.TO_CORNER,
            {"narrows": "shuts rank 4", "corner": chess.H8},
            "drives the king towards h8, where it",
        ),
        (ROOK, Where.ALONG_EDGE, {"flights": ("a4",)}, "takes room"),
        (ROOK, Where.ALONG_EDGE, {"flights": ("a4", "a6"), "edge": True}, "is held: it has only a4 or a6"),
        (ROOK, Where.ALONG_EDGE, {}, ""),
        ("8/8/8/3k4/8/8/P7/K6R w", Where.ALONG_EDGE, {"flights": ("a4",)}, ""),
        ("8/8/8/3k2n1/8/8/8/K6R w", Where.TO_EDGE, {"flights": ("a4",)}, ""),
    ],
)
def test_where_a_king_is_driven_is_told_of_one_that_has_no_man(
    monkeypatch: pytest.MonkeyPatch, placed: str, where: Where, told: dict[str, Any], text: str
) -> None:
    narrows, edge, corner = told.pop("narrows", ""), told.pop("edge", False), told.pop("corner", None)
    monkeypatch.setattr(attack, "of", lambda kind, rule: lambda _: narrows)
    monkeypatch.setattr(attack, "held_on_edge", lambda _: edge)
    monkeypatch.setattr(room_left, "holds", lambda _: "is held")
    monkeypatch.setattr(room_left, "taken", lambda _: "takes room")
    idea: Any = SimpleNamespace(where=where, corner=corner)
    found = attack._drives(idea, facts(placed, "h1h5", **told))
    assert found.startswith(text) if text else not found
    assert text.endswith("mated") or "can be mated" not in found or corner is not None


WITH_KNIGHT = "8/8/8/3k2n1/8/8/8/K6R w"


@pytest.mark.parametrize(
    ("placed", "sure", "pins", "won"),
    [
        (WITH_KNIGHT, True, True, True),
        (WITH_KNIGHT, False, True, False),
        (WITH_KNIGHT, False, False, True),
        (WITH_KNIGHT, None, True, True),
        (ROOK, True, False, False),
    ],
)
def test_a_man_is_won_but_where_a_pin_says_why_it_falls(
    monkeypatch: pytest.MonkeyPatch, placed: str, sure: bool | None, pins: bool, won: bool
) -> None:
    monkeypatch.setattr(attack, "of", lambda kind, rule: lambda _: "wins the knight")
    ideas: dict[type, dict[str, Any]] = {} if sure is None else {Prepares: {"sure": sure}}
    ideas |= {Pins: {}} if pins else {}
    assert attack._wins_man(facts(placed, "h1h5", ideas=ideas)) == ("wins the knight" if won else "")


@pytest.mark.parametrize(
    ("uci", "what", "hits", "text"),
    [
        ("h1h5", "shuts rank 5", "attacks the knight", "attacks the knight and shuts rank 5"),
        ("h1h5", "shuts rank 5", "", "shuts rank 5"),
        ("h1h5", "", "attacks the knight", ""),
        ("a1b2", "shuts rank 5", "attacks the knight", "shuts rank 5"),
    ],
)
def test_a_man_that_is_hit_as_well_is_named_first(
    monkeypatch: pytest.MonkeyPatch, uci: str, what: str, hits: str, text: str
) -> None:
    monkeypatch.setattr(attack, "of", lambda kind, rule: lambda _: hits)
    idea: Any = SimpleNamespace()
    assert attack._hitting(lambda _, one: what)(idea, facts(WITH_KNIGHT, uci)) == text


@pytest.mark.parametrize(
    ("shown", "sharing", "found", "shared"),
    [
        (False, [1], None, None),
        (True, [], None, None),
        (True, [0], None, None),
        (True, [0, 1], None, ""),
        (True, [1], "lets it out", "lets it out"),
    ],
)
def test_a_slower_move_that_does_the_same_is_told_by_what_it_lets_in(
    monkeypatch: pytest.MonkeyPatch, shown: bool, sharing: list[int], found: str | None, shared: str | None
) -> None:
    monkeypatch.setattr(attack, "would_let", lambda lets, _: lets)
    slower = SimpleNamespace(sharing=lambda idea, purpose: iter(sharing), lets_in=lambda idea, purpose: found)
    given = facts(ROOK, "h1h5", ideas={Pins: {}} if shown else {}, seen={"slower_moves": slower})
    assert attack._shared(Reason(lambda _: "", idea=Pins), given) == shared
    assert attack._shared(Reason(lambda _: ""), given) is None


@pytest.mark.parametrize(
    ("uci", "told", "text"),
    [
        ("h1h5", {"still": True}, "waits: every square stays guarded, Black must move"),
        ("h1h5", {"still": True, "only": "Kd6"}, "waits: every square stays guarded, Black must move and has only Kd6"),
        ("h1h5", {}, "passes the move: Black is in zugzwang"),
        ("h1h5", {"only": "Kd6"}, "passes the move: Black is in zugzwang and has only Kd6"),
        ("h1h5", {"only": "Kd6", "checks": (False, True)}, "passes the move: Black has only Kd6"),
        ("h1h5", {"only": "Kd6", "checks": (True,)}, "passes the move: Black has only Kd6"),
        ("h1h5", {"only": "Kd6", "checks": (False,)}, "passes the move: Black is in zugzwang and has only Kd6"),
        ("h1h5", {"checks": (True,)}, "passes the move: Black is in zugzwang"),
        ("a1b2", {}, ""),
        ("a1b2", {"apart": 2}, "passes the move: Black is in zugzwang"),
    ],
)
def test_a_move_is_passed_near_the_other_king_or_by_another_man(uci: str, told: dict[str, Any], text: str) -> None:
    idea: Any = SimpleNamespace(nothing_changes=told.get("still", False))
    given = facts(
        ROOK,
        uci,
        replies=SimpleNamespace(only_reply=told.get("only")),
        kings=SimpleNamespace(kings_after=told.get("apart", 3)),
        as_quick=[SimpleNamespace(gives=SimpleNamespace(check=check)) for check in told.get("checks", ())],
    )
    assert attack._waits(idea, given) == text
