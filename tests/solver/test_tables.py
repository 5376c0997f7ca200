"""The door to the values: what it answers, what it refuses, what it tells on the way, and how it is stopped."""

from __future__ import annotations

from itertools import count, product
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.solver import endings as module
from matebot.solver.codes import DRAW, TOO_LONG
from matebot.solver.ending import Ending
from matebot.solver.lookup import ArrayTable, CanonicalPosition, Reader
from matebot.solver.material import Material, closure
from matebot.solver.retrograde import Solution, Solver
from matebot.solver.tables import Refusal, Stopped, Tables, Value
from tests.witness.positions import random_positions

KPK, KBNK = Material.parse("KPK"), Material.parse("KBNK")

#: Worked out by hand: a position, and its value for the side to move.
BY_HAND = [
    ("checkmated", "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1", Value(-1, 0, 0)),
    ("stalemated", "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", Value(0, None, None)),
    ("mates at once", "7k/8/5K2/6Q1/8/8/8/8 w - - 0 1", Value(1, 1, 1)),
    ("mates at once, colours exchanged", "8/8/8/8/6q1/5k2/8/7K b - - 0 1", Value(1, 1, 1)),
    ("takes the queen", "8/8/8/8/8/8/1q6/K6k w - - 0 1", Value(0, None, None)),
    ("bare kings", "8/8/8/8/8/8/8/K6k w - - 0 1", Value(0, None, None)),
]


@pytest.mark.parametrize(("fen", "value"), [case[1:] for case in BY_HAND], ids=[case[0] for case in BY_HAND])
def test_a_position_has_the_value_worked_out_by_hand(fen: str, value: Value, tables: Tables) -> None:
    assert tables.value(chess.Board(fen)) == value


def test_a_capture_en_passant_that_decides_is_seen(tables: Tables) -> None:
    """The captured pawn leaves a bare king: the side that may capture cannot lose, whoever would win without."""
    with_right, without = (chess.Board(f"8/8/8/8/3pP3/8/8/k1K5 b - {square} 0 1") for square in ("e3", "-"))
    assert with_right.has_legal_en_passant()
    assert tables.value(with_right).outcome >= 0
    assert tables.value(with_right) != tables.value(without)


def test_the_clock_is_left_out(tables: Tables) -> None:
    fresh, late = (chess.Board(f"7k/8/8/8/8/8/8/KBN5 w - - {clock} 90") for clock in (0, 99))
    assert tables.value(fresh) == tables.value(late)


@pytest.mark.parametrize(
    ("cause", "fen"),
    [
        ("men", chess.STARTING_FEN),
        ("men", "8/8/8/8/8/8/8/KBNNB2k w - - 0 1"),
        ("castling", "4k3/8/8/8/8/8/8/4K2R w K - 0 1"),
        ("impossible", "8/8/8/8/8/8/8/K6Q w - - 0 1"),
        ("impossible", "6Rk/8/8/8/8/8/8/K7 w - - 0 1"),
        ("impossible", "P6k/8/8/8/8/8/8/K7 w - - 0 1"),
    ],
)
def test_what_is_not_covered_is_refused_with_its_cause(cause: str, fen: str, tables: Tables) -> None:
    board = chess.Board(fen)
    for question in (tables.check, tables.value):
        with pytest.raises(Refusal) as refusal:
            question(board)
        assert refusal.value.cause == cause
        # The fact comes first.
        told = {"men": "men: at most five are covered", "castling": "not covered", "impossible": "impossible: "}
        assert told[cause] in str(refusal.value)
        assert "\n" not in str(refusal.value)


def test_progress_is_told_when_solving_takes_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_QUIET_SECONDS", -1.0)
    notices: list[str] = []
    Tables(notice=notices.append).prepare(KPK)
    assert notices == [f"solving KPK: {number} of 5 endings" for number in range(1, 6)]


def test_nothing_is_told_when_solving_is_quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_QUIET_SECONDS", 3_600.0)
    notices: list[str] = []
    Tables(notice=notices.append).prepare(Material.parse("KQK"))
    assert notices == []


def test_a_notice_goes_to_whoever_listens_then(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_QUIET_SECONDS", -1.0)
    early: list[str] = []
    late: list[str] = []
    tables = Tables(notice=early.append)
    tables.prepare(Material.parse("KQK"))
    tables.notice = late.append
    tables.prepare(Material.parse("KRK"))
    assert early == ["solving KQK: 1 of 1 endings"]
    assert late == ["solving KRK: 1 of 1 endings"]


def test_solving_stops_soon_and_can_be_taken_up_again(tables: Tables) -> None:
    asked = count()
    stopped = Tables(stopped=lambda: next(asked) >= 20)
    with pytest.raises(Stopped):
        stopped.prepare(KBNK)
    assert next(asked) == 21
    stopped.stopped = lambda: False
    for board in random_positions("KBNK", 50, seed=6):
        assert stopped.value(board) == tables.value(board)


def test_a_stopped_question_leaves_nothing_wrong_on_disk(tmp_path: Path, tables: Tables) -> None:
    asked = count()
    stopped = Tables(tmp_path, stopped=lambda: next(asked) >= 20)
    with pytest.raises(Stopped):
        stopped.prepare(KBNK)
    stopped.keep()
    notices: list[str] = []
    again = Tables(tmp_path, notice=notices.append)
    assert again.longest(KBNK) == tables.longest(KBNK)
    assert notices == []


def test_without_a_folder_nothing_is_on_disk() -> None:
    tables = Tables()
    tables.prepare(KPK)
    tables.keep()
    assert all(tables.bytes_on_disk(material) == 0 for material in closure(KPK))


def test_a_kept_ending_is_opened_without_those_it_leads_to(tmp_path: Path) -> None:
    first = Tables(tmp_path)
    first.prepare(KPK)
    first.keep()
    for path in tmp_path.iterdir():
        if path.stem != "KPK":
            path.unlink()
    notices: list[str] = []
    again = Tables(tmp_path, notice=notices.append, stopped=lambda: True)  # solving anything would stop
    again.prepare(KPK)
    assert again.longest(KPK)[0] == 55  # 28 moves: handbooks on king and pawn against king, from memory
    assert notices == []


@pytest.mark.parametrize("ending", ["KQK", "KPK", "KBNK", "KQKR", "KRKP"])
def test_the_longest_win_has_a_position_that_takes_as_long(tables: Tables, ending: str) -> None:
    for metric in ("dtm", "dtz"):
        plies, fen = tables.longest(Material.parse(ending), metric)
        value = tables.value(chess.Board(fen))
        assert value.outcome == 1
        assert plies == (value.dtm_plies if metric == "dtm" else value.dtz_plies)


@pytest.mark.parametrize("ending", ["KRK", "KQKR"])
def test_single_answers_take_no_whole_tables(tables: Tables, monkeypatch: pytest.MonkeyPatch, ending: str) -> None:
    solved = Tables()
    solved.prepare(Material.parse(ending))
    monkeypatch.delattr(Solution, "codes")
    for board in random_positions(ending, 50, seed=9):
        value = solved.value(board)
        monkeypatch.undo()
        assert value == tables.value(board)
        monkeypatch.delattr(Solution, "codes")


def test_where_nobody_wins_there_is_no_longest_win(tables: Tables) -> None:
    """A king with one minor piece cannot mate: FIDE Laws, dead position."""
    assert tables.longest(Material.parse("KBK")) == (0, "")


@pytest.mark.parametrize("field", ["w - e3 0 1", "w K - 0 1", "b k - 0 1"])
def test_a_refusal_quotes_the_field_that_does_not_fit(tables: Tables, field: str) -> None:
    fen = f"8/8/8/8/6k1/8/8/2BNK3 {field}"
    with pytest.raises(Refusal, match=r"^impossible: the ") as refused:
        tables.check(chess.Board(fen))
    assert str(refused.value).endswith(f", in {fen!r}")


@pytest.mark.parametrize("ending", ["KRKN", "KBNK", "KPK", "KNNK", "KNK"])
def test_the_longest_win_is_the_same_read_row_by_row(
    ending: str, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As with five men, here for endings of four, of which no win takes too long for the fifty-move rule."""
    at_once = tables.longest(Material.parse(ending))
    monkeypatch.setattr("matebot.solver.tables.is_large", lambda material: True)
    assert tables.longest_in_time(Material.parse(ending)) == at_once


def test_a_win_for_which_no_clock_leaves_room_is_no_win_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """A code tells a win of White by its number, one of Black by 254 less it; a leg of 101 plies is too long."""
    krk, rows = Material.parse("KRK"), {0: bytes([9, 20, 30, DRAW, 224]), 1: bytes([9, 101, 100, DRAW, 153])}
    tables = Tables()
    monkeypatch.setattr(Ending, "whole_row", lambda ending, metric, *place: rows[metric])
    tables.prepare(krk)
    assert tables.row_in_time(krk, True, 0).tolist() == [9, DRAW, 30, DRAW, DRAW]


def test_a_win_is_late_where_neither_mate_nor_what_sets_the_clock_back_comes_by_the_hundredth_ply() -> None:
    """FIDE Laws of Chess, article 9.3; the numbers are made up."""
    late = [clock for clock in range(101) if Value(1, 9, 5).is_late(clock)]
    assert late == [*range(96, 101)]
    assert [clock for clock in range(101) if Value(-1, 4, 4).is_late(clock)] == [*range(97, 101)]
    assert not Value(1, 1, 1).is_late()
    assert not any(Value(0, None, None).is_late(clock) for clock in (0, 100))


@pytest.mark.parametrize("ending", ["KRK", "KPK"])
def test_codes_read_for_many_squares_of_a_king_are_those_read_one_by_one(tables: Tables, ending: str) -> None:
    """Each time with nothing read before."""
    material = Material.parse(ending)
    table = ArrayTable({side: tables.codes(material, side) for side in (True, False)})
    for board in random_positions(ending, 6, seed=12):
        stand, kings = tables.stand(board)[0], range(0, 64, 3)
        one_by_one = [Reader(material, table).code(False, king, stand.black_king, stand.men) for king in kings]
        assert Reader(material, table).codes_of_white_king(kings, stand.black_king, stand.men) == one_by_one
        reader = Reader(material, table)
        reader.codes_of_white_king(kings, stand.black_king, stand.men)
        assert [reader.code(False, king, stand.black_king, stand.men) for king in kings] == one_by_one


@pytest.mark.parametrize("ending", ["KRK", "KPK"])
def test_a_row_of_a_solution_is_that_of_its_codes(tables: Tables, ending: str) -> None:
    """With legs of their own, and where every leg ends in mate."""
    material = Material.parse(ending)
    solution = Solver(material, tables.codes).solve()
    assert len(solution.metrics) == (2 if ending == "KPK" else 1)
    for metric, side, king_class, black_king in product((0, 1), (True, False), (0, 3), range(0, 64, 7)):
        row = solution.row(metric, side, king_class, black_king)
        assert row == solution.codes(metric, side)[king_class, black_king].tobytes()


@pytest.mark.parametrize(
    ("outcome", "moves", "leg"),
    [
        (1, [(False, Value(-1, 8, 4))], 5),
        (1, [(True, Value(-1, 8, 4))], 1),
        (1, [(True, Value(-1, 200, TOO_LONG))], TOO_LONG),
        (1, [(False, Value(-1, 200, TOO_LONG))], TOO_LONG),
        (1, [(False, Value(-1, 0, 0))], 1),
        (1, [(True, Value(0, None, None)), (False, Value(-1, 8, 4))], 5),
        (1, [(False, Value(-1, 6, 6)), (False, Value(-1, 8, 4))], 5),
        (-1, [(False, Value(1, 7, 3)), (True, Value(1, 11, 9))], 4),
        (-1, [], 0),
    ],
)
def test_the_leg_where_a_capture_en_passant_is_open_is_that_of_the_moves_and_too_long_where_theirs_is(
    outcome: int, moves: list[tuple[bool, Value]], leg: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = [SimpleNamespace(zeroing=zeroing, child=child) for zeroing, child in moves]
    tables = Tables()
    monkeypatch.setattr(tables, "successors", SimpleNamespace(steps=lambda stand: steps))
    monkeypatch.setattr(tables, "value_after", lambda step: step.child)
    assert tables._dtz_plies(cast("CanonicalPosition", SimpleNamespace(passed=20)), outcome) == leg


@pytest.mark.parametrize(
    ("ending", "code", "leg", "clock", "late"),
    [
        ("KRNKR", 70, 60, 40, False),
        ("KRNKR", 70, 60, 41, True),
        ("KRNKR", 70, TOO_LONG, 0, True),
        ("KRNKR", 20, 60, 60, False),  # mate comes before the clock matters
        ("KRNKR", DRAW, 60, 99, False),
        ("KRK", 70, 60, 99, False),
        (None, 70, 60, 99, False),
    ],
)
def test_with_five_men_a_win_that_the_clock_leaves_no_room_for_is_a_draw(
    ending: str | None, code: int, leg: int, clock: int, late: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    tables = Tables()
    monkeypatch.setattr(tables, "successors", SimpleNamespace(code=lambda stand: code))
    monkeypatch.setattr(tables, "_dtz_plies", lambda stand, outcome: leg)
    material = None if ending is None else Material.parse(ending, largest=5)
    stand = cast("CanonicalPosition", SimpleNamespace(material=material, white_to_move=True))
    assert tables.code_in_time(stand, clock) == (DRAW if late else code)


def test_only_so_many_moves_are_remembered(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("matebot.solver.tables._STEPS_KEPT", 3)
    monkeypatch.setattr("matebot.solver.successors._BEST_KEPT", 3)
    ours = Tables()
    most = 0
    for board in random_positions("KRK", 8, seed=8):
        stand, turned = ours.stand_of(board)
        if board.legal_moves:
            assert ours.remembered_steps(stand) == tables.steps(stand)
            assert ours.successors.best(stand, turned) == tables.successors.best(stand, turned)
        most = max(most, len(ours._steps), len(ours.successors._best))
    assert most == 3
