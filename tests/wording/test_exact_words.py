"""What is said of a move holds exactly: in its subject, its tense, its number, and in being the difference."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from matebot.wording.moves import line
from tests.wording.sampling import maker_for


def told(library: Library, fen: str, san: str, style: str = "shortest") -> str:
    board = chess.Board(fen)
    maker = maker_for(library, board, style)
    facts = maker.facts(board.parse_san(san))
    return line(facts, maker.better(facts))


def test_the_method_is_named_only_where_it_is_no_shortest_mate(library: Library) -> None:
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
                assert "by the method" not in text
            else:
                other += 1
                assert f"Mate in {facts.places.method_moves} by the method" in text
    assert same
    assert other


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/R7/8/Kb6/4k3/8 w - - 0 1", "Ra8", "Kxb3 would have won it, but now Bd1 saves it"),
        ("8/8/2Rb4/8/8/k7/8/7K w - - 0 1", "Rc1", "overlooks the loose bishop: Rxd6 takes it; the win is gone"),
        ("5B1k/8/7K/8/8/5N2/8/8 w - - 0 1", "Kh5", "the attacking king strays from the corner"),
        ("6b1/8/K1kb4/8/8/8/8/8 b - - 0 6", "Bb4", "the way away from the corner a8"),
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
    assert ", a way " not in told(library, fen, san)


def test_a_way_left_open_is_blamed_only_where_every_best_move_shuts_it(library: Library) -> None:
    blamed = 0
    for fen in (
        "8/8/3b2n1/6k1/8/8/4K3/8 b - - 0 1",
        "8/8/8/8/1k6/8/K7/3q4 b - - 0 6",
        "8/1r6/8/8/8/8/3k1P2/7K b - - 0 1",
        "8/3r4/8/8/8/7K/1k6/8 b - - 0 1",
    ):
        board = chess.Board(fen)
        maker = maker_for(library, board, "shortest")
        for move in board.legal_moves:
            facts = maker.facts(move)
            text = line(facts, maker.better(facts))
            if " leaves a way " not in text:
                continue
            blamed += 1
            reply = text.partition(" open: ")[2].partition(";")[0].partition(".")[0]
            after = board.copy()
            after.push(move)
            step = after.parse_san(reply)
            for equal in maker.equals.values():
                best = board.copy()
                best.push(equal)
                assert step not in best.legal_moves, f"{fen}: {text}"
    assert blamed
