"""Judges a position and what comes after its moves.

A position won in D plies, Z plies from the next capture, pawn move or mate, with c plies on the clock, is
mate in D as long as c + D <= 100, still won in a longer way as long as c + Z <= 100, and drawn otherwise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from copy import copy
from typing import NamedTuple

import chess

from matebot.laws.dead_position import is_dead
from matebot.laws.history import history_of, key_after, position_key, with_history
from matebot.laws.verdict import Verdict
from matebot.solver.clocked import NEVER, most_plies_after_zeroing
from matebot.solver.codes import DRAW, mate_plies, outcome
from matebot.solver.lookup import CanonicalPosition, Value
from matebot.solver.successors import Step
from matebot.solver.tables import Stopped, Tables, move_of, move_to
from matebot.terms import CLAIM_PLIES, Cause


class _At(NamedTuple):
    """What a verdict depends on beside the history: a position, its value, its side to move and its clock."""

    stand: CanonicalPosition
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
        self.seen, repeated = history_of(board)
        self._twice = _twice(repeated, tables)
        self._here: Verdict | None = None
        self._steps: dict[chess.Move, Step] | None = None
        self._codes: list[tuple[int, int, str, int]] | None = None
        self._after: dict[chess.Move, Verdict] = {}
        self._given_up = False

    def copy(self) -> Referee:
        """Return a referee of the same position that can go its own way; what was announced is not taken along."""
        other = copy(self)
        other.board, other.seen, other.promised_plies = with_history(self.board), Counter(self.seen), None
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
        return self.claim is not None

    @property
    def claim(self) -> Cause | None:
        """By what a draw may be claimed now: fifty moves, a third repetition, or nothing."""
        if self.board.halfmove_clock >= CLAIM_PLIES:
            return Cause.FIFTY_MOVES
        return Cause.REPETITION if self.seen[position_key(self.board)] >= 3 else None

    @property
    def delays(self) -> Cause | None:
        """What rules the shortest mate out where a longer one is left; None where the fifty moves and repetitions may.

        Where nothing has occurred twice it is the clock; where that leaves time for the shortest mate, a repetition.
        """
        if not self._twice:
            return Cause.FIFTY_MOVES
        plies = self.here().value.dtm_plies
        return Cause.REPETITION if plies is not None and self.board.halfmove_clock + plies <= CLAIM_PLIES else None

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
        found = self._after.get(move)
        if found is None:
            found = self._after[move] = self._judge_after(move, self.steps[move])
        return found

    def all_after(self) -> Iterator[tuple[chess.Move, Verdict]]:
        """Yield every legal move with the verdict that `after` gives, in the order of squares."""
        known, unknown = self._after, not self._after  # moves are dear to hash
        for move, step in self.steps.items():
            verdict = None if unknown else known.get(move)
            if verdict is None:
                verdict = known[move] = self._judge_after(move, step)
            yield move, verdict

    def count_keeping(self) -> int:
        """Return how many moves keep the best outcome; where neither clock nor history counts none is judged."""
        codes, white = self._plain_codes(), self.stand.white_to_move
        if codes is None:
            outcomes = [-self.after(move).outcome for move in self.steps]
        else:
            outcomes = [outcome(code, white) for *_, code in codes]
        return outcomes.count(max(outcomes, default=0))

    def plainly_best(self) -> tuple[chess.Move, ...]:
        """Return the moves that mate soonest or are mated last, in the order of squares, without judging any.

        Empty where clock or history may count after a move, in a draw, and where there is no move.
        """
        codes, white = self._plain_codes(), self.stand.white_to_move
        if not codes:
            return ()
        best = (min if white else max)(code for *_, code in codes)
        return () if best == DRAW else tuple(move_to(*step, self.turned) for *step, code in codes if code == best)

    def _plain_codes(self) -> list[tuple[int, int, str, int]] | None:
        """Return where the moves lead, see `Successors.codes`; None where clock or history may count after one."""
        if self._twice:
            return None
        if self._codes is None:
            self._codes = self.tables.successors.codes(self.stand, self.turned)
        white, left = not self.stand.white_to_move, CLAIM_PLIES - self.board.halfmove_clock - 1
        late = any((mate_plies(code, white) or 0) > left for code in {code for *_, code in self._codes})
        return None if late else self._codes

    def _judge_after(self, move: chess.Move, step: Step) -> Verdict:
        clock_plies, earlier = 0, 0
        if not step.zeroing:
            clock_plies = self.board.halfmove_clock + 1
            earlier = self.seen[key_after(self.board, move)] if len(self.seen) > 1 else 0
        value = self.tables.value_after(step)
        if value.dtm_plies and earlier < 2 and not self._twice and clock_plies + value.dtm_plies <= CLAIM_PLIES:
            return Verdict(value.outcome, value.dtm_plies, True, "forced", value)  # as nearly always
        return self._judge(_At(step.child, value, not self.board.turn, clock_plies), earlier + 1)

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
            self._twice = [*self._twice, (step.child, self.tables.value_of(step.child), self.board.turn)]
        self._here = verdict
        self.turned ^= step.swapped
        self.stand, self._steps, self._codes, self._after = step.child, None, None, {}

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
        if value.outcome == 0 and at.stand.material is not None and not self.tables.successors.can_move(at.stand):
            return Verdict(0, None, True, "stalemate", value)
        if value.outcome == 0 and is_dead(at.stand):
            return Verdict(0, None, True, "dead position", value)
        if at.clock_plies >= CLAIM_PLIES:
            return Verdict(0, None, True, "fifty moves", value)
        if occurrences >= 3:
            return Verdict(0, None, True, "repetition", value)
        return self._timed(at)

    def _timed(self, at: _At) -> Verdict:
        value = at.value
        left = CLAIM_PLIES - at.clock_plies
        if value.dtm_plies is None:
            return Verdict(0, None, True, "balance", value)
        # The fewer moves there are to choose from, the later. And a leg ends with mate at the latest.
        if value.dtm_plies > left and _leg(value) > left:
            return Verdict(0, None, True, "fifty moves", value)
        # After a capture or pawn move the old positions cannot come back.
        may_repeat = bool(self._twice) and at.clock_plies > 0
        around = may_repeat and (self._matters(value, at.turn) or value.dtm_plies > left)
        if not around and value.dtm_plies <= left:
            return Verdict(value.outcome, value.dtm_plies, True, "forced", value)
        mate_plies = self._thought_out(at, left, around) if self._may_think() else None
        if mate_plies is None:
            return self._not_followed(at, left) if around else _bound(at.stand, value, left)
        if mate_plies == NEVER:
            return Verdict(0, None, True, "repetition", value)
        return Verdict(value.outcome, mate_plies, True, "forced", value)

    def _thought_out(self, at: _At, left: int, around: bool) -> int | None:
        """Return the plies to mate, `NEVER` where it is drawn, None where that takes too long."""
        try:
            return self._mate_plies(at.stand, at.value, left, around)
        except Stopped:
            self._given_up = True
            return None

    def _not_followed(self, at: _At, left: int) -> Verdict:
        """Judge where what repeated positions change is not followed: a draw at the next move is seen all the same.

        Else the win is taken to be there still. It may take any way around that the clock allows.
        """
        assert at.stand.material is not None
        if at.value.outcome < 0:
            banned = {_placed(stand) for stand, _, _ in self._twice}
            steps = self.tables.remembered_steps(at.stand)
            if any(not step.zeroing and _placed(step.child) in banned for step in steps):
                return Verdict(0, None, True, "repetition", at.value)
        mate_plies = left + most_plies_after_zeroing(at.stand, True)
        mate_plies -= (mate_plies + (at.value.outcome > 0)) % 2
        return Verdict(at.value.outcome, mate_plies, False, "forced", at.value)

    def _mate_plies(self, stand: CanonicalPosition, value: Value, left: int, around: bool) -> int | None:
        """Return the plies to mate where clock or history stand in the way; see `clocked.Detour.mate_plies`."""
        assert stand.material is not None
        winner = (value.outcome == 1) == stand.white_to_move
        ways = self.tables.ways
        if not around:
            return ways.in_time(stand, winner, left)
        twice = frozenset(other for other, _, _ in self._twice)
        return ways.detour(stand.material, twice, winner).mate_plies(stand, value, left)

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


def _twice(repeated: list[chess.Board], tables: Tables) -> list[tuple[CanonicalPosition, Value, bool]]:
    # A position with castling rights cannot come back once they are gone.
    stands = [(tables.stand(board)[0], board.turn) for board in repeated if not board.castling_rights]
    return [(stand, tables.value_of(stand), turn) for stand, turn in stands]


def _placed(stand: CanonicalPosition) -> tuple[object, ...]:
    """Return what must be the same for two positions of an ending to be the same."""
    assert stand.material is not None
    men = sorted(zip(stand.material.men, stand.men, strict=True))
    return stand.white_to_move, stand.white_king, stand.black_king, *men


def _leg(value: Value) -> int:
    assert value.dtz_plies is not None
    return value.dtz_plies


def _bound(stand: CanonicalPosition, value: Value, left: int) -> Verdict:
    """Judge without time or memory to look: the men's own value, if the clock may allow it, not called exact."""
    assert value.dtm_plies is not None
    mate_plies = value.dtm_plies
    if mate_plies > left:  # what comes after the next capture or pawn move is some position of a covered ending
        leg = _leg(value)
        winner_to_move = (value.outcome == 1) == (leg % 2 == 0)
        mate_plies = leg + most_plies_after_zeroing(stand, winner_to_move)
    return Verdict(value.outcome, mate_plies, False, "forced", value)


def judge(board: chess.Board, tables: Tables) -> Verdict:
    """Judge a position with its clock and the moves on its stack.

    Raises
    ------
    Refusal
        when the position is not covered
    """
    return Referee(board, tables).here()
