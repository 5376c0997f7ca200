"""What is said where a stage begins follows from its plan, for every stage of every ladder."""

from __future__ import annotations

from dataclasses import replace

import pytest

from matebot.method.condition import Condition
from matebot.method.ladder import Rung
from matebot.method.plan import Plan
from matebot.method.plans import ALL_PLANS
from matebot.method.standing import Standing
from matebot.wording import stages
from matebot.wording.phrases import LINE

EVERY = [
    pytest.param(plan, number, id=f"{plan.name} {number + 1}")
    for plans in ALL_PLANS.values()
    for plan in plans
    for number in range(len(plan.stages))
]


def beginning(plan: Plan, number: int) -> Standing:
    return Standing(plan, Rung(number, 9), 5)


def test_every_condition_has_words_of_its_own() -> None:
    assert set(stages.HOLDS) == set(Condition)
    assert len(set(stages.HOLDS.values())) == len(Condition)


@pytest.mark.parametrize(("plan", "number"), EVERY)
def test_a_stage_is_reached_by_its_conditions_and_done_by_what_the_next_adds(plan: Plan, number: int) -> None:
    standing, here = beginning(plan, number), plan.stages[number]
    reached, sign = stages.reached(standing), stages.sign(standing)
    assert all(stages.HOLDS[condition].casefold() in reached.casefold() for condition in here.conditions)
    assert bool(reached) == bool(here.conditions)
    if number + 1 == len(plan.stages):
        assert sign == ""
        return
    new = [condition for condition in plan.stages[number + 1].conditions if condition not in here.conditions]
    said = new or here.marks
    assert all(stages.HOLDS[condition] in sign for condition in said)
    assert bool(sign) == bool(said)
    old = [condition for condition in (*here.conditions, *here.marks) if condition not in said]
    assert not any(stages.HOLDS[condition] in sign for condition in old)


@pytest.mark.parametrize(("plan", "number"), EVERY)
def test_a_stage_come_back_to_is_named_and_claims_nothing_reached(plan: Plan, number: int) -> None:
    standing, here = beginning(plan, number), plan.stages[number]
    first, *others = stages.back_to(standing)
    assert here.title in first
    assert here.aim[1:].rstrip(".") in others[0]
    assert others[1:] == [text for text in (stages.sign(standing),) if text]
    lines = stages.told(standing, "white", back=True)
    assert lines[0].startswith("White: Back")
    assert here.title in lines[0]
    assert all(len(line) <= LINE for line in lines)
    assert stages.told(standing, "white")[0] != lines[0]


@pytest.mark.parametrize(("plan", "number"), EVERY)
def test_a_change_of_stage_is_told_in_order_and_within_two_lines(plan: Plan, number: int) -> None:
    standing = beginning(plan, number)
    parts, here = stages.change(standing), plan.stages[number]
    assert parts[:-1] == stages.passage(standing)
    known = [text for text in (stages.reached(standing), stages.sign(standing)) if text]
    assert [part for part in stages.passage(standing) if part in known] == known
    assert len(stages.passage(standing)) == len(known) + 1
    assert here.trap[1:].rstrip(".") in parts[-1]
    assert any(here.aim[1:].rstrip(".") in part for part in parts[:-1])
    assert here.title[1:] in stages.again(standing)
    lines = stages.told(standing, "black")
    assert 1 <= len(lines) <= 2
    for text in lines:
        assert len(text) <= LINE
        assert text.startswith("Black: ")
        assert text.endswith(".")
    told = " ".join(text.removeprefix("Black: ") for text in lines)
    assert told.startswith(parts[0][:20])
    # What has room is told: a second line is begun only where the first is full.
    if len(lines) == 1:
        assert all(part in told for part in parts)
    elif all(part in told for part in parts):
        assert len("Black: ") + len(told) > LINE


def made(aim: str, trap: str, stages_marks: tuple[tuple[Condition, ...], ...] = ((),)) -> Plan:
    """Return a plan whose stages have no conditions, with so many marks each."""
    plain = next(iter(ALL_PLANS["KRK"])).stages[0]
    return Plan("x", "KRK", tuple(replace(plain, aim=aim, trap=trap, conditions=(), marks=m) for m in stages_marks))


def test_a_line_is_filled_to_its_last_letter() -> None:
    """With the side, the two sentences and what stands before them, ``White: Next: ... Beware: ...``."""
    room = LINE - len("White: Next: . Beware: b.")
    fitting, longer = (stages.told(beginning(made("a" * count, "b"), 0), "white") for count in (room, room + 1))
    assert [len(text) for text in fitting] == [LINE]
    assert [len(text) for text in longer] == [LINE - len(" Beware: b.") + 1, len("White: Beware: b.")]


def test_where_the_next_stage_adds_nothing_its_marks_tell_that_a_stage_is_done() -> None:
    marks = ((Condition.MEN_SAFE, Condition.CUT_OFF), ())
    sign = stages.sign(beginning(made("a", "b", marks), 0))
    assert all(stages.HOLDS[condition] in sign for condition in marks[0])


def test_what_is_longer_than_a_line_is_cut_at_its_last_comma_or_where_the_line_ends() -> None:
    room = LINE - len("White: Next: .")

    def first(aim: str) -> str:
        return stages.told(beginning(made(aim, "b"), 0), "white")[0]

    whole = first("a" * 9 + "," + "a" * (room - 10))
    assert (len(whole), whole[-10:]) == (LINE, "a" * 9 + ".")
    assert first("a" * (room + 1)) == "White: Next: " + "a" * room + "."
    assert first("a" * 9 + ", " + "a" * 9 + ", " + "a" * room) == "White: Next: " + "a" * 9 + ", " + "a" * 9 + "."
    assert first("a" * room + ", " + "a" * room) == "White: Next: " + "a" * room + "."
