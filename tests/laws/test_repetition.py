"""The third occurrence of a position is a draw: aimed at by the defence, avoided by the attack."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from gc import collect
from itertools import count as counting
from random import Random
from weakref import ref

import chess
import pytest

from matebot.laws.referee import Referee, judge
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.play.line import best_line
from matebot.play.ranking import rank_with, ranked
from matebot.solver.batches import Batches
from matebot.solver.clocked import LONGEST_DTM_PLIES, Ways
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material
from matebot.solver.repetition import NEVER, Changes
from matebot.solver.tables import Tables, Value
from matebot.terms import CLAIM_PLIES
from tests.counting import counts, every_day
from tests.laws.without import Exhausted
from tests.witness.positions import random_positions

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
    board = played(START.replace(" w ", " b "), ("e4d4", "a1a2", "d4e4", "a2a1", "e4d4", "a1a2", "d4e4"))
    moves = ranked(board, tables)
    repeated = next(item for item in moves if item.move == chess.Move.from_uci("a2a1"))
    assert (repeated.outcome, repeated.cause) == (0, "repetition")
    assert moves[0].outcome == 1


def test_a_position_left_and_entered_again_is_drawn_at_the_third_time(tables: Tables) -> None:
    """The position has just occurred for the second time; a move from which Black can force it back gives up the win.

    The draw was found by searching the whole game tree with python-chess's moves.
    """
    moves = ["b2b3", "g3g4", "b3b2", "g4g3", "b2c3", "g3h4", "c3b2", "h4g3", "b2c3"]
    board = played("8/8/8/8/8/5PK1/1k6/8 b - - 0 1", tuple(moves))
    out = next(item for item in ranked(board, tables) if item.move == chess.Move.from_uci("g3f2"))
    assert (out.outcome, out.cause) == (0, "repetition")


def restless_game(tables: Tables, ending: str, seed: int, plies: int) -> Iterator[chess.Board]:
    """Yield the positions of a won game, with their histories, in which both sides mostly go there and back."""
    random = Random(f"{ending} {seed}")
    board = next(board for board in random_positions(ending, 100, seed=seed) if tables.value(board).outcome)
    back: dict[chess.Color, chess.Move] = {}
    for _ in range(plies):
        legal = [move for move in board.legal_moves if not board.is_zeroing(move)]
        if not legal or board.is_repetition(3):
            return
        move = back.get(board.turn)
        if move not in legal or random.random() < 0.15:
            move = random.choice(kept(tables, board, legal) or legal)
        back[board.turn] = chess.Move(move.to_square, move.from_square)
        board.push(move)
        yield board


def kept(tables: Tables, board: chess.Board, moves: list[chess.Move]) -> list[chess.Move]:
    """Return the moves that keep what a position is worth."""
    outcome, found = tables.value(board).outcome, []
    for move in moves:
        board.push(move)
        if tables.value(board).outcome == -outcome:
            found.append(move)
        board.pop()
    return found


@counts(3, 6)
@pytest.mark.parametrize("ending", ["KRK", "KQK", "KBNK", "KBBK", "KPK", "KQKR", "KRKN"])
def test_a_position_with_a_history_is_worth_its_best_move_with_that_history(
    tables: Tables, ending: str, count: int
) -> None:
    """Judged before and after each move; what has occurred three times, python-chess says."""
    repeated = 0
    for seed in range(count):
        for board in restless_game(tables, ending, seed, 24):
            if not board.is_repetition(2):
                continue
            here, moves = judge(board, tables), ranked(board, tables)
            for item in moves:
                board.push(item.move)
                after = judge(board, tables)
                if board.is_repetition(3):
                    assert after.outcome == 0
                    repeated += 1
                board.pop()
                assert item.outcome == -after.outcome, f"{board.fen()} {item.move} {board.move_stack}"
                if item.exact and after.exact and item.outcome:
                    assert item.mate_plies == 1 + (after.mate_plies or 0), f"{board.fen()} {item.move}"
            if moves and not board.is_repetition(3):
                assert here.outcome == moves[0].outcome, f"{board.fen()} {board.move_stack}"
                assert here.mate_plies == moves[0].mate_plies, f"{board.fen()} {board.move_stack}"
    assert repeated > 3


def ranked_line(board: chess.Board, tables: Tables, first: chess.Move) -> list[chess.Move]:
    """Return the line of the best-ranked moves, of all moves at each ply, to the end of the game or the first bound."""
    board, line = board.copy(), [first]
    board.push(first)
    while (moves := ranked(board, tables)) and moves[0].outcome and moves[0].exact:
        line.append(moves[0].move)
        board.push(moves[0].move)
    return line


@pytest.mark.parametrize("ending", ["KRK", "KPK"])
def test_the_line_of_best_play_is_that_of_the_best_ranked_moves(tables: Tables, ending: str) -> None:
    _hold_lines(tables, ending, seeds=2)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("ending", ["KQKR", "KRKN", "KBNK", "KBBK", "KQKP"])
def test_the_line_of_best_play_in_larger_endings_is_that_of_the_best_ranked_moves(tables: Tables, ending: str) -> None:
    _hold_lines(tables, ending, seeds=4)


def _hold_lines(tables: Tables, ending: str, seeds: int) -> None:
    """After repetitions, and with a clock that leaves few moves."""
    told = 0
    for seed in range(seeds):
        for board in restless_game(tables, ending, seed, 24):
            if not board.is_repetition(2):
                continue
            board.halfmove_clock = max(board.halfmove_clock, 60)
            for item in [item for item in ranked(board, tables) if item.outcome][:2]:
                line, slow = (
                    best_line(Judged.of(Library(tables), board), item.move),
                    ranked_line(board, tables, item.move),
                )
                assert line[: len(slow)] == slow, f"{board.fen()} {board.move_stack}"
                told += len(slow)
    assert told > 20


def test_following_a_game_tells_the_same_as_a_look_at_its_history(tables: Tables) -> None:
    """A capture lets the old positions go."""
    board = chess.Board("8/8/8/3k4/3r4/8/8/3RK3 w - - 0 1")
    followed = Referee(board.copy(), tables)
    for text in ("e1e2", "d5d6", "e2e1", "d6d5", "e1e2", "d5d6", "d1d4", "d6c5", "d4d1", "c5c4"):
        move = chess.Move.from_uci(text)
        followed.follow(move, followed.after(move))
        board.push(move)
        fresh = Referee(board.copy(), tables)
        assert followed.board == fresh.board
        assert (followed.seen, followed.has_repeated) == (fresh.seen, fresh.has_repeated)
        assert followed.here() == fresh.here()
        assert followed.is_over == fresh.is_over
        assert rank_with(followed) == rank_with(fresh)


def there_and_back(board: chess.Board, random: Random) -> list[chess.Board]:
    """Return the four positions of two men going there and back, none where that does not work."""
    path, moves = [board.copy(stack=False)], list[chess.Move]()
    for number in range(4):
        legal = list(path[-1].legal_moves)
        back = chess.Move(moves[-2].to_square, moves[-2].from_square) if number > 1 else random.choice(legal or [None])
        if back not in legal or path[-1].is_zeroing(back):
            return []
        moves.append(back)
        path.append(path[-1].copy(stack=False))
        path[-1].push(back)
    return path[:4]


def banned_near(
    tables: Tables, ending: str, count: int, seed: int, every: int
) -> tuple[set[CanonicalPosition], list[chess.Board]]:
    """Return decided positions gone through there and back, and every so many of those up to two moves away."""
    random, banned, around, number = Random(seed), set[CanonicalPosition](), list[chess.Board](), counting()

    def note(board: chess.Board) -> None:
        if next(number) % every == 0:
            around.append(board.copy(stack=False))

    for start in random_positions(ending, 1_000, seed=seed):
        path = there_and_back(start, random) if tables.value(start).outcome else []
        decided = [board for board in path if tables.value(board).outcome]
        if len(decided) < 4:
            continue
        banned |= {tables.stand(board)[0] for board in decided}
        for board in decided:
            for first in list(board.legal_moves):
                board.push(first)
                note(board)
                for second in list(board.legal_moves)[::3]:
                    board.push(second)
                    note(board)
                    board.pop()
                board.pop()
        if len(banned) >= count:
            break
    return banned, around


@every_day(("KRK",), ("KPPK", "KQKN"))
def test_an_ending_without_some_positions_agrees_with_its_successors(tables: Tables, ending: str) -> None:
    """The values around banned positions obey the rules of the game in which entering them is a draw."""
    material = Material.parse(ending)
    banned, around = banned_near(tables, ending, 60, seed=4, every=10)
    solved = Exhausted(tables, material, banned)
    for board in around:
        stand, _ = tables.stand(board)
        if stand.material != material or stand in banned or not any(board.legal_moves):
            continue
        if material.has_pawns and board.has_legal_en_passant():
            continue
        values: list[tuple[int, int | None]] = []
        for move in board.legal_moves:
            zeroing = board.is_zeroing(move)
            board.push(move)
            child, _ = tables.stand(board)
            value = tables.value(board) if zeroing and child.material != material else None
            if child in banned:
                value = Value(0, None, None)
            value = value or solved.value_of(child)
            values.append((-value.outcome, value.dtm_plies))
            board.pop()
        here, best = solved.value_of(stand), max(outcome for outcome, _ in values)
        assert here.outcome == best, board.fen()
        if best:
            plies = [p for outcome, p in values if outcome == best and p is not None]
            assert here.dtm_plies == 1 + (min(plies) if best > 0 else max(plies)), board.fen()


@every_day(("KRK", "KPK"), ("KBBK",))
def test_changes_followed_back_are_those_found_by_solving(tables: Tables, ending: str) -> None:
    _hold_changes(tables, ending)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KRKN", "KPKP"])
def test_changes_followed_back_in_larger_endings_are_those_found_by_solving(tables: Tables, ending: str) -> None:
    _hold_changes(tables, ending)


def _hold_changes(tables: Tables, ending: str) -> None:
    material, found = Material.parse(ending), Counter[str]()
    batches = Batches(material, tables.codes)
    for seed in range(2):
        banned, around = banned_near(tables, ending, 4, seed, every=3)
        solved = Exhausted(tables, material, banned)
        changes = {winner: Changes(batches, banned, winner) for winner in (True, False)}
        near = {winner: Changes(batches, banned, winner, horizon=24) for winner in (True, False)}
        for board in around:
            stand, _ = tables.stand(board)
            value = tables.value(board)
            if stand.material != material or not value.outcome or stand.passed is not None:
                continue
            winner = (value.outcome == 1) == stand.white_to_move
            exact, steps = solved.value_of(stand), tables.steps(stand)
            expected = NEVER if exact.dtm_plies is None else exact.dtm_plies
            assert changes[winner].complete
            assert changes[winner].mate_plies(stand, steps) == expected, board.fen()
            below = near[winner].mate_plies(stand, steps)
            assert below == expected or 24 <= below <= expected, board.fen()
            found["same" if exact.dtm_plies == value.dtm_plies else "longer" if exact.outcome else "drawn"] += 1
    assert sum(found.values()) > 40
    assert len(found) > 1, found


def test_what_was_stopped_is_not_begun_again_for_each_move(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither for the other moves, nor for the line that follows, nor when the order to stop is forgotten."""
    tables, begun, orders = Tables(), list[int](), list[bool]()
    board = played(START, (*THERE_AND_BACK, "a1a2", "e4d4"))
    tables.prepare(Material.parse("KBNK"))
    find = Changes._find

    def begin(self: Changes) -> None:
        begun.append(1)
        orders.append(True)
        find(self)

    monkeypatch.setattr(Changes, "_find", begin)
    tables.stopped = lambda: bool(orders)
    referee = Referee(board, tables)
    moves = rank_with(referee)
    assert len(begun) == 1
    assert not all(item.exact for item in moves)
    orders.clear()
    assert [item.mate_plies for item in rank_with(referee)] == [item.mate_plies for item in moves]
    assert len(begun) == 1
    orders.append(True)
    for item in moves:
        assert best_line(Judged.of(Library(tables), board), item.move)[0] == item.move
    assert len(begun) == 1
    monkeypatch.undo()
    tables.stopped = lambda: False
    assert all(item.exact for item in ranked(board, tables))


def test_a_referee_that_is_hurried_from_the_start_begins_nothing(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = list[int]()
    boards = [
        played(START, (*THERE_AND_BACK, "a1a2", "e4d4")),
        played("8/2q5/8/5k2/8/2K5/8/4B3 w - - 79 1", ("c3d2",)),
        chess.Board("2Q5/6r1/8/8/8/6K1/8/1k6 w - - 81 1"),
    ]
    for board in boards:
        tables.value(board)
    for work in ("in_time", "detour"):
        monkeypatch.setattr(tables.ways, work, lambda *given: begun.append(1))
    monkeypatch.setattr(tables, "stopped", lambda: True)
    for board in boards:
        moves = ranked(board, tables)
        assert all(item.mate_plies is not None for item in moves if item.outcome)
        assert not all(item.exact for item in moves)
    assert not begun


def test_a_referee_that_was_stopped_once_begins_nothing_for_the_other_moves(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Although nobody says any more that it is to stop."""
    referee = Referee(played(START, (*THERE_AND_BACK, "a1a2", "e4d4")), tables)
    begun = list[int]()
    monkeypatch.setattr(tables.ways, "detour", lambda *given: begun.append(1))
    monkeypatch.setattr(tables, "stopped", lambda: True)
    first, *others = referee.steps
    assert not referee.after(first).exact
    monkeypatch.setattr(tables, "stopped", lambda: False)
    assert not all(referee.after(move).exact for move in others)
    assert referee.given_up
    assert not begun


def test_where_following_the_changes_takes_too_long_a_number_is_not_called_exact(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matebot.solver.repetition._NODES", 1)
    board = played(START, (*THERE_AND_BACK, "a1a2", "e4d4", "a2a1", "d4d5"))
    assert not all(item.exact for item in ranked(board, tables))


def test_where_it_takes_too_long_no_number_is_too_low_and_a_draw_at_the_next_move_is_seen(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    board = played(START, (*THERE_AND_BACK, "a1a2", "e4d4"))
    exact = {item.move: item for item in ranked(board, tables)}
    monkeypatch.setattr("matebot.solver.repetition._NODES", 1)
    monkeypatch.setattr(tables, "ways", Ways(tables))
    bounds = ranked(board, tables)
    assert not any(item.exact for item in bounds if item.outcome and exact[item.move].mate_plies != item.mate_plies)
    for item in bounds:
        assert item.outcome == exact[item.move].outcome
        assert (item.mate_plies or 0) >= (exact[item.move].mate_plies or 0)
    assert next(item for item in bounds if item.move == chess.Move.from_uci("a2a1")).cause == "repetition"
    won = [item for item in bounds if item.outcome > 0 and not item.exact]
    assert len(won) > 3
    plies = [item.verdict.value.dtm_plies or 0 for item in won]
    assert plies == sorted(plies)


@pytest.mark.parametrize("clock", [0, 1])
@pytest.mark.parametrize("last", ["e4d4", "a2a1"])
def test_a_bound_is_the_longest_mate_that_may_come_after_the_last_ply_of_the_count(
    tables: Tables, monkeypatch: pytest.MonkeyPatch, clock: int, last: str
) -> None:
    monkeypatch.setattr("matebot.solver.repetition._NODES", 1)
    monkeypatch.setattr(tables, "ways", Ways(tables))
    moves = (*THERE_AND_BACK, "a1a2", "e4d4", *([last] if last == "a2a1" else []))
    board = played(START.replace("0 1", f"{clock} 1"), moves)
    bounds = [item for item in ranked(board, tables) if not item.exact]
    assert len(bounds) > 1
    left = CLAIM_PLIES - board.halfmove_clock - 1
    for item in bounds:
        verdict = item.verdict
        # Who is to move after so many plies may win from there in the longest time there is.
        latest = max(
            plies + LONGEST_DTM_PLIES[(plies % 2 == 0) == (verdict.outcome > 0)] for plies in range(1, left + 1)
        )
        assert (verdict.mate_plies, verdict.cause) == (latest, "forced")
    drawn = [item for item in ranked(board, tables) if item.cause == "repetition"]
    assert all(item.exact and item.mate_plies is None for item in drawn)
    assert drawn


def test_an_en_passant_square_without_a_pawn_to_capture_does_no_harm_in_the_past(tables: Tables) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - e6 0 1")
    for move in (*THERE_AND_BACK, "a1a2"):
        board.push_uci(move)
    assert judge(board, tables).outcome == -1


def test_repeated_positions_with_castling_rights_in_the_past_do_no_harm(tables: Tables) -> None:
    board = chess.Board("8/4k3/8/8/8/8/8/R3K1N1 w Q - 0 1")
    for move in ("g1f3", "e7e6", "f3g1", "e6e7", "e1e2"):
        board.push_uci(move)
    assert judge(board, tables).outcome == -1


def test_what_was_worked_out_for_tables_goes_with_them() -> None:
    """Nothing outside them remembers it."""
    tables = Tables()
    for board in (played(START, (*THERE_AND_BACK, "a1a2", "e4d4")), chess.Board("8/8/8/8/5k2/1P6/K7/8 w - - 58 2")):
        assert judge(board, tables).outcome == 1
    ways = ref(tables.ways)
    del tables
    collect()
    assert ways() is None


def test_only_what_rested_on_a_banned_position_changes(tables: Tables) -> None:
    """The example beside `Changes`: three positions have to go another way, and nothing before them."""
    banned = chess.Board("8/8/8/4R3/8/8/5K2/7k b - - 0 1")
    stand = tables.stand(banned)[0]
    assert stand.material is not None
    changes = Changes(tables.ways.batches(stand.material), [stand], winner=True)
    assert changes.plies(stand) == NEVER
    mated = tables.stand(chess.Board("8/8/8/7R/8/8/5K2/7k b - - 0 1"))[0]
    assert changes.mate_plies(mated, tables.steps(mated)) == 0
    for king in ("e1", "e2", "e3"):
        before = chess.Board("8/8/8/4R3/8/8/8/7k w - - 0 1")
        before.set_piece_at(chess.parse_square(king), chess.Piece.from_symbol("K"))
        assert (tables.value(before).dtm_plies, changes.plies(tables.stand(before)[0])) == (3, 5)
        for square in (chess.H2, chess.G1, chess.G2):
            earlier = before.copy()
            earlier.turn = chess.BLACK
            earlier.remove_piece_at(chess.H1)
            earlier.set_piece_at(square, chess.Piece.from_symbol("k"))
            assert changes.plies(tables.stand(earlier)[0]) is None
