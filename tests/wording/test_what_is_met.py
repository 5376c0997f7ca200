"""What meets a defence is what a pupil sees and what costs the move; what is no reason is not told."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.concedes import Concedes
from matebot.ideas.counters import Counters
from matebot.ideas.denies import Denies
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.outlasts import Outlasts
from matebot.ideas.shorter import as_long, soonest
from matebot.ideas.squares import after_move, closes_in
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from tests.wording.sampling import taken
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san", "words", "not_told"),
    [
        # What meets the other move meets this one as well, or mates no sooner than after this one.
        ("8/4K3/8/1b6/8/4k2n/8/8 w", "Kf6", "is met by Ke4, which takes e5 and f5", "it lets"),
        ("8/5k2/1K6/8/8/8/2R5/8 b", "Ke6", "cannot stop Rc5", "Kf6"),
        ("8/2R5/8/8/8/8/7k/1K6 b", "Kg3", "the most room off the edge", "Kh3"),
        ("8/Q1k3K1/8/8/8/8/8/8 b", "Kd6", "the most room off the edge", "Kc6"),
        # Kd4 and Kd5, as long, stand nearer.
        ("4b3/8/8/2K3b1/k7/8/8/8 w", "Kc4", "Kd4, Kd5 and Kd6 last as long", "nearest the centre"),
        # No shorter move leads so near to it; with a pawn that is not what matters.
        ("6k1/8/5K2/8/8/8/4b3/1n6 w", "Kg6", "Ke5, Ke6 and Kf5, nearer the centre, hold out longer", "Kg5"),
        ("3R4/k7/8/8/8/8/5K2/8 b", "Kb7", "but Kb6, nearer the centre, holds out longer", "Ka6"),
        ("8/K1k5/8/7p/8/8/5Q2/8 b", "Kd7", "Kc6 and Kd6 hold out longer", "nearer the centre"),
        # Other moves that last as long guard the pawn; a pawn that is not caught needs no king.
        ("8/8/8/2k1q3/4P3/4K3/8/8 w", "Ke2", "gives up the pawn: nothing guards it", "cannot save"),
        ("8/8/1P6/2B2K2/8/8/k7/8 b", "Kb1", "cannot stop the pawn: Black's king is outside its square", "helping"),
        # The capture missed draws.
        ("8/7K/1R6/1k6/2P5/8/8/8 b", "Kxc4", "misses Kxb6, which takes the loose rook; the draw is gone", "still wins"),
        # The step goes to the edge itself.
        ("8/8/8/8/8/R7/3K1k2/8 b", "Kf1", "Kg1 lasts as long", "only on the edge"),
        # The king is outside the square; it stood beside the pawn; the pawn steps over what the bishop guards.
        ("8/4K3/8/1P6/5k2/8/8/8 b", "Ke3", "Black's king is outside its square", "key square"),
        ("2b5/8/8/8/8/8/1P6/k1K5 w", "Kc2", "guards b7", "help the pawn"),
        ("4k1b1/8/8/8/5K2/8/1P6/8 w", "Ke5", "is in time to stop it", "guards b3"),
        # Kf3 and h3, as long, keep the pawn as well as the step that guards it.
        ("8/8/4q3/8/5K2/8/2k4P/8 w", "Kg5", "from the pawn: Kd3 comes nearer", "gives up"),
        # After the other replies to the check the queen gives none by taking the bishop.
        ("8/8/8/2k2q2/8/8/7B/5K2 w", "Ke2", "gives up the bishop: Kg1 and Kg2 guard it, but are mated", "Qxh2+"),
    ],
)
def test_what_does_not_decide_is_not_told(library: Library, fen: str, san: str, words: str, not_told: str) -> None:
    text = said(library, fen, san)
    assert words in text
    assert not_told not in text


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/5k2/1K6/B7/8/7N b", "Ke4", "runs for the knight on h1, the corner where no mate can be forced"),
        ("1k6/4BB2/1K6/8/8/8/8/8 b", "Kc8", "makes for d7, off the edge, but Be6+ shuts Black's king in on rank 8"),
        ("1k6/8/8/2Q4K/8/8/8/8 b", "Kb7", "White's king away: Kg5 comes nearer"),
        ("8/8/3K4/k3R3/6n1/8/8/8 b", "Nxe5", "Kxe5 then leaves only the kings"),
        ("8/1k6/2r5/4p3/8/8/8/K7 w", "Kb1", "e4 comes, and the rook cuts White's king off on the c-file"),
        ("7K/8/7b/8/k7/8/8/5Q2 b", "Ka3", "cannot save the bishop: Qa6+ forks king and bishop"),
        ("2b5/8/3Q4/8/4K3/8/8/1k6 b", "Kb2", "cannot save the bishop: Qb8+ forks king and bishop"),
        ("8/8/8/4K1k1/5Qb1/8/8/8 b", "Kg6", "gives up the bishop: Kh4 and Kh5 guard it, but are mated sooner"),
        ("8/8/2k5/8/1K6/8/8/3R4 b", "Kb6", "cannot stop Rc1, which shuts Black's king in on the a- and b-files"),
        ("8/8/2q5/7b/1K6/8/5k2/8 w", "Kb3", "cannot stop Qc5, which leaves White's king less room"),
        ("8/2bP4/8/8/6K1/8/8/1k6 w", "Kf5", "Bishops stop pawns from afar"),
    ],
)
def test_what_meets_a_defence_is_named_as_it_is_seen(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


def test_a_step_closes_in_that_is_nearer_and_no_farther_by_files_or_ranks() -> None:
    assert closes_in(chess.H5, chess.G5, chess.B7)
    assert closes_in(chess.H5, chess.G6, chess.B7)
    assert not closes_in(chess.H5, chess.G4, chess.B7)
    assert not closes_in(chess.H5, chess.H6, chess.B7)


@pytest.mark.parametrize("count", [20, pytest.param(60, marks=pytest.mark.exhaustive)])
@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK", "KQK", "KQKR", "KQKB"])
def test_a_contrast_names_a_quickest_reply_that_meets_no_longest_defence(
    library: Library, ending: str, count: int
) -> None:
    truth, seen = TableTruth(library, "shortest"), 0
    for one in taken(library, ending, "defence", count):
        before, sees = chess.Board(one.facts.fen), one.facts.seen
        ideas = [sees.idea(kind) for kind in (Denies, LetsAtOnce, Outlasts, Concedes, Counters)]
        for idea in ideas:
            if idea is None or (isinstance(idea, Counters) and not idea.apart) or getattr(idea, "man", None):
                continue
            other = getattr(idea, "other", sees.move)
            reply = getattr(idea, "answer", None) or getattr(idea, "reply")  # noqa: B009
            worth = truth.after(before)
            longest = max(worth, key=lambda move: worth[move].mate_plies or 0)
            boards = [after_move(before, longest), *(board for _, board in as_long(before, longest, truth))]
            assert reply in soonest(after_move(before, other), truth)
            assert not any(reply in soonest(board, truth) for board in boards)
            seen += 1
    assert seen > 3
