"""The truth told to those who see ideas is that of the tables and of the method."""

from __future__ import annotations

import chess
import pytest

from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play import truth as truth_module
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.line import shortest_line
from matebot.play.ranking import rank_with
from matebot.play.truth import TableTruth, _key
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


@pytest.mark.parametrize("attack", ["method", "shortest"])
@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK", "KQK", "KPK", "KQKR"])
def test_the_answer_is_the_move_that_is_chosen(tables: Tables, ending: str, attack: str) -> None:
    """By the method, or the shortest mate; of the defender too."""
    library = Library(tables)
    truth, style = TableTruth(library, attack), Style(attack=attack)
    won = 0
    for board in random_positions(ending, 60, seed=21):
        referee = Referee(board, tables)
        ranking = rank_with(referee)
        expected = choose(Judged(library, referee), style).move if ranking else None
        assert truth.answer(board) == expected, board.fen()
        value = tables.value(board)
        assert (truth.outcome(board), truth.mate_plies(board)) == (value.outcome, value.dtm_plies)
        won += value.outcome > 0
    assert won


def test_of_the_moves_of_the_method_the_one_that_mates_sooner_comes_before_a_promotion(library: Library) -> None:
    board = chess.Board("8/1P6/8/8/8/8/3B3k/4K3 w - - 0 1")
    assert choose(Judged.of(library, board.copy()), Style(attack="method")).move.uci() == "e1f2"
    assert TableTruth(library).answer(board) == chess.Move.from_uci("e1f2")


def test_where_the_method_has_no_say_the_answer_may_lead_to_where_it_has(library: Library) -> None:
    board = chess.Board("8/8/3k4/8/8/8/4n3/K3R3 w - - 0 1")
    assert library.rung(library.tables.stand_of(board)[0]) is None
    assert TableTruth(library).answer(board) == chess.Move.from_uci("e1e2")


@pytest.mark.parametrize("ending", ["KBNK", "KPKP", "KQKR"])
def test_what_every_move_is_worth_is_what_the_position_after_it_is(
    tables: Tables, monkeypatch: pytest.MonkeyPatch, ending: str
) -> None:
    """No position after a move is made for it, with four men or fewer, whatever the clock says."""
    truth = TableTruth(Library(tables))
    monkeypatch.setattr(tables, "steps", None)
    for board in random_positions(ending, 30, seed=22):
        board.halfmove_clock = 90
        worth = truth.after(board)
        assert set(worth) == set(board.legal_moves)
        for move, found in worth.items():
            there = board.copy(stack=False)
            there.push(move)
            value = tables.value(there)
            assert (found.outcome, found.mate_plies) == (value.outcome, value.dtm_plies), (board.fen(), move.uci())


def test_a_pawn_that_may_be_taken_in_passing_makes_another_position(library: Library) -> None:
    truth, moves = TableTruth(library), list[set[chess.Move]]()
    for passed in ("-", "c3"):
        board = chess.Board(f"8/8/8/8/1pP5/8/8/k6K b - {passed} 0 1")
        moves.append(set(truth.after(board)))
        assert moves[-1] == set(board.legal_moves)
    assert moves[1] - moves[0] == {chess.Move.from_uci("b4c3")}


def test_of_four_men_the_answer_is_the_same_whatever_the_clock_says(library: Library) -> None:
    late = chess.Board("8/8/8/8/1n6/3R4/8/K1k5 w - - 99 1")
    early = chess.Board("8/8/8/8/1n6/3R4/8/K1k5 w - - 0 1")
    assert library.tables.value(early).outcome == 0
    assert TableTruth(library).answer(late) == TableTruth(library).answer(early)
    assert not shortest_line(library.tables, *library.tables.stand_of(early))


def test_bare_kings_draw_by_every_move(library: Library) -> None:
    board = chess.Board("8/8/8/3k4/8/8/8/K7 w - - 0 1")
    worth = TableTruth(library).after(board)
    assert {(move, found.outcome, found.mate_plies) for move, found in worth.items()} == {
        (move, 0, None) for move in board.legal_moves
    }


def test_where_the_clock_counts_a_mate_that_comes_too_late_is_a_draw(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four men are taken for five; with bishop and knight nothing sets the clock back before mate."""
    monkeypatch.setattr("matebot.play.truth.is_large", lambda material: True)
    found_late = found_won = 0
    for board in random_positions("KBNK", 12, seed=23):
        board.halfmove_clock = 48
        for move, found in TableTruth(Library(tables)).after(board).items():
            there = board.copy(stack=False)
            there.push(move)
            value = tables.value(there)
            too_late = there.halfmove_clock + (value.dtm_plies or 0) > 100
            assert found.mate_plies == (None if too_late else value.dtm_plies), (board.fen(), move.uci())
            found_late, found_won = found_late + too_late, found_won + bool(found.mate_plies)
    assert min(found_late, found_won) > 10


@pytest.mark.parametrize(("plies_less", "outcome"), [(0, -1), (1, 0)])
def test_after_a_move_of_a_pawn_the_whole_count_is_left_for_mate(
    tables: Tables, monkeypatch: pytest.MonkeyPatch, plies_less: int, outcome: int
) -> None:
    """Four men are taken for five, and the count for as long as the new queen needs, or a ply shorter."""
    board, promotion = chess.Board("8/6P1/8/8/8/3k4/8/K7 w - - 6 1"), chess.Move.from_uci("g7g8q")
    there = board.copy()
    there.push(promotion)
    needed = tables.value(there).dtm_plies
    assert needed is not None
    monkeypatch.setattr("matebot.play.truth.is_large", lambda material: True)
    monkeypatch.setattr("matebot.play.truth.CLAIM_PLIES", needed - plies_less)
    monkeypatch.setattr("matebot.solver.lookup.TOO_LONG", needed - plies_less + 1)
    assert TableTruth(Library(tables)).after(board)[promotion].outcome == outcome


def test_of_the_shortest_mates_only_those_moves_are_made_that_are_best(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    truth = TableTruth(Library(tables), "shortest")
    monkeypatch.setattr(tables, "steps", None)
    assert truth.answer(chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")) is not None


@pytest.mark.parametrize("fen", ["8/5P2/8/6K1/8/5B2/8/6k1 w - - 0 1", "6K1/8/5b2/8/6k1/8/5p2/8 b - - 0 1"])
def test_of_equally_short_mates_the_answer_is_the_one_that_is_played(library: Library, fen: str) -> None:
    """Queen and rook mate as soon: what they lead to is another ending."""
    board = chess.Board(fen)
    expected = choose(Judged.of(library, board.copy()), Style(attack="shortest")).move
    assert TableTruth(library, "shortest").answer(board) == expected


def test_a_count_makes_another_position_with_five_men_only() -> None:
    for placed, is_another in (("8/8/8/8/4k3/8/8/K1BN4 w", False), ("8/8/8/8/4k3/8/8/K1BN3r w", True)):
        early, late = (chess.Board(f"{placed} - - {clock} 60") for clock in (0, 60))
        assert (_key(early) != _key(late)) == is_another


@pytest.mark.parametrize(
    ("fen", "around"),
    [
        ("8/8/8/1K6/5N1k/4r3/8/8 b - - 0 1", "h4g4 b5c6 g4h4 c6b5"),
        ("4k3/8/7K/8/2b5/8/8/3R4 w - - 0 1", "d1c1 e8f8 c1d1 f8e8"),
    ],
)
def test_what_has_occurred_before_changes_no_answer(
    library: Library, monkeypatch: pytest.MonkeyPatch, fen: str, around: str
) -> None:
    """In a draw whoever can still win goes where he has been least often; an answer knows no game.

    Four men are taken for five, as the count of the fifty moves tells how far back the game is looked at.
    """
    monkeypatch.setattr("matebot.play.truth._UNCLOCKED_MEN", 3)
    board = chess.Board(fen)
    first = TableTruth(library).answer(board)
    assert first == choose(Judged.of(library, board.copy()), Style()).move
    for move in around.split():
        board.push_uci(move)
    assert TableTruth(library).answer(board) == first != choose(Judged.of(library, board.copy()), Style()).move


@pytest.mark.parametrize("attack", ["shortest", "method"])
def test_of_promotions_that_mate_as_soon_the_one_to_a_queen_is_played_and_taught(library: Library, attack: str) -> None:
    """A rook leads to another ladder, whose stages tell nothing beside those of the queen's."""
    board = chess.Board("8/k3P3/2K5/8/8/8/8/8 w - - 0 1")
    judged = Judged.of(library, board)
    queen, rook = (chess.Move.from_uci(f"e7e8{man}") for man in "qr")
    assert judged.item(queen).mate_plies == judged.item(rook).mate_plies == judged.ranking[0].mate_plies
    assert choose(judged, Style(attack)).move == TableTruth(library, attack).answer(board) == queen


@pytest.mark.parametrize(("clock_plies", "counts"), [(93, True), (94, False)])
def test_with_five_men_a_shortest_mate_that_comes_too_late_is_left_to_whoever_minds_the_clock(
    library: Library, monkeypatch: pytest.MonkeyPatch, clock_plies: int, counts: bool
) -> None:
    """Three men are taken for five here, which need no hours."""
    monkeypatch.setattr(truth_module, "is_large", lambda material: True)
    board = chess.Board(f"8/8/8/3K4/8/1Q6/8/k7 w - - {clock_plies} 90")
    assert library.tables.value(board).dtm_plies == 7
    assert (TableTruth(library, "shortest")._shortest(board) is not None) == counts
