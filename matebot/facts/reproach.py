"""What a slip is held against: the moves that are clearly better, and the replies that none of them allows as well.

A fault is the reason for a slip only where no clearly better move shows it too.
"""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Reproach:
    """What may be held against a move that loses something; all empty for another.

    Attributes
    ----------
    clearly_better : the move recommended first, then all others that keep an outcome this one loses, or else lose less
        than half as many moves; in long algebraic form
    as_good_as_best : those of them that are as good as the best move, and the one recommended
    new_replies : the best replies to this move that are best replies after none of these; all of them, where an outcome
        was lost; in long algebraic form
    """

    clearly_better: tuple[str, ...]
    as_good_as_best: tuple[str, ...]
    new_replies: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> Reproach:
        """Return what a move is held against."""
        better = played.clearly_better
        if not better:
            return cls((), (), ())
        replies = set(played.judged.after(played.move).best)
        best = [move for move in played.best_moves if move in better]
        if played.ranked.outcome == played.standard.ranking[0].outcome:
            for move in best:
                replies.difference_update(played.judged.after(move).best)
        return cls(*(tuple(move.uci() for move in moves) for moves in (better, best, sorted(replies, key=str))))
