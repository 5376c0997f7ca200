"""What is told of pawns and of kings beside them: key squares, ways, races and guards; asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.holds_pawn import Hold
from matebot.ideas.king_up import KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.pawn_step import PawnStep
from matebot.wording import king_and_pawn, leads, maxims, pawns
from tests.wording.bare import facts_of

LONE, WITH_MAN = "8/8/8/2k5/8/2K5/4P3/8 w", "8/8/8/2k4n/8/2K5/4P3/8 w"
FAR = 30


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas by their kinds, and of pawn and kings as told."""
    ideas, keys = told.pop("ideas", {}), told.pop("keys", {})
    board = chess.Board(f"{placed} - - 0 1")
    king = board.king(not board.turn)
    assert king is not None
    race = {"runs_alone": False, "pawn_moves": 4, "pawn_goal": "e8", "clears_way": True, "steps_short": 1}
    race |= {name: told.pop(name) for name in list(told) if name in race}
    room = {"king": chess.square_name(king), "flights": (), "squares_taken": (), "squares_given": ()}
    room |= {name: told.pop(name) for name in list(told) if name in room}
    return facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=True,
        keys=SimpleNamespace(
            **{"on_key_square": True, "key_steps_before": 1, "key_steps_after": 0, "key_squares": (), **keys}
        ),
        race=SimpleNamespace(**race),
        room=SimpleNamespace(**room),
        kings=SimpleNamespace(opposition=told.pop("opposition", None), kings_before=3, kings_after=3),
        worth=SimpleNamespace(mate_moves=told.pop("mate", FAR), outcome_after=1),
        gives=SimpleNamespace(check=told.pop("check", False)),
        replies=SimpleNamespace(replies=told.pop("replies", 2)),
        seen=SimpleNamespace(
            idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
            answers_check=told.pop("in_check", False),
        ),
        then=SimpleNamespace(ahead=told.pop("ahead", ()), goals=told.pop("goals", ())),
        as_quick=told.pop("as_quick", ()),
        **told,
    )


OPPOSED, ASIDE, PUSHED = (
    SimpleNamespace(kings=SimpleNamespace(opposition=kind), man=SimpleNamespace(piece=piece))
    for kind, piece in (("diagonal", "king"), (None, "king"), ("distant", "pawn"))
)
ON_KEY, OFF_KEY = {"key_steps_before": 0}, {"on_key_square": False}


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (LONE, "c3d3", {}, "stands on a key square: from here the king leads the pawn in"),
        (LONE, "c3d3", {"opposition": "direct"}, "takes the opposition on a key square: from here"),
        (LONE, "c3d3", {"opposition": "diagonal"}, "stands on a key square"),
        (LONE, "c3d3", {"keys": ON_KEY}, ""),
        (LONE, "c3d3", {"keys": {"key_steps_before": None}}, "stands on a key square"),
        (LONE, "c3d3", {"keys": OFF_KEY}, ""),
        (LONE, "c3d3", {"runs_alone": True}, ""),
        (LONE, "c3d3", {"pawn_moves": 1}, "guards e8, and the pawn promotes"),
        (LONE, "c3d3", {"pawn_moves": 2}, "stands on a key square"),
        (LONE, "e2e3", {}, ""),
        (WITH_MAN, "c3d3", {}, ""),
    ],
)
def test_a_king_comes_to_a_key_square_of_a_lone_pawn_that_needs_it(
    placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    found = king_and_pawn.key_square(facts(placed, uci, **told))
    assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (LONE, "e2e3", {}, "brings the pawn on: its king stands on the key square c3"),
        (LONE, "c3d3", {}, ""),
        (LONE, "e2e3", {"keys": OFF_KEY}, ""),
        (LONE, "e2e3", {"pawn_moves": 1}, ""),
        (LONE, "e2e3", {"runs_alone": True}, ""),
        (WITH_MAN, "e2e3", {}, ""),
    ],
)
def test_a_lone_pawn_comes_on_to_its_king_on_a_key_square(
    placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    assert king_and_pawn.pawn_below(facts(placed, uci, **told)) == text


@pytest.mark.parametrize(
    ("placed", "uci", "keys", "told", "text"),
    [
        (LONE, "c3d3", (2, 1, "d4 e4 f4"), {}, "heads for d4 and e4, key squares of its pawn"),
        (LONE, "c3d3", (3, 2, "f4 g4"), {}, "heads for f4, a key square of its pawn"),
        (LONE, "c3d3", (1, 1, "d4"), {}, ""),
        (LONE, "c3d3", (0, 1, "d4"), {}, ""),
        (LONE, "c3d3", (None, 1, "d4"), {}, ""),
        (LONE, "c3d3", (1, 0, "d4"), {}, ""),
        (LONE, "c3d3", (1, None, "d4"), {}, ""),
        (LONE, "c3d3", (2, 1, "d4"), {"runs_alone": True}, ""),
        (LONE, "e2e3", (2, 1, "d4"), {}, ""),
        (WITH_MAN, "c3d3", (2, 1, "d4"), {}, ""),
    ],
)
def test_a_king_heads_for_the_key_squares_that_it_comes_to_first(
    placed: str, uci: str, keys: tuple[int | None, int | None, str], told: dict[str, Any], text: str
) -> None:
    before, after, squares = keys
    given = {"key_steps_before": before, "key_steps_after": after, "key_squares": tuple(squares.split())}
    assert king_and_pawn.to_key_squares(facts(placed, uci, keys=given, **told)) == text


ROOK = "8/8/8/2k5/8/2K5/4P3/4R3 w"


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text", "rule"),
    [
        (LONE, "c3d3", {}, "clears the way for the pawn and reaches a key square", maxims.KING_FIRST),
        (LONE, "c3d3", {"keys": ON_KEY}, "clears the way for the pawn and stays on a key square", maxims.KING_FIRST),
        (LONE, "c3d3", {"keys": OFF_KEY}, "clears the way for the pawn", maxims.ESCORT),
        (LONE, "c3b3", {"keys": OFF_KEY}, "clears the way for the pawn", ""),
        (LONE, "c3d3", {"runs_alone": True}, "clears the way for the pawn, which runs by itself", ""),
        (ROOK, "e1d1", {}, "clears the way for the pawn and stays on a key square", maxims.OWN_WAY),
        (LONE, "c3d3", {"clears_way": False}, "", maxims.KING_FIRST),
        (WITH_MAN, "c3d3", {}, "", maxims.KING_FIRST),
    ],
)
def test_the_way_of_a_pawn_is_cleared_by_its_king_or_by_another_man(
    placed: str, uci: str, told: dict[str, Any], text: str, rule: str
) -> None:
    given = facts(placed, uci, **told)
    assert king_and_pawn.clears(given) == text
    assert king_and_pawn.clears_maxim(given) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told", "leaves"),
    [
        (LONE, "c3b3", {"runs_alone": True}, True),
        (LONE, "c3b3", {}, False),
        (LONE, "e2e3", {"runs_alone": True}, False),
        (LONE, "c3b3", {"runs_alone": True, "in_check": True}, False),
        (LONE, "c3b3", {"runs_alone": True, "up": "comes up"}, False),
    ],
)
def test_a_king_that_comes_no_nearer_leaves_a_pawn_that_runs(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, told: dict[str, Any], leaves: bool
) -> None:
    up = told.get("up", "")
    monkeypatch.setattr(king_and_pawn, "king_up", lambda *_: up)
    given = facts(placed, uci, ideas={KingUp: {}}, **{name: value for name, value in told.items() if name != "up"})
    assert king_and_pawn.leaves_pawn(given) == ("leaves the pawn for now: it cannot be caught" if leaves else "")


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text", "why"),
    [
        (LONE, "c3d3", {"opposition": "distant"}, "takes the distant opposition", "the king stands on a key square"),
        (LONE, "c3d3", {"opposition": "distant", "as_quick": (OPPOSED,)}, "takes", "the king stands on a key square"),
        (LONE, "c3d3", {"opposition": "distant", "as_quick": (OPPOSED, ASIDE)}, "", "the king stands on a key square"),
        (LONE, "c3d3", {"opposition": "distant", "as_quick": (PUSHED,)}, "", "the king stands on a key square"),
        (LONE, "c3d3", {"opposition": "direct", "keys": OFF_KEY}, "", "has the opposition"),
        (LONE, "c3d3", {"opposition": "distant", "keys": OFF_KEY}, "takes the distant", "the king leads the pawn in"),
        (LONE, "c3d3", {}, "", "the king stands on a key square of its pawn"),
        (LONE, "c3d3", {"opposition": "distant", "runs_alone": True}, "", "the pawn cannot be caught"),
        (LONE, "e2e3", {"opposition": "distant"}, "", "the king stands on a key square"),
        (WITH_MAN, "c3d3", {"opposition": "distant"}, "", "the king stands on a key square"),
        (ROOK, "c3d3", {"opposition": "distant"}, "", "the king stands on a key square"),
    ],
)
def test_an_opposition_from_afar_is_taken_with_a_lone_pawn_that_wins_by_what_its_king_has(
    placed: str, uci: str, told: dict[str, Any], text: str, why: str
) -> None:
    given = facts(placed, uci, **told)
    found = king_and_pawn.far_opposition(given)
    assert found.startswith(text) if text else not found
    assert king_and_pawn.pawn_wins(given).startswith(why)


STEP = {"escort": None, "guard": None, "ahead": None, "square": chess.E3, "goal": chess.E8}
BARRED, BESIDE_ROOK = "8/8/8/6k1/8/8/4P3/1K3R2 w", "8/8/8/8/6k1/8/4P3/1K4R1 w"
NEAR, BETWEEN = "8/8/2k5/8/8/4P3/8/7K w", "8/8/8/8/4k3/8/2PK4/8 w"


@pytest.mark.parametrize(
    ("placed", "uci", "step", "told", "text"),
    [
        (LONE, "e2e3", None, {}, ""),
        (LONE, "e2e3", {"escort": chess.BISHOP}, {}, "brings the pawn on: the bishop guards e8 for it"),
        (LONE, "e2e3", {"guard": chess.KING}, {}, "brings the pawn on, guarded by the king"),
        (BARRED, "e2e3", {}, {}, "brings the pawn on, while the rook bars the f-file"),
        (BARRED, "e2e3", {}, {"line": "g5g4 e3e4 g4g5 e4e5"}, "brings the pawn on, while the rook bars the f-file"),
        (BARRED, "e2e3", {}, {"line": "g5g4 e3e4 g4g5 f1f8"}, "brings the pawn on"),
        (BARRED, "e2e3", {}, {"line": "g5g4 f1f8"}, "brings the pawn on"),
        ("8/8/8/6k1/7n/8/4P3/1K3R2 w", "e2e3", {}, {}, "brings the pawn on"),
        (BESIDE_ROOK, "e2e3", {}, {}, "brings the pawn on"),
        ("8/8/8/8/4k3/8/1P1R3R/K7 w", "b2b3", {}, {}, "brings the pawn on"),
        ("8/8/8/8/1k6/8/5P2/K7 w", "f2f3", {"square": chess.F3}, {}, "brings the pawn on"),
        ("8/8/8/8/1k6/5P2/8/K7 w", "f3f4", {"square": chess.F4}, {}, "brings the pawn on"),
        ("8/8/8/8/k7/6P1/8/K7 w", "g3g4", {"square": chess.G4}, {}, "brings the pawn on: Black's king is outside"),
        ("8/8/8/8/1k6/6P1/8/K7 w", "g3g4", {"square": chess.G4}, {}, "brings the pawn on"),
        ("8/8/8/8/2k5/6P1/8/K7 w", "g3g4", {"square": chess.G4}, {}, "brings the pawn on"),
        (BETWEEN, "c2c3", {"square": chess.C3}, {}, "brings the pawn on: the king keeps Black's king away"),
        (BETWEEN.replace("2PK4", "2PKN3"), "c2c3", {"square": chess.C3}, {}, "brings the pawn on"),
        (NEAR, "e3e4", {"square": chess.E4, "ahead": chess.KNIGHT}, {}, "brings the pawn on: the knight guards e5"),
        ("8/8/k7/8/8/4P3/8/7K w", "e3e4", {"square": chess.E4, "ahead": chess.KNIGHT}, {}, "brings the pawn on"),
        ("8/8/8/8/8/3kP3/8/7K w", "e3e4", {"square": chess.E4}, {}, "brings the pawn on"),
        ("8/8/8/8/7n/4P3/4k3/7K w", "e3e4", {"square": chess.E4}, {}, "brings the pawn on away from the king"),
    ],
)
def test_a_step_of_a_pawn_is_told_by_who_guards_it_or_keeps_the_other_king_from_it(
    placed: str, uci: str, step: dict[str, Any] | None, told: dict[str, Any], text: str
) -> None:
    ideas: dict[type, dict[str, Any]] = {} if step is None else {PawnStep: {**STEP, **step}}
    if line := told.get("line"):
        ideas[LeadsTo] = {"line": tuple(map(chess.Move.from_uci, line.split()))}
    found = leads.pawn_on(facts(placed, uci, ideas=ideas))
    assert found.startswith(text) if ": " in text else found == text


@pytest.mark.parametrize(
    ("king", "told", "text"),
    [
        ("d5", {"flights": ("d8", "e7")}, "drives the king to d8 or e7"),
        ("d5", {"flights": ("d8",), "replies": 1}, "drives the king to d8"),
        ("d5", {"flights": ("d8", "e8")}, "drives the king to the edge"),
        ("d8", {"flights": ("c8", "e8")}, "drives the king to c8 or e8"),
        ("d5", {"flights": ("c7", "d7", "e7"), "replies": 3}, "drives the king to c7, d7 or e7"),
        ("d5", {"flights": ("c7", "d7", "e7", "c6"), "replies": 4}, ""),
        ("d5", {"flights": ("d8", "e7"), "replies": 3}, ""),
        ("d5", {"flights": (), "replies": 0}, ""),
        ("d5", {"flights": ("d8", "e7"), "check": False}, ""),
    ],
)
def test_a_check_drives_the_king_to_the_few_squares_it_has_where_nothing_else_answers_it(
    king: str, told: dict[str, Any], text: str
) -> None:
    assert leads.driven(facts(ROOK, "e1d1", king=king, **{"check": True, **told})) == text


HUNT = "8/8/8/2k5/7r/2K5/8/4Q3 w"


@pytest.mark.parametrize(
    ("placed", "check", "ahead", "told"),
    [
        (HUNT, True, ("Kd4", "Qb4+"), True),
        (HUNT, True, ("Kd4", "Qb4"), False),
        (HUNT, True, ("Kd4", "Qxb4+"), False),
        (HUNT, True, ("Kd4",), False),
        (HUNT, False, ("Kd4", "Qb4+"), False),
        (HUNT.replace("r", "n"), True, ("Kd4", "Qb4+"), False),
        (HUNT.replace("Q", "R"), True, ("Kd4", "Rb4+"), False),
    ],
)
def test_a_queen_that_hunts_a_rook_gives_check_after_check(
    placed: str, check: bool, ahead: tuple[str, ...], told: bool
) -> None:
    text = leads.checks(facts(placed, "e1e2", check=check, ahead=ahead))
    assert text == (f"gives check after check: if {ahead[0]}, {ahead[1]}" if told else "")


@pytest.mark.parametrize(
    ("how", "goals", "text"),
    [
        (Hold.FORCES, ("e3",), "forces the king in front of its pawn: after any other reply the pawn falls"),
        (Hold.FORCES, ("e3", "d3"), ""),
        (Hold.FORCES, ("e5",), ""),
        (Hold.BLOCKS, ("d3",), "blocks the pawn on e4"),
        (Hold.PINS, (), "pins the pawn on e4: it cannot go on"),
        (Hold.FREE_STEP, (), "uses the move: the other king stands in front of its pawn"),
    ],
)
def test_a_pawn_is_held_by_who_stands_before_it(how: Hold, goals: tuple[str, ...], text: str) -> None:
    idea = SimpleNamespace(how=how, pawn=chess.E4)
    found = pawns.holds_pawn(idea, facts("8/8/8/8/2k1p3/8/8/2K4R w", "h1h3", goals=goals))  # type: ignore[arg-type]
    assert found.startswith(text) if text else not found


RUNS = "8/8/4P3/8/8/8/8/k3K3 w"


@pytest.mark.parametrize(
    ("placed", "uci", "moves", "escort", "short", "text", "rule"),
    [
        (RUNS, "e6e7", 1, None, 3, "runs home: Black's king is outside the square of the pawn", maxims.RUN_FIRST),
        (RUNS, "e6e7", 1, None, 2, "runs home: Black's king is outside", maxims.COUNT_THE_RACE),
        (RUNS, "e6e7", 1, chess.BISHOP, 2, "runs home: the bishop guards e8, where it promotes", maxims.GOAL_FIRST),
        (RUNS, "e6e7", 2, chess.BISHOP, 3, "runs home: Black's king is outside", maxims.RUN_FIRST),
        ("8/5K2/4P3/8/8/8/8/k7 w", "e6e7", 1, None, 2, "runs home: the king guards e8, where", maxims.GOAL_FIRST),
        ("8/5K2/8/4P3/8/8/8/k7 w", "e5e6", 2, None, 2, "runs home: the king guards its way to e8", maxims.GOAL_FIRST),
        ("8/8/5K2/4P3/8/8/8/k7 w", "e5e6", 2, None, 2, "runs home: Black's king is outside", maxims.COUNT_THE_RACE),
        ("8/8/8/8/8/8/4P3/k6K w", "e2e4", 4, None, 2, "runs home: Black's king is outside", maxims.DOUBLE_STEP),
        ("K7/8/8/8/8/4p3/5k2/8 b", "e3e2", 1, None, 2, "runs home: the king guards e1, where", maxims.GOAL_FIRST),
    ],
)
def test_a_pawn_runs_home_by_who_holds_all_of_its_way(
    placed: str, uci: str, moves: int, escort: int | None, short: int, text: str, rule: str
) -> None:
    goal = chess.E8 if placed.endswith("w") else chess.E1
    ideas = {PawnRuns: {"moves": moves, "goal": goal}, PawnStep: {**STEP, "escort": escort}}
    given = facts(placed, uci, ideas=ideas, steps_short=short)
    assert pawns.runs(given.seen.idea(PawnRuns), given).startswith(text)  # type: ignore[arg-type]
    assert pawns.race_maxim(given) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "told"),
    [
        ("7k/8/4P3/8/8/8/8/K6R w", "h1e1", True),
        ("7k/8/8/8/8/4P3/8/K6R w", "h1e1", True),
        ("4R2k/8/4P3/8/8/8/8/K7 w", "e8e7", False),
        ("7k/8/4P3/8/8/8/8/K6R w", "h1d1", False),
        ("7k/7R/4P3/8/8/8/8/K7 w", "h7e7", False),
        ("7k/8/4P3/8/8/4K3/8/7R w", "h1e1", False),
        ("7k/8/4P3/4n3/8/8/8/K6R w", "h1e1", False),
        ("8/8/4P3/4k3/8/8/8/K6R w", "h1e1", False),
        ("7k/8/4P3/8/8/8/8/K3R3 w", "e1e2", False),
        ("7k/8/4P1P1/8/8/8/8/K6R w", "h1e1", False),
        ("7k/8/4P3/8/8/8/8/K6Q w", "h1e1", False),
        ("K7/8/8/8/4p3/8/8/6kr b", "h1h8", False),
        ("K6r/8/8/8/4p3/8/8/6k1 b", "h8e8", True),
    ],
)
def test_a_rook_comes_behind_its_only_pawn_with_nothing_between(placed: str, uci: str, told: bool) -> None:
    found = pawns.from_behind(facts(placed, uci))
    assert found == ("puts the rook behind its pawn, to push it on" if told else "")
    assert pawns.from_behind(facts(placed, uci, runs_alone=True)) == ""


@pytest.mark.parametrize(
    ("placed", "step", "rule"),
    [
        (LONE, {"escort": chess.BISHOP, "guard": chess.KING}, maxims.GOAL_FIRST),
        (LONE, {"guard": chess.KING}, maxims.GUARD_AND_PUSH),
        (BARRED, {}, maxims.CUT_KING),
        (LONE, {}, ""),
    ],
)
def test_a_step_of_a_pawn_teaches_by_who_guards_it(placed: str, step: dict[str, Any], rule: str) -> None:
    given = facts(placed, "e2e3", ideas={PawnStep: {**STEP, **step}})
    assert pawns.pawn_maxim(given) == rule
    idea: Any = given.seen.idea(PawnStep)
    assert pawns.escorted(idea, given) == (leads.pawn_on(given) if "escort" in step else "")
