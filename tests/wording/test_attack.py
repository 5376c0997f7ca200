"""A good move of the attacker is explained by what is so on the board and by what slower moves do not do as well."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas import towards_w
from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of


def said(library: Library, fen: str, san: str, style: str = "shortest") -> str:
    board = chess.Board(fen)
    return said_of("", maker_for(library, board, style), board.parse_san(san)).text


@pytest.mark.parametrize(
    ("fen", "san", "words", "style"),
    [
        # The knight still stands next to the king, which the bishop keeps from taking it.
        ("4KB2/8/8/1k6/N7/8/8/8 w", "Nc5", "out of the king's reach", "shortest"),
        # The king stands in the right corner: there is nobody to drive along by the W.
        ("K4k2/8/8/8/8/7b/6n1/8 b", "Ke7", "of the W", "shortest"),
        # If Black could pass he would be mated sooner.
        ("5BB1/8/8/8/8/1K1k4/8/8 w", "Bd6", "zugzwang", "shortest"),
        ("K7/8/8/8/8/2B5/4Q3/7k w", "Kb7", "waits", "method"),
        # The attacking king stands on the queen's own line.
        ("8/8/8/8/3K4/1Q6/6k1/8 w", "Ke3", "keeps the box", "shortest"),
        # The king takes the rook, to no check.
        ("8/1Q6/8/6k1/8/8/4K3/3r4 w", "Qe7+", "fork", "shortest"),
        # A queen guards more than her lines, so her box tells little.
        ("8/2K5/8/8/k7/3Q4/8/8 w", "Qb1", "7 squares", "shortest"),
        # The defender's man counts, not the room of his king.
        ("4K3/8/3k4/r7/1N6/8/8/8 b", "Re5+", "shuts off a part", "shortest"),
        ("8/8/8/4Q3/6k1/8/3K2b1/8 w", "Ke3", "shut the cage", "shortest"),
        # The rook attacks the pawn already.
        ("8/8/6P1/6r1/8/4K3/8/3k4 b", "Kc2", "hurries", "shortest"),
        # The move first opens the cage that it is said to prepare; the king was cut off before.
        ("8/kr6/2QK4/8/8/8/8/8 w", "Qe4", "prepares", "method"),
        ("8/8/3q4/4k3/2B5/2K5/8/8 b", "Qc5", "cut the king off", "shortest"),
        ("2B5/5q2/8/4k3/6K1/8/8/8 b", "Ke4", "goes for the bishop", "shortest"),
        # The pawn runs alone, so nobody need be kept from it.
        ("8/8/8/5K2/2k5/p7/8/8 b", "Kd5", "the way to the pawn", "shortest"),
        # Kf1 leaves one square whatever the opposition.
        ("8/8/8/8/8/5R1P/5K2/7k w", "Kf1", "opposition", "shortest"),
        # The king is in check.
        ("2Q5/5k2/8/3r2K1/8/8/8/8 w", "Kf4", "to help", "method"),
        # The pawn runs alone, with a bishop beside it too.
        ("7K/8/8/8/8/1p6/3k4/2b5 b", "Kd3", "to help the pawn", "shortest"),
        ("8/8/3K4/6k1/8/5p2/8/8 b", "Kf6", "takes e5", "shortest"),
        # It answers a check; a rook in the corner bounds no box.
        ("4q3/B7/8/6K1/3k4/8/8/8 b", "Ke5", "opposition", "shortest"),
        ("R4K2/8/8/8/8/4k3/8/8 w", "Ke7", "the box", "shortest"),
        # The king stood on a key square before.
        ("8/8/8/4K3/4p3/4k3/8/8 b", "Kd3", "stands on a key square", "shortest"),
        # Other replies that last as long give no bishop away.
        ("6K1/1k6/5q2/8/8/8/8/1B6 b", "Kc8", "wins the bishop", "shortest"),
        # The knight gets out after the better move as well.
        ("8/4N3/5r2/4k3/8/7K/8/8 b", "Kd6", "would let", "shortest"),
        # Nobody makes less than a queen for nothing; the pawn is far from its king.
        ("6k1/8/7K/8/7Q/8/p7/8 w", "Qe7", "a1=B", "shortest"),
        ("8/6p1/k7/4K3/6Q1/8/8/8 w", "Qb4", "from its pawn", "shortest"),
        # The queen stands on the pawn's way; the pawn matters more than the way to the centre.
        ("8/8/4p3/2K5/4Q3/7k/8/8 w", "Kd4", "stops the pawn", "shortest"),
        ("8/8/8/1PK5/8/1k6/b7/8 w", "Kd4", "centre", "shortest"),
        ("8/8/5R2/4k3/8/3P4/8/2K5 w", "Rf1", "saves the rook and saves", "shortest"),
        # The pawn runs by itself, whatever the opposition and whoever goes for it.
        ("8/8/5k2/2K5/8/7p/8/8 b", "Ke5", "go for the pawn", "shortest"),
        ("8/2K5/7k/8/8/7p/8/8 b", "Kg7", "opposition", "shortest"),
        # It is not its own king that is to be shut in.
        ("8/8/2k4K/6R1/8/8/8/8 w", "Kg6", "to shut it in", "shortest"),
        ("8/8/8/1PK5/8/1k6/b7/8 w", "Kd4", "The fewer squares", "shortest"),
        # After most replies the bishop gets away, and mate comes instead.
        ("8/8/8/4k1B1/8/7q/8/4K3 b", "Qg2", "wins the bishop", "shortest"),
        # The bishop is out of reach after several replies.
        ("8/8/3B4/8/4k1K1/8/8/5q2 b", "Qf5+", "wins the bishop", "shortest"),
        # The knight goes to another square, and not by this post.
        ("5N2/8/8/5B2/8/2K5/k7/8 w", "Ne6", "c2", "shortest"),
        ("8/4n3/8/K7/8/k3b3/8/8 b", "Nd5", "b6", "shortest"),
        # The bishop that is tied may move as well.
        ("5k2/8/7b/8/6b1/8/1K6/8 b", "Be2", "free man", "shortest"),
        # The other king cannot come for the queen, and she holds the pawn.
        ("8/8/8/1K6/8/3Q4/1p6/4k3 w", "Kc4", "guards the queen", "shortest"),
        ("8/8/8/1K6/8/3Q4/1p6/4k3 w", "Kc4", "hurries", "shortest"),
        # The rook hangs before the check, and taking it wins as soon.
        ("2R5/3k4/8/8/8/4K3/q7/8 b", "Qb3+", "fork", "shortest"),
        # The pawn may go on at once.
        ("5K2/8/7P/8/8/5R2/8/k7 w", "Rf2", "helps the pawn", "shortest"),
        # The mate needs the pawn's step.
        ("8/6k1/8/8/8/7p/6r1/K7 b", "h2", "waits", "shortest"),
        # The pawn is about to promote.
        ("8/6P1/K7/3q4/8/8/8/k7 b", "Ka2", "cage", "shortest"),
        # The rook catches the pawn with the king outside its square too.
        ("8/8/8/5pk1/8/8/1K2R3/8 w", "Kc3", "inside its square", "shortest"),
        # A check uncovered by another man hits no second man.
        ("8/8/8/Q1K3k1/8/1b6/8/8 w", "Kb4+", "fork", "shortest"),
        # The pawn may go on at once, were the rook not attacked.
        ("8/5P2/3K4/8/8/8/6k1/7R w", "Rd1", "helps the pawn", "shortest"),
        # No check follows.
        ("8/8/8/2K5/3r4/3k4/8/8 b", "Kc3", "then the check", "shortest"),
        # Every step of the king is stalemate.
        ("7k/8/6Q1/8/8/5K2/8/8 w", "Qg1", "stalemate", "shortest"),
        # A slower move attacks the bishop as well.
        ("8/8/8/R7/8/3b3K/8/6k1 w", "Ra3", "attacks the bishop", "shortest"),
    ],
)
def test_what_is_not_so_or_not_the_reason_is_not_said(
    library: Library, fen: str, san: str, words: str, style: str
) -> None:
    assert words not in said(library, fen, san, style)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/8/6r1/5K2/7k/8 b", "Kh3", "guards the rook and takes the opposition"),
        ("3N4/6r1/7K/8/8/1k6/8/8 b", "Rd7", "saves the rook and attacks the knight on d8"),
        ("8/8/8/4K3/4p3/4k3/8/8 b", "Kd3", "clears the way for the pawn and stays on a key square"),
        ("5b2/3nk2K/8/8/8/8/8/8 b", "Kf7", "shuts the way out at g6 and g8: the king can only step between h7 and h8"),
        ("6k1/8/1P3b2/8/5K2/8/8/8 w", "b7", "gets the pawn past the bishop: it can no longer stop b8=Q."),
        ("8/8/8/8/5p2/8/R6K/5k2 w", "Kh3", "is after the pawn: if Ke1, Kg4, then Kxf4 wins the pawn"),
        ("8/k3B3/8/8/8/3p4/K7/8 b", "d2", "gets the pawn past the bishop: it can no longer stop d1=Q"),
        ("8/4K3/8/8/2r1k3/8/8/8 b", "Ke5", "takes the opposition"),
        ("8/8/8/4bb2/8/4k3/8/3K4 b", "Kd3", "keeps White's king on the edge"),
        ("8/6p1/8/8/8/bK6/3k4/8 b", "g5", "lets the bishop go: if Kxa3"),
        ("8/3p4/4R3/2k5/K7/8/8/8 w", "Ra6", "saves the rook from the pawn"),
        ("8/8/2P5/2K5/8/4k3/8/8 w", "Kd5", "leaves the pawn for now: it cannot be caught"),
        ("8/8/8/3r4/8/3k4/1Kp5/8 b", "c1=Q+", "offers the new queen: if Kxc1"),
        ("8/8/5Q2/8/8/krK5/8/8 w", "Kc2", "steps to where the checks end: after Kc4 would come Rb4+"),
        ("6k1/8/8/8/2bK4/2p5/8/8 b", "c2", "saves the pawn and lets the bishop go: if Kxc4"),
        ("8/1k6/8/3p4/8/7K/4r3/8 b", "d4", "brings the pawn on, while the rook bars the e-file"),
        ("8/2Q1K3/8/5b2/6k1/8/8/8 w", "Kf6", "attacks the bishop on f5"),
        ("3k4/8/3P4/3K4/8/8/8/1B6 w", "Kc6", "guards d7, where the pawn goes next"),
        # A king that touches the pawn comes for the mate; a pawn pinned before is not what a move pins.
        ("8/8/3kP1K1/8/5q2/8/8/8 b", "Ke7", "brings the king nearer: the queen needs it for the mate"),
        ("8/2k5/8/8/8/8/1q4PK/8 b", "Qf2", "shuts g3, the way off the edge"),
        # Far from the other king a step is a part of the way, and no waiting move.
        ("3Q1B2/8/2k5/8/8/8/4K3/8 w", "Kd2", "brings the king up"),
        ("5R2/8/8/8/7n/8/8/3k1K2 w", "Rf6", "leaves the knight on h4 no safe square"),
        ("N7/5r2/8/7k/8/7K/8/8 b", "Rb7", "leaves the knight on a8 no safe square: away from its king it is lost"),
        # The rook is loose, so the king's step that attacks it is the one to be shown.
        ("8/8/2k5/8/5p2/4r3/8/2K5 b", "Re2", "if Kd1, f3"),
        ("2R5/8/4K3/8/4k3/Q7/8/8 w", "Rc4#", "the rook holds d4 and f4, queen and king the rest"),
        ("2R5/8/8/1b6/8/8/8/1k2K3 w", "Rb8", "pins the bishop on b5 against its king"),
        ("8/R7/8/8/2P4K/8/8/5k2 w", "Re7", "cuts the king off from the pawn along the e-file"),
        ("8/8/k7/8/1P6/8/3q4/K7 b", "Kb5", "wins the pawn: after the forced Kb1 comes Kxb4"),
        ("1K6/8/b5k1/8/4n3/8/8/8 b", "Bc4", "brings the bishop off the edge"),
        (
            "1K6/8/8/8/8/8/5k2/4B1r1 b",
            "Rxe1",
            "takes the checking bishop, which nothing guards, and cuts the king off along the e-file",
        ),
        ("7R/k7/8/8/8/8/K7/n7 w", "Rc8", "traps the knight on a1: it is lost wherever it goes"),
        ("8/8/5n2/8/1R2K3/8/8/2k5 w", "Ke5", "attacks the knight on f6"),
        ("8/4B3/8/8/1k1K4/8/5p2/8 b", "Kb5", "steps out of the check, and the pawn goes on to make a queen: if"),
        ("8/8/8/8/8/1K2N3/8/1k2B3 w", "Bd2", "; Bc3 would let the king away from the corner a1 by Kc1"),
        ("8/8/8/2K5/3r4/3k4/8/8 b", "Kc3", "takes the opposition, and the rook stays guarded"),
        ("8/8/1k6/3K4/2Q5/8/8/b7 w", "Qc6+", "drives the king to the edge: if Ka7, Qb5"),
        ("8/6Q1/4k1K1/8/8/8/2b5/8 w", "Kg5", "steps out of the check"),
        ("8/8/8/8/7P/5R2/8/5K1k w", "Rh3#", "in the corner: the other king bars the way out"),
    ],
)
def test_what_a_coach_would_say_of_a_good_move(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


def test_nobody_is_on_the_way_to_the_w_while_the_other_side_has_a_man() -> None:
    for fen, san in (("8/1k6/3B4/8/8/8/3K4/5N2 w", "Kd3"), ("3k4/8/K7/8/8/8/8/N5B1 w", "Kb5")):
        board = chess.Board(fen)
        move = board.parse_san(san)
        board.set_piece_at(chess.A7, chess.Piece.from_symbol("p"))
        after = board.copy()
        after.push(move)
        assert towards_w.seen(board, move, after, chess.WHITE) is None
        board.remove_piece_at(chess.A7)
        after.remove_piece_at(chess.A7)
        assert towards_w.seen(board, move, after, chess.WHITE) is not None


def test_a_square_along_the_edge_is_not_called_the_last_way_out_of_a_rook_s_cage(library: Library) -> None:
    # The king may still go to f1.
    text = said_of("", maker_for(library, chess.Board("8/8/8/p7/8/2k5/5r2/4K3 b")), chess.Move.from_uci("f2d2")).text
    assert "saves the rook and shuts the king in" in text
    assert "way out" not in text
    assert "last" not in text


@pytest.mark.parametrize(
    ("fen", "san", "words", "style"),
    [
        ("8/K7/8/2P5/3q4/3k4/8/8 b", "Ke4", "Kd5 attacks the pawn a second time", "shortest"),
        ("8/3p2k1/8/8/8/2K5/8/5Q2 w", "Qf3", "Kd4 attacks the pawn a second time", "method"),
        # What has no room behind the man attacked is left out, not the man.
        ("8/5K2/8/8/1q5k/8/4P3/8 b", "Qb3+", "misses Qe4, which attacks the pawn on e2; mate", "method"),
    ],
)
def test_what_attacks_a_man_is_told(library: Library, fen: str, san: str, words: str, style: str) -> None:
    assert words in said(library, fen, san, style)
