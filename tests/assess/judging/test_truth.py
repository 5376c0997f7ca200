"""How matebot plays against an engine and why a win became a draw, counted again move by move."""

from __future__ import annotations

from collections.abc import Iterator

import chess
import pytest

from matebot.assess.judging.truth import SharedTruth
from matebot.errors import UserError
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

#: From memory; between bishop and knight common practice, no source.
WORTH = {chess.QUEEN: 9.0, chess.ROOK: 5.0, chess.BISHOP: 3.2, chess.KNIGHT: 3.0, chess.PAWN: 1.0, chess.KING: 0.0}


@pytest.fixture(scope="module")
def truth(tables: Tables) -> SharedTruth:
    return SharedTruth(tables)


def men(board: chess.Board, colour: chess.Color) -> tuple[int, float]:
    """Return how many men a side has beside its king, and what they are worth."""
    own = [man.piece_type for man in board.piece_map().values() if man.color == colour]
    return len(own) - 1, sum(WORTH[kind] for kind in own)


def drawn(truth: SharedTruth, ending: str, count: int) -> Iterator[chess.Board]:
    """Yield positions drawn by the men, with a move to make."""
    for board in random_positions(ending, 60 * count, seed=23):
        if truth.judge(board).cause == "balance" and any(board.legal_moves):
            yield board
            count -= 1
        if not count:
            return


def shares_held(truth: SharedTruth, board: chess.Board) -> dict[chess.Move, float]:
    """Return for each move that draws which part of the replies hold; all where a capture does, or there is none."""
    found = {}
    for item in truth.ranked(board):
        board.push(item.move)
        holding = [reply for reply in board.legal_moves if holds(truth, board, reply)]
        easy = not holding or any(board.is_capture(reply) for reply in holding)
        share = 1.0 if easy else len(holding) / board.legal_moves.count()
        board.pop()
        if item.outcome == 0:
            found[item.move] = share
    return found


def holds(truth: SharedTruth, board: chess.Board, move: chess.Move) -> bool:
    after = board.copy(stack=False)
    after.push(move)
    return truth.tables.value(after).outcome <= 0


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KQKR", "KPK"])
def test_a_decided_game_is_played_as_matebot_plays_it(truth: SharedTruth, ending: str) -> None:
    library, decided = Library(truth.tables), set[int]()
    for board in random_positions(ending, 8, seed=24):
        if truth.judge(board).outcome and any(board.legal_moves):
            assert truth.reply(board, "") == choose(Judged.of(library, board.copy()), Style()).move
            decided.add(truth.judge(board).outcome)
    assert decided == {1, -1}


@pytest.mark.parametrize("ending", ["KRKN", "KRKB", "KPK", "KNNK", "KQKQ"])
def test_in_a_draw_either_side_sets_the_hardest_problem_as_matebot_does(truth: SharedTruth, ending: str) -> None:
    library, kinds = Library(truth.tables), set()
    for board in drawn(truth, ending, 6):
        move, held = truth.reply(board, ""), shares_held(truth, board)
        assert move == choose(Judged.of(library, board.copy()), Style()).move
        assert held[move] == min(held.values()), board.fen()
        kinds.add(men(board, board.turn) >= men(board, not board.turn))
    assert kinds == ({True} if ending == "KQKQ" else {True, False})


def test_a_trap_that_was_set_before_is_not_set_again_while_there_are_others(truth: SharedTruth) -> None:
    changed = 0
    for board in drawn(truth, "KRKN", 12):
        if men(board, board.turn) < men(board, not board.turn):
            continue
        first = truth.reply(board, "")
        for move in (first, None, chess.Move(first.to_square, first.from_square), None):
            reply = move or back_or_forth(board)
            if reply not in board.legal_moves or board.is_zeroing(reply):
                break
            board.push(reply)
        if len(board.move_stack) == 4:
            held = shares_held(truth, board)
            second = truth.reply(board, "")
            assert second != first
            del held[first]
            assert held[second] == min(held.values())
            changed += 1
    assert changed > 1


def back_or_forth(board: chess.Board) -> chess.Move:
    """Return a quiet move of the king, or the last one taken back."""
    if len(board.move_stack) > 1:
        last = board.move_stack[-2]
        return chess.Move(last.to_square, last.from_square)
    king = board.king(board.turn)
    quiet = (move for move in board.legal_moves if move.from_square == king and not board.is_capture(move))
    return next(quiet, chess.Move.null())


@pytest.mark.parametrize("ending", ["KRKN", "KRKB", "KPK", "KBNK"])
def test_a_man_is_lost_where_best_play_takes_one_of_the_stronger_sides_within_four_plies(
    truth: SharedTruth, ending: str
) -> None:
    told = set()
    for board in drawn(truth, ending, 12):
        stronger = men(board, chess.WHITE) >= men(board, chess.BLACK)
        line, taken = board.copy(), []
        while len(line.move_stack) < 4 and any(line.legal_moves) and not line.is_insufficient_material():
            best = truth.ranked(line)[0].move
            taken.append(line.is_capture(best) and line.turn != stronger)
            line.push(best)
        why = truth.why_drawn(board, truth.judge(board))
        assert why == ("lost piece" if any(taken) else "drawn position"), board.fen()
        told.add(why)
    assert "lost piece" in told
    assert len(told) == 2 or ending == "KBNK"


@pytest.mark.parametrize(
    ("fen", "why"),
    [
        ("8/8/8/8/3k4/4R3/8/K7 b - - 0 1", "lost piece"),
        ("8/8/8/3k4/8/4R3/8/K7 b - - 100 90", "fifty moves"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", "stalemate"),
        ("8/8/8/3k4/8/8/8/KB6 w - - 0 1", "dead position"),
        ("8/8/8/8/3K4/4r3/8/k7 w - - 0 1", "lost piece"),
        ("8/8/8/8/8/1k6/p7/1B5K w - - 0 1", "drawn position"),  # once the pawn is taken the game is over
    ],
)
def test_why_a_position_is_drawn(truth: SharedTruth, fen: str, why: str) -> None:
    board = chess.Board(fen)
    assert truth.why_drawn(board, truth.judge(board)) == why
    assert board.fen() == fen


def test_a_win_is_drawn_at_the_third_time_and_no_sooner(truth: SharedTruth) -> None:
    board, found = chess.Board("4k3/8/4K3/8/8/8/8/R7 w - - 0 1"), []
    for text in ("a1b1", "e8d8", "b1a1", "d8e8") * 2:
        found.append(truth.judge(board).outcome)
        board.push_uci(text)
    assert found == [1, -1] * 4
    verdict = truth.judge(board)
    assert (verdict.outcome, verdict.mate_plies, verdict.exact, verdict.cause) == (0, None, True, "repetition")
    assert truth.why_drawn(board, verdict) == "repetition"


def test_a_position_has_a_stage_where_the_method_has_a_say(truth: SharedTruth) -> None:
    library, told = Library(truth.tables), set[bool]()
    for board in random_positions("KQKR", 6, seed=25):
        standings = Judged.of(library, board.copy()).standings
        assert truth.stage(board) == (standings[0].title if standings else "")
        told.add(bool(standings))
    assert told == {True, False}


def test_what_is_not_covered_is_refused(truth: SharedTruth) -> None:
    assert truth.refusal(chess.Board("4k3/8/4K3/8/8/8/8/R7 w - - 0 1")) is None
    assert "five" in (truth.refusal(chess.Board()) or "")
    truth.ask_for("KRK")
    with pytest.raises(UserError):
        truth.ask_for("KRNKR")


def test_no_more_positions_are_kept_than_a_game_needs(truth: SharedTruth, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is thrown out is judged the same once more."""
    monkeypatch.setattr("matebot.assess.judging.truth._KEPT", 3)
    fresh = SharedTruth(truth.tables)
    boards = list(random_positions("KRK", 6, seed=5))
    verdicts = [fresh.judge(board) for board in boards]
    assert len(fresh._judged) == 3
    assert [fresh.judge(board) for board in boards] == verdicts == [truth.judge(board) for board in boards]
