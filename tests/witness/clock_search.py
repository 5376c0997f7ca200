"""The exact outcome under the fifty-move rule by plain search over (position, halfmove clock), without tables.

Every line is followed to mate, stalemate, dead position or the hundredth ply without capture or pawn move;
checkmate counts on that ply too (FIDE Laws of Chess, articles 5.1, 5.2, 9.3 and 9.6.2). The positions that led to
the first one are left out of account. Repetition need not be: whoever mates as soon as he can within the clock
never repeats a position, since with the clock run on he would be no nearer to mate.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

import chess

CLAIM_PLIES = 100

Key = tuple[int, ...]


class Clocked(NamedTuple):
    """What a position with its clock is worth.

    Attributes
    ----------
    outcome : 1 the side to move wins, 0 drawn, -1 it loses
    mate_plies : plies to the shortest mate that comes in time, None when drawn
    """

    outcome: int
    mate_plies: int | None


DRAWN = Clocked(0, None)
MATED = Clocked(-1, 0)


class OutOfReach(Exception):
    """A capture or pawn move set the clock back in a position that goes on, and nobody knows its value."""


Beyond = Callable[[chess.Board], Clocked]


def unknown(board: chess.Board) -> Clocked:
    """Refuse to value what lies behind a capture or pawn move."""
    raise OutOfReach(f"expected mate, stalemate or a dead position after a zeroing move, got {board.fen()!r}")


@dataclass(slots=True)
class _Node:
    """A position without its clock: its end if it is one, else its replies, each a node or a settled value."""

    board: chess.Board
    end: Clocked | None = None
    replies: list[_Node | Clocked] | None = None
    known: dict[int, Clocked] = field(default_factory=dict)


class ClockSearch:
    """Searches; remembers what it found, so many questions about one ending are best put to one object.

    Parameters
    ----------
    beyond : gives the value of a position in which a capture or pawn move has just set the clock to zero and the
        game goes on. Without it such a position raises `OutOfReach`.
    """

    def __init__(self, beyond: Beyond = unknown) -> None:
        self._beyond = beyond
        self._nodes: dict[Key, _Node] = {}

    def value(self, board: chess.Board) -> Clocked:
        """Return the exact value of a position with its halfmove clock.

        Raises
        ------
        OutOfReach
            when `beyond` is needed and missing
        """
        return self._value(self._node(board), max(0, CLAIM_PLIES - board.halfmove_clock))

    def _value(self, node: _Node, left: int) -> Clocked:
        if node.end is not None:
            return node.end
        if left == 0:
            return DRAWN
        found = node.known.get(left)
        if found is None:
            found = node.known[left] = self._best(node, left)
        return found

    def _best(self, node: _Node, left: int) -> Clocked:
        if node.replies is None:
            node.replies = self._replies(node.board)
        values = [self._value(reply, left - 1) if isinstance(reply, _Node) else reply for reply in node.replies]
        if mates := [value.mate_plies for value in values if value.outcome < 0]:
            return Clocked(1, 1 + min(plies for plies in mates if plies is not None))
        if any(value.outcome == 0 for value in values):
            return DRAWN
        return Clocked(-1, 1 + max(value.mate_plies for value in values if value.mate_plies is not None))

    def _replies(self, board: chess.Board) -> list[_Node | Clocked]:
        replies: list[_Node | Clocked] = []
        for move in board.legal_moves:
            zeroing = board.is_zeroing(move)
            child = board.copy(stack=False)
            child.push(move)
            child.clear_stack()
            replies.append(self._settled(child) if zeroing else self._node(child))
        return replies

    def _settled(self, board: chess.Board) -> Clocked:
        end = end_of(board)
        return self._beyond(board) if end is None else end

    def _node(self, board: chess.Board) -> _Node:
        key = _key(board)
        node = self._nodes.get(key)
        if node is None:
            node = self._nodes[key] = _Node(board.copy(stack=False), end_of(board))
        return node


def end_of(board: chess.Board) -> Clocked | None:
    """Return the value of a position in which the game is over, whatever the clock says, else None."""
    if not any(board.generate_legal_moves()):
        return MATED if board.is_check() else DRAWN
    return DRAWN if board.is_insufficient_material() else None


def _key(board: chess.Board) -> Key:
    passed = board.ep_square if board.has_legal_en_passant() else None
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.turn,
        -1 if passed is None else passed,
    )
