"""Games, ideas and sentences with five men, over endings really solved: for the long run only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import islice, pairwise
from random import Random

import chess
import pytest

from matebot.ideas.order import ORDER
from matebot.laws.referee import judge
from matebot.method.library import Library
from matebot.partner import MatePartner
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import ranked
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from matebot.uci.partnership import Line, Question, Watch
from tests.five_men import five
from tests.ideas.claims import compare, pairs
from tests.ideas.test_move_ideas import both
from tests.witness.positions import random_positions
from tests.witness.spoken import Fault, claims
from tests.wording.claiming import spoken

pytestmark = [pytest.mark.exhaustive, pytest.mark.timeout(0)]

GAMES, CLOCKS = 100, (0, 0, 0, 20, 50, 80, 90)


class Session:
    """A session that plays one side of a game."""

    def __init__(self, tables: Tables, ending: str) -> None:
        tables.prepare(five(ending))
        self.partner = MatePartner({"Table Folder": str(tables.folder)})

    def begin(self, board: chess.Board) -> None:
        self.partner.new_game()
        self.start = board.fen()

    def answer(self, board: chess.Board) -> Line:
        assert self.partner.set_position(self.start, [move.uci() for move in board.move_stack]) is None
        return self.partner.go(Question(), lambda report: None, Watch()).report.lines[0]


def is_over(board: chess.Board) -> bool:
    """Whether a game has ended, draws by claim among the ends (FIDE Laws of Chess, 5.1, 5.2, 9.2, 9.3)."""
    return board.is_game_over() or board.halfmove_clock >= 100 or board.is_repetition(3)


def starts(tables: Tables, ending: str, outcome: int) -> Iterator[chess.Board]:
    """Yield positions with clocks that are won for the side to move or drawn under the laws."""
    random = Random(f"starts {ending} {outcome}")
    for board in random_positions(ending, 1_000_000, seed=77):
        board.halfmove_clock = random.choice(CLOCKS)
        if any(board.legal_moves) and not is_over(board) and judge(board, tables).outcome == outcome:
            yield board


def longest(tables: Tables, board: chess.Board, random: Random) -> chess.Move:
    return ranked(board, tables)[0].move


def at_random(tables: Tables, board: chess.Board, random: Random) -> chess.Move:
    return random.choice(list(board.legal_moves))


def to_and_fro(tables: Tables, board: chess.Board, random: Random) -> chess.Move:
    """Take the last move back where that can be done, to come to positions again."""
    if len(board.move_stack) > 1:
        last = board.move_stack[-2]
        back = chess.Move(last.to_square, last.from_square)
        if board.is_legal(back):
            return back
    return at_random(tables, board, random)


def test_the_attacker_mates_in_the_number_announced_or_in_time(five_ending: str, five_men: Tables) -> None:
    session, random = Session(five_men, five_ending), Random(five_ending)
    others = (longest, at_random, to_and_fro)
    for number, board in enumerate(islice(starts(five_men, five_ending, 1), GAMES)):
        other, attacker, announced, exact = others[number % 3], board.turn, list[int](), list[bool]()
        session.begin(board)
        while not is_over(board):
            if board.turn == attacker:
                line = session.answer(board)
                assert line.score_kind == "mate"
                assert line.score_value > 0
                announced.append(line.score_value)
                exact.append(line.bound is None)
                board.push_uci(line.pv[0])
            else:
                board.push(other(five_men, board, random))
        told = (five_ending, session.start, [move.uci() for move in board.move_stack], announced)
        assert board.is_checkmate(), told
        assert board.turn != attacker, told
        assert all(later < sooner for sooner, later in pairwise(announced)), told
        assert len(announced) <= announced[0], told
        if other is longest and all(exact):
            assert len(announced) == announced[0], told


def test_the_defender_never_loses_a_drawn_game(five_ending: str, five_men: Tables) -> None:
    session, random = Session(five_men, five_ending), Random(five_ending)
    for board in islice(starts(five_men, five_ending, 0), GAMES):
        mine = board.turn
        session.begin(board)
        while not is_over(board) and len(board.move_stack) < 120:
            if board.turn == mine:
                board.push_uci(session.answer(board).pv[0])
                continue
            # The attacker keeps what he has, and sets what traps he can by chance.
            kept = [item.move for item in ranked(board, five_men) if item.outcome >= 0]
            board.push(random.choice(kept))
            assert judge(board, five_men).outcome >= 0, (session.start, [move.uci() for move in board.move_stack])
        assert not board.is_checkmate() or board.turn != mine, session.start


def test_the_answer_is_the_move_that_is_chosen_whatever_the_clock(five_ending: str, five_men: Tables) -> None:
    library, random, won = Library(five_men), Random(five_ending), 0
    for board in random_positions(five_ending, 300, seed=5):
        board.halfmove_clock = random.choice(CLOCKS)
        judged = Judged.of(library, board.copy())
        expected = choose(judged, Style(attack="shortest")).move if judged.ranking else None
        truth = TableTruth(library, "shortest")
        assert truth.answer(board) == expected, board.fen()
        won += truth.outcome(board) > 0
        for move, worth in truth.after(board).items():
            clock_plies = 0 if board.is_zeroing(move) else board.halfmove_clock + 1
            board.push(move)
            value = five_men.value(board)
            assert worth.outcome == (0 if value.is_late(clock_plies) else value.outcome), (board.fen(), move.uci())
            board.pop()
    assert won


def test_ideas_are_what_their_witnesses_say(five_ending: str, five_men: Tables) -> None:
    truth, tally = TableTruth(Library(five_men)), Counter[bool]()
    for entry in ORDER:
        tally += compare(*both(entry, truth), pairs(five_ending, 150, seed=3))
    assert tally[True] > 300


def test_no_claim_is_false(five_ending: str, five_men: Tables) -> None:
    held = 0
    for text, about in islice(spoken(Library(five_men), five_ending, seed=8), 500):
        try:
            held += claims(text, about)
        except Fault as fault:
            raise AssertionError(f"{about.before.fen()} {about.move.uci()}: {text}: {fault}") from fault
    assert held > 1_000
