"""Whole games: the attack mates when it said it would, the defence holds what can be held."""

from __future__ import annotations

from random import Random

import chess
import pytest

from matebot.laws.referee import Referee, judge
from matebot.method.library import Library
from matebot.play.choice import DEFENCES, Style, choose
from matebot.play.judged import Judged
from matebot.play.line import best_line
from matebot.play.ranking import rank_with
from matebot.solver.material import COVERED
from tests.counting import counts
from tests.witness.positions import random_positions

NAMES = [material.name for material in COVERED]
MATES = ("KQK", "KRK", "KBBK", "KBNK")


def play(library: Library, board: chess.Board, styles: dict[chess.Color, Style | Random]) -> chess.Board:
    """Play to the end of the game; a `Random` in the place of a style moves at random."""
    board = board.copy()
    while not board.is_game_over() and not board.can_claim_draw():
        style = styles[board.turn]
        if isinstance(style, Random):
            board.push(style.choice(list(board.legal_moves)))
        else:
            board.push(choose(Judged.of(library, board), style).move)
    return board


def some(library: Library, ending: str, outcome: int, count: int, seed: int) -> list[chess.Board]:
    """Return positions the side to move wins (1), draws (0) or loses."""
    found = []
    for board in random_positions(ending, 40 * count, seed):
        if library.tables.value(board).outcome == outcome and any(board.legal_moves):
            found.append(board)
        if len(found) == count:
            break
    return found


def check_attack(library: Library, ending: str, count: int) -> None:
    random = Random(f"attack {ending}")
    for number, board in enumerate(some(library, ending, 1, count, seed=31)):
        announced = judge(board, library.tables).mate_plies
        assert announced is not None
        attacker = board.turn
        against_itself = play(library, board, {attacker: Style(), not attacker: Style()})
        assert against_itself.is_checkmate()
        assert len(against_itself.move_stack) == announced
        if number % 2 == 0:
            against_chance = play(library, board, {attacker: Style(), not attacker: random})
            assert against_chance.is_checkmate()
            assert against_chance.turn != attacker
            assert len(against_chance.move_stack) <= announced


@pytest.mark.parametrize("ending", NAMES)
def test_the_attack_mates_in_the_number_announced(library: Library, ending: str) -> None:
    check_attack(library, ending, 3 if ending in MATES else 1)


@pytest.mark.parametrize("ending", NAMES)
def test_drawn_positions_are_never_lost(library: Library, ending: str) -> None:
    random = Random(f"draws {ending}")
    for board in some(library, ending, 0, 2, seed=32):
        ended = play(library, board, {board.turn: Style(), not board.turn: random})
        assert not (ended.is_checkmate() and ended.turn == board.turn)


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("ending", NAMES)
def test_many_games_of_every_ending(library: Library, ending: str) -> None:
    check_attack(library, ending, 400 if ending in MATES else 100)
    random = Random(f"many draws {ending}")
    for board in some(library, ending, 0, 100, seed=33):
        ended = play(library, board, {board.turn: Style(), not board.turn: random})
        assert not (ended.is_checkmate() and ended.turn == board.turn)


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KPK", "KQKR", "KRKP"])
def test_the_line_shown_is_best_play_to_mate(library: Library, ending: str) -> None:
    tables = library.tables
    for board in some(library, ending, 1, 5, seed=34):
        line = best_line(Judged.of(library, board))
        assert len(line) == tables.value(board).dtm_plies
        for move in line:
            assert move == rank_with(Referee(board, tables))[0].move
            board.push(move)
        assert board.is_checkmate()


@pytest.mark.parametrize("ending", ["KQKR", "KRKB"])
def test_the_line_shown_in_a_draw_is_a_few_of_the_best_ranked_moves(library: Library, ending: str) -> None:
    for board in some(library, ending, 0, 3, seed=36):
        for move in best_line(Judged.of(library, board)):
            assert move == rank_with(Referee(board, library.tables))[0].move
            board.push(move)
        assert 1 <= len(board.move_stack) <= 4


@pytest.mark.parametrize("most", range(4))
def test_a_line_of_a_draw_is_no_longer_than_wanted(library: Library, most: int) -> None:
    judged = Judged.of(library, chess.Board("8/8/3k4/3n4/8/8/8/K6R w - - 0 1"))
    assert judged.referee.here().cause == "balance"
    assert len(best_line(judged, most_plies=most)) == most


@pytest.mark.parametrize("fen", ["8/8/8/2K4p/8/3k4/P7/8 b - - 80 1", "8/p7/3K4/8/2k4P/8/8/8 w - - 80 1"])
def test_where_the_clock_counts_the_line_of_a_win_leads_to_mate_when_told(library: Library, fen: str) -> None:
    """Mate takes more plies than the clock has left, and some first moves draw."""
    board = chess.Board(fen)
    judged = Judged.of(library, board.copy())
    line, told = best_line(judged), judged.referee.here().mate_plies
    assert told is not None
    assert len(line) == told > 100 - board.halfmove_clock
    for move in line:
        board.push(move)
        assert not board.can_claim_fifty_moves()
    assert board.is_checkmate()
    assert {item.outcome for item in judged.ranking} >= {0, 1}


def test_the_line_shown_is_short_where_distances_are_only_bounds(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    here, board = Referee.here, chess.Board("8/8/8/3k4/8/8/8/K6R w - - 0 1")
    monkeypatch.setattr(Referee, "plain", lambda *_: False)
    assert len(best_line(Judged.of(library, board))) == library.tables.value(board).dtm_plies
    monkeypatch.setattr(Referee, "here", lambda referee: here(referee)._replace(exact=False))
    assert len(best_line(Judged.of(library, board))) == 4


def test_varied_games_differ_keep_their_promise_and_can_be_repeated(library: Library) -> None:
    check_varied(library, games=40, different=20, checked=3)


@pytest.mark.exhaustive
def test_a_thousand_varied_games_differ_keep_their_promise_and_can_be_repeated(library: Library) -> None:
    check_varied(library, games=1_000, different=200, checked=100)


def check_varied(library: Library, games: int, different: int, checked: int) -> None:
    """Let the attacker play the shortest mates, while each defence stays within the margin of the longest."""
    board = chess.Board(library.tables.longest(COVERED[1])[1])  # king and rook against king
    margin = 6
    played = {tuple(varied_game(library, board, seed, margin, check=seed <= checked)) for seed in range(1, games + 1)}
    assert len(played) >= different
    assert varied_game(library, board, 7, margin) == varied_game(library, board, 7, margin)


_CHOSEN: dict[tuple[str, int], str] = {}


def varied_game(library: Library, board: chess.Board, seed: int, margin: int, check: bool = False) -> list[str]:
    board, moves = board.copy(), []
    attacker = board.turn
    for _ in range(24):
        if board.is_game_over():
            break
        key = (board.fen(), seed if board.turn != attacker else 0)
        if key not in _CHOSEN or check:
            referee = Referee(board, library.tables)
            ranking = rank_with(referee)
            style = Style(defence="changing", margin_plies=margin, seed=seed)
            item = choose(Judged(library, referee), style)
            if check and board.turn != attacker:
                assert item.mate_plies is not None
                assert ranking[0].mate_plies is not None
                assert item.mate_plies >= ranking[0].mate_plies - margin
            _CHOSEN[key] = item.move.uci()
        moves.append(_CHOSEN[key])
        board.push_uci(moves[-1])
    return moves


@counts(3, 6)
@pytest.mark.parametrize("defence", DEFENCES)
def test_every_defence_takes_the_draw_a_slip_offers(library: Library, defence: str, count: int) -> None:
    """A pupil errs in one move of five; whenever a draw or better is there, it is taken."""
    random = Random(f"slips {defence}")
    style = Style(defence=defence, seed=3)
    offered = 0
    for board in some(library, "KBNK", 1, count, seed=35):
        attacker = board.turn
        while not board.is_game_over() and not board.can_claim_draw() and len(board.move_stack) < 40:
            referee = Referee(board, library.tables)
            ranking = rank_with(referee)
            if board.turn == attacker:
                slip = random.random() < 0.2
                board.push(random.choice(ranking).move if slip else ranking[0].move)
                continue
            chosen = choose(Judged(library, referee), style)
            if ranking[0].outcome >= 0:
                offered += 1
                assert chosen.outcome == ranking[0].outcome
                break
            board.push(chosen.move)
    assert offered


def test_the_corner_defence_runs_for_the_wrong_corner(library: Library) -> None:
    """No move within the margin leads nearer to a corner not of the bishop's colour, and some lead less near."""
    less_near = 0
    for start in some(library, "KBNK", -1, 30, seed=36):
        referee = Referee(start, library.tables)
        ranking = rank_with(referee)
        item = choose(Judged(library, referee), Style(defence="corner", margin_plies=6))
        allowed = [other for other in ranking if (other.mate_plies or 0) >= (ranking[0].mate_plies or 0) - 6]
        assert item in allowed
        steps = [to_wrong_corner(start, other.move) for other in allowed]
        assert to_wrong_corner(start, item.move) == min(steps)
        less_near += max(steps) > min(steps)
    assert less_near > 10


def to_wrong_corner(board: chess.Board, move: chess.Move) -> int:
    """Count the steps to the nearest corner that is not of the colour of the bishop's square."""
    (bishop,) = board.pieces(chess.BISHOP, not board.turn)
    shade = chess.BB_LIGHT_SQUARES if chess.BB_SQUARES[bishop] & chess.BB_LIGHT_SQUARES else chess.BB_DARK_SQUARES
    wrong = [corner for corner in (chess.A1, chess.H1, chess.A8, chess.H8) if not chess.BB_SQUARES[corner] & shade]
    return min(chess.square_distance(move.to_square, corner) for corner in wrong)
