"""With the method as the style of attack, mate never comes later than announced."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from random import Random

import chess
import pytest

from matebot.laws.referee import Referee, judge
from matebot.method.plans import PLANS
from matebot.partner import MatePartner
from matebot.play.promises import Promises
from matebot.solver.material import COVERED, closure
from matebot.solver.tables import Tables
from matebot.terms import CLAIM_PLIES
from matebot.uci.partnership import Question, Report, Watch
from tests.witness.positions import random_positions

#: The endings with a ladder, and those that lead to one.
LEADING = [m.name for m in COVERED if any(child.name in PLANS for child in closure(m))]


class Attacker:
    """The partner as an interface knows it: a position, a question, a score and a move."""

    def __init__(self, tables: Tables) -> None:
        self.partner = MatePartner({"Attack": "method"})
        self.partner.tables._endings = tables._endings  # solved once for all tests
        self.partner.new_game()

    def ask(self, fen: str, moves: list[str]) -> tuple[chess.Move, int]:
        """Return the move played and the number of moves in which mate is announced."""
        told: list[Report] = []
        self.partner.set_position(fen, moves)
        answer = self.partner.go(Question(), told.append, Watch())
        (line,) = answer.report.lines
        assert answer.best is not None
        assert (line.score_kind, line.bound) == ("mate", None), (fen, moves)
        return chess.Move.from_uci(answer.best), line.score_value


def announcements(attacker: Attacker, tables: Tables, board: chess.Board, random: Random) -> Iterator[int]:
    """Play a won position to mate and yield every announcement; a part of the replies is the longest, the rest any."""
    board, fen = board.copy(stack=False), board.fen()
    by_fen = random.random() < 0.5
    while not board.is_checkmate():
        moves = [move.uci() for move in board.move_stack]
        move, number = attacker.ask(board.fen(), []) if by_fen else attacker.ask(fen, moves)
        yield number
        board.push(move)
        replies = list(board.legal_moves)
        if replies:
            plain = random.random() < 0.5
            board.push(random.choice(replies) if plain else max(replies, key=lambda m: after(tables, board, m)))
        assert board.is_checkmate() or not (board.is_fifty_moves() or board.is_repetition())


def after(tables: Tables, board: chess.Board, reply: chess.Move) -> int:
    """Return the plies to mate that a reply leaves, the clock left out."""
    board.push(reply)
    value = tables.value(board)
    board.pop()
    return value.dtm_plies or 0


def won_positions(tables: Tables, endings: list[str], count: int, random: Random) -> Iterator[chess.Board]:
    """Yield positions won under the laws for the side to move, with clocks at random, many near the end."""
    while count:
        ending = random.choice(endings)
        for board in random_positions(ending, 20, random.randrange(1 << 30)):
            board.halfmove_clock = random.choice([0, random.randrange(CLAIM_PLIES), random.randrange(70, CLAIM_PLIES)])
            if tables.value(board).outcome > 0 and judge(board, tables).outcome > 0:
                count -= 1
                yield board
                break


def hold(tables: Tables, boards: Iterator[chess.Board] | list[chess.Board], seed: str) -> None:
    """Assert that each announcement is at least one move less than the one before, and the last is mate in one."""
    random, attacker = Random(seed), Attacker(tables)
    for board in boards:
        attacker.partner.new_game()
        told = list(announcements(attacker, tables, board, random))
        assert all(later < former for former, later in pairwise(told)), (board.fen(), told)
        assert told[-1] == 1, (board.fen(), told)


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/3K4/6r1/4P3/7k/8/8 b - - 93 1",  # the clock is at zero again after the capture of the pawn
        "8/8/7r/8/8/7k/7B/K7 b - - 0 1",  # the ending led to has a ladder, the one on the board none
    ],
)
def test_a_capture_into_an_ending_with_a_method_keeps_the_number_announced(tables: Tables, fen: str) -> None:
    for number in range(4):
        hold(tables, [chess.Board(fen)], f"capture {number}")


def bound(promises: Promises, board: chess.Board, tables: Tables) -> int | None:
    referee = Referee(board, tables)
    promises.bind(referee)
    return referee.promised_plies


def after_the_only_reply(file: str) -> tuple[chess.Board, chess.Move, chess.Board]:
    """Return a position with a rook on a file, a move to which there is one reply, and the position after it."""
    board = chess.Board("7k/8/5K2/8/8/8/8/8 w - - 0 1")
    board.set_piece_at(chess.parse_square(f"{file}1"), chess.Piece.from_symbol("R"))
    after = board.copy()
    after.push_uci("f6g6")
    (reply,) = after.legal_moves
    after.push(reply)
    return board, chess.Move.from_uci("f6g6"), after


def test_what_has_been_announced_is_kept_until_a_win_that_nobody_announced(tables: Tables) -> None:
    promises = Promises()
    board, move, after = after_the_only_reply("a")
    promises.keep(board, move, 9)
    assert [bound(promises, after, tables) for _ in range(3)] == [7, 7, 7]
    assert bound(promises, board, tables) is None
    assert bound(promises, after, tables) is None


def test_what_has_been_announced_anew_is_not_the_first_to_be_forgotten(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matebot.play.promises._MOST", 2)
    promises, games = Promises(), {file: after_the_only_reply(file) for file in "abc"}
    for file, plies in (("a", 9), ("b", 9), ("a", 5), ("c", 9)):
        promises.keep(*games[file][:2], plies)
    assert [bound(promises, games[file][2], tables) for file in "acb"] == [3, 7, None]


def test_mate_by_the_method_never_comes_later_than_announced(tables: Tables) -> None:
    endings = ["KPK", "KRKB", "KQKP", "KRKP", "KBNK"]
    hold(tables, won_positions(tables, endings, 6, Random("some")), "some")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_mate_by_the_method_never_comes_later_than_announced_in_any_ending_that_leads_to_one(tables: Tables) -> None:
    hold(tables, won_positions(tables, LEADING, 200, Random("all")), "all")
