"""What a defence teaches, why a minor man holds, and how a rook stops a pawn: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.expects import Expects
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.ideas.sets_problem import SetsProblem
from matebot.wording import counsel, maxims, pawns, rook_draws
from tests.wording.bare import facts_of

NULL = chess.Move.null()
PIECE = "8/8/2kn4/8/8/8/8/K3R3 b"
BISHOP, KNIGHT = chess.BISHOP, chess.KNIGHT


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move: why it is drawn, the ideas it shows, by their kinds, and as told."""
    ideas, decides = told.pop("ideas", {}), told.pop("decides", True)
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        contrast=SimpleNamespace(edge_tells=lambda steps: told.get("tells", True), equal_kings=told.get("steps", ())),
        holding=SimpleNamespace(edge_decides=lambda steps: decides),
        why_drawn=told.pop("drawn", None),
        answers_check=told.pop("in_check", False),
        move=NULL,
        name=lambda *moves: told.get("double", "Re1+") if len(moves) == 2 else "Kd7",
    )
    given = facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=told.pop("by_attacker", False),
        seen=seen,
        worth=SimpleNamespace(mate_moves=told.pop("mate", 20), outcome_after=0),
        beside=SimpleNamespace(keeping=told.pop("keeping", 1), choices=2),
        beside_named=SimpleNamespace(others_as_good=told.pop("others", ())),
    )
    vars(given.man)["victim_guarded"] = told.get("guarded", False)
    return given


def stops(minor: int, **told: Any) -> MinorStopsPawn:
    why = {"held": (), "king_near": False, "takes": None, "gives": False, "comes": (), "king_alone": False, **told}
    return MinorStopsPawn(minor, **why)


def holds(minor: int = KNIGHT, **told: Any) -> MinorHoldsRook:
    """Return why a minor man holds against a rook, as told: by default its king is near and off the edge."""
    why: dict[str, Any] = {
        "square": chess.D6,
        "king_steps": 3,
        "from_edge": 1,
        "kings_apart": 3,
        "off_edge": (),
        "between": (),
        "looked_ahead": False,
        "double": None,
        "answer": None,
        "guards": False,
        **told,
    }
    return MinorHoldsRook(minor, **why)


TAKES, STEPS = "8/8/2kR4/8/8/8/8/K7 b", "8/8/2kn4/8/8/8/8/K3R3 b"
ONE_LINE, CORNER = "8/8/1k1n4/8/8/8/8/K3R3 b", "k7/8/1K6/8/3b4/8/8/4R3 b"
ALONE, TOGETHER = "a bishop alone cannot mate", "king and {} belong together"
FORK, SKEWER, PIN = ({kind: {"means": means} for kind in (Meets,)} for means in (Means.FORK, Means.SKEWER, Means.PIN))


@pytest.mark.parametrize(
    ("placed", "uci", "why", "told", "rule"),
    [
        (TAKES, "c6d6", None, {}, maxims.KING_TOO),
        (TAKES, "c6d6", None, {"guarded": True}, ""),
        (TAKES, "c6d6", None, {"in_check": True}, maxims.TAKE_IN_CHECK),
        ("8/8/2k5/8/5b2/8/3R4/K7 b", "f4d2", None, {}, maxims.EVERY_CAPTURE),
        (STEPS, "c6d5", None, {}, ""),
        (STEPS, "c6d5", InsideTheSquare, {}, counsel.IN_THE_SQUARE),
        ("k7/8/1K6/8/3b4/8/8/4R3 b", "a8b8", SafeCorner(chess.A8), {}, ""),
        (CORNER, "d4g1", SafeCorner(chess.A8), {}, counsel.PIN_IN_CORNER),
        ("k7/8/2K5/8/3b4/8/8/4R3 b", "d4g1", SafeCorner(chess.A8), {}, ""),
        ("k7/2K5/8/8/3b4/8/8/4R3 b", "d4g1", SafeCorner(chess.A8), {}, counsel.PIN_IN_CORNER),
        ("k7/2K5/8/8/3b4/8/8/4R3 b", "d4g1", SafeCorner(chess.H1), {}, ""),
        (STEPS, "d6b5", holds(), {"ideas": FORK}, counsel.SECOND_MAN),
        (STEPS, "d6b5", holds(), {"ideas": SKEWER}, "keep king and knight off one line"),
        (STEPS, "d6b5", holds(), {"ideas": {Pitfall: {"means": Means.SKEWER}}}, "keep them off one line"),
        (STEPS, "d6b5", holds(), {"ideas": {Pitfall: {"means": None}}}, "keep king and knight off one line"),
        (ONE_LINE, "b6a6", holds(), {"ideas": SKEWER}, ""),
        (STEPS, "c6c7", holds(king_steps=1), {}, ""),
        (STEPS, "c6c7", holds(king_steps=1, double=NULL), {}, TOGETHER.format("knight")),
        (STEPS, "c6c7", holds(king_steps=2, double=NULL), {}, TOGETHER.format("knight")),
        (STEPS, "c6c7", holds(king_steps=3, double=NULL), {}, ""),
        (STEPS, "c6c7", holds(BISHOP, king_steps=1), {}, TOGETHER.format("bishop")),
        (STEPS, "c6c7", holds(BISHOP, king_steps=2), {}, ""),
        (STEPS, "c6c7", holds(BISHOP, king_steps=2), {"ideas": PIN}, ""),
        (STEPS, "c6d5", holds(from_edge=3), {}, counsel.ROOK_MATES),
        (STEPS, "c6d5", holds(from_edge=3), {"decides": False}, ""),
        (STEPS, "c6d5", holds(from_edge=2), {}, ""),
        (STEPS, "d6b5", holds(from_edge=3), {}, ""),
        ("2k5/8/3n4/8/8/8/8/K3R3 b", "d6b5", holds(from_edge=0, off_edge=(chess.C7,)), {}, counsel.ROOK_MATES),
        (STEPS, "d6b5", holds(from_edge=0, off_edge=(chess.C7,)), {}, ""),
        ("8/8/2kn4/8/8/8/8/K3R3 w", "a1b2", holds(from_edge=9), {"by_attacker": True}, ""),
        (STEPS, "c6c7", stops(BISHOP, takes=chess.KING), {}, ""),
        ("8/8/2kp4/8/8/8/8/K3B3 w", "a1b2", stops(BISHOP, held=(1,)), {"by_attacker": True}, counsel.FROM_AFAR),
        ("8/8/2kp4/8/8/8/8/K3B3 w", "a1b2", stops(BISHOP), {"by_attacker": True}, ""),
        ("8/8/2kp4/8/8/8/8/K3B3 w", "a1b2", stops(KNIGHT, held=(1,)), {"by_attacker": True}, ""),
        (
            "8/8/2kp4/8/8/8/8/K3B3 w",
            "a1b2",
            stops(BISHOP, held=(1,), king_alone=True),
            {"by_attacker": True},
            "",
        ),
        ("8/8/2kp4/8/8/8/8/K3B3 b", "d6d5", stops(BISHOP), {"ideas": {SetsProblem: {}}}, counsel.PUSH),
        ("8/8/2kp4/8/8/8/8/K3B3 b", "c6c5", stops(BISHOP), {"ideas": {SetsProblem: {}}}, ALONE),
        (
            "8/8/2kp4/8/8/8/8/K3B3 b",
            "d6d5",
            stops(BISHOP, held=(1,)),
            {"ideas": {SetsProblem: {}}},
            counsel.FROM_AFAR,
        ),
        ("8/8/2kp4/8/8/8/8/K3B3 b", "d6d5", stops(BISHOP, held=(1,)), {}, counsel.FROM_AFAR),
        ("8/8/2kp4/8/8/8/8/K3B3 b", "d6d5", stops(BISHOP, held=(chess.E1,)), {}, ALONE),
        (
            "8/8/2kp4/8/8/8/8/K3B3 b",
            "d6d5",
            stops(BISHOP, held=(1,), king_alone=True),
            {},
            counsel.IN_THE_SQUARE,
        ),
        ("8/8/2kp4/8/8/8/3K4/4B3 b", "d6d5", stops(BISHOP, king_alone=True), {}, counsel.IN_FRONT),
        ("8/8/8/8/8/2kp4/7K/4B3 b", "d3d2", stops(BISHOP, king_alone=True), {}, ""),
        ("8/8/2kp4/8/8/8/8/K3B3 b", "d6d5", stops(BISHOP, comes=(NULL,)), {}, counsel.FROM_AFAR),
        ("8/8/2kp4/8/8/8/8/K3N3 b", "d6d5", stops(KNIGHT, held=(1,)), {}, "a knight alone cannot mate"),
    ],
)
def test_a_drawing_defence_teaches_by_what_is_taken_or_by_why_it_holds(
    placed: str, uci: str, why: object, told: dict[str, Any], rule: str
) -> None:
    drawn = object.__new__(InsideTheSquare) if why is InsideTheSquare else why
    assert counsel.in_a_draw(facts(placed, uci, drawn=drawn, **told)) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told", "later", "rule"),
    [
        (STEPS, "c6c7", {"in_check": True, "from": chess.E1}, False, counsel.SECOND_MAN),
        (STEPS, "d6b5", {"in_check": True, "from": chess.E1}, False, ""),
        (STEPS, "c6c7", {"in_check": True, "from": chess.A1}, False, "far"),
        (STEPS, "c6c7", {"in_check": True}, False, "far"),
        (STEPS, "c6c7", {"from": chess.E1}, False, "far"),
        (STEPS, "c6c7", {}, True, ""),
        ("8/8/2kp4/8/8/8/8/K3R3 b", "c6c7", {"in_check": True, "from": chess.E1}, False, "far"),
        ("8/8/2kn4/8/8/8/8/K2RR3 b", "c6c7", {"in_check": True, "from": chess.E1}, False, "far"),
        ("8/8/1k6/8/8/8/3p4/K1R5 b", "d2d1n", {}, False, ""),
    ],
)
def test_a_man_that_is_lost_teaches_by_the_check_that_hit_it_or_by_how_far_its_king_is(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, told: dict[str, Any], later: bool, rule: str
) -> None:
    monkeypatch.setattr(counsel, "_far_from_king", lambda _: "far")
    ideas = {Expects: {"reply": chess.Move(told["from"], chess.B4)}} if "from" in told else {}
    given = facts(placed, uci, ideas=ideas, in_check=told.get("in_check", False))
    assert counsel.of_lost_man(given, by_check=False, later=later) == rule
    assert counsel.of_lost_man(given, by_check=True, later=later) == counsel.SECOND_MAN


AT = "8/8/8/{}/8/8/8/{} b"


@pytest.mark.parametrize(
    ("placed", "uci", "told", "rules"),
    [
        # of the new queen, of the corners, of the edge, of its room
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6d5", {}, (1, 1, 0, 1)),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6d5", {"tells": False}, (0, 1, 0, 1)),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6d5", {"steps": (chess.C5,)}, (1, 1, 0, 1)),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6d5", {"steps": (chess.C5, chess.H2)}, (0, 1, 0, 1)),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6c7", {}, (0, 1, 1, 1)),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6b6", {}, (0, 1, 1, 1)),
        ("8/2k5/8/8/8/8/8/K3R3 b", "c7c8", {}, (0, 1, 0, 0)),
        ("8/1k6/8/8/8/8/8/K3R3 b", "b7a8", {}, (0, 0, 0, 0)),
        ("8/1k6/8/8/8/8/8/K3R3 b", "b7c7", {"others": ("Ka8",)}, (1, 0, 1, 1)),
        ("8/1k6/8/8/8/8/8/K3R3 b", "b7c7", {"others": ("Ra8",)}, (1, 1, 1, 1)),
        ("8/1k6/8/8/8/8/8/K3R3 b", "b7c7", {"mate": 2}, (1, 0, 1, 1)),
        ("k7/8/8/8/8/8/8/K3R3 b", "a8b8", {}, (0, 1, 0, 0)),
    ],
)
def test_a_king_is_taught_to_keep_from_edge_and_corner_where_it_does_so_itself(
    placed: str, uci: str, told: dict[str, Any], rules: tuple[int, int, int, int]
) -> None:
    given = facts(placed, uci, **told)
    found = (
        counsel.out_of_square(given, "") == counsel.NEW_QUEEN,
        counsel.out_of_corners(given) == counsel.OUT_OF_CORNERS,
        counsel.off_the_edge(given) == counsel.OFF_THE_EDGE,
        counsel.fewer(given) == counsel.FEWER,
    )
    assert found == tuple(map(bool, rules))


@pytest.mark.parametrize(
    ("placed", "uci", "mate", "rule"),
    [
        ("8/8/2kp4/8/8/8/8/K3R3 b", "c6c5", 20, counsel.LEAD_IT),
        ("8/8/2kp4/8/8/8/8/K3R3 b", "d6d5", 20, counsel.LEAD_IT),
        ("8/1k1p4/8/8/8/8/8/K3R3 b", "b7c6", 20, counsel.LEAD_IT),
        ("8/1k1p4/8/8/8/8/8/K3R3 b", "b7b6", 20, ""),
        ("8/k2p4/8/8/8/8/8/K3R3 b", "a7b6", 20, counsel.LEAD_IT),
        ("8/1k6/3p4/8/8/8/8/K3R3 b", "d6d5", 20, ""),
        ("8/8/2kp4/8/8/8/8/K3R3 b", "c6c5", 2, ""),
        ("8/8/2kp4/8/8/8/8/K3Q3 b", "c6c5", 20, counsel.ON_THE_SEVENTH),
        ("8/8/2k5/8/3P4/8/8/K7 b", "c6d5", 20, counsel.IN_FRONT),
        ("8/8/2k5/8/3P4/8/8/K3R3 b", "c6d6", 20, ""),
        ("8/8/2k5/8/8/8/8/K3R3 b", "c6d6", 20, counsel.KEEP_AWAY),
    ],
)
def test_of_a_pawn_it_is_taught_to_lead_it_or_to_get_before_it(placed: str, uci: str, mate: int, rule: str) -> None:
    assert counsel.about_pawn(facts(placed, uci, mate=mate)) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "why", "told", "text"),
    [
        (STEPS, "c6c7", holds(double=NULL, answer=NULL), {}, "Re1+ hits king and knight, but Kd7 holds"),
        (STEPS, "c6c7", holds(double=NULL, answer=NULL), {"double": "Re1"}, "Re1 pins the knight, but Kd7 holds"),
        (STEPS, "c6c7", holds(double=NULL, answer=NULL, guards=True), {}, "Re1+ hits king and knight, but Kd7 guards"),
        (
            STEPS,
            "c6c7",
            holds(double=NULL, answer=NULL, guards=True, king_steps=1),
            {},
            "Re1+ hits",
        ),
        (STEPS, "d6b5", holds(king_steps=2), {}, "the knight stays near its king"),
        (STEPS, "d6b5", holds(king_steps=1), {}, "king and knight stay together"),
        (STEPS, "d6b5", holds(), {}, "off the edge the king is safe from mate"),
        (STEPS, "d6b5", holds(from_edge=0, off_edge=(1,)), {}, "the king can still step off the edge"),
        (STEPS, "c6c7", holds(from_edge=0, off_edge=(1,)), {}, "the rook can neither mate"),
        ("2k5/8/3n4/8/8/8/8/K3R3 b", "c8b8", holds(from_edge=0, off_edge=(1,)), {}, "the king can still step"),
        (STEPS, "d6b5", holds(from_edge=0), {}, "White's king is too far off to help mate"),
        (STEPS, "d6b5", holds(from_edge=0, kings_apart=2), {}, "the rook can neither mate the king on the edge nor"),
        (
            STEPS,
            "d6b5",
            holds(from_edge=0, kings_apart=2, between=(1, 2, 3)),
            {},
            "the knight can step between",
        ),
        (STEPS, "d6b5", holds(looked_ahead=True, from_edge=0), {}, "no fork or pin wins the knight, and White's"),
        (STEPS, "d6b5", holds(looked_ahead=True, from_edge=0, kings_apart=2), {}, "no fork or pin wins the knight"),
        (STEPS, "d6b5", holds(looked_ahead=True), {"keeping": 2}, "a rook beats a knight only by mate"),
        (STEPS, "d6b5", holds(looked_ahead=True), {"keeping": 1}, "no fork or pin wins the knight, and off the edge"),
        (
            STEPS,
            "d6b5",
            holds(looked_ahead=True),
            {"keeping": 2, "ideas": {Pitfall: {"means": Means.NONE}}},
            "no fork or pin wins",
        ),
        (
            STEPS,
            "d6b5",
            holds(looked_ahead=True),
            {"keeping": 2, "ideas": {Pitfall: {"means": Means.CAPTURE}}},
            "a rook beats a knight only by mate",
        ),
        (STEPS, "d6b5", holds(looked_ahead=True), {"met": "meets it"}, "meets it, and off the edge"),
        ("8/2k5/8/8/8/3n4/8/K3R3 b", "c7d6", holds(), {}, "the king gets away from the edge"),
        ("2k5/8/8/8/8/3n4/8/K3R3 b", "c8d7", holds(), {}, "the king leaves the edge"),
        ("2k5/8/8/8/8/3n4/8/K3R3 b", "c8d7", holds(), {"decides": False}, "off the edge the king is safe from mate"),
        ("2k5/8/8/8/8/3n4/8/K3R3 b", "c8b8", holds(), {}, "off the edge the king is safe from mate"),
    ],
)
def test_a_minor_man_holds_by_what_meets_the_double_hit_by_what_the_move_does_and_by_where_the_king_is(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, why: MinorHoldsRook, told: dict[str, Any], text: str
) -> None:
    asked = {Meets: told.pop("met", "")}
    monkeypatch.setattr(rook_draws, "of", lambda kind, say: lambda facts: asked[kind])
    double = told.pop("double", "Re1+")
    given = facts(placed, uci, **told)
    vars(given.seen)["name"] = lambda *moves: double if len(moves) == 2 else "Kd7"
    found = rook_draws.minor_holds(why, given)
    assert found.startswith(text)
    if why.guards:
        assert (" still guards " in found) == (why.king_steps == 1)


@pytest.mark.parametrize(
    ("placed", "uci", "text"),
    [
        ("8/8/8/3k4/3n4/8/8/K3R3 b", "d5c5", ""),
        ("8/8/2k5/8/3n4/8/8/K3R3 b", "c6c5", "it guards the knight"),
        ("8/8/2k5/3n4/8/3R4/8/K7 b", "c6c5", ""),
        ("8/8/8/k7/1n6/8/2R5/7K b", "a5a4", ""),
        ("8/8/8/8/8/1k6/4R3/n6K b", "b3c3", "the king gets away from the edge"),
        ("8/8/8/8/8/2k5/4R3/n6K b", "c3d3", "it attacks the rook"),
        ("8/8/8/8/8/2k5/4R3/n4K2 b", "c3d3", ""),
        ("8/8/8/8/1k6/8/3RR3/n6K b", "b4c3", ""),
        ("8/8/8/2n5/8/2k5/4R3/7K b", "c3d3", "it attacks the rook"),
        ("8/8/8/3n4/1k6/8/8/4R2K b", "b4c4", "it guards the knight"),
        ("8/8/8/2n5/k7/8/3R4/7K b", "c5b3", ""),
        ("8/8/8/2n5/7k/8/3R4/K7 b", "c5e4", ""),
        ("7k/8/8/2n5/8/8/3R4/K7 b", "c5e6", ""),
        ("7k/8/2n5/8/8/8/3R4/K7 b", "c6e7", ""),
        ("6k1/8/2n5/8/8/8/3R4/K7 b", "c6e7", "king and knight come closer together"),
        ("6k1/8/2b5/8/8/8/3R4/K7 b", "c6d7", ""),
    ],
)
def test_what_a_move_does_to_hold_is_that_it_guards_the_man_hits_the_rook_or_brings_them_together(
    placed: str, uci: str, text: str
) -> None:
    minor = "bishop" if "b" in placed.split()[0] else "knight"
    assert rook_draws.does(minor, facts(placed, uci)) == text


@pytest.mark.parametrize(
    ("placed", "uci", "text"),
    [
        ("8/8/8/8/3p4/8/8/K3R2k w", "e1d1", ""),
        ("3r4/8/8/8/3P4/7k/8/K7 b", "d8d7", ""),
        ("4R3/8/8/8/8/7k/3p4/K7 w", "e8d8", "stops the pawn on d2 from behind"),
        ("4R3/8/8/8/3p4/7k/8/K7 w", "e8d8", ""),
        ("4R3/8/3k4/8/8/8/3p4/K7 w", "e8d8", ""),
        ("4R3/8/8/8/8/8/2kp4/K7 w", "e8d8", ""),
        ("4R3/8/8/8/8/7k/3p4/3K4 w", "e8d8", ""),
        ("4R3/8/8/8/8/7k/3p3p/K7 w", "e8d8", ""),
        ("4R3/8/8/8/8/7k/3p4/K7 w", "e8c8", ""),
        ("4Q3/8/8/8/8/7k/3p4/K7 w", "e8d8", ""),
        ("4R3/3N4/8/8/8/7k/3p4/K7 w", "e8d8", ""),
        ("k7/3P4/7K/8/8/8/8/4r3 b", "e1d1", "stops the pawn on d7 from behind"),
        ("k7/3P4/8/8/3K4/8/8/4r3 b", "e1d1", ""),
    ],
)
def test_a_rook_stops_a_pawn_from_behind_where_nothing_stands_between_nor_holds_the_goal(
    placed: str, uci: str, text: str
) -> None:
    assert pawns.stops_from_behind(facts(placed, uci, by_attacker=True)) == text
