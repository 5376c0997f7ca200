"""How stays in a stage end, and which stays are told as the hardest: counts without any game."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.games import tally as tallying
from matebot.games.summary import ATTACK, DEFENCE
from matebot.games.tally import Tally, TallyPlace
from matebot.ideas.slip_kinds import SlipKind
from matebot.terms import Mistake

FIRST = TallyPlace("KRK", 1, "make a box", True)
SECOND = TallyPlace("KRK", 2, "shrink it", True)
OTHER = TallyPlace("KPK", 1, "lead", True)
DRAWN = TallyPlace("KRK", 0, "drawn", False)


@pytest.mark.parametrize(
    ("before", "after", "how"),
    [
        (FIRST, SECOND, "next stage"),
        (SECOND, FIRST, "back"),
        (FIRST, DRAWN, "win gone"),
        (DRAWN, FIRST, "draw gone"),
        (SECOND, OTHER, "other ending"),
        (OTHER, SECOND, "other ending"),
    ],
)
def test_a_stay_ends_with_what_comes_after_it(before: TallyPlace, after: TallyPlace, how: str) -> None:
    tally = Tally()
    for position in (before, before, after):
        tally.stand(position)
    assert dict(tally.counts[before].left) == {how: 1}
    assert not tally.counts[after].left
    assert f"{how} once" in next(row for row in tally.rows() if row[0] == before.ending and before.title in row[1])[-1]


@pytest.mark.parametrize(
    ("fen", "position", "how"),
    [
        ("R3k3/8/4K3/8/8/8/8/8 b - - 0 1", FIRST, "mate"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", FIRST, "stalemate"),
        ("4k3/8/4K3/8/8/8/8/R7 w - - 0 1", FIRST, "moves end"),
        ("4k3/8/4K3/8/8/8/8/R7 w - - 0 1", DRAWN, "drawn"),
    ],
)
def test_the_last_stay_of_a_game_ends_with_the_game(fen: str, position: TallyPlace, how: str) -> None:
    tally = Tally()
    tally.stand(position)
    tally.end_game(chess.Board(fen))
    tally.end_game(chess.Board(fen))
    assert dict(tally.counts[position].left) == {how: 1}


def test_a_stay_ends_where_the_position_is_no_longer_covered() -> None:
    tally = Tally()
    tally.leave()
    tally.stand(FIRST)
    tally.leave()
    assert dict(tally.counts[FIRST].left) == {"not covered any more": 1}


def test_the_longest_stay_is_that_of_one_visit_in_moves_begun() -> None:
    tally = Tally()
    for position, plies in ((FIRST, 5), (SECOND, 2), (FIRST, 4)):
        for _ in range(plies):
            tally.kept(position, by_attacker=True, counted=position is FIRST)
    assert (tally.counts[FIRST].longest, tally.counts[SECOND].longest) == (3, 1)
    assert (tally.counts[FIRST].moves[True], tally.counts[SECOND].moves[True]) == (9, 0)


def test_the_hardest_stage_is_where_most_was_given_away_and_then_where_most_was_lost() -> None:
    tally = Tally()
    assert tally.hardest() is None
    for position in (FIRST, SECOND):
        tally.stand(position)
    assert tally.hardest() is None
    tally.counts[FIRST].lost[True] = 9
    assert tally.hardest() == (FIRST, True)
    tally.counts[SECOND].given[False] = 1
    assert tally.hardest() == (SECOND, False)


def test_rows_stand_in_the_order_of_the_endings_and_their_stages() -> None:
    tally = Tally()
    for position in (DRAWN, SECOND, OTHER, FIRST):
        tally.stand(position)
    shown = [(row[0], row[1].split()[0]) for row in tally.rows()]
    assert [place for place in shown if place[0] == "KRK"] == [("KRK", "1"), ("KRK", "2"), ("KRK", "drawn")]


@pytest.mark.parametrize(("by_attacker", "side"), [(True, ATTACK), (False, DEFENCE)])
@pytest.mark.parametrize(("lost", "mistake"), [(2, Mistake.MOVES), (None, Mistake.OUTCOME)])
def test_a_slip_is_counted_by_its_side_and_kind_with_what_it_lost(
    monkeypatch: pytest.MonkeyPatch, by_attacker: bool, side: str, lost: int | None, mistake: Mistake
) -> None:
    kind = next(iter(SlipKind))
    monkeypatch.setattr(tallying, "kind_of", lambda facts: kind if facts.cost.mistake is not Mistake.NONE else None)
    tally = Tally()
    for moves_lost, what in ((lost, mistake), (lost, mistake), (0, Mistake.NONE)):
        cost = SimpleNamespace(moves_lost=moves_lost, mistake=what)
        tally.move(FIRST, cast("MoveFacts", SimpleNamespace(by_attacker=by_attacker, cost=cost)))
    count = tally.counts[FIRST]
    assert dict(tally.slips) == {(side, kind): 2}
    assert dict(count.slips) == {kind: 2}
    assert (count.lost[by_attacker], count.unsure[by_attacker]) == ((4, 0) if lost else (0, 2))
    assert count.given[by_attacker] == 2 * (mistake is Mistake.OUTCOME)
    assert count.moves[by_attacker] == 3
    assert (count.lost[not by_attacker], count.given[not by_attacker]) == (0, 0)
