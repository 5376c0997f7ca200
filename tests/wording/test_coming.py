"""What is told of the next move that a move prepares, leads to or threatens, asked of boards alone."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import Idea
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import coming, maxims
from tests.wording.bare import facts_of

N, B, R, Q, P = chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN, chess.PAWN
FAR = 20


def facts(placed: str, uci: str, *ideas: Idea, guarded: bool = False, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas named, and of its king what the board shows.

    Parameters
    ----------
    guarded : whether the man that moves comes to guard, or attack, what it is asked of
    """
    board = chess.Board(f"{placed} - - 0 1")
    before = frozenset(_steps(board, not board.turn))
    board.push_uci(uci)
    king, now = board.king(board.turn), frozenset(_steps(board, board.turn))
    assert king is not None
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get,
        name_after=lambda *line: _name(board, line),
        comes_to_guard=lambda square: guarded,
        attacked_already=lambda square: False,
        attacked=lambda square: guarded,
        answers_check=False,
    )
    room = SimpleNamespace(
        king=chess.square_name(king), flights=_names(now), squares_taken=_names(before - now), squares_given=()
    )
    given: dict[str, Any] = {
        "seen": seen,
        "room": room,
        "gives": SimpleNamespace(check=board.is_check(), mate=False),
        "replies": SimpleNamespace(replies=board.legal_moves.count()),
        "race": SimpleNamespace(runs_alone=False),
        "worth": SimpleNamespace(outcome_after=1, mate_moves=FAR),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


def _name(board: chess.Board, line: Sequence[chess.Move]) -> str:
    """Return the name of the last move of a line; of a threat as if it were on move again."""
    other = board.copy()
    other.turn = bool(board.color_at(line[0].from_square))
    return other.variation_san(line).split()[-1].rpartition(".")[2]


def _steps(board: chess.Board, side: chess.Color) -> list[chess.Square]:
    other = board.copy()
    other.turn = side
    return [move.to_square for move in other.legal_moves if move.from_square == other.king(side)]


def _names(squares: frozenset[chess.Square]) -> tuple[str, ...]:
    return tuple(map(chess.square_name, sorted(squares)))


def prepared(line: str, does: Next, man: int | None = None, forced: bool = False, **more: bool) -> Prepares:
    reply, move = map(chess.Move.from_uci, line.split())
    return Prepares(reply, move, does, man, forced, forks=more.pop("forks", False), **more)


CAPTURE, PROMOTION, CUTS_OFF, SHRINKS = Next.CAPTURE, Next.PROMOTION, Next.CUTS_OFF, Next.SHRINKS
ROOK_BARE, QUEEN_ROOK = "8/8/3k4/8/8/8/8/R3K3 w", "8/8/8/3r4/8/1k6/8/2Q1K3 w"


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "text"),
    [
        (ROOK_BARE, "a1a4", prepared("d6c6 a4d4", CUTS_OFF), "prepares to cut the king off: if Kc6, Rd4"),
        (ROOK_BARE, "a1a4", prepared("d6c6 e1d2", CUTS_OFF), ""),
        ("8/8/3kn3/8/8/8/8/R3K3 w", "a1a4", prepared("d6c6 a4d4", CUTS_OFF), ""),
        (
            "8/8/8/3r4/8/k7/8/Q3K3 w",
            "a1c1",
            prepared("a3b4 c1b1", CAPTURE, R, forks=True, sure=False),
            "is after the rook: if Kb4, Qb1+",
        ),
        (QUEEN_ROOK, "c1b1", prepared("b3c4 b1c2", CAPTURE, R, forks=True), "forks king and rook: if Kc4, Qc2+"),
        (QUEEN_ROOK, "c1b1", prepared("b3c4 b1c2", CAPTURE, R, skewers=True), "skewers king and rook: if Kc4, Qc2+"),
        (QUEEN_ROOK, "c1b1", prepared("b3c4 b1c2", CAPTURE, R, or_mate=True), "wins the rook, or mates: if Kc4, Qc2+"),
        (
            QUEEN_ROOK,
            "c1b1",
            prepared("b3c4 b1c2", CAPTURE, R, forced=True),
            "wins the rook: after the forced Kc4 comes Qc2+",
        ),
        ("8/8/8/3r4/8/k7/8/3QK3 w", "e1e2", prepared("a3a2 d1d5", CAPTURE, R, sure=False), ""),
        ("8/8/8/3k4/8/8/K1p4R/8 w", "h2h1", prepared("c2c1q h1c1", CAPTURE, P), "stops the pawn: if c1=Q, Rxc1"),
        ("8/8/8/3kb3/8/8/K1p1R3/8 w", "e2e1", prepared("c2c1q e1e5", CAPTURE, B), "wins the bishop: if c1=Q, Rxe5+"),
        (
            "8/8/8/7k/4n3/8/K7/1R5R w",
            "h1h4",
            prepared("h5h4 b1h1", SHRINKS),
            "drives the king to h4, g5 or g6: if Kxh4, Rh1+ makes the box smaller",
        ),
        (
            "8/8/8/7k/8/8/8/K6R w",
            "h1g1",
            prepared("h5h6 g1g2", SHRINKS),
            "holds Black's king on the h-file: if Kh6, Rg2 makes the box smaller",
        ),
        (
            "7k/8/8/6R1/8/8/8/K7 w",
            "g5h5",
            prepared("h8g7 h5g5", SHRINKS),
            "drives the king to g7 or g8: if Kg7, Rg5+ makes the box smaller",
        ),
        (
            "7k/8/6R1/3B4/8/8/8/K7 w",
            "g6h6",
            prepared("h8g7 h6g6", Next.BOX, forced=True),
            "drives the king to g7: then Rg6+ shuts the king in a box",
        ),
        (
            "7k/8/4N3/8/2B5/8/8/K7 w",
            "e6f8",
            prepared("h8g7 c4d5", Next.SHUTS, forced=True),
            "leaves Black's king only g7: then Bd5 shuts the king in",
        ),
        (
            "7k/R5pp/8/8/8/8/1r6/K7 w",
            "a7a8",
            prepared("b2b8 a8b8", SHRINKS, forced=True),
            "takes g8 from Black's king: Rb8 is forced, and Rxb8# makes the box smaller",
        ),
        (
            "1N6/P7/8/6k1/8/8/8/1r1K3R w",
            "d1c2",
            prepared("b1b8 a7b8q", PROMOTION, Q),
            "lets the pawn go on to make a queen: if Rxb8, axb8=Q",
        ),
        ("3r4/8/8/7k/8/8/K7/1R1R4 w", "d1d4", prepared("d8d4 b1b5", CAPTURE, R), "wins the rook: if Rxd4, Rb5+"),
        (
            "3r4/8/8/7k/8/4K3/8/1R1R4 w",
            "d1d4",
            prepared("d8d4 e3d4", CAPTURE, R),
            "offers to exchange rooks: if Rxd4, Kxd4",
        ),
        (
            "8/8/4n3/7k/8/4K3/8/1R1R4 w",
            "d1d4",
            prepared("e6d4 e3d4", CAPTURE, N),
            "offers the rook for the knight: if Nxd4, Kxd4",
        ),
        (
            "8/8/4n3/7k/3R4/8/4K3/1R6 w",
            "e2e3",
            prepared("e6d4 e3d4", CAPTURE, N),
            "lets the knight take only at its own cost: if Nxd4, Kxd4",
        ),
        ("8/8/8/7k/3p4/8/8/R5K1 w", "a1a3", prepared("d4d3 a3d3", CAPTURE, P), "wins the pawn: if d3, Rxd3"),
        (
            "8/8/8/7k/3p4/8/8/R5K1 w",
            "a1d1",
            prepared("d4d3 d1d3", CAPTURE, P, sure=False),
            "is after the pawn: if d3, Rxd3",
        ),
        ("8/8/8/7k/3p4/8/8/R5K1 w", "a1a8", prepared("h5h4 a8d8", CAPTURE, P), "wins the pawn: if Kh4, Rd8"),
        (
            "1k6/P7/8/1K6/8/8/8/6R1 w",
            "g1b1",
            prepared("b8c7 a7a8q", PROMOTION, Q),
            "lets the pawn go on to make a queen: if Kc7, a8=Q",
        ),
        ("1k6/P7/8/1K6/8/8/8/6R1 w", "g1b1", prepared("b8b7 a7a8q", PROMOTION, Q), ""),
    ],
)
def test_what_is_prepared_is_told_by_what_it_does_and_to_which_man(
    placed: str, uci: str, idea: Prepares, text: str
) -> None:
    assert coming.prepares(idea, facts(placed, uci)) == text
    assert coming.prepares(idea, facts(placed, uci, race=SimpleNamespace(runs_alone=True))) == ""
    assert coming.wins_man(idea, facts(placed, uci)) == (text if idea.does is CAPTURE else "")
    won = idea.sure and (idea.forks or idea.skewers)
    assert coming.wins_by_check(idea, facts(placed, uci)) == (text if won else "")


@pytest.mark.parametrize(
    ("threat", "man", "text"),
    [(Threat.CAPTURE, R, "attacks the rook: if Ka2, Qxd5+"), (Threat.CAPTURE, N, ""), (Threat.MATE, R, "")],
)
def test_a_man_that_may_get_away_is_gone_for_where_the_move_attacks_it(threat: Threat, man: int, text: str) -> None:
    idea = prepared("a3a2 d1d5", CAPTURE, R, sure=False)
    now = Threatens(threat, idea.move, chess.D5, man)
    assert coming.prepares(idea, facts("8/8/8/3r4/8/k7/8/3QK3 w", "e1e2", now)) == text


@pytest.mark.parametrize(("reply", "text"), [("d5d3", "is after the rook: if Rd3, Qxd3"), ("a4b5", "attacks")])
def test_a_man_that_must_step_to_where_it_is_taken_is_not_attacked_yet(reply: str, text: str) -> None:
    idea = prepared(f"{reply} c3{'d3' if reply == 'd5d3' else 'c5'}", CAPTURE, R, sure=False)
    assert coming.prepares(idea, facts("8/8/8/3r4/k7/8/8/2Q1K3 w", "c1c3", idea, guarded=True)).startswith(text)


def test_beside_a_man_saved_no_promotion_is_helped_on_but_a_mate_is_forced() -> None:
    saved, mates = Saved(B, chess.C4, False, N), led("h8h7 c4d5", MATE)
    assert coming.leads_to(mates, facts(CAGED, "a1b2", mates, saved)) == "forces mate: if Kh7, Bd5"
    promotes = led("h8h7 c4d5", PROMOTION, Q)
    assert coming.leads_to(promotes, facts(CAGED, "a1b2", promotes, saved)) == ""


def test_a_forced_step_is_named_where_what_leads_to_it_does_not_say_where_the_king_goes() -> None:
    idea, up = prepared("h8g8 a7a8", SHRINKS, forced=True), KingUp(3, HeldBy.NOTHING)
    given = facts("7k/R7/8/4K3/8/8/8/8 w", "e5e6", up, kings=SimpleNamespace(kings_before=4, kings_after=3))
    assert coming.prepares(idea, given) == ("brings the king up to help: Kg8 is forced, and Ra8+ makes the box smaller")


def test_of_a_pawn_that_runs_by_itself_only_what_is_taken_from_the_king_is_told_before_it_promotes() -> None:
    runs, race = "a2a3 h4h5 a3a4 h5h6", SimpleNamespace(runs_alone=True)
    placed = "8/8/8/8/6KP/8/k7/8 w"
    promotes, mates = led(runs, PROMOTION, Q), led(runs, MATE)
    assert coming.leads_to(promotes, facts(placed, "g4g5", promotes, race=race)) == ""
    assert coming.leads_to(mates, facts(placed, "g4g5", mates, race=race)).startswith("forces mate: if Ka3, h5")


@pytest.mark.parametrize(
    ("aim", "runs", "mate_moves", "rule"),
    [
        (None, False, FAR, maxims.ROOM_FIRST),
        (Aim.PAWN, False, FAR, maxims.WHERE_IT_WANTS),
        (Aim.PAWN, True, FAR, maxims.ROOM_FIRST),
        (Aim.OWN_MAN, False, FAR, maxims.WHERE_IT_WANTS),
        (Aim.OWN_MAN, False, 4, maxims.ROOM_FIRST),
    ],
)
def test_where_a_way_is_shut_that_matters_it_is_taught_to_guard_where_the_king_wants_to_go(
    aim: Aim | None, runs: bool, mate_moves: int, rule: str
) -> None:
    shut = () if aim is None else (ShutsWay(aim, (chess.E4,), chess.A2, last=True),)
    worth, race = SimpleNamespace(outcome_after=1, mate_moves=mate_moves), SimpleNamespace(runs_alone=runs)
    given = facts("8/8/3k4/8/8/8/P7/K6R w", "h1h4", *shut, worth=worth, race=race)
    assert len(given.room.flights) > 3
    assert coming.room_maxim(given) == rule


def led(line: str, does: Next, man: int | None = None) -> LeadsTo:
    return LeadsTo(tuple(map(chess.Move.from_uci, line.split())), does, man)


MATE = Next.MATE
CAGED = "7k/8/4N3/8/2B5/8/8/K7 w"


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "text"),
    [
        (CAGED, "e6f8", led("h8g7 c4d5", MATE), "leaves Black's king only g7: if Kg7, Bd5"),
        (CAGED, "e6f8", led("h8g7 c4d5 g7f8 d5e6", MATE), "leaves Black's king only g7: if Kg7, Bd5 and mate next"),
        (
            CAGED,
            "e6f8",
            led("h8g7 c4d5 g7f8 d5e6 f8e7 e6d5", MATE),
            "leaves Black's king only g7: if Kg7, Bd5 and mate soon",
        ),
        (CAGED, "a1b2", led("h8h7 c4d5", MATE), "forces mate: if Kh7, Bd5"),
        (QUEEN_ROOK, "c1b1", led("b3c4 b1c2", CAPTURE, R), "takes a2 and b4 from Black's king: if Kc4, Qc2+"),
        (
            QUEEN_ROOK,
            "c1b1",
            led("b3c4 b1c2 c4d4 c2d2", CAPTURE, R),
            "looks for a fork: if Kc4, Qc2+, then Qd2+ wins the rook",
        ),
        (
            QUEEN_ROOK,
            "c1b1",
            led("b3c4 b1c2 c4d4 c2d2 d4e5 d2d5", CAPTURE, R),
            "looks for a fork: if Kc4, Qc2+, and soon Qxd5+ wins the rook",
        ),
        ("8/8/8/3r4/8/k7/8/3QK3 w", "e1e2", led("a3a2 d1c2 a2a1 c2d2", CAPTURE, R), ""),
        (
            "8/8/8/8/7k/8/P7/1K6 w",
            "b1b2",
            led("h4g4 a2a3 g4f4 a3a4", PROMOTION, Q),
            "helps the pawn on: if Kg4, a3, and soon a4",
        ),
        (
            "8/8/8/8/7k/8/P7/1K6 w",
            "b1b2",
            led("h4g4 a2a3 g4f4 a3a4 f4e5 a4a5", PROMOTION, Q),
            "helps the pawn on: if Kg4, a3, and soon a5",
        ),
    ],
)
def test_a_line_is_told_by_its_first_moves_and_its_last(placed: str, uci: str, idea: LeadsTo, text: str) -> None:
    told = coming.leads_to(idea, facts(placed, uci, idea, guarded=True))
    assert told == text


@pytest.mark.parametrize(
    ("placed", "uci", "hunts"),
    [
        (QUEEN_ROOK, "c1b1", True),
        (QUEEN_ROOK, "e1e2", False),
        ("8/8/8/3n4/8/1k6/8/2Q1K3 w", "c1b1", False),
        ("8/8/8/3r4/8/1k6/8/2R1K3 w", "c1b1", False),
    ],
)
def test_a_queen_that_checks_hunts_a_rook(placed: str, uci: str, hunts: bool) -> None:
    assert coming.hunts(facts(placed, uci)) == hunts


@pytest.mark.parametrize(
    ("deed", "rule"), [(StalemateDeed.AVOIDS, maxims.LEAVE_A_MOVE), (StalemateDeed.SETS, ""), (None, "")]
)
def test_it_is_taught_to_leave_a_move_where_another_would_have_been_stalemate(
    deed: StalemateDeed | None, rule: str
) -> None:
    ideas = () if deed is None else (StalemateTrap(deed, ()),)
    assert coming.lead_maxim(facts("7k/8/8/8/8/8/8/K1Q5 w", "a1b2", *ideas)) == rule


@pytest.mark.parametrize(
    ("does", "sure", "or_mate", "last"),
    [
        (CAPTURE, True, False, True),
        (CAPTURE, False, False, False),
        (CAPTURE, True, True, False),
        (SHRINKS, True, False, False),
        (None, True, False, False),
    ],
)
def test_an_attack_teaches_to_take_the_last_man_only_where_it_falls_and_no_mate_comes_first(
    does: Next | None, sure: bool, or_mate: bool, last: bool
) -> None:
    threat = Threatens(Threat.CAPTURE, chess.Move.from_uci("b1b5"), chess.B5, R)
    falls = () if does is None else (prepared("h8g8 b1b5", does, R, sure=sure, or_mate=or_mate),)
    given = facts("7k/8/8/1r6/8/8/8/K2Q4 w", "d1b1", threat, *falls)
    assert coming.threat_maxim(given) == (maxims.last_man(given) if last else maxims.LOOSE_TARGET)


@pytest.mark.parametrize(
    ("placed", "sure", "text"),
    [
        ("8/8/1P6/6kn/8/8/8/K7 w", False, "threatens to promote by b8=Q"),
        ("8/8/1P6/6kn/8/8/8/K7 w", True, "gets the pawn past the knight: it can no longer stop b8=Q"),
        ("8/8/1P6/6k1/8/8/8/K7 w", True, "threatens to promote by b8=Q"),
        ("8/8/1P6/5nkn/8/8/8/K7 w", True, "threatens to promote by b8=Q"),
    ],
)
def test_a_pawn_gets_past_the_only_man_that_could_have_stopped_it(placed: str, sure: bool, text: str) -> None:
    idea = Threatens(Threat.PROMOTION, chess.Move.from_uci("b7b8q"), chess.B8, Q, sure)
    assert coming.threatens(idea, facts(placed, "b6b7", idea)) == text


@pytest.mark.parametrize(
    ("mate_moves", "again", "ahead", "text"),
    [
        (FAR, False, (), "attacks the rook on b5"),
        (FAR, True, (), "attacks the rook on b5 a second time"),
        (7, False, (), "attacks the rook on b5"),
        (6, False, (), ""),
        (6, False, ("Kg8", "Kg2"), ""),
        (6, False, ("Kg8", "Qxb5"), "attacks the rook on b5"),
        (6, False, ("Kg8", "Qxb5", "Kg7"), ""),
        (5, True, (), "attacks the rook on b5 a second time"),
        (4, True, (), ""),
    ],
)
def test_a_man_attacked_is_named_where_no_mate_comes_before_it_is_taken(
    mate_moves: int, again: bool, ahead: tuple[str, ...], text: str
) -> None:
    idea = Threatens(Threat.CAPTURE, chess.Move.from_uci("b1b5"), chess.B5, R, again=again)
    worth = SimpleNamespace(outcome_after=1, mate_moves=mate_moves)
    given = facts("7k/8/8/1r6/8/8/8/K2Q4 w", "d1b1", idea, worth=worth, then=SimpleNamespace(ahead=ahead))
    assert coming.threatens(idea, given) == coming.attacks(idea, given) == text
