"""The search for positions that are not solved: what it says is true, and it keeps its limits."""

from __future__ import annotations

from itertools import count
from random import Random

import chess
import pytest

from matebot.play.unsolved import Found, find_move
from matebot.play.weighing import weigh
from matebot.solver.material import COVERED
from matebot.solver.tables import Tables
from tests.counting import counts
from tests.witness.positions import random_positions

ENDINGS = ("KQK", "KRK", "KPK", "KBNK", "KBBK", "KQKR")


def look(board: chess.Board, depth: int, tables: Tables | None = None) -> Found:
    """Search to a depth; with tables, what the position leads to counts as solved."""

    def known(after: chess.Board) -> tuple[int, int] | None:
        if tables is None:
            return None
        value = tables.value(after)
        return value.outcome, value.dtm_plies or 0

    return find_move(board, list(board.legal_moves), known, lambda: False, most_depth=depth)


def never() -> bool:
    return False


@pytest.mark.parametrize(
    ("fen", "moves", "mate"),
    [
        ("7k/8/6K1/8/8/8/8/R7 w - - 0 1", {"a1a8"}, 1),
        ("7k/8/5K2/8/8/8/8/R7 w - - 0 1", {"f6g6", "f6f7", "a1g1"}, None),
        ("8/6k1/8/3Q4/8/5K2/1p6/8 w - - 0 1", None, None),  # a queen that many moves would hang
        ("4k3/8/8/8/8/8/1r6/K7 w - - 0 1", {"a1b2"}, None),  # the only capture
        ("8/P7/1k6/8/8/8/8/2K5 w - - 0 1", {"a7a8q", "a7a8r"}, None),  # the pawn is lost a move later
    ],
)
def test_it_sees_mates_captures_promotions_and_what_hangs(fen: str, moves: set[str] | None, mate: int | None) -> None:
    board = chess.Board(fen)
    found = look(board, 3)
    if moves is not None:
        assert found.line[0].uci() in moves
    if mate is not None:
        assert found.mate_plies == 2 * mate - 1
        assert found.exact
    before = chess.popcount(board.occupied_co[board.turn])
    board.push(found.line[0])
    for reply in list(board.legal_moves):
        if board.is_capture(reply):  # then it is taken back
            board.push(reply)
            assert chess.popcount(board.occupied) < 2 * before
            assert any(board.is_capture(move) for move in board.legal_moves)
            board.pop()


@pytest.mark.parametrize("fen", ["4k3/8/8/8/8/8/1r6/K6Q w - - 0 1", "8/P7/8/8/8/2k5/8/1K6 w - - 0 1"])
def test_what_is_known_after_captures_and_promotions_is_asked(fen: str) -> None:
    board = chess.Board(fen)
    found = find_move(board, list(board.legal_moves), lambda after: (-1, 6), never, most_depth=1)
    assert board.is_zeroing(found.line[0])
    assert found.mate_plies == 7


def test_where_every_capture_is_known_to_lose_or_draw_that_is_what_is_found() -> None:
    board = chess.Board("4k3/8/8/8/8/8/1r6/K6Q w - - 0 1")
    found = find_move(board, list(board.generate_legal_captures()), lambda after: (1, 6), never, most_depth=1)
    assert (found.mate_plies, found.exact) == (-7, False)
    drawn = find_move(board, list(board.generate_legal_captures()), lambda after: (0, 0), never, most_depth=1)
    assert (drawn.mate_plies, drawn.score_cp) == (None, 0)


@counts(5, 12)
@pytest.mark.parametrize("ending", ENDINGS)
def test_every_mate_it_announces_is_true(tables: Tables, ending: str, count: int) -> None:
    """A proved mate is the tables' one, a bound never below it; half of the positions are near mate."""
    near: list[chess.Board] = []
    far: list[chess.Board] = []
    for board in random_positions(ending, 4000, seed=5):
        if any(board.legal_moves):
            (near if tables.value(board).dtm_plies in (1, 2, 3) else far).append(board)
        if min(len(near), len(far)) >= count:
            break
    announced = 0
    for board in near[:count] + far[:count]:
        value = tables.value(board)
        found = look(board, 3, tables)
        if found.mate_plies is None:
            alone = board.legal_moves.count() == 1  # then there is nothing to look for
            assert alone or value.dtm_plies is None or value.dtm_plies > 3
            continue
        announced += 1
        assert value.dtm_plies is not None
        assert (found.mate_plies > 0) == (value.outcome > 0)
        if found.exact:
            assert abs(found.mate_plies) == value.dtm_plies
        else:
            assert abs(found.mate_plies) >= value.dtm_plies
    assert announced


@pytest.mark.parametrize("fen", ["8/8/k1K5/8/8/1Q6/8/8 b - - 0 1", "8/8/1q6/8/8/K1k5/8/8 w - - 0 1"])
def test_a_mate_that_no_move_prevents_is_counted_below_zero(fen: str) -> None:
    """Both moves of the king are followed by mate, as python-chess shows."""
    board = chess.Board(fen)
    found = look(board, 3)
    assert (found.mate_plies, found.exact, board.legal_moves.count()) == (-2, True, 2)
    for move in found.line:
        board.push(move)
    assert board.is_checkmate()


def test_a_closer_look_begins_with_the_best_move_so_far_and_keeps_it_where_time_is_up() -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    moves = list(board.legal_moves)
    least, most = (find_move(board, moves, lambda after: None, never, most_depth=depth) for depth in (2, 3))
    assert least.line[0] == most.line[0]
    for nodes in range(least.nodes, most.nodes, 5):
        found = find_move(board, moves, lambda after: None, never, most_nodes=nodes)
        assert (found.line[0], found.depth in (2, 3)) == (most.line[0], True)


@pytest.mark.parametrize("fen", ["8/8/8/3k4/3r4/8/8/K2Q4 w - - 0 1", "k2q4/8/8/3R4/3K4/8/8/8 b - - 0 1"])
def test_a_man_that_would_be_taken_back_is_not_taken_however_little_is_looked_ahead(fen: str) -> None:
    board = chess.Board(fen)
    assert not board.is_capture(look(board, 1).line[0])


def test_only_a_move_without_another_is_not_looked_at_more_closely() -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    moves = list(board.legal_moves)
    for allowed, depth in ((1, 1), (2, 3)):
        assert find_move(board, moves[:allowed], lambda after: None, never, most_depth=3).depth == depth


def test_no_mate_is_announced_that_the_fifty_move_rule_forestalls() -> None:
    late = chess.Board("7k/8/5K2/8/8/8/8/R7 w - - 98 90")  # mate in two comes a ply too late
    assert look(late, 5).mate_plies is None
    assert look(chess.Board("7k/8/6K1/8/8/8/8/R7 w - - 99 90"), 3).mate_plies == 1


def test_a_move_to_a_third_repetition_is_a_draw() -> None:
    board = chess.Board("8/8/8/3k4/8/8/8/KQ6 w - - 0 1")
    for text in ("b1g1", "d5d6", "g1b1", "d6d5") * 2:
        board.push_uci(text)
    found = find_move(board, [board.pop()], lambda after: None, never, most_depth=2)
    assert found.score_cp == 0
    assert found.mate_plies is None


def test_it_stops_at_its_limits() -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    moves = list(board.legal_moves)
    assert find_move(board, moves, lambda after: None, never, most_depth=2).depth == 2
    assert find_move(board, moves, lambda after: None, never, most_nodes=30).nodes <= 30
    asked = count()
    found = find_move(board, moves, lambda after: None, lambda: next(asked) >= 50)
    assert found.depth >= 1
    assert next(asked) == 51
    for nodes in (0, 1, 2):
        assert find_move(board, moves, lambda after: None, never, most_nodes=nodes).line[0] in moves
    assert find_move(board, moves, lambda after: None, lambda: True).depth == 1
    assert find_move(board, moves[:1], lambda after: None, never).nodes == 1


def test_without_a_look_the_move_that_takes_most_is_shown_as_a_guess() -> None:
    board = chess.Board("4k3/8/8/8/8/8/1r6/K6Q w - - 0 1")
    found = find_move(board, list(board.legal_moves), lambda after: None, never, most_nodes=0)
    assert found == Found((chess.Move.from_uci("a1b2"),), 0, None, False, 0, 0)


def test_of_several_new_men_no_more_are_looked_at_once_one_is_too_good() -> None:
    """White goes on with its pawn, and so does Black: forty-seven positions with every new man."""
    assert look(chess.Board("5K2/8/7P/5k2/4p3/8/8/8 w - - 0 1"), 2).nodes <= 30


def test_every_promotion_is_looked_at_once_where_the_board_is_not_quiet() -> None:
    """Black has one move, and then the pawn may take the rook or promote beside it: eight new men, none taken back."""
    board, asked = chess.Board("k2r4/2P5/2K5/8/8/8/8/8 b - - 0 1"), list[str]()

    def unknown(after: chess.Board) -> None:
        asked.append(after.fen())

    find_move(board, [chess.Move.from_uci("a8a7")], unknown, never, most_depth=1)
    board.push_uci("a8a7")
    promoted = list[str]()
    for move in [move for move in board.legal_moves if move.promotion]:
        board.push(move)
        promoted.append(board.fen())
        board.pop()
    assert sorted(asked) == sorted(promoted)


def test_the_board_is_left_as_it_was() -> None:
    board = chess.Board("8/2k5/8/1pP5/8/8/8/K7 w - b6 0 1")
    fen, stack = board.fen(), list(board.move_stack)
    look(board, 4)
    assert board.fen() == fen
    assert board.move_stack == stack


def test_only_the_moves_allowed_are_looked_at() -> None:
    board = chess.Board("7k/8/6K1/8/8/8/8/R7 w - - 0 1")
    quiet = [chess.Move.from_uci(text) for text in ("a1b1", "a1c1")]
    assert find_move(board, quiet, lambda after: None, never, most_depth=2).line[0] in quiet


@pytest.mark.parametrize("ending", [material.name for material in COVERED])
def test_a_position_and_its_mirror_images_weigh_the_same(ending: str) -> None:
    for board in random_positions(ending, 20, seed=9):
        assert weigh(board) == weigh(board.mirror()) == weigh(board.transform(chess.flip_horizontal))
        assert board.pawns or weigh(board) == weigh(board.transform(chess.flip_diagonal))


def thrown_away(tables: Tables, ending: str, wanted: int, nodes: int) -> tuple[int, int]:
    """Return how many random won positions were looked at and in how many the move found does not win."""
    random, looked, thrown = Random(f"thrown {ending}"), 0, 0
    for board in random_positions(ending, 40 * wanted, seed=random.randrange(1000)):
        if looked == wanted or tables.value(board).outcome != 1:
            continue
        looked += 1
        found = find_move(board, list(board.legal_moves), lambda after: None, never, most_nodes=nodes)
        board.push(found.line[0])
        thrown += tables.value(board).outcome != -1
    return looked, thrown


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
def test_of_won_positions_in_all_endings_at_most_one_in_fifty_is_thrown_away(tables: Tables) -> None:
    """With as many positions looked at as a slow machine sees in a twentieth of a second."""
    results = {material.name: thrown_away(tables, material.name, 30, 600) for material in COVERED}
    looked, thrown = (sum(column) for column in zip(*results.values(), strict=True))
    assert looked > 500
    assert thrown <= looked / 50, results
