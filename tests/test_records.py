"""A frozen class is the dataclass that the standard library would have made of it, which is the witness here."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, asdict, field, fields, is_dataclass, replace
from typing import Any, ClassVar

import pytest

from matebot import records


def _classes(dataclass: Any, slots: bool) -> tuple[Any, ...]:
    @dataclass(frozen=True, slots=slots)
    class Pair:
        """Two and what they make."""

        kind: ClassVar[str] = "pair"
        first: int
        second: str = "b"
        more: list[int] = field(default_factory=list, compare=False)

        def __post_init__(self) -> None:
            if self.first < 0:
                raise ValueError("expected a number from 0")

    @dataclass(frozen=True, slots=slots)
    class One:
        only: tuple[int, ...]

    @dataclass(frozen=True, slots=slots)
    class Nothing:
        pass

    return Pair, One, Nothing


OURS = {slots: _classes(records.dataclass, slots) for slots in (False, True)}
THEIRS = {slots: _classes(dataclasses.dataclass, slots) for slots in (False, True)}
SAMPLES = [(0, (1,)), (0, (1, "b")), (0, (2, "c")), (0, (1, "b", [3])), (1, ((1, 2),)), (1, ((),)), (2, ())]


@records.dataclass(frozen=True, slots=True)
class Kept:
    """At the top of its module, as what is pickled must be."""

    place: int
    name: str


@pytest.mark.parametrize("slots", [False, True])
def test_instances_look_and_hold_what_theirs_do(slots: bool) -> None:
    for which, given in SAMPLES:
        ours, theirs = OURS[slots][which](*given), THEIRS[slots][which](*given)
        assert repr(ours) == repr(theirs)
        assert asdict(ours) == asdict(theirs)
        assert [f.name for f in fields(ours)] == [f.name for f in fields(theirs)]
        assert type(ours).__match_args__ == type(theirs).__match_args__
        assert is_dataclass(ours)
        assert hasattr(ours, "__dict__") == hasattr(theirs, "__dict__")


@pytest.mark.parametrize("slots", [False, True])
def test_two_are_equal_where_theirs_are_and_have_one_hash_then(slots: bool) -> None:
    ours, theirs = ([made[slots][which](*given) for which, given in SAMPLES] for made in (OURS, THEIRS))
    for number, one in enumerate(ours):
        for other, another in enumerate(ours):
            assert (one == another) == (theirs[number] == theirs[other])
            assert (hash(one) == hash(another)) == (hash(theirs[number]) == hash(theirs[other]))
        assert one != theirs[number]


@pytest.mark.parametrize("slots", [False, True])
def test_nothing_can_be_changed_or_taken_away(slots: bool) -> None:
    pair = OURS[slots][0](1)
    for name in ("first", "other"):
        with pytest.raises(FrozenInstanceError, match=name):
            setattr(pair, name, 2)
        with pytest.raises(FrozenInstanceError, match=name):
            delattr(pair, name)
    assert pair.first == 1


@pytest.mark.parametrize("slots", [False, True])
def test_a_changed_copy_is_checked_and_each_has_a_list_of_its_own(slots: bool) -> None:
    pair = OURS[slots][0](1)
    assert replace(pair, second="z") == OURS[slots][0](first=1, second="z")
    assert pair.more is not OURS[slots][0](1).more
    assert copy.copy(pair) == copy.deepcopy(pair) == pair
    with pytest.raises(ValueError, match="from 0"):
        replace(pair, first=-1)
    wrong: tuple[object, ...]
    for wrong in ((), (1, "b", [], 4)):
        with pytest.raises(TypeError):
            OURS[slots][0](*wrong)


def test_one_that_was_pickled_is_the_same() -> None:
    assert pickle.loads(pickle.dumps(Kept(3, "c"))) == Kept(3, "c")


def test_a_class_that_asks_for_more_is_made_by_the_standard_library() -> None:
    @records.dataclass(frozen=True, order=True)
    class Ordered:
        number: int

    @records.dataclass
    class Open:
        number: int

    @records.dataclass(frozen=True)
    class Below(Kept):
        more: int = 5

    opened = Open(1)
    opened.number = 2
    assert (Ordered(1) < Ordered(2), opened) == (True, Open(2))
    assert (Below(1, "a").more, Below(1, "a") == Below(1, "a"), Below(1, "a") == Kept(1, "a")) == (5, True, False)
    with pytest.raises(FrozenInstanceError):
        Below(1, "a").more = 6  # type: ignore[misc]


@pytest.mark.parametrize("slots", [False, True])
def test_fields_are_described_as_theirs_are(slots: bool) -> None:
    def told(of: Any) -> list[tuple[object, ...]]:
        return [(f.name, f.type, f.default, f.default_factory, f.compare, f.init) for f in fields(of)]

    for ours, theirs in zip(OURS[slots], THEIRS[slots], strict=True):
        assert told(ours) == told(theirs) == told(ours)
        assert vars(ours).keys() - {"__reduce__"} <= vars(theirs).keys() | {"__getstate__", "__setstate__"}


@pytest.mark.parametrize("slots", [False, True])
def test_a_list_that_all_would_share_is_refused(slots: bool) -> None:
    class Shared:
        first: int
        more: list[int] = []  # noqa: RUF012

    with pytest.raises(ValueError, match="mutable default"):
        records.dataclass(frozen=True, slots=slots)(Shared)


def test_what_holds_itself_can_be_shown() -> None:
    ours, theirs = OURS[False][0](1), THEIRS[False][0](1)
    for one in (ours, theirs):
        one.more.append(one)
    assert repr(ours) == repr(theirs)
