"""The order of the moves, written down here a second time from what the ranking's text promises."""

from __future__ import annotations

from itertools import pairwise

import chess
import pytest

from matebot.laws.referee import judge
from matebot.play.ranking import Ranked, as_good, is_weaker, ranked, square_order
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

NEW_MEN = (None, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
#: From memory: a queen is worth nine, a rook five, a bishop or knight three, a pawn one; between the last two the
#: bishop is taken as the better one, common practice.
WORTH = {chess.QUEEN: 9.0, chess.ROOK: 5.0, chess.BISHOP: 3.2, chess.KNIGHT: 3.0, chess.PAWN: 1.0}


def in_order(board: chess.Board, before: Ranked, after: Ranked) -> bool:
    """Whether a move may stand before another."""
    if before.outcome != after.outcome:
        return before.outcome > after.outcome
    if before.mate_plies != after.mate_plies:
        assert before.mate_plies is not None
        assert after.mate_plies is not None
        return (before.mate_plies < after.mate_plies) == (before.outcome > 0)
    if before.outcome == 0:
        first, second = drawn(board, before), drawn(board, after)
        if first != second:
            return first < second
    return squares(before.move) < squares(after.move)


def drawn(board: chess.Board, item: Ranked) -> tuple[int, ...]:
    """Return the place of a draw among draws."""
    saved = item.verdict.value.outcome  # what the other side would have without clock and repetition
    ends = item.cause in ("stalemate", "dead position", "repetition", "fifty moves")
    plies = -saved * (item.verdict.value.dtm_plies or 0)
    if is_weaker(board, board.turn):
        return saved == 1, 0 if ends else 1 if board.is_capture(item.move) else 2, saved, plies
    return saved == 1, ends and saved != -1, saved, plies


def squares(move: chess.Move) -> tuple[int, int, int]:
    return move.from_square, move.to_square, NEW_MEN.index(move.promotion)


@pytest.mark.parametrize(
    ("ending", "clock"),
    [("KQKR", 0), ("KPK", 0), ("KRKN", 99), ("KBNK", 97), ("KQKR", 98)],
)
def test_every_pair_of_moves_stands_in_the_order_promised(tables: Tables, ending: str, clock: int) -> None:
    pairs = 0
    for board in random_positions(ending, 12, seed=51):
        board.halfmove_clock = clock
        moves = ranked(board, tables)
        for before, after in pairwise(moves):
            assert in_order(board, before, after), f"{board.fen()} {before.move} {after.move}"
            pairs += 1
    assert pairs > 40


@pytest.mark.parametrize(
    ("fen", "first", "second"),
    [
        # Either way the men draw; the king's move also ends the game, the capture leaves a pawn to play with.
        ("8/8/8/k7/P7/3n4/3K4/8 w - - 99 1", "d2e3", "d2d3"),
        ("8/8/8/k7/P7/3n4/3K4/8 w - - 0 1", "d2d3", "d2c2"),
    ],
)
def test_of_draws_the_weaker_side_takes_first_what_ends_the_game_and_then_a_capture(
    tables: Tables, fen: str, first: str, second: str
) -> None:
    board = chess.Board(fen)
    order = {item.move.uci(): (number, item) for number, item in enumerate(ranked(board, tables))}
    assert is_weaker(board, board.turn)
    assert order[first][1].outcome == order[second][1].outcome == 0
    assert order[first][0] < order[second][0]


def test_of_draws_by_the_men_the_weaker_side_takes_first_the_one_that_repeats_for_the_third_time(
    tables: Tables,
) -> None:
    board = chess.Board("8/8/8/4k3/3n4/8/8/K6R w - - 0 1")
    for text in ["h1g1", "e5f5", "g1h1", "f5e5", "h1g1", "e5f5", "g1h1"]:
        board.push_uci(text)
    first, *others = ranked(board, tables)
    after = board.copy()
    after.push(first.move)
    assert after.is_repetition(3)
    assert (first.cause, first.verdict.value.outcome) == ("repetition", 0)
    assert all(in_order(board, first, other) for other in others)
    assert any(other.outcome == 0 and squares(other.move) < squares(first.move) for other in others)


def test_of_draws_the_stronger_side_takes_first_what_lets_the_game_go_on(tables: Tables) -> None:
    """The rook may take the knight and be taken; any other move ends the game by the count."""
    board = chess.Board("8/8/8/1k6/2nR4/8/8/7K w - - 99 1")
    order = {item.move.uci(): (number, item) for number, item in enumerate(ranked(board, tables))}
    assert not is_weaker(board, board.turn)
    assert [order[move][1].cause for move in ("d4c4", "d4d1")] == ["balance", "fifty moves"]
    assert [order[move][1].verdict.value.outcome for move in ("d4c4", "d4d1")] == [0, 0]
    assert order["d4c4"][0] < order["d4d1"][0]


def test_a_drawn_capture_comes_before_other_drawn_moves_of_the_weaker_side(tables: Tables) -> None:
    """The rook may be taken or attacked, and either way it is a draw."""
    board = chess.Board("8/8/8/8/1n6/3R4/8/K1k5 b - - 0 1")
    moves = ranked(board, tables)
    assert is_weaker(board, board.turn)
    assert [item.outcome for item in moves[:2]] == [0, 0]
    assert board.is_capture(moves[0].move)


def test_equal_moves_stand_by_the_square_they_leave_then_the_one_they_go_to_then_the_new_man() -> None:
    moves = list(chess.Board("1r5k/P1P5/8/8/8/8/8/K7 w - - 0 1").legal_moves)
    turned_round = reversed(moves)  # so that none stands as it should already
    by_square = sorted(turned_round, key=lambda move: square_order(move.from_square, move.to_square, move.promotion))
    assert by_square == sorted(moves, key=squares)


def test_a_move_is_as_good_as_itself_and_as_another_only_where_both_numbers_are_exact(tables: Tables) -> None:
    moves = ranked(chess.Board("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"), tables)
    first, second = next(pair for pair in pairwise(moves) if pair[0].mate_plies == pair[1].mate_plies)
    bound = first._replace(exact=False)
    assert as_good(first, first)
    assert as_good(bound, bound)
    assert as_good(second, first)
    assert not as_good(second, bound)
    assert not as_good(bound, second)


def test_the_mate_of_a_move_is_counted_from_before_it(tables: Tables) -> None:
    """Played out: the winner's mate in one is one ply away, and the defender's last move leaves two."""
    winner = ranked(chess.Board("4k3/8/4K3/8/8/8/8/R7 w - - 0 1"), tables)[0]
    assert (winner.move.uci(), winner.mate_plies, winner.verdict.mate_plies) == ("a1a8", 1, 0)
    loser = ranked(chess.Board("5k2/8/4K3/8/8/8/8/R7 b - - 0 1"), tables)
    assert [(item.move.uci(), item.mate_plies) for item in loser if item.mate_plies == 2] == [("f8e8", 2)]


@pytest.mark.parametrize(
    ("fen", "weaker"),
    [
        ("8/8/8/8/8/3k4/8/KQ5r w - - 0 1", chess.BLACK),
        ("8/8/8/8/8/3k4/8/KB5r w - - 0 1", chess.WHITE),
        ("8/8/8/8/8/3k4/8/KB5n w - - 0 1", chess.BLACK),
        ("8/8/8/8/8/3k4/7p/KN6 w - - 0 1", chess.BLACK),
        ("8/8/8/8/8/3k4/8/KQ6 w - - 0 1", chess.BLACK),
        ("8/8/8/8/8/3k4/8/KQ4bn w - - 0 1", chess.WHITE),
        ("8/8/8/8/8/3k4/8/KQ5q w - - 0 1", None),
    ],
)
def test_the_weaker_side_has_fewer_men_or_lesser_ones(fen: str, weaker: chess.Color | None) -> None:
    board = chess.Board(fen)
    assert [side for side in chess.COLORS if is_weaker(board, side)] == ([] if weaker is None else [weaker])
    men = {side: [man.piece_type for man in board.piece_map().values() if man.color == side] for side in chess.COLORS}
    if weaker is not None and len(men[weaker]) == len(men[not weaker]):
        worth = {side: sum(WORTH.get(man, 0) for man in men[side]) for side in chess.COLORS}
        assert worth[weaker] < worth[not weaker]


def test_what_is_told_of_a_move_is_what_is_judged_once_it_is_made(tables: Tables) -> None:
    for board in random_positions("KQKR", 6, seed=52):
        for item in ranked(board, tables):
            after = board.copy(stack=False)
            after.push(item.move)
            verdict = judge(after, tables)
            assert (item.outcome, item.exact, item.cause) == (-verdict.outcome, verdict.exact, verdict.cause)
            assert item.mate_plies == (None if verdict.mate_plies is None else verdict.mate_plies + 1)
