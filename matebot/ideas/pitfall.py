"""A pitfall beside a move that draws.

Definition. A move of the defender that keeps a draw, while others lose. Of the losing moves those six by which mate
comes latest (of equal ones the first by their names in long algebraic form), and the move that is taught against each;
what that does is told as in `refutation`, but a fork or a skewer only where whatever is replied the move that is
taught takes a man, or mate comes with two moves at most; where that is nothing with a name a pin, as in `meets`, or the
loss of the one piece where it may be taken for nothing whatever is replied. Where that is not so, it is *shut in* when
its king is not in check, it has moves and wherever it goes it may be taken for nothing. Neither is told where a man may
be taken for nothing without that move. Told is the first of the six by which a fork, a skewer, a pin or mate is let in,
in this order; else the first by which the piece is lost or shut in; else the first that leaves no man to be captured at
once; else the first.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.falling import is_lost, is_taken, whatever
from matebot.ideas.hanging import hanging
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
    men : kinds of the men forked, skewered, pinned, captured, lost or shut in
    shut : whether that man is shut in
    """

    kind: ClassVar[str] = "pitfall"
    other: chess.Move
    reply: chess.Move
    means: Means | None
    men: tuple[chess.PieceType, ...]
    shut: bool = False


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
        means, men, shut = _how(there, reply, attacker, truth)
        named = means is Means.NONE and bool(men)
        rank = _ORDER.index(means) if means in _ORDER else len(_ORDER) + (not named) + (means is Means.CAPTURE)
        found.append((rank, place, Pitfall(other, reply, means, men, shut)))
    return min(found, key=lambda item: item[:2])[2] if found else None


def _how(
    there: chess.Board, reply: chess.Move, attacker: chess.Color, truth: Truth
) -> tuple[Means | None, tuple[chess.PieceType, ...], bool]:
    means, men, _ = means_of(there, there, reply, attacker)
    board = after_move(there, reply)
    if means in (Means.FORK, Means.SKEWER) and not _wins_a_man(board, truth):
        return Means.NONE, *_lost(there, board)
    held = pinned(there, reply) if means in (Means.NONE, Means.PIN) else None
    if held is not None:
        return None, (held,), False
    return (means, *_lost(there, board)) if means is Means.NONE else (means, men, False)


def _lost(there: chess.Board, board: chess.Board) -> tuple[tuple[chess.PieceType, ...], bool]:
    """Return the kind of the one piece where it is lost or shut in by the reply, and whether it is shut in."""
    if hanging(there):
        return (), False
    own = board.occupied_co[board.turn] & ~board.kings
    square = own.bit_length() - 1
    if own.bit_count() != 1 or own & board.pawns:
        return (), False
    men = (board.piece_type_at(square) or chess.PAWN,)
    if whatever(board, is_lost, square):
        return men, False
    away = list(board.generate_legal_moves(own))
    free = bool(away) and not board.is_check()
    shut = free and all(is_taken(after_move(board, move), move.to_square) for move in away)
    return (men, True) if shut else ((), False)


def _wins_a_man(board: chess.Board, truth: Truth) -> bool:
    """Whether after every reply the move taught takes a man, or mate is near."""
    return all(falls(board, reply, truth) for reply in board.generate_legal_moves())
