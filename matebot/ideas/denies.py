"""What a longer defence denies the attacker.

Definition. A move of the defender, lost, that lasts longest while others last less long (see `critical`). The others
are asked in turn, those that last longest first, then by their names in long algebraic form, at most three: its answer,
of the moves that mate soonest against it the one that is taught, or else the first by its name, does the first of these
things, and no legal move of the attacker after the defence does it as well.

- *Capture*, *fork*, *skewer*: as in `refutation`, and after a fork or skewer each reply lets a man that was hit be
  taken by one that is not taken in its turn; after the defence none of the three by a man that cannot be taken, nor
  does one of them win a man after another that lasts as long.
- *Promotion*: a pawn promotes with check; after the defence, and others that last as long, none does.
- *King*: it is a step of the attacking king that is not legal after the defence, nor after another that lasts as long,
  and brings the kings nearer (king's steps) than any legal step of it after the defence would; they are at most three
  steps apart then.
- *Edge*: there are replies, all are steps of the king, and all lead to or along the edge of the board; had the
  defender been on move before it, not all would. After the defence, and others that last as long, the king is off it,
  and no move does the same.
- *Box*: it leaves the defending king in a box (see `box`) of a lone rook, at least a quarter smaller than before it,
  and than after the defence any safe legal move of the attacker would, one by which no man of his can be taken at once
  (64 without a box).
- *Room*: it leaves the defending king a range (see `king_range`; the square on which it is checked left out) of at
  most sixteen squares, and at least a quarter smaller in the same way.

An edge, a box or room is denied by no defence after which, or after another that lasts as long, the same move mates
soonest too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from functools import cached_property
from typing import ClassVar

import chess

from matebot.ideas import refutation
from matebot.ideas.box import box as box_of
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.quick_board import to_move
from matebot.ideas.shorter import as_long, best_reply, soonest
from matebot.ideas.squares import (
    after_move,
    from_edge,
    in_order,
    is_king_step,
    kings_apart,
    men_of,
    range_mask,
    takeable,
)
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_ASKED = 3
_NEAR = 3
_MOST = 16
_NO_BOX = 64


class Denied(Enum):
    """What the answer to another move would do."""

    CAPTURE = "capture"
    FORK = "fork"
    SKEWER = "skewer"
    PROMOTION = "promotion"
    KING = "king"
    EDGE = "edge"
    BOX = "box"
    ROOM = "room"


_SPACE = (Denied.EDGE, Denied.BOX, Denied.ROOM)
_BLOWS = {
    refutation.Means.CAPTURE: Denied.CAPTURE,
    refutation.Means.FORK: Denied.FORK,
    refutation.Means.SKEWER: Denied.SKEWER,
}


@dataclass(frozen=True)
class Denies(Idea):
    """Another move would let something in.

    Attributes
    ----------
    what : what the answer to it does
    other, answer : the other move, and what is played against it
    man : kind of the man captured, forked or skewered beside the king, None otherwise
    number : steps between the kings after the answer, or squares of the box or left to the king; 0 otherwise
    at_least : the same number at its smallest after the defence; 0 otherwise
    left : the squares left to the king, where room is denied
    """

    kind: ClassVar[str] = "denies"
    what: Denied
    other: chess.Move
    answer: chess.Move
    man: chess.PieceType | None
    number: int
    at_least: int
    left: Squares = ()


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Denies | None:
    """Return what a defence that lasts longest denies the attacker, None where nothing is seen."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    worth = truth.after(before)
    mine = worth[move].mate_plies or 0
    if any(plies is None or outcome <= 0 or plies > mine for outcome, plies in worth.values()):
        return None
    others = sorted((-(plies or 0), other.uci(), other) for other, (_, plies) in worth.items() if (plies or 0) < mine)
    longest = [after, *(there for _, there in as_long(before, move, truth))]
    best = Chances(longest, attacker)
    for _, _, other in others[:_ASKED]:
        there = after_move(before, other)
        answer = best_reply(there, truth)
        found = None if answer is None else let_in(other, there, answer, best)
        if found is not None and not is_as_quick(found, longest, truth):
            return found
    return None


def is_as_quick(found: Denies, longest: Sequence[chess.Board], truth: Truth) -> bool:
    """Whether what cuts the king down after another move mates soonest after one of the longest defences too."""
    return found.what in _SPACE and any(found.answer in soonest(best, truth) for best in longest)


def let_in(other: chess.Move, there: chess.Board, answer: chess.Move, best: Chances) -> Denies | None:
    """Return what an answer does that the attacker could not do as well after the defence."""
    board = after_move(there, answer)
    if board.is_check() and not any(board.generate_legal_moves()):
        return None
    means, men, hit = refutation.means_of(there, there, answer, best.attacker)
    if means is refutation.Means.CAPTURE or (means in _BLOWS and _wins_man(board, hit)):
        beside = [man for man in men if man != chess.KING]
        return None if best.strikes else Denies(_BLOWS[means], other, answer, beside[0] if beside else None, 0, 0)
    if answer.promotion and board.is_check():
        return None if best.promotes else Denies(Denied.PROMOTION, other, answer, None, 0, 0)
    if is_king_step(there, answer):
        apart = _apart(board)
        if apart <= _NEAR and apart < best.apart and not best.legal(answer):
            return Denies(Denied.KING, other, answer, None, apart, best.apart)
    if (
        _on_edge(board, best.attacker)
        and best.off_edge
        and not _on_edge(to_move(there, not best.attacker), best.attacker)
        and not best.edge
    ):
        return Denies(Denied.EDGE, other, answer, None, 0, 0)
    box = _box(board, best.attacker)
    if box < _NO_BOX and 4 * box <= 3 * best.box and 4 * box <= 3 * _box(there, best.attacker):
        return Denies(Denied.BOX, other, answer, None, box, best.box)
    room = _room(board, best.attacker)
    was = _room(there, best.attacker) if room <= _MOST else 0
    if 4 * room <= 3 * was and 4 * room <= 3 * best.room:
        return Denies(Denied.ROOM, other, answer, None, room, best.room, squares_left(board, best.attacker))
    return None


def _wins_man(board: chess.Board, hit: Squares) -> bool:
    """Whether each reply lets a man on one of some squares be taken for nothing, wherever it goes."""
    for reply in board.generate_legal_moves():
        then = after_move(board, reply)
        men = {reply.to_square if square == reply.from_square else square for square in hit}
        goals = sum(chess.BB_SQUARES[square] for square in men) & ~then.kings
        if not any(not _is_retaken(then, take) for take in then.generate_legal_captures(chess.BB_ALL, goals)):
            return False
    return True


def _is_retaken(board: chess.Board, take: chess.Move) -> bool:
    then = after_move(board, take)
    return any(then.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[take.to_square]))


class Chances:
    """What the attacker, to move, can do at best by any legal move after a defence, the first, or others as good."""

    def __init__(self, longest: Sequence[chess.Board], attacker: chess.Color) -> None:
        self.board, self.attacker, self._all = longest[0], attacker, longest

    def legal(self, move: chess.Move) -> bool:
        """Whether a move is legal after the defence, or after one that is as good."""
        return any(board.is_legal(move) for board in self._all)

    @cached_property
    def off_edge(self) -> bool:
        """Whether the defending king is off the edge after the defence, and after each that is as good."""
        return all(from_edge(men_of(board).king(not self.attacker)) for board in self._all)

    @cached_property
    def _moves(self) -> list[tuple[chess.Move, chess.Board]]:
        return list(self._replies(self.board))

    @staticmethod
    def _replies(board: chess.Board) -> Iterator[tuple[chess.Move, chess.Board]]:
        return ((move, after_move(board, move)) for move in board.generate_legal_moves())

    @cached_property
    def strikes(self) -> bool:
        """Whether after it, or one that is as good, a move captures, forks or skewers, and what does is not taken."""
        return any(self._strikes(board, move, then) for board in self._all for move, then in self._replies(board))

    def _strikes(self, board: chess.Board, move: chess.Move, then: chess.Board) -> bool:
        means, _, hit = refutation.means_of(board, board, move, self.attacker)
        if means not in _BLOWS or any(reply.to_square == move.to_square for reply in then.generate_legal_captures()):
            return False
        return board is self.board or means is refutation.Means.CAPTURE or _wins_man(then, hit)

    @cached_property
    def promotes(self) -> bool:
        """Whether a pawn promotes with check after it, or after one that is as good."""
        return any(move.promotion and then.is_check() for board in self._all for move, then in self._replies(board))

    @cached_property
    def apart(self) -> int:
        """The fewest steps between the kings after a step of the attacking king."""
        return min((_apart(then) for move, then in self._moves if is_king_step(self.board, move)), default=8)

    @cached_property
    def edge(self) -> bool:
        """Whether after a move the king has to go to or along the edge, after it or one that is as good."""
        return any(_on_edge(then, self.attacker) for board in self._all for _, then in self._replies(board))

    @cached_property
    def room(self) -> int:
        """The fewest squares left to the king by a move after which no man can be taken at once; 0 without one."""
        return min((_room(then, self.attacker) for then in self._safe), default=0)

    @cached_property
    def box(self) -> int:
        """The smallest box by a move after which no man can be taken at once; 64 without one."""
        return min((_box(then, self.attacker) for then in self._safe), default=_NO_BOX)

    @cached_property
    def _safe(self) -> list[chess.Board]:
        return [then for _, then in self._moves if not _can_take(then, self.attacker)]


def _apart(board: chess.Board) -> int:
    return kings_apart(men_of(board))


def _on_edge(board: chess.Board, attacker: chess.Color) -> bool:
    king = men_of(board).king(not attacker)
    replies = list(board.generate_legal_moves())
    return bool(replies) and all(r.from_square == king and not from_edge(r.to_square) for r in replies)


def _room(board: chess.Board, attacker: chess.Color) -> int:
    return _free(board, attacker).bit_count()


def squares_left(board: chess.Board, attacker: chess.Color) -> Squares:
    """Return the range of the defending king without a square on which it is in check."""
    return in_order(_free(board, attacker))


def _free(board: chess.Board, attacker: chess.Color) -> int:
    men = men_of(board)
    checked = chess.BB_SQUARES[men.king(not attacker)] if board.is_check() else 0
    return range_mask(men, attacker) & ~checked


def _box(board: chess.Board, attacker: chess.Color) -> int:
    """Return the squares of a rook's box, 64 without one."""
    box = None if board.queens else box_of(men_of(board), attacker)
    return _NO_BOX if box is None else box


def _can_take(board: chess.Board, attacker: chess.Color) -> bool:
    if takeable(men_of(board), attacker):
        return True
    return any(board.generate_legal_captures()) if board.occupied_co[not attacker] & ~board.kings else False
