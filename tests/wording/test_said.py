"""What sentences read off the board is read once, however many of them are made."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from matebot.wording import said
from matebot.wording.moves import line
from tests.wording.sampling import maker_for


def test_the_board_of_a_move_is_read_once_for_all_its_sentences(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[str] = []
    spread = said._spread

    def counted(rank: str) -> str:
        read.append(rank)
        return spread(rank)

    monkeypatch.setattr(said, "_spread", counted)
    board = chess.Board("7N/8/8/8/8/6B1/3k4/6K1 b")
    facts = maker_for(library, board).facts(board.parse_san("Ke3"))
    assert "is met by Kg2" in line(facts)
    said._signs.cache_clear()
    read.clear()
    assert said.own_king(facts) == chess.D2
    assert said.rivals_square(facts) == chess.G1
    assert said.own_men(facts, "king") == [chess.D2]
    assert said.own_men(facts, "knight") == []
    assert said.rivals_men(facts) == [chess.G3, chess.H8]
    assert said.men_at(facts, [chess.G3, chess.H8]) == "the bishop and the knight"
    assert "is met by Kg2" in line(facts)
    assert len(read) == 8
