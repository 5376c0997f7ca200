"""What a slip has come to is told in its order and only where it holds: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.pawn_on_the_seventh import PawnOnTheSeventh
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.terms import Cause, Mistake
from matebot.wording import aftermath, slip_draws, slip_words, slips
from tests.wording.bare import facts_of


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a slip of the side that wins or could."""
    board = chess.Board(f"{placed} - - 0 1")
    board.push_uci(uci)
    king = board.king(board.turn)
    assert king is not None
    flights = tuple(chess.square_name(m.to_square) for m in board.legal_moves if m.from_square == king)
    given: dict[str, Any] = {
        "seen": SimpleNamespace(why_drawn=told.pop("drawn", None), blame=None, idea=lambda kind: None),
        "gives": SimpleNamespace(check=board.is_check(), mate=False),
        "cost": SimpleNamespace(mistake=told.pop("mistake", Mistake.OUTCOME), loses=None, moves_lost=2),
        "worth": SimpleNamespace(outcome_after=told.pop("outcome", 0), cause_after=told.pop("cause", Cause.BALANCE)),
        "then": SimpleNamespace(ahead=told.pop("ahead", ()), stops_pawn=told.pop("stops", False)),
        "given": SimpleNamespace(gains=told.pop("gains", None)),
        "room": SimpleNamespace(king=chess.square_name(king), flights=flights),
        "held_against": [],
        "no_better": [],
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


TO_LEAD = "8/8/8/8/4k2p/8/8/K1R5 w"


@pytest.mark.parametrize(
    ("drawn", "by_attacker", "text"),
    [
        (InsideTheSquare, True, "misses c1b1, which brings the pawn on"),
        (InsideTheSquare, False, "allows a draw: so"),
        (PawnSupported, True, "is too slow: "),
        (PawnSupported, False, "allows a draw: so"),
        (PawnOnTheSeventh, True, "lets the pawn promote by h1=Q"),
        (PawnOnTheSeventh, False, "allows a draw: so"),
    ],
)
def test_what_a_slip_of_the_attacker_allows_is_told_of_no_other_side(drawn: type, by_attacker: bool, text: str) -> None:
    why: Any = object.__new__(drawn)
    object.__setattr__(why, "pawn", chess.H4)
    if drawn is PawnSupported:
        object.__setattr__(why, "led", True)
    ahead = ("h1=Q", "") if drawn is PawnOnTheSeventh else ("Ke3", "")
    slip = facts(TO_LEAD, "c1b1", drawn=why, ahead=ahead)
    if not by_attacker:
        vars(slip)["by_attacker"] = False
    better: Any = SimpleNamespace(san="c1b1", man=SimpleNamespace(piece="pawn"))
    assert slip_draws.allows(slip, better, "so").startswith(text)


@pytest.mark.parametrize(
    ("placed", "uci", "best", "text"),
    [
        (TO_LEAD, "c1b1", "pawn", "misses it, which brings the pawn on"),
        (TO_LEAD, "c1b1", "king", "allows a draw: so"),
        ("8/8/8/8/4k2p/8/1P6/K7 w", "b2b3", "pawn", "allows a draw: so"),
    ],
)
def test_a_pawn_should_have_gone_on_where_another_man_moved(placed: str, uci: str, best: str, text: str) -> None:
    why: Any = object.__new__(InsideTheSquare)
    better: Any = SimpleNamespace(san="it", man=SimpleNamespace(piece=best))
    assert slip_draws.allows(facts(placed, uci, drawn=why, ahead=("Ke3", "")), better, "so") == text


@pytest.mark.parametrize(
    ("uci", "pawn", "late"),
    [
        ("a1b1", chess.H4, True),
        ("a1b1", chess.C3, False),
        ("a1b1", chess.D3, False),
        ("a1b1", chess.E3, True),
        ("c1d1", chess.C3, False),
        ("c1d1", chess.D3, True),
    ],
)
def test_a_king_comes_too_late_for_a_pawn_from_more_than_two_steps(uci: str, pawn: chess.Square, late: bool) -> None:
    slip = facts("8/8/8/8/4k3/8/8/K1R5 w", uci)
    assert bool(slip_draws._too_late(slip, pawn)) == late


@pytest.mark.parametrize(
    ("placed", "pawn", "reply", "comes"),
    [
        ("8/8/8/8/4k2p/8/8/K1R5 w", chess.H4, "Ke3", False),  # no nearer to h3, h2 and h1 than before
        ("8/8/8/8/4k2p/8/8/K1R5 w", chess.H4, "Kf3", True),
        ("8/8/5k2/8/7p/8/8/K1R5 w", chess.H4, "Kf5", True),  # nearer to the way, no nearer to the pawn
        ("8/8/8/8/7p/5k2/8/K1R5 w", chess.H4, "Ke2", False),
        ("8/8/8/8/4k2p/8/8/K1R5 w", chess.H4, "h3", False),
        ("k1r5/8/8/4K2P/8/8/8/8 b", chess.H5, "Ke6", False),
        ("k1r5/8/8/7P/8/5K2/8/8 b", chess.H5, "Kf4", True),
    ],
)
def test_a_king_comes_to_lead_its_pawn_where_it_gets_nearer_to_it_or_to_the_squares_before_it(
    placed: str, pawn: chess.Square, reply: str, comes: bool
) -> None:
    slip = facts(placed, "c1b1" if placed.endswith("w") else "c8b8", drawn=PawnSupported(pawn, 3, 7, False))
    vars(slip.then)["ahead"] = (reply, "")
    text = slip_draws.allows(slip, slip, "the pawn runs: nobody stops it")
    assert ("comes to lead the pawn by" in text, "allows a draw: the pawn runs, nobody stops it" in text) == (
        comes,
        not comes,
    )


@pytest.mark.parametrize(
    ("mistake", "stops", "text"),
    [
        (Mistake.OUTCOME, True, "gives Black time to stop the pawn: Rc1"),
        (Mistake.OUTCOME, False, "opens the cage"),
        (Mistake.MOVES, True, "opens the cage"),
        (Mistake.MOVES, False, "opens the cage"),
    ],
)
def test_a_pawn_that_is_stopped_is_told_only_of_a_win_that_is_gone(
    monkeypatch: pytest.MonkeyPatch, mistake: Mistake, stops: bool, text: str
) -> None:
    monkeypatch.setattr(slips, "missed", lambda *_: "")
    monkeypatch.setattr(slips, "cause", lambda *_: "opens the cage")
    monkeypatch.setattr(slips, "lets_in", lambda *_: "")
    monkeypatch.setattr(slips, "lost_man", lambda *_: "")
    better = facts("8/8/2r5/8/P6k/8/8/K7 w", "a4a5")
    slip = facts("8/8/2r5/8/P6k/8/8/K7 w", "a1a2", mistake=mistake, stops=stops, ahead=("Rc1", "Kb2"), outcome=1)
    assert slips._what_happens(slip, better) == text


@pytest.mark.parametrize(
    ("made", "cause", "text"),
    [
        ("r", Cause.BALANCE, "makes a rook where a queen is needed"),
        ("r", Cause.STALEMATE, ""),
        ("q", Cause.BALANCE, ""),
    ],
)
def test_what_is_made_of_a_pawn_is_told_to_be_too_little_but_in_stalemate_and_of_a_queen(
    made: str, cause: Cause, text: str
) -> None:
    placed = "8/1P6/8/8/8/8/7k/K7 w"
    queen = facts(placed, "b7b8q")
    assert slips._made_too_little(facts(placed, f"b7b8{made}", cause=cause, held_against=[queen])).startswith(text)
    assert bool(slips._made_too_little(facts(placed, f"b7b8{made}", cause=cause, held_against=[queen]))) == bool(text)


#: The king on e4 can step nearer to the man on g4, and nearer to the one on c2.
ONE, TWO = "8/8/8/8/4k1r1/8/8/K1Q5 w", "1Q6/8/8/8/4k1r1/8/2b5/K7 w"


@pytest.mark.parametrize(
    ("placed", "uci", "way", "told", "text"),
    [
        (ONE, "a1a2", "to its rook", {}, "leaves the way to its rook open: Rd3 shuts rank 4"),
        (
            ONE,
            "a1a2",
            "to its rook",
            {"gains": Gain.MAN, "ahead": ("Kf4", "")},
            "lets Black's king nearer to its rook by Kf4: Rd3 shuts rank 4",
        ),
        (
            ONE,
            "a1a2",
            "to its rook",
            {"gains": Gain.PAWN, "ahead": ("Kf4", "")},
            "leaves the way to its rook open: Rd3 shuts rank 4",
        ),
        (TWO, "a1a2", "to its rook", {}, ""),
        (ONE, "a1a2", "to the pawn on h4", {}, "leaves the way to the pawn on h4 open: Rd3 shuts rank 4"),
        (ONE, "a1a2", "to the pawn on e4", {}, ""),
    ],
)
def test_a_way_is_told_to_be_left_open_to_the_only_man_or_to_a_pawn(
    placed: str, uci: str, way: str, told: dict[str, Any], text: str
) -> None:
    slip, better = facts(placed, uci, san="Qb1", **told), facts(placed, uci, san="Rd3")
    assert slip_words._way_open(slip, better, f"shuts rank 4, the way {way}") == text


@pytest.mark.parametrize(
    ("deed", "gains", "ahead", "text"),
    [
        ("goes behind the pawn, far off", Gain.PUSH, ("h3", ""), "lets the pawn go on by h3: Rd3 goes behind it"),
        ("stops the pawn on h4", Gain.PUSH, ("h3", ""), "lets the pawn go on by h3: Rd3 stops it"),
        ("stops the pawn", Gain.MAN, ("h3", ""), ""),
        ("stops the pawn", Gain.PUSH, (), ""),
        ("shuts rank 3", Gain.PUSH, ("h3", ""), ""),
    ],
)
def test_a_pawn_is_let_go_on_where_the_better_move_is_about_it(
    deed: str, gains: Gain, ahead: tuple[str, ...], text: str
) -> None:
    slip = facts(ONE, "a1a2", gains=gains, ahead=ahead)
    better = facts(ONE, "a1a2", san="Rd3")
    vars(better.cost)["moves_lost"] = 0
    assert slip_words._pawn_runs(slip, better, deed) == text
    vars(better.cost)["moves_lost"] = 1  # no best move: the pawn may go on after it as well
    assert not slip_words._pawn_runs(slip, better, deed)


def test_what_the_better_move_does_is_told_without_what_follows_from_it(monkeypatch: pytest.MonkeyPatch) -> None:
    deed = "goes for the pawn; it is three steps off"
    monkeypatch.setattr(aftermath, "purposes", lambda better, slip: iter([deed] if slip is not better else []))
    slip, better = (facts(ONE, "a1a2", by_attacker=False) for _ in range(2))
    assert aftermath._remedy(slip, better) == "goes for the pawn"
    assert aftermath._remedy(better, better) == ""
    vars(better.gives)["mate"] = True
    assert aftermath._remedy(slip, better) == "is checkmate"
