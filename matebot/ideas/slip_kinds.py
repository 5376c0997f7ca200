"""The closed list of kinds of slips, for records and tables; the kinds are told apart in `matebot.facts.slip_kind`."""

from __future__ import annotations

from enum import StrEnum


class SlipKind(StrEnum):
    """Kinds of slips, the hardest first."""

    #: A win or a draw of the stronger side turned into a loss; the weaker side gives the draw away.
    LOST = "lost"
    DRAW_MISSED = "draw missed"
    #: A win that is a draw now: with a man, by stalemate, otherwise, by the fifty-move rule, by repetition.
    GIVEN = "man and outcome lost"
    STALEMATE = "stalemate"
    OUTCOME = "outcome lost"
    CLOCK = "too slow for fifty moves"
    REPETITION = "repetition"
    #: Still won, but something that had been reached is gone.
    MAN = "man lost"
    W_LEFT = "W left"
    OUT_OF_CORNER = "driven out of the corner"
    CHASED_OUT = "chased out by a check"
    CAGE = "cage opened"
    CORNER_LEFT = "king left the corner"
    STAGE = "stage lost"
    #: Two moves or more lost: by leaving a way out, otherwise; by the weaker side.
    WAY = "way out left"
    SLOW = "slow"
    SOONER = "mated sooner"


#: After these a win is a draw or a loss, or a draw a loss.
OUTCOME_LOST = frozenset(list(SlipKind)[: list(SlipKind).index(SlipKind.MAN)])
#: After these a move is not simply slow: something that had been reached is gone.
SOMETHING_LOST = frozenset(SlipKind) - {SlipKind.WAY, SlipKind.SLOW, SlipKind.SOONER}
_PLACES = {kind.value: number for number, kind in enumerate(SlipKind)}


def hardness(kind: str) -> int:
    """Return the place of a kind of slip among all, 0 the hardest; behind all of them for a name that is none."""
    return _PLACES.get(kind, len(_PLACES))
