"""What the best reply to a defence does to a king or a man.

Definition. A move of the defender, lost: of the replies that mate soonest the one that is taught, then the others by
their names in long algebraic form; the first that does one of these things, and the first thing that it does.

- *Drives*: a check to a king off the edge of the board, answered by steps of the king to the edge only.
- *Parts*: a check to a king next to its only man beside, answered by steps of the king away from it only.
- *Hits*: the man that replies attacks the defender's only man, no pawn, which nobody guards and none attacked before.
- *Saves*: a man of the attacker that could be taken for nothing no longer can.
- *Takes*: without a check, one to three empty squares to which a bare king could step and can no longer.
- *Nears*: a step of the attacking king that brings the kings nearer, and no farther apart by files or by ranks.

It tells a defence that loses sooner than another (see `sooner`) *apart* where all replies that mate as soon do a thing
of the same kind, and after none of the moves that last longest does a reply that mates soonest do one of that kind, nor
does the same reply mate soonest.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar, NamedTuple

import chess

from matebot.ideas import sooner
from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.quick_board import to_move
from matebot.ideas.shorter import as_long, soonest
from matebot.ideas.squares import (
    after_move,
    closes_in,
    from_edge,
    in_order,
    is_king_step,
    king_goals,
    king_steps,
    men_of,
)
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_MOST = 3


class Does(Enum):
    """What a reply does."""

    DRIVES = "drives"
    PARTS = "parts"
    HITS = "hits"
    SAVES = "saves"
    TAKES = "takes"
    NEARS = "nears"


class Deed(NamedTuple):
    """What a reply does: about what squares, and to a man of what kind, None without."""

    does: Does
    squares: Squares = ()
    man: chess.PieceType | None = None


@dataclass(frozen=True)
class Counters(Idea):
    """What a reply does.

    Attributes
    ----------
    reply, does, squares, man : the reply, what it does, about what squares, and to a man of what kind
    apart : whether that tells the move from the better ones
    """

    kind: ClassVar[str] = "counters"
    reply: chess.Move
    does: Does
    squares: Squares
    man: chess.PieceType | None
    apart: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Counters | None:
    """Return what the best reply to a lost defence does, None where that has no name."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    found = told(after, attacker, truth)
    if found is None:
        return None
    better = sooner.seen(before, move, after, attacker, truth)
    apart = better is not None and tells(after, found, _longest(before, better.better, truth), attacker, truth)
    return Counters(found[0], *found[1], apart)


def told(board: chess.Board, attacker: chess.Color, truth: Truth) -> tuple[chess.Move, Deed] | None:
    """Return the reply that is told and what it does; None where none that mates soonest does what has a name."""
    answer = truth.answer(board)
    for reply in sorted(soonest(board, truth), key=lambda move: (move != answer, move.uci())):
        if (does := deed(board, reply, attacker)) is not None:
            return reply, does
    return None


def tells(
    there: chess.Board,
    told: tuple[chess.Move, Deed],
    longest: list[chess.Board],
    attacker: chess.Color,
    truth: Truth,
) -> bool:
    """Whether a reply and what it does after a shorter defence tell it from the longest ones."""
    answer, (does, _, _) = told
    quick = (deed(there, reply, attacker) for reply in soonest(there, truth))
    if any(one is None or one.does is not does for one in quick):
        return False
    return not any(
        reply == answer or ((one := deed(board, reply, attacker)) is not None and one.does is does)
        for board in longest
        for reply in soonest(board, truth)
    )


def _longest(before: chess.Board, better: chess.Move, truth: Truth) -> list[chess.Board]:
    return [after_move(before, better), *(board for _, board in as_long(before, better, truth))]


def deed(board: chess.Board, reply: chess.Move, attacker: chess.Color) -> Deed | None:
    """Return what a move of the attacker does, None where that has no name."""
    then = after_move(board, reply)
    king, own = men_of(board).king(not attacker), board.occupied_co[not attacker] & ~board.kings
    if then.is_check():
        return _by_check(board, then, king, own)
    if board.is_capture(reply) or reply.promotion:
        return None
    if _hits(board, then, reply, own):
        return Deed(Does.HITS, (), board.piece_type_at(own.bit_length() - 1))
    if board.is_check():
        return None
    passed = to_move(board, not attacker)
    hung = [reply.to_square if square == reply.from_square else square for square in hanging(passed)]
    if len(hung) == 1 and not hanging(then):
        return Deed(Does.SAVES, (), then.piece_type_at(hung[0]))
    taken = 0 if own else king_goals(passed) & ~king_goals(then) & ~board.occupied
    if 0 < taken.bit_count() <= _MOST:
        return Deed(Does.TAKES, in_order(taken))
    nears = is_king_step(board, reply) and closes_in(reply.from_square, reply.to_square, king)
    return Deed(Does.NEARS) if nears else None


def _hits(board: chess.Board, then: chess.Board, reply: chess.Move, own: int) -> bool:
    """Whether a man comes to attack the only man of the other side, a piece, which is neither guarded nor attacked."""
    man = own.bit_length() - 1
    if own.bit_count() != 1 or own & board.pawns or not then.attacks_mask(reply.to_square) & own:
        return False
    return not board.is_attacked_by(board.turn, man) and not then.is_attacked_by(then.turn, man)


def _by_check(board: chess.Board, then: chess.Board, king: chess.Square, own: int) -> Deed | None:
    answers = list(then.generate_legal_moves())
    if not answers or any(answer.from_square != king for answer in answers):
        return None
    if from_edge(king) and not any(from_edge(answer.to_square) for answer in answers):
        return Deed(Does.DRIVES)
    man = own.bit_length() - 1
    together = own.bit_count() == 1 and not own & then.pawns and king_steps(king, man) == 1
    if together and all(king_steps(answer.to_square, man) > 1 for answer in answers):
        return Deed(Does.PARTS, (), board.piece_type_at(man))
    return None
