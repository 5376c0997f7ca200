"""What a move leads to.

Definition. A winning move of the attacker, and the play after it as far as four moves of each side, three for a mate or
a promotion: of the defender's replies the one that lasts longest (of several the first by `longest`), then the move
that is taught, and so on. It *leads to* the first of these moves of the attacker that mates, promotes or takes a man,
and that nobody takes back. None in time: nothing is seen; nor a capture with a later move than the next, unless a man
falls with the next move or the next but one, or mate comes as soon, against every reply that lasts at most a move less
than the longest; nor a capture, or the promotion of a pawn whose step comes next, where that capture or step at
once wins as soon.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.longest import longest
from matebot.ideas.prepares import Next
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import after_move, kind_of
from matebot.ideas.truth import Truth, only_mate_is_far
from matebot.records import dataclass

_PAIR, _PAIRS, _SHORT = 2, 4, 3
#: A reply that lasts so many plies less is hardly worse; mate in two at most is near.
_NEARLY, _NEAR_MATE = 2, 3


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
    found = _goal(after, truth)
    if found is not None and _at_once(before, move, found, truth):
        return None
    if found is None or found.does is not Next.CAPTURE or len(found.line) == _PAIR:
        return found
    return found if _falls(after, truth, _PAIR) else None


def _at_once(before: chess.Board, move: chess.Move, found: LeadsTo, truth: Truth) -> bool:
    """Whether the capture that a line leads to, or the step of the pawn it helps, wins as soon at once."""
    first = found.line[-1] if found.does is Next.CAPTURE else found.line[1]
    if found.does is Next.MATE or not before.is_legal(first):
        return False
    if before.is_capture(first) != (found.does is Next.CAPTURE):
        return False
    if found.does is Next.PROMOTION and not before.pawns >> first.from_square & 1:
        return False
    worth = truth.after(before)
    return worth[first] <= worth[move] if worth[first].outcome < 0 else False


def _falls(board: chess.Board, truth: Truth, deep: int) -> bool:
    """Whether with so many moves a man falls, or mate is near, against every reply that lasts nearly longest."""
    worth = {reply: plies or 0 for reply, (_, plies) in truth.after(board).items()}
    for reply, plies in worth.items():
        if plies < max(worth.values()) - _NEARLY or plies <= _NEAR_MATE:
            continue
        there = after_move(board, reply)
        answer = truth.answer(there)
        if answer is None:
            return False
        if there.is_capture(answer):
            continue
        if deep <= 1 or not _falls(after_move(there, answer), truth, deep - 1):
            return False
    return True


def _goal(after: chess.Board, truth: Truth) -> LeadsTo | None:
    """Return the line to the first goal after a move."""
    board, line = quick(after), list[chess.Move]()
    for _ in range(_PAIRS):
        reply = longest(board, truth)
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
