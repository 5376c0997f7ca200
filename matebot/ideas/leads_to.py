"""What a move leads to.

Definition. A winning move of the attacker, and the play after it as far as four moves of each side, three for a mate or
a promotion: of the defender's replies the one that lasts longest (of several the first by `longest`), then the move
that is taught, and so on. It *leads to* the first of these moves of the attacker that mates, promotes or takes a man,
and that nobody takes back. None in time: nothing is seen; nor a capture that comes later than at once, unless after
each of the replies that last as long a man of the kind is taken in time.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.longest import all_longest, longest
from matebot.ideas.prepares import Next
from matebot.ideas.squares import kind_of
from matebot.ideas.truth import Truth, only_mate_is_far
from matebot.records import dataclass

_PAIR, _PAIRS, _SHORT = 2, 4, 3


@dataclass(frozen=True)
class LeadsTo(Idea):
    """A line to a goal.

    Attributes
    ----------
    line : replies and answers in turn, the last of which reaches the goal
    does : what that one does: mate, promotion or capture
    man : kind of the man it takes or makes, None for a mate
    """

    kind: ClassVar[str] = "leads_to"
    line: tuple[chess.Move, ...]
    does: Next
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> LeadsTo | None:
    """Return the line to which a winning move of the attacker leads, None where no goal is near."""
    if before.turn != attacker or truth.outcome(after) >= 0:
        return None
    if only_mate_is_far(after, attacker, truth, 2 * _SHORT):
        return None
    if not after.pawns & after.occupied_co[attacker] and after.occupied_co[not attacker].bit_count() == 1:
        plies = truth.mate_plies(after)  # Nothing but mate can come.
        if plies is None or plies > 2 * _SHORT:
            return None
    found = _goal(after, None, attacker, truth)
    if found is None or found.does is not Next.CAPTURE or len(found.line) == _PAIR:
        return found
    others = [_goal(after, other, attacker, truth) for other in all_longest(after, truth)[1:]]
    same = all(other is not None and (other.does, other.man) == (found.does, found.man) for other in others)
    return found if same else None


def _goal(after: chess.Board, reply: chess.Move | None, attacker: chess.Color, truth: Truth) -> LeadsTo | None:
    """Return the line to the first goal after a move, beginning with a reply where one is given."""
    board, line = after.copy(stack=False), list[chess.Move]()
    for _ in range(_PAIRS):
        reply = longest(board, truth) if line or reply is None else reply
        if reply is None:
            return None
        board.push(reply)
        answer = truth.answer(board)
        if answer is None:
            return None
        victim = kind_of(board, answer.to_square) if board.is_capture(answer) else None
        board.push(answer)
        line += [reply, answer]
        if board.is_checkmate():
            return LeadsTo(tuple(line), Next.MATE, None) if len(line) <= 2 * _SHORT else None
        if any(back.to_square == answer.to_square for back in board.generate_legal_captures()):
            continue
        if answer.promotion:
            return LeadsTo(tuple(line), Next.PROMOTION, answer.promotion) if len(line) <= 2 * _SHORT else None
        if victim is not None:
            return LeadsTo(tuple(line), Next.CAPTURE, victim)
    return None
