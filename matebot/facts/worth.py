"""What the positions before and after a move are worth to the side that moves, under the laws."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass
from matebot.terms import Cause, Outcome, attacker_moves


@dataclass(frozen=True, slots=True)
class MoveWorth:
    """What a move keeps, and in how many moves.

    Attributes
    ----------
    outcome_before, outcome_after : for the side that moved
    cause_before, cause_after : why, of either position
    mate_plies_before, mate_plies_after : plies to mate, each from its own position; None when drawn
    exact_before, exact_after : whether they are exact; otherwise mate comes no later than that
    ranked_exactly : whether the numbers of all moves that keep the best outcome are exact; otherwise no two of them
        may be compared, and `Alternatives.equals`, `others_as_good` and `spare_moves` say nothing
    """

    outcome_before: Outcome
    outcome_after: Outcome
    cause_before: Cause
    cause_after: Cause
    mate_plies_before: int | None
    mate_plies_after: int | None
    exact_before: bool
    exact_after: bool
    ranked_exactly: bool

    @classmethod
    def of(cls, played: Played) -> MoveWorth:
        """Return what a move is worth."""
        standard, ranked = played.standard, played.ranked
        best = standard.ranking[0]
        return cls(
            Outcome(best.outcome),
            Outcome(ranked.outcome),
            Cause(standard.verdict.cause),
            Cause(ranked.cause),
            best.mate_plies,
            ranked.verdict.mate_plies,
            standard.best_known,
            ranked.exact,
            standard.ranked_exactly,
        )

    @property
    def exact(self) -> bool:
        """Whether both distances are exact, so that their difference may be told."""
        return self.exact_before and self.exact_after

    @property
    def mate_moves(self) -> int | None:
        """Moves to mate that the move promises, counted from before it; at most so many unless `exact_after`."""
        plies = self.mate_plies_after
        return None if plies is None else attacker_moves(plies + 1, self.outcome_after > 0)

    @property
    def best_moves(self) -> int | None:
        """Moves to mate that the best move promises; at most so many unless `exact_before`."""
        plies = self.mate_plies_before
        return None if plies is None else attacker_moves(plies, self.outcome_before > 0)
