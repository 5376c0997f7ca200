"""A good move in a game looked over is told by the first thing it does that was not told lately, or not at all."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from matebot.solver.tables import Tables
from matebot.terms import Cause
from matebot.wording import anew
from matebot.wording.anew import Anew, pattern, told_anew
from matebot.wording.reason import Deed
from tests.wording.sampling import maker_for


def facts_of(tables: Tables, fen: str, san: str) -> MoveFacts:
    board = chess.Board(fen)
    return maker_for(Library(tables), board).facts(board.parse_san(san))


@pytest.mark.parametrize(
    ("fen", "san", "first"),
    [
        ("8/8/3k4/8/3K4/8/8/1R6 w - - 0 1", "Rb6+", "Rb6+ "),
        ("8/6K1/8/3k4/5R2/8/8/8 b - - 0 1", "Ke5", "Ke5 "),
    ],
)
def test_what_was_told_lately_is_not_told_again_but_the_next_thing_is(
    tables: Tables, fen: str, san: str, first: str
) -> None:
    facts, said, sentences = facts_of(tables, fen, san), set[str](), list[str]()
    while (told := told_anew(facts, False, said)).sentences:
        sentences.append(told.sentences[0])
        assert not said & set(told.lately)
        said.update(told.lately)
    assert sentences[0].startswith(first)
    assert len(set(sentences)) == len(sentences) > 1


@pytest.mark.parametrize(
    ("fen", "san"),
    [
        ("7k/8/5K2/6Q1/8/8/8/8 b - - 0 1", "Kh7"),  # the only legal move
        ("8/8/8/8/8/2k5/8/K2B4 w - - 0 1", "Be2"),  # neither side can ever mate
    ],
)
def test_a_move_without_a_choice_is_not_told(tables: Tables, fen: str, san: str) -> None:
    assert not told_anew(facts_of(tables, fen, san), False, ()).sentences


@pytest.mark.parametrize(
    ("text", "other", "same"),
    [
        ("takes the opposition and shuts d3", "takes the opposition and shuts c5", True),
        ("prepares mate: if Ka1, Bd4#", "prepares mate: if Rxb2+, Nc3", True),
        (
            "brings the pawn nearer to promotion: 3 more moves",
            "brings the pawn nearer to promotion: 2 more moves",
            True,
        ),
        ("tightens the cage at a2: 6 squares left", "tightens the cage at c1: 6 squares left", True),
        ("tightens the cage at a2: 6 squares left", "tightens the cage at c1: 4 squares left", False),
        ("goes on with the W, step 2 of 4", "goes on with the W, step 3 of 4", False),
        ("guards the rook on e4", "guards the bishop on e4", False),
    ],
)
def test_what_is_said_of_other_squares_is_the_same_unless_it_tells_how_far_the_king_is_shut_in(
    text: str, other: str, same: bool
) -> None:
    assert (pattern(text) == pattern(other)) == same


@pytest.mark.parametrize(
    ("found", "tests", "said", "critical"),
    [
        (True, True, (), True),
        (False, True, (), False),
        (True, False, (), False),
        (True, True, (anew._CRITICAL,), False),
    ],
)
def test_a_defence_that_alone_lasts_longest_is_told_so_once_and_then_by_what_it_tries(
    found: bool, tests: bool, said: tuple[str, ...], critical: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(anew, "purposes", lambda facts: ["attacks the rook"])
    monkeypatch.setattr(anew, "is_test", lambda idea, facts: tests)
    monkeypatch.setattr(anew, "any_other", lambda idea, facts: "every other move is mated sooner")
    seen = SimpleNamespace(idea=lambda kind: SimpleNamespace() if found else None)
    told = anew._defence(cast("MoveFacts", SimpleNamespace(san="Ke5", seen=seen)), said)
    longest = (f"Ke5 {anew._CRITICAL}: it attacks the rook.", "Every other move is mated sooner.")
    assert told.sentences == (longest if critical else ("Ke5 attacks the rook.",))
    assert (anew._CRITICAL in told.lately) == critical


def bare(**told: Any) -> MoveFacts:
    """Return facts of a move that neither is forced nor loses anything, and as told."""
    beside = SimpleNamespace(keeping=told.pop("keeping", 2), choices=told.pop("choices", 3))
    worth = SimpleNamespace(cause_before=told.pop("cause", Cause.BALANCE), outcome_after=told.pop("outcome", 0))
    given = {"san": "Ke5", "by_attacker": False, "beside": beside, "worth": worth, **told}
    return cast("MoveFacts", SimpleNamespace(seen=SimpleNamespace(why_drawn=SimpleNamespace()), **given))


HELD, HELD_ON = "a bishop holds the pawn", "the bishop holds the pawn on e4"
KIND, DRAWS = "drawn by SimpleNamespace", "is the only move that draws."


@pytest.mark.parametrize(
    ("why", "told", "said", "sentences"),
    [
        (HELD, {}, (), ["Ke5 keeps the draw: a bishop holds the pawn."]),
        (HELD, {"by_attacker": True}, (), ["Ke5 leaves it drawn: a bishop holds the pawn."]),
        (HELD, {"keeping": 1}, (), ["Ke5 keeps the draw: a bishop holds the pawn.", f"It {DRAWS}"]),
        (HELD, {"keeping": 1}, (anew._ONLY,), ["Ke5 keeps the draw: a bishop holds the pawn."]),
        (HELD, {"keeping": 1}, (HELD,), [f"Ke5 {DRAWS}"]),
        (HELD, {}, (f"{HELD} for long",), []),
        (HELD, {}, (KIND,), []),
        (HELD, {"keeping": 1}, (KIND,), [f"Ke5 {DRAWS}"]),
        (HELD_ON, {}, (KIND,), [f"Ke5 keeps the draw: {HELD_ON}."]),
        (HELD_ON, {}, (KIND, HELD_ON.replace("e4", "*")), []),
        ("", {"keeping": 1}, (), [f"Ke5 {DRAWS}"]),
        ("", {}, (), []),
    ],
)
def test_why_it_is_drawn_is_told_once_and_then_only_what_else_there_is(
    monkeypatch: pytest.MonkeyPatch, why: str, told: dict[str, Any], said: tuple[str, ...], sentences: list[str]
) -> None:
    monkeypatch.setattr(anew, "why_drawn", lambda _: why)
    found = told_anew(bare(**told), False, said)
    assert list(found.sentences) == sentences
    drawn = bool(sentences) and sentences[0].startswith("Ke5 keeps" if "by_attacker" not in told else "Ke5 leaves")
    assert found.once == ((pattern(why), KIND) if drawn else ())
    assert found.lately == ((anew._ONLY,) if sentences and DRAWS in sentences[-1] else ())


@pytest.mark.parametrize(
    ("told", "kind"),
    [
        ({"cause": Cause.DEAD_POSITION}, None),
        ({"choices": 1}, None),
        ({"outcome": 0}, "_drawn"),
        ({"outcome": 0, "by_attacker": True}, "_drawn"),
        ({"outcome": 1, "by_attacker": True}, "_attack"),
        ({"outcome": -1}, "_defence"),
    ],
)
def test_what_is_told_goes_by_what_the_move_comes_to_and_by_who_makes_it(
    monkeypatch: pytest.MonkeyPatch, told: dict[str, Any], kind: str | None
) -> None:
    for name in ("_drawn", "_attack", "_defence"):
        monkeypatch.setattr(anew, name, lambda *_, name=name: Anew((name,)))
    assert told_anew(bare(**told), False, ()).sentences == (() if kind is None else (kind,))


@pytest.mark.parametrize(
    ("said", "hints", "shows", "sentences"),
    [
        ((), True, False, ("Ke5 takes e4.", "True")),
        ((), True, True, ("Ke5 takes e4.", "False")),
        ((), False, False, ("Ke5 takes e4.", "False")),
        (("takes *",), False, False, ("Ke5 waits.", "False")),
        (("takes *", "waits"), True, False, ("Ke5 is the only move that wins.",)),
    ],
)
def test_a_move_of_the_attacker_is_told_by_the_first_thing_it_does_that_was_not_told(
    monkeypatch: pytest.MonkeyPatch, said: tuple[str, ...], hints: bool, shows: bool, sentences: tuple[str, ...]
) -> None:
    monkeypatch.setattr(anew, "reasons", lambda _: [Deed("takes e4"), Deed("waits")])
    monkeypatch.setattr(anew, "purposes", lambda _: ["attacks the rook on b4"])
    monkeypatch.setattr(anew, "shows_answer", lambda *_: shows)
    monkeypatch.setattr(anew, "worth_knowing", lambda _, told, deed: [str(told)])
    given = bare(by_attacker=True, outcome=1, keeping=1)
    assert told_anew(given, hints, said).sentences == sentences
    assert anew.leading(given) == ("takes *",)
    assert anew.leading(bare()) == ("attacks the rook on *",)
