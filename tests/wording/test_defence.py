"""A defence is explained by what it alone does: what a shorter one does too is no reason for it."""

from __future__ import annotations

import re
from importlib import import_module

import chess
import pytest

from matebot.ideas.critical import Critical
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.wording.lasting import any_other
from tests.counting import counts
from tests.witness.ideas.critical import lasts
from tests.wording.sampling import maker_for, taken
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san"),
    [
        ("8/8/8/7B/6N1/2k3K1/8/8 b", "Kc4"),
        ("8/8/2K3Q1/8/8/5k2/8/8 b", "Kf2"),
        ("8/k7/8/8/4K3/8/8/4q3 w", "Kd5"),
        ("8/8/8/8/p3r3/8/4k1K1/8 w", "Kg3"),
        ("8/5r2/8/8/8/8/p2k4/6K1 w", "Kg2"),
        ("5b2/3K4/8/8/8/8/6Q1/3k4 b", "Kc1"),
        ("8/7k/8/R7/1K6/8/8/8 b", "Kh6"),
    ],
)
def test_what_need_not_come_first_is_not_said_to(library: Library, fen: str, san: str) -> None:
    assert "must first" not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "by"),
    [
        ("8/8/3K4/1r6/2k5/8/3Q4/8 b", "Rb6+", "at least 3 moves sooner"),
        ("8/8/8/8/K7/7p/8/Q4k2 b", "Kg2", "moves sooner"),
    ],
)
def test_how_much_sooner_any_other_move_is_mated_is_a_least_where_they_differ(
    library: Library, fen: str, san: str, by: str
) -> None:
    board = chess.Board(fen)
    move = board.parse_san(san)
    after = {item.move: item.mate_plies or 0 for item in maker_for(library, board).ranking}
    differ = len({plies for other, plies in after.items() if other != move}) > 1
    facts = maker_for(library, board).facts(move)
    critical = facts.seen.idea(Critical)
    assert critical is not None
    text = any_other(critical, facts)
    assert by in text
    assert ("at least" in text) == differ


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # Ke1 reaches d2 as well; of 1 Kg7 and 1 Kg8 the king keeps the other from f7 too.
        ("8/8/6K1/8/8/2R5/8/5k2 b", "Ke2", "makes for"),
        ("4k3/7K/8/8/8/8/3r4/8 w", "Kg6", "bars Black's king from f7"),
        # Kb4 and Kc4 reach c5 too; Kd2 is off the edge; every step is inside the square; Kc5 is as near the pawn.
        ("8/8/K1B5/8/7B/2k5/8/8 b", "Kd2", "makes for c5"),
        ("8/8/6Q1/2K5/8/4k3/8/8 b", "Kf3", "off the edge"),
        ("1k6/8/6K1/8/8/8/3P4/8 b", "Kc7", "goes for the pawn"),
        ("8/8/4p3/1K6/8/8/k5r1/8 w", "Kc4", "goes for the pawn"),
        ("8/8/8/8/p3r3/7K/8/2k5 w", "Kg3", "goes for the pawn"),
        ("8/8/8/r1KP4/4k3/8/8/8 w", "Kd6", "attacks"),
        # The bishop is left free to go, the bishop and the rook are guarded, the rook falls at once.
        ("1B6/8/8/5K2/B7/8/8/4k3 b", "Kd2", "ties"),
        ("8/8/8/6K1/1Q6/4k3/8/4B3 b", "Ke2", "attacks"),
        ("8/8/8/p7/1r6/2k5/K7/8 w", "Ka3", "attacks"),
        ("5K2/8/5q2/8/1k6/8/8/R7 w", "Ke8", "nearer to its rook"),
        # The bishop could be taken before; the king guards its bishop, and after the check its rook.
        ("6B1/7k/K7/8/2P5/8/8/8 b", "Kg7", "threatens"),
        ("8/8/8/6q1/6B1/5K2/8/3k4 w", "Bc8", "saves"),
        ("8/8/8/8/1q6/k7/7R/5K2 w", "Kf2", "fork"),
        # Kd7 gets away from h8 too; White needs e1 for nothing; a king with a rook is in no cage.
        ("8/8/2N1k3/8/4K3/8/8/4B3 b", "Kd6", "gets away"),
        ("8/8/1R3P2/8/8/5k2/8/3K4 b", "Kf2", "bars White's king"),
        ("8/8/8/8/1q6/k7/7R/5K2 w", "Kf2", "cage"),
        # The other king comes up all the same; it is not the king that cuts off; rook and pawn are what matters.
        ("1N6/8/8/8/2B2k2/8/8/6K1 b", "Ke5", "king up"),
        ("8/8/8/r1K5/B7/8/8/6k1 w", "Bb5", "Kf2 hits"),
        # The other king goes to the pawn on the far side; beside a pawn that queens the opposition is no matter.
        ("8/8/8/3rk3/8/2K4P/8/8 w", "Kc4", "bars its way"),
        # The kings do not face each other, or another move as long bars nothing.
        ("8/8/3k1K2/1r6/8/8/8/8 w", "Kf7", "bars its way"),
        ("8/1k6/8/4K3/8/3P4/8/8 b", "Kc6", "bars its way"),
        ("8/8/8/8/4q3/2K5/8/k7 w", "Kb3", "bars its way"),
        ("8/8/8/8/5k2/3q4/6K1/8 w", "Kf2", "bars its way"),
        ("8/8/8/2Q5/8/Bk6/8/6K1 b", "Ka4", "mate in 1"),
        # The step goes to the edge.
        ("8/8/8/1k5b/8/8/8/2R4K b", "Ka4", "can still step off the edge"),
        ("8/8/8/2P5/4R3/1k6/3K4/8 b", "Ka2", "opposition"),
        ("1Q6/8/3k4/7K/8/8/2p5/8 b", "Kc5", "c1=B"),
        ("8/7K/8/3r4/8/3k3Q/8/8 b", "Ke4", "Kc2 lets Kg6 shut"),
        ("1B6/8/2BK4/8/8/8/3k4/8 b", "Ke2", "cannot mate without it"),
        ("8/8/7K/8/8/6q1/2k5/8 w", "Kh5", "off by Kd3"),
        ("2k5/K7/8/3r4/1P6/8/8/8 w", "Ka6", "nearer the centre"),
        ("2k5/K7/8/3r4/1P6/8/8/8 w", "Ka6", "corner"),
        ("1K6/r7/8/8/8/2k2Q2/8/8 b", "Kd4", "nearer"),
        ("1K6/r7/8/8/8/2k2Q2/8/8 b", "Kd2", "nearer to its king"),
        ("k7/8/6R1/8/8/7K/3P4/8 b", "Ka7", "goes for the pawn"),
        ("7k/5P2/6K1/8/5r2/8/8/8 w", "Kg5", "attacks"),
        # It is a fork; the king stands on the edge itself; others as long do not attack the rook; the pawn is taken.
        ("8/8/K7/8/8/2b5/6Q1/4k3 b", "Bd4", "must first"),
        ("8/8/1k6/8/1K6/8/8/2R5 b", "Ka6", "to the edge"),
        ("1k6/8/1R6/8/8/p7/6K1/8 b", "Ka7", "Ka7 attacks"),
        ("8/k7/3R4/8/K7/3p4/8/8 b", "d2", "runs, one square"),
        ("8/8/8/8/4k3/8/7r/5K2 w", "Ke1", "nearer the centre"),
        # The queen and the rook held the king on the edge before the other king stepped up.
        ("2k5/1q6/8/8/8/1K6/8/8 w", "Kc2", "lets Kc7 hold"),
        ("8/6K1/8/1k6/8/8/8/1R6 b", "Kc5", "lets Kf6 hold"),
        # Mate comes in two whatever the king does.
        ("8/8/8/p7/1r6/2k5/K7/8 w", "Ka3", "goes for the pawn"),
        ("8/3k1P2/1K3R2/8/8/8/8/8 b", "Ke7", "threatens the rook"),
        # A quiet move lasts as long as the check; mate in one needs nothing more.
        ("6k1/4Q3/2b1K3/8/8/8/8/8 b", "Bd5+", "gains time"),
        ("8/8/8/8/8/5K2/2Q5/6k1 b", "Kf1", "bars White's king"),
        # The corner is what matters; others as short let no pawn promote with check; the rook shuts the king out of the
        # square in any case; the other king stands by the corner.
        ("1B6/8/8/8/8/8/2P1K1k1/8 b", "Kh3", "nearer to c8"),
        ("8/P7/4k3/8/8/2B2K2/8/8 b", "Kd5", "promote with check"),
        ("8/8/8/4P2k/8/6R1/5K2/8 b", "Kh4", "outside its square"),
        ("8/8/8/8/3K4/8/6k1/6bn w", "Ke4", "runs for h1"),
        ("8/5K2/8/6k1/p7/8/4Q3/8 b", "Kf4", "off the edge"),
        # The pawn runs; with a rook behind it the king need not be in its square; a check keeps the king from h5.
        ("8/8/3k2K1/8/6p1/8/8/8 w", "Kf5", "attacks"),
        ("8/8/8/R7/5K2/7k/P7/8 b", "Kg2", "square of the pawn"),
        # The other move that is as long does not keep c3; the king is not what shuts in; the pawn runs alone, or with
        # its king; the pawn is taken where it stands; the bishop is saved, and others as far do not save it.
        ("8/8/3k1K2/1r6/8/8/8/8 w", "Kf7", "Ke7 shut"),
        ("4n3/2b5/8/8/8/3k4/8/2K5 w", "Kb2", "c3"),
        ("8/8/8/8/8/4R3/2k1K3/8 b", "Kc1", "shut Black's king in"),
        ("6k1/8/8/8/8/1P6/K3R3/8 b", "Kf7", "escorts"),
        ("1K6/8/8/rp6/2k5/8/8/8 w", "Kb7", "outside its square"),
        ("8/8/8/4kP2/3r4/8/8/7K w", "Kg2", "Kxf6"),
        ("8/K1k5/8/8/1r4B1/8/8/8 w", "Bd1", "out of its reach"),
        # To come nearer to the other king is no fault; the king was in no danger; it goes to the edge only now.
        ("8/8/8/7R/8/8/2K3k1/8 b", "Kf3", "towards"),
        ("8/8/1k6/8/7K/7P/8/8 b", "Kc5", "off the edge"),
        ("8/5K2/8/2R5/8/8/1k6/8 b", "Kb1", "stays on the edge"),
        # What matters is the pawn.
        ("8/3k4/7K/8/8/3p4/8/8 w", "Kh7", "stays on the edge"),
        ("5B2/3P4/8/4k3/8/8/4K3/8 b", "Kd4", "away from the bishop"),
        ("8/8/2k5/4K3/8/8/2P5/1R6 b", "Kc5", "take the opposition"),
        # Another reply keeps the bishop longer; the rook goes for the pawn; a move that gives the bishop is as long.
        ("8/3B1k2/8/8/6K1/8/8/5q2 w", "Kg5", "three moves"),
        ("7b/2K5/8/8/5Q2/8/k7/8 b", "Kb1", "three moves"),
        ("8/8/8/8/4k3/5q2/5K2/2B5 w", "Kg1", "first Qe2, then Kxe3"),
        ("8/1p6/6k1/2K5/2R5/8/8/8 b", "Kg5", "first Kb6, then Kxb7"),
        ("6k1/8/8/8/K7/8/1p6/6R1 b", "Kf8", "cuts"),
        ("1k6/8/8/4K3/2b5/8/8/3Q4 b", "Ba2", "most moves lose"),
        ("8/8/8/p7/1b3k2/8/5K2/8 w", "Ke2", "nearer to the centre"),
        ("8/8/8/kP6/R7/4K3/8/8 b", "Kxb5", "every capture"),
        # The king is free, or may leave the edge, or goes to it itself: no rule that the move breaks is told.
        ("8/8/8/2b5/8/7n/8/K3k3 w", "Kb2", "ties"),
        ("b7/8/n7/8/7k/8/1K6/8 w", "Ka3", "corner"),
        ("8/5K1R/8/8/8/8/8/1k6 b", "Ka2", "as much of the board"),
        ("8/8/8/6k1/4q3/8/3K4/8 w", "Kc1", "away from the corner"),
        ("8/5r2/5k2/8/4B3/8/6K1/8 w", "Kg1", "only on the edge"),
    ],
)
def test_what_tells_a_defence_from_no_shorter_one_is_no_reason(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("k7/8/4p3/8/8/8/1B6/5K2 b", "e5", "the pawn falls to the bishop, which alone cannot mate"),
        ("b7/4k3/8/8/K7/8/5P2/8 w", "f3", "the pawn falls to the bishop, which alone cannot mate"),
        ("8/8/8/3b4/8/K2P4/4k3/8 w", "Kb2", "the pawn falls to Black's king, but a bishop alone cannot mate"),
        (
            "8/8/k7/8/8/5K2/5P2/5b2 w",
            "Ke3",
            "as every move does: Black's bishop is in time to stop the pawn. Bishops stop pawns from afar",
        ),
        ("8/8/7K/8/8/8/7P/k1b5 w", "Kh5", "guards h6 on the pawn's way, but alone it cannot mate. Bishops stop pawns"),
        # A man falls at once; the king leaves the edge, or attacks a man, and that is more than where it heads for.
        ("1B6/8/8/2q5/8/2k4K/8/8 w", "Kg4", "cannot save the bishop"),
        ("1K1qk3/8/8/8/8/8/6R1/8 w", "Ka7", "Kb7 would allow the fork Qd5+"),
        ("8/5K2/8/4k3/R7/8/8/8 b", "Kf5", "keeps White's king out of f6"),
        ("6K1/r7/8/8/2k5/8/8/8 w", "Kf8", "cannot leave the edge"),
        (
            "8/8/8/2k5/8/2KR4/4q3/8 w",
            "Rd8",
            "keeps the rook where no check wins it: most moves lose it, as Rg3 does to Qe5+",
        ),
        ("2R5/8/3q4/8/8/1k6/3K4/8 w", "Ke3", "cannot save the rook"),
        ("6Q1/8/8/8/8/3K4/5k2/8 b", "Kf3", "since a queen mates only on the edge"),
        ("8/8/1k2b3/8/8/8/5b1K/8 w", "Kg2", "attacks the unguarded bishop"),
        ("8/8/1k6/8/2R5/3K4/8/n7 b", "Kb5", "attacks the rook and leaves White one winning move, Kc3"),
        # The threat that is met, or that no move loses; and what is to be looked out for.
        ("4k3/8/7r/8/K3B3/8/8/8 w", "Ka3", "avoids Rh4, which pins the bishop"),
        ("3k4/3N4/8/7r/5K2/8/8/8 w", "Kg4", "it strikes back after Kxd7"),
        ("4R1b1/4K3/8/8/8/2k5/8/8 b", "Ba2", "it saves the bishop from Rxg8"),
        ("8/4K3/8/8/6Bk/8/8/5r2 w", "Be6", "Not Be2: Re1 pins the bishop"),
        (
            "8/8/3b2k1/8/6R1/8/K7/8 b",
            "Kf5",
            "it attacks the rook, and off the edge the king is safe from mate",
        ),
        ("8/2k5/8/8/5N2/8/4K3/2r5 w", "Kd2", "as every move does"),
        ("8/8/8/4k3/q7/K7/8/3B4 w", "Bxa4", "takes the loose queen and holds the draw: a bishop alone cannot mate"),
        ("1k6/1B6/8/p7/8/8/2K5/8 b", "Kxb7", "holds the draw: White's king is inside the square of the pawn on a5"),
        ("4k3/7B/5K2/4N3/8/8/8/8 b", "Kd8", "Kd8 is the best defence: "),
        ("8/8/6K1/8/8/2R5/8/5k2 b", "Ke2", "Ke2 is the best defence: "),
        (
            "8/8/8/8/8/P3kq2/8/5K2 w",
            "Kg1",
            "is the best defence: it avoids mate on the next move, since Ke1 runs into Qe2#",
        ),
    ],
)
def test_what_a_coach_would_say_of_a_defence(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


#: What is said of a defence, the witness of the idea, and what it is about.
_REASONS = {
    r"makes for": ("makes_for", ("goal", "target")),
    r"goes for the pawn|gets in front|steps into the square": ("at_pawn", ("reach", "pawn")),
    r"attacks the": ("attacks_man", ("squares",)),
    r"ties the": ("ties_man", ("square",)),
    r"runs for|goes into the corner": ("wrong_corner", ("deed", "corner")),
    r"avoids mate|out of the opposition": ("escapes_mate", ()),
    r"comes to the help|guards its|saves|runs with its": ("stands_by", ("help", "man")),
}


@counts(6, 12)
@pytest.mark.parametrize("ending", ["KBBK", "KRK", "KQK", "KPK", "KQKP", "KRKP"])
def test_no_shorter_defence_shows_what_a_longest_one_is_explained_by(library: Library, ending: str, count: int) -> None:
    looked_at = 0
    for found in taken(library, ending, "defence", count):
        board, told = chess.Board(found.facts.fen), TableTruth(library)
        move = chess.Move.from_uci(found.facts.instead.best or found.facts.move)
        for words, (kind, about) in _REASONS.items():
            if re.search(words, found.text) and found.facts.worth.outcome_after:
                looked_at += 1
                mine = shows(kind, board, move, told)
                quick = [m for m in board.legal_moves if lasts(board, m, told) < lasts(board, move, told)]
                shared = [m for m in quick if _same(mine, shows(kind, board, m, told), about)]
                assert not shared, f"{found.facts.fen} {found.text} {shared}"
    print(f"{ending}: {looked_at} reasons")


def shows(kind: str, board: chess.Board, move: chess.Move, told: TableTruth) -> dict[str, object] | None:
    """Return what the witness of an idea claims of a move of the side that loses."""
    after = board.copy(stack=False)
    after.push(move)
    claim = import_module(f"tests.witness.ideas.{kind}").claim
    more = (told,) if kind == "escapes_mate" else ()
    found: dict[str, object] | None = claim(board, move, after, not board.turn, *more)
    return found


def _same(one: dict[str, object] | None, two: dict[str, object] | None, about: tuple[str, ...]) -> bool:
    return one is not None and two is not None and all(one[name] == two[name] for name in about)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # No shorter move is as near the centre, off the edge, by its own man or away from the other king.
        ("8/8/8/2k5/4K3/2R5/8/8 b", "Kd6", "stays nearest the centre, since a rook mates only on the edge"),
        ("8/8/8/2K5/8/6k1/2Q5/8 b", "Kf3", "keeps off the edge, since a queen mates only there"),
        ("7q/8/8/1k5K/8/6R1/8/8 w", "Kg4", "keeps king and rook together."),
        ("K7/8/8/8/q7/8/2k5/1R6 w", "Kb8", "Kb8 holds out longest, but cannot save the rook: Kxb1 takes it"),
        # Every move lasts as long: what it tries all the same, or what comes next.
        ("4R3/8/5k2/8/8/6K1/8/8 b", "Kf7", "Kf7 attacks the unguarded rook on e8"),
        ("3Q2K1/8/8/8/2k5/8/8/8 b", "Kb3", "Kb3 stays off the edge, but Qd4 shuts Black's king in"),
        # What is let in at once; where nothing tells, it is not made up.
        (
            "8/8/4q3/8/5K2/8/2k4P/8 w",
            "Kg5",
            "Kg5 cannot keep Black's king from the pawn: Kd3 comes nearer. Mate in 7. Kf3 and h3 last as long",
        ),
        # The king attacks a man, or makes way, rather than coming up; a king goes away from the pawn; one other move.
        ("8/4R3/5K2/3k4/5q2/8/8/8 w", "Kg6", "cannot stop Kd6, which attacks the rook"),
        ("4R3/6K1/6P1/8/8/3k4/8/8 b", "Kc2", "cannot stop Kf6, which clears the pawn's way"),
        ("8/4P3/8/6K1/8/8/8/3k4 b", "Kc2", "Kc2 cannot stop the pawn: it promotes next move"),
        ("1K6/3P4/8/3k4/8/8/8/8 b", "Kd4", "Kd4 cannot stop the pawn: it promotes next move"),
        ("8/8/8/2Q5/8/Bk6/8/6K1 b", "Ka4", "Ka4 loses a move: it runs into Qb4#. Ka2 holds out longer."),
        # The pawn that moves can be taken.
        (
            "2k5/7q/3P4/8/8/8/8/K7 w",
            "d7+",
            "d7+ gives up the pawn: Kxd7 takes it. Mate in 8. Kb2 lasts as long. A pawn far from its king soon",
        ),
        # The bishop is saved first; the knight is pinned, not hit.
        ("8/2Br3k/8/8/8/8/8/7K w", "Bh2", "it saves the bishop from Rxc7, and the king can still step off the edge"),
        ("3K4/8/3n4/8/6k1/8/3R4/8 b", "Ne4", "Rd4 pins the knight, but Kf3 guards it"),
        ("8/2P5/8/5K1k/8/8/8/8 b", "Kh4", "Kh4 holds out longest, but cannot stop the pawn: it promotes next move"),
        ("7B/5B2/8/8/k7/8/8/5K2 b", "Ka5", "gives the king more room off the edge than any shorter defence"),
        # Squares off the edge, alone; a man that nobody guards; two steps from the other king, not in its way.
        ("8/8/4k3/8/n7/6b1/8/2K5 w", "Kd2", "holds out longest: it gives the king the most room off the edge"),
        ("4K3/8/8/4k2n/8/8/8/1b6 w", "Kf7", "holds out longest: it keeps nearest to the unguarded knight on h5"),
        ("8/n1K5/8/8/k7/8/7b/8 w", "Kb6", "holds out longest: it keeps Black's king from coming nearer"),
        # The rook guards its pawn from behind; a knight that runs is taken where it goes; half are not most.
        ("8/r7/p7/8/4K3/8/7k/8 w", "Kd4", "cannot stop the pawn: a5 comes, and the rook guards it from behind"),
        ("6R1/n7/8/2K5/8/8/8/2k5 b", "Kd2", "cannot save the knight: first Ra8, and if Nb5, Kxb5"),
        ("3Q4/8/1r1k4/8/8/8/K7/8 b", "Kc5", "keeps the rook: only Kc6 keeps it too"),
        # Nobody is after the bishop; after the better step the same reply comes.
        (
            "8/8/8/8/8/3q4/8/2k1K1B1 w",
            "Kf2",
            "is the best defence and keeps the bishop: half the moves lose it at once",
        ),
        ("8/8/8/2K5/6k1/8/8/1Q6 b", "Kg3", "loses a move: White's Kd4 comes in any case, but Kg5 holds out longer"),
        # The king catches the pawn that nobody leads; the fork is named once; it captures, and why it does not win.
        ("8/2k5/3b4/5P2/8/8/3K4/8 w", "Ke3", "but Black's king is inside its square and holds it by itself"),
        (
            "8/7K/8/3r4/1k6/7N/8/8 w",
            "Kg6",
            "it avoids the fork Rh5+, and off the edge the king is safe from mate. Beware of",
        ),
        ("8/8/8/1P1k4/7q/7K/8/8 w", "Kxh4", "draws. It does not win: Black's king is inside the square of the pawn"),
        # Every move lasts as long, and not all leave the edge.
        ("5N2/1B6/8/8/k7/8/7K/8 b", "Kb5", "Kb5 is met by Ne6, which takes c5 from Black's king"),
        (
            "8/8/8/8/5R2/2k5/4K3/8 b",
            "Kb2",
            "Kb2 is met by Kd2, which takes c1, c2 and c3 from Black's king. Mate in 6. Kc2 lasts as long",
        ),
        # A king holds a pawn alone; a bishop is still guarded; a king's capture is no double attack.
        (
            "4K3/2b5/7k/8/8/8/7P/8 w",
            "h4",
            "brings the pawn on, but Black's king stands in front of it and holds it by itself",
        ),
        (
            "3k4/3P4/7b/8/6K1/8/8/8 w",
            "Kh5",
            "attacks the bishop, but Black's king stands in front of the pawn and holds it by itself",
        ),
        ("7R/8/8/8/3k4/Kb6/8/8 b", "Bd5", "Rd8 pins the bishop, but Kc4 still guards it"),
        ("8/2N5/1k6/8/1K5r/8/8/8 w", "Kc3", "Mate in 13. Every move lasts as long. A man far from its king soon falls"),
        (
            "3b4/8/7K/8/2R5/8/5k2/8 b",
            "Ke3",
            "no fork or pin wins the bishop, and off the edge the king is safe from mate",
        ),
        # A pawn runs and is not led; its bishop plays first; a king comes nearer to one of two corners.
        ("8/8/8/8/4K3/1k4P1/8/2r5 w", "g4", "it runs, four squares from promotion. Mate in 19"),
        ("8/8/4b3/8/7p/2k5/8/1K6 w", "Kc1", "comes nearer to the pawn; Black now plays Bb3"),
        ("4B3/8/8/8/4K3/8/2k5/5N2 b", "Kc3", "comes nearer to the centre, but Bf7 takes b3 and c4"),
        (
            "6B1/8/8/8/k7/8/1N6/K7 b",
            "Kb4",
            "Kb4 holds out longest, but is met by Nc4, which takes a3 and a5 from Black's king",
        ),
        # A man moved to its king; a man lost at once; what one slower move lacks.
        ("2K5/8/8/8/5Q1b/8/4k3/8 b", "Bf2", "beside its king: all other moves but Be1 lose it, as Be7 does to Qe5+"),
        ("8/8/3k4/8/1K6/7B/8/2q5 w", "Bg2", "cannot save the bishop: Qb2+ forks king and bishop"),
        (
            "6q1/4K3/8/8/k7/8/8/8 w",
            "Kd6",
            "better is Kf6, which keeps away from Black's king, without which",
        ),
        # A step of the king shuts no cage round one that a rook drives; what looms; a rook behind its pawn; a mate.
        ("8/8/6k1/5r2/8/8/6K1/8 w", "Kg1", "Kg1 goes to the edge, and Black's king closes in on White's by Kh5"),
        ("r7/7k/8/8/3p4/8/8/3K4 w", "Kc2", "Kc2 cannot stop Rd8, which guards the pawn from behind"),
        ("8/8/k1K5/8/1R4P1/8/8/8 b", "Ka5", "Ka5 loses a move: it allows Rd4, with mate next move"),
        # What is wrong with a step that no best move shares; a man that a shorter step leaves.
        (
            "2k2q2/8/8/8/8/8/6K1/8 w",
            "Kh1",
            "is met by Qg7, which takes g1 and g2 from White's king. Now it is mate in 7. Kg1 and Kg3 hold out longer",
        ),
        ("8/k7/1p1K4/1Q6/8/8/8/8 b", "Kb7", "it keeps its pawn guarded"),
        # The corner is far from the other king: it is the threat that matters.
        ("8/3B3K/r7/8/8/8/5k2/8 w", "Bh3", "it avoids Ra7, which pins the bishop"),
        # A rule to take along.
        ("8/8/b7/2K5/8/4k3/5p2/8 w", "Kb6", "Look for men that nobody guards"),
        ("5k2/2r5/8/8/8/8/8/7K w", "Kg1", "longer than Kh2, which lets Rg7 shut White's king in on the h-file"),
        ("6k1/8/8/5Q2/8/8/3K4/8 b", "Kh8", "would be stalemate"),
    ],
)
def test_a_defence_is_told_by_what_tells_it_from_all_shorter_ones(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # It guards the pawn or the rook as well as the step that does no more.
        ("4K3/5p1k/3R4/8/8/8/8/8 b", "Kg7", "gives up the pawn"),
        ("8/8/2q5/8/8/4RK2/3k4/8 w", "Kf4", "gives up the rook"),
        # From b7 the king goes away from the centre; no counting where ten moves are lost, and a pawn shuts no cage.
        ("8/1K6/8/8/6b1/4p3/8/k7 w", "Ka7", "centre"),
        ("1k6/8/1K6/1n6/8/8/8/2R5 b", "Nd6", "counting"),
        ("1k6/8/1K6/1n6/8/8/8/2R5 b", "Nd6", "critical test"),
        ("8/4p3/3k4/8/8/1K3r2/8/8 w", "Kc4", "cage"),
        # The pawn queens first; a capture tests nobody; no number of squares after a reply that is not the best.
        ("8/4P3/B2K4/8/8/8/4k3/8 b", "Ke3", "goes for the pawn"),
        ("4r3/8/6k1/8/8/8/6pK/8 w", "Kxg2", "critical test"),
        ("8/8/8/8/4K3/8/6k1/4q3 w", "Kd4", "now it keeps"),
        ("8/8/4q3/8/5K2/8/2k4P/8 w", "Kg5", "now it keeps"),
        ("8/2k5/8/8/2q2K2/8/8/7R w", "Ke3", "Next Qc5+"),
    ],
)
def test_what_is_true_but_no_reason_is_left_unsaid(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # A check hits king and man: Qe6+ the rook, Qc8+ the bishop; Qxe1+ takes it at once, Rg7 shuts the knight in.
        ("2R5/8/3q4/8/8/1k6/3K4/8 w", "Ke3", "nearer to its king"),
        ("1B6/8/8/2q5/8/2k4K/8/8 w", "Kg4", "help of its bishop"),
        ("8/8/8/8/4q3/3k1K2/8/4B3 w", "Kg3", "keeps away"),
        ("8/3r1N2/8/8/5k2/8/4K3/8 w", "Nh6", "saves the knight"),
        # After the better move the other king takes the opposition or comes up as well.
        ("8/2b5/2bk4/8/8/8/2K5/8 w", "Kc3", "takes the opposition"),
        ("8/8/1k1K4/2r5/8/8/8/8 w", "Ke6", "brings its king up"),
        # After the longer defence the queen comes to d4 as well.
        ("8/8/8/3k4/8/8/1Q6/3K4 b", "Ke6", "lets Qd4 shut"),
        # The king is in the square of the pawn; it stands on the edge; mate is far.
        ("7K/8/8/8/6P1/2k5/8/8 b", "Kd4", "not in front"),
        ("8/8/3k4/8/8/4BP2/4K3/8 b", "Kd5", "not in front"),
        ("5k2/8/5K2/3P1r2/8/8/8/8 w", "Kxf5", "inside the square"),
        ("8/2k5/8/8/8/1P6/1b6/2K5 w", "Kxb2", "inside the square"),
        ("4k1K1/8/3r4/8/8/8/6P1/8 w", "Kg7", "keeps off the edge"),
        ("3k4/8/N7/8/3K4/6B1/8/8 b", "Ke8", "the mate"),
        ("5K2/8/3B1r2/8/8/5k2/8/8 w", "Ke7", "no fork"),
    ],
)
def test_a_defence_is_not_praised_for_what_the_next_move_undoes_or_the_better_one_shares(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        (
            "8/8/8/8/4q3/3k1K2/8/4B3 w",
            "Kg3",
            "holds out longest, though it gives up the bishop: Kf2 guards it, but is mated sooner",
        ),
        # Whatever the replies the pawn is taken in time.
        ("8/8/q7/8/7P/3K4/8/4k3 w", "Ke3", "cannot save the pawn: Qh6+ forks king and pawn"),
        ("3Q4/8/8/1k6/8/6p1/8/2K5 b", "Kc4", "cannot save the pawn: Qc7+ forks king and pawn"),
        ("7K/8/8/8/6P1/2k5/8/8 b", "Kd4", "g5 comes, and White's king guards its way"),
        ("8/8/3k4/8/8/4BP2/4K3/8 b", "Kd5", "f4 comes, and White's king escorts it"),
        ("5k2/8/5K2/3P1r2/8/8/8/8 w", "Kxf5", "Black's king still stops the pawn"),
        ("8/2k5/8/8/8/1P6/1b6/2K5 w", "Kxb2", "Black's king still stops the pawn"),
        ("4k1K1/8/3r4/8/8/8/6P1/8 w", "Kg7", "g3, for one, would allow the fork Rg6+"),
        ("8/8/8/2K5/8/6k1/2Q5/8 b", "Kf3", "keeps off the edge"),
        (
            "7R/K7/P7/8/8/8/8/5k2 b",
            "Kg2",
            "Kg2 is met by Rf8, which shuts the f-file to Black's king. Mate in 7. Ke2, Kf2 and Kg1 last as long",
        ),
        ("5K2/8/3B1r2/8/8/5k2/8/8 w", "Ke7", "it guards the bishop and attacks the rook, and off the edge"),
        ("1Rbk4/8/8/8/8/8/3K4/8 b", "Kc7", "draw: it attacks the rook, and off the edge"),
        ("8/7K/2R5/8/8/8/8/k1b5 b", "Kb2", "it guards the bishop against Rxc1+, and off the edge"),
        ("8/b7/8/7K/8/8/8/3b3k w", "Kh6", "Kh6 loses a move and is met by Bd4, which takes g7 from White's king"),
        ("1B3N2/3k4/6K1/8/8/8/8/8 b", "Kc6", "loses a move: White brings its king up by Kf5"),
    ],
)
def test_a_defence_is_told_by_what_it_does_on_the_board(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@counts(10, 25)
@pytest.mark.parametrize("ending", ["KQKR", "KQKB", "KRKN"])
def test_a_piece_that_is_taken_next_is_not_passed_over(library: Library, ending: str, count: int) -> None:
    truth = TableTruth(library)
    for one in taken(library, ending, "defence", count):
        board = chess.Board(one.facts.fen)
        if truth.outcome(board) >= 0:
            continue
        board.push_uci(one.facts.move)
        answer = truth.answer(board)
        if answer is None or not board.is_capture(answer):
            continue
        board.push(answer)
        if not any(move.to_square == answer.to_square for move in board.legal_moves) and not board.is_checkmate():
            assert re.search(
                "cannot save|takes the|gives the|mate", one.text.partition(": ")[2].partition("Mate in")[0]
            )


def test_a_shorter_defence_is_not_blamed_for_a_pawn_that_the_longer_one_does_not_stop_either(library: Library) -> None:
    assert "cannot stop" not in said(library, "8/8/8/k7/4K3/8/2p4b/8 w", "Kd4")


def test_no_check_wins_a_rook_where_a_capture_answers_it(library: Library) -> None:
    assert "Qc4+" not in said(library, "8/8/2Q5/3K4/5r2/1k6/8/8 b", "Rg4")


@pytest.mark.parametrize(
    ("fen", "san", "reply", "better"),
    [
        ("8/5k2/8/8/1K6/8/6Q1/8 b", "Ke6", "Qg5", "Kf6"),
        ("4K3/8/8/5Q2/8/2k5/1r6/8 b", "Re2+", "Kd7", "Rd2"),
    ],
)
def test_a_shorter_defence_is_told_with_the_reply_that_is_quickest_against_it_alone(
    library: Library, fen: str, san: str, reply: str, better: str
) -> None:
    text = said(library, fen, san)
    assert f"{reply}, which {better} prevents" in text


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # A shorter defence stands off the edge, or as near the centre.
        ("8/2K5/8/8/8/2k3q1/8/8 w", "Kd7", "stays off the edge"),
        ("8/q7/4K3/8/8/3k4/8/8 w", "Kd6", "near the centre"),
        # The bishop that it goes to help falls to a check; rook and king stand two steps apart.
        ("8/3k3b/5Q2/8/8/8/8/5K2 b", "Ke8", "to the help"),
        ("8/1Q3K2/8/8/8/7k/8/7r b", "Rg1", "belong together"),
        # Another man helps the pawn; the rook cuts the king off; the king leads its pawn; the king is not in time.
        ("8/8/8/3K4/2pb4/3k4/8/8 w", "Kc6", "inside its square"),
        ("2R5/6K1/8/8/1P2k3/8/8/8 b", "Kf5", "in front"),
        ("8/8/4b3/8/8/4pk2/8/3K4 w", "Kc1", "in front"),
        ("8/1k6/5R1P/6K1/8/8/8/8 b", "Ka7", "The king belongs in front"),
        # The king would stand in the pawn's way; the corner was called safe; what is taken was told with the threat.
        ("8/2p5/5K2/1k6/8/8/B7/8 b", "Kc5", "to help the pawn"),
        ("4b3/8/1R6/8/8/8/k7/2K5 b", "Ba4", "Not Ka1"),
        ("8/3k4/3B4/8/8/7r/8/5K2 w", "Kg2", "may be taken"),
        # No check wins the rook apart from its king either.
        ("8/2rk4/8/3Q4/8/5K2/8/8 b", "Kc8", "fork"),
        # A pin wins the bishop.
        ("8/8/1b5K/8/8/8/k7/7Q b", "Kb2", "far from its king"),
    ],
)
def test_no_reason_or_rule_is_told_that_is_half_true(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/2K5/8/2k5/3r4/8/8 w", "Kb6", "keeps Black's king out of b5"),
        ("8/6B1/8/8/8/4K3/6p1/4k3 w", "Bc3+", "gives check, and only Kf1 wins"),
        ("Q6K/8/8/8/2k5/8/8/5b2 b", "Bd3", "beside its king: most moves lose it, as Kb3 does to Qf3+"),
        ("8/2b5/8/4k3/8/6Q1/5K2/8 b", "Kd4", "Beware of the check that hits a second man"),
        ("8/8/7K/8/1bk3P1/8/8/8 w", "Kg7", "Bc3+ is in time to stop the pawn"),
        ("8/3kR3/8/8/8/3K4/8/n7 b", "Kxe7", "is the only move that draws: a knight alone cannot mate"),
    ],
)
def test_the_reason_is_told_by_the_squares_and_moves_it_lies_in(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)
