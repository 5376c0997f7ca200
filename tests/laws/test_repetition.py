"""The third occurrence of a position is a draw: aimed at by the defence, avoided by the attack."""

from __future__ import annotations

import chess
import pytest

from matebot.laws import Referee, judge
from matebot.play.ranking import ranked
from matebot.solver.tables import Tables

START = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
THERE_AND_BACK = ("a1a2", "e4d4", "a2a1", "d4e4")


def played(fen: str, moves: tuple[str, ...]) -> chess.Board:
    board = chess.Board(fen)
    for move in moves:
        board.push_uci(move)
    return board


def test_the_third_occurrence_is_drawn_and_the_second_is_not(tables: Tables) -> None:
    """Source: FIDE Laws of Chess, article 9.2."""
    assert judge(played(START, THERE_AND_BACK), tables).outcome == 1
    third = judge(played(START, THERE_AND_BACK * 2), tables)
    assert (third.outcome, third.cause) == (0, "repetition")


def test_the_defender_repeats_when_that_draws(tables: Tables) -> None:
    board = played(START, (*THERE_AND_BACK, "a1a2", "e4d4", "a2a1"))
    best = ranked(board, tables)[0]
    assert best.move == chess.Move.from_uci("d4e4")
    assert (best.outcome, best.cause) == (0, "repetition")


def test_the_attacker_does_not_repeat(tables: Tables) -> None:
    board = played(START, (*THERE_AND_BACK, "a1a2", "e4d4"))
    repeated = next(item for item in ranked(board, tables) if item.move == chess.Move.from_uci("a2a1"))
    assert repeated.outcome == 0 or repeated.verdict.outcome == -1
    assert ranked(board, tables)[0].outcome == 1


@pytest.mark.parametrize("twice", range(1, 6))
def test_the_attack_still_wins_around_positions_that_may_not_come_back(tables: Tables, twice: int) -> None:
    """Shortest play is followed some moves, gone back by the same positions, and must then find another way."""
    line = chess.Board("8/8/8/3k4/8/8/8/KQ6 w - - 0 1")
    forth = [line.copy()]
    for _ in range(2 * twice):
        line.push(ranked(line, tables)[0].move)
        forth.append(line.copy())
    # Mark the positions of the shortest line as having occurred twice.
    board = forth[0].copy()
    referee = Referee(board, tables)
    referee._twice = [
        (tables.stand(past)[0], tables.value(past), past.turn) for past in forth[1:] if not past.is_game_over()
    ]
    board.halfmove_clock = 1
    verdict = referee.here()
    assert verdict.outcome == 1
    assert verdict.mate_plies is not None
    plain = tables.value(board).dtm_plies
    assert plain is not None
    assert verdict.mate_plies >= plain


def test_an_ending_without_some_positions_agrees_with_its_successors(tables: Tables) -> None:
    """The values around banned positions obey the rules of the game in which entering them is a draw."""
    from matebot.solver.material import Material
    from matebot.solver.repetition import Exhausted
    from tests.witness.positions import random_positions

    material = Material.parse("KRK")
    tables.prepare(material)
    boards = [b for b in random_positions("KRK", 60, seed=4) if tables.value(b).outcome]
    banned = {tables.stand(board)[0] for board in boards}
    ending = Exhausted(tables, material, banned)
    for board in random_positions("KRK", 400, seed=5):
        stand, _ = tables.stand(board)
        if stand in banned:
            continue
        here = ending.value_of(stand)
        values: list[tuple[int, int | None]] = []
        for step in tables.steps(stand):
            if step.child.material != material or step.child in banned:
                values.append((0, None))
            else:
                child = ending.value_of(step.child)
                values.append((-child.outcome, child.dtm_plies))
        if not values:
            assert here.outcome == tables.value(board).outcome
            continue
        best = max(outcome for outcome, _ in values)
        assert here.outcome == best, board.fen()
        if best:
            plies = [p for outcome, p in values if outcome == best and p is not None]
            assert here.dtm_plies == 1 + (min(plies) if best > 0 else max(plies))


def test_repeated_positions_with_castling_rights_in_the_past_do_no_harm(tables: Tables) -> None:
    board = chess.Board("8/4k3/8/8/8/8/8/R3K1N1 w Q - 0 1")
    for move in ("g1f3", "e7e6", "f3g1", "e6e7", "e1e2"):
        board.push_uci(move)
    assert judge(board, tables).outcome == -1
