"""How what a better move does is told in brief, with the moves after it or of a man it wins: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.prepares import Next
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import answers, attack, chances, coming, hunting, king_and_pawn, leads, remedies
from matebot.wording.reason import Deed
from tests.wording.better import facts

ROOK, TO_KNIGHT, PAWN = "8/8/8/4k3/8/8/8/K6R w", "8/8/8/4k1n1/8/8/8/K6R w", "8/8/8/4k3/8/8/2P5/K7 w"
QUEEN, TWO = "8/8/8/4k3/8/8/8/K6Q w", ("Kd6", "Kb3")


LINE = {"reply": chess.Move.from_uci("e5d6"), "move": chess.Move.from_uci("h1h6"), "forced": False, "fastest": True}


@pytest.mark.parametrize(
    ("idea", "told", "lead", "then"),
    [
        ({"does": Next.SHUTS}, {"driven": "drives it"}, "drives it: if Kd6, Rh6+ shuts the king in", ""),
        ({"does": Next.SHUTS}, {"up": "comes up"}, "comes up: if Kd6, Rh6+ shuts the king in", ""),
        ({"does": Next.SHUTS, "forced": True}, {"up": "comes up"}, "comes up: after Kd6, forced, Rh6+ shuts", ""),
        ({"does": Next.SHUTS}, {}, "", "if Kd6, Rh6+ shuts the king in"),
        ({"does": Next.SHUTS, "forced": True}, {}, "", "after Kd6, forced, Rh6+ shuts the king in"),
        ({"does": Next.SHUTS, "fastest": False}, {}, "", ""),
        ({"does": Next.SHUTS, "fastest": False}, {"up": "comes up"}, "", ""),
        ({"does": Next.CAPTURE}, {}, "", ""),
        ({"does": Next.CAPTURE}, {"up": "comes up"}, "", ""),
        ({"does": Next.KING_UP}, {"up": "comes up"}, "", ""),
        ({"does": Next.CUTS_OFF}, {"up": "comes up"}, "comes up: if Kd6, Rh6+ cuts the king off", ""),
        ({"does": Next.CUTS_OFF}, {"up": "comes up", "name": "Kb2"}, "", ""),
        ({"does": Next.BOX}, {"up": "comes up", "name": "Kb2"}, "comes up: if Kd6, Kb2", ""),
    ],
)
def test_the_next_moves_are_told_with_what_leads_to_them(
    monkeypatch: pytest.MonkeyPatch, idea: dict[str, Any], told: dict[str, Any], lead: str, then: str
) -> None:
    monkeypatch.setattr(leads, "driven", lambda _: told.get("driven", ""))
    monkeypatch.setattr(chances, "comes_up", lambda _: told.get("up", ""))
    better = facts(ROOK, "h1h4")
    vars(better.seen)["name_after"] = lambda *moves: ("Kd6", told.get("name", "Rh6+"))[len(moves) - 1]
    given: Any = SimpleNamespace(**{**LINE, **idea})
    for text, found in ((lead, chances._lead_then(given, better)), (then, chances._then(given, better))):
        assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("mine", "wanted", "text"),
    [
        (None, (4, Next.PROMOTION), "if Kd6, Rh6+, and the pawn promotes"),
        (None, (6, Next.PROMOTION), ""),
        (None, (4, Next.MATE), ""),
        ((4, Next.PROMOTION), (4, Next.PROMOTION), ""),
        ((6, Next.PROMOTION), (4, Next.PROMOTION), "if Kd6, Rh6+, and the pawn promotes"),
        ((2, Next.MATE), (4, Next.PROMOTION), "if Kd6, Rh6+, and the pawn promotes"),
        ((4, Next.PROMOTION), None, ""),
    ],
)
def test_a_pawn_promotes_sooner_after_the_better_move(
    mine: tuple[int, Next] | None, wanted: tuple[int, Next] | None, text: str
) -> None:
    def shown(led: tuple[int, Next] | None) -> dict[type, dict[str, Any]]:
        return {} if led is None else {LeadsTo: {"line": (chess.Move.null(),) * led[0], "does": led[1]}}

    assert chances._sooner(facts(PAWN, "a1b2", ideas=shown(mine)), facts(PAWN, "c2c4", ideas=shown(wanted))) == text


@pytest.mark.parametrize(
    ("text", "brief"),
    [
        ("prepares mate: if Kd6, Rh6; so it goes", "prepares mate: if Kd6, Rh6"),
        ("wins the rook: if Kd6, Rh6; so it goes", "wins the rook: if Kd6, Rh6"),
        ("comes up and takes e4", "brings the king up"),
        ("comes nearer and takes e4", "brings the king up"),
        ("takes e4: the king has only d6", "makes the cage smaller"),
        ("takes e4 from the king's cage", "makes the cage smaller"),
        ("takes e4 from Black's king", "takes e4 from Black's king"),
        ("shuts e4: the king has only d6", "shuts e4"),
        ("moves the wall of the box to rank 4", "shrinks the box"),
        ("guards the rook and shuts d4", "guards the rook"),
        ("clears the way for the pawn, which runs by itself", "clears the way for the pawn"),
    ],
)
def test_a_deed_is_told_in_brief(text: str, brief: str) -> None:
    assert chances._brief(text) == brief


@pytest.mark.parametrize(
    ("placed", "answer", "texts", "text"),
    [
        (ROOK, True, ["pins it: if Kd6, Kb3", "pins the rook; so it goes"], "pins the rook"),
        (ROOK, True, ["shuts rank 4"], "shuts rank 4"),
        (TO_KNIGHT, True, ["shuts rank 4"], ""),
        (PAWN, True, ["shuts rank 4"], ""),
        (TO_KNIGHT, True, ["shuts rank 4", "attacks the knight"], "attacks the knight"),
        (ROOK, True, ["waits"], ""),
        (ROOK, False, ["pins the rook"], ""),
    ],
)
def test_the_move_after_the_reply_is_told_by_the_first_reason_that_needs_no_more_moves(
    monkeypatch: pytest.MonkeyPatch, placed: str, answer: bool, texts: list[str], text: str
) -> None:
    monkeypatch.setattr(attack, "reasons", lambda _: map(Deed, texts))
    better = facts(placed, "a1b2", answer=SimpleNamespace() if answer else None)
    assert answers.then_does(better).text == text


@pytest.mark.parametrize(
    ("own", "lost", "slip", "text"),
    [
        ("pins the knight", {}, {}, "misses: pins the knight"),
        ("shuts rank 4", {}, {}, "misses Rh4: away from its king the knight on g5 is lost"),
        ("", {"corner": chess.H8}, {}, "misses Rh4: by h8, a corner of the bishop's colour, Black's king is lost"),
        ("", {"hits": True}, {}, "misses Rh4, which attacks the knight: away from its king it is lost"),
        ("", {"hits": True}, {"hits": True}, ""),
        ("", {"near": True}, {}, "misses Rh4, which attacks the knight: away from its king it is lost"),
        ("", {"apart": "cuts it off from its knight"}, {}, "misses Rh4, which cuts it off from its knight"),
        (
            "",
            {"apart": "cuts it off from its knight"},
            {"apart_too": True},
            "misses Rh4: away from its king the knight on",
        ),
        ("", {"apart": "cuts it off"}, {}, "misses Rh4: away from its king the knight on g5 is lost"),
        ("", None, {}, ""),
    ],
)
def test_a_minor_man_away_from_its_king_would_be_lost(
    monkeypatch: pytest.MonkeyPatch, own: str, lost: dict[str, Any] | None, slip: dict[str, Any], text: str
) -> None:
    monkeypatch.setattr(remedies, "own", lambda *_: iter([Deed(own)] if own else []))
    monkeypatch.setattr(chances, "_misses", lambda one, text, _: f"misses: {text}")
    monkeypatch.setattr(chances, "_apart_too", lambda *_: slip.get("apart_too", False))
    monkeypatch.setattr(coming, "threatens", lambda idea, _: "attacks" if idea.threat is Threat.CAPTURE else "")
    monkeypatch.setattr(hunting, "attacks", lambda *_: "attacks")
    ideas: dict[type, dict[str, Any]] = {}
    if lost is not None:
        ideas = {MinorLost: {"corner": lost.get("corner"), "minor": chess.KNIGHT, "square": chess.G5}}
        ideas |= {Threatens: {"threat": Threat.CAPTURE}} if lost.get("hits") else {}
        ideas |= {NearsMan: {}} if lost.get("near") else {}
    better = facts(TO_KNIGHT, "h1h4", san="Rh4", ideas=ideas)
    apart = "" if lost is None else lost.get("apart", "")
    monkeypatch.setattr(chances, "_PARTS", (lambda one: apart if one is better else "",))
    given = facts(TO_KNIGHT, "h1h2", ideas={Threatens: {"threat": Threat.CAPTURE}} if slip.get("hits") else {})
    assert chances.lost_man(given, better).startswith(text) if text else not chances.lost_man(given, better)


def test_of_a_king_with_its_pawn_key_squares_come_before_the_opposition(monkeypatch: pytest.MonkeyPatch) -> None:
    said = {"key_square": "stands", "to_key_squares": "heads", "opposes": "opposes"}
    monkeypatch.setattr(chances, "in_short", lambda text: text)
    monkeypatch.setattr(chances, "of", lambda kind, rule: lambda _: said["opposes"])
    monkeypatch.setattr(king_and_pawn, "key_square", lambda _: said["key_square"])
    monkeypatch.setattr(king_and_pawn, "to_key_squares", lambda _: said["to_key_squares"])
    better = facts(PAWN, "a1b2")
    for name in said:
        assert chances.of_keys(better) == said[name]
        said[name] = ""
