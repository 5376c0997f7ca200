"""Words that hang on one fact: said where it is so on the board, and left out in a position or of a move like it.

The facts are counted with python-chess; what is said is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable

import chess
import pytest

from matebot.method.library import Library
from matebot.wording.moves import told
from tests.wording.sampling import maker_for

Fact = Callable[[chess.Board, chess.Board, chess.Move], bool]
_DISTANCE = chess.square_distance
_HELD, _HOLDING = "4B3/8/1K6/8/8/3k4/5r2/8 w", "8/8/8/3R4/7K/8/7k/5b2 b"
_QUEEN = "8/8/7k/8/3QK3/8/8/8 w"


def _king(board: chess.Board, side: chess.Color) -> chess.Square:
    king = board.king(side)
    assert king is not None
    return king


def _men(board: chess.Board, side: chess.Color) -> list[chess.Square]:
    return list(chess.scan_forward(board.occupied_co[side] & ~board.kings))


def _rim(square: chess.Square) -> int:
    return min(square // 8, 7 - square // 8, square % 8, 7 - square % 8)


def _ends_near_edge(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return _rim(_king(after, before.turn)) < 2


def _stays_on_edge(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return _rim(_king(before, before.turn)) == _rim(_king(after, before.turn)) == 0


def _keeps_file(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return move.from_square % 8 == move.to_square % 8


def _knights_move_off(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return bool(chess.BB_KNIGHT_ATTACKS[move.to_square] & after.kings & after.occupied_co[after.turn])


def _pawn_near_its_king(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return min(_DISTANCE(square, _king(after, after.turn)) for square in _men(after, after.turn)) <= 3


def _pawn_far_from_its_king(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return all(_DISTANCE(square, _king(before, before.turn)) > 1 for square in _men(before, before.turn))


def _bishop_sees_the_way(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    (pawn,) = after.pieces(chess.PAWN, after.turn)
    way = [pawn - 8 * step for step in range(1, pawn // 8 + 1)]
    return any(after.is_attacked_by(before.turn, square) and _king(after, before.turn) != square for square in way)


def _bare_kings(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return after.occupied.bit_count() == 2


def _has_pawn(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    return bool(before.pieces(chess.PAWN, before.turn))


def _leads(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    (pawn,) = after.pieces(chess.PAWN, before.turn)
    return bool(after.pieces(chess.ROOK, after.turn)) and _DISTANCE(_king(after, before.turn), pawn) == 1


def _rook_between(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    kings = _king(after, chess.WHITE), _king(after, chess.BLACK)
    low, high = sorted(king // 8 for king in kings)
    left, right = sorted(king % 8 for king in kings)
    rooks = after.pieces(chess.ROOK, before.turn)
    return any(low < rook // 8 < high or left < rook % 8 < right for rook in rooks)


def _beside_its_rook(before: chess.Board, after: chess.Board, move: chess.Move) -> bool:
    rooks = after.pieces(chess.ROOK, before.turn)
    return any(_DISTANCE(rook, _king(after, before.turn)) == 1 for rook in rooks)


#: Words, the fact, and the position and move of which they are said, and of which they are not.
CONTRASTS: list[tuple[str, Fact, tuple[str, str], tuple[str, str]]] = [
    ("the king can still step off the edge", _stays_on_edge, (_HOLDING, "Bc4"), (_HELD, "Ka5")),
    ("rank 5 is now barred", _keeps_file, ("8/8/2k5/8/1K6/2r5/8/8 b", "Rc5"), ("7r/6k1/8/8/5K2/8/8/8 b", "Re8")),
    (" a knight's move from", _knights_move_off, ("1k6/8/4K3/3Q4/8/8/8/8 w", "Qd7"), ("7r/6k1/8/8/5K2/8/8/8 b", "Re8")),
    (" from its pawn ", _pawn_near_its_king, ("6q1/3k4/8/4P3/8/5K2/8/8 b", "Qc4"), ("8/8/5k2/8/K6P/2q5/8/8 b", "Qb2")),
    (
        "pawn far from its king",
        _pawn_far_from_its_king,
        ("5K2/8/p7/R7/8/8/8/7k b", "Kg2"),
        ("8/4k3/5p2/3Q3K/8/8/8/8 b", "f5"),
    ),
    (
        "it stops the pawn at d1",
        _bishop_sees_the_way,
        ("8/8/8/8/B2p4/8/5K2/1k6 w", "Ke1"),
        ("8/8/8/8/B2p4/8/5K2/1k6 w", "Bd7"),
    ),
    ("pawns from afar", _bishop_sees_the_way, ("8/8/8/8/B2p4/8/5K2/1k6 w", "Ke1"), ("8/8/8/8/B2p4/8/5K2/1k6 w", "Bd7")),
    ("only the kings are left", _bare_kings, ("4K3/3q2k1/8/8/8/8/8/8 w", "Kxd7"), ("8/8/8/1p6/Q6k/2K5/8/8 b", "bxa4")),
    ("on a key square", _has_pawn, ("8/5p2/4k3/6K1/8/8/8/8 b", "Ke5"), ("8/8/8/2k5/8/3K4/4R3/8 w", "Kc3")),
    ("hurries to stop", _has_pawn, ("6k1/3K3p/8/5P2/8/8/8/8 w", "Ke7"), ("8/8/8/2k5/8/3K4/4R3/8 w", "Kc3")),
    ("while the rook cuts", _rook_between, ("8/7K/8/8/8/7R/2k5/8 w", "Kg6"), ("8/8/8/8/1K6/8/Q7/6k1 w", "Kc3")),
    ("guards the rook", _beside_its_rook, ("8/8/8/8/3K4/3P4/4R3/3k4 w", "Ke3"), ("8/7K/8/8/8/7R/2k5/8 w", "Kg6")),
    ("leads its pawn", _leads, ("8/3P1K2/8/8/3r4/1k6/8/8 w", "Ke6"), ("8/2KP4/1b6/1k6/8/8/8/8 w", "Kd6")),
    ("Stay off the edge", _ends_near_edge, ("8/4K3/8/3q1k2/8/8/7B/8 w", "Bg3"), ("8/pR6/8/1k6/3K4/8/8/8 b", "Kc6")),
]


@pytest.mark.parametrize(("words", "fact", "there", "elsewhere"), CONTRASTS, ids=[words for words, *_ in CONTRASTS])
def test_words_are_said_where_their_fact_is_so_and_left_out_where_it_is_not(
    library: Library, words: str, fact: Fact, there: tuple[str, str], elsewhere: tuple[str, str]
) -> None:
    for (placed, san), holds in ((there, True), (elsewhere, False)):
        before = chess.Board(f"{placed} - - 0 1")
        move = before.parse_san(san)
        after = before.copy(stack=False)
        after.push(move)
        assert fact(before, after, move) == holds
        maker = maker_for(library, before, "shortest")
        facts = maker.facts(move)
        text = " ".join(told(facts, maker.better(facts)))
        assert (words in text) == holds, text
