"""What of a better move a slip is told to have missed, in which order and in which words: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.time_given import Gain
from matebot.ideas.king_up import KingUp
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.wording import aftermath, answers, chances, coming, leads, remedies, running_on, unlike
from matebot.wording.reason import Deed, Rank
from tests.wording.better import facts

ROOK, TO_KNIGHT, PAWN = "8/8/8/4k3/8/8/8/K6R w", "8/8/8/4k1n1/8/8/8/K6R w", "8/8/8/4k3/8/8/2P5/K7 w"
QUEEN, TWO = "8/8/8/4k3/8/8/8/K6Q w", ("Kd6", "Kb3")


#: What is told, by the rule that tells it, in the order in which they are asked.
_ASKED = ("runs", "reason", "open", "plan", "to", "sooner", "only", "falls", "another", "time", "line", "few", "then")
_TOLD = {
    "runs": "loses time: better c4, and the pawn runs on",
    "reason": "misses: does reason",
    "open": "leaves d4 open",
    "plan": "misses: does plan",
    "to": "gives Black time: comes up",
    "sooner": "misses Rh4: if Kd6, c8",
    "only": "misses Rh4, the only move that wins: if Kd6, Kb3",
    "falls": aftermath.THROWN,
    "another": "misses: another",
    "time": "gives a check",
    "line": "misses Rh4, which shuts rank 4 to Black's king",
    "few": "misses Rh4, which leaves few",
    "then": "misses Rh4: then",
}


RANKS = {Rank.REASON: "reason", Rank.PLAN: "plan"}


@pytest.mark.parametrize("first", range(len(_ASKED)))
def test_what_was_missed_is_told_by_the_first_rule_that_has_something_to_say(
    monkeypatch: pytest.MonkeyPatch, first: int
) -> None:
    says = {name: _TOLD[name] for name in _ASKED[first:]}
    better = facts(ROOK, "h1h4", san="Rh4", squares_taken=("d4", "f4"), ahead=TWO if "only" in says else ())
    falls = first == _ASKED.index("falls")
    slip = facts(ROOK, "h1h2", gains_now=True, keeping=1 if "only" in says else 2)
    monkeypatch.setattr(chances, "best_ones", lambda _: [better])
    monkeypatch.setattr(chances, "runs_on", lambda *_: says.get("runs", ""))
    does = {Rank.REASON: "reason", Rank.PLAN: "plan"}
    monkeypatch.setattr(
        chances, "_does", lambda *given: f"does {does[given[-1]]}" if does.get(given[-1]) in says else ""
    )
    monkeypatch.setattr(chances, "_misses", lambda one, text, _: f"misses: {text}")
    monkeypatch.setattr(chances, "square_open", lambda _: says.get("open", ""))
    monkeypatch.setattr(chances, "gives_time_to", lambda _: says.get("to", ""))
    monkeypatch.setattr(chances, "_sooner", lambda *_: "if Kd6, c8" if "sooner" in says else "")
    monkeypatch.setattr(chances, "_by_another", lambda *_: says.get("another", ""))
    monkeypatch.setattr(chances, "gives_time", lambda _: says.get("time", ""))
    taken = ("d4", "f4") if "line" in says else ()
    monkeypatch.setattr(remedies, "squares_taken", lambda *_: taken)
    monkeypatch.setattr(chances, "line_taken", lambda squares, _: "shuts rank 4 to Black's king" if squares else "")
    monkeypatch.setattr(chances, "_few_squares", lambda *_: says.get("few", ""))
    monkeypatch.setattr(chances, "_line", lambda *_: "then")
    monkeypatch.setattr(chances, "_straight", lambda *_: "")
    assert chances.chance_missed(slip, better, falls) == _TOLD[_ASKED[first]]
    vars(slip)["by_attacker"] = False
    assert chances.chance_missed(slip, better, falls) == (aftermath.THROWN if falls else "loses time")


@pytest.mark.parametrize(
    ("placed", "told", "slip", "text"),
    [
        (ROOK, {"straight": "misses Kb3"}, {"then": "if"}, "misses Kb3"),
        (ROOK, {}, {"then": "if"}, "misses Rh4: if"),
        (ROOK, {"taken": ("d4",)}, {}, "misses Rh4, which takes d4 from Black's king"),
        (TO_KNIGHT, {"taken": ("d4",)}, {}, "loses time"),
        (ROOK, {"taken": ("d4",), "other": ("c4",)}, {}, "loses time"),
        (ROOK, {}, {"best": 3}, "misses mate in three, beginning with Rh4"),
        (ROOK, {"lost": 1}, {"best": 3}, "loses time"),
        (ROOK, {"weak": "checks"}, {}, "misses: checks"),
        (ROOK, {"straight": "misses Kb3", "ahead": TWO}, {}, "misses Kb3"),
        (ROOK, {"ahead": TWO, "answers": "comes up"}, {}, "misses Rh4: if Kd6, Kb3 comes up"),
        (ROOK, {"ahead": TWO, "driven": "drives it"}, {}, "misses Rh4, which drives it: if Kd6, Kb3"),
        (ROOK, {"ahead": TWO, "driven": "drives it"}, {"check": True}, "loses time: better is Rh4, and if Kd6, Kb3"),
        (ROOK, {"ahead": TWO, "driven": "drives it", "alike": True}, {}, "loses time: better is Rh4, and if Kd6, Kb3"),
        (ROOK, {"ahead": TWO, "pins": "pins it"}, {}, "misses Rh4: if Kd6, Kb3 pins it"),
        (ROOK, {"ahead": TWO, "pins": "pins it", "unlike": "misses it"}, {}, "misses Rh4: if Kd6, Kb3 pins it"),
        (ROOK, {"ahead": TWO, "unlike": "misses it"}, {}, "misses it"),
        (ROOK, {"ahead": TWO, "answers": "brings the king up", "unlike": "misses it"}, {}, "misses it"),
        (ROOK, {"ahead": TWO, "answers": "brings the king up"}, {}, "misses Rh4: if Kd6, Kb3 brings the king up"),
        (ROOK, {"unlike": "misses it"}, {"then": "if Kd6, Kb3"}, "misses Rh4: if Kd6, Kb3"),
        (ROOK, {"unlike": "misses it"}, {"then": "if Kd6, Kb3 brings the king up"}, "misses it"),
        (ROOK, {"unlike": "misses it"}, {"then": "if Kd6, Kb3 attacks the pawn on d4"}, "misses it"),
        (ROOK, {"unlike": "misses it", "ahead": TWO}, {"goes_on": "Kd6 Kb3"}, "misses it"),
        (ROOK, {"ahead": TWO, "replies": 1}, {}, "loses time: better is Rh4, and after Kd6, forced, Kb3"),
        (ROOK, {"ahead": ("Kd6",)}, {}, "loses time"),
        (ROOK, {"ahead": TWO, "answers": "comes up"}, {"goes_on": "Kd6 Kb3"}, "loses time: better is Rh4"),
        (ROOK, {"ahead": TWO, "answers": "comes up"}, {"goes_on": "Kb3 Kd6"}, "misses Rh4: if Kd6, Kb3 comes up"),
    ],
)
def test_where_nothing_else_is_known_the_moves_behind_the_better_one_are_told(
    monkeypatch: pytest.MonkeyPatch, placed: str, told: dict[str, Any], slip: dict[str, Any], text: str
) -> None:
    better = facts(
        placed,
        "h1h4",
        san="Rh4",
        ahead=told.get("ahead", ()),
        lost=told.get("lost", 0),
        replies=told.get("replies", 3),
        squares_taken=told.get("taken", ()),
    )
    other = facts(placed, "h1h3", squares_taken=told.get("other", told.get("taken", ())))
    monkeypatch.setattr(chances, "best_ones", lambda _: [better, other])
    for name in ("runs_on", "square_open", "_sooner", "_by_another", "gives_time", "_few_squares"):
        monkeypatch.setattr(chances, name, lambda *_: "")
    monkeypatch.setattr(chances, "_does", lambda *given: told.get("weak", "") if given[-1] is Rank.WEAK else "")
    monkeypatch.setattr(chances, "_misses", lambda one, text, _: f"misses: {text}")
    monkeypatch.setattr(remedies, "squares_taken", lambda *_: told.get("taken", ()))
    then = slip.pop("then", "")
    monkeypatch.setattr(chances, "_line", lambda *_: then)
    monkeypatch.setattr(chances, "_straight", lambda *_: told.get("straight", ""))
    monkeypatch.setattr(answers, "answer_does", lambda *_: told.get("answers", ""))
    monkeypatch.setattr(leads, "driven", lambda _: told.get("driven", ""))
    monkeypatch.setattr(remedies, "left_alike", lambda *_: told.get("alike", False))
    monkeypatch.setattr(answers, "then_does", lambda _: Deed(told.get("pins", "")))
    monkeypatch.setattr(chances, "unlike_slip", lambda *_: told.get("unlike", ""))
    given = facts(placed, "h1h2", **slip)
    assert chances.chance_missed(given, better, False) == text
    vars(given.given)["gains_now"] = True  # what is done with the time says nothing here
    monkeypatch.setattr(chances, "gives_time_to", lambda _: "")
    assert chances.chance_missed(given, better, False) == text


ANSWER = {"does": Next.BOX, "move": chess.Move.from_uci("a1b2"), "forks": False, "skewers": False}


@pytest.mark.parametrize(
    ("ideas", "answer", "best", "does", "text"),
    [
        ({}, None, "a1b2", "comes up", ""),
        ({Prepares: ANSWER}, None, "a1b2", "comes up", "misses Kb2, which comes up"),
        ({Prepares: ANSWER}, None, "a1a2", "comes up", ""),
        ({Prepares: {**ANSWER, "does": Next.CAPTURE}}, None, "a1b2", "comes up", ""),
        ({}, "a1b2", "a1b2", "comes up", "misses Kb2, which comes up"),
        ({}, "a1b2", "a1b2", "", ""),
        ({}, "a1b2", "a1b2", "comes up: if Kd6, Kb3", ""),
        ({}, "a1b2", "a1b2", "prepares to come up", ""),
        ({}, "a1b2", "a1b2", "wins the rook", ""),
        ({}, "h1h4", "h1h4", "comes up", ""),  # that is the better move itself
    ],
)
def test_a_move_that_is_as_good_at_once_is_told_by_what_it_does(
    monkeypatch: pytest.MonkeyPatch, ideas: dict[type, Any], answer: str | None, best: str, does: str, text: str
) -> None:
    better = facts(ROOK, "h1h4", ideas=ideas, answer=None if answer is None else SimpleNamespace(move=answer))
    monkeypatch.setattr(chances, "best_ones", lambda _: [better, facts(ROOK, best, san="Kb2")])
    monkeypatch.setattr(remedies, "texts", lambda *_: iter([does] if does else []))
    monkeypatch.setattr(chances, "comes_nearer", lambda *_: "")
    assert chances._straight(facts(ROOK, "h1h2"), better) == text
    monkeypatch.setattr(chances, "comes_nearer", lambda *_: "brings the king up")
    up = text or ("misses Kb2, which brings the king up" if not does else "")
    assert chances._straight(facts(ROOK, "h1h2"), better) == up


@pytest.mark.parametrize(
    ("told", "gained", "text"),
    [
        ({"ahead": TWO}, "comes nearer", "gives Black time: comes nearer"),
        ({"ahead": TWO}, "", ""),
        ({"ahead": TWO, "squares_given": ("d6",)}, "comes nearer", "lets go of d6: comes nearer"),
        ({"ahead": TWO, "squares_given": ("d5",)}, "comes nearer", "gives Black time: comes nearer"),
        ({"ahead": ("Rd6",), "squares_given": ("d6",)}, "comes nearer", "gives Black time: comes nearer"),
        ({"squares_given": ("d6",)}, "comes nearer", "gives Black time: comes nearer"),
        (
            {"ahead": TWO, "squares_given": ("d6",), "check": True},
            "comes nearer",
            "gives a check that gains nothing: comes",
        ),
        ({"check": True, "gains": Gain.PUSH}, "comes nearer", ""),
        ({"check": True, "gains": Gain.MAN}, "comes nearer", "gives a check that gains nothing: comes nearer"),
        ({"gains": Gain.PUSH}, "comes nearer", "gives Black time: comes nearer"),
    ],
)
def test_time_is_given_or_a_square_let_go_of_for_what_is_gained(
    monkeypatch: pytest.MonkeyPatch, told: dict[str, Any], gained: str, text: str
) -> None:
    monkeypatch.setattr(chances, "gained", lambda _: gained)
    found = chances.gives_time_to(facts(ROOK, "h1h2", **told))
    assert found.startswith(text) if text else not found


RUNS = "8/8/2P5/8/4k3/8/7R/K7 w"


@pytest.mark.parametrize(
    ("uci", "best", "runs", "saved", "text"),
    [
        ("h2h1", "c6c7", True, None, "loses time: better c7, and the pawn runs on"),
        ("h2h1", "c6c7", False, None, ""),
        ("h2h1", "h2h3", True, None, ""),
        ("c6c7", "c6c7", True, None, ""),
        ("h2h1", "c6c7", True, True, "saves the rook, but loses time: better c7, and the pawn runs on"),
        ("h2h1", "c6c7", True, False, "loses time: better c7, and the pawn runs on"),
    ],
)
def test_a_pawn_may_run_on_where_no_other_man_stands_before_it(
    uci: str, best: str, runs: bool, saved: bool | None, text: str
) -> None:
    ideas = {} if saved is None else {Saved: {"moved": saved}}
    assert running_on.runs_on(facts(RUNS, uci, ideas=ideas), [facts(RUNS, best, san="c7", runs=runs)]) == text


def test_a_pawn_that_takes_or_promotes_does_not_only_run_and_a_man_before_it_stands_in_its_way() -> None:
    for placed, uci in (("8/2P5/8/8/4k3/8/7R/K7 w", "c7c8q"), ("8/3n4/2P5/8/4k3/8/7R/K7 w", "c6d7")):
        assert running_on.pawn_that_runs([facts(placed, uci, runs=True)]) is None
    placed = "8/8/2P5/8/4k3/8/2R5/K7 w"
    before = facts("8/7R/2P5/8/4k3/8/8/K7 w", "h7c7", runs=True)
    stands = running_on.runs_on(before, [facts(placed, "c6c7", runs=True, san="c7")])
    assert stands.startswith("stands in the pawn's way")


@pytest.mark.parametrize(
    ("placed", "uci", "text", "told", "found"),
    [
        (ROOK, "h1h4", "takes e4", {}, "misses Rh4, which takes e4"),
        (ROOK, "h1h4", "takes e4: if Kd6, Kb3", {}, "misses Rh4, which takes e4"),
        ("8/2P5/8/8/4k3/8/8/K7 w", "c7c8q", "makes a queen: mate comes", {}, "misses Rh4"),
        ("8/2P5/8/8/4k3/8/8/K7 w", "c7c8q", "takes e4", {}, "misses Rh4, which takes e4"),
        ("8/8/8/4k3/7n/8/8/K6R w", "h1h4", "takes the knight", {}, "misses Rh4, which takes the"),
        ("8/8/8/4k3/7n/8/8/K6R w", "h1h4", "shrinks the box", {}, "misses Rh4, which shrinks the box"),
        (QUEEN, "h1h4", "checks", {"checks": "checks"}, "misses Rh4, which hits king and rook"),
        (ROOK, "h1h4", "checks", {"checks": "checks"}, "misses Rh4, which checks"),
        ("8/8/8/4k1r1/8/8/8/K6Q w", "h1h4", "checks", {"checks": "checks"}, "misses Rh4, which hits king and rook"),
        ("8/8/8/4k1r1/8/8/8/K6Q w", "h1h4", "checks", {"checks": "checks", "hits": False}, "misses Rh4, which checks"),
        ("8/8/8/4k3/8/8/1r6/K6Q w", "h1h4", "checks", {"checks": "checks"}, "misses Rh4, which checks"),
        (
            ROOK,
            "h1h4",
            "heads for the centre: it helps",
            {"off": True},
            "misses Rh4, which brings the king off the edge",
        ),
        (ROOK, "h1h4", "leaves the edge: it helps", {"off": True}, "misses Rh4, which brings the king off"),
        (ROOK, "h1h4", "heads for the centre: it helps", {}, "misses Rh4, which heads for the centre"),
        (ROOK, "h1h4", "takes e4", {"prepared": True, "lead": "drives it: so"}, "misses Rh4, which drives it: so"),
        (ROOK, "h1h4", "takes e4", {"lead": "drives it: so"}, "misses Rh4, which takes e4"),
        (
            ROOK,
            "h1h4",
            "takes e4",
            {"prepared": True, "lead": "drives it: so", "up": True},
            "misses Rh4, which takes e4",
        ),
        (
            ROOK,
            "h1h4",
            "takes e4",
            {"prepared": True, "lead": "drives it: so", "up": True, "driven": True},
            "misses Rh4, which drives it: so",
        ),
        (ROOK, "h1h4", "takes e4", {"prepared": True, "nearer": "comes up"}, "misses Rh4, which comes up"),
        (ROOK, "h1h4", "takes e4", {"prepared": True, "nearer": "comes up", "up": True}, "misses Rh4, which takes e4"),
        (ROOK, "h1h4", "takes e4", {"nearer": "comes up"}, "misses Rh4, which takes e4"),
        (ROOK, "h1h4", "wins e4", {"prepared": True, "nearer": "comes up"}, "misses Rh4, which wins e4"),
        (QUEEN, "h1h4", "takes e4", {"prepared": True, "taken": ("e4", "d4")}, "misses Rh4, which shuts rank 4 to"),
        (ROOK, "h1h4", "takes e4", {"prepared": True, "taken": ("e4", "d4")}, "misses Rh4, which takes e4"),
        (QUEEN, "h1h4", "takes e4", {"taken": ("e4", "d4")}, "misses Rh4, which takes e4"),
        (ROOK, "h1h4", "takes e4", {"prepared": True, "then": "if Kd6, Ra6"}, "misses Rh4: if Kd6, Ra6"),
        (ROOK, "h1h4", "prepares e4", {"then": "if Kd6, Ra6"}, "misses Rh4: if Kd6, Ra6"),
        (ROOK, "h1h4", "prepares e4", {"then": "if Kd6, Ra6", "straight": "misses Kb3"}, "misses Kb3"),
        (ROOK, "h1h4", "shrinks e4", {"then": "if Kd6, Ra6"}, "misses Rh4, which shrinks e4"),
    ],
)
def test_what_was_missed_is_told_in_the_words_that_say_most_of_it(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, text: str, told: dict[str, Any], found: str
) -> None:
    said = {
        coming.prepares: text if told.get("prepared") else "else",
        chances._lead_then: told.get("lead", ""),
    }
    monkeypatch.setattr(chances, "_line", lambda *_: told.get("then", ""))
    monkeypatch.setattr(chances, "of", lambda kind, rule: lambda _: said[rule])
    monkeypatch.setattr(leads, "checks", lambda _: told.get("checks", "none"))
    monkeypatch.setattr(leads, "driven", lambda _: "drives it" if told.get("driven") else "")
    monkeypatch.setattr(chances, "comes_nearer", lambda *_: told.get("nearer", ""))
    monkeypatch.setattr(chances, "_straight", lambda *_: told.get("straight", ""))
    monkeypatch.setattr(remedies, "off_edge", lambda *_: told.get("off", False))
    more = {"hits": told["hits"]} if "hits" in told else {}
    better = facts(placed, uci, san="Rh4", squares_taken=told.get("taken", ()), **more)
    slip = facts(placed, uci, ideas={KingUp: {}} if told.get("up") else {})
    assert chances._misses(better, text, slip).startswith(found)


OFF, PUSH = "8/8/8/4k3/8/8/1P6/K6R w", "b2b4"
ELSEWHERE = {"flights": ("f6",)}


@pytest.mark.parametrize(
    ("uci", "slip", "best", "off", "text"),
    [
        ("a1a2", {}, {}, False, "loses time: better is Rh4"),
        (
            "a1a2",
            {"goals": ("d6",), "ahead": TWO},
            ELSEWHERE,
            False,
            "lets Black's king come to d6: better is Rh4",
        ),
        ("a1a2", {"goals": ("d6",), "ahead": TWO}, {}, False, "loses time: better is Rh4"),
        ("a1a2", {"goals": ("d6", "d5"), "ahead": TWO}, ELSEWHERE, False, "loses time: better is Rh4"),
        ("a1a2", {"goals": ("d5",), "ahead": TWO}, ELSEWHERE, False, "loses time: better is Rh4"),
        ("a1a2", {"goals": ("d6",), "ahead": ("Nd6",)}, ELSEWHERE, False, "loses time: better is Rh4"),
        ("a1a2", {}, {}, True, "misses Rh4, which brings the king off the edge"),
        ("a1b1", {}, {"push": True}, False, "loses time: better is Rh4 or b4"),
        ("h1h4", {}, {"push": True}, False, "loses time: better is Rh4"),
    ],
)
def test_where_the_line_is_the_same_after_the_slip_a_square_the_edge_or_the_pawn_is_told(
    monkeypatch: pytest.MonkeyPatch, uci: str, slip: dict[str, Any], best: dict[str, Any], off: bool, text: str
) -> None:
    pushes = [facts(OFF, PUSH, san="b4")] if best.pop("push", False) else []
    better = facts(OFF, uci, san="Rh4", **best)
    monkeypatch.setattr(remedies, "off_edge", lambda *_: off)
    monkeypatch.setattr(chances, "unlike_slip", lambda *_: "")
    assert chances.without_line(facts(OFF, "h1h2", **slip), better, [better, *pushes]) == text


@pytest.mark.parametrize(
    ("placed", "taken", "slip", "does", "text"),
    [
        (ROOK, ("d4", "e4"), {}, "", "misses Rh4, which takes d4 and e4 from Black's king"),
        (ROOK, ("d4", "e4"), {"squares_taken": ("e4",)}, "", ""),
        (ROOK, ("d4", "e4", "f4", "d5"), {}, "", ""),
        (ROOK, ("d4",), {"check": True}, "brings it up", "misses Rh4, which brings it up"),
        (TO_KNIGHT, ("d4",), {}, "", ""),
        (ROOK, (), {}, "brings it up", "misses Rh4, which brings it up"),
    ],
)
def test_what_the_slip_does_not_do_is_told_though_a_move_as_bad_may_do_it(
    monkeypatch: pytest.MonkeyPatch, placed: str, taken: tuple[str, ...], slip: dict[str, Any], does: str, text: str
) -> None:
    monkeypatch.setattr(unlike, "deed", lambda *_: does)
    monkeypatch.setattr(unlike, "comes_nearer", lambda *_: "")
    better = facts(placed, "h1h4", san="Rh4", squares_taken=taken)
    assert unlike.unlike_slip(facts(placed, "h1h2", **slip), better) == text


HIT = "8/8/8/4k3/7n/8/8/K6Q w"


@pytest.mark.parametrize(
    ("placed", "uci", "told", "forks"),
    [
        (HIT, "h1e1", {"check": True, "replies": 1}, True),
        (HIT, "h1e1", {"replies": 1}, False),
        (HIT, "a1b2", {"check": True, "replies": 1}, False),
        (ROOK, "h1e1", {"check": True, "replies": 1}, False),
        (HIT, "h1e1", {"check": True, "replies": 2}, False),
        (HIT, "h1e1", {"check": True, "replies": 0, "flights": ()}, False),
        (HIT, "h1e1", {"check": True, "replies": 1, "flights": ("g5",)}, False),
        (HIT, "h1e1", {"check": True, "replies": 1, "guards": False}, False),
    ],
)
def test_a_check_forks_the_only_other_man_where_no_step_of_the_king_guards_it(
    placed: str, uci: str, told: dict[str, Any], forks: bool
) -> None:
    assert chances._forks(facts(placed, uci, **told)) == forks
    better, slip = facts(placed, uci, san="Qe1+", **told), facts(placed, "a1a2")
    vars(slip)["no_better"] = []
    missed = "misses the fork Qe1+, which hits king and knight"
    assert (chances._misses(better, "shrinks the box", slip) == missed) == forks
    vars(slip)["no_better"] = [better]
    assert chances._misses(better, "shrinks the box", slip) != missed


def test_a_line_is_told_where_it_is_not_as_good_after_the_slip(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chances, "_then", lambda *_: "if Kd6, Rh6+")
    better = facts(ROOK, "h1h4", ideas={Prepares: {"reply": "Kd6", "move": "Rh6+"}})
    assert chances._line(facts(ROOK, "h1h2"), better) == "if Kd6, Rh6+"
    assert chances._line(facts(ROOK, "h1h2", goes_on="Kd6 Rh6+"), better) == ""
    assert chances._line(facts(ROOK, "h1h2"), facts(ROOK, "h1h4")) == ""
