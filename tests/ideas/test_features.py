"""The features of a position, range, cage, holes and guards, are what their witnesses say."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.cage import cage, forcing_mask
from matebot.ideas.guards import free, guards, tied
from matebot.ideas.holes import holes
from matebot.ideas.king_range import king_range
from matebot.ideas.squares import men_of, shut_mask
from tests.ideas.claims import ENDINGS, boards
from tests.witness.ideas import cage as cage_witness
from tests.witness.ideas import guards as guards_witness
from tests.witness.ideas import holes as holes_witness
from tests.witness.ideas import king_range as range_witness

_BY_DEFAULT, _MANY = 40, 1_000


def check_features(ending: str, count: int, seed: int) -> None:
    cages = 0
    for board, attacker in boards(ending, count, seed):
        about = f"{board.fen()} {chess.COLOR_NAMES[attacker]}"
        assert set(chess.SquareSet(shut_mask(men_of(board), attacker))) == range_witness.shut(board, attacker), about
        assert set(king_range(board, attacker)) == range_witness.king_range(board, attacker), about
        found = cage(board, attacker)
        assert (None if found is None else set(found)) == cage_witness.cage(board, attacker), about
        corners = sorted(chess.square_name(s) for s in chess.SquareSet(forcing_mask(men_of(board), attacker)))
        assert corners == sorted(cage_witness.mating_corners(board, attacker)), about
        assert set(holes(board, attacker)) == holes_witness.holes(board, attacker), about
        wall = {square: list(men) for square, men in guards(board, attacker).items()}
        assert wall == guards_witness.guards(board, attacker), about
        bound = {man: list(squares) for man, squares in tied(board, attacker).items()}
        assert bound == guards_witness.tied(board, attacker), about
        assert set(free(board, attacker)) == set(guards_witness.own_men(board, attacker)) - bound.keys(), about
        cages += found is not None
    assert bool(cages) == (ending not in ("KPK", "KBPK"))


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_features_are_what_their_witnesses_say(ending: str) -> None:
    check_features(ending, _BY_DEFAULT, seed=1)


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("ending", ENDINGS)
def test_the_features_of_many_positions_are_what_their_witnesses_say(ending: str) -> None:
    check_features(ending, _MANY, seed=2)


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KQKR"])
def test_the_features_are_the_same_from_every_side(ending: str) -> None:
    """Colours exchanged, and the board reflected: without pawns the rules know no side."""
    for board, attacker in boards(ending, 60, seed=3):
        for turn, seen_by, turned in (
            (chess.flip_vertical, not attacker, board.mirror()),
            (chess.flip_horizontal, attacker, board.transform(chess.flip_horizontal)),
            (chess.flip_diagonal, attacker, board.transform(chess.flip_diagonal)),
        ):
            assert int(king_range(turned, seen_by)) == turn(int(king_range(board, attacker)))
            assert int(cage(turned, seen_by) or 0) == turn(int(cage(board, attacker) or 0))
            assert int(holes(turned, seen_by)) == turn(int(holes(board, attacker)))
            assert int(free(turned, seen_by)) == turn(int(free(board, attacker)))


def test_whose_turn_it_is_does_not_matter() -> None:
    for board, attacker in boards("KBNK", 60, seed=4):
        turned = board.copy()
        turned.turn = not board.turn
        assert king_range(board, attacker) == king_range(turned, attacker)
        assert holes(board, attacker) == holes(turned, attacker)


def test_the_bishop_on_d3_shuts_a_cage_of_eight_squares() -> None:
    """A coach's example: the bishop's check leaves one hole, the knight's leaves the king everything."""
    shut = chess.Board("8/1k1N4/4K3/8/8/3B4/8/8 b - - 0 1")
    assert _names(cage(shut, chess.WHITE)) == "a7 a8 b7 c6 c7 c8 d8 e8"
    assert _names(king_range(shut, chess.WHITE)) == _names(cage(shut, chess.WHITE))
    assert not holes(shut, chess.WHITE)
    check = chess.Board("8/1k1N4/4K3/8/4B3/8/8/8 b - - 0 1")
    assert cage(check, chess.WHITE) is None
    assert _names(holes(check, chess.WHITE)) == "a6"
    hunt = chess.Board("8/1k5B/4K3/2N5/8/8/8/8 b - - 0 1")
    assert cage(hunt, chess.WHITE) is None
    assert not holes(hunt, chess.WHITE)


def test_a_man_is_tied_to_the_squares_it_alone_holds() -> None:
    """The knight alone holds b6; with the kings in opposition king and knight hold c7 and e7 both."""
    board = chess.Board("1k6/3K4/8/1B1N4/8/8/8/8 w - - 0 1")
    assert chess.B6 in tied(board, chess.WHITE)[chess.D5]
    opposed = chess.Board("3k4/8/3K4/1B1N4/8/8/8/8 b - - 0 1")
    assert guards(opposed, chess.WHITE)[chess.C7] == guards(opposed, chess.WHITE)[chess.E7] == (chess.D5, chess.D6)


def test_an_unguarded_man_is_no_wall() -> None:
    board = chess.Board("8/8/8/8/8/k7/1R6/7K b - - 0 1")
    assert chess.B2 in king_range(board, chess.WHITE)
    board.set_piece_at(chess.C1, chess.Piece.from_symbol("K"))
    board.remove_piece_at(chess.H1)
    assert chess.B2 not in king_range(board, chess.WHITE)


def test_lines_go_through_the_defending_king() -> None:
    board = chess.Board("8/8/8/3k4/8/8/8/K2R4 b - - 0 1")
    assert chess.D6 in chess.SquareSet(shut_mask(men_of(board), chess.WHITE))


def _names(squares: object) -> str:
    return " ".join(sorted(chess.square_name(s) for s in squares or ()))  # type: ignore[attr-defined]
