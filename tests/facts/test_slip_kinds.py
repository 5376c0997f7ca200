"""The kind of a slip is what the board and the values say, on thousands of moves, and one list serves the house."""

from __future__ import annotations

from collections import Counter
from random import Random

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.slip_kind import kind_of
from matebot.ideas.slip_kinds import OUTCOME_LOST, SOMETHING_LOST, SlipKind, hardness
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.terms import Mistake
from matebot.wording.practice import SLIPS
from tests.ideas.claims import boards
from tests.witness import slip_kinds as witness

ENDINGS = ("KBNK", "KBBK", "KRK", "KQK", "KPK", "KQKR", "KRKP", "KBPK", "KQKQ")
_BY_DEFAULT, _MANY = 30, 700


def kind(library: Library, board: chess.Board, move: chess.Move) -> SlipKind | None:
    return kind_of(FactMaker(Judged.of(library, board)).facts(move))


def check(library: Library, ending: str, count: int, seed: int) -> Counter[str]:
    tally, random = Counter[str](), Random(f"slips {ending} {seed}")

    def worth(board: chess.Board) -> tuple[int, int | None]:
        value = library.tables.value(board)
        return value.outcome, value.dtm_plies

    for board, _ in boards(ending, count // 2, seed):
        moves = list(board.legal_moves)
        for move in random.sample(moves, min(2, len(moves))):
            stood, stands = library.standings(board)[:1], library.standings(witness.played(board, move))[:1]
            falls = any(a.ladder == b.ladder and b.stage < a.stage for a, b in zip(stood, stands, strict=False))
            found, claims = kind(library, board, move), witness.claims(board, move, worth, falls)
            about = f"{board.fen()} {move.uci()}: {found} {claims}"
            assert found is None or found.value in claims, about
            assert found is not None or claims <= {"man lost"}, about
            if witness.price(board, move, worth)[2] == 1 and "cage opened" in claims and "man lost" not in claims:
                assert found is SlipKind.CAGE, about
            tally[str(found)] += 1
    return tally


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_kind_of_a_slip_holds_on_the_board(library: Library, ending: str) -> None:
    tally = check(library, ending, _BY_DEFAULT, seed=1)
    assert tally["None"] < tally.total()


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
def test_the_kinds_of_slips_hold_on_many_boards_and_all_of_them_occur(library: Library) -> None:
    tally: Counter[str] = sum((check(library, ending, _MANY, seed=2) for ending in ENDINGS), Counter())
    rare = {SlipKind.CLOCK, SlipKind.REPETITION, SlipKind.CORNER_LEFT}  # these by hand
    assert set(tally) >= {kind.value for kind in SlipKind} - rare, tally


@pytest.mark.parametrize(
    ("fen", "line", "move", "expected"),
    [
        # 1.Kb6 leaves Black no time; two moves are left of the fifty, and mate takes three (worked out by hand).
        ("k7/8/2K5/8/8/8/8/1Q6 w - - 98 80", "", "b1h1", SlipKind.CLOCK),
        ("8/8/8/8/8/2k5/8/KR6 w - - 0 1", "b1b8 c3c2 b8b7 c2c3 b7b8 c3c2 b8b7 c2c3", "b7b8", SlipKind.REPETITION),
        ("1k6/3K4/8/1B1N4/8/8/8/8 w - - 0 1", "", "d5b4", SlipKind.CAGE),
        # Both are true: it lets the king out of its cage and of the corner.
        ("7k/8/4Q3/5K2/8/8/8/8 w - - 0 1", "", "e6e5", SlipKind.CAGE),
        ("4k3/5N1B/5K2/8/8/8/8/8 w - - 0 1", "", "h7g6", SlipKind.W_LEFT),
        ("7k/8/5K2/8/1BN5/8/8/8 w - - 0 1", "", "f6e6", SlipKind.CORNER_LEFT),
        ("k7/8/1BK1B3/8/8/8/8/8 w - - 0 1", "", "c6b5", SlipKind.CORNER_LEFT),
        ("7k/5K2/8/6Q1/8/8/8/8 w - - 0 1", "", "g5g6", SlipKind.STALEMATE),
        ("8/8/8/4k3/4B3/8/7K/4N3 w - - 0 1", "", "e4c2", None),
        ("8/8/8/4k3/4B3/8/7K/4N3 w - - 0 1", "", "h2h1", SlipKind.GIVEN),
    ],
)
def test_kinds_by_hand(library: Library, fen: str, line: str, move: str, expected: SlipKind | None) -> None:
    board = chess.Board(fen)
    for text in line.split():
        board.push_uci(text)
    assert kind(library, board, chess.Move.from_uci(move)) is expected


def test_a_cage_opened_at_the_price_of_one_move_is_a_slip(library: Library) -> None:
    """Found by the witness: the queen lets the king out of the corner it was shut in, and mates a move later."""
    found = 0
    for board, _ in boards("KQK", 120, seed=3):
        referee = Referee(board, library.tables)
        if referee.here().outcome <= 0:
            continue
        maker = FactMaker(Judged(library, referee))
        for item in maker.ranking:
            attacker, after = board.turn, witness.played(board, item.move)
            if maker.moves_lost(item.move) == 1 and witness.opens_cage(board, after, attacker):
                facts = maker.facts(item.move)
                assert facts.cost.mistake.is_slip
                assert facts.cost.mistake in (Mistake.CAGE, Mistake.STAGE, Mistake.MAN)
                found += 1
                break
    assert found >= 3


def test_every_kind_has_words_its_own_hardness_and_one_meaning() -> None:
    assert set(SLIPS) == {kind.value for kind in SlipKind}
    assert [hardness(kind.value) for kind in SlipKind] == list(range(len(SlipKind)))
    assert hardness("none of ours") == len(SlipKind)
    assert {kind.name for kind in OUTCOME_LOST} == {
        *("LOST", "DRAW_MISSED", "GIVEN", "STALEMATE", "OUTCOME", "CLOCK", "REPETITION")
    }
    assert {kind.name for kind in set(SlipKind) - SOMETHING_LOST} == {"WAY", "SLOW", "SOONER"}
