"""What a coach claims is found in his words and held against the tables, and only what is not true is told."""

from __future__ import annotations

import chess
import pytest

from matebot.lessons.claims import Kind, claims, wrong
from matebot.solver.tables import Tables

#: The W ready to begin (common practice, no source); the number of moves is pinned as first computed.
READY = "4k3/5N1B/5K2/8/8/8/8/8 w - - 0 1"
#: From memory: the rook mates at once with Ra8; king and pawn are drawn with the opposition lost.
ROOK = "4k3/8/4K3/8/8/8/8/R7 w - - 0 1"
PAWN = "8/4k3/8/4K3/4P3/8/8/8 w - - 0 1"


@pytest.mark.parametrize(
    ("remark", "kinds"),
    [
        ("White wins.", [Kind.WIN]),
        ("Wins the knight, wins a pawn, loses time, lost the opposition.", []),
        ("Is this drawn? Can White win?", []),
        ("Black tries to draw; White plays for a win and wants to win.", []),
        ("It is a draw.", [Kind.DRAW]),
        ("mate in 7, or mates in seven, or #7", [Kind.MATE_IN, Kind.MATE_IN, Kind.MATE_IN]),
        ("The only move. The only good move.", [Kind.ONLY_MOVE, Kind.ONLY_MOVE]),
        ("A drawing of windows; the winner took the lost and found.", []),
        ("", []),
    ],
)
def test_claims_are_found_and_what_is_none_is_passed_over(remark: str, kinds: list[Kind]) -> None:
    assert [claim.kind for claim in claims(remark)] == kinds


def told(remark: str, board: chess.Board, tables: Tables) -> list[str]:
    return [text for claim in claims(remark) if (text := wrong(claim, board, tables)) is not None]


def after(fen: str, *sans: str) -> chess.Board:
    board = chess.Board(fen)
    for san in sans:
        board.push_san(san)
    return board


@pytest.mark.parametrize(
    ("fen", "played", "remark"),
    [
        (READY, (), "White wins, Black is lost, mate in 17."),
        (READY, ("Ne5",), "Wins. Mate in 16, mate in 17 with this move. White is winning. Not drawn."),
        (READY, ("Ne5", "Kd8"), "Loses. If Ke6 Kc7, Nd7 wins."),
        (ROOK, ("Ra8#",), "The only move? No: it wins."),
        (ROOK, (), "Ra8 mates in 0."),
        (PAWN, (), "It is a draw. White does not win."),
        (PAWN, ("Kd5",), "Kd7 is the only move."),
        (PAWN, ("Kd5", "Kd7"), "The only move to draw."),
    ],
)
def test_of_true_claims_nothing_is_told(tables: Tables, fen: str, played: tuple[str, ...], remark: str) -> None:
    assert told(remark, after(fen, *played), tables) == []


@pytest.mark.parametrize(
    ("fen", "played", "remark", "expected"),
    [
        (READY, (), "Black wins", ['"wins" does not hold: White mates in 17.']),
        (READY, ("Ne5",), "mate in 18", ['"mate in 18" does not hold: White mates in 16.']),
        (READY, (), "It is drawn.", ['"drawn" does not hold: White mates in 17.']),
        (PAWN, (), "White is winning.", ['"winning" does not hold: the position is drawn.']),
        (PAWN, (), "White is lost.", ['"lost" does not hold: the position is drawn.']),
        (PAWN, ("Kd5", "Kd7"), "Not the only move.", ['"only move": Kd7 is the only one.']),
        (
            PAWN,
            ("Kd5", "Ke8"),
            "The only move.",
            ['"only move" does not hold: Ke8 gives the draw away, Kd7 would keep it.'],
        ),
        (READY, (), "Qh5 wins.", ['"wins" is not checked: Qh5 cannot be played there.']),
        (READY, (), "Lost for Black, drawn by Black.", ['"drawn" does not hold: White mates in 17.']),
    ],
)
def test_what_is_not_true_is_told_with_the_truth(
    tables: Tables, fen: str, played: tuple[str, ...], remark: str, expected: list[str]
) -> None:
    assert told(remark, after(fen, *played), tables) == expected


@pytest.mark.parametrize(
    ("part", "found"), [("a", 0), ("1.", 0), ("?! ", 0), ("Kd8 ", 0), ("not ", 0), ("#9 ", 2_000), ("wins ", 2_000)]
)
def test_a_very_long_remark_is_read_to_its_end(part: str, found: int) -> None:
    assert len([*claims(part * 2_000)]) == found
