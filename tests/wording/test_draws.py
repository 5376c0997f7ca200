"""The reasons for a draw in words: the squares and men a reason holds are named, and each of its cases differs."""

from __future__ import annotations

import re
from itertools import combinations
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.ideas.drawn.both_aims import BothAims
from matebot.ideas.drawn.equal_men import EqualMen
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.king_before_pawn import KingBeforePawn
from matebot.ideas.drawn.knight_beside_king import KnightBesideKing
from matebot.ideas.drawn.knight_frozen import KnightFrozen
from matebot.ideas.drawn.man_caught import ManCaught
from matebot.ideas.drawn.man_falls import ManFalls
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.drawn.pawn_on_the_seventh import PawnOnTheSeventh
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.drawn.stalemated import Stalemated
from matebot.ideas.drawn.too_few_men import TooFewMen
from matebot.ideas.drawn.wrong_rooks_pawn import WrongRooksPawn
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.wording import draws, rook_draws, threats_met

if TYPE_CHECKING:
    from matebot.facts.move_facts import MoveFacts

A8, B6, C7, E4, H1 = chess.A8, chess.B6, chess.C7, chess.E4, chess.H1
PAWN, KNIGHT, BISHOP, ROOK, QUEEN = chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN
#: Cases of one kind of reason, each with the squares, kinds of men and numbers that must be in its words.
REASONS: dict[str, list[tuple[object, set[str]]]] = {
    "both aims": [(BothAims(True, (B6,)), {"b6", "pawn"}), (BothAims(True, (B6, C7)), {"b6", "c7", "pawn"})],
    "equal men": [(EqualMen(QUEEN), {"queen"}), (EqualMen(ROOK), {"rook"})],
    "square": [(InsideTheSquare(E4, 4, 3), {"e4", "pawn"}), (InsideTheSquare(B6, 2, 2), {"b6", "pawn"})],
    "before the pawn": [
        (KingBeforePawn(A8, True, False, True), {"pawn"}),
        (KingBeforePawn(A8, True, False, False), {"pawn"}),
        (KingBeforePawn(C7, False, True, False), {"pawn"}),
        (KingBeforePawn(C7, False, False, False), {"c7", "pawn"}),
        (KingBeforePawn(B6, False, False, False), {"b6", "pawn"}),
    ],
    "knight": [(KnightBesideKing(E4), {"e4", "knight", "rook"}), (KnightBesideKing(B6), {"b6", "knight", "rook"})],
    "frozen": [(KnightFrozen(C7, E4, A8), {"c7", "a8", "knight", "pawn"})],
    "caught": [
        (ManCaught(None, B6), {"b6"}),
        (ManCaught(BISHOP, B6), {"b6", "bishop"}),
        (ManCaught(PAWN, C7), {"c7", "pawn"}),
    ],
    "falls": [(ManFalls(None, None), set()), (ManFalls(ROOK, None), {"rook"}), (ManFalls(KNIGHT, None), {"knight"})],
    "stops": [
        (MinorStopsPawn(KNIGHT, (C7,), True, None, False, (), True), {"knight", "pawn"}),
        (MinorStopsPawn(KNIGHT, (), False, ROOK, False, (), False), {"knight", "rook", "pawn"}),
        (MinorStopsPawn(KNIGHT, (), False, None, False, (), False), {"knight", "pawn"}),
        (MinorStopsPawn(KNIGHT, (), False, None, True, (), False), {"knight", "pawn"}),
        (MinorStopsPawn(KNIGHT, (), False, None, False, (chess.Move(C7, A8),), False), {"knight", "pawn"}),
        (MinorStopsPawn(KNIGHT, (), True, None, False, (), False), {"knight", "pawn"}),
        (
            MinorStopsPawn(BISHOP, (C7, A8), True, None, False, (chess.Move(C7, A8),), False),
            {"bishop", "pawn", "c7", "a8"},
        ),
    ],
    "seventh": [
        (PawnOnTheSeventh(C7, True, A8, False), {"a8", "pawn"}),
        (PawnOnTheSeventh(C7, True, A8, True), {"a8", "pawn"}),
        (PawnOnTheSeventh(C7, False, H1, False), {"h1", "pawn"}),
    ],
    "supported": [
        (PawnSupported(E4, 3, 5, True), {"pawn", "rook"}),
        (PawnSupported(E4, 3, 5, False), {"pawn", "rook"}),
    ],
    "corner": [(SafeCorner(A8), {"a8"}), (SafeCorner(H1), {"h1"})],
    "stalemate": [(Stalemated(A8), {"a8"}), (Stalemated(H1), {"h1"})],
    "few": [
        (TooFewMen((), False), set()),
        (TooFewMen((KNIGHT,), False), {"knight"}),
        (TooFewMen((KNIGHT,), True), {"knight"}),
        (TooFewMen((KNIGHT, KNIGHT), True), {"knight"}),
        (TooFewMen((BISHOP, KNIGHT), False), {"bishop", "knight"}),
    ],
    "wrong pawn": [
        (WrongRooksPawn(A8, True), {"a8", "pawn", "bishop"}),
        (WrongRooksPawn(A8, False), {"a8", "pawn", "bishop"}),
    ],
}


def named(text: str) -> set[str]:
    """Return the squares, kinds of men and numbers in a text: no kings, and pawns of any file."""
    return set(re.findall(r"\b(?:[a-h][1-8]|\d+|queen|rook(?!'s)|bishop(?!'s)|knight|pawn)(?=s?\b)", text))


@pytest.mark.parametrize("kind", REASONS)
def test_a_reason_names_its_squares_men_and_numbers_and_no_others(kind: str) -> None:
    for reason, expected in REASONS[kind]:
        assert named(draws._why(reason)) == expected, draws._why(reason)


@pytest.mark.parametrize("kind", REASONS)
def test_no_two_cases_of_a_reason_are_told_alike(kind: str) -> None:
    for (first, _), (second, _) in combinations(REASONS[kind], 2):
        assert draws._why(first) != draws._why(second)


def holds(minor: chess.PieceType = KNIGHT, **values: object) -> MinorHoldsRook:
    """Return a reason why a minor piece holds against the rook, on the edge with the kings far apart unless told."""
    plain: dict[str, object] = {"king_steps": 5, "from_edge": 0, "kings_apart": 6, "off_edge": (), "between": ()}
    rest: dict[str, object] = {"looked_ahead": False, "double": None, "answer": None, "guards": False}
    make: type = MinorHoldsRook
    found = make(minor=minor, square=E4, **{**plain, **rest, **values})
    assert isinstance(found, MinorHoldsRook)
    return found


def test_why_the_rook_does_not_mate_goes_by_what_is_so_on_the_board() -> None:
    told = [
        rook_draws._safe_from_mate(reason, "knight", "Black's king")
        for reason in (
            holds(king_steps=1, from_edge=1),
            holds(king_steps=3, from_edge=1, off_edge=(C7,)),
            holds(off_edge=(C7,)),
            holds(kings_apart=3, between=(B6,)),
            holds(kings_apart=2, between=(B6, C7, A8)),
        )
    ]
    assert all(told)
    assert len(set(told)) == len(told)
    assert "together" in told[0]
    assert [named(text) for text in told[1:4]] == [set(), set(), set()]
    assert named(told[4]) == {"knight", "b6", "c7"}
    assert rook_draws._safe_from_mate(holds(kings_apart=2), "knight", "Black's king") == ""
    assert rook_draws._safe_from_mate(holds(king_steps=2), "knight", "Black's king") == "the knight stays near its king"
    # A bishop near its king is not what saves it.
    assert rook_draws._safe_from_mate(holds(BISHOP, king_steps=1, from_edge=1), "bishop", "Black's king") == told[1]


def test_of_two_men_hit_at_once_the_dearer_is_named_first() -> None:
    assert (
        threats_met.king_first((KNIGHT, chess.KING))
        == threats_met.king_first((chess.KING, KNIGHT))
        == "king and knight"
    )


def told_by(idea: Meets | Pitfall) -> str:
    """Return what is said of a threat met, or of a move to be warned of, whose moves are called Kb2 and Rb3+."""
    names = {1: "Kb2", 2: "Rb3+"} if isinstance(idea, Pitfall) else {1: "Rb3+"}
    facts = cast("MoveFacts", SimpleNamespace(seen=SimpleNamespace(name=lambda *line: names[len(line)])))
    return threats_met.pitfall(idea, facts) if isinstance(idea, Pitfall) else threats_met.met_threat(idea, facts)


@pytest.mark.parametrize("means", [None, Means.FORK, Means.SKEWER, Means.MATE, Means.PROMOTION, Means.CAPTURE])
def test_a_threat_is_named_by_its_means_and_its_move(means: Means | None) -> None:
    move = chess.Move.from_uci("a3b3")
    words = {None: "pin", Means.FORK: "fork", Means.SKEWER: "skewer", Means.MATE: "mate"}
    met = told_by(Meets(move, means, (KNIGHT,)))
    warned = told_by(Pitfall(chess.Move.from_uci("a2b2"), move, means, (KNIGHT, chess.KING)))
    assert "Rb3+" in met
    assert {word for word in words.values() if word in met} == ({words[means]} if means in words else set())
    assert ("knight" in met) == (means in (None, Means.CAPTURE))
    if means in (Means.CAPTURE, Means.MATE, Means.PROMOTION):  # a reply that wins is no reason without what is lost
        assert warned == ""
        return
    assert warned.startswith("not Kb2: Rb3+")
    named_here = {word for word in ("pin", "fork", "skewer") if word in warned}
    assert named_here == ({words[means]} if means in (None, Means.FORK, Means.SKEWER) else set())
    assert ("knight" in warned) == bool(named_here)


@pytest.mark.parametrize(("move", "forks"), [("b4c2", True), ("b4d3", False)])
def test_a_fork_that_wins_the_last_man_is_the_reason_for_the_draw(library: Library, move: str, forks: bool) -> None:
    """The knight's check on c2 hits the rook too, that on d3 does not; counted on the board."""
    maker = FactMaker(Judged.of(library, chess.Board("8/8/8/8/1n6/8/8/R3K1k1 b - - 0 1")))
    facts = maker.facts(chess.Move.from_uci(move))
    text = draws.drew(facts)[0]
    assert ("forks king and rook" in text) == forks


def told_of(library: Library, placed: str, move: str) -> str:
    """Return the first sentence about a move."""
    board = chess.Board(placed)
    return draws.drew(FactMaker(Judged.of(library, board)).facts(board.parse_san(move)))[0]


@pytest.mark.parametrize(
    ("placed", "move", "replies"),
    [
        ("8/8/1P6/8/8/b7/6K1/k7 w", "b7", {"Bd6"}),
        ("3K4/8/8/7k/2B5/7p/8/8 b", "h2", {"Bd5", "Be2+", "Bf7+"}),
        ("2K5/6bP/8/8/8/8/7k/8 w", "Kd7", set()),  # nobody overlooks that the bishop guards the pawn's square
    ],
)
def test_a_problem_names_every_reply_that_holds(library: Library, placed: str, move: str, replies: set[str]) -> None:
    text = told_of(library, placed, move)
    assert ("sets a problem" in text) == bool(replies)
    assert not replies or set(re.findall(r"B[a-h][1-8]\+?", text)) == replies
    assert ("guarding b8" in text) == (replies == {"Bd6"})


@pytest.mark.parametrize(
    ("placed", "move", "leaves"),
    [
        ("8/8/5N2/8/7k/4r3/7K/8 w", "Kg2", True),
        ("8/8/8/k7/5R2/8/1b6/3K4 b", "Kb5", False),  # Ka6 and Ka4 hold as well
        ("8/8/8/k7/5R2/8/1b6/3K4 b", "Ba1", False),
    ],
)
def test_a_king_that_leaves_the_edge_is_told_to(library: Library, placed: str, move: str, leaves: bool) -> None:
    assert ("leaves the edge" in told_of(library, placed, move)) == leaves


@pytest.mark.parametrize(
    ("placed", "move", "left"),
    [
        ("8/8/8/3P4/4k3/8/4K3/3r4 w", "Kxd1", "Kxd5 then leaves only the kings"),
        ("8/8/8/8/8/6Bk/5r2/3K4 w", "Bxf2", "a bishop alone cannot mate"),
        ("8/8/8/1P1k4/7q/7K/8/8 w", "Kxh4", "the only move that draws"),
    ],
)
def test_of_a_capture_it_is_told_what_it_leaves_and_why_that_is_drawn(
    library: Library, placed: str, move: str, left: str
) -> None:
    assert left in told_of(library, placed, move)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/8/8/1Q6/2p2K2/1k6 b - - 0 1", "Ka1", "Qxc2 would be stalemate"),
        ("8/8/8/8/8/6Q1/2K2p2/6k1 b - - 0 1", "Kh1", "Qxf2 would be stalemate"),
    ],
)
def test_a_capture_that_would_be_stalemate_is_the_reason_for_the_draw(
    library: Library, fen: str, san: str, words: str
) -> None:
    """Queen against bishop's pawn: the king goes to the corner (every textbook, from memory)."""
    board = chess.Board(fen)
    said = " ".join(draws.drew(FactMaker(Judged.of(library, board)).facts(board.parse_san(san))))
    assert words in said
    assert "may be taken" not in said
    board.push_san(san)
    board.push_san(words.partition(" ")[0])
    assert board.is_stalemate()
