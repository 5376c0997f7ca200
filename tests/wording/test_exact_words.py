"""What is said of a move holds exactly: in its subject, its tense, its number, and in being the difference."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.method.library import Library
from matebot.terms import Mistake
from matebot.wording.moves import line, lines
from tests.wording.sampling import maker_for


def told(library: Library, fen: str, san: str, style: str = "shortest") -> str:
    board = chess.Board(fen)
    maker = maker_for(library, board, style)
    facts = maker.facts(board.parse_san(san))
    return line(facts, maker.better(facts))


def test_two_like_men_in_a_mate_are_told_apart(library: Library) -> None:
    text = told(library, "8/8/8/8/8/4k3/3rp3/2K5 b - - 0 1", "e1=R#")
    assert "the rook on e1 holds b1 and d1; the rook on d2 holds b2 and c2" in text
    assert " on " not in told(library, "7k/8/5KQ1/8/8/8/8/8 w - - 0 1", "Qg7#").partition(": ")[2].partition(": ")[2]


def test_the_distance_told_is_the_shortest_mate_where_the_method_takes_longer_too(library: Library) -> None:
    same = other = 0
    for fen in ("8/8/2k5/8/2K5/3R4/8/8 w - - 0 6", "8/8/8/8/1k6/8/K7/3q4 b - - 0 6", "4R3/8/8/8/3k4/1K6/8/8 w - - 0 1"):
        board = chess.Board(fen)
        maker = maker_for(library, board, "method")
        for move in board.legal_moves:
            facts = maker.facts(move)
            if facts.places.method_moves is None:
                continue
            text = line(facts, maker.better(facts))
            if facts.places.method_moves == facts.worth.best_moves:
                same += f"Mate in {facts.worth.best_moves}." in text
                assert "at most" not in text
            else:
                other += f"Mate in {facts.worth.mate_moves}." in text
                assert "at most" not in text
    assert same
    assert other


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/R7/8/Kb6/4k3/8 w - - 0 1", "Ra8", "overlooks the loose bishop: Kxb3 takes it; the win is gone"),
        ("8/8/2Rb4/8/8/k7/8/7K w - - 0 1", "Rc1", "overlooks the loose bishop: Rxd6 takes it; the win is gone"),
        ("5B1k/8/7K/8/8/5N2/8/8 w - - 0 1", "Kh5", "takes the king away from the corner"),
        ("5k2/1B6/5K2/8/8/8/8/B7 w - - 0 6", "Bc6", "the way away from the corner h8"),
    ],
)
def test_tense_and_subject_are_right(library: Library, fen: str, san: str, words: str) -> None:
    assert words in told(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "open_too"),
    [
        ("8/8/3b2n1/6k1/8/8/4K3/8 b - - 0 1", "Nf4+", "Ke3"),
        ("7n/8/8/8/8/2K5/5b2/4k3 b - - 0 1", "Ke2", "Kc4"),
    ],
)
def test_a_way_is_shut_only_where_none_of_its_kind_stays_open(
    library: Library, fen: str, san: str, open_too: str
) -> None:
    board = chess.Board(fen)
    board.push_san(san)
    assert open_too in {board.san(move) for move in board.legal_moves}
    assert ", the way " not in told(library, fen, san)


def test_a_way_left_open_is_blamed_only_where_every_best_move_shuts_it(library: Library) -> None:
    blamed = 0
    for fen in (
        "8/8/3b2n1/6k1/8/8/4K3/8 b - - 0 1",
        "3r4/8/7p/8/8/3k4/K7/8 b - - 0 1",
        "8/1r6/8/8/8/8/3k1P2/7K b - - 0 1",
        "8/3r4/8/8/8/7K/1k6/8 b - - 0 1",
    ):
        board = chess.Board(fen)
        maker = maker_for(library, board, "shortest")
        for move in board.legal_moves:
            facts = maker.facts(move)
            text = line(facts, maker.better(facts))
            way = re.search(r" lets (?:White|Black)'s king [^:]*: ([A-Za-z0-9+#]+)[;.]", text)
            if way is None:
                continue
            blamed += 1
            reply = way[1]
            after = board.copy()
            after.push(move)
            step = after.parse_san(reply)
            for equal in maker.equals.values():
                best = board.copy()
                best.push(equal)
                assert step not in best.legal_moves, f"{fen}: {text}"
    assert blamed


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        (
            "8/8/1B6/6k1/8/8/1r6/5K2 b - - 0 1",
            "Re2",
            (
                "gives the rook away: Kxe2, and a bishop alone cannot mate; the win",
                "Better is Rxb6, which takes the loose bishop",
            ),
        ),
        (
            "8/8/8/8/4b3/4K3/7R/k7 w - - 0 1",
            "Rh1+",
            (
                "gives the rook away: Bxh1, and a bishop alone cannot mate; the win",
                "Better is Kxe4, which takes the loose bishop",
            ),
        ),
    ],
)
def test_a_man_given_where_hardly_a_move_but_a_capture_wins_is_told_with_the_capture_missed(
    library: Library, fen: str, san: str, words: tuple[str, str]
) -> None:
    board = chess.Board(fen)
    maker = maker_for(library, board, "shortest")
    facts = maker.facts(board.parse_san(san))
    assert facts.cost.loses
    assert facts.beside.keeping <= 2
    assert facts.beside.others == (0,)
    lost, missed = words
    first, second = lines(facts, maker.better(facts))
    assert lost in first
    assert missed in second
    assert told(library, fen, san).endswith(" Look at every capture first.")  # where a line has no room for which


@pytest.mark.parametrize(
    ("fen", "san"),
    [("1k6/3K4/P7/1B6/8/8/8/8 w - - 0 9", "Kc6"), ("8/8/8/1K5p/8/8/5r1k/8 b - - 0 1", "Kg3")],
)
def test_what_no_reply_attacks_is_not_guarded(library: Library, fen: str, san: str) -> None:
    board = chess.Board(fen)
    side = board.turn
    board.push_san(san)
    man = next(
        s for s, p in board.piece_map().items() if p.color == side and p.piece_type in (chess.BISHOP, chess.ROOK)
    )
    for reply in list(board.legal_moves):
        board.push(reply)
        assert not board.is_attacked_by(not side, man)
        board.pop()
    assert " guards the " not in told(library, fen, san)


def test_a_king_that_comes_nearer_to_the_man_is_not_taken_away(library: Library) -> None:
    assert chess.square_distance(chess.D2, chess.E5) < chess.square_distance(chess.E1, chess.E5)
    assert "takes the king away" not in told(library, "8/8/8/4n3/5R2/8/8/4K1k1 w - - 0 1", "Kd2")


def test_a_king_that_faces_the_other_already_is_not_brought_up(library: Library) -> None:
    fen, san = "8/8/8/3r4/8/2k5/1B6/1K6 b - - 0 1", "Kb3"
    assert chess.square_distance(chess.C3, chess.B1) == chess.square_distance(chess.B3, chess.B1)
    assert "brings the king up" not in told(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/8/8/6K1/4R3/5k2 w - - 0 1", "Re3", "forces the king into the opposition: after Kg1 comes Re1#."),
        ("8/8/8/8/8/6K1/4R3/5k2 w - - 0 1", "Ra2", "misses mate in two: Re3 leaves only Kg1, then Re1#"),
    ],
)
def test_a_mate_by_force_with_the_next_move_is_told_before_all_else(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in told(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san"),
    [("8/8/8/8/5K2/4R3/6k1/8 w - - 0 11", "Re4"), ("8/8/8/3r4/8/2k5/1B6/1K6 b - - 0 1", "Kd3")],
)
def test_squares_that_the_king_only_loses_by_are_not_left_unguarded(library: Library, fen: str, san: str) -> None:
    text = told(library, fen, san)
    assert "opens the cage:" not in text
    assert "tied" not in text
    assert "unguarded" not in text


def test_a_mate_in_two_missed_by_one_move_is_told_as_well(library: Library) -> None:
    board = chess.Board("8/5q2/8/8/7K/5k2/8/8 b - - 0 1")
    maker = maker_for(library, board, "shortest")
    slower = [facts for move in board.legal_moves if (facts := maker.facts(move)).cost.mistake is Mistake.SLOWER]
    assert slower
    for facts in slower:
        assert "forces the king into the opposition: after Kh3 comes Qh7#" in line(facts, maker.better(facts))


def test_a_way_to_a_pawn_is_the_same_way_wherever_the_pawn_has_gone(library: Library) -> None:
    fen = "8/1k6/8/8/1K6/3P4/8/8 w - - 0 1"
    board = chess.Board(fen)
    board.push_san("Kc5")
    assert any(
        chess.square_distance(step.to_square, chess.D3) < chess.square_distance(chess.B7, chess.D3)
        for step in board.legal_moves
    )
    assert "leaves a way" not in told(library, fen, "d4")


def test_a_step_beside_others_off_the_edge_is_not_the_one_that_keeps_off_it(library: Library) -> None:
    board = chess.Board("8/8/4K3/4Q3/8/3k4/8/8 b - - 0 1")
    assert {"Kc2", "Kd2", "Kc4"} == {board.san(move) for move in board.legal_moves}
    assert "keeps off the edge" in told(library, board.fen(), "Kc4")
