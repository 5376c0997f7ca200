"""What a slip lets in that the better move keeps out, asked of boards and of what is blamed alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain, TimeGiven
from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cuts_from_pawn import CutsFromPawn
from matebot.ideas.idea import Idea
from matebot.ideas.shuts_way import Aim
from matebot.terms import Mistake
from matebot.wording import lapses
from tests.wording.bare import facts_of

N, B, R = chess.KNIGHT, chess.BISHOP, chess.ROOK
#: The king on d2 may go to d3, and from the edge on d1 to d2.
ROOK, EDGE, PAWN = "8/8/8/8/8/8/3k4/KR6 w", "8/8/8/8/8/8/8/K2k1R2 w", "8/8/8/8/6P1/8/3k4/KR6 w"
BETTER = "a1a2"


def facts(placed: str, uci: str, blame: Blame | None, *ideas: Idea, **told: Any) -> MoveFacts:
    """Return facts of a slip of the side that wins: what is blamed, and as told."""
    board = chess.Board(f"{placed} - - 0 1")
    checks = board.gives_check(chess.Move.from_uci(uci))
    seen = SimpleNamespace(blame=blame, idea={type(idea): idea for idea in ideas}.get, answers_check=False)
    given: dict[str, Any] = {
        "seen": seen,
        "gives": SimpleNamespace(check=told.pop("check", checks)),
        "reproach": SimpleNamespace(new_replies=told.pop("new", ()), as_good_as_best=told.pop("best", ())),
        "cost": SimpleNamespace(mistake=told.pop("mistake", Mistake.MAN)),
        "then": SimpleNamespace(
            ahead=told.pop("ahead", ()), stops_pawn=told.pop("stops", False), only_holder=told.pop("holder", False)
        ),
        "held_against": [],
        "no_better": [],
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


def better(move: str = BETTER, *ideas: Idea) -> MoveFacts:
    return facts(ROOK, move, None, *ideas)


def lapse(kind: Lapse, reply: str, square: str, man: int = R, **more: Any) -> Blame:
    return Blame(kind, reply, man, chess.parse_square(square), told_from=(BETTER,), **more)


@pytest.mark.parametrize(
    ("blame", "text"),
    [
        (None, ""),
        (lapse(Lapse.LEFT_LOOSE, "Kc2", "b1"), "leaves the rook on b1 loose: Kc2 attacks it"),
        (lapse(Lapse.GUARD_TAKEN, "Kc2", "b1"), "takes the guard from the rook on b1: Kc2 attacks it"),
        (lapse(Lapse.IN_REACH, "Kc2", "b1"), "puts the rook within reach of Black's king: Kc2 attacks it"),
        (lapse(Lapse.HIT, "Kc2", "b1"), ""),
        (
            lapse(Lapse.LEFT_LOOSE, "Kc2", "b1", leads=Aim.CENTRE),
            "leaves the rook on b1 loose: Kc2 attacks it and gets off the edge",
        ),
        (
            lapse(Lapse.LEFT_LOOSE, "Kc2", "b1", leads=Aim.WRONG_CORNER, target=chess.B1),
            "leaves the rook on b1 loose: Kc2 attacks it",
        ),
        (
            lapse(Lapse.LEFT_LOOSE, "Kc2", "b1", leads=Aim.WRONG_CORNER, target=chess.A1),
            "leaves the rook on b1 loose: Kc2 attacks it and heads for the wrong corner a1",
        ),
    ],
)
def test_a_man_left_loose_is_told_with_the_reply_that_attacks_it(blame: Blame | None, text: str) -> None:
    slip = facts(EDGE, "a1a2", blame)
    assert lapses.attacked(slip, better()) == text
    assert lapses.attacked(slip, better("b1b3")) == ""  # it does not tell it from that one


@pytest.mark.parametrize(
    ("placed", "blame", "ideas", "text"),
    [
        (EDGE, lapse(Lapse.LET_GO, "Kd2", "d2"), (), ""),
        (
            EDGE,
            lapse(Lapse.LET_GO, "Kd2", "d2"),
            (Cage(CageChange.OPENS, 4, 9),),
            "leaves d2 unguarded: Kd2 gets out",
        ),
        (EDGE, lapse(Lapse.LET_GO, "Kd2", "d2"), (Cage(CageChange.WIDENS, 4, 9),), ""),
        (EDGE, lapse(Lapse.LET_GO, "Kd2", "d2", leads=Aim.CENTRE), (), "leaves d2 unguarded: Kd2 gets off the edge"),
        (
            EDGE,
            lapse(Lapse.LET_GO, "Kd2", "d2", leads=Aim.CENTRE, line="rank 2"),
            (),
            "takes the rook off rank 2: Kd2 gets off the edge",
        ),
        (EDGE, lapse(Lapse.LET_GO, "Kd2", "d2", line="rank 2"), (Cage(CageChange.OPENS, 4, 9),), ""),
    ],
)
def test_what_a_man_held_is_told_where_the_king_gets_somewhere_or_out_of_a_cage(
    placed: str, blame: Blame, ideas: tuple[Idea, ...], text: str
) -> None:
    assert lapses.let_go(blame, facts(placed, "a1a2", blame, *ideas), better()) == text


@pytest.mark.parametrize(
    ("leads", "square", "target", "cuts", "text"),
    [
        (Aim.CENTRE, "d2", None, False, "lets Black's king off the edge: Kd2"),
        (Aim.CENTRE, "d2", None, True, ""),
        (Aim.WRONG_CORNER, "c2", chess.A1, True, "lets Black's king towards the wrong corner a1: Kd2"),
        (Aim.WRONG_CORNER, "a1", chess.A1, False, "lets Black's king into the wrong corner a1: Kd2"),
        (Aim.OUT_OF_CORNER, "d2", chess.D1, False, "lets Black's king out of the corner d1: Kd2"),
        (Aim.OUT_OF_CORNER, "d2", chess.C1, False, "lets Black's king get away from the corner c1: Kd2"),
        (Aim.PAWN, "d2", chess.G4, False, "lets Black's king get to the pawn on g4: Kd2"),
        (None, "d2", None, False, ""),
    ],
)
def test_a_way_left_open_is_told_by_where_it_leads(
    leads: Aim | None, square: str, target: int | None, cuts: bool, text: str
) -> None:
    blame = lapse(Lapse.LEFT_OPEN, "Kd2", square, leads=leads, target=target)
    other = (CutsFromPawn.__new__(CutsFromPawn),) if cuts else ()
    assert lapses.left_open(blame, facts(EDGE, "a1a2", blame), better(BETTER, *other)) == text


@pytest.mark.parametrize(
    ("placed", "target", "text"),
    [
        ("8/8/8/8/8/4b3/8/K2k1R2 w", chess.E3, "lets Black's king get to its bishop: Kd2"),
        ("8/8/8/8/4b3/8/8/K2k1R2 w", chess.E4, "lets Black's king come nearer to its bishop: Kd2"),
    ],
)
def test_a_king_comes_nearer_to_its_man_where_no_step_reaches_it(placed: str, target: chess.Square, text: str) -> None:
    blame = lapse(Lapse.LEFT_OPEN, "Kd2", "d2", leads=Aim.OWN_MAN, target=target)
    assert lapses.left_open(blame, facts(placed, "a1a2", blame), better()) == text


@pytest.mark.parametrize(
    ("reply", "new", "told"), [("Kd3", "d2d3", True), ("Kd3", "d2e3", False), ("Kxd3", "d2d3", True)]
)
def test_a_reply_is_new_that_goes_where_none_goes_after_the_best_moves(reply: str, new: str, told: bool) -> None:
    assert lapses.is_new(reply, facts(ROOK, "a1a2", None, new=(new,))) == told
    assert not lapses.is_new(reply, facts(ROOK, "a1a2", None))


@pytest.mark.parametrize(
    ("blame", "best", "checks", "text"),
    [
        (lapse(Lapse.TIME, "Kd3", "d3"), (BETTER,), False, "gives Black time for Kd3"),
        (lapse(Lapse.TIME, "Kd3", "d3"), (BETTER,), True, ""),
        (lapse(Lapse.TIME, "Kd3", "d3"), (), False, ""),
        (lapse(Lapse.TIME, "Kd3", "d3"), (BETTER, "b1b3"), False, ""),
        (lapse(Lapse.HIT, "Kd3", "d3"), (BETTER,), False, ""),
        (None, (BETTER,), False, ""),
    ],
)
def test_time_is_given_for_a_reply_that_every_best_move_leaves_no_time_for(
    blame: Blame | None, best: tuple[str, ...], checks: bool, text: str
) -> None:
    slip = facts(
        ROOK,
        "b1b8",
        blame,
        best=best,
        held_against=[better(move) for move in best],
        no_better=[facts(ROOK, "b1b2", None, check=checks)],
    )
    assert lapses.gives_time(slip) == text


@pytest.mark.parametrize(
    ("placed", "square", "best", "told"),
    [
        (EDGE, "d2", (BETTER,), True),
        (EDGE, "d1", (BETTER,), False),
        (ROOK, "d3", (BETTER,), True),
        (ROOK, "d1", (BETTER,), False),
        (ROOK, "c2", (BETTER,), True),
        ("8/8/8/8/8/3k4/8/KR6 w", "c2", (BETTER,), False),
        (EDGE, "d2", (), False),
        (EDGE, "d2", (BETTER, "b1b3"), False),
    ],
)
def test_a_square_is_left_open_that_every_best_move_shuts_and_that_is_no_nearer_to_the_edge(
    placed: str, square: str, best: tuple[str, ...], told: bool
) -> None:
    blame = lapse(Lapse.LEFT_OPEN, "K", square)
    slip = facts(placed, "a1a2", blame, best=best, held_against=[better(move) for move in best])
    assert lapses.square_open(slip) == (f"lets Black's king come to {square}" if told else "")
    assert lapses.square_open(facts(placed, "a1a2", None)) == ""


@pytest.mark.parametrize(
    ("new", "ahead", "stops", "text"),
    [
        (("e5d7",), ("Nd7",), False, "lets the knight escape by Nd7"),
        (("e5d7",), ("Nd7",), True, "lets the knight stop the pawn: Nd7"),
        (("e5d7", "e5c6"), ("Nd7",), False, ""),
        (("e5d7",), ("Nc6",), False, ""),
        (("e5d7",), (), False, ""),
    ],
)
def test_a_man_gets_away_by_the_one_reply_that_is_new(
    new: tuple[str, ...], ahead: tuple[str, ...], stops: bool, text: str
) -> None:
    blame = lapse(Lapse.MAN_OUT, "Nd7", "d7", N)
    assert lapses.man_out(blame, facts(ROOK, "a1a2", blame, new=new, ahead=ahead, stops=stops), better()) == text


PUSH = TimeGiven(Gain.PUSH, gains_now=True, alike=True)
HIT = TimeGiven(Gain.HIT, gains_now=True, alike=True, hit="rook")


@pytest.mark.parametrize(
    ("given", "told", "blame", "text"),
    [
        (HIT, {"ahead": ("Kc2",), "new": ("d2c2",)}, None, "allows Kc2, which attacks the rook"),
        (HIT, {"ahead": ("Nc3",), "new": ("d5c3",)}, None, "allows Nc3, which hits the rook"),
        (HIT, {"ahead": ("Nc3",)}, None, ""),
        (HIT, {"ahead": ("Kc2",), "new": ("d2c2",), "check": True}, None, ""),
        (HIT, {"ahead": ("Kc2",), "new": ("d2c2",)}, lapse(Lapse.LEFT_LOOSE, "Kc2", "b1"), ""),
        (HIT, {"ahead": ("Kc2",), "new": ("d2c2",)}, lapse(Lapse.HIT, "Kc2", "b1"), ""),
        (HIT, {"ahead": ("Kc2",), "new": ("d2c2",)}, lapse(Lapse.UNGUARDED, "Kc2", "b1"), ""),
        (
            HIT,
            {"ahead": ("Kc2",), "new": ("d2c2",)},
            lapse(Lapse.LEFT_OPEN, "Kc2", "c2"),
            "allows Kc2, which attacks the rook",
        ),
        (TimeGiven(Gain.HIT, gains_now=False, alike=True, hit="rook"), {"ahead": ("Kc2",), "new": ("d2c2",)}, None, ""),
        (TimeGiven(Gain.HIT, gains_now=True, hit="rook"), {"ahead": ("Kc2",), "new": ("d2c2",)}, None, ""),
        (
            TimeGiven(Gain.HIT, gains_now=True, hit="rook"),
            {"ahead": ("Kc2",), "new": ("d2c2",), "mistake": Mistake.OUTCOME, "holder": True},
            None,
            "allows Kc2, which attacks the rook",
        ),
        (
            TimeGiven(Gain.HIT, gains_now=True, hit="rook"),
            {"ahead": ("Kc2",), "new": ("d2c2",), "mistake": Mistake.OUTCOME},
            None,
            "",
        ),
        (
            TimeGiven(Gain.HIT, gains_now=True, hit="rook"),
            {"ahead": ("Kc2",), "new": ("d2c2",), "holder": True},
            None,
            "",
        ),
        (PUSH, {"ahead": ("g5",)}, None, "lets the pawn go on by g5"),
        (PUSH, {"ahead": ("g5",), "mistake": Mistake.OUTCOME}, None, ""),
        (TimeGiven(Gain.CENTRE, gains_now=True, alike=True), {"ahead": ("Kc3",)}, None, ""),
    ],
)
def test_what_the_best_reply_brings_is_told_where_it_comes_of_this_move_alone(
    given: TimeGiven, told: dict[str, Any], blame: Blame | None, text: str
) -> None:
    assert lapses.replied(facts(ROOK, "a1a2", blame, given=given, **told), better()) == text
