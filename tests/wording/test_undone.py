"""What a move did to its stage, and what a man taken or made teaches: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage
from matebot.ideas.in_time import InTime
from matebot.ideas.knights_w import KnightsW
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.method.condition import Condition
from matebot.terms import Mistake
from matebot.wording import cages, captures, coming, king_and_pawn, maxims, nets, room_left, rooms, slips, undone
from tests.wording.bare import facts_of

_C = Condition
PAWN, ROOK = "8/8/8/3k4/8/3P4/8/K7 w", "8/8/8/k7/8/8/8/KR6 w"


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, by their kinds, and as told."""
    ideas = told.pop("ideas", {})
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        broken=told.pop("broken", ()),
        answers_check=told.pop("in_check", False),
        name=lambda move: told.get("stop", "Kxa8"),
    )
    given = facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=True,
        seen=seen,
        gives=SimpleNamespace(check=told.pop("check", False)),
        worth=SimpleNamespace(outcome_after=told.pop("outcome", 1)),
        as_quick=told.pop("as_quick", []),
        beside=SimpleNamespace(keeping=told.pop("keeping", 2), others=told.pop("others", (0,))),
        **told,
    )
    vars(given.room)["squares_taken"] = told.get("taken", ())
    return given


OFF_KEYS, TOO_SOON = "takes the king away from the key squares", "pushes the pawn too soon"


@pytest.mark.parametrize(
    ("placed", "uci", "condition", "told", "text"),
    [
        (PAWN, "d3d4", _C.KING_ON_KEY_SQUARE, {}, TOO_SOON),
        (PAWN, "a1b1", _C.KING_ON_KEY_SQUARE, {"keys": (1, 2)}, OFF_KEYS),
        (PAWN, "a1b1", _C.KING_ON_KEY_SQUARE, {"keys": (2, 2)}, ""),
        (PAWN, "a1b1", _C.KING_ON_KEY_SQUARE, {"keys": (None, 1)}, OFF_KEYS),
        (PAWN, "a1b1", _C.KING_ON_KEY_SQUARE, {"keys": (1, None)}, ""),
        (PAWN, "d3d4", _C.KING_IN_CENTRE, {}, ""),
        (PAWN, "a1b1", _C.KING_IN_CENTRE, {}, "takes the king out of the centre"),
        (ROOK, "b1c1", _C.BOX_OF_28, {"box": BoxChange.WIDENS}, "lets the box grow"),
        (ROOK, "b1c1", _C.BOX_OF_8, {"box": BoxChange.WIDENS}, "lets the box grow"),
        (ROOK, "b1c1", _C.BOX_OF_8, {"box": BoxChange.SHRINKS}, ""),
        (ROOK, "b1c1", _C.BOX_OF_8, {}, ""),
        (PAWN, "a1b1", _C.KING_AT_W, {}, ""),
        (PAWN, "a1b1", _C.KING_AT_W, {"w": True}, "takes the king from its square of the W"),
        (ROOK, "b1c1", _C.EDGE_HELD, {}, "takes the rook off the b-file, which held the king on the edge"),
        (ROOK, "b1b2", _C.EDGE_HELD, {}, "gives up the line that held the king on the edge"),
        (ROOK, "b1c1", _C.CAGE_SHUT, {"cage": 11}, "gives the king too much room"),
        (ROOK, "b1c1", _C.CAGE_SHUT, {"cage": 10}, "opens the cage"),
        (ROOK, "b1c1", _C.CAGE_SHUT, {}, "opens the cage"),
        (ROOK, "b1c1", _C.MEN_SAFE, {"cage": 11}, "leaves a man loose"),
        (ROOK, "b1c1", _C.KING_BEFORE_PAWN, {}, ""),
        (ROOK, "a1a2", _C.KING_BEFORE_PAWN, {}, "brings the king out before the rook covers it"),
        (ROOK, "a1a2", _C.BRIDGE_BUILT, {}, ""),  # of the bridge: no man of that name
    ],
)
def test_a_condition_broken_is_told_of_the_man_that_moved_and_where_it_was_worth_a_word(
    placed: str, uci: str, condition: Condition, told: dict[str, Any], text: str
) -> None:
    ideas: dict[type, dict[str, Any]] = {}
    for kind, key, name in ((Box, "box", "change"), (Cage, "cage", "size_before"), (KnightsW, "w", "state")):
        ideas |= {kind: {name: told[key]}} if key in told else {}
    before, after = told.get("keys", (None, None))
    keys = SimpleNamespace(key_steps_before=before, key_steps_after=after)
    given = facts(placed, uci, ideas=ideas, keys=keys, broken=(_C.KING_AT_CORNER, condition))
    vars(given.seen)["broken"] = (condition,)
    found = undone.undone(given)
    assert found.startswith(text) if text else not found
    assert undone.undone_teaches(given, "does something else") == ""


def test_what_is_told_as_broken_gives_its_rule_and_the_first_that_has_words_is_told() -> None:
    given = facts(PAWN, "a1b1", broken=(_C.BOX_OF_8, _C.KING_IN_CENTRE, _C.KING_AT_CORNER))
    text = undone.undone(given)
    assert text == "takes the king out of the centre"
    assert undone.undone_teaches(given, text) == maxims.KING_TO_CENTRE


LONE, WITH_QUEEN = "8/3k4/8/8/8/8/8/K3Q3 w", "8/8/8/3k3{man}/8/8/8/K3Q3 w"
ALONE, PROMOTES, TAKES = "8/P7/8/3k4/8/8/8/K7 w", "8/P7/8/3k3{man}/8/8/8/K7 w", "1n6/P7/8/3k4/8/8/8/K7 w"


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (LONE, "e1e2", {}, ""),
        (ALONE, "a7a8q", {"wins": "hits it"}, "makes a queen and hits it"),
        (ALONE, "a7a8q", {}, "gives king and queen, which mate a bare king on the edge"),
        (TAKES, "a7b8q", {}, "takes the knight and makes a queen: king and queen mate"),
        (PROMOTES.format(man="b"), "a7a8q", {"in_time": True}, "comes before Kxa8 takes the pawn"),
        (PROMOTES.format(man="b"), "a7a8q", {"in_time": True, "stop": "Ba8"}, "comes before Ba8 stops"),
        (PROMOTES.format(man="p"), "a7a8q", {"in_time": True}, "makes a queen: the queen comes in time"),
        (PROMOTES.format(man="b"), "a7a8q", {}, "gives king and queen, which beat a lone bishop"),
        (PROMOTES.format(man="n"), "a7a8q", {}, "gives king and queen, which beat a lone knight"),
        ("8/P7/8/3k3b/8/8/8/K7 w", "a7a8q", {"outcome": 0}, "makes a queen: king and queen against king and bishop"),
        ("8/P7/8/3k4/7b/8/8/K7 w", "a7a8q", {}, "makes a queen: the bishop guards one colour only"),
        ("8/P7/8/3k4/7b/8/8/K7 w", "a7a8q", {"in_time": True}, "comes before Kxa8 takes the pawn: king and"),
        ("8/P7/8/3k3b/8/8/8/K7 w", "a7a8r", {}, "makes a rook: king and rook beat king and bishop"),
        ("8/P7/8/3k4/7b/8/7b/K7 w", "a7a8q", {}, "makes a queen: king and queen beat king, bishop and bishop"),
        (ALONE, "a7a8q", {"loose": "a8", "ahead": ("Kxa8", "Kb2")}, "makes a queen: if Kxa8, Kb2"),
        (ALONE, "a7a8q", {"loose": "a8", "ahead": ("Kc6", "Kb2")}, "makes a queen"),
        (ALONE, "a7a8q", {"loose": "a8", "ahead": ("Kxa8",)}, "makes a queen"),
        (ALONE, "a7a8q", {"cage": "shuts it in"}, "makes a queen, and shuts it in"),
        ("8/P7/8/3k4/8/8/P7/K7 w", "a2a4", {}, ""),
    ],
)
def test_a_pawn_that_promotes_is_told_with_what_it_forestalls_and_with_what_is_left(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    monkeypatch.setattr(captures, "of", lambda kind, say: lambda facts: say(None, facts))
    monkeypatch.setattr(coming, "wins_by_check", lambda *_: told.get("wins", ""))
    monkeypatch.setattr(nets, "follows", lambda *_: "")
    monkeypatch.setattr(cages, "shuts_in", lambda *_: told.get("cage", ""))
    monkeypatch.setattr(rooms, "cuts", lambda *_: "")
    monkeypatch.setattr(king_and_pawn, "pawn_wins", lambda _: "the pawn wins")
    ideas = {InTime: {"stop": chess.Move.null()}} if told.get("in_time") else {}
    ahead, more = told.get("ahead", ()), {"stop": told["stop"]} if "stop" in told else {}
    given = facts(placed, uci, ideas=ideas, ahead=ahead, loose=told.get("loose", ""), outcome=told.get("outcome", 1))
    vars(given.seen)["name"] = lambda move: more.get("stop", "Kxa8")
    found = captures.promotes(given)
    assert found.startswith(text) if text and not ahead else found == text


#: A move as quick that makes no new man.
PUSHES = SimpleNamespace(man=SimpleNamespace(promoted=None))


@pytest.mark.parametrize(
    ("uci", "told", "rule"),
    [
        ("a7a8q", {"check": True}, maxims.QUEEN_WITH_CHECK),
        ("a7a8q", {"check": True, "as_quick": [PUSHES]}, maxims.PROMOTE_IN_TIME),
        ("a7a8r", {"check": True}, maxims.PROMOTE_IN_TIME),
        ("a7a8q", {}, maxims.PROMOTE_IN_TIME),
        ("a7a8q", {"man": "q"}, maxims.QUEEN_AT_ONCE),
        ("a7a8q", {"in_time": False}, maxims.QUEEN_AT_ONCE),  # nothing could have stopped it
        ("a7a8q", {"in_time": False, "as_quick": [PUSHES]}, maxims.NOW_OR_LATER),
        ("a7a8q", {"forks": maxims.SECOND_MAN, "check": True}, maxims.SECOND_MAN),
        ("a7a8q", {"forks": maxims.LOOK_BEHIND}, maxims.PROMOTE_IN_TIME),
    ],
)
def test_a_promotion_teaches_the_check_that_no_other_gives_as_soon_or_to_be_in_time(
    monkeypatch: pytest.MonkeyPatch, uci: str, told: dict[str, Any], rule: str
) -> None:
    monkeypatch.setattr(maxims, "forks", lambda _: told.get("forks", ""))
    placed = PROMOTES.format(man=told.get("man", "b"))
    ideas: dict[type, dict[str, Any]] = {InTime: {}} if told.get("in_time", True) else {}
    given = facts(placed, uci, ideas=ideas, check=told.get("check", False), as_quick=told.get("as_quick", []))
    assert captures.queen_maxim(given) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told", "rule"),
    [
        ("8/8/4k3/3b4/8/8/8/K2R4 w", "d1d5", {}, maxims.EVERY_CAPTURE),  # the king guards it
        ("8/8/8/8/1b6/8/4k3/KR6 w", "b1b4", {"in_check": True}, maxims.TAKE_IN_CHECK),
        ("8/8/8/8/1b6/8/4k3/KR6 w", "b1b4", {}, maxims.LOOSE_AFAR),
        ("8/8/8/8/4k3/1b6/8/KR6 w", "b1b3", {}, maxims.EASY_PREY),
        ("8/8/8/3k4/8/1b6/8/KR6 w", "b1b3", {}, maxims.EVERY_CAPTURE),
        ("8/8/8/8/4k3/1q6/8/KR6 w", "b1b3", {}, maxims.EVERY_CAPTURE),
        ("8/8/8/8/4k3/8/1b6/K1R5 w", "a1b2", {}, maxims.KING_TOO),
    ],
)
def test_a_man_taken_teaches_by_how_far_it_was_from_what_takes_it_and_from_its_king(
    placed: str, uci: str, told: dict[str, Any], rule: str
) -> None:
    assert captures.maxim(facts(placed, uci, **told)) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        ("8/8/3K4/8/8/3P4/8/k7 w", "d3d4", {}, "brings the pawn on: its king stands on the key square d6"),
        ("8/8/3K4/8/8/3P4/8/k7 w", "d3d4", {"keys": False}, ""),
        ("8/8/3K4/8/8/3P4/8/k7 w", "d6d7", {}, ""),
        ("8/8/3K4/8/8/3P4/8/k6n w", "d3d4", {}, ""),
        ("8/8/3K4/8/8/3P4/8/k7 w", "d3d4", {"to_go": 1}, ""),
        ("8/8/3K4/8/8/3P4/8/k7 w", "d3d4", {"runs": True}, ""),
    ],
)
def test_a_lone_pawn_comes_on_to_its_king_on_a_key_square_but_where_it_runs_or_promotes_next(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    monkeypatch.setattr(king_and_pawn, "pawn_runs", lambda _: told.get("runs", False))
    keys = SimpleNamespace(on_key_square=told.get("keys", True))
    given = facts(placed, uci, keys=keys, race=SimpleNamespace(pawn_moves=told.get("to_go", 3)))
    assert king_and_pawn.pawn_below(given) == text


@pytest.mark.parametrize(
    ("aim", "last", "told", "shuts"),
    [
        (Aim.OWN_MAN, True, True, True),
        (Aim.OWN_MAN, False, True, False),
        (Aim.OWN_MAN, True, False, False),
        (Aim.CENTRE, True, True, False),
    ],
)
def test_a_king_is_shut_off_from_its_man_where_the_last_way_to_it_is_shut_and_told(
    monkeypatch: pytest.MonkeyPatch, aim: Aim, last: bool, told: bool, shuts: bool
) -> None:
    monkeypatch.setattr(room_left, "tells", lambda *_: told)
    assert coming._shuts_off(facts(ROOK, "b1b2", ideas={ShutsWay: {"aim": aim, "last": last}})) == shuts
    assert not coming._shuts_off(facts(ROOK, "b1b2"))


@pytest.mark.parametrize(
    ("mistake", "keeping", "choices", "hard"),
    [(Mistake.OUTCOME, 1, 20, True), (Mistake.OUTCOME, 10, 20, False), (Mistake.MOVES, 1, 20, False)],
)
def test_a_win_is_hard_to_find_that_few_moves_keep(mistake: Mistake, keeping: int, choices: int, hard: bool) -> None:
    given = facts(ROOK, "b1b2", cost=SimpleNamespace(mistake=mistake))
    vars(given)["beside"] = SimpleNamespace(keeping=keeping, choices=choices)
    assert slips._hard_to_find(given) == hard
