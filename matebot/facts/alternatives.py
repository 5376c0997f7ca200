"""How a move compares with the other legal moves."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.facts.standard import Standard
from matebot.play.ranking import as_good
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Alternatives:
    """The legal moves there were.

    Attributes
    ----------
    choices : how many
    keeping : how many of them keep the best outcome
    equals : how many of them are as good as the best in every way, this one counted where it is
    others : the outcomes of the moves that do not keep the best one
    spare_moves : by how many moves the best move that is worse, but keeps the outcome, falls short; None without one
    """

    choices: int
    keeping: int
    equals: int
    others: tuple[int, ...]
    spare_moves: int | None

    @classmethod
    def of(cls, played: Played) -> Alternatives:
        """Return the moves there were beside one."""
        standard = played.standard
        top = standard.ranking[0].outcome
        return cls(
            len(standard.ranking),
            sum(item.outcome == top for item in standard.ranking),
            sum(as_good(item, standard.ranking[0]) for item in standard.ranking),
            tuple(sorted({item.outcome for item in standard.ranking} - {top})),
            _spare_moves(standard),
        )


def _spare_moves(standard: Standard) -> int | None:
    if not standard.ranked_exactly:
        return None
    top = standard.ranking[0].outcome
    lost = [standard.lost(item) for item in standard.ranking if item.outcome == top]
    return min((moves for moves in lost if moves), default=None)
