"""What is told and taught of a man that a slip gives away, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.saved import Saved
from matebot.terms import Mistake
from matebot.wording import losses, maxims
from matebot.wording.missed import step_as_good
from tests.wording.bare import facts_of


def facts(placed: str, uci: str, loses: str | None = None, reply: str = "", **told: Any) -> MoveFacts:
    """Return facts of a slip that gives a man away by a reply, and as told."""
    board = chess.Board(f"{placed} - - 0 1")
    board.push_uci(uci)
    cost = SimpleNamespace(
        loses=loses,
        loses_to=reply,
        loose_before=told.pop("loose_before", False),
        retaken=told.pop("retaken", None),
        mistake=told.pop("mistake", Mistake.OUTCOME),
        moves_lost=told.pop("lost", 0),
    )
    saved, let_go = told.pop("saved", None), told.pop("let_go", ())
    given: dict[str, Any] = {
        "san": chess.Board(f"{placed} - - 0 1").san(chess.Move.from_uci(uci)),
        "cost": cost,
        "seen": SimpleNamespace(idea=lambda kind: saved if kind is Saved else None, lets_go=lambda at: at in let_go),
        "gives": SimpleNamespace(check=board.is_check()),
        "worth": SimpleNamespace(outcome_after=told.pop("outcome", 0)),
        "loose_men": SimpleNamespace(loose=told.pop("loose", ())),
        "held_against": [],
        "no_better": [],
        "reproach": SimpleNamespace(as_good_as_best=("b7b8r", "h1g2")),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=given.pop("by_winner", True), **given)


#: The rook on d4, the bishop, knight, pawn or nothing beside it, may be given to the king.
ALONE, BESIDE = "8/8/8/4k3/8/3R4/8/K7 w", "8/8/8/4k3/8/3R4/7{}/K7 w"


@pytest.mark.parametrize(
    ("placed", "outcome", "text"),
    [
        (ALONE, 0, ", and bare kings are left"),
        (BESIDE.format("N"), 0, ", and a knight alone cannot mate"),
        (BESIDE.format("P"), 1, ", but the pawn still wins"),
        (BESIDE.format("Q"), 1, ", but the queen still wins"),
        (BESIDE.format("R"), 0, ""),  # as where the other rook falls too
        (BESIDE.format("r"), -1, ", and the rook wins"),
        (BESIDE.format("r"), 0, ""),
        (BESIDE.format("p"), -1, ", and the pawn wins"),
        (BESIDE.format("p"), 0, ""),
        (BESIDE.format("n"), 0, ", and a knight alone cannot mate"),
        ("8/8/8/4k3/8/3R3r/7B/K7 w", -1, ""),
    ],
)
def test_of_men_left_it_is_told_whether_the_only_one_wins(placed: str, outcome: int, text: str) -> None:
    assert losses.left_over(facts(placed, "d3d4", "rook", "Kxd4", outcome=outcome)) == text


@pytest.mark.parametrize(
    "told", [{"by_winner": False}, {"loses": "queen"}, {"loses": "pawn"}, {"loses": "rook", "reply": "c1=Q"}]
)
def test_of_what_is_left_nothing_is_told_of_a_defender_a_man_that_was_not_there_or_a_promotion(told: Any) -> None:
    told = {"loses": "rook", "reply": "Kxd4", **told}
    assert losses.left_over(facts(ALONE, "d3d4", told.pop("loses"), told.pop("reply"), **told)) == ""


#: The pawn may promote on b8; the rook takes it there or where it stands.
RUNS = "r7/1P6/8/8/8/8/k7/7K w"


@pytest.mark.parametrize(
    ("slip", "loses", "reply", "better", "promotes"),
    [
        ("h1g1", "pawn", "Rxb7", "b7b8q", True),
        ("h1g1", "pawn", "Rb8", "b7b8q", False),
        ("h1g1", "rook", "Rxb7", "b7b8q", False),
        ("h1g1", "pawn", "Rxb7", "h1g2", False),
        ("b7b8n", "pawn", "Rxb7", "b7b8q", False),
    ],
)
def test_a_pawn_taken_could_have_promoted_where_the_better_move_makes_a_man_of_that_pawn(
    slip: str, loses: str, reply: str, better: str, promotes: bool
) -> None:
    given = facts(RUNS, slip, loses, reply)
    assert losses.promotes_instead(given, facts(RUNS, better)) == promotes
    assert (losses.lost(given, facts(RUNS, better)) == f"gives Black time for {reply}") == promotes
    assert (losses.maxim(given, facts(RUNS, better)) == maxims.QUEEN_AT_ONCE) == promotes


def test_a_pawn_taken_that_the_better_move_only_pushes_could_not_have_promoted() -> None:
    placed = "r7/8/1P6/8/8/8/k7/7K w"
    assert not losses.promotes_instead(facts(placed, "h1g1", "pawn", "Rxb6"), facts(placed, "b6b7"))


@pytest.mark.parametrize(
    ("by_winner", "text"), [(True, "gives the knight away: Rxb8"), (False, "only gives the pawn up: Rxb8")]
)
def test_a_man_made_of_a_pawn_is_told_as_the_pawn_where_the_defender_loses_it(by_winner: bool, text: str) -> None:
    slip = facts(RUNS, "b7b8n", "knight", "Rxb8", by_winner=by_winner)
    assert losses.lost(slip, facts(RUNS, "h1g2")) == text


@pytest.mark.parametrize(
    ("man", "told", "text"),
    [
        (chess.ROOK, {"loose_before": True}, "Rd1 keeps it"),
        (chess.ROOK, {}, ""),
        (chess.ROOK, {"loose_before": True, "retaken": "Kxd4"}, ""),
        (chess.BISHOP, {"loose_before": True}, ""),
        (None, {"loose_before": True}, ""),
    ],
)
def test_the_move_that_keeps_a_man_is_named_where_that_man_was_attacked(
    man: int | None, told: dict[str, Any], text: str
) -> None:
    saved = None if man is None else SimpleNamespace(man=man)
    assert losses.kept_by(facts(ALONE, "d3d4", "rook", "Kxd4", **told), facts(ALONE, "d3d1", saved=saved)) == text


BISHOPS = "8/8/8/8/3kB3/8/3B4/K7 w"


@pytest.mark.parametrize(
    ("uci", "told", "rule"),
    [
        ("a1a2", {"loose": ("e4", "d2")}, maxims.SAVE_FIRST),
        ("a1a2", {"loose": ("e4", "d2"), "let_go": (chess.E4,)}, maxims.STAY_ON_GUARD),
        ("d2e3", {"loose": ("e4", "e3"), "let_go": (chess.E3,)}, maxims.SAVE_FIRST),
        ("a1a2", {"loose": ("e4",)}, maxims.WHAT_CAN_BE_TAKEN),
        ("a1a2", {"loose": ("e4", "d2"), "mistake": Mistake.MAN}, maxims.WHAT_CAN_BE_TAKEN),
    ],
)
def test_of_two_men_that_hang_it_is_taught_to_save_one_or_not_to_let_it_go(
    uci: str, told: dict[str, Any], rule: str
) -> None:
    assert losses.maxim(facts(BISHOPS, uci, "bishop", "Kxe4", **told), facts(BISHOPS, uci)) == rule


@pytest.mark.parametrize(
    ("uci", "reply", "told", "text"),
    [
        ("a1a2", "Kxe4", {"loose": ("e4", "d2")}, "leaves both bishops hanging: Kxe4 or Kxd2"),
        (
            "a1a2",
            "Kxe4",
            {"loose_before": True},
            "does not save the bishop on e4: Kxe4, and a bishop alone cannot mate",
        ),
        ("a1a2", "Kxe4", {"retaken": "Kb2"}, "gives the bishop on e4 for the king: Kxe4 Kb2"),
    ],
)
def test_a_man_lost_is_told_with_the_other_that_hangs_with_what_takes_back_and_whether_it_was_attacked(
    uci: str, reply: str, told: dict[str, Any], text: str
) -> None:
    assert losses.lost(facts(BISHOPS, uci, "bishop", reply, **told), facts(BISHOPS, uci)) == text


@pytest.mark.parametrize(
    ("slip", "better", "told", "step"),
    [
        ("h1g1", "b7b8q", {}, "Kg2"),
        ("h1g1", "h1g2", {}, None),
        ("b7b8n", "b7b8q", {}, None),
        ("h1g1", "b7b8q", {"mistake": Mistake.OUTCOME}, None),
        ("h1g1", "b7b8q", {"loses": "pawn"}, None),
    ],
)
def test_a_step_as_good_as_a_promotion_is_looked_for_where_only_time_is_lost(
    slip: str, better: str, told: dict[str, Any], step: str | None
) -> None:
    good = [facts(RUNS, "b7b8r"), facts(RUNS, "h1g2")]
    given = facts(RUNS, slip, **{"mistake": Mistake.MOVES, "held_against": good, **told})
    found = step_as_good(given, facts(RUNS, better))
    assert (None if found is None else found.san) == step
