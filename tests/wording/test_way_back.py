"""How a slip may be mended, and what a defence gives up, asked of the facts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.hanging import Hanging
from matebot.ideas.prepares import Next
from matebot.wording import lasting
from matebot.wording.aftermath import way_back

_TOLD = ("Rd3 loses time", "3 moves lost")
_AHEAD = ("Ke5", "Rd1")


def slip(
    outcome: int = 1,
    ahead: tuple[str, ...] = _AHEAD,
    best: str | None = "Rd2",
    back: Next | None = Next.MATE,
    blamed: str = "",
) -> MoveFacts:
    """Return facts of a slip: what it is worth, what comes then, the best move, what the move back does, the blame."""
    facts = SimpleNamespace(
        worth=SimpleNamespace(outcome_after=outcome),
        then=SimpleNamespace(ahead=ahead),
        instead=SimpleNamespace(best_san=best),
        seen=SimpleNamespace(back=back, blame=SimpleNamespace(reply=blamed) if blamed else None),
    )
    return cast("MoveFacts", facts)


@pytest.mark.parametrize(
    ("facts", "told", "whole", "text"),
    [
        (slip(), _TOLD, True, "mates"),
        (slip(), _TOLD, False, "mates"),
        (slip(back=Next.CUTS_OFF), _TOLD, True, "cuts the king off"),
        (slip(back=Next.CUTS_OFF), _TOLD, False, None),  # that is not worth it where more has been told
        (slip(back=None), _TOLD, True, ""),
        (slip(back=None), _TOLD, False, None),
        (slip(back=Next.KING_UP), _TOLD, True, ""),
        (slip(outcome=0), _TOLD, True, None),
        (slip(outcome=-1), _TOLD, True, None),
        (slip(ahead=("Ke5",)), _TOLD, True, None),
        (slip(ahead=()), _TOLD, True, None),
        (slip(best="d8=Q"), _TOLD, True, None),
        (slip(best=None), _TOLD, True, "mates"),
        (slip(), ("Rd3 misses Rd2", "3 moves lost"), False, None),
        (slip(), ("Rd3 misses Rd2", "3 moves lost"), True, "mates"),
        (slip(), ("Rd3 loses time", "better: Rd2"), False, None),
        (slip(), ("Rd3 loses time: if Ke5, Rd1", "3 moves lost"), True, None),
        (slip(), ("Rd3 loses time: if Ke5, Rd4", "3 moves lost"), True, "mates"),
        (slip(blamed="Kf5"), ("Rd3 allows Kf5", "3 moves lost"), True, None),
        (slip(blamed="Kf5"), ("Rd3 loses time", "now Kf5 gets out"), True, None),
        (slip(blamed="Kf5"), _TOLD, True, "mates"),
        (slip(blamed="Ke5"), ("Rd3 allows Ke5", "3 moves lost"), True, "mates"),
    ],
)
def test_the_way_back_is_told_where_the_win_is_left_and_no_other_reply_has_been_told_of(
    facts: MoveFacts, told: tuple[str, ...], whole: bool, text: str | None
) -> None:
    back = way_back(facts, list(told), whole)
    assert back == ([] if text is None else [f"The way back: after Ke5, Rd1 {text}".rstrip() + "."])


@pytest.mark.parametrize(
    ("moved", "captured", "promoted", "text"),
    [
        (True, None, None, "gives up the pawn, but "),
        (True, None, "queen", "gives up the queen, but "),
        (True, "rook", None, ""),  # it has something for it
        (False, None, None, ""),
        (None, None, None, ""),
    ],
)
def test_a_man_is_given_up_where_it_moved_and_may_be_taken_for_nothing(
    moved: bool | None, captured: str | None, promoted: str | None, text: str
) -> None:
    hangs = None if moved is None else Hanging(squares=(chess.E4,), men=(chess.PAWN,), moved=moved)
    man = SimpleNamespace(piece="pawn", captured=captured, promoted=promoted)
    facts = SimpleNamespace(man=man, seen=SimpleNamespace(idea={Hanging: hangs}.get))
    assert lasting._gives(cast("MoveFacts", facts)) == text


def test_a_reason_with_a_colon_is_joined_without_another() -> None:
    assert lasting._joined("lasts longest", "keeps out") == "lasts longest: it keeps out"
    assert lasting._joined("lasts longest", "threatens: Ra1") == "lasts longest and threatens: Ra1"
