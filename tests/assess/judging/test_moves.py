"""The moves in an engine's lines, held against python-chess's rules; the lines are from memory of common practice."""

from __future__ import annotations

import chess
import pytest

from matebot.assess.judging.moves import strange, unplayable

BOARD = chess.Board("4k3/8/4K3/8/8/8/8/R7 w - - 0 1")
PAWN = chess.Board("8/P6k/8/8/8/8/8/K7 w - - 0 1")


@pytest.mark.parametrize(
    ("answer", "fault"),
    [
        *((f"bestmove {move}", None) for move in ("a1a8", "A1A8", "a1a8 ponder e8e7", "a1a8 and more")),
        *((f"bestmove {word}", "no move") for word in ("", "0000", "(none)", "NULL")),
        *((f"bestmove {move}", "illegal move") for move in ("a1b2", "e8d8", "Ra8", "a1a8q", "ponder a1a8", "a1")),
    ],
)
def test_an_answer_that_cannot_be_played_is_no_move_or_an_illegal_one(answer: str, fault: str | None) -> None:
    before = BOARD.fen()
    found = unplayable(BOARD, answer)
    assert [kind for kind, _ in found] == ([] if fault is None else [fault])
    assert all(repr(answer) in text and repr(before) in text for _, text in found)
    assert BOARD.fen() == before


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("bestmove a1a8", []),
        ("bestmove a1a7 ponder e8d8", []),
        ("bestmove a1a7 ponder 0000", []),
        ("bestmove a1a7 ponder (none)", []),
        ("bestmove a1a7 thinking e8e8", []),
        ("bestmove A1A7 ponder e8d8", ["lower-case"]),
        ("bestmove a1a7 ponder", ["ponder"]),
        ("bestmove a1a7 ponder e6e5", ["ponder"]),
        ("bestmove a1a8 ponder e8d8", ["ponder"]),  # it is mate
        ("bestmove A1A7 ponder e8e7", ["lower-case", "ponder"]),
    ],
)
def test_what_is_strange_about_an_answer_is_rubbish(answer: str, said: list[str]) -> None:
    found = strange(BOARD, answer, "")
    assert [kind for kind, _ in found] == ["rubbish"] * len(said)
    assert all(word in text and repr(answer) in text for word, (_, text) in zip(said, found, strict=True))


@pytest.mark.parametrize(
    ("board", "variation", "wrong"),
    [
        (BOARD, "", None),
        (BOARD, "info depth 3 score cp 5", None),
        (BOARD, "info depth 3 pv a1a7 e8d8 a7a8", None),
        (BOARD, "info pv a1a7 e8d8 hashfull 3 e8e8", None),
        (BOARD, "info pv a1a7 e8d8 a8a1", "a8a1"),
        (BOARD, "info pv e8d8", "e8d8"),
        (BOARD, "info pv a1a7 0000", "0000"),
        (BOARD, "info nodes 1 pv a1a8 e8d8", "e8d8"),
        (PAWN, "info pv a7a8q h7g6", None),
        (PAWN, "info pv a7a8 h7g6", "a7a8"),
        (PAWN, "info pv a7a8x", "a7a8x"),
    ],
)
def test_the_first_illegal_move_of_a_variation_is_named(board: chess.Board, variation: str, wrong: str | None) -> None:
    first = next(iter(board.legal_moves)).uci()
    texts = [text for _, text in strange(board, f"bestmove {first}", variation)]
    assert [f"got {wrong!r}" in text for text in texts] == ([] if wrong is None else [True])


def test_only_the_beginning_of_a_long_variation_is_looked_at() -> None:
    there_and_back = " ".join(["a1b1", "e8d8", "b1a1", "d8e8"] * 64)
    assert strange(BOARD, "bestmove a1b1", f"info pv {there_and_back} a1a1") == []
    assert len(strange(BOARD, "bestmove a1b1", f"info pv {there_and_back[:-5]} a1a1")) == 1
