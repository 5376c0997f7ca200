"""What is said of kings holds where the men stand, worked out by hand."""

from __future__ import annotations

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.ideas.answers import Answers
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW
from matebot.ideas.mating_net import MatingNet
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.towards_w import TowardsW
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.wording import coming, king_and_pawn, kings, leads, maxims, minors, nets
from matebot.wording.aftermath import way_back
from matebot.wording.moves import line
from matebot.wording.said import answered, defender, of


def facts_of(library: Library, placed: str, move: str) -> MoveFacts:
    board = chess.Board(f"{placed} - - 0 1")
    return FactMaker(Judged.of(library, board)).facts(chess.Move.from_uci(move))


@pytest.mark.parametrize(("move", "runs"), [("f1f2", True), ("f1g2", True), ("f1e2", False)])
def test_a_pawn_runs_by_itself_where_no_king_catches_it_and_its_own_is_not_in_its_way(
    library: Library, move: str, runs: bool
) -> None:
    facts = facts_of(library, "8/8/5K2/8/8/4p3/8/5k2 b", move)
    idea = facts.seen.idea(KingUp)
    assert idea is not None
    assert ("by itself" in kings.king_up(idea, facts)) == runs


@pytest.mark.parametrize(
    ("placed", "move", "stays"),
    [
        ("4k3/8/4K3/8/4P3/8/8/8 w", "e6d6", True),  # d6, e6 and f6 are the key squares of the pawn
        ("4k3/8/8/4K3/4P3/8/8/8 w", "e5f5", False),
    ],
)
def test_a_king_that_clears_the_way_stays_on_a_key_square_or_not(
    library: Library, placed: str, move: str, stays: bool
) -> None:
    text = king_and_pawn.clears(facts_of(library, placed, move))
    assert "pawn" in text
    assert ("key square" in text) == stays


@pytest.mark.parametrize(
    ("placed", "move"),
    [("8/2q5/8/8/8/8/8/4k2K b", "c7g7"), ("8/q7/8/8/8/5k1K/8/8 b", "a7a2"), ("8/2Q5/8/8/k7/8/1K6/8 w", "c7b7")],
)
def test_a_net_that_is_not_shut_at_once_does_not_teach_to_leave_one_move(
    library: Library, placed: str, move: str
) -> None:
    facts = facts_of(library, placed, move)
    idea = facts.seen.idea(MatingNet)
    assert idea is not None
    assert idea.forced
    assert not idea.at_once
    assert nets.maxim(facts) != maxims.LEAVE_ONE_MOVE
    assert "True" not in nets.next_but_one(idea, facts)


@pytest.mark.parametrize("move", ["h3f5", "h3h5"])
def test_an_answer_that_the_deed_tells_is_not_told_again_as_a_hint(library: Library, move: str) -> None:
    facts = facts_of(library, "8/8/8/8/K7/7q/1k6/8 b", move)
    answer = of(Answers, answered)(facts)
    assert answer
    assert line(facts, None, hints=True) == line(facts, None)
    assert answer.casefold() not in line(facts, None, hints=True).casefold().partition(". ")[2]


@pytest.mark.parametrize(
    ("placed", "move", "to_edge"),
    [
        ("Q7/8/8/8/3K4/8/3k4/8 w", "a8a2", True),  # c1, d1 and e1 are left
        ("Q7/8/8/3K4/8/8/3k4/8 w", "a8a2", False),  # the third rank as well
        ("Q7/8/8/8/8/3K4/8/3k4 w", "a8a4", False),  # it stands there already
    ],
)
def test_a_check_drives_the_king_to_the_edge_where_all_its_squares_are_there_and_it_was_not(
    library: Library, placed: str, move: str, to_edge: bool
) -> None:
    text = leads.driven(facts_of(library, placed, move))
    assert ("to the edge" in text) == to_edge
    assert ("c1" in text) == (placed.endswith("3K4/8/3k4 w"))


@pytest.mark.parametrize(
    ("placed", "move", "words"),
    [
        ("8/5q2/8/8/8/K7/6k1/8 b", "f7b7", "on the a-file"),
        ("8/8/8/2r5/3k4/8/K7/8 b", "c5c1", "rank 1"),
    ],
)
def test_what_is_taken_is_told_by_what_is_left(library: Library, placed: str, move: str, words: str) -> None:
    facts = facts_of(library, placed, move)
    assert len(facts.room.squares_taken) > 1
    assert words in leads.taken(facts)


def test_squares_are_not_told_as_taken_where_others_are_given(library: Library) -> None:
    facts = facts_of(library, "8/4Q3/8/8/K7/8/5k2/8 w", "e7g5")
    assert facts.room.squares_given == ("e1", "e2")
    assert "takes" not in leads.taken(facts)


@pytest.mark.parametrize(
    ("placed", "move"),
    [("8/1k3K2/7p/8/8/8/8/8 b", "b7a6"), ("8/8/3P4/1k6/8/4K3/8/8 w", "e3d2"), ("8/8/8/8/1k3P2/8/4K3/8 w", "e2d1")],
)
def test_there_is_no_way_back_from_a_win_given_away(library: Library, placed: str, move: str) -> None:
    facts = facts_of(library, placed, move)
    assert facts.worth.outcome_after == 0
    assert len(facts.then.ahead) == 2
    assert way_back(facts, [], whole=True) == []


@pytest.mark.parametrize(
    ("placed", "move", "falls"),
    [
        ("2R5/8/8/k7/8/8/5q2/7K b", "f2f5", False),
        ("1Q6/4r3/k7/8/8/8/2K5/8 w", "b8d8", False),
        ("8/2k5/7K/8/8/r7/6P1/8 b", "a3g3", True),
    ],
)
def test_a_threat_teaches_to_win_the_last_man_only_where_it_falls_in_any_case(
    library: Library, placed: str, move: str, falls: bool
) -> None:
    facts = facts_of(library, placed, move)
    idea = facts.seen.idea(Threatens)
    assert idea is not None
    assert idea.threat is Threat.CAPTURE
    assert coming.threat_maxim(facts) == (maxims.last_man(facts) if falls else maxims.LOOSE_TARGET)


@pytest.mark.parametrize(("placed", "move"), [("8/8/8/8/7K/1p1k4/8/8 b", "b3b2"), ("4k3/8/8/8/1K6/6p1/8/8 b", "g3g2")])
def test_a_threat_to_promote_teaches_to_run(library: Library, placed: str, move: str) -> None:
    facts = facts_of(library, placed, move)
    idea = facts.seen.idea(Threatens)
    assert idea is not None
    assert idea.threat is Threat.PROMOTION
    assert coming.threat_maxim(facts) == maxims.RUN_FIRST


@pytest.mark.parametrize(
    ("placed", "move", "corner"),
    [
        ("3K4/k1B5/8/8/N7/8/8/8 w", "a4b6", True),  # the knight shuts a8, the bishop's colour being that of a1
        ("8/8/3k4/1b6/8/8/1K1n4/8 b", "d2b3", True),
        ("3K4/k1B5/8/8/N7/8/8/8 w", "c7b8", False),  # the bishop shuts a7
        ("1Bk1K3/8/8/4N3/8/8/8/8 w", "b8a7", False),
    ],
)
def test_a_knight_at_its_post_in_the_w_shuts_a_corner_and_a_bishop_none(
    library: Library, placed: str, move: str, corner: bool
) -> None:
    facts = facts_of(library, placed, move)
    idea = facts.seen.idea(TowardsW)
    assert idea is not None
    assert ("wrong corner" in minors.to_w(idea, facts)) == corner
    assert set(idea.shuts) & {chess.A1, chess.H1, chess.A8, chess.H8} == (set(idea.shuts) if corner else set())


@pytest.mark.parametrize(
    ("placed", "move", "told"),
    [
        ("8/8/6p1/8/4Q3/7k/5K2/8 w", "e4f4", "leaves Black's king no square: g5 is forced, and Qg3# mates"),
        ("8/5Q2/3p4/8/7k/5K2/8/8 w", "f7f5", "leaves Black's king no square: d5 is forced, and Qg4# mates"),
    ],
)
def test_a_king_that_has_no_square_is_left_none_though_a_pawn_must_move(
    library: Library, placed: str, move: str, told: str
) -> None:
    facts = facts_of(library, placed, move)
    board = chess.Board(facts.fen)
    board.push_uci(move)
    (reply,) = board.legal_moves
    assert board.piece_type_at(reply.from_square) == chess.PAWN
    assert of(MatingNet, nets.next_move)(facts) == told


@pytest.mark.parametrize(
    ("placed", "move", "posts"),
    [
        ("5k2/7B/5K1N/8/8/8/8/8 w", "h6f7", "knight f7, bishop h7 and king f6"),
        ("8/8/8/8/8/5k1n/7b/5K2 b", "h3f2", "knight f2, bishop h2 and king f3"),
        ("8/8/8/8/8/k1K5/8/1BN5 w", "c1b3", "knight b3, bishop b1 and king c3"),
    ],
)
def test_the_w_is_ready_with_each_man_on_its_post(library: Library, placed: str, move: str, posts: str) -> None:
    facts = facts_of(library, placed, move)
    idea = facts.seen.idea(KnightsW)
    assert idea is not None
    assert minors.the_w(idea, facts) == f"makes the W ready: {posts}"


@pytest.mark.parametrize(
    ("placed", "named"), [("8/8/8/3k4/8/8/q6Q/7K b", "White"), ("7k/Q6q/8/8/3K4/8/8/8 w", "Black")]
)
def test_where_the_men_are_equal_and_it_is_drawn_who_is_to_reply_defends(
    library: Library, placed: str, named: str
) -> None:
    board = chess.Board(f"{placed} - - 0 1")
    facts = FactMaker(Judged.of(library, board)).facts(next(iter(board.legal_moves)))
    assert (facts.attacker, defender(facts)) == (None, named)
