"""What is worked out of a placement without making a move, held against python-chess."""

from __future__ import annotations

from collections.abc import Iterator

import chess
import pytest

from matebot.ideas import knights_w, stalemate_trap, stands_out, threatens, towards_w
from matebot.ideas.squares import Men, after_king_step, after_move, gives_check, guarded_without, men_of, shut_mask
from tests.witness.positions import random_en_passant_positions, random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP", "KRKB"])
def test_a_move_gives_check_where_the_library_says_so(ending: str) -> None:
    checks = 0
    for board in random_positions(ending, 150, 4):
        for move in list(board.legal_moves):
            checks += board.gives_check(move)
            assert gives_check(board, move) == board.gives_check(move), (board.fen(), move.uci())
    assert checks > 5


def state(board: chess.Board) -> dict[str, object]:
    """Return all that a board holds but the moves that led to it."""
    kept = {name: value for name, value in vars(board).items() if name not in ("move_stack", "_stack")}
    return kept | {"occupied_co": tuple(board.occupied_co)}


@pytest.mark.parametrize("ending", ["KBNKR", "KQKR", "KRRKR", "KNKN", "KPKP"])
def test_a_move_leads_to_the_board_that_the_library_makes_of_it(ending: str) -> None:
    passing = random_en_passant_positions(20, 6) if ending == "KPKP" else ()
    for board in (*random_positions(ending, 40, 6), *passing):
        before = state(board)
        for move in list(board.legal_moves):
            expected = board.copy(stack=False)
            expected.push(move)
            found = after_move(board, move)
            assert state(found) == state(expected), (board.fen(), move.uci())
            assert vars(found).keys() == vars(expected).keys()
            for reply in list(found.legal_moves)[:2]:
                found.push(reply)
                found.pop()
            assert state(found) == state(expected)
        assert state(board) == before


def test_a_promoted_man_moves_as_the_library_has_it() -> None:
    board = chess.Board("8/P7/8/8/8/8/6k1/K7 w - - 0 1")
    for name in ("a7a8q", "g2g3", "a8b8", "g3g2"):
        expected = board.copy(stack=False)
        expected.push_uci(name)
        board = after_move(board, chess.Move.from_uci(name))
        assert state(board) == state(expected)


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP", "KRRKB"])
def test_what_is_guarded_without_a_man_is_what_the_others_guard_on_a_board_without_it(ending: str) -> None:
    for board in random_positions(ending, 40, 7):
        men = men_of(board)
        for man in chess.scan_forward(men.of(board.turn) & ~men.kings):
            off = Men(*(mask & ~chess.BB_SQUARES[man] for mask in men))
            assert guarded_without(men, man, board.turn) == shut_mask(off, board.turn)


def test_of_the_moves_that_may_threaten_only_those_that_do_something_are_made(monkeypatch: pytest.MonkeyPatch) -> None:
    made, some = list[chess.Move](), 0

    def noted(board: chess.Board, move: chess.Move) -> chess.Board:
        made.append(move)
        return after_move(board, move)

    monkeypatch.setattr(threatens, "after_move", noted)
    for before in random_positions("KQKR", 30, 8):
        for move in list(before.legal_moves)[:3]:
            after = after_move(before, move)
            made.clear()
            threatens.seen(before, move, after, before.turn)
            again = after.copy()
            again.turn = before.turn
            assert all(again.gives_check(other) or again.is_capture(other) for other in made)
            some += len(made)
    assert some


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP"])
def test_a_step_of_the_king_leads_to_the_placement_on_the_board(ending: str) -> None:
    for board in random_positions(ending, 60, 5):
        for move in list(board.generate_legal_moves(board.kings)):
            expected = board.copy(stack=False)
            expected.push(move)
            assert after_king_step(men_of(board), move) == men_of(expected)


def test_a_discovered_check_counts() -> None:
    board = chess.Board("k7/8/8/3N4/8/1K6/8/7B w - - 0 1")
    assert all(gives_check(board, move) for move in board.generate_legal_moves(board.knights))


def test_the_w_is_not_looked_for_while_the_king_is_two_steps_from_the_edge(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(men: Men, attacker: chess.Color) -> Iterator[knights_w.Way]:
        raise AssertionError("expected that no way is asked for")

    monkeypatch.setattr(knights_w, "ways", refuse)
    board = chess.Board("8/8/2k5/8/8/8/8/K1BN4 w - - 0 1")
    for move in board.legal_moves:
        assert knights_w.seen(board, move, after_move(board, move), chess.WHITE) is None


def test_what_one_shorter_defence_has_as_well_is_not_measured_on_the_others() -> None:
    boards = [men_of(board) for board in random_positions("KRK", 9, 9)]
    asked: list[Men] = []

    def measure(men: Men, attacker: chess.Color) -> int:
        asked.append(men)
        return 1

    assert stands_out._apart(measure, chess.WHITE, boards[:1], boards[1:]) is None
    assert asked == boards[:2]


def test_the_moves_of_a_knight_to_a_post_are_worked_out_once_for_all_squares() -> None:
    towards_w._knight_moves.cache_clear()
    found = [towards_w.moves_between(chess.KNIGHT, start, chess.F7) for start in chess.SQUARES]
    assert towards_w._knight_moves.cache_info().misses == 1
    assert all(found[square] == 1 for square in chess.scan_forward(chess.BB_KNIGHT_ATTACKS[chess.F7]))
    for square in chess.SQUARES:
        assert found[square] == 0 or found[square] - 1 == min(
            found[other] for other in chess.scan_forward(chess.BB_KNIGHT_ATTACKS[square])
        )


def test_a_man_guards_no_more_squares_next_to_a_king_than_it_is_taken_to() -> None:
    for kind, most in stalemate_trap._MOST.items():
        found = 0
        for square in chess.SQUARES:
            board = chess.Board(None)
            board.set_piece_at(square, chess.Piece(chess.QUEEN if kind == chess.PAWN else kind, chess.WHITE))
            guarded = int(board.attacks(square))
            near = (chess.BB_KING_ATTACKS[king] for king in chess.SQUARES if king != square)
            found = max(found, *((guarded & beside).bit_count() for beside in near))
        assert found == most, chess.piece_name(kind)


def test_of_a_king_with_many_ways_no_move_is_asked_whether_it_stalemates(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[chess.Move] = []

    def noted(board: chess.Board, move: chess.Move) -> int:
        asked.append(move)
        return chess.BB_ALL

    monkeypatch.setattr(stalemate_trap, "_could_cover", noted)
    assert list(stalemate_trap.stalemating(chess.Board("8/8/8/4k3/8/8/8/K1BN4 w - - 0 1"))) == []
    assert asked == []
    assert list(stalemate_trap.stalemating(chess.Board("k7/8/2K5/8/1N6/2B5/8/8 w - - 0 1"))) == []
    assert asked
