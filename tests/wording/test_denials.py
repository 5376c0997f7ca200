"""What a defence cannot stop, keeps from the attacker or lets in, asked of boards alone."""

from __future__ import annotations

from functools import partial
from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.idea import Idea
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.looms import Looms
from matebot.ideas.prepares import Next
from matebot.wording import counsel, defence_lessons, denials, to_come
from tests.wording.bare import facts_of

P, N, B, R, Q = chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN
FAR = 20
CAPTURE, PROMOTION, MATE = Next.CAPTURE, Next.PROMOTION, Next.MATE


def line(text: str) -> tuple[chess.Move, ...]:
    return tuple(map(chess.Move.from_uci, text.split()))


def moves(text: str) -> tuple[chess.Move, chess.Move]:
    first, second = line(text)
    return first, second


def facts(placed: str, uci: str, *ideas: Idea, forced: bool = True, mate: int = FAR, **man: Any) -> MoveFacts:
    """Return facts of a defence: the ideas named, and whether what comes is forced.

    Parameters
    ----------
    man : what is to be said of the man that moves that the board does not show
    """
    board = chess.Board(f"{placed} - - 0 1")
    after = board.copy()
    after.push_uci(uci)
    contrast = SimpleNamespace(is_forced=lambda does, plies: forced, one_reply=True, saved_else=False)
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get,
        contrast=contrast,
        name=partial(_name, board),
        name_after=partial(_name, after),
        answers_check=False,
    )
    told: dict[str, Any] = {
        "seen": seen,
        "worth": SimpleNamespace(outcome_after=-1, mate_moves=mate),
        "race": SimpleNamespace(steps_short=None, runs_alone=False),
    }
    found = facts_of(f"{placed} - - 0 1", uci, **told)
    vars(found.man).update(man)
    return found


def _name(board: chess.Board, *moves: chess.Move) -> str:
    return board.variation_san(moves).split()[-1].rpartition(".")[2]


KNIGHT_LOST, PAWN_LOST = "8/8/3k4/8/3n4/8/3R4/K7 b", "7K/8/3k4/8/8/8/3p4/4R3 b"


@pytest.mark.parametrize(
    ("placed", "uci", "moves", "does", "man", "forced", "text"),
    [
        (KNIGHT_LOST, "d6d5", "d2d4", CAPTURE, N, True, "cannot save the knight: Rxd4 follows"),
        (KNIGHT_LOST, "d6d5", "d2d4", CAPTURE, N, False, ""),
        (KNIGHT_LOST, "d6c5", "d2d1 c5c4 d1d4", CAPTURE, N, True, "cannot save the knight: first Rd1, then Rxd4"),
        (
            KNIGHT_LOST,
            "d6c5",
            "d2d1 c5c4 a1a2 c4c3 d1d4",
            CAPTURE,
            N,
            True,
            "cannot save the knight: it falls in three moves, beginning with Rd1",
        ),
        (PAWN_LOST, "d6d5", "e1f1 d2d1q f1d1", CAPTURE, Q, True, "cannot save the pawn: it falls after Rf1"),
        (PAWN_LOST, "d6d5", "e1f1 d2d1q f1f3", CAPTURE, N, True, "cannot save the knight: first Rf1, then Rf3"),
        (PAWN_LOST, "d6d5", "e1f1 d5d4 f1d1", CAPTURE, P, True, "cannot save the pawn: first Rf1, then Rd1"),
        ("7k/8/8/6K1/8/8/8/R7 b", "h8g7", "a1a7", MATE, None, True, "cannot stop Ra7+"),
        (
            "7k/8/8/6K1/8/8/8/R7 b",
            "h8g7",
            "a1a7 g7h8 g5g6",
            MATE,
            None,
            True,
            "cannot stop Ra7+, with mate next move",
        ),
        ("7k/8/8/6K1/8/8/8/R7 b", "h8g7", "a1a7 g7h8 g5g6 h8g8 a7a8", MATE, None, True, ""),
        (
            "8/3P4/8/5k2/8/8/8/K7 b",
            "f5e6",
            "a1b2 e6f6 d7d8q",
            PROMOTION,
            Q,
            True,
            "cannot stop the pawn: first Kb2, then d8=Q",
        ),
    ],
)
def test_what_a_defence_cannot_stop_is_told_by_the_moves_to_it(
    placed: str, uci: str, moves: str, does: Next, man: int | None, forced: bool, text: str
) -> None:
    assert to_come.cannot(facts(placed, uci, EndsIn(line(moves), does, man), forced=forced)).text == text


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "man", "text"),
    [
        (
            KNIGHT_LOST,
            "d6d5",
            Expects(chess.Move.from_uci("d2d4"), CAPTURE, N),
            {},
            "cannot save the knight: Rxd4+ takes it",
        ),
        (
            "7K/8/3k4/8/8/6n1/3p4/4R3 b",
            "d2d1q",
            Expects(chess.Move.from_uci("e1d1"), CAPTURE, Q),
            {"promoted": "queen"},
            "cannot save the pawn: Rxd1+ takes the new queen",
        ),
        (
            "7K/8/3k4/8/8/4n3/3p4/4R3 b",
            "d2d1q",
            Expects(chess.Move.from_uci("e1e3"), CAPTURE, N),
            {"promoted": "queen"},
            "cannot save the knight: Rxe3 takes it",
        ),
        (
            "8/3P4/8/5k2/8/8/8/K7 b",
            "f5e6",
            Expects(chess.Move.from_uci("d7d8q"), PROMOTION, Q),
            {},
            "cannot stop the pawn: it promotes by d8=Q",
        ),
    ],
)
def test_the_next_move_of_the_attacker_is_told_by_what_it_takes_or_makes(
    placed: str, uci: str, idea: Expects, man: dict[str, Any], text: str
) -> None:
    assert to_come.cannot(facts(placed, uci, idea, **man)).text == text


BARE_ROOK, WITH_KNIGHT, PAWN_ON = "8/8/3k4/8/8/8/8/R3K3 b", "8/8/3k4/7n/8/8/8/R3K3 b", "8/8/3k4/8/8/8/P7/R3K3 b"


@pytest.mark.parametrize(
    ("placed", "uci", "answer", "does", "man", "text"),
    [
        (BARE_ROOK, "d6e6", "d6d5 a1a4", Next.CUTS_OFF, None, "Kd5 lets Ra4 cut Black's king off"),
        (BARE_ROOK, "d6e6", "d6d5 a1a4", Next.SHRINKS, None, "Kd5 lets Ra4 shrink the box"),
        (BARE_ROOK, "d6e6", "d6d5 a1a4", Next.KING_UP, None, ""),
        (BARE_ROOK, "d6e6", "d6d5 a1a4", Next.OPPOSITION, None, "Kd5 lets Ra4 take the opposition"),
        (BARE_ROOK, "d6e6", "d6d5 e1e2", Next.CUTS_OFF, None, ""),
        (BARE_ROOK, "d6e6", "d6d5 e1e2", Next.SHUTS, None, ""),
        (BARE_ROOK, "d6e6", "d6d5 e1e2", Next.OPPOSITION, None, "Kd5 lets Ke2 take the opposition"),
        (PAWN_ON, "d6e6", "d6d5 a2a3", Next.CUTS_OFF, None, ""),
        (PAWN_ON, "d6e6", "d6d5 e1e2", Next.OPPOSITION, None, ""),
        (WITH_KNIGHT, "h5f4", "d6d5 a1a5", CAPTURE, N, "Kd5 loses the knight to Ra5+"),
        ("8/8/3k4/7n/8/8/P7/K7 b", "h5f4", "d6d5 a2a3", CAPTURE, N, "Kd5 loses the knight to a3"),
        (WITH_KNIGHT, "h5f4", "d6d5 a1a4", Next.SHUTS, None, ""),
    ],
)
def test_what_another_defence_lets_in_at_once_is_told_where_a_man_does_it(
    placed: str, uci: str, answer: str, does: Next, man: int | None, text: str
) -> None:
    idea = LetsAtOnce(*moves(answer), does, man)
    assert denials.at_once(idea, facts(placed, uci, idea)) == text


@pytest.mark.parametrize(
    ("does", "man", "forced", "text"),
    [
        (CAPTURE, N, True, "cannot save the knight: first Rd1, then Rxd4"),
        (CAPTURE, N, False, ""),
        (Next.SHUTS, None, False, ""),
    ],
)
def test_what_comes_after_the_next_move_is_told_of_a_man_where_it_is_forced(
    does: Next, man: int | None, forced: bool, text: str
) -> None:
    idea = Looms(line("d2d1 c5c4 d1d4"), does, man)
    assert to_come.looms(idea, facts(KNIGHT_LOST, "d6c5", idea, forced=forced)).text == text


@pytest.mark.parametrize(
    ("what", "alone", "next_best", "text"),
    [
        (Denied.CAPTURE, False, "d6d5", "Kd5 loses the knight to Ra5+"),
        (Denied.CAPTURE, False, "d6c6", ""),
        (Denied.FORK, True, "d6c6", ""),
        (Denied.FORK, False, "d6c6", "Kd5 allows the fork Ra5+"),
        (Denied.CAPTURE, None, "", "Kd5 loses the knight to Ra5+"),
    ],
)
def test_what_a_bad_move_lets_in_is_no_reason_where_another_is_not_much_worse(
    what: Denied, alone: bool | None, next_best: str, text: str
) -> None:
    idea = Denies(what, *moves("d6d5 a1a5"), N, 0, 0)
    told: tuple[Idea, ...] = (idea,)
    if alone is not None:
        told = (idea, Critical(alone, 2, 4, 0, *moves(f"{next_best} a1a5"), like_it=0, off_edge=False))
    assert denials.denied(idea, facts(WITH_KNIGHT, "h5f4", *told)) == text


def test_a_king_is_held_on_the_edge_where_it_stood_there_when_another_man_moves() -> None:
    idea = Denies(Denied.EDGE, *moves("h5g7 d1a1"), None, 0, 0)
    told = denials.denied(idea, facts("8/8/8/k6n/8/8/8/3RK3 b", "a5b5", idea))
    assert told == "Ng7 lets Ra1+ hold Black's king on the edge"


QUEEN = "8/2k5/8/8/8/8/7n/K3Q3 b"


@pytest.mark.parametrize(
    ("what", "left", "other", "uci", "rule"),
    [
        (Denied.ROOM, (chess.A2, chess.B1), "c7c8", "c7c6", counsel.OFF_THE_EDGE),
        (Denied.ROOM, (chess.A1, chess.A2), "c7c8", "c7c6", ""),  # one file
        (Denied.ROOM, (chess.A1, chess.B1), "c7c8", "c7c6", ""),  # one rank
        (Denied.ROOM, (chess.A2, chess.B2), "c7c8", "c7c6", counsel.FEWER),
        (Denied.ROOM, (chess.A2, chess.B1), "h2f3", "c7c6", ""),
        (Denied.EDGE, (), "c7c8", "c7c6", counsel.OFF_THE_EDGE),
        (Denied.EDGE, (), "c7d7", "c7c6", ""),
        (Denied.EDGE, (), "c7d7", "c7b7", counsel.OFF_THE_EDGE),
        (Denied.EDGE, (), "c7c8", "c7b8", ""),
        (Denied.EDGE, (), "h2f3", "c7c6", ""),
        (Denied.CAPTURE, (), "c7c8", "c7c6", counsel.NO_GIFTS),
        (Denied.BOX, (), "c7c8", "c7c6", counsel.FEWER),
    ],
)
def test_what_is_let_in_teaches_to_stay_off_the_edge_where_the_king_would_be_held_on_it(
    what: Denied, left: tuple[chess.Square, ...], other: str, uci: str, rule: str
) -> None:
    idea = Denies(what, *moves(f"{other} e1e2"), None, 0, 0, left)
    assert defence_lessons.of_what_is_let_in(idea, facts(QUEEN, uci, idea)) == rule


@pytest.mark.parametrize(
    ("placed", "uci", "reply", "does", "man", "ideas", "text"),
    [
        (BARE_ROOK, "d6e6", "e1e2", Next.KING_UP, None, (), "White brings its king up by Ke2"),
        (BARE_ROOK, "d6e6", "e1d1", Next.KING_UP, None, (), ""),
        (BARE_ROOK, "d6e6", "a1a5", Next.CUTS_OFF, None, (), "White cuts Black's king off by Ra5"),
        (BARE_ROOK, "d6e6", "a1a5", None, None, (), ""),
        ("8/8/3k4/8/8/8/5n2/R2K4 b", "d6d5", "d1e2", Next.KING_UP, None, (), "White attacks the knight by Ke2"),
        ("8/3P4/8/5k2/8/8/8/K7 b", "f5e6", "d7d8q", PROMOTION, Q, (), ""),
        (WITH_KNIGHT, "d6e6", "a1a5", CAPTURE, N, (EndsIn(line("a1a5 h5f4 e1e2"), CAPTURE, N),), ""),
        (
            WITH_KNIGHT,
            "d6e6",
            "a1a5",
            CAPTURE,
            N,
            (EndsIn(line("a1a5"), CAPTURE, N),),
            "White takes the knight by Ra5",
        ),
    ],
)
def test_what_the_attacker_does_next_is_told_where_nothing_is_won_soon(
    placed: str, uci: str, reply: str, does: Next | None, man: int | None, ideas: tuple[Idea, ...], text: str
) -> None:
    assert to_come.comes(facts(placed, uci, Expects(chess.Move.from_uci(reply), does, man), *ideas)).text == text
    assert to_come.comes(facts(placed, uci, *ideas)).text == ""


@pytest.mark.parametrize(
    ("does", "moves", "text"),
    [
        (Next.OPPOSITION, "a1a2 e6e5 e1e2", ""),
        (
            Next.CUTS_OFF,
            "e1e2 e6d5 a1a4",
            "does not stop the mate: after Ke2 Kd5 comes Ra4, which cuts Black's king off",
        ),
        (Next.SHUTS, "e1e2 e6d5 a1a4", "cannot avoid the cage: after Ke2 Kd5 comes Ra4"),
        (Next.KING_UP, "a1a2 e6e5 e1e2", ""),
    ],
)
def test_what_a_piece_does_with_the_move_after_next_is_told_and_no_step_of_the_king(
    does: Next, moves: str, text: str
) -> None:
    idea = Looms(line(moves), does, None)
    assert to_come.looms(idea, facts(BARE_ROOK, "d6e6", idea)).text == text
