"""What is told of a move that holds a draw, and of the men of the W, asked of boards and of reasons alone."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.man_falls import ManFalls
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.ideas.drawn.too_few_men import TooFewMen
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import Idea
from matebot.ideas.knights_w import KnightsW, WState, way
from matebot.ideas.meets import Meets
from matebot.ideas.refutation import Means
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.towards_w import TowardsW
from matebot.terms import Cause
from matebot.wording import draws, minors
from tests.wording.bare import facts_of

N, B, R = chess.KNIGHT, chess.BISHOP, chess.ROOK


def facts(placed: str, uci: str, reason: object, *ideas: Idea, **told: Any) -> MoveFacts:
    """Return facts of a move that holds a draw: the reason for it, the ideas named, and as told."""
    board = chess.Board(f"{placed} - - 0 1")
    board.push_uci(uci)
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get, why_drawn=reason, name_after=board.san, answers_check=False
    )
    given: dict[str, Any] = {
        "seen": seen,
        "worth": SimpleNamespace(outcome_after=0, cause_after=told.pop("cause", Cause.BALANCE)),
        "beside": SimpleNamespace(keeping=told.pop("keeping", 1), choices=told.pop("choices", 8)),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, **given)


#: The king takes the last man; a pawn of its side is left, or a rook.
TAKES, LEADS, BEHIND = "8/8/8/8/4k3/8/3PK3/3r4 w", "8/8/3P4/2K5/2r5/8/8/5k2 w", "8/8/8/8/3P4/1K6/2r5/5k2 w"
STOPS = "Black's king still stops the pawn"


@pytest.mark.parametrize(
    ("placed", "uci", "reason", "ideas", "told", "text"),
    [
        (TAKES, "e2d1", TooFewMen((N,), False), (), {}, "a knight alone cannot mate"),
        (
            TAKES,
            "e2d1",
            TooFewMen((), False),
            (Hanging((chess.D1,), (R,), True),),
            {},
            "Kxd1 then leaves only the kings",
        ),
        (
            TAKES,
            "e2d1",
            TooFewMen((N,), False),
            (Hanging((chess.D2,), (R,), False),),
            {},
            "Kxd2 then leaves only the kings",
        ),
        (
            "8/8/8/8/4k3/8/3PK1N1/3r4 w",
            "e2d1",
            TooFewMen((N,), False),
            (Hanging((chess.D1,), (R,), True),),
            {},
            "a knight alone cannot mate",
        ),
        (TAKES, "e2d1", ManFalls(chess.PAWN, chess.Move.from_uci("e4d5")), (), {}, "Kd5 then leaves only the kings"),
        (TAKES, "e2d1", ManFalls(chess.PAWN, None), (), {}, ""),
        (
            "8/8/8/8/4k3/8/3PK1N1/3r4 w",
            "e2d1",
            ManFalls(chess.PAWN, chess.Move.from_uci("e4d5")),
            (),
            {},
            "",
        ),
        (LEADS, "c5c4", InsideTheSquare(chess.D6, 2, 3), (), {}, ""),
        (BEHIND, "b3c2", InsideTheSquare(chess.D4, 4, 4), (), {}, ""),
        ("8/8/3P4/3Kr3/8/8/8/5k2 w", "d5e5", InsideTheSquare(chess.D6, 2, 3), (), {}, STOPS),
        ("8/8/3P4/3Kr3/8/8/8/5k2 w", "d5e5", ManFalls(None, None), (), {}, ""),
        ("8/8/3P4/3Kr3/8/8/8/5k2 w", "d5e5", InsideTheSquare(chess.D6, 2, 3), (), {"attacker": None}, ""),
        ("8/8/3P4/3Kr3/8/8/8/5k2 w", "d5e5", InsideTheSquare(chess.D6, 2, 3), (), {"by_attacker": True}, ""),
        ("8/8/3P4/3Kr2n/8/8/8/5k2 w", "d5e5", InsideTheSquare(chess.D6, 2, 3), (), {}, ""),
    ],
)
def test_where_the_last_man_is_taken_it_is_told_what_is_left_and_why_it_does_not_win(
    placed: str, uci: str, reason: object, ideas: tuple[Idea, ...], told: dict[str, Any], text: str
) -> None:
    assert draws._left(facts(placed, uci, reason, *ideas, **told)) == text


@pytest.mark.parametrize(
    ("help_", "keeping", "told", "nearer"),
    [
        (Help.NEARER, 1, {}, True),
        (Help.NEARER, 7, {}, True),
        (Help.NEARER, 8, {}, False),
        (Help.NEARER, 1, {"by_attacker": True}, False),
        (Help.GUARDS, 1, {}, False),
    ],
)
def test_a_king_is_told_to_come_nearer_to_its_pawn_where_other_moves_fail_to_hold(
    help_: Help, keeping: int, told: dict[str, Any], nearer: bool
) -> None:
    supported = PawnSupported(chess.D6, 2, 5, led=False)
    given = facts(
        "8/8/3P4/8/8/2K5/8/4r2k w", "c3d4", supported, StandsBy(help_, chess.PAWN, chess.D6, 2), keeping=keeping, **told
    )
    assert ("nearer to its pawn" in draws.why_drawn(given)) == nearer


def holds(double: bool = False) -> MinorHoldsRook:
    blow = chess.Move.from_uci("a1a2") if double else None
    return MinorHoldsRook(N, chess.E4, 1, 1, 5, (), (), True, blow, blow, False)


MET = Meets(chess.Move.from_uci("a1a2"), Means.FORK, (N,))
ROOK = "8/8/8/3kn3/8/8/8/R3K3 b"


@pytest.mark.parametrize(
    ("reason", "ideas", "keeping", "choices", "text"),
    [
        (holds(), (), 1, 8, "is the only move that draws"),
        (holds(), (), 1, 1, ""),
        (holds(), (), 8, 8, "keeps the draw, as every move does"),
        (holds(), (), 6, 8, "keeps the draw, as most moves do"),
        (holds(), (), 5, 8, ""),
        (holds(), (), 5, 6, "keeps the draw, as most moves do"),
        (holds(), (), 4, 5, ""),
        (holds(), (MET,), 6, 8, ""),
        (holds(double=True), (), 6, 8, ""),
        (ManFalls(None, None), (), 6, 8, ""),
    ],
)
def test_how_many_moves_hold_is_told_of_one_of_all_and_of_most_against_a_rook(
    reason: object, ideas: tuple[Idea, ...], keeping: int, choices: int, text: str
) -> None:
    assert draws._beside(facts(ROOK, "d5d4", reason, *ideas, keeping=keeping, choices=choices)) == text


@pytest.mark.parametrize(
    ("why", "cause", "ahead", "text"),
    [
        ("", Cause.BALANCE, ("Ra5+", "Kd4"), ["If Ra5+, Kd4 holds."]),
        ("for a reason", Cause.BALANCE, ("Ra5+", "Kd4"), []),
        ("", Cause.FIFTY_MOVES, ("Ra5+", "Kd4"), []),
        ("", Cause.BALANCE, ("Ra5+",), []),
    ],
)
def test_where_no_reason_is_known_a_reply_and_what_holds_against_it_are_shown(
    why: str, cause: Cause, ahead: tuple[str, ...], text: list[str]
) -> None:
    assert draws._shown(facts(ROOK, "d5d4", None, cause=cause, ahead=ahead), why) == text


@pytest.mark.parametrize(
    ("reason", "ideas", "cause", "by_attacker", "told"),
    [
        (None, (Hanging((chess.E5,), (N,), False),), Cause.BALANCE, False, True),
        (None, (), Cause.BALANCE, False, False),
        (None, (Hanging((chess.E5,), (N,), False),), Cause.FIFTY_MOVES, False, False),
        (
            MinorStopsPawn(N, (), False, None, False, (), False),
            (Hanging((chess.E5,), (N,), False),),
            Cause.BALANCE,
            False,
            False,
        ),
        (
            MinorStopsPawn(N, (), False, None, False, (), False),
            (Hanging((chess.E5,), (N,), False),),
            Cause.BALANCE,
            True,
            True,
        ),
    ],
)
def test_a_man_that_may_be_taken_is_named_where_the_men_alone_make_it_a_draw(
    reason: object, ideas: tuple[Idea, ...], cause: Cause, by_attacker: bool, told: bool
) -> None:
    said = draws._hanging(facts(ROOK, "d5d4", reason, *ideas, cause=cause, by_attacker=by_attacker))
    assert said == (["The knight on e5 may be taken, and it stays drawn."] if told else [])


W = "8/8/8/8/8/2B1N3/8/K5k1 w"


def of_the_w(uci: str, *ideas: Idea, taken: tuple[str, ...] = (), comes: bool = True) -> MoveFacts:
    asked = SimpleNamespace(comes_to=lambda post, moves: comes)
    seen = SimpleNamespace(idea={type(idea): idea for idea in ideas}.get, slower_moves=asked, answers_check=False)
    room = SimpleNamespace(king="g1", flights=("h1", "h2"), squares_taken=taken, squares_given=())
    return facts_of(f"{W} - - 0 1", uci, by_winner=True, seen=seen, room=room)


@pytest.mark.parametrize("by_rank", [True, False])
def test_a_w_that_is_ready_names_the_posts_of_its_route(by_rank: bool) -> None:
    by = way(chess.H1, by_rank)
    idea = KnightsW(WState.READY, 0, N, chess.H1, by.route)
    knight, bishop, king = map(chess.square_name, (by.route[0], by.bishop, by.king))
    assert minors.the_w(idea, of_the_w("e3f1", idea)) == (
        f"makes the W ready: knight {knight}, bishop {bishop} and king {king}"
    )
    shut = minors.the_w(idea, of_the_w("e3f1", idea, taken=("h2",)))
    assert shut == "makes the W ready: it shuts h2, and the knight can set out"


@pytest.mark.parametrize(
    ("step", "uci", "taken", "text"),
    [
        (1, "e3f1", (), "begins the W: from f1 the knight guards d2, h2, e3 and g3"),
        (2, "e3f1", ("h2",), "goes on with the W, step 2 of 4: h2 is shut"),
        (3, "e3f1", ("f2", "h2"), "goes on with the W, step 3 of 4: f2 and h2 are shut"),
        (3, "e3c4", (), "goes on with the W, step 3 of 4"),
    ],
)
def test_a_step_of_the_w_is_told_by_what_it_shuts_or_guards(
    step: int, uci: str, taken: tuple[str, ...], text: str
) -> None:
    idea = KnightsW(WState.STEP, step, N, chess.H1, ())
    told = minors.the_w(idea, of_the_w(uci, idea, taken=taken))
    assert told.partition(" guards ")[0] == text.partition(" guards ")[0]
    assert ("h2" in told) == ("h2" in text)


def test_a_knight_at_the_end_of_the_board_guards_only_squares_of_the_board() -> None:
    idea = KnightsW(WState.STEP, 4, N, chess.A8, ())
    near = ("a3", "a2", "a4")
    room = SimpleNamespace(king=near[0], flights=near[1:], squares_taken=())
    told = minors.the_w(idea, facts_of("8/8/3N4/2K5/8/k7/8/1B6 w - - 0 1", "d6b7", by_winner=True, room=room))
    beside = {square for name in near for square in chess.SquareSet(chess.BB_KING_ATTACKS[chess.parse_square(name)])}
    held = {chess.square_name(square) for square in beside & {*chess.SquareSet(chess.BB_KNIGHT_ATTACKS[chess.B7])}}
    assert set(re.findall(r"[a-h]\d+", told.partition(" guards ")[2])) == held


@pytest.mark.parametrize(
    ("man", "moves", "comes", "text"),
    [
        (N, 0, True, "takes the knight's post in the W: from f1 it shuts the wrong corner h2"),
        (B, 0, True, "takes the bishop's post in the W: from f1 it shuts h2"),
        (N, 1, True, "heads for f1, the knight's post in the W"),
        (N, 2, True, "heads for f1, the knight's post in the W"),
        (N, 1, False, ""),
    ],
)
def test_a_man_takes_its_post_in_the_w_or_heads_for_it(man: int, moves: int, comes: bool, text: str) -> None:
    idea = TowardsW(man, chess.F1, moves, chess.H1, (chess.H2,))
    assert minors.to_w(idea, of_the_w("e3c4", idea, comes=comes)) == text
