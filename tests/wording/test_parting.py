"""How often the reason told of a move holds of a worse move too, or not of a move as good: counted, and held."""

from __future__ import annotations

import re
from itertools import islice

import chess
import pytest

from matebot.method.library import Library
from matebot.play.truth import TableTruth
from tests.benchmarks.parting import FAULTS, Rates, rates, weighed
from tests.benchmarks.reading import once
from tests.witness.parting import weigh
from tests.witness.spoken import Spoken, then
from tests.wording.sampling import SIDES, WITH_LADDER, WITHOUT, sample, taken

ENDINGS = (*WITH_LADDER, *WITHOUT)
#: Reasons that may fail, in the order of `FAULTS`: of four moves of each ending, of eight, and in a hundred of forty.
MOST_OF_FOUR = {"attack": (10, 2, 0), "slips": (5, 3, 4), "defence": (0, 0, 0)}
MOST_OF_EIGHT = {"attack": (23, 7, 0), "slips": (13, 5, 7), "defence": (0, 0, 1)}
MOST_IN_A_HUNDRED = {"attack": (22, 3.7, 1.6), "slips": (23, 6.4, 13.1), "defence": (0.8, 0, 0.4)}


#: Of four slips of each ending so many are told by a move and a line alone.
MOST_BARE = 5
_BARE = re.compile(r"[Bb]etter is \S+(?:;|,|$)|misses \S+: (?:if|after)")


def failing(found: Rates) -> tuple[int, ...]:
    return tuple(found.failing[fault] for fault in FAULTS)


@pytest.mark.parametrize(
    ("count", "allowed"), [(4, MOST_OF_FOUR), pytest.param(8, MOST_OF_EIGHT, marks=pytest.mark.exhaustive)]
)
@pytest.mark.parametrize("side", SIDES)
def test_no_more_reasons_than_before_fail_to_part_a_move_from_its_rivals(
    library: Library, side: str, count: int, allowed: dict[str, tuple[int, ...]]
) -> None:
    found = rates(held for ending in ENDINGS for _, held in weighed(library, taken(library, ending, side, count)))
    assert found.reasons > len(ENDINGS)
    assert all(has <= most for has, most in zip(failing(found), allowed[side], strict=True)), found


def test_no_more_slips_than_before_are_told_by_a_line_without_a_reason(library: Library) -> None:
    """Where nothing tells the better move from all as bad, what tells it from the slip is told, if shared, not none."""
    told = [one for ending in ENDINGS for one in taken(library, ending, "slips", 4)]
    assert sum(_BARE.search(one.text) is not None for one in told) <= MOST_BARE


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("side", MOST_IN_A_HUNDRED)
def test_no_more_of_many_reasons_fail_to_part_a_move_from_its_rivals(library: Library, side: str) -> None:
    drawn = (islice(once(sample(library, ending, side, seed=71)), 40) for ending in ENDINGS)
    found = rates(held for said in drawn for _, held in weighed(library, said))
    most = [found.reasons * part / 100 for part in MOST_IN_A_HUNDRED[side]]
    assert all(has <= limit for has, limit in zip(failing(found), most, strict=True)), found


@pytest.mark.parametrize(
    ("fen", "san", "text", "shared", "alike", "unlike"),
    [
        # Two worse moves hold the king there too; what one of them would let in, told beside, parts them.
        ("8/8/8/8/5r2/3k4/8/1K6 b", "Kc3", "holds White's king on the edge", "Rb4+ Rf2", "", ""),
        ("8/8/8/8/5r2/3k4/8/1K6 b", "Kc3", "holds White's king on the edge; Rf2 would let Ka1 out", "", "", ""),
        ("8/8/8/8/5r2/3k4/8/1K6 b", "Kc3", "holds White's king on the edge: if Ka1, Kc2", "Rb4+ Rf2", "", ""),
        # Other ranks are cut off as well by a rook on another square, and mate is later.
        ("8/4q3/B1k5/8/8/8/2K5/8 b", "Qe3", "cuts the king off along rank 3", "", "Qg5 Qe5 Qc5+ Qh4 Qe4+ Qb4", "Kd5"),
        # A check is as quick, and leaves the diagonal open; it is named, or all of them are.
        ("8/4bk2/8/4K3/1n6/8/8/8 b", "Bc5", "shuts the diagonal a7-g1 to White's king", "", "", "Bf6+"),
        ("8/4bk2/8/4K3/1n6/8/8/8 b", "Bc5", "shuts the diagonal a7-g1 to White's king. Bf6+ is as quick", "", "", ""),
        (
            "8/4bk2/8/4K3/1n6/8/8/8 b",
            "Bc5",
            "shuts the diagonal a7-g1 to White's king. Other moves are as fast",
            "",
            "",
            "",
        ),
    ],
)
def test_a_reason_is_read_of_every_rival(
    library: Library, fen: str, san: str, text: str, shared: str, alike: str, unlike: str
) -> None:
    board = chess.Board(f"{fen} - - 0 1")
    move = board.parse_san(san)
    about = Spoken(board, move, then(board, move), None, board.turn, TableTruth(library))
    held = weigh(f"{san} {text}".split(". "), about, slip=False)
    assert held is not None
    assert (held.shared, held.alike, held.unlike) == (
        tuple(shared.split()),
        tuple(alike.split()),
        tuple(unlike.split()),
    )


@pytest.mark.parametrize(
    ("fen", "san", "text", "shared"),
    [
        ("8/8/1k6/3K4/8/8/8/5Q2 w", "Kc4", "Kc4 leaves c6 unguarded. Better: Kd6 guards c6", "Qf6+ Qc4 Qc1"),
        (
            "2K5/8/7q/8/8/8/8/5k2 b",
            "Qh2",
            "Qh2 lets White's king off the edge: Qg7 guards d7; 3 moves lost",
            "Qh3+ Qd2",
        ),
    ],
)
def test_of_a_slip_the_better_move_is_held_beside_what_loses_half_as_much(
    library: Library, fen: str, san: str, text: str, shared: str
) -> None:
    board = chess.Board(f"{fen} - - 0 1")
    move = board.parse_san(san)
    about = Spoken(board, move, then(board, move), move, board.turn, TableTruth(library))
    held = weigh(text.split(". "), about, slip=True)
    assert held is not None
    assert held.shared == tuple(shared.split())
