"""The positions the witnesses hand out are legal, varied and complete."""

from __future__ import annotations

from collections import Counter

import chess
import pytest

from tests.witness.positions import TRIANGLE, every_position, men_of, random_en_passant_positions, random_positions


def test_the_men_of_an_ending_belong_to_the_side_they_are_written_with() -> None:
    assert men_of("KBKN", chess.BLACK) == (
        (chess.KING, chess.BLACK),
        (chess.BISHOP, chess.BLACK),
        (chess.KING, chess.WHITE),
        (chess.KNIGHT, chess.WHITE),
    )


@pytest.mark.parametrize("ending", ["KQK", "KBNK", "KPKP", "KRKN"])
def test_random_positions_are_legal_and_have_the_men_asked_for(ending: str) -> None:
    for board in random_positions(ending, 200, seed=1):
        assert board.is_valid()
        letters = [piece.symbol().upper() for piece in board.piece_map().values()]
        assert sorted(letters) == sorted(ending)


def test_random_positions_have_either_colour_strong_and_either_side_to_move() -> None:
    seen = Counter((board.turn, bool(board.queens & board.occupied_co[0])) for board in random_positions("KQK", 400, 1))
    assert len(seen) == 4
    assert min(seen.values()) > 50


def test_random_positions_come_again_with_the_same_seed_and_differ_with_another() -> None:
    first, again, other = ([board.fen() for board in random_positions("KRK", 20, seed)] for seed in (1, 1, 2))
    assert first == again
    assert first != other


def test_random_en_passant_positions_allow_the_capture_to_either_colour() -> None:
    boards = list(random_en_passant_positions(100, seed=1))
    assert all(board.is_valid() and board.has_legal_en_passant() for board in boards)
    assert {board.turn for board in boards} == {chess.WHITE, chess.BLACK}


def test_ten_squares_stand_for_all_sixty_four() -> None:
    reflections = (chess.flip_vertical, chess.flip_horizontal, chess.flip_diagonal)
    covered = chess.SquareSet(TRIANGLE)
    for reflection in reflections:
        covered |= chess.SquareSet(reflection(int(covered)))
    assert len(TRIANGLE) == 10
    assert len(covered) == 64


@pytest.mark.exhaustive
def test_every_position_of_king_and_rook_is_there_once() -> None:
    """The number with Black to move is that of the open data set, whose positions are without duplicates.

    28,056 rows ("Chess (King-Rook vs. King)", 1994, from its documentation), where the white king instead of the
    black one stays in the triangle, and one of two positions that mirror each other in the diagonal is left out.
    """
    boards = list(every_position("KRK"))
    assert len({board.fen() for board in boards}) == len(boards)
    unlike = {_least_image(board) for board in boards if board.turn == chess.BLACK}
    assert len(unlike) == 28_056


def test_every_position_with_two_men_alike_is_there_once() -> None:
    seen = 0
    placements = set()
    for board in every_position("KBBK"):
        seen += 1
        placements.add((board.bishops, board.kings, board.king(chess.WHITE), board.turn))
        if seen == 20_000:
            break
    assert len(placements) == seen


def _least_image(board: chess.Board) -> tuple[int, ...]:
    masks = [board.pieces_mask(man, colour) for man, colour in men_of("KRK")]
    images = []
    for _ in range(4):
        masks = [chess.flip_vertical(mask) for mask in masks]
        images.append(tuple(masks))
        masks = [chess.flip_diagonal(mask) for mask in masks]
        images.append(tuple(masks))
    return min(images)
