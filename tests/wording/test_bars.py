"""How many moves are explained by a reason rather than by squares or by how long they last: counted, never read."""

from __future__ import annotations

from itertools import islice

import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.denies import Denies
from matebot.ideas.expects import Expects
from matebot.method.library import Library
from matebot.wording.attack import REASONS
from matebot.wording.defence import purposes
from tests.wording.sampling import sample

#: Of so many at most one may be without a reason.
_ONE_IN = 10


def attack_has_reason(facts: MoveFacts) -> bool:
    """Whether a good move of the attacker is explained by more than squares."""
    return facts.gives.mate or any(reason.rule(facts) for reason in REASONS)


def defence_has_reason(facts: MoveFacts) -> bool:
    """Whether a free defence is explained by more than how long it lasts."""
    return any(purposes(facts)) or any(facts.seen.idea(kind) is not None for kind in (Denies, Expects))


def without_reason(library: Library, side: str, count: int, seed: int) -> list[str]:
    """Return the lines of moves in king, bishop and knight that are explained by squares or by their length alone."""
    has_reason = attack_has_reason if side == "attack" else defence_has_reason
    return [
        f"{said.facts.fen}: {said.text}"
        for said in islice(sample(library, "KBNK", side, seed), count)
        if not has_reason(said.facts)
    ]


def hold(library: Library, side: str, count: int, seed: int) -> None:
    bare = without_reason(library, side, count, seed)
    print(f"{side}: {len(bare)} of {count} without a reason")
    assert _ONE_IN * len(bare) <= count, bare[:10]


@pytest.mark.parametrize("side", ["attack", "defence"])
def test_at_most_one_move_in_ten_has_no_reason(library: Library, side: str) -> None:
    hold(library, side, 60, seed=31)


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize(("side", "count"), [("attack", 2000), ("defence", 1000)])
def test_at_most_one_move_in_ten_has_no_reason_in_thousands(library: Library, side: str, count: int) -> None:
    hold(library, side, count, seed=32)
