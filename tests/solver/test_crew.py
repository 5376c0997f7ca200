"""Work shared by threads: the same result, one fault told, and an end when it is asked for."""

from __future__ import annotations

import os
import threading
import weakref
from typing import Any

import numpy as np
import pytest

from matebot.solver import crew, tools
from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.conversions import conversions
from matebot.solver.crew import Crew, _Shift, parts_of
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Solver
from matebot.solver.tables import Tables


class Over(Exception):
    """The work is to end."""


@pytest.mark.parametrize("count", [0, 1, 2, 3, 1000])
def test_every_part_is_done_once_by_some_hand(count: int) -> None:
    done, hands = np.zeros(count, int), set[int]()

    def work(part: int, hand: int) -> None:
        done[part] += 1
        hands.add(hand)

    Crew(hands=3).each(range(count), work)
    assert (done == 1).all()
    assert hands <= {0, 1, 2}


def test_parts_make_up_the_axis_and_a_small_array_is_one_part() -> None:
    assert parts_of(48, 1000) == [slice(0, 48)]
    for size, words in ((64, 1 << 22), (1 << 22, 1 << 22), (3, 1 << 30)):
        parts = parts_of(size, words)
        assert [place for part in parts for place in (part.start, part.stop)][1:-1:2] == [p.start for p in parts[1:]]
        assert (parts[0].start, parts[-1].stop) == (0, size)
        assert len(parts) > 1


def test_a_fault_of_a_helper_reaches_whoever_asked_and_no_further_part_is_begun(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    begun, both = list[int](), threading.Barrier(2, timeout=60)

    def work(part: int, hand: int) -> None:
        begun.append(part)
        if part < 2:
            both.wait()  # both hands are at work
        if hand:
            raise Over
        assert helper_failed.wait(60)

    helper_failed = threading.Event()
    help_ = Crew._help

    def helped(*arguments: Any) -> None:
        help_(*arguments)
        helper_failed.set()

    monkeypatch.setattr(Crew, "_help", staticmethod(helped))
    with pytest.raises(Over):
        Crew(hands=2).each(range(1000), work)
    assert len(begun) == 2


def test_who_comes_when_the_work_is_over_finds_nothing_to_do_and_holds_nothing() -> None:
    done, work = list[int](), lambda hand: done.append(hand)
    shift, held = _Shift(work), weakref.ref(work)
    shift.help(1)
    shift.end()
    shift.help(2)
    del work
    assert (done, held()) == ([1], None)


def test_a_process_that_was_split_off_calls_helpers_of_its_own() -> None:
    Crew(hands=2).each(range(2), lambda part, hand: None)
    before = set(crew._helpers)
    crew._alone()
    Crew(hands=2).each(range(2), lambda part, hand: None)
    assert before.isdisjoint(crew._helpers)
    assert len(crew._helpers) == 1


def test_a_pulse_that_raises_ends_the_work() -> None:
    begun = list[int]()

    def pulse() -> None:
        if len(begun) > 4:
            raise Over

    with pytest.raises(Over):
        Crew(pulse, hands=1).each(range(1000), lambda part, hand: begun.append(part))
    assert len(begun) == 5


@pytest.mark.parametrize(
    ("ending", "part_words", "compiled"),
    [
        ("KBKN", 1 << 13, False),
        ("KPK", 1 << 8, False),
        pytest.param("KBNK", 1 << 13, True, marks=pytest.mark.exhaustive),
        pytest.param("KPKP", 1 << 13, True, marks=pytest.mark.exhaustive),
    ],
)
def test_sets_divided_among_three_hands_give_the_same_codes(
    ending: str, part_words: int, compiled: bool, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As large sets are, at another size of part; in the default run nobody waits until loops are compiled."""
    if not compiled:
        monkeypatch.setattr(tools, "can_compile", lambda: False)
    monkeypatch.setattr(crew, "_SMALL_WORDS", 1)
    monkeypatch.setattr(crew, "_PART_WORDS", part_words)
    monkeypatch.setattr(crew, "_cores", lambda: 3)
    material, pulses = Material.parse(ending), list[None]()
    solution = Solver(material, tables.codes, pulse=lambda: pulses.append(None)).solve()
    for number, metric in enumerate(("dtm", "dtz")):
        for side in (True, False):
            codes = tables.codes(material, side, metric)
            assert (solution.codes(number, side) == codes).all()
            assert {DRAW, ILLEGAL} <= set(np.unique(codes).tolist())
    assert len(pulses) > 10


def test_between_two_kinds_of_captures_it_is_asked_whether_the_work_is_to_end(tables: Tables) -> None:
    """With five men to work out where a capture leads takes a good part of a second."""
    pulses = list[None]()
    placement = Placement(Material.parse("KQKR"))
    kinds = conversions(placement, tables.codes, crew=Crew(lambda: pulses.append(None)))
    assert len(pulses) >= len(kinds) == 4


def test_solving_ends_within_a_layer_when_the_pulse_raises(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tools, "can_compile", lambda: False)
    monkeypatch.setattr(crew, "_SMALL_WORDS", 1)
    monkeypatch.setattr(crew, "_cores", lambda: 1)
    layers, pulses = list[int](), list[None]()

    def pulse() -> None:
        pulses.append(None)
        if layers and layers[-1] == 3:
            raise Over

    solver = Solver(Material.parse("KRK"), tables.codes, heartbeat=layers.append, pulse=pulse)
    monkeypatch.setattr(crew, "_PART_WORDS", 1 << 6)
    with pytest.raises(Over):
        solver.solve()
    assert layers == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("allowed", "there", "hands"), [({0, 5}, 8, 2), (set(range(9)), 9, 4), (None, 3, 3), (None, None, 1)]
)
def test_as_many_hands_work_as_there_are_cores_to_be_had_four_at_most(
    allowed: set[int] | None, there: int | None, hands: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)  # not every system has it
    if allowed is not None:
        monkeypatch.setattr(os, "sched_getaffinity", lambda process: allowed, raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: there)
    assert Crew(lambda: None).hands == hands
