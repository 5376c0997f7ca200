"""What a king comes nearer for, what holds the other meanwhile, what its opposition shuts: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.prepares import Next
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.wording import close_kings, king_lessons, kings, maxims
from tests.wording.bare import facts_of

FAR = 20
ROOK, QUEEN = "8/8/8/4k3/8/8/8/K6R w", "8/8/8/4k3/8/8/8/K6Q w"
BISHOPS, MINORS, ROOKS = (f"8/8/8/4k3/8/8/8/K5{men} w" for men in ("BB", "BN", "RR"))
PAWN, ROOK_PAWN = "8/8/8/4k3/8/8/2P5/K7 w", "8/8/8/4k3/8/8/2P5/K6R w"
TO_KNIGHT, TO_ROOK = "8/8/8/4k1n1/8/8/8/K6{} w", "8/8/8/4k1r1/8/8/8/K6{} w"
TO_PAWN, AT_PAWN = "8/8/8/4k1p1/8/8/8/K6{} w", "8/8/8/4k3/8/p7/8/1K5{} w"
UP, TO_B3, DOWN = "a1b2", "a4b3", "a4b4"


def facts(placed: str, uci: str = UP, **told: Any) -> MoveFacts:
    """Return facts of a step of the king of the side that wins: the ideas by their kinds, and as told."""
    ideas = told.pop("ideas", {})
    board = chess.Board(f"{placed} - - 0 1")
    king = board.king(not board.turn)
    assert king is not None
    room = {"king": chess.square_name(king), "flights": ("e6",), "squares_taken": (), "squares_given": ()}
    room |= {name: told.pop(name) for name in list(told) if name in room}
    soon = tuple(map(chess.Move.from_uci, told.pop("as_soon", "").split()))
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        answers_check=told.pop("in_check", False),
        slower_moves=SimpleNamespace(as_soon=soon, hunts=lambda square: True),
        move=chess.Move.from_uci(uci),
        name=lambda *moves: told.get("name", "Qf4+"),
    )
    before, after = told.pop("apart", (4, 3))
    given = {
        "seen": seen,
        "room": SimpleNamespace(**room),
        "race": SimpleNamespace(runs_alone=told.pop("runs", False)),
        "worth": SimpleNamespace(outcome_after=1, mate_moves=told.pop("mate", FAR)),
        "kings": SimpleNamespace(kings_before=before, kings_after=after, opposition=told.pop("opposition", None)),
        "ways": SimpleNamespace(way_guarded=told.pop("way_guarded", ()), stopped_by=told.pop("stopped_by", ())),
        "gives": SimpleNamespace(check=told.pop("check", False)),
        "then": SimpleNamespace(ahead=told.pop("ahead", ())),
        "as_quick": told.pop("as_quick", ()),
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


def way(aim: Aim, *squares: int, target: int | None = None, last: bool = True) -> ShutsWay:
    return ShutsWay(aim, squares, target, last)


SHUT = {"change": CageChange.SHUTS, "size_after": 4, "loose": ()}
OWN_MAN = way(Aim.OWN_MAN, chess.D4, target=chess.G5)


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "told", "text"),
    [
        (ROOK, "h1h4", way(Aim.CENTRE, chess.E4), {}, ""),  # it stands in the centre
        (ROOK, "h1h4", way(Aim.CENTRE, chess.E4), {"king": "g5"}, "shuts e4, the way back to the centre"),
        (ROOK, "h1h4", way(Aim.CENTRE, chess.E4, last=False), {"king": "g5"}, ""),
        (ROOK, "h1h4", way(Aim.WRONG_CORNER, chess.H8, target=chess.H8), {}, "shuts h8, the wrong corner"),
        (ROOK, "h1h4", way(Aim.WRONG_CORNER, chess.G7, target=chess.H8), {}, "shuts g7, the way to h8"),
        (PAWN, "c2c4", way(Aim.PAWN, chess.D4, target=chess.C4), {}, ""),  # by itself
        (PAWN, UP, way(Aim.PAWN, chess.D4, target=chess.C2), {}, "shuts d4, the way to the pawn on c2"),
        (PAWN, UP, way(Aim.PAWN, chess.D4, target=chess.C2), {"runs": True}, ""),
        (TO_KNIGHT.format("R"), "h1h4", OWN_MAN, {}, "shuts d4, the king's way to its knight"),
        (TO_KNIGHT.format("R"), "h1h4", OWN_MAN, {"mate": 4}, ""),
        (TO_PAWN.format("R"), "h1h4", OWN_MAN, {"ideas": {Cage: SHUT}}, ""),
        (TO_PAWN.format("R"), UP, OWN_MAN, {"ideas": {Cage: SHUT}}, "shuts d4, the king's way to its pawn"),
        (TO_KNIGHT.format("R"), "h1h4", OWN_MAN, {"ideas": {Cage: SHUT}}, ""),
        (TO_KNIGHT.format("R"), "h1h4", OWN_MAN, {"flights": ("e6",)}, ""),  # it can go hardly anywhere
        (TO_KNIGHT.format("R"), UP, OWN_MAN, {"flights": ("e6",)}, "shuts d4, the king's way"),
        (
            TO_KNIGHT.format("R"),
            "h1h4",
            OWN_MAN,
            {"ideas": {Cage: {**SHUT, "change": CageChange.TIGHTENS, "size_after": 5}}},
            "shuts d4, the king's way",
        ),
        (TO_PAWN.format("R"), "h1h4", OWN_MAN, {"ideas": {Cage: {**SHUT, "size_after": 5}}}, "shuts d4, the king's"),
        (TO_PAWN.format("R"), "h1h4", OWN_MAN, {"ideas": {Cage: {**SHUT, "loose": (1,)}}}, "shuts d4, the king's"),
        (
            TO_PAWN.format("R"),
            "h1h4",
            OWN_MAN,
            {"ideas": {Cage: {**SHUT, "change": CageChange.HOLDS}}},
            "shuts d4, the king's way",
        ),
        (
            TO_PAWN.format("R"),
            "h1h4",
            way(Aim.WRONG_CORNER, chess.G7, target=chess.H8),
            {"ideas": {Cage: SHUT}},
            "shuts g7, the way to h8",
        ),
    ],
)
def test_a_way_that_is_shut_is_told_where_it_was_the_last_and_matters(
    placed: str, uci: str, idea: ShutsWay, told: dict[str, Any], text: str
) -> None:
    found = kings.shuts(idea, facts(placed, uci, **{"flights": ("d6", "e6"), **told}))
    assert found.startswith(text) if text else not found


OPPOSED = KingNearer((Purpose.OPPOSITION,), (), (), (), (), ())
HOLDS = KingNearer((Purpose.OPPOSITION,), shut=(), freed=(chess.C1,), held=(chess.D4,), guarded=(), stopped=())
GUARDED = "8/8/8/8/1k6/8/1R6/K7 w"


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "told", "text"),
    [
        (ROOK, UP, OPPOSED, {"squares_taken": ("d4",)}, "takes the opposition, so that Black's king must give way"),
        (ROOK, UP, OPPOSED, {}, ""),
        (ROOK, UP, OPPOSED, {"squares_taken": ("d4",), "in_check": True}, ""),
        (ROOK, UP, KingNearer((), (), (), (), (), ()), {"squares_taken": ("d4",)}, ""),
        (PAWN, UP, OPPOSED, {}, "takes the opposition, so that Black's king must give way"),
        (PAWN, UP, OPPOSED, {"runs": True}, ""),
        (QUEEN, UP, OPPOSED, {"squares_taken": ("d4",)}, ""),
        (TO_KNIGHT.format("R"), UP, OPPOSED, {"squares_taken": ("d4",)}, ""),
        ("8/8/8/8/8/2k5/1R6/1K6 w", "b1a1", OPPOSED, {}, "takes the opposition, and the rook stays guarded"),
        ("8/8/8/8/8/2k5/1R6/K7 w", "a1b1", OPPOSED, {}, "takes the opposition, and the rook stays guarded"),
        ("8/8/8/8/2k5/8/1R6/K7 w", "a1b1", OPPOSED, {}, ""),
        ("4k3/8/8/8/8/8/8/K1B1N3 w", UP, HOLDS, {}, "takes the opposition: the king now holds d4, and the bishop"),
        (ROOK, UP, OPPOSED, {"way": OWN_MAN}, "takes the opposition and shuts d4, the king's way"),
    ],
)
def test_the_opposition_is_taken_for_what_it_shuts_frees_or_makes_give_way(
    placed: str, uci: str, idea: KingNearer, told: dict[str, Any], text: str
) -> None:
    shut = told.pop("way", None)
    if shut is not None:
        told["ideas"] = {ShutsWay: {name: getattr(shut, name) for name in ("aim", "squares", "target", "last")}}
    found = kings.opposes(idea, facts(placed, uci, **told))
    assert found.startswith(text) if text else not found


CENTRE = KingNearer((Purpose.CENTRE,), (), (), (), (), ())
ON_EDGE = "4k3/8/8/8/8/8/8/K6R w"
HIT = {NearsMan: {"man": chess.KNIGHT, "square": chess.G5, "steps": 1, "from_king": 3, "inside": None}}
NEARS = {NearsMan: {"man": chess.PAWN, "square": chess.G5, "steps": 3, "from_king": 3, "inside": True}}


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (ROOK, UP, {}, "heads for the centre: the rook needs its king"),
        (ROOKS, UP, {}, "brings the king towards the centre: it helps its men"),
        (ROOK, UP, {"as_soon": "a1b1"}, "heads for the centre: the rook needs its king"),
        ("8/8/8/4k3/8/8/8/1K5R w", "b1a2", {"as_soon": "b1c2"}, "leaves the edge: the rook needs its king"),
        ("8/8/8/4k3/8/8/8/1K5R w", "b1a2", {"as_soon": "h1h2"}, "heads for the centre: the rook needs"),
        ("8/8/8/4k3/8/8/1K6/7R w", "b2b3", {"as_soon": "b2c3"}, "heads for the centre: the rook needs"),
        (ON_EDGE, UP, {"mate": 8}, "heads for the centre: the rook needs its king"),
        (ON_EDGE, UP, {"mate": 7}, ""),
        (ROOK, UP, {"mate": 7}, "heads for the centre: the rook needs its king"),
        (ROOK, UP, {"in_check": True}, "steps out of the check towards the centre: the rook needs its king"),
        (
            TO_KNIGHT.format("R"),
            UP,
            {"in_check": True, "ideas": HIT},
            "steps out of the check and attacks the knight on g5",
        ),
        (TO_KNIGHT.format("R"), UP, {"ideas": HIT}, ""),
        (PAWN, UP, {"runs": True}, "brings the king in for the mate: the pawn runs by itself"),
        (TO_KNIGHT.format("Q"), UP, {}, "brings the king towards the centre: the queen needs it for the mate"),
        (
            TO_KNIGHT.format("Q"),
            UP,
            {"takes": "comes nearer and takes d4"},
            "brings the king towards the centre and takes",
        ),
        (TO_KNIGHT.format("Q"), UP, {"takes": "takes d4"}, "brings the king towards the centre: the queen needs"),
        (ROOK, UP, {"takes": "comes nearer and takes d4"}, "heads for the centre: the rook needs its king"),
    ],
)
def test_a_king_heads_for_the_centre_to_help_where_no_mate_nor_man_comes_first(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    takes = told.pop("takes", "")
    monkeypatch.setattr(kings, "king", lambda *_: takes)
    given = facts(placed, uci, **told)
    found = kings.to_centre(CENTRE, given)
    assert found.startswith(text) if text else not found
    assert kings.to_centre(OPPOSED, given) == ""


@pytest.mark.parametrize(
    ("placed", "told", "text"),
    [
        (PAWN, {"runs": True}, "the pawn runs by itself"),
        (PAWN, {}, "the pawn needs its help"),
        (TO_KNIGHT.format("Q"), {}, "the queen needs it for the mate"),
        (TO_ROOK.format("Q"), {}, "it must help against the rook"),
        (TO_KNIGHT.format("R"), {}, "it must help against the knight"),
        ("8/8/8/4k1n1/8/8/8/K5QQ w", {}, "it must help against the knight"),
        (ROOKS, {}, "it helps its men"),
        (ROOK, {}, "the rook cannot mate without it"),
        (BISHOPS, {}, "the bishops cannot mate without it"),
        (MINORS, {}, "bishop and knight cannot mate without it"),
    ],
)
def test_why_a_king_must_help_is_told_by_the_men(placed: str, told: dict[str, Any], text: str) -> None:
    assert kings.alone(facts(placed, **told)) == text


LINE = ("Kd6", "Kc3")


@pytest.mark.parametrize(
    ("placed", "uci", "told", "nearer", "text"),
    [
        (ROOK_PAWN, UP, {"runs": True, "mate": 3, "ahead": LINE}, False, " for the mate: if Kd6, Kc3"),
        (TO_ROOK.format("Q"), UP, {}, False, ": king and queen must work together against the rook"),
        (TO_ROOK.format("R"), UP, {}, False, " to help against the rook"),
        (TO_ROOK.format("R"), UP, {}, True, " to help against king and rook"),
        (TO_PAWN.format("R"), UP, {}, True, " to help against the pawn"),
        (TO_PAWN.format("R"), UP, {"ideas": {KingUp: {"held_by": HeldBy.LINE}}}, True, ""),
        (TO_PAWN.format("R"), UP, {"stopped_by": ("h1",)}, False, ", while the rook holds the pawn"),
        (AT_PAWN.format("Q"), "b1a2", {}, False, " to help against the pawn"),
        ("8/8/8/4k3/8/p7/1K6/7Q w", "b2c3", {}, False, ": the queen needs it for the mate"),
        ("8/8/8/4k3/8/p7/1K6/7R w", "b2c3", {}, False, ""),
        ("4k3/8/8/6p1/8/8/8/K6R w", UP, {"as_soon": "a1a2", "ahead": LINE}, False, " for the mate: if Kd6, Kc3"),
        ("4k3/8/8/6p1/8/8/8/K6R w", UP, {"as_soon": "a1a2"}, False, " for the mate"),
        (TO_PAWN.format("R"), UP, {"as_soon": "a1a2", "ahead": LINE}, False, " to help against the pawn"),
        (ROOKS, UP, {}, False, ": it helps its men"),
        (PAWN, UP, {"way_guarded": ("c3", "c4")}, False, ": it guards c3 and c4 on the pawn's way"),
        ("8/8/2p5/8/4K3/8/8/k7 b", "a1b2", {"way_guarded": ("c3", "c5", "c4")}, False, ": it guards c5, c4 and c3 on"),
        (PAWN, UP, {}, False, " to help the pawn: Black's king is inside its square"),
        ("7k/8/8/8/8/8/2P5/K7 w", UP, {}, False, " to help the pawn: Black's king is inside its square"),
        ("8/8/8/8/7k/8/2P5/K7 w", UP, {}, False, " to help the pawn: Black's king is inside its square"),
        ("8/8/2P5/8/7k/8/8/K7 w", UP, {}, False, " to help the pawn"),
        ("8/8/8/4k3/8/8/2P2P2/K7 w", UP, {}, False, " to help the pawn"),
        ("8/8/8/4k1n1/8/8/2P5/K7 w", UP, {}, False, " to help the pawn"),
        (PAWN, UP, {"as_soon": "a1a2"}, False, ""),
        (PAWN, UP, {"as_soon": "a1b1"}, False, " to help the pawn: Black's king"),
        (PAWN, UP, {"as_soon": "c2c4"}, False, " to help the pawn: Black's king"),
        ("8/8/8/4k3/8/8/1P6/1K5R w", "b1c1", {}, False, ""),
        ("8/8/8/4k3/8/8/1P6/1K6 w", "b1c1", {}, False, " to help the pawn: Black's king"),
        (ROOK_PAWN, UP, {}, False, " to help the pawn: Black's king"),
    ],
)
def test_a_king_comes_to_help_by_what_its_men_and_the_other_side_have(
    placed: str, uci: str, told: dict[str, Any], nearer: bool, text: str
) -> None:
    found = kings._to_help(facts(placed, uci, **told), nearer)
    assert found.startswith(text) if text else not found
    assert text.endswith("the pawn") <= (found == text)


CAGED, LINED, BOXED = (KingUp(3, held) for held in (HeldBy.CAGE, HeldBy.LINE, HeldBy.BOX))
FREE = KingUp(3, HeldBy.NOTHING)
KEEPS = {CutOff: {"change": CutChange.KEEPS, "line": "rank 4"}}
TIGHTENS = {Cage: {"change": CageChange.TIGHTENS}}


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "told", "text"),
    [
        (ROOK, UP, CAGED, {}, "brings the king up: the rook keeps the cage shut meanwhile"),
        (BISHOPS, UP, CAGED, {}, "brings the king up: the bishops keep the cage shut meanwhile"),
        (MINORS, UP, CAGED, {}, "brings the king up: the other men keep the cage shut meanwhile"),
        (ROOK, UP, LINED, {}, "brings the king up: the rook keeps Black's king cut off meanwhile"),
        ("8/8/8/4k3/8/6R1/8/K7 w", UP, BOXED, {}, "brings the king up: the rook keeps the box shut meanwhile"),
        (ROOK, UP, BOXED, {}, "brings the king up: the rook needs its king"),
        (ROOK, UP, FREE, {}, "brings the king up: the rook needs its king"),
        (ROOK, UP, FREE, {"apart": (4, 4)}, "brings the king up: the rook needs its king"),
        (ROOK, UP, FREE, {"apart": (2, 2)}, ""),
        (ROOK, UP, FREE, {"apart": (3, 2)}, "brings the king up: the rook needs its king"),
        (TO_PAWN.format("R"), UP, FREE, {"ideas": NEARS}, ""),
        (TO_KNIGHT.format("R"), UP, FREE, {"ideas": HIT}, "brings the king up to help against king and knight"),
        (ROOK, UP, LINED, {"ideas": KEEPS}, "brings the king up, while the rook cuts Black's king off along rank 4"),
        (
            TO_PAWN.format("R"),
            UP,
            LINED,
            {"ideas": KEEPS},
            "comes nearer to the pawn, while the rook cuts Black's king off from it",
        ),
        ("8/8/6p1/4k3/8/8/8/K6R w", UP, LINED, {"ideas": KEEPS}, "comes nearer to the pawn, while the rook cuts"),
        ("8/8/8/p3k3/8/8/8/K6R w", UP, LINED, {"ideas": KEEPS}, "comes nearer to the pawn, while"),
        (
            "8/8/8/4k3/p7/8/1K6/7R w",
            "b2c2",
            LINED,
            {"ideas": KEEPS},
            "brings the king up, while the rook cuts Black's king off from its pawn",
        ),
        (
            ROOK,
            UP,
            LINED,
            {"ideas": {CutOff: {"change": CutChange.SETS, "line": "rank 4"}}},
            "brings the king up: the rook keeps Black's king cut off meanwhile",
        ),
        (TO_KNIGHT.format("R"), UP, LINED, {"ideas": KEEPS}, "brings the king up to help against king and knight"),
        (TO_PAWN.format("R"), UP, CAGED, {}, "brings the king up to help against the pawn"),
        (TO_KNIGHT.format("R"), UP, CAGED, {}, "brings the king up: the rook keeps the cage shut meanwhile"),
        (TO_KNIGHT.format("R"), UP, CAGED, {"ideas": TIGHTENS}, "brings the king up and makes the cage smaller"),
        (ROOK, UP, CAGED, {"ideas": TIGHTENS}, "brings the king up: the rook keeps the cage shut meanwhile"),
        (
            TO_KNIGHT.format("R"),
            UP,
            CAGED,
            {"ideas": {Cage: {"change": CageChange.HOLDS}}},
            "brings the king up: the rook keeps the cage shut meanwhile",
        ),
        (ROOK, UP, CAGED, {"in_check": True}, "steps out of the check and comes nearer: the rook needs its king"),
        (PAWN, UP, FREE, {"runs": True}, "brings the king up for the mate: the pawn runs by itself"),
        (ROOK, UP, FREE, {"squares_taken": ("d4",)}, "comes nearer and leaves Black's king only e6"),
        (BISHOPS, UP, FREE, {"squares_taken": ("d4",)}, "brings the king up: the bishops need their king"),
        (TO_ROOK.format("R"), UP, FREE, {"squares_taken": ("d4",)}, "brings the king up to help against king and rook"),
        (PAWN, UP, FREE, {"as_soon": "a1a2"}, "comes nearer to Black's king"),
        (PAWN, UP, FREE, {"as_soon": "a1a2", "squares_taken": ("d4",)}, "comes nearer and leaves Black's king only e6"),
        ("8/8/8/8/K7/8/8/4k2R w", "a4b3", FREE, {}, "brings the king nearer: the rook needs its king"),
        ("8/8/8/8/K7/8/8/4k2R w", "a4b4", FREE, {}, "brings the king up: the rook needs its king"),
        ("r7/8/8/k7/8/8/8/4K3 b", "a5b4", FREE, {}, "brings the king up: the rook needs its king"),
        ("r3K3/8/8/k7/8/8/8/8 b", "a5b6", FREE, {}, "brings the king nearer: the rook needs its king"),
    ],
)
def test_a_king_comes_up_by_what_holds_the_other_or_to_help(
    placed: str, uci: str, idea: KingUp, told: dict[str, Any], text: str
) -> None:
    given = facts(placed, uci, **told)
    found = kings.king_up(idea, given)
    assert found.startswith(text) if text else not found
    assert kings.king_up_behind(idea, given) == ("" if idea is FREE else found)


PUSHED, STEPPED = (SimpleNamespace(man=SimpleNamespace(piece=piece)) for piece in ("pawn", "king"))


@pytest.mark.parametrize(
    ("placed", "uci", "told", "rule"),
    [
        (TO_ROOK.format("Q"), UP, {}, maxims.KING_THEN_FORK),
        (TO_ROOK.format("Q"), UP, {"in_check": True}, maxims.STEP_NEARER),
        (TO_ROOK.format("R"), UP, {}, maxims.ATTACK_TOGETHER),
        (PAWN, UP, {"runs": True}, maxims.NOT_ALONE.format(man="queen")),
        (ROOK_PAWN, UP, {"runs": True}, maxims.ATTACK_TOGETHER),
        (ROOK, UP, {"in_check": True}, maxims.STEP_NEARER),
        (ROOK, UP, {"in_check": True, "apart": (3, 3)}, ""),
        (ROOK, UP, {}, maxims.NOT_ALONE.format(man="rook")),
        (BISHOPS, UP, {}, maxims.ALL_IN_PLAY),
        (BISHOPS, "g1f2", {}, ""),
        (ROOK_PAWN, UP, {"runs": True, "mate": 3}, maxims.NOT_ALONE.format(man="rook")),
        (PAWN, UP, {"as_quick": (STEPPED, PUSHED)}, maxims.BRING_ON),
        (PAWN, UP, {"as_quick": (STEPPED,)}, maxims.ESCORT),
        (PAWN, UP, {"as_soon": "a1a2"}, ""),
        (ROOK_PAWN, UP, {"as_soon": "a1a2"}, maxims.NOT_ALONE.format(man="rook")),
        (TO_KNIGHT.format("Q"), UP, {}, maxims.NOT_ALONE.format(man="queen")),
        (ROOKS, UP, {}, ""),
    ],
)
def test_a_king_that_comes_to_help_teaches_by_what_its_men_can_do_without_it(
    placed: str, uci: str, told: dict[str, Any], rule: str
) -> None:
    assert king_lessons.help_maxim(facts(placed, uci, **told)) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (ROOK, UP, {"king": "e8", "flights": ("d8",)}, "keeps Black's king on the edge"),
        (ROOK, UP, {"king": "e8", "flights": ("d7",), "ahead": LINE}, "stays close to Black's king: if Kd6, Kc3"),
        (ROOK, UP, {"king": "e7", "flights": ("d8",), "ahead": LINE}, "stays close to Black's king: if Kd6, Kc3"),
        (ROOK, UP, {"ahead": ("Kd6",)}, ""),
        (ROOK, UP, {"opposition": "direct", "ahead": LINE}, "takes the opposition"),
        (ROOK, UP, {"opposition": "distant", "ahead": LINE}, "stays close to Black's king: if Kd6, Kc3"),
        (ROOK, UP, {"apart": (3, 2), "ahead": LINE}, ""),
        (ROOK, UP, {"apart": (2, 3), "ahead": LINE}, ""),
        (ROOK, "h1h2", {"ahead": LINE}, ""),
        (TO_KNIGHT.format("R"), UP, {"ahead": LINE}, ""),
        (ROOK_PAWN, UP, {"ahead": LINE}, ""),
        (ROOK_PAWN, UP, {"king": "e8", "mate": 7, "ahead": LINE}, "stays close to Black's king: if Kd6, Kc3"),
        (ROOK_PAWN, UP, {"king": "e8", "mate": 8, "ahead": LINE}, ""),
    ],
)
def test_a_king_stays_close_to_the_other_where_it_stood_as_near(
    placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    assert close_kings.stays_close(facts(placed, uci, **{"apart": (2, 2), **told})) == text


def test_a_rook_that_wins_a_pawn_by_itself_needs_no_king() -> None:
    moves = tuple(map(chess.Move.from_uci, ("e5e6", "h1h5", "e6e7", "h5g5")))
    leads = {LeadsTo: {"does": Next.CAPTURE, "line": moves}}
    by_king = {LeadsTo: {"does": Next.CAPTURE, "line": (*moves[:3], chess.Move.from_uci("b2g5"))}}
    promotes = {LeadsTo: {"does": Next.PROMOTION, "line": moves}}
    assert kings._rook_alone(facts(TO_PAWN.format("R"), ideas=leads))
    assert not kings._rook_alone(facts(TO_PAWN.format("R"), ideas=by_king))
    assert not kings._rook_alone(facts(TO_PAWN.format("R"), ideas=promotes))
