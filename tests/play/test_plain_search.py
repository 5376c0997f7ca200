"""What the search finds is what one finds that looks at every move, remembers nothing and leaves nothing out."""

from __future__ import annotations

from itertools import count
from random import Random

import chess
import pytest

from matebot.play.unsolved import Known, _Search, find_move
from matebot.play.weighing import WEIGHT, weigh
from tests.witness.positions import random_positions

#: Scores of a mate proved and of one that is known, plies not yet taken off, far above any weight.
PROVED, PROMISED = 2_000_000, 1_000_000


class Plain:
    """The score of a position for the side to move by definition."""

    def __init__(self, board: chess.Board, known: Known) -> None:
        self.board, self.known = board.copy(), known
        self.looked_at = 0

    def after(self, move: chess.Move, depth: int, ply: int) -> int:
        """Return the score of a move for the side that makes it."""
        board, taken = self.board, self.board.is_capture(move)
        board.push(move)
        told = self.known(board) if taken or move.promotion else None
        if told is not None:
            score = -told[0] * (PROMISED - ply - 1 - told[1])
        elif ply == 0 and board.is_repetition(3):
            score = 0
        else:
            score = -self.worth(depth - 1, ply + 1)
        board.pop()
        return score

    def worth(self, depth: int, ply: int) -> int:
        board = self.board
        self.looked_at += 1
        moves = list(board.legal_moves)
        if board.is_checkmate():
            return ply - PROVED
        if not moves or board.is_insufficient_material() or board.halfmove_clock >= 100:
            return 0
        if depth > 0:
            return max(self.after(move, depth, ply) for move in moves)
        loud = [move for move in moves if move.promotion or (board.is_capture(move) and not board.is_en_passant(move))]
        return max([weigh(board), *(self.after(move, 1, ply) for move in loud)])


def hold(board: chess.Board, depth: int, known: Known, allowed: list[chess.Move] | None = None) -> None:
    """Assert that the search finds what the plain one does, and of two plies the reply too."""
    moves, plain = allowed or list(board.legal_moves), Plain(board, known)
    found = find_move(board, moves, known, lambda: False, most_depth=depth)
    scores = {move: plain.after(move, found.depth, 0) for move in moves}
    best = max(scores.values())
    assert scores[found.line[0]] == best, board.fen()
    proved, far = abs(best) > (PROVED + PROMISED) // 2, abs(best) > PROMISED // 2
    plies = (PROVED if proved else PROMISED) - abs(best)
    if far:
        assert (found.mate_plies, found.score_cp) == (plies if best > 0 else -plies, 0), board.fen()
        if found.depth > 1:  # no less deep look saw a mate
            assert max(abs(plain.after(move, found.depth - 1, 0)) for move in moves) < PROMISED // 2 or best < 0
    else:
        assert (found.mate_plies, found.score_cp) == (None, best), board.fen()
        assert found.depth == (depth if len(moves) > 1 else 1)
    if found.depth == 2 and len(found.line) == 2:
        plain.board.push(found.line[0])
        assert plain.after(found.line[1], 1, 1) == -best, board.fen()
    assert found.exact == (proved and plies <= found.depth), board.fen()


def nothing(board: chess.Board) -> tuple[int, int] | None:
    return None


def by_men(board: chess.Board) -> tuple[int, int] | None:
    """Make up what is known: without queens nothing, else by the squares of the kings."""
    return None if not board.queens else ((board.kings % 3) - 1, 4)


@pytest.mark.parametrize("ending", ["KQKR", "KPPK", "KPKP", "KRKN", "KNNK", "KBKP"])
def test_the_best_move_and_its_score_are_those_of_a_search_without_shortcuts(ending: str) -> None:
    random = Random(ending)
    for number, board in enumerate(random_positions(ending, 25, seed=31)):
        if board.is_game_over() or board.is_insufficient_material():
            continue
        board.halfmove_clock = random.choice((0, 0, 0, 98, 99))
        hold(board, 1 + number % 2, (nothing, by_men)[number // 2 % 2])


@pytest.mark.parametrize("fen", ["7k/8/5K2/8/8/8/8/R7 b - - 0 1", "8/8/8/8/1Q6/8/2K5/k7 b - - 0 1"])
def test_mates_that_only_some_moves_prevent_are_seen(fen: str) -> None:
    hold(chess.Board(fen), 3, nothing)


def test_a_stalemate_is_a_draw_at_any_depth() -> None:
    board = chess.Board("7k/8/8/5Q2/8/8/8/K7 w - - 0 1")
    stalemates = []
    for move in list(board.legal_moves):
        board.push(move)
        if board.is_stalemate():
            stalemates.append(move)
        board.pop()
    assert len(stalemates) > 1
    hold(board, 2, nothing, stalemates[:1])
    hold(board, 2, nothing, stalemates)


def test_a_reply_that_repeats_a_position_for_the_third_time_is_no_draw_yet() -> None:
    board = chess.Board("8/8/8/3k4/8/8/8/KQ6 w - - 0 1")
    for text in ("b1g1", "d5d6", "g1b1", "d6d5", "b1g1", "d5d6"):
        board.push_uci(text)
    back, thrown_away = chess.Move.from_uci("g1b1"), chess.Move.from_uci("g1c5")
    found = find_move(board, [back, thrown_away], nothing, lambda: False, most_depth=2)
    assert found.line[0] == back
    assert found.score_cp > 500


def test_remembering_the_best_replies_saves_a_part_of_the_work(monkeypatch: pytest.MonkeyPatch) -> None:
    boards = [board for board in random_positions("KQKR", 5, seed=33) if board.legal_moves.count() > 1]

    def looked_at() -> int:
        finds = (find_move(board, list(board.legal_moves), nothing, lambda: False, most_depth=3) for board in boards)
        return sum(found.nodes for found in finds)

    remembering, numbers = looked_at(), count()
    monkeypatch.setattr("matebot.play.unsolved._key", lambda board: (next(numbers),))
    assert remembering < looked_at()


def test_most_positions_need_not_be_looked_at() -> None:
    for board in random_positions("KRKN", 3, seed=34):
        moves, plain = list(board.legal_moves), Plain(board, nothing)
        for move in moves:
            plain.after(move, 2, 0)
        assert 2 * find_move(board, moves, nothing, lambda: False, most_depth=2).nodes < plain.looked_at


@pytest.mark.parametrize(
    "fen",
    [
        "1r6/P7/8/8/8/8/8/K2k4 w - - 0 1",
        "8/P7/8/4r3/3K4/8/8/7k w - - 0 1",  # a new rook is worth what the king takes
        "8/8/8/4k3/3R4/8/p7/7K b - - 0 1",
        "8/8/2q5/3P4/3K4/8/8/7k w - - 0 1",
    ],
)
def test_moves_are_tried_by_what_they_gain_and_then_by_their_squares(fen: str) -> None:
    board = chess.Board(fen)

    def gain(move: chess.Move) -> int:
        men = (move.promotion, board.piece_type_at(move.to_square))
        return sum(WEIGHT[man] for man in men if man)

    moves = list(board.legal_moves)
    order = _Search(board, nothing, lambda: False, None).order
    assert sorted(moves, key=order) == sorted(moves, key=lambda move: (-gain(move), move.from_square, move.to_square))
