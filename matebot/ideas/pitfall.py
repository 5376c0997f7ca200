"""A pitfall beside a move that draws.

Definition. A move of the defender that keeps a draw, while others lose. Of the losing moves those six by which mate
comes latest (of equal ones the first by their names in long algebraic form), and the move that is taught against each;
what that does is told as in `refutation`, but a fork or a skewer only where whatever is replied the move that is
taught takes a man, or mate comes with two moves at most; where that is nothing with a name a pin, as in `meets`. Told
is the first of them by which a fork, a skewer, a pin or mate is let in, in this order; else the first of them that
leaves no man to be captured at once; else the first.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.meets import pinned
from matebot.ideas.prepares import falls
from matebot.ideas.refutation import Means, means_of
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_ASKED = 6
_ORDER = (Means.FORK, Means.SKEWER, None, Means.MATE)


@dataclass(frozen=True)
class Pitfall(Idea):
    """A move that would lose the draw.

    Attributes
    ----------
    other, reply : the move, and what wins against it
    means : how it wins, None by a pin
    men : kinds of the men forked, skewered, pinned or captured
    """

    kind: ClassVar[str] = "pitfall"
    other: chess.Move
    reply: chess.Move
    means: Means | None
    men: tuple[chess.PieceType, ...]


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Pitfall | None:
    """Return the losing move to be warned of beside one that draws, None without one."""
    if before.turn == attacker or truth.outcome(after) or truth.outcome(before):
        return None
    losing = sorted((-(plies or 0), m.uci(), m) for m, (outcome, plies) in truth.after(before).items() if outcome > 0)
    found: list[tuple[int, int, Pitfall]] = []
    for place, (_, _, other) in enumerate(losing[:_ASKED]):
        there = after_move(before, other)
        reply = truth.answer(there)
        if reply is None:
            continue
        means, men = _how(there, reply, attacker, truth)
        rank = _ORDER.index(means) if means in _ORDER else len(_ORDER) + (means is Means.CAPTURE)
        found.append((rank, place, Pitfall(other, reply, means, men)))
    return min(found, key=lambda item: item[:2])[2] if found else None


def _how(
    there: chess.Board, reply: chess.Move, attacker: chess.Color, truth: Truth
) -> tuple[Means | None, tuple[chess.PieceType, ...]]:
    means, men, _ = means_of(there, there, reply, attacker)
    if means in (Means.FORK, Means.SKEWER) and not _wins_a_man(after_move(there, reply), truth):
        return Means.NONE, ()
    held = pinned(there, reply) if means in (Means.NONE, Means.PIN) else None
    return (means, men) if held is None else (None, (held,))


def _wins_a_man(board: chess.Board, truth: Truth) -> bool:
    """Whether after every reply the move taught takes a man, or mate is near."""
    return all(falls(board, reply, truth) for reply in board.generate_legal_moves())
