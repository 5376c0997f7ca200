"""What a reply does on the board is told where nothing that it does decides."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.reply_deed import Plain, ReplyDeed, of_reply
from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("1k4K1/8/2p5/5R2/8/8/8/8 b", "Kc7", "is met by Rf6, which attacks the pawn"),
        ("6r1/8/2p5/5K2/8/8/8/k7 w", "Ke6", "is met by Rd8, which shuts the d-file to White's king"),
        # Nothing of the kind is seen.
        ("7k/8/8/8/8/8/4Q3/4K3 b", "Kg7", "is met by Qe8."),
        ("8/K7/8/8/8/2kp1Q2/8/8 b", "Kc2", "is met by Qe4, which pins the pawn"),
        ("8/3Q4/8/8/8/4k1r1/2K5/8 b", "Ke4", "is met by Qe6+, which drives Black's king from e4"),
        # Kg4 is the one step that lasts longer; Ka5 stays on the edge.
        ("8/2P5/R7/K7/8/7k/8/8 b", "Kg3", "either way, but Kg4, nearer the centre, lasts longer"),
        ("3K4/8/k7/7P/8/8/8/8 b", "Ka7", "either way, but Ka5 holds out longer"),
        # Nobody would make the bishop that another move loses, nor push the pawn for the king to take.
        ("4k3/7P/8/8/8/8/1q6/3K4 w", "Ke1", "is met by Ke7"),
    ],
)
def test_a_reply_and_a_longer_step_are_told_with_what_is_seen_of_them(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "deed"),
    [
        ("8/2k5/2p5/5R2/8/8/8/6K1 w", "Rf6", ReplyDeed(Plain.ATTACKS, (chess.C6,), chess.PAWN)),
        ("8/8/1k6/8/8/2B5/5p2/3K4 w", "Bb2", None),
        ("8/8/1k6/8/8/8/5pB1/3K4 w", "Bh3", None),
        ("8/8/1k6/8/8/8/B4p2/7K w", "Bc4", ReplyDeed(Plain.GUARDS, (chess.F1,))),
        ("1k6/8/8/8/8/2K5/8/7R w", "Rh8+", ReplyDeed(Plain.DRIVES, (chess.B8,))),
        # The rook may step between; it is pinned already.
        ("1k6/8/8/4r3/8/2K5/8/7R w", "Rh8+", None),
        ("8/K7/8/8/8/3p1Q2/2k5/8 w", "Qe4", ReplyDeed(Plain.PINS, (chess.D3,), chess.PAWN)),
        ("8/K7/8/5Q2/8/3p4/2k5/8 w", "Qe4", None),
        ("k7/8/2K5/8/8/8/8/6R1 w", "Ra1+", ReplyDeed(Plain.LEAVES, (chess.B8,))),
        ("8/8/8/4k3/8/8/8/R5K1 w", "Ra4", ReplyDeed(Plain.TAKES, (chess.D4, chess.E4, chess.F4), None, "rank 4")),
        ("8/8/8/4k3/8/8/8/R5K1 w", "Kf2", ReplyDeed(Plain.NEARS, (), chess.KING)),
        ("8/8/8/4k3/8/8/8/R5K1 w", "Kh1", None),
        ("8/8/8/4k3/8/8/8/N5K1 w", "Nc2", ReplyDeed(Plain.TAKES, (chess.D4,))),
        ("k7/8/8/8/8/8/8/N5K1 w", "Nb3", ReplyDeed(Plain.NEARS, (), chess.KNIGHT)),
        ("k7/8/8/8/8/8/8/B5K1 w", "Bb2", None),
        ("8/8/8/4k3/4r3/8/8/R5K1 w", "Ra4", ReplyDeed(Plain.ATTACKS, (chess.E4,), chess.ROOK)),
    ],
)
def test_what_a_reply_does_is_the_first_thing_that_is_seen(fen: str, san: str, deed: ReplyDeed | None) -> None:
    board = chess.Board(fen)
    assert of_reply(board, board.parse_san(san)) == deed


def test_no_other_move_is_blamed_for_a_man_that_may_be_taken_anyway(library: Library) -> None:
    text = text_of(library, "8/8/8/3P4/4q3/8/6K1/4k3 w", "Kg3", "shortest")
    assert "Kg1 loses" not in text


def text_of(library: Library, fen: str, san: str, attack: str) -> str:
    """Return what is told of a move where the attacker plays in a way."""
    board = chess.Board(fen)
    return said_of("", maker_for(library, board, attack), board.parse_san(san)).text
