"""A client from outside the project, python-chess's, plays with the program."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import chess
import chess.engine
import pytest

#: More than any answer takes.
LIMIT = chess.engine.Limit(time=60)


@pytest.fixture(scope="module")
def client() -> Iterator[chess.engine.SimpleEngine]:
    with chess.engine.SimpleEngine.popen_uci([sys.executable, "-m", "matebot"], timeout=60) as engine:
        yield engine


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/7N/8/8/8/8/K1k1B3 w - - 0 1",
        "8/8/8/8/4k3/8/8/KBB5 b - - 0 1",
        "8/8/8/3k4/8/8/8/R3K3 w - - 0 1",
        "8/8/8/3K4/8/8/8/q3k3 b - - 0 1",
        "8/8/8/8/8/2K5/4P3/6k1 w - - 0 1",
    ],
)
@pytest.mark.parametrize("ponder", [False, True])
def test_whole_games_are_played_to_the_announced_end(client: chess.engine.SimpleEngine, fen: str, ponder: bool) -> None:
    board, announced = chess.Board(fen), list[int]()
    while not board.is_game_over(claim_draw=True):
        result = client.play(board, LIMIT, info=chess.engine.INFO_ALL, ponder=ponder, game=(fen, ponder))
        assert result.move is not None
        mate = result.info["score"].relative.mate()
        assert mate is not None
        announced.append(len(board.move_stack) + (2 * mate - 1 if mate > 0 else -2 * mate))
        board.push(result.move)
    assert board.is_checkmate()
    assert set(announced) == {len(board.move_stack)}


def test_infinite_analysis_with_several_lines_can_be_stopped(client: chess.engine.SimpleEngine) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    with client.analysis(board, multipv=4) as analysis:
        for _ in analysis:
            if len(analysis.multipv) == 4 and all("pv" in info for info in analysis.multipv):
                break
        analysis.stop()
        best = analysis.wait()
    assert best.move == chess.Move.from_uci("a1b2")
    mates = [info["score"].relative.mate() for info in analysis.multipv]
    assert mates == [30, 30, 31, 31]
    for info in analysis.multipv:
        line = board.copy()
        for move in info["pv"]:
            line.push(move)
        assert line.is_checkmate()


def test_a_refused_position_gives_no_move(client: chess.engine.SimpleEngine) -> None:
    """The client takes the null move of the protocol for what it is."""
    result = client.play(chess.Board(), LIMIT, info=chess.engine.INFO_ALL)
    assert not result.move
