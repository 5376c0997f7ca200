"""What a slip is held against is counted again with python-chess only."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.wording.causes import caused
from tests.counting import counts
from tests.wording.sampling import maker_for, taken
from tests.wording.test_sentences import said


def _worth(truth: TableTruth, board: chess.Board) -> dict[str, tuple[int, int]]:
    """Return every legal move with its outcome for its side, and the plies to mate as far as they please it."""
    found = {}
    for move in board.legal_moves:
        there = board.copy()
        there.push(move)
        outcome = -truth.outcome(there)
        found[move.uci()] = (outcome, -outcome * (truth.mate_plies(there) or 0))
    return found


@counts(5, 8)
@pytest.mark.parametrize("ending", ["KBBK", "KRK", "KRKN"])
def test_a_slip_is_held_against_the_moves_that_are_clearly_better(library: Library, ending: str, count: int) -> None:
    truth = TableTruth(library)
    for one in taken(library, ending, "slips", count):
        facts, board = one.facts, chess.Board(one.facts.fen)
        worth = _worth(truth, board)
        best, mine = max(worth.values()), worth[facts.move]
        clearly = {
            move
            for move, (outcome, plies) in worth.items()
            if outcome == best[0] and (mine[0] < best[0] or 2 * (best[1] - plies) < best[1] - mine[1])
        }
        assert set(facts.reproach.clearly_better) == clearly | {facts.instead.best}
        equal = {move for move, value in worth.items() if value == best} | {facts.instead.best}
        assert set(facts.reproach.as_good_as_best) == equal
        assert set(facts.reproach.new_replies) == _new_replies(truth, board, facts.move, equal, mine[0] < best[0])


@counts(5, 8)
@pytest.mark.parametrize("ending", ["KBBK", "KRKN"])
def test_a_slip_is_held_against_the_sound_moves_of_its_man_that_come_to_no_more(
    library: Library, ending: str, count: int
) -> None:
    truth, found = TableTruth(library), 0
    for one in taken(library, ending, "slips", count):
        facts, board = one.facts, chess.Board(one.facts.fen)
        worth, move = _worth(truth, board), chess.Move.from_uci(one.facts.move)
        for name, value in worth.items():
            other, there = chess.Move.from_uci(name), board.copy()
            there.push(other)
            told = any(beside.move == name for beside in facts.no_better)
            same = other.from_square == move.from_square and other != move and value[0] == worth[facts.move][0]
            no_better = same and (value <= worth[facts.move] or value[0] < max(worth.values())[0])
            quiet = board.gives_check(move) or not board.gives_check(other)
            loose = [m for m in there.legal_moves if there.is_capture(m) and not _taken_back(there, m)]
            assert told == (no_better and quiet and not loose and any(there.legal_moves)), f"{facts.fen} {name}"
            found += told
    assert found > 5


def _taken_back(board: chess.Board, capture: chess.Move) -> bool:
    there = board.copy()
    there.push(capture)
    return any(answer.to_square == capture.to_square for answer in there.legal_moves)


def _new_replies(truth: TableTruth, board: chess.Board, move: str, best: set[str | None], falls: bool) -> set[str]:
    found = _best_replies(truth, board, move)
    for other in best if not falls else ():
        found -= _best_replies(truth, board, other or "")
    return found


def _best_replies(truth: TableTruth, board: chess.Board, move: str) -> set[str]:
    there = board.copy()
    there.push_uci(move)
    worth = _worth(truth, there)
    return {reply for reply, value in worth.items() if value == max(worth.values())}


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/3K4/8/3k4/8/8/3r4/2N5 b - - 0 1", "Rc2", "in peace"),
        ("8/8/8/1K6/8/1k4p1/4r3/8 b - - 0 1", "Rh2", "must come"),
        ("4k3/8/8/8/8/8/8/1KBB4 w - - 0 1", "Bb2", "must come"),
        ("8/2K5/8/p7/k7/8/8/8 b - - 0 1", "Ka3", "guard"),
        ("5K2/8/3kr3/8/8/8/8/8 b - - 0 1", "Kc7", "guard"),
        ("8/8/1K3N2/8/8/8/3B4/5k2 w - - 0 1", "Ka7", "takes the king away"),
    ],
)
def test_what_one_of_the_best_moves_shows_too_is_not_blamed(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san)


@counts(5, 10)
def test_a_cause_is_one_beside_every_move_that_is_as_good_as_the_best(library: Library, count: int) -> None:
    told_beside = 0
    for ending in ("KBBK", "KRKN"):
        for one in taken(library, ending, "slips", count):
            maker = maker_for(library, chess.Board(one.facts.fen))
            facts = maker.facts(chess.Move.from_uci(one.facts.move))
            better = maker.better(facts)
            assert better is not None
            if facts.by_attacker and (text := caused(facts, better)[0]):
                for other in facts.held_against:
                    told = caused(facts, other)[0]
                    assert other.move not in facts.reproach.as_good_as_best or told, text
                    told_beside += other.move in facts.reproach.as_good_as_best
    assert told_beside
