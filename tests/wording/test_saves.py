"""How a man is saved or let go is told, and what is told beside it: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.lets_go import LetsGo
from matebot.ideas.refutation import Means
from matebot.ideas.safe_here import SafeHere
from matebot.ideas.saved import Saved
from matebot.wording import maxims, saves
from matebot.wording.reason import NO_DEED, Deed
from tests.wording.bare import facts_of

ROOK, AGAINST = "8/8/8/3k4/8/8/8/K3R3 w", "8/8/8/3k3n/8/8/8/K3R3 w"
KING, KNIGHT = chess.KING, chess.KNIGHT


def facts(placed: str = ROOK, uci: str = "e1e2", **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, by their kinds, and as told."""
    ideas = told.get("ideas", {})
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        answers_check=told.get("in_check", False),
        discovers_check=told.get("discovers", False),
        name=lambda *moves: ("Rf1", "Ng3")[len(moves) - 1],
        name_after=lambda *moves: ("Kxe2", "Kc2")[len(moves) - 1],
        slower_moves=SimpleNamespace(sharing=lambda _: [(chess.Move.from_uci(u), None) for u in told.get("later", ())]),
    )
    worth = SimpleNamespace(mate_moves=told.get("mate", 20), outcome_after=1)
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, seen=seen, worth=worth)


def saved(by: int = KING, moved: bool = True) -> dict[type, dict[str, Any]]:
    return {Saved: {"man": chess.ROOK, "by": by, "moved": moved}}


@pytest.mark.parametrize(
    ("uci", "by", "moved", "text"),
    [
        ("e1e2", KNIGHT, True, "saves the rook from the knight"),
        ("e1e2", KNIGHT, False, "saves the rook from the knight"),
        ("a1b2", KING, False, "guards the rook from the king"),
        ("e1e4", KING, True, "saves the rook: it is guarded there"),
        ("e1e3", KING, True, "saves the rook from the king"),
        ("e1e2", KING, True, "saves the rook: there the king cannot attack it at once"),
    ],
)
def test_a_man_is_saved_from_another_or_from_the_king_by_how_far_it_goes(
    uci: str, by: int, moved: bool, text: str
) -> None:
    idea = SimpleNamespace(man=chess.ROOK, by=by, moved=moved)
    assert saves.saved(idea, facts(ROOK, uci)) == text  # type: ignore[arg-type]


MOVE = chess.Move.null()


@pytest.mark.parametrize(
    ("placed", "idea", "text", "rule"),
    [
        (ROOK, {}, "saves the rook", maxims.SEE_WHAT_HITS),
        (
            AGAINST,
            {"line": "rank 2", "together": True},
            " and holds king and knight behind rank 2",
            maxims.HOLD_THE_LINE,
        ),
        (AGAINST, {"line": "rank 2"}, None, maxims.HOLD_THE_LINE),
        (ROOK, {"line": "rank 2", "together": True}, None, maxims.HOLD_THE_LINE),
        (ROOK, {"rival": MOVE, "reply": MOVE, "means": Means.FORK}, "; Rf1 allows the fork Ng3", maxims.SEE_FORKS),
        (ROOK, {"rival": MOVE, "means": Means.FORK}, "saves the rook", maxims.SEE_FORKS),
        (ROOK, {"reply": MOVE, "means": Means.FORK}, "saves the rook", maxims.SEE_FORKS),
        (
            ROOK,
            {"rival": MOVE, "reply": MOVE, "means": Means.SKEWER},
            "; Rf1 allows the skewer Ng3",
            maxims.SEE_WHAT_HITS,
        ),
        (ROOK, {"rival": MOVE, "reply": MOVE, "means": Means.MATE}, "; Rf1 allows mate by Ng3", maxims.SEE_WHAT_HITS),
        (ROOK, {"rival": MOVE, "reply": MOVE}, "; Rf1 allows Ng3", maxims.SEE_WHAT_HITS),
        (ROOK, {"rival": MOVE, "reply": MOVE, "means": Means.ATTACK}, "Ng3 attack it again", maxims.SEE_WHAT_HITS),
    ],
)
def test_a_square_where_a_man_is_safe_is_told_by_its_line_or_by_what_hits_it_elsewhere(
    placed: str, idea: dict[str, Any], text: str | None, rule: str
) -> None:
    told = {"line": "", "together": False, "rival": None, "reply": None, "means": None, **idea}
    given = facts(placed, ideas={SafeHere: told, **saved()})
    found = saves.safe_here(SimpleNamespace(**told), given)  # type: ignore[arg-type]
    assert found.startswith("saves the rook") == (text is not None)
    assert found.endswith(text or "")
    assert saves.here_maxim(given) == rule


def test_without_a_square_that_is_told_apart_the_line_is_taught() -> None:
    assert saves.here_maxim(facts()) == maxims.HOLD_THE_LINE


@pytest.mark.parametrize(
    ("uci", "moved", "mate", "text", "new", "rule"),
    [
        ("a7a8q", True, 7, "offers the new queen: if Kxe2, Kc2", True, maxims.MATE_OVER_MAN),
        ("a7a8q", False, 8, "lets the queen go: if Kxe2, Kc2", False, ""),
        ("a1b1", True, None, "offers the queen: if Kxe2, Kc2", False, ""),
        ("a1b1", False, 1, "lets the queen go: if Kxe2, Kc2", False, maxims.MATE_OVER_MAN),
    ],
)
def test_a_man_is_offered_or_let_go_and_that_teaches_near_mate(
    uci: str, moved: bool, mate: int | None, text: str, new: bool, rule: str
) -> None:
    idea: Any = SimpleNamespace(man=chess.QUEEN, moved=moved, capture=MOVE, answer=MOVE)
    given = facts("8/P7/8/3k4/8/8/8/K7 w", uci, mate=mate)
    assert saves.lets_go(idea, given) == text
    assert saves.offers_new(idea, given) == (text if new else "")
    assert saves.go_maxim(given) == rule
    assert saves._runs(idea, facts(ideas={LetsGo: {}})) == ""


@pytest.mark.parametrize(
    ("placed", "uci", "ideas", "text"),
    [
        ("8/8/8/3k4/8/8/8/K3R3 w", "e1e8", saved(), "keeps the e-file shut"),
        ("8/8/8/3k4/8/8/8/K3R3 w", "e1e8", saved(KNIGHT), ""),
        ("8/8/8/3k4/8/8/8/K3R3 w", "e1e8", {}, ""),
        ("8/8/8/3k4/8/8/8/K4R2 w", "f1f8", saved(), ""),
        ("8/8/8/3k4/4R3/8/8/K7 w", "e4h4", saved(), "keeps rank 4 shut"),
        ("8/8/8/3k4/8/4R3/8/K7 w", "e3h3", saved(), ""),
        ("8/8/8/3k4/8/8/8/K3Q3 w", "e1e8", saved(), ""),
    ],
)
def test_a_rook_that_goes_along_the_line_beside_the_king_keeps_it_shut(
    placed: str, uci: str, ideas: dict[type, dict[str, Any]], text: str
) -> None:
    assert saves._line_kept(facts(placed, uci, ideas=ideas)) == text


@pytest.mark.parametrize(("later", "kept"), [(["e1f1", "a1e1"], True), (["e1f1", "e1e7"], False)])
def test_a_line_kept_is_no_reason_where_the_rook_wins_later_elsewhere_on_it(later: list[str], kept: bool) -> None:
    given = facts("8/8/8/3k4/8/8/8/K3R3 w", "e1e8", ideas=saved(), later=later)
    assert bool(saves._line_kept(given)) == kept


@pytest.mark.parametrize(
    ("told", "deeds", "texts"),
    [
        ({}, ["does so"], ["does so"]),
        ({"in_check": True}, ["does so"], ["blocks the check and does so"]),
        ({"in_check": True}, ["gives check"], ["gives check"]),
        ({"in_check": True}, ["waits for it"], ["waits for it"]),
        ({"in_check": True, "uci": "a1b2"}, ["comes nearer and does so"], ["steps out of the check and does so"]),
        ({"discovers": True}, ["does so and so"], ["discovers check, does so and so"]),
        ({"discovers": True}, ["does so: this and that"], ["discovers check and does so: this and that"]),
        ({"in_check": True}, ["does so and so"], ["blocks the check and does so and so"]),
        ({"ideas": saved()}, ["does so"], ["saves the rook and does so", "is saved"]),
        ({"ideas": saved(moved=False)}, ["does so"], ["guards the rook and does so", "is saved"]),
        ({"ideas": saved(KNIGHT, moved=False)}, ["does so"], ["saves the rook and does so", "is saved"]),
        ({"ideas": saved()}, ["saves the rook so", "waits"], ["saves the rook so", "is saved"]),
        ({"ideas": saved(), "mate": 2}, ["does so"], ["does so"]),
        ({"ideas": saved(), "mate": 3}, ["does so"], ["saves the rook and does so", "is saved"]),
        ({"ideas": saved(), "won": True}, [], ["is won", "is saved"]),
        ({"ideas": saved(), "placed": "8/8/8/3k4/8/8/4n3/K3R3 w"}, ["does so"], ["does so"]),
    ],
)
def test_what_else_a_move_does_is_told_after_the_check_it_meets_or_the_man_it_saves(
    monkeypatch: pytest.MonkeyPatch, told: dict[str, Any], deeds: list[str], texts: list[str]
) -> None:
    won, is_saved = (SimpleNamespace(name=name) for name in ("is won", "is saved"))
    monkeypatch.setattr(saves, "_WON", won)
    monkeypatch.setattr(saves, "_SAVED", is_saved)
    monkeypatch.setattr(saves, "_BESIDE_SAVING", ())

    def does(reason: Any, facts: MoveFacts) -> Deed:
        return Deed("" if reason is won and not told.get("won") else reason.name, NO_DEED.reason)

    monkeypatch.setattr(saves, "_does", does)
    given = facts(**told)
    assert [deed.text for deed in saves.told(given, [Deed(text, NO_DEED.reason) for text in deeds])] == texts
