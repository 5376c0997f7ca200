"""Every fact about a move is borne out by the board."""

from __future__ import annotations

from collections import Counter
from dataclasses import fields, is_dataclass, replace
from itertools import islice
from random import Random

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.solver.material import COVERED
from matebot.solver.tables import Tables
from tests.facts.witness import faults
from tests.witness.positions import random_positions

_PAIRS_BY_DEFAULT, _PAIRS_OF_OTHERS, _ALL_PAIRS = 30, 8, 10_000
_ELEMENTARY = ("KQK", "KRK", "KPK", "KBBK", "KBNK")
ENDINGS = [material.name for material in COVERED]


def maker_for(library: Library, board: chess.Board) -> FactMaker:
    return FactMaker(Judged.of(library, board))


def facts_of(library: Library, fen: str, move: str) -> MoveFacts:
    return maker_for(library, chess.Board(fen)).facts(chess.Move.from_uci(move))


def check_pairs(library: Library, ending: str, pairs: int) -> None:
    random = Random(f"facts {ending}")
    done = 0
    for board in random_positions(ending, pairs, seed=4):
        moves = list(board.legal_moves)
        if not moves:
            continue
        maker = maker_for(library, board)
        for move in random.sample(moves, min(4, len(moves))):
            facts = maker.facts(move)
            wrong = faults(facts)
            assert not wrong, f"{facts.fen} {facts.move}: {wrong} of {facts}"
            done += 1
        if done >= pairs:
            break
    assert done >= pairs


@pytest.mark.parametrize("ending", ENDINGS)
def test_facts_are_borne_out_by_the_board(library: Library, ending: str) -> None:
    check_pairs(library, ending, _PAIRS_BY_DEFAULT if ending in _ELEMENTARY else _PAIRS_OF_OTHERS)


#: Moves that show what few of those above do.
SELDOM = {
    "bishops side by side": ("8/8/b2k4/8/1b6/8/5K2/8 b", "a6c4"),
    "a queen hit": ("8/8/4k3/1q6/N7/8/3K4/8 b", "e6d7"),
    "a rook hit": ("4k3/8/1r6/8/8/K7/8/8 b", "b6b5"),
    "a knight hit": ("6K1/8/N4B2/8/8/3k4/8/8 w", "a6c5"),
    "a king into the corner": ("3N2k1/8/8/2B5/8/8/8/1K6 b", "g8h8"),
    "a step from the corner": ("8/7n/6K1/8/1b6/8/8/k7 w", "g6g7"),
    "two loose men": ("8/8/6K1/6p1/8/2b5/8/3k4 b", "c3g7"),
    "mate in one": ("8/8/4Q3/8/k7/8/1Q6/2K5 w", "b2b6"),
    "a queen made": ("8/P7/7K/4r3/2k5/8/8/8 w", "a7a8q"),
    "a knight made": ("3k4/8/1K6/8/6N1/8/1p6/8 b", "b2b1n"),
    "a rook made": ("8/8/8/8/8/5K2/5p2/4k2B b", "f2f1r"),
    "a bishop made": ("8/8/8/8/8/5K2/5p2/4k2B b", "f2f1b"),
    "two squares of the way guarded": ("8/8/3K4/8/4k1p1/8/8/8 b", "e4f3"),
}


@pytest.mark.parametrize(("fen", "move"), SELDOM.values(), ids=SELDOM)
def test_facts_that_few_moves_show_are_borne_out_by_the_board(library: Library, fen: str, move: str) -> None:
    facts = facts_of(library, f"{fen} - - 0 1", move)
    assert faults(facts) == []


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
@pytest.mark.parametrize("ending", ENDINGS)
def test_ten_thousand_facts_are_borne_out_by_the_board(library: Library, ending: str) -> None:
    check_pairs(library, ending, _ALL_PAIRS)


def changed(facts: MoveFacts, name: str, **values: object) -> MoveFacts:
    """Return the facts with other values in one record."""
    return replace(facts, **{name: replace(getattr(facts, name), **values)})


def test_a_wrong_fact_is_found() -> None:
    """The witness is no rubber stamp."""
    library = Library(Tables())
    facts = facts_of(library, "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", "a1b2")
    assert faults(facts) == []
    assert faults(changed(facts, "gives", check=True)) == ["check"]
    assert faults(changed(facts, "room", squares_taken=("e5",))) == ["squares_taken"]
    assert faults(changed(changed(facts, "loose_men", loose=("c1",)), "replies", replies=1)) == ["replies", "loose"]
    slip = facts_of(library, "4B3/8/7k/8/8/1K6/8/2N5 w - - 0 1", "e8f7")
    assert faults(slip) == []
    wrong = changed(slip, "compared", left_open=("a1",))
    wrong = changed(changed(wrong, "way", way_shut=("a1",)), "bishops", abreast=True)
    assert set(faults(wrong)) == {"left_open", "way_shut", "abreast"}


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KPK", "KQKR", "KRKP"])
def test_the_facts_comparing_moves_follow_from_the_values_of_all_moves(library: Library, ending: str) -> None:
    for board in random_positions(ending, 12, seed=14):
        worth: dict[str, tuple[int, int]] = {}
        for move in board.legal_moves:
            san = board.san(move)
            board.push(move)
            value = library.tables.value(board)
            board.pop()
            worth[san] = (-value.outcome, value.outcome * (value.dtm_plies or 0))
        if not worth:
            continue
        best = max(worth.values())
        maker = maker_for(library, board)
        for item in maker.ranking[:: max(1, len(worth) // 4)]:
            facts = maker.facts(item.move)
            keepers = sorted(san for san, (outcome, _) in worth.items() if outcome == best[0])
            assert facts.beside_named.keepers == tuple(keepers)
            equals = [san for san, value in worth.items() if value == best]
            counts = facts.beside.choices, facts.beside.keeping, facts.beside.equals
            assert counts == (len(worth), len(keepers), len(equals))
            assert facts.beside_named.others_as_good == tuple(sorted(san for san in equals if san != facts.san))
            assert facts.beside.others == tuple(sorted({outcome for outcome, _ in worth.values()} - {best[0]}))
            short = {(best[1] - rest) // 2 for outcome, rest in worth.values() if outcome == best[0]} - {0}
            assert facts.beside.spare_moves == (min(short) if short and best[0] else None)
            assert facts.instead.best_san is None or worth[facts.instead.best_san] == best


def test_only_a_kings_step_bars_squares_to_the_other_king(library: Library) -> None:
    """The knight comes next to the king, and a king on its square would bar c1, c2 and e1."""
    facts = facts_of(library, "8/8/8/2k5/8/5n2/8/R2K4 b - - 0 1", "f3d2")
    assert facts.attacker == "white"
    assert facts.bars.barred == ()
    assert faults(facts) == []


@pytest.mark.parametrize(("move", "clears"), [("e5d5", True), ("e5e6", False)])
def test_a_king_clears_the_way_of_its_pawn_by_leaving_it(library: Library, move: str, clears: bool) -> None:
    facts = facts_of(library, "4k3/8/8/4K3/4P3/8/8/8 w - - 0 1", move)
    assert facts.race.clears_way == clears
    assert faults(facts) == []


@pytest.mark.parametrize(("pawns", "guarded"), [("3P4/8/8/8", ("d5",)), ("3P4/8/P7/8", ())])
def test_a_king_guards_the_way_of_a_pawn_that_is_the_only_one(
    library: Library, pawns: str, guarded: tuple[str, ...]
) -> None:
    facts = facts_of(library, f"k7/8/8/8/{pawns.replace('P4', 'P1K2')} w - - 0 1", "f4e4")
    assert facts.ways.way_guarded == guarded


def test_a_man_is_lost_where_the_best_move_loses_one_of_another_kind(library: Library) -> None:
    cost = facts_of(library, "8/7k/8/8/8/3n4/1pK5/8 b - - 0 1", "b2b1q").cost
    assert (cost.loses, cost.loses_to) == ("queen", "Kxb1")


def test_a_pawn_that_may_be_taken_en_passant_is_loose(library: Library) -> None:
    """Source: FIDE Laws of Chess, article 3.7.3."""
    assert facts_of(library, "8/8/8/8/3p4/8/K3P3/3k4 w - - 0 1", "e2e4").loose_men.loose == ("e4",)
    assert facts_of(library, "8/8/8/8/3p4/8/K3P3/3k4 w - - 0 1", "e2e3").loose_men.loose == ("e3",)
    assert facts_of(library, "8/8/8/8/8/3p4/K3P3/3k4 w - - 0 1", "e2e4").loose_men.loose == ()


def test_no_difference_of_bounds_is_a_fact(library: Library) -> None:
    """Wherever a number is only a bound, nothing is said to be lost, as good, or spare by it."""
    several = 0
    for board in random_positions("KQKR", 24, seed=6):
        judged = Judged.of(library, board)
        ranking = judged.ranking
        if not ranking or ranking[0].outcome == 0:
            continue
        bounds = [item._replace(exact=number % 2 == 0) for number, item in enumerate(ranking)]
        judged.ranking = bounds
        maker = FactMaker(judged)
        kept = [item for item in bounds if item.outcome == ranking[0].outcome]
        several += len(kept) > 1
        for item in bounds:
            facts = maker.facts(item.move)
            assert facts.worth.ranked_exactly == (len(kept) == 1)
            assert {*facts.reproach.as_good_as_best} <= {*facts.reproach.clearly_better}
            assert (facts.cost.moves_lost is None) == (item in kept and not item.exact)
            assert len(kept) == 1 or facts.beside.spare_moves is None
            assert all(other.exact for other in kept if board.san(other.move) in facts.beside_named.others_as_good)
    assert several > 5


def test_the_facts_about_stages_and_distances_come_from_the_positions_themselves(library: Library) -> None:
    for board in random_positions("KBNK", 50, seed=8):
        maker = maker_for(library, board)
        for item in maker.ranking[:3]:
            facts = maker.facts(item.move)
            after = board.copy(stack=False)
            after.push(item.move)
            here, there = library.tables.value(board), library.tables.value(after)
            assert facts.worth.mate_plies_before == here.dtm_plies
            assert facts.worth.mate_plies_after == there.dtm_plies
            assert facts.worth.outcome_before == here.outcome
            assert facts.worth.outcome_after == -there.outcome
            assert facts.places.standings_before == library.standings(board)
            assert facts.places.standings_after == library.standings(after)


def waits(library: Library, board: chess.Board, facts: MoveFacts) -> bool:
    """Whether a move waits, by the board and the values; the king's squares are held against the board elsewhere."""
    move = chess.Move.from_uci(facts.move)
    after, passed = board.copy(stack=False), board.copy(stack=False)
    after.push(move)
    changes = facts.room.squares_taken or facts.room.squares_given or board.is_zeroing(move) or after.is_check()
    if not facts.by_attacker or changes or after.legal_moves.count() > 2 or board.is_check():
        return False
    passed.push(chess.Move.null())
    there, mine = library.tables.value(passed), library.tables.value(after)
    if there.outcome >= 0 or mine.outcome >= 0:
        return False
    assert there.dtm_plies is not None
    assert mine.dtm_plies is not None
    return there.dtm_plies <= mine.dtm_plies


def test_a_waiting_move_passes_the_move_and_changes_nothing(library: Library) -> None:
    """Source: definition of the waiting move, common practice."""
    found = Counter[int]()
    near = filter(king_near_a_corner, random_positions("KBNK", 2_000, seed=9))
    # Two queens give checks that take no square.
    for board in (*islice(near, 20), *random_positions("KQQK", 20, seed=3)):
        maker = maker_for(library, board)
        for item in maker.ranking:
            facts = maker.facts(item.move)
            waiting = waits(library, board, facts)
            assert facts.passing.waiting == waiting, f"{facts.fen} {facts.move}"
            found[len(facts.room.flights)] += waiting
    assert found[1] > 3
    assert found[2] > 3


@pytest.mark.parametrize(
    ("fen", "move"),
    [
        pytest.param("7K/8/8/8/2p5/1Q6/8/k7 w - - 0 1", "h8g8", id="leaves the queen to the pawn"),
        pytest.param("k6K/1R6/7p/8/8/8/8/8 w - - 0 1", "h8g8", id="leaves the rook to the king"),
    ],
)
def test_no_move_after_which_the_other_side_wins_is_a_waiting_move(library: Library, fen: str, move: str) -> None:
    """Nor is a threat of the other side's a mate that it would run into, having the move."""
    facts = facts_of(library, fen, move)
    assert facts.by_attacker
    assert facts.worth.outcome_after == -1
    assert not facts.passing.waiting


def king_near_a_corner(board: chess.Board) -> bool:
    """Whether the side to move has the men and drives the king near a corner, where waiting moves are found."""
    king = board.king(not board.turn)
    assert king is not None
    corners = (chess.A1, chess.H1, chess.A8, chess.H8)
    return bool(board.pieces(chess.BISHOP, board.turn)) and min(chess.square_distance(king, c) for c in corners) < 2


def test_facts_are_shown_without_those_of_the_moves_beside_and_after_them(library: Library) -> None:
    """To make all of these takes seconds, and each has an answer of its own."""
    facts = facts_of(library, "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", "d1e3")
    assert repr(facts.worth) in repr(facts)
    assert not {"answer", "held_against", "no_better"} & set(vars(facts))


def test_no_fact_is_made_of_no_move() -> None:
    with pytest.raises(AttributeError, match="expected a fact, got 'worth'"):
        _ = MoveFacts.__new__(MoveFacts).worth


def test_facts_become_plain_data_with_documented_names(library: Library) -> None:
    facts = facts_of(library, "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", "d1e3")
    data = facts.as_data()
    records = [getattr(facts, item.name) for item in fields(facts)]
    documented = "".join(
        record.__doc__ or "" for record in (facts, *filter(is_dataclass, records)) if fields(record)[1:]
    )
    alone = {fields(record)[0].name for record in records if is_dataclass(record) and not fields(record)[1:]}
    assert (data["outcome_before"], data["exact"]) == ("win", True)
    for name in data:
        assert name in documented or name in alone or name == "exact", name
