"""The ideas about moves are what their witnesses say, on thousands of moves."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from functools import partial
from importlib import import_module

import chess
import pytest

from matebot.ideas.idea import Idea
from matebot.ideas.order import ORDER, Entry
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from tests.ideas.claims import ENDINGS, Claim, Pair, Seen, compare, mirrored, pairs
from tests.ideas.seldom import SELDOM

_BY_DEFAULT, _MANY = 8, 350
#: Ideas that only some endings have.
SPECIAL = {
    "knights_w": ("KBNK",),
    "barrier": ("KBNK",),
    "towards_w": ("KBNK",),
    "at_pawn": ("KPK", "KBPK"),
    "pawn_runs": ("KPK", "KBPK"),
    "pawn_step": ("KPK", "KBPK"),
    "in_time": ("KBKP", "KQKP", "KRKP"),
    "nears_man": ("KQKR", "KQKP", "KRKP", "KRKB", "KRKN"),
    "stands_by": ("KQKR", "KQKP", "KRKP", "KRKB", "KRKN"),
    "wrong_corner": ("KBNK",),
    "off_the_rim": ("KBNK", "KBBK", "KBPK"),
    "ends_checks": ("KQKR", "KRKR"),
    "box": ("KRK", "KQK", "KQKP"),
    "cut_off": ("KRK", "KQK", "KQKR", "KRKP", "KRKN"),
    "cuts_from_pawn": ("KRPK", "KQPK"),
    "holds_pawn": ("KQKP", "KRKP"),
    "stops_pawn": ("KBNKP",),
    "bishop_barred": ("KBKP",),
    "bridging": ("KRPKR",),
    "minor_lost": ("KRKB", "KRKN"),
    "sets_problem": ("KBKP", "KRKP", "KPK", "KRKN"),
    "pins": ("KQKR", "KRKR", "KQKQ"),
    "trapped": ("KQKR", "KRKB", "KRKN"),
}


@pytest.fixture(scope="module")
def truth(tables: Tables) -> TableTruth:
    return TableTruth(Library(tables))


def endings_of(kind: str) -> tuple[str, ...]:
    return SPECIAL.get(kind, ENDINGS)


def both(entry: Entry, truth: TableTruth) -> tuple[Seen, Claim]:
    """Return how an idea is seen and what its witness claims, both told the same truth where they need it."""
    claim = import_module(f"tests.witness.ideas.{entry.kind}").claim
    if entry.seen is not None:
        return entry.seen, claim
    assert entry.told is not None
    return partial(_told, entry, truth), partial(_claimed, claim, truth)


def _told(
    entry: Entry, truth: TableTruth, before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color
) -> Idea | None:
    assert entry.told is not None
    return entry.told(before, move, after, attacker, truth)


def _claimed(
    claim: Callable[..., dict[str, object] | None],
    truth: TableTruth,
    before: chess.Board,
    move: chess.Move,
    after: chess.Board,
    attacker: bool,
) -> dict[str, object] | None:
    return claim(before, move, after, attacker, truth)


def check(entry: Entry, truth: TableTruth, count: int, seed: int) -> Counter[bool]:
    seen, claim = both(entry, truth)
    tally: Counter[bool] = Counter()
    for ending in endings_of(entry.kind):
        tally += compare(seen, claim, pairs(ending, count * len(ENDINGS) // len(endings_of(entry.kind)), seed))
    return tally


@pytest.mark.parametrize("entry", ORDER, ids=lambda entry: entry.kind)
def test_an_idea_is_what_its_witness_says(entry: Entry, truth: TableTruth) -> None:
    tally = check(entry, truth, _BY_DEFAULT, seed=1)
    assert tally[False], f"{entry.kind} was always seen"


@pytest.mark.parametrize("kind", SELDOM)
def test_an_idea_is_what_its_witness_says_on_moves_that_show_what_is_seldom_seen(kind: str, truth: TableTruth) -> None:
    (entry,) = (entry for entry in ORDER if entry.kind == kind)
    tally = compare(*both(entry, truth), map(_drawn, SELDOM[kind]))
    assert not tally[False]


def _drawn(text: str) -> Pair:
    placement, turn, move, attacker = text.split()
    before = chess.Board(f"{placement} {turn} - - 0 1")
    after = before.copy(stack=False)
    after.push_uci(move)
    return before, chess.Move.from_uci(move), after, attacker == "w"


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("entry", ORDER, ids=lambda entry: entry.kind)
def test_an_idea_is_what_its_witness_says_on_many_moves(entry: Entry, truth: TableTruth) -> None:
    tally = check(entry, truth, _MANY, seed=2)
    assert tally[True], f"{entry.kind} was never seen"


#: Ideas that name one of several moves or men as good: the first by its square, another with colours exchanged.
BY_SQUARES = ("refutation", "critical", "sooner", "denies", "prevents", "outlasts", "ties_man")


#: Of moves as good the one that is taught is chosen by its squares, which differ with colours exchanged.
@pytest.mark.parametrize("entry", [e for e in ORDER if e.kind != "prepares"], ids=lambda entry: entry.kind)
def test_an_idea_does_not_know_which_colour_attacks(entry: Entry, truth: TableTruth) -> None:
    seen, _ = both(entry, truth)
    for pair in _some(entry.kind):
        here, there = seen(*pair), seen(*mirrored(pair))
        assert (here is None) == (there is None), (pair[0].fen(), pair[1])
        if here is not None and there is not None and entry.kind not in BY_SQUARES:
            assert _flipped(here.as_data()) == _flipped(there.as_data(), False), (pair[0].fen(), pair[1])


def _flipped(data: object, flip: bool = True) -> object:
    """Return data of an idea with the ranks of its squares counted from the other side, and lists sorted."""
    if isinstance(data, dict):
        return {name: _flipped(value, flip) for name, value in data.items()}
    if isinstance(data, list):
        return sorted((_flipped(value, flip) for value in data), key=repr)
    if flip and isinstance(data, str):
        return re.sub(
            r"(?<=\b[a-h])[1-8]|(?<=\b[a-h][1-8][a-h])[1-8]|(?<=rank )[1-8]", lambda r: f"{9 - int(r[0])}", data
        )
    return data


def _some(kind: str) -> Iterable[Pair]:
    for ending in endings_of(kind)[:3]:
        yield from pairs(ending, 12, seed=5)


def test_every_idea_of_the_table_is_named_like_its_file_and_stands_once() -> None:
    kinds = [entry.kind for entry in ORDER]
    assert len(set(kinds)) == len(kinds)
    for entry in ORDER:
        module = import_module(f"matebot.ideas.{entry.kind}")
        assert module.seen in (entry.seen, entry.told)
        assert "Definition. " in (module.__doc__ or "")
