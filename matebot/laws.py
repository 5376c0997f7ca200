"""What a position is worth under the laws of chess: with its halfmove clock and its history.

Sources: FIDE Laws of Chess, article 5.2 (stalemate, dead position) and 9.2, 9.3 (third repetition, fifty moves);
draws by claim are taken as draws. Checkmate ends the game at once, on the hundredth ply too (9.6.2).

A position won in D plies, Z plies from the next capture, pawn move or mate, with c plies on the clock, is
mate in D as long as c + D <= 100, still won in a longer way as long as c + Z <= 100, and drawn otherwise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import chess

from matebot.solver.batches import Batches
from matebot.solver.clocked import LONGEST_DTM_PLIES, LateMate
from matebot.solver.lookup import Stand
from matebot.solver.material import Material
from matebot.solver.repetition import NEVER, Changes
from matebot.solver.tables import Stopped, Tables, Value

CLAIM_PLIES = 100
#: Distances to mate are followed around repeated positions in bands of so many plies, and no further than any goes.
_BAND, _FURTHEST = 16, 127
#: Endings of the game and reasons for its outcome, the words used everywhere.
CAUSES = (
    "checkmate",
    "stalemate",
    "dead position",
    "fifty moves",
    "repetition",
    "forced",
    "balance",
)
#: Causes that end the game at once.
FINAL = frozenset({"checkmate", "stalemate", "dead position"})

Key = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The exact outcome for the side to move.

    Attributes
    ----------
    outcome : 1 wins, 0 drawn, -1 loses
    mate_plies : plies to mate, None when drawn; an upper bound when `exact` is False
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


class Referee:
    """Judges one position and the positions one move after it.

    Parameters
    ----------
    board : a covered position with the moves that led to it; moves are pushed and popped again
    """

    def __init__(self, board: chess.Board, tables: Tables) -> None:
        self.board = board
        self.tables = tables
        self.seen, repeated = _history(board)
        self._late = LateMate(tables)
        self._twice = _twice(repeated, tables)
        self._here: Verdict | None = None
        self._given_up = False

    @property
    def has_repeated(self) -> bool:
        """Whether a position that may still come back has already occurred twice."""
        return bool(self._twice)

    @property
    def is_over(self) -> bool:
        """Whether the position itself is drawn by a claim: for the third time on the board, or after fifty moves."""
        return self.board.halfmove_clock >= CLAIM_PLIES or self.seen[position_key(self.board)] >= 3

    def here(self) -> Verdict:
        """Judge the position itself; a draw that may be claimed counts as drawn."""
        if self._here is None:
            stand, _ = self.tables.stand(self.board)
            self._here = self._judge(stand, self.seen[position_key(self.board)], None)
        return self._here

    def after(self, move: chess.Move) -> Verdict:
        """Judge the position after a legal move, for the side then to move."""
        here = self.here()
        promised = here.mate_plies - 1 if here.exact and here.mate_plies else None
        self.board.push(move)
        try:
            stand, _ = self.tables.stand_of(self.board)
            return self._judge(stand, self.seen[position_key(self.board)] + 1, promised)
        finally:
            self.board.pop()

    def plain(self, value: Value, clock_plies: int) -> bool:
        """Whether neither the clock nor the history can change how a position is best played."""
        return value.dtm_plies is None or (
            clock_plies + value.dtm_plies <= CLAIM_PLIES and not self._matters(value, self.board.turn)
        )

    def _judge(self, stand: Stand, occurrences: int, promised: int | None) -> Verdict:
        board = self.board
        value = self.tables.value_of(stand)
        if value.dtm_plies == 0:
            return Verdict(-1, 0, True, "checkmate", value)
        if value.outcome == 0 and not any(board.generate_legal_moves()):
            return Verdict(0, None, True, "stalemate", value)
        if board.is_insufficient_material():
            return Verdict(0, None, True, "dead position", value)
        if board.halfmove_clock >= CLAIM_PLIES:
            return Verdict(0, None, True, "fifty moves", value)
        if occurrences >= 3:
            return Verdict(0, None, True, "repetition", value)
        return self._timed(stand, value, promised)

    def _timed(self, stand: Stand, value: Value, promised: int | None) -> Verdict:
        left = CLAIM_PLIES - self.board.halfmove_clock
        if value.dtm_plies is None or value.dtz_plies is None:
            return Verdict(0, None, True, "balance", value)
        if value.dtz_plies > left:  # and the fewer moves there are to choose from, the later
            return Verdict(0, None, True, "fifty moves", value)
        # After a capture or pawn move the old positions cannot come back.
        may_repeat = bool(self._twice) and self.board.halfmove_clock > 0
        around = may_repeat and (self._matters(value, self.board.turn) or value.dtm_plies > left)
        if not around and value.dtm_plies <= left:
            return Verdict(value.outcome, value.dtm_plies, True, "forced", value)
        if not self._may_think():
            return _bound(value, left)
        try:
            if around:
                return self._around(stand, value).verdict(stand, value, left, promised)
            return _in_time(value, value, left, lambda: self._late.mate_plies(stand, left, promised))
        except Stopped:
            self._given_up = True
            return _bound(value, left)

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

    def _around(self, stand: Stand, value: Value) -> _Detour:
        assert stand.material is not None
        winner = (value.outcome == 1) == stand.white_to_move
        return _detour(self.tables, stand.material, frozenset(s for s, _, _ in self._twice), winner)


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
            repeated.append(past.copy(stack=False))
            if not past.has_legal_en_passant():
                repeated[-1].ep_square = None
    return seen, repeated


def _twice(repeated: list[chess.Board], tables: Tables) -> list[tuple[Stand, Value, bool]]:
    # A position with castling rights cannot come back once they are gone.
    stands = [(tables.stand(board)[0], board.turn) for board in repeated if not board.castling_rights]
    return [(stand, tables.value_of(stand), turn) for stand, turn in stands]


class _Detour:
    """The ways around some positions that have occurred twice, in the wins of one side; found as far as they matter.

    Parameters
    ----------
    twice : the positions in canonical form
    winner : the side that wins, True for White in the canonical form
    """

    def __init__(self, tables: Tables, batches: Batches, twice: frozenset[Stand], winner: bool) -> None:
        self._tables, self._batches, self._twice, self._winner = tables, batches, twice, winner
        self._changes: Changes | None = None
        self._late: LateMate | None = None
        #: The nearest horizon that was too far to look.
        self._too_far = _FURTHEST + 1

    def verdict(self, stand: Stand, value: Value, left_plies: int, promised: int | None) -> Verdict:
        """Judge a position, won or lost when nothing is banned: `value`; see `LateMate.mate_plies`."""
        mate_plies = self._mate_plies(stand, value)
        if mate_plies == NEVER:
            return Verdict(0, None, True, "repetition", value)
        if mate_plies is not None and mate_plies > left_plies:
            mate_plies = self._in_time(stand, left_plies, promised)
        if mate_plies is None:
            return _bound(value, left_plies)
        return Verdict(value.outcome, mate_plies, True, "forced", value)

    def _mate_plies(self, stand: Stand, value: Value) -> int | None:
        """Return the plies to mate, `NEVER` when it is drawn now, None when that is not to be found out."""
        steps = self._tables.remembered_steps(stand)
        nearest = ((value.dtm_plies or 0) // _BAND + 1) * _BAND
        for horizon in (nearest, nearest + _BAND, _FURTHEST):
            changes = self._up_to(horizon)
            if changes is None:
                return None
            found = changes.mate_plies(stand, steps)
            if found < changes.horizon or found == NEVER:
                return found
        return None

    def _up_to(self, horizon: int) -> Changes | None:
        """Return the changes up to a horizon or beyond, None where that is too much."""
        if self._changes is None or self._changes.horizon < horizon:
            if horizon >= self._too_far:
                return None
            changes = Changes(self._batches, self._twice, self._winner, horizon, self._tables.heartbeat)
            if not changes.complete:
                self._too_far = horizon
                return None
            self._changes = changes
        return self._changes

    def _in_time(self, stand: Stand, left_plies: int, promised: int | None) -> int | None:
        changes = self._up_to(_FURTHEST)
        if changes is None:
            return None
        if self._late is None:
            self._late = LateMate(self._tables, changes.distance)
        return self._late.mate_plies(stand, left_plies, promised)


def _bound(value: Value, left: int) -> Verdict:
    """Judge without the time to look: the men's own value, if the clock may allow it, not called exact."""
    assert value.dtm_plies is not None
    assert value.dtz_plies is not None
    mate_plies = value.dtm_plies if value.dtm_plies <= left else value.dtz_plies + LONGEST_DTM_PLIES
    return Verdict(value.outcome, mate_plies, False, "forced", value)


def _in_time(played: Value, value: Value, left: int, late: Callable[[], int | None]) -> Verdict:
    """Judge by what the clock allows of a value.

    Parameters
    ----------
    played, value : the value with some positions banned, and without
    late : looks for a mate in time where the shortest one is not
    """
    if played.dtm_plies is None or played.dtz_plies is None:
        return Verdict(0, None, True, "repetition", value)
    if played.dtm_plies <= left:
        return Verdict(played.outcome, played.dtm_plies, True, "forced", value)
    if played.dtz_plies > left:
        return Verdict(0, None, True, "fifty moves", value)
    found = late()
    if found is not None:
        return Verdict(played.outcome, found, True, "forced", value)
    return Verdict(played.outcome, played.dtz_plies + LONGEST_DTM_PLIES, False, "forced", value)


#: What the last answers found, for each set of tables.
_KEPT: WeakKeyDictionary[Tables, dict[object, _Detour]] = WeakKeyDictionary()
_MOST_KEPT = 16


def _detour(tables: Tables, material: Material, twice: frozenset[Stand], winner: bool) -> _Detour:
    """Return the ways around some positions, remembering the last answers."""
    kept = _KEPT.setdefault(tables, {})
    key = material, twice, winner
    found = kept.pop(key, None)
    if found is None:
        if len(kept) == _MOST_KEPT:
            del kept[next(iter(kept))]
        found = _Detour(tables, Batches(material, tables.codes), twice, winner)
    kept[key] = found
    return found


def judge(board: chess.Board, tables: Tables) -> Verdict:
    """Judge a position with its clock and the moves on its stack.

    Raises
    ------
    Refusal
        when the position is not covered
    """
    return Referee(board, tables).here()
