"""What two defences show alike is no reason for one of them: asked of what is seen alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.idea import Idea
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import defence
from tests.wording.bare import facts_of

BESIDE = "8/8/3k4/4n3/8/8/8/K6R b"
ATTACK, THERE, MATE = (
    Threatens(kind, chess.Move.from_uci(uci), chess.H1, chess.ROOK)
    for kind, uci in ((Threat.CAPTURE, "e5f3"), (Threat.CAPTURE, "e5g4"), (Threat.MATE, "e5f3"))
)


def facts(uci: str, *ideas: Idea, guards: tuple[int, ...] = (), pawn_moves: int | None = None) -> MoveFacts:
    """Return facts of a defence: the ideas it shows, and squares that it comes to guard."""
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get, comes_to_guard=guards.__contains__, answers_check=False
    )
    return facts_of(f"{BESIDE} - - 0 1", uci, seen=seen, race=SimpleNamespace(pawn_moves=pawn_moves))


def reason(kind: type[Idea] | None = None, said: str = "") -> defence.Reason:
    """Return a reason that names the move, or says the same of all."""
    return defence.Reason(lambda facts, common: f"common {said}" if common else said or f"says {facts.move}", kind=kind)


@pytest.mark.parametrize(
    ("kind", "mine", "his", "guards", "shared"),
    [
        (Threatens, ATTACK, ATTACK, (), True),
        (Threatens, ATTACK, THERE, (), True),  # by which move makes no difference
        (Threatens, ATTACK, MATE, (), False),
        (Threatens, ATTACK, None, (), False),
        (Threatens, ATTACK, None, (chess.H1,), True),
        (Threatens, ATTACK, None, (chess.H2,), False),
        (Threatens, MATE, None, (chess.H1,), False),
        (Threatens, None, None, (chess.H1,), False),
        (None, ATTACK, ATTACK, (chess.H1,), False),
        (AttacksMan, "h1", None, (chess.H1,), True),
        (AttacksMan, "h1 h2", None, (chess.H1,), False),
        (AttacksMan, "h1 h2", None, (chess.H1, chess.H2), True),
        (Threatens, "h1", None, (chess.H1,), False),
    ],
)
def test_a_man_that_is_attacked_is_no_reason_beside_a_defence_that_attacks_it_too(
    kind: type[Idea] | None, mine: Any, his: Idea | None, guards: tuple[int, ...], shared: bool
) -> None:
    if isinstance(mine, str):
        mine = hit(*map(chess.parse_square, mine.split()))
    one, other = ([idea] if idea is not None else [] for idea in (mine, his))
    given = facts("d6d5", *one), facts("d6d7", *other, guards=guards)
    assert defence._shared(reason(kind), *given) == shared


def hit(*squares: chess.Square) -> AttacksMan:
    return AttacksMan(squares, (chess.ROOK,) * len(squares), squares, ())


@pytest.mark.parametrize(
    ("mine", "his", "moves", "shared"),
    [
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.E4, 2, 3), None, True),
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.E4, 1, 3), None, True),
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.E4, 3, 3), None, False),
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.E4, 2, 3), 3, False),
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.F4, 2, 3), None, True),
        (AtPawn(Reach.IN_FRONT, chess.E4, 2, 3), AtPawn(Reach.IN_FRONT, chess.E4, 2, 3), None, True),
        (AtPawn(Reach.IN_FRONT, chess.E4, 2, 3), AtPawn(Reach.NEARER, chess.E4, 1, 3), None, False),
        (AtPawn(Reach.NEARER, chess.E4, 2, 3), None, None, False),
        (None, AtPawn(Reach.NEARER, chess.E4, 2, 3), None, False),
    ],
)
def test_a_king_goes_for_a_pawn_as_another_step_does_that_comes_as_near(
    mine: AtPawn | None, his: AtPawn | None, moves: int | None, shared: bool
) -> None:
    one, other = ([idea] if idea is not None else [] for idea in (mine, his))
    given = facts("d6d5", *one, pawn_moves=moves), facts("d6d7", *other)
    assert defence._shared(reason(AtPawn), *given) == shared


@pytest.mark.parametrize(("said", "shared"), [("goes on", True), ("", False)])
@pytest.mark.parametrize("other", ["d6c5", "d6e6"])
def test_what_is_said_of_both_moves_is_no_reason(other: str, said: str, shared: bool) -> None:
    assert defence._shared(reason(None, said), facts("d6d5"), facts(other)) == shared


@pytest.mark.parametrize(("other", "shared"), [("d6e6", True), ("d6c5", False), ("e5g4", False), ("e5c4", False)])
def test_that_a_man_is_kept_guarded_is_no_reason_beside_a_move_that_keeps_it_so(other: str, shared: bool) -> None:
    rule = defence.Reason(lambda facts, _: "keeps its knight guarded" if facts.move == "d6d5" else "")
    assert defence._shared(rule, facts("d6d5"), facts(other)) == shared
