"""An idea that a slower move shares is found out, as its witness does."""

from __future__ import annotations

from functools import partial

import chess
import pytest

from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.longest import longest
from matebot.ideas.order import idea_of
from matebot.ideas.slower_moves import SlowerMoves
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.towards_w import TowardsW
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from tests.ideas.claims import boards
from tests.witness.positions import random_positions
from tests.witness.sharing import KINDS, sharing


@pytest.fixture(scope="module")
def truth(tables: Tables) -> TableTruth:
    return TableTruth(Library(tables))


def _seen(truth: TableTruth, before: chess.Board, kind: str, move: chess.Move, after: chess.Board) -> object:
    return idea_of(kind, before, move, after, before.turn, truth)


def check(truth: TableTruth, ending: str, count: int, seed: int) -> tuple[int, int]:
    """Hold what is shared against the witness; return how many ideas are shared and how many not."""
    shared = alone = 0
    for board, attacker in boards(ending, count, seed):
        if board.turn != attacker or truth.outcome(board) <= 0:
            continue
        worth = truth.after(board)
        best = min((w.mate_plies or 0, m.uci(), m) for m, w in worth.items() if w.outcome < 0)[2]
        after = board.copy(stack=False)
        after.push(best)
        slower = SlowerMoves(board, best, attacker, truth, partial(_seen, truth, board))  # type: ignore[arg-type]
        for kind in KINDS:
            idea = idea_of(kind, board, best, after, attacker, truth)
            if idea is not None:
                found = sorted(move.uci() for move, _ in slower.sharing(idea))
                assert found == sharing(kind, board, best, truth), f"{board.fen()} {best.uci()} {kind}"
                shared, alone = shared + bool(found), alone + (not found)
    return shared, alone


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KRKN"])
def test_what_slower_moves_show_too_is_what_the_witness_says(truth: TableTruth, ending: str) -> None:
    shared, alone = check(truth, ending, 8, seed=71)
    assert shared
    assert alone


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK", "KQK", "KQKR", "KQKP", "KRKP", "KRKB", "KRKN", "KBPK"])
def test_what_slower_moves_show_too_is_what_the_witness_says_in_many_positions(truth: TableTruth, ending: str) -> None:
    check(truth, ending, 300, seed=72)


def test_of_slower_moves_only_those_that_attack_the_square_are_asked_what_they_threaten(truth: TableTruth) -> None:
    before = chess.Board("8/2k5/8/8/2r5/K7/8/7Q w - - 0 1")
    best = min((worth.mate_plies or 0, move.uci()) for move, worth in truth.after(before).items() if worth.outcome < 0)
    move, asked = chess.Move.from_uci(best[1]), list[chess.Board]()

    def seen(kind: str, other: chess.Move, there: chess.Board) -> None:
        asked.append(there)

    mine = Threatens(Threat.CAPTURE, chess.Move.from_uci("h1c1"), chess.C4, chess.ROOK)
    assert not list(SlowerMoves(before, move, chess.WHITE, truth, seen).sharing(mine))
    assert asked
    assert all(there.is_attacked_by(chess.WHITE, chess.C4) for there in asked)
    assert len(asked) < before.legal_moves.count() - 1


def test_whether_a_hunted_man_falls_is_looked_for_once(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    truth, board = TableTruth(Library(tables)), chess.Board("8/8/K7/8/8/2k5/5r2/6N1 b - - 0 1")
    move = board.parse_san("Kd4")
    slower = SlowerMoves(board, move, board.turn, truth, lambda *_: None)
    asked = [slower.hunts(chess.G1)]
    monkeypatch.setattr(truth, "answer", lambda board: pytest.fail("looked for again"))
    assert [*asked, slower.hunts(chess.G1)] == [True, True]


class Plain:
    """Of a board only how long each move takes: one takes ten, every other twelve."""

    def __init__(self, best: str) -> None:
        self.best = best

    def after(self, board: chess.Board) -> dict[chess.Move, tuple[int, int]]:
        return {move: (-1, 20 if move.uci() == self.best else 24) for move in board.legal_moves}


def _slower(placed: str, best: str, seen: object = None) -> SlowerMoves:
    board, move = chess.Board(f"{placed} - - 0 1"), chess.Move.from_uci(best)
    return SlowerMoves(board, move, chess.WHITE, Plain(best), lambda *_: seen)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("purpose", "had", "found"),
    [
        (Purpose.CENTRE, (Purpose.CENTRE,), ["c1b2", "c1d2"]),  # as far from the edge, no step along it
        (Purpose.SHUTS, (Purpose.CENTRE, Purpose.SHUTS), ["c1b1", "c1b2", "c1d1", "c1d2"]),
        (Purpose.SHUTS, (Purpose.CENTRE,), []),
    ],
)
def test_a_slower_step_of_the_king_shares_its_purpose_and_towards_the_centre_goes_as_far(
    purpose: Purpose, had: tuple[Purpose, ...], found: list[str]
) -> None:
    mine, other = (KingNearer(purposes, (), (), (), (), ()) for purposes in ((purpose,), had))
    slower = _slower("8/8/8/4k3/7R/8/8/2K5 w", "c1c2", other)
    assert [move.uci() for move, _ in slower.sharing(mine, purpose)] == found


@pytest.mark.parametrize(
    ("best", "lapse", "anyway"),
    [
        ("f1f6", Lapse.MAN_OUT, False),  # both squares of the knight are held; that the king may step is no matter
        ("f1e1", Lapse.MAN_OUT, True),
        ("f1f5", Lapse.MAN_OUT, True),
        ("f1e1", Lapse.LEFT_OPEN, False),
    ],
)
def test_a_man_gets_out_anyway_that_has_a_square_nobody_attacks_after_the_quicker_move(
    best: str, lapse: Lapse, anyway: bool
) -> None:
    slower = _slower("6kn/8/8/8/8/8/8/1K3R2 w", best)
    assert slower._anyway(Blame(lapse, "Ng6", chess.KNIGHT, chess.G6)) == anyway


def test_a_king_is_at_its_post_where_the_next_move_taught_takes_it_there(truth: TableTruth) -> None:
    found = 0
    for board in random_positions("KBNK", 30, seed=72):
        move = truth.answer(board)
        if move is None or truth.outcome(board) <= 0 or board.piece_type_at(move.from_square) != chess.KING:
            continue
        after = board.copy(stack=False)
        after.push(move)
        reply = longest(after, truth)
        assert reply is not None
        after.push(reply)
        answer = truth.answer(after)
        if answer is None or answer.from_square != move.to_square:
            continue
        slower = SlowerMoves(board, move, board.turn, truth, partial(_seen, truth, board))  # type: ignore[arg-type]
        way = TowardsW(chess.KING, answer.to_square, 1, chess.A1, ())
        assert slower.comes_to(way, 0)
        assert not slower.comes_to(way, -1)
        found += 1
    assert found
