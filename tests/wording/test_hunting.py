"""What is told of a king that goes for a man, and of a rook behind its pawn, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.squares import king_steps
from matebot.wording import maxims
from matebot.wording.defence import STRONG, _shared
from matebot.wording.hunting import man_maxim, nears_man
from matebot.wording.pawns import from_behind
from tests.wording.bare import facts_of

_FAR = 20
_INSIDE = "pawn on d3: the king is inside its square"


def nearing(fen: str, uci: str, inside: bool | None, helps: bool) -> tuple[NearsMan, MoveFacts]:
    """Return that a king goes for the only man of the other side, and facts of its step."""
    board, move = chess.Board(f"{fen} - - 0 1"), chess.Move.from_uci(uci)
    (man,) = chess.scan_forward(board.occupied_co[not board.turn] & ~board.kings)
    rival, kind = board.king(not board.turn), board.piece_type_at(man)
    assert rival is not None
    assert kind is not None
    idea = NearsMan(kind, man, king_steps(move.to_square, man), king_steps(rival, man), inside)
    seen = SimpleNamespace(
        idea=lambda kind: idea if kind is NearsMan else None,
        slower_moves=SimpleNamespace(hunts=lambda square: helps),
        answers_check=False,
    )
    worth = SimpleNamespace(outcome_after=1, mate_moves=_FAR)
    ways = SimpleNamespace(held_from=())
    return idea, facts_of(board.fen(), uci, by_winner=True, seen=seen, worth=worth, ways=ways)


@pytest.mark.parametrize(
    ("fen", "uci", "inside", "helps", "text", "rule"),
    [
        ("8/8/8/8/3n4/8/1K6/R6k w", "b2c3", None, False, "attacks the knight on d4", maxims.ATTACK_TOGETHER),
        ("8/8/8/8/3nk3/8/K7/R7 w", "a2b2", None, False, "brings the king up against king and knight", "together"),
        ("8/8/8/8/3nk3/8/K7/Q7 w", "a2b2", None, False, "", "together"),
        ("8/8/8/8/3nk3/8/1K6/Q7 w", "b2c3", None, False, "attacks the knight on d4", "together"),
        ("8/8/8/8/3rk3/8/K7/Q7 w", "a2b2", None, False, "brings the king up against king and rook", "together"),
        ("8/8/8/8/3n4/8/K7/R5k1 w", "a2b2", None, True, "", ""),
        ("8/8/8/8/3n1k2/8/K7/R7 w", "a2b2", None, True, "", ""),
        ("8/8/8/8/3nk3/8/K6P/8 w", "a2b2", None, True, "", "together"),
        ("8/8/8/8/3nk3/8/1K5P/8 w", "b2c3", None, True, "attacks the knight on d4", "together"),
        (
            "8/8/8/8/K7/3p3k/8/R7 w",
            "a4b3",
            True,
            True,
            f"goes for the {_INSIDE}",
            "together",
        ),
        ("7k/8/8/8/8/3p4/8/R1K5 w", "c1d1", True, True, "stands in the way of the pawn on d3", maxims.BEFORE_IT),
        ("7k/8/8/8/8/3p4/8/R1K5 w", "c1d1", False, True, "comes to help the rook against the pawn on d3", ""),
        ("3k4/8/8/3P4/8/8/8/r1K5 b", "d8d7", True, True, "stands in the way of the pawn on d5", maxims.BEFORE_IT),
        (
            "8/8/8/8/K7/3p3k/7P/8 w",
            "a4b3",
            True,
            True,
            f"goes for the {_INSIDE}",
            maxims.INSIDE_SQUARE,
        ),
        ("8/8/8/8/K6k/3p4/8/R7 w", "a4b3", False, True, "comes to help the rook against the pawn on d3", ""),
        ("8/8/8/8/K6k/3p4/8/Q7 w", "a4b3", False, True, "", ""),
        ("8/8/8/8/K6k/3p4/8/B7 w", "a4b3", False, True, "hurries to stop the pawn on d3", ""),
        ("8/8/8/8/K6k/3p4/8/B7 w", "a4b3", False, False, "", ""),
        ("8/8/8/8/K6k/3p4/7P/8 w", "a4b3", False, False, "hurries to stop the pawn on d3", ""),
        ("8/8/8/8/K7/3p4/4k3/R7 w", "a4b3", True, True, "comes to help the rook against the pawn on d3", "together"),
        ("8/8/8/8/K7/3p4/4k3/B7 w", "a4b3", False, False, "", ""),
    ],
)
def test_a_king_that_goes_for_a_man_is_told_by_who_else_could_and_how_the_man_stands(
    fen: str, uci: str, inside: bool | None, helps: bool, text: str, rule: str
) -> None:
    idea, facts = nearing(fen, uci, inside, helps)
    assert nears_man(idea, facts) == text
    assert man_maxim(facts) == (maxims.ATTACK_TOGETHER if rule == "together" else rule)


@pytest.mark.parametrize(
    ("fen", "uci", "behind"),
    [
        ("8/8/8/3P4/8/7k/8/K6R w - - 0 1", "h1d1", True),
        ("8/8/8/3P4/8/7k/8/K2R4 w - - 0 1", "d1d4", False),  # it was there
        ("8/3R4/8/3P4/8/8/7k/K7 w - - 0 1", "d7e7", False),
        ("8/7R/8/3P4/8/8/7k/K7 w - - 0 1", "h7d7", False),  # that is before it
        ("8/8/8/3P4/8/3K4/7k/7R w - - 0 1", "h1d1", False),  # the king stands between
        ("8/8/8/3P4/3k4/8/8/K6R w - - 0 1", "h1d1", False),
        ("8/8/8/3P4/3K4/8/7k/6R1 w - - 0 1", "g1d1", False),
        ("8/8/8/3P4/2K5/8/7k/6R1 w - - 0 1", "g1d1", True),
        ("8/8/8/3P4/8/8/3n2k1/K4R2 w - - 0 1", "f1d1", False),
        ("8/8/8/3P4/8/6k1/8/K4B2 w - - 0 1", "f1d3", False),
        ("8/8/3P4/3P4/8/7k/8/K6R w - - 0 1", "h1d1", False),
        ("k6r/8/8/8/3p4/8/7K/8 b - - 0 1", "h8d8", True),
        ("k7/8/8/3p4/8/8/6rK/8 b - - 0 1", "g2d2", False),
        ("k6r/8/3n4/8/3p4/8/7K/8 b - - 0 1", "h8d8", False),
    ],
)
def test_a_rook_comes_behind_its_pawn_with_nothing_between(fen: str, uci: str, behind: bool) -> None:
    text = "puts the rook behind its pawn, to push it on" if behind else ""
    assert from_behind(facts_of(fen, uci, by_winner=True, race=SimpleNamespace(runs_alone=False))) == text
    assert not from_behind(facts_of(fen, uci, by_winner=True, race=SimpleNamespace(runs_alone=True)))


@pytest.mark.parametrize(
    ("reach", "steps", "other", "his", "shared"),
    [
        (Reach.NEARER, 3, Reach.NEARER, 3, True),
        (Reach.NEARER, 3, Reach.NEARER, 2, True),
        (Reach.NEARER, 3, Reach.NEARER, 4, False),
        (Reach.NEARER, 3, Reach.IN_FRONT, 2, True),
        (Reach.IN_FRONT, 2, Reach.NEARER, 2, False),
        (Reach.IN_FRONT, 2, Reach.IN_FRONT, 2, True),
        (Reach.IN_FRONT, 3, Reach.IN_FRONT, 2, False),
        (Reach.SQUARE, 2, Reach.SQUARE, 2, True),
    ],
)
def test_a_king_does_no_more_at_a_pawn_than_another_step_that_comes_as_near(
    reach: Reach, steps: int, other: Reach, his: int, shared: bool
) -> None:
    reason = next(reason for reason in STRONG if reason.kind is AtPawn)
    mine, theirs = (
        facts_of(
            "8/8/3k4/8/8/4P3/8/K7 b - - 0 1",
            "d6d5",
            seen=SimpleNamespace(idea={AtPawn: AtPawn(how, chess.E3, far, 5)}.get),
            race=SimpleNamespace(pawn_moves=None),
        )
        for how, far in ((reach, steps), (other, his))
    )
    assert _shared(reason, mine, theirs) == shared
