"""What is told of a mate: its pattern, and who holds which squares; and how what is left would mate."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.mates import seen
from matebot.wording.captures import mated_by
from matebot.wording.mates import held_by, in_short
from matebot.wording.patterns import pattern

#: A position, the mating move, its pattern, whether that needs the place, and the same by men and squares: long, short.
MATES = (
    (
        "6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1",
        "Ra8#",
        "",
        False,
        "the rook holds f8 and h8; f7, g7 and h7 are blocked by the king's own men",
        "no square is left to the king",
    ),
    (
        "7k/7p/5K2/8/8/8/8/1R6 w - - 0 1",
        "Rb8#",
        "Black's own pawn blocks h7, and the rook checks",
        True,
        "the rook holds g8; the king holds g7; h7 is blocked by the king's own men",
        "no square is left to the king",
    ),
    (
        "k7/p1K5/8/8/8/8/6B1/8 w - - 0 1",
        "Bb7#",
        "Black's own pawn blocks a7, and the bishop checks",
        True,
        "the bishop checks; the king guards the bishop and holds b8; a7 is blocked by the king's own men",
        "the king guards it, and no square is left",
    ),
    (
        "k7/8/8/8/8/8/1R6/1R4K1 w - - 0 1",
        "Ra1#",
        "one rook holds the next line, the other checks along the a-file",
        False,
        "the rook on a1 holds a7; the rook on b2 holds b7 and b8",
        "no square is left to the king",
    ),
    (
        "k7/1R6/8/8/8/8/2Q5/6K1 w - - 0 1",
        "Qc8#",
        "the rook holds the next line, the queen checks along rank 8",
        False,
        "the queen holds b7 and b8; the rook holds a7",
        "no square is left to the king",
    ),
    (
        "k7/2P5/1K6/8/8/8/8/8 w - - 0 1",
        "c8=Q#",
        "the king, a knight's move away, holds the rest",
        True,
        "the queen holds b7 and b8; the king holds a7",
        "no square is left to the king",
    ),
    (
        "8/8/8/2B5/4B3/5K2/8/7k w - - 0 1",
        "Kg3#",
        "the bishops take two diagonals, and their king holds the rest",
        True,
        "the bishop on e4 checks and holds g2; the bishop on c5 holds g1; the king holds h2",
        "no square is left to the king",
    ),
    (
        "8/8/8/8/8/2K5/2B4B/2k5 w - - 0 1",
        "Bf4#",
        "",
        False,
        "the bishop on f4 holds d2; the bishop on c2 holds b1 and d1; the king holds b2 and c2",
        "no square is left to the king",
    ),
    (
        "8/8/8/8/8/1K6/3N4/k5B1 w - - 0 1",
        "Bd4#",
        "knight and king hold every way out, and the bishop checks",
        False,
        "bishop, knight and king together hold every square",
        "no square is left to the king",
    ),
    (
        "6B1/8/8/8/8/N7/8/k1K5 w - - 0 1",
        "Nc2#",
        "bishop and king hold every way out, and the knight checks",
        False,
        "knight, bishop and king together hold every square",
        "no square is left to the king",
    ),
    (
        "8/8/k7/2K5/4B3/7R/8/8 w - - 0 1",
        "Ra3#",
        "the rook holds a5 and a7, bishop and king the rest",
        False,
        "rook, bishop and king together hold every square",
        "no square is left to the king",
    ),
    (
        "8/8/4R3/5B2/8/K7/8/k7 w - - 0 1",
        "Re1#",
        "the other king bars the way out",
        True,
        "the rook holds b1; the king holds a2 and b2",
        "no square is left to the king",
    ),
    (
        "8/8/8/8/3B1K1k/8/4R3/8 w - - 0 1",
        "Rh2#",
        "kings face to face, the rook checks along the h-file",
        False,
        "the rook holds h3 and h5; the king holds g3, g4 and g5",
        "no square is left to the king",
    ),
    (
        "8/2N5/8/8/8/3Q4/5K1k/8 w - - 0 1",
        "Qh7#",
        "kings face to face, the queen checks along the h-file",
        False,
        "the queen holds h1 and h3; the king holds g1, g2 and g3",
        "no square is left to the king",
    ),
    (
        "8/8/2Q5/8/8/3KN3/8/6k1 w - - 0 1",
        "Qg2#",
        "the queen mates at close range, guarded by the knight",
        False,
        "the queen holds f1, h1, f2 and h2; the knight guards the queen",
        "the knight guards it, and no square is left",
    ),
    (
        "5k1K/2N5/8/6Q1/8/8/8/8 w - - 0 1",
        "Qf6#",
        "the queen holds e7 and f7, knight and king the rest",
        False,
        "queen, knight and king together hold every square",
        "no square is left to the king",
    ),
    (
        "8/8/4B3/8/5Q2/2K5/8/k7 w - - 0 1",
        "Qf1#",
        "the queen holds b1, bishop and king the rest",
        False,
        "queen, bishop and king together hold every square",
        "no square is left to the king",
    ),
    (
        "8/8/4B3/8/5Q2/2K5/8/k7 w - - 0 1",
        "Qc1#",
        "",
        False,
        "the queen holds b1 and b2; the bishop holds a2",
        "no square is left to the king",
    ),
    (
        "8/5K2/7k/8/1Q6/8/4B3/8 w - - 0 1",
        "Qh4#",
        "the other king bars the way off it",
        True,
        "the queen holds g5, h5 and h7; the king holds g6 and g7",
        "no square is left to the king",
    ),
    (
        "7k/4Q3/8/5R1K/8/8/8/8 w - - 0 1",
        "Rf8#",
        "the queen holds the next line, the rook checks along rank 8",
        False,
        "the rook holds g8; the queen holds g7 and h7",
        "no square is left to the king",
    ),
    (
        "8/n7/8/8/5Q2/6K1/8/6k1 w - - 0 1",
        "Qc1#",
        "kings face to face, the queen checks along rank 1",
        False,
        "the queen holds f1 and h1; the king holds f2, g2 and h2",
        "no square is left to the king",
    ),
    (
        "5k2/8/5K2/8/8/8/2R1b3/8 w - - 0 1",
        "Rc8#",
        "kings face to face, the rook checks along rank 8",
        False,
        "the rook holds e8 and g8; the king holds e7, f7 and g7",
        "no square is left to the king",
    ),
    (
        "5k2/8/5K2/8/2Q5/8/3Q4/8 w - - 0 1",
        "Qc8#",
        "kings face to face, the queen checks along rank 8",
        False,
        "the queen holds e8 and g8; the king holds e7, f7 and g7",
        "no square is left to the king",
    ),
    (
        "5k2/8/5K2/8/2Q5/8/3Q4/8 w - - 0 1",
        "Qf7#",
        "the queen mates at close range, guarded by her king",
        False,
        "the queen holds e7, g7, e8 and g8; the king guards the queen",
        "the king guards it, and no square is left",
    ),
    (
        "5k2/8/5K2/8/2Q5/8/3Q4/8 w - - 0 1",
        "Qd8#",
        "",
        False,
        "the queen on d8 holds e7, e8 and g8; the queen on c4 holds f7; the king holds g7",
        "no square is left to the king",
    ),
    (
        "7k/5KR1/1n6/5B2/8/8/8/8 w - - 0 1",
        "Rg8#",
        "the rook mates guarded by its king, and the bishop holds h7",
        False,
        "rook, bishop and king together hold every square",
        "the king guards it, and no square is left",
    ),
    (
        "k1K5/3B1Rn1/8/8/8/8/8/8 w - - 0 1",
        "Bc6#",
        "rook and king hold every way out, and the bishop checks",
        False,
        "bishop, rook and king together hold every square",
        "no square is left to the king",
    ),
    (
        "8/8/7p/8/3N4/8/5Q2/k1K5 w - - 0 1",
        "Nb3#",
        "queen and king hold every way out, and the knight checks",
        False,
        "knight, queen and king together hold every square",
        "no square is left to the king",
    ),
)


def facts_of(board: chess.Board, move: chess.Move) -> MoveFacts:
    """Return as much of the facts of a move as is asked for, of men in any number."""
    after = board.copy()
    after.push(move)
    men = {colour: tuple(map(chess.piece_name, kinds_of(after, colour))) for colour in chess.COLORS}
    moved = board.piece_type_at(move.from_square)
    assert moved is not None
    facts = SimpleNamespace(
        move=move.uci(),
        man=SimpleNamespace(
            piece=chess.piece_name(moved), promoted=chess.piece_name(move.promotion) if move.promotion else None
        ),
        men=SimpleNamespace(attacker_men=men[board.turn], defender_men=men[not board.turn]),
        seen=SimpleNamespace(attacked=lambda square: after.is_attacked_by(board.turn, square)),
        turn="white" if board.turn else "black",
        attacker="white" if board.turn else "black",
    )
    return cast("MoveFacts", facts)


def kinds_of(board: chess.Board, colour: chess.Color) -> list[chess.PieceType]:
    return sorted(
        man.piece_type for man in board.piece_map().values() if man.color == colour and man.piece_type != chess.KING
    )


@pytest.mark.parametrize(("fen", "san", "text", "needs_place", "whole", "short"), MATES)
def test_a_mate_is_told_by_its_pattern_or_by_who_holds_what(
    fen: str, san: str, text: str, needs_place: bool, whole: str, short: str
) -> None:
    board = chess.Board(fen)
    move = board.parse_san(san)
    after = board.copy()
    after.push(move)
    assert after.is_checkmate()
    idea, facts = seen(board, move, after, board.turn), facts_of(board, move)
    assert idea is not None
    found = pattern(idea, facts)
    assert (("", False) if found is None else (found.text, found.needs_place)) == (text, needs_place)
    assert (held_by(idea, facts), in_short(idea, facts)) == (whole, short)


@pytest.mark.parametrize(
    ("men", "text"),
    [
        (("queen", "queen"), "two queens mate even without their king"),
        (("rook", "bishop", "rook"), "two rooks mate even without their king"),
        (("rook", "queen"), "rook and queen mate even without their king"),
        (("queen",), "king and queen mate a bare king on the edge"),
        (("bishop", "rook"), "king and rook are enough to mate a bare king"),
        (("knight", "pawn"), "the pawn is left to make a queen"),
        (("bishop", "bishop"), "the bishops mate a bare king in a corner"),
        (("knight", "bishop"), "bishop and knight mate a bare king in a corner of the bishop's colour"),
        (("knight", "knight", "knight"), "king, knight, knight and knight beat a bare king"),
    ],
)
def test_what_is_left_is_told_by_how_it_mates(men: tuple[str, ...], text: str) -> None:
    left = cast("MoveFacts", SimpleNamespace(men=SimpleNamespace(attacker_men=men, defender_men=())))
    assert mated_by(left) == text
