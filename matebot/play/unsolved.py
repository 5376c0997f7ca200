"""A move for a position whose ending is not solved yet: a small search that knows what it does not know.

Looks a few plies ahead by alpha-beta over all moves, then follows captures and promotions until the board is quiet,
and weighs men, pawns on their way and kings. Endings that are solved already are asked for their truth. A mate is
announced only where every reply has been looked at; everything else is an estimate.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import chess

from matebot.play.weighing import WEIGHT, weigh
from matebot.records import dataclass

#: Asks for the exact value of the position on the board, for the side to move: outcome and plies to mate, or None.
Known = Callable[[chess.Board], tuple[int, int] | None]

#: Scores of a mate at once, and of the slowest that is still told from an estimate.
_MATE, _LEAST_MATE = 100_000, 99_000
#: The same for wins that solved endings promise.
_WON, _LEAST_WON = 50_000, 49_000
_MOST_DEPTH = 40
_CLAIM_PLIES = 100

_Key = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found.

    Attributes
    ----------
    line : moves expected, the one to play first
    score_cp : the estimate in hundredths of a pawn for the side to move, 0 where `mate_plies` says more
    mate_plies : plies to a mate that is proved, negative when being mated; None without one
    exact : whether no other distance to mate is possible; otherwise mate comes no later
    depth, nodes : plies looked ahead in full, positions looked at
    """

    line: tuple[chess.Move, ...]
    score_cp: int
    mate_plies: int | None
    exact: bool
    depth: int
    nodes: int


class _Over(Exception):
    """The time or the nodes are used up."""


def find_move(
    board: chess.Board,
    moves: Sequence[chess.Move],
    known: Known,
    is_over: Callable[[], bool],
    most_depth: int | None = None,
    most_nodes: int | None = None,
) -> Found:
    """Return the best of some legal moves as far as can be seen.

    Parameters
    ----------
    board : with the moves that led to it; moves are pushed and popped again
    moves : to choose from, not empty
    known : see `Known`; asked after captures and promotions
    is_over : asked at each position once every move has been looked at
    most_depth, most_nodes : limits of plies looked ahead in full and of positions looked at; None for none
    """
    search = _Search(board.copy(), known, is_over, most_nodes)
    best = Found((min(moves, key=lambda move: search.order(move)),), 0, None, False, 0, 0)
    for depth in range(1, min(most_depth or _MOST_DEPTH, _MOST_DEPTH) + 1):
        best, complete = search.deepened(best, moves, max(1, depth))
        if not complete or best.mate_plies is not None or len(moves) == 1:
            break
    return best


class _Search:
    """One search: the board it works on, its limits and what it remembers."""

    def __init__(self, board: chess.Board, known: Known, is_over: Callable[[], bool], most_nodes: int | None) -> None:
        self.board = board
        self._known, self._is_over, self._most_nodes = known, is_over, most_nodes
        self._best_moves: dict[_Key, chess.Move] = {}
        self._nodes = 0
        self._patient = True  # until every move has been looked at once

    def order(self, move: chess.Move) -> tuple[int, int, int]:
        """Return the key by which moves are tried: promotions and captures of the best men first."""
        taken = self.board.piece_type_at(move.to_square)
        gain = WEIGHT[move.promotion] if move.promotion else 0
        return (-gain - (WEIGHT[taken] if taken else 0), move.from_square, move.to_square)

    def deepened(self, best: Found, moves: Sequence[chess.Move], depth: int) -> tuple[Found, bool]:
        """Look at all moves to a depth, the best so far first; return the best and whether all were looked at."""
        first = best.line[0]
        high, found = -_MATE, best
        self._patient = depth == 1
        try:
            for move in sorted(moves, key=lambda move: (move != first, self.order(move))):
                score = self._after(move, depth, -_MATE, -high, 0)
                if score > high:
                    high = score
                    found = self._found(move, score, depth)
        except _Over:
            return found, False
        return found, True

    def _found(self, move: chess.Move, score: int, depth: int) -> Found:
        mate_plies: int | None = None
        exact = False
        if abs(score) >= _LEAST_MATE:
            mate_plies = _MATE - abs(score)
            exact = mate_plies <= depth
        elif abs(score) >= _LEAST_WON:
            mate_plies = _WON - abs(score)
        if mate_plies is not None:
            mate_plies = mate_plies if score > 0 else -mate_plies
        return Found(self._line(move), 0 if mate_plies is not None else score, mate_plies, exact, depth, self._nodes)

    def _line(self, move: chess.Move) -> tuple[chess.Move, ...]:
        """Return a move and the reply to it that was thought best."""
        self.board.push(move)
        reply = self._best_moves.get(_key(self.board))
        self.board.pop()
        return (move,) if reply is None else (move, reply)

    def _after(self, move: chess.Move, depth: int, low: int, high: int, ply: int) -> int:
        """Return the score of a move for the side that plays it, which is looked for between two bounds."""
        board = self.board
        leaves = move.promotion is not None or board.is_capture(move)
        board.push(move)
        try:
            known = self._known(board) if leaves else None
            if known is not None:
                return -_promised(*known, ply + 1)
            if ply == 0 and board.is_repetition(3):
                return 0
            return -self._worth(depth - 1, low, high, ply + 1)
        finally:
            board.pop()

    def _worth(self, depth: int, low: int, high: int, ply: int) -> int:
        """Return the score for the side to move, exact between the bounds."""
        self._count()
        board = self.board
        if board.is_insufficient_material():
            return 0
        if board.halfmove_clock >= _CLAIM_PLIES:
            return 0 if any(board.generate_legal_moves()) or not board.is_check() else ply - _MATE
        if depth <= 0:
            return self._quiet(low, high, ply)
        moves = list(board.generate_legal_moves())
        if not moves:
            return ply - _MATE if board.is_check() else 0
        key = _key(board)
        remembered = self._best_moves.get(key)
        best = -_MATE
        for move in sorted(moves, key=lambda move: (move != remembered, self.order(move))):
            score = self._after(move, depth, -high, -low, ply)
            if score > best:
                best = score
                self._best_moves[key] = move
            low = max(low, score)
            if low >= high:
                break
        return best

    def _quiet(self, low: int, high: int, ply: int) -> int:
        """Follow captures and promotions; the side to move may leave it at what stands on the board."""
        board = self.board
        if not any(board.generate_legal_moves()):
            return ply - _MATE if board.is_check() else 0
        best = weigh(board)
        low = max(low, best)
        if low >= high:
            return best
        theirs = board.occupied_co[not board.turn]
        last_ranks = chess.BB_RANK_8 | chess.BB_RANK_1
        loud = [*board.generate_legal_moves(to_mask=theirs)]
        if board.pawns & board.occupied_co[board.turn] & (chess.BB_RANK_7 if board.turn else chess.BB_RANK_2):
            loud += board.generate_legal_moves(board.pawns, last_ranks & ~theirs)
        for move in sorted(loud, key=self.order):
            score = self._after(move, 0, -high, -low, ply)
            best, low = max(best, score), max(low, score)
            if low >= high:
                break
        return best

    def _count(self) -> None:
        self._nodes += 1
        if self._most_nodes is not None and self._nodes > self._most_nodes:
            raise _Over
        if not self._patient and self._is_over():
            raise _Over


def _promised(outcome: int, mate_plies: int, ply: int) -> int:
    return outcome * (_WON - ply - mate_plies) if outcome else 0


def _key(board: chess.Board) -> _Key:
    kinds = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    return (*kinds, board.occupied_co[chess.WHITE], board.turn, board.ep_square)
