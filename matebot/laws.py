"""What a position is worth under the laws of chess: with its halfmove clock and its history.

Sources: FIDE Laws of Chess, article 5.2 (stalemate, dead position) and 9.2, 9.3 (third repetition, fifty moves);
draws by claim are taken as draws. Checkmate ends the game at once, on the hundredth ply too (9.6.2).

A position won in D plies, Z plies from the next capture, pawn move or mate, with c plies on the clock, is
mate in D as long as c + D <= 100, still won in a longer way as long as c + Z <= 100, and drawn otherwise.
"""

from __future__ import annotations

from collections import Counter
from copy import copy
from dataclasses import dataclass
from typing import NamedTuple

import chess

from matebot.solver.clocked import NEVER, most_plies_after_zeroing, ways
from matebot.solver.lookup import Stand
from matebot.solver.tables import Stopped, Tables, Value, move_of
from matebot.solver.walk import Step
from matebot.terms import CLAIM_PLIES as CLAIM_PLIES
from matebot.terms import Cause

#: Endings of the game and reasons for its outcome, the words used everywhere.
CAUSES = tuple(str(cause) for cause in Cause)
#: Causes that end the game at once.
FINAL = frozenset({"checkmate", "stalemate", "dead position"})

Key = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The exact outcome for the side to move.

    Attributes
    ----------
    outcome : 1 wins, 0 drawn, -1 loses
    mate_plies : plies to mate, None when drawn; an upper bound when `exact` is False (see `_bound`)
    cause : one of `CAUSES`; "forced" for a win or loss that is not yet mate, "balance" for a draw by the position
    value : the value without clock and history
    """

    outcome: int
    mate_plies: int | None
    exact: bool
    cause: str
    value: Value


def position_key(board: chess.Board) -> Key:
    """Return what must be the same for two positions to be the same under article 9.2.3."""
    ep_square = board.ep_square if board.has_legal_en_passant() else None
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[chess.WHITE],
        board.castling_rights,
        board.turn,
        -1 if ep_square is None else ep_square,
    )


def _key_after(board: chess.Board, move: chess.Move) -> Key:
    """Return the key of the position after a move that neither captures nor is a pawn's, castling rights being gone."""
    source, turn = chess.BB_SQUARES[move.from_square], board.turn
    step = source | chess.BB_SQUARES[move.to_square]
    masks = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    white = board.occupied_co[chess.WHITE]
    return *(mask ^ step if mask & source else mask for mask in masks), white ^ step if turn else white, 0, not turn, -1


class _At(NamedTuple):
    """What a verdict depends on beside the history: a position, its value, its side to move and its clock."""

    stand: Stand
    value: Value
    turn: chess.Color
    clock_plies: int


class Referee:
    """Judges one position and the positions one move after it.

    Parameters
    ----------
    board : a covered position with the moves that led to it

    Attributes
    ----------
    stand, turned : the position in canonical form, and whether the colours were exchanged
    promised_plies : plies within which the side to move has announced mate, None where it has not

    Raises
    ------
    Refusal
        when the position is not covered
    """

    def __init__(self, board: chess.Board, tables: Tables) -> None:
        self.board = board
        self.tables = tables
        self.stand, self.turned = tables.stand(board)
        self.promised_plies: int | None = None
        self.seen, repeated = _history(board)
        self._twice = _twice(repeated, tables)
        self._here: Verdict | None = None
        self._steps: dict[chess.Move, Step] | None = None
        self._after: dict[chess.Move, Verdict] = {}
        self._given_up = False

    def copy(self) -> Referee:
        """Return a referee of the same position that can go its own way; what was announced is not taken along."""
        other = copy(self)
        other.board, other.seen, other.promised_plies = self.board.copy(), Counter(self.seen), None
        return other

    @property
    def given_up(self) -> bool:
        """Whether there was no time for some judgement, so that a bound was told."""
        return self._given_up

    @property
    def has_repeated(self) -> bool:
        """Whether a position that may still come back has already occurred twice."""
        return bool(self._twice)

    @property
    def is_over(self) -> bool:
        """Whether the position itself is drawn by a claim: for the third time on the board, or after fifty moves."""
        return self.board.halfmove_clock >= CLAIM_PLIES or self.seen[position_key(self.board)] >= 3

    @property
    def steps(self) -> dict[chess.Move, Step]:
        """Every legal move with where it leads in the tables, in the order of squares."""
        if self._steps is None:
            self._steps = {move_of(step, self.turned): step for step in self.tables.steps(self.stand, self.turned)}
        return self._steps

    def here(self) -> Verdict:
        """Judge the position itself; a draw that may be claimed counts as drawn."""
        if self._here is None:
            board = self.board
            at = _At(self.stand, self.tables.value_of(self.stand), board.turn, board.halfmove_clock)
            self._here = self._judge(at, self.seen[position_key(board)])
        return self._here

    def after(self, move: chess.Move) -> Verdict:
        """Judge the position after a legal move, for the side then to move; each once."""
        if move not in self._after:
            self._after[move] = self._judge_after(move)
        return self._after[move]

    def _judge_after(self, move: chess.Move) -> Verdict:
        step = self.steps[move]
        clock_plies, earlier = 0, 0
        if not step.zeroing:
            clock_plies = self.board.halfmove_clock + 1
            earlier = self.seen[_key_after(self.board, move)] if len(self.seen) > 1 else 0
        return self._judge(
            _At(step.child, self.tables.value_after(step), not self.board.turn, clock_plies), earlier + 1
        )

    def follow(self, move: chess.Move, verdict: Verdict) -> None:
        """Play a legal move on the board, of which `after` gave this verdict, and judge from there on."""
        step = self.steps[move]
        self.board.push(move)
        if step.zeroing:
            self.seen.clear()
            self._twice = []
        key = position_key(self.board)
        self.seen[key] += 1
        if self.seen[key] == 2:
            self._twice = [*self._twice, *_twice([_alone(self.board)], self.tables)]
        self._here = verdict
        self.turned ^= step.swapped
        self.stand, self._steps, self._after = step.child, None, {}

    def forget(self) -> None:
        """Judge from here on as if the game began with this position, its clock apart."""
        self.board.clear_stack()
        self.seen, self._twice = Counter([position_key(self.board)]), []

    def plain(self, value: Value, clock_plies: int) -> bool:
        """Whether neither the clock nor the history can change how a position is best played."""
        return value.dtm_plies is None or (
            clock_plies + value.dtm_plies <= CLAIM_PLIES and not self._matters(value, self.board.turn)
        )

    def _judge(self, at: _At, occurrences: int) -> Verdict:
        value = at.value
        if value.dtm_plies == 0:
            return Verdict(-1, 0, True, "checkmate", value)
        if value.outcome == 0 and at.stand.material is not None and not self.tables.walk.can_move(at.stand):
            return Verdict(0, None, True, "stalemate", value)
        if value.outcome == 0 and _is_dead(at.stand):
            return Verdict(0, None, True, "dead position", value)
        if at.clock_plies >= CLAIM_PLIES:
            return Verdict(0, None, True, "fifty moves", value)
        if occurrences >= 3:
            return Verdict(0, None, True, "repetition", value)
        return self._timed(at)

    def _timed(self, at: _At) -> Verdict:
        value = at.value
        left = CLAIM_PLIES - at.clock_plies
        if value.dtm_plies is None or value.dtz_plies is None:
            return Verdict(0, None, True, "balance", value)
        if value.dtz_plies > left:  # and the fewer moves there are to choose from, the later
            return Verdict(0, None, True, "fifty moves", value)
        # After a capture or pawn move the old positions cannot come back.
        may_repeat = bool(self._twice) and at.clock_plies > 0
        around = may_repeat and (self._matters(value, at.turn) or value.dtm_plies > left)
        if not around and value.dtm_plies <= left:
            return Verdict(value.outcome, value.dtm_plies, True, "forced", value)
        if not self._may_think():
            return _bound(at.stand, value, left)
        try:
            mate_plies = self._mate_plies(at.stand, value, left, around)
        except Stopped:
            self._given_up = True
            return _bound(at.stand, value, left)
        if mate_plies is None:
            return _bound(at.stand, value, left)
        if mate_plies == NEVER:
            return Verdict(0, None, True, "repetition", value)
        return Verdict(value.outcome, mate_plies, True, "forced", value)

    def _mate_plies(self, stand: Stand, value: Value, left: int, around: bool) -> int | None:
        """Return the plies to mate where clock or history stand in the way; see `clocked.Detour.mate_plies`."""
        assert stand.material is not None
        winner = (value.outcome == 1) == stand.white_to_move
        known = ways(self.tables)
        if not around:
            return known.in_time(self.tables, stand, winner, left)
        twice = frozenset(other for other, _, _ in self._twice)
        return known.detour(self.tables, stand.material, twice, winner).mate_plies(stand, value, left)

    def _may_think(self) -> bool:
        """Whether work may be begun; once it was stopped, never again for this position and its moves."""
        self._given_up = self._given_up or self.tables.stopped()
        return not self._given_up

    def _matters(self, value: Value, turn: bool) -> bool:
        """Whether a position that may not be entered again can lie on a shortest way to mate.

        Shortest play only enters positions nearer to mate, won by the same side.
        """
        winner = (value.outcome == 1) == turn
        return any(
            other.dtm_plies is not None
            and value.dtm_plies is not None
            and other.dtm_plies < value.dtm_plies
            and ((other.outcome == 1) == other_turn) == winner
            for _, other, other_turn in self._twice
        )


def _history(board: chess.Board) -> tuple[Counter[Key], list[chess.Board]]:
    """Count the positions since the last capture or pawn move; list those that occurred twice."""
    seen: Counter[Key] = Counter()
    seen[position_key(board)] += 1
    repeated: list[chess.Board] = []
    past = board.copy(stack=min(len(board.move_stack), max(board.halfmove_clock, 0)))
    while past.move_stack and past.halfmove_clock > 0:
        past.pop()
        key = position_key(past)
        seen[key] += 1
        if seen[key] == 2:
            repeated.append(_alone(past))
    return seen, repeated


def _alone(board: chess.Board) -> chess.Board:
    """Return a position without its history, and without an en passant square that nobody can capture on."""
    alone = board.copy(stack=False)
    if not board.has_legal_en_passant():
        alone.ep_square = None
    return alone


def _twice(repeated: list[chess.Board], tables: Tables) -> list[tuple[Stand, Value, bool]]:
    # A position with castling rights cannot come back once they are gone.
    stands = [(tables.stand(board)[0], board.turn) for board in repeated if not board.castling_rights]
    return [(stand, tables.value_of(stand), turn) for stand, turn in stands]


def _is_dead(stand: Stand) -> bool:
    """Whether no moves at all lead to mate: a lone minor piece, or bishops on squares of one colour (article 5.2.2)."""
    if stand.material is None:
        return True
    kinds = {man for man, _ in stand.material.men}
    if len(stand.men) == 1:
        return kinds <= {"B", "N"}
    return kinds == {"B"} and len({(square % 8 + square // 8) % 2 for square in stand.men}) == 1


def _bound(stand: Stand, value: Value, left: int) -> Verdict:
    """Judge without time or memory to look: the men's own value, if the clock may allow it, not called exact."""
    assert value.dtm_plies is not None
    assert value.dtz_plies is not None
    mate_plies = value.dtm_plies
    if mate_plies > left:  # what comes after the next capture or pawn move is some position of a covered ending
        winner_to_move = (value.outcome == 1) == (value.dtz_plies % 2 == 0)
        mate_plies = value.dtz_plies + most_plies_after_zeroing(stand, winner_to_move)
    return Verdict(value.outcome, mate_plies, False, "forced", value)


def judge(board: chess.Board, tables: Tables) -> Verdict:
    """Judge a position with its clock and the moves on its stack.

    Raises
    ------
    Refusal
        when the position is not covered
    """
    return Referee(board, tables).here()
