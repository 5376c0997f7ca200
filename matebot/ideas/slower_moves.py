"""A winning move beside those that win later: what they show too is no reason for it.

Definition. A move of the attacker is *slower* than a winning one when it wins as well but mates at least one move
later, or draws, and neither stalemates nor leaves a man of his that could be taken for nothing. It *shares* an idea
when it shows one of the same kind about the same thing: the same man, square, line or corner, or as little room or as
few steps, as listed here by kind; of what is not listed nothing is shared. Of two purposes of a king's step each is
shared by itself.

A slower move of the same man that wins and shares an idea *lets in* what is blamed on it, held against the winning
move: the replies are the ones that last longest. Of the first three such moves by the time they take to mate, then by
their squares' names, the first counts by what it lets in (see `blame`); that a man gets out counts only where after
the winning move it has no move to a square that is not attacked, and that a man is attacked by the king only where
after the winning move no step of the king leaves that man to be taken; and nothing counts of a move that is slower by
one move only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from itertools import islice, takewhile
from typing import Any

import chess

from matebot.ideas.blame import Blame, Lapse, blame, order
from matebot.ideas.box import BoxChange
from matebot.ideas.cage import CageChange
from matebot.ideas.cut_off import CutChange, cut_off
from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.longest import longest
from matebot.ideas.squares import after_move, from_edge, is_king_step, king_steps, men_of, takeable
from matebot.ideas.threatens import Threatens
from matebot.ideas.towards_w import TowardsW, moves_between
from matebot.ideas.truth import Truth
from matebot.records import dataclass

SeenOf = Callable[[str, chess.Move, chess.Board], Idea | None]
Beside = tuple[chess.Move, chess.Board]
_Same = Callable[[Any, Any], bool]


def _equal(*names: str) -> _Same:
    """Tell whether two ideas agree in some attributes."""
    return lambda mine, other: all(getattr(mine, name) == getattr(other, name) for name in names)


def _least(most: str, *names: str) -> _Same:
    """Tell whether the other idea has as little of one attribute, and agrees in some."""
    equal = _equal(*names)
    return lambda mine, other: getattr(other, most) <= getattr(mine, most) and equal(mine, other)


def _same_cage(mine: Any, other: Any) -> bool:
    changes = {mine.change} | ({CageChange.TIGHTENS} if mine.change is CageChange.HOLDS else set())
    return other.change in changes and other.size_after <= mine.size_after and not other.loose


def _same_box(mine: Any, other: Any) -> bool:
    return other.change is not BoxChange.OPENS and mine.after is not None and other.after <= mine.after


#: Ideas that only a step of the king has.
_OF_THE_KING = ("king_nearer", "king_up", "nears_man")
#: So many slower moves are asked what they let in.
_LOOKED_AT = 3
#: So many moves a hunt may take, and so near the king must be at its end.
_HUNT, _BESIDE = 12, 2
#: A move slower by one move in plies: what it lets in hardly tells.
_ONE_MOVE = 2
#: What tells that two ideas of a kind are about the same thing.
_SAME: dict[str, _Same] = {
    "barrier": _equal("by_bishop", "by_knight"),
    "box": _same_box,
    "cage": _same_cage,
    "cut_off": lambda mine, other: other.change is not CutChange.GIVES_UP and other.line == mine.line,
    "cuts_from_pawn": _equal("line"),
    "drives": _equal("where", "corner"),
    "guards": lambda mine, other: not other.let_go and bool(other.freed) >= bool(mine.freed),
    "guards_man": _equal("square"),
    "holds_pawn": _equal("how", "pawn"),
    "king_up": _least("steps", "held_by"),
    "knights_w": _equal("state", "step", "corner"),
    "minor_lost": _equal("square", "corner", "covered"),
    "narrows": _least("size_after"),
    "nears_man": _least("steps", "inside"),
    "off_the_rim": _equal("man"),
    "pins": _equal("square"),
    "saved": _equal("square"),
    "shuts_way": _equal("aim", "target", "last"),
    "threatens": _equal("threat", "square"),
    "towards_w": _least("moves", "man", "post"),
    "trapped": _equal("square"),
    "waiting_move": _equal(),
    "wrong_corner": _equal("deed", "corner"),
}


@dataclass(frozen=True, slots=True)
class LetsIn:
    """A slower move that shares an idea, and what it lets in that the quicker one does not."""

    move: chess.Move
    blame: Blame


class _Other:
    """Another move from the board, with what is looked for in it once."""

    def __init__(self, before: chess.Board, move: chess.Move) -> None:
        self.move, self._before = move, before
        self.ideas: dict[str, Idea | None] = {}

    @cached_property
    def board(self) -> chess.Board:
        """The board after it."""
        return after_move(self._before, self.move)

    @cached_property
    def counts(self) -> bool:
        """Whether it neither stalemates nor leaves a man to be taken; asked last, since it takes longest."""
        return not hanging(self.board) and any(self.board.generate_legal_moves())


class SlowerMoves:
    """A winning move beside the slower ones, each thing looked for when it is asked for.

    Parameters
    ----------
    before, move : the board and the move; without a truth nothing is slower
    attacker : the side that wins
    truth : knows how long each move takes, None where that is not known
    seen : returns the idea of a kind in a move, given the board after it
    """

    def __init__(
        self, before: chess.Board, move: chess.Move, attacker: chess.Color, truth: Truth | None, seen: SeenOf
    ) -> None:
        self._before, self._move, self._attacker = before, move, attacker
        self._truth, self._seen = truth, seen
        self._blamed: dict[chess.Move, Blame | None] = {}
        self._comes: dict[tuple[chess.Square, int], bool] = {}
        self._hunted: dict[chess.Square, bool] = {}

    @cached_property
    def _later(self) -> list[_Other]:
        """The moves that win later or draw: those of the man that moved first, then those that mate soonest."""
        if self._truth is None or self._before.turn != self._attacker:
            return []
        worth = self._truth.after(self._before)
        outcome, mine = worth[self._move]
        if outcome >= 0 or mine is None:
            return []
        start = self._move.from_square
        found = [
            (other.from_square != start, plies is None, plies or 0, other.uci(), other)
            for other, (lost, plies) in worth.items()
            if lost == 0 or (lost < 0 and plies is not None and plies > mine)
        ]
        return [_Other(self._before, other) for *_, other in sorted(found, key=lambda item: item[:4])]

    @cached_property
    def as_soon(self) -> tuple[chess.Move, ...]:
        """The other moves that win as soon; none where that is not known."""
        if self._truth is None:
            return ()
        worth = self._truth.after(self._before)
        return tuple(other for other, value in worth.items() if value == worth[self._move] and other != self._move)

    def comes_to(self, way: TowardsW, more: int) -> bool:
        """Whether the man that moved comes to its post of the W at best play, in so many more moves than it needs."""
        if (way.post, more) not in self._comes:
            self._comes[way.post, more] = self._truth is not None and self._reaches(way, way.moves + more, self._truth)
        return self._comes[way.post, more]

    def _reaches(self, way: TowardsW, moves: int, truth: Truth) -> bool:
        board, at = self._after, self._move.to_square
        for left in range(moves, 0, -1):
            if moves_between(way.man, at, way.post) > left:
                return False
            reply = longest(board, truth)
            if reply is None:
                return False
            board = after_move(board, reply)
            answer = truth.answer(board)
            if answer is None:
                return False
            board = after_move(board, answer)
            at = answer.to_square if answer.from_square == at else at
            if at == way.post:
                return True
        return False

    def hunts(self, man: chess.Square) -> bool:
        """Whether a step of the king helps to take the defender's only man: it falls in time at their best play.

        The king that stepped is at most two steps from it then, on its way or as the one that takes it.
        """
        if man not in self._hunted:
            self._hunted[man] = self._truth is not None and self._falls(man, self._truth)
        return self._hunted[man]

    def _falls(self, man: chess.Square, truth: Truth) -> bool:
        board, king = self._after, self._move.to_square
        for _ in range(_HUNT):
            reply = longest(board, truth)
            if reply is None:
                return False
            board = after_move(board, reply)
            man = reply.to_square if reply.from_square == man else man
            answer = truth.answer(board)
            if answer is None:
                return False
            if board.is_capture(answer):
                return king_steps(king, man) <= _BESIDE
            king = answer.to_square if answer.from_square == king else king
            board = after_move(board, answer)
        return False

    @cached_property
    def _after(self) -> chess.Board:
        """The board after the winning move."""
        return after_move(self._before, self._move)

    def _may_share(self, idea: Idea, other: _Other) -> bool:
        """Whether a move may share an idea, by what is cheap to see."""
        if isinstance(idea, Threatens):
            return bool(other.board.pawns) or other.board.is_attacked_by(self._attacker, idea.square)
        return idea.kind not in _OF_THE_KING or is_king_step(self._before, other.move)

    def sharing(self, idea: Idea, purpose: Purpose | None = None) -> Iterator[Beside]:
        """Yield the slower moves that share an idea, or a purpose of it, with the boards after them."""
        if purpose is None and idea.kind not in _SAME:
            return
        for other in self._later:
            if not self._may_share(idea, other):
                continue
            if idea.kind not in other.ideas:
                other.ideas[idea.kind] = self._seen(idea.kind, other.move, other.board)
            theirs = other.ideas[idea.kind]
            if theirs is not None and self._same(idea, theirs, purpose, other.move) and other.counts:
                yield other.move, other.board

    def as_bad(self, idea: Idea, purpose: Purpose | None, slip: chess.Move) -> bool:
        """Whether a move that loses at least half as much as a slip shares an idea, or a purpose of it."""
        return any(self._loses_half(move, slip) for move, _ in self.sharing(idea, purpose))

    def half_as_bad(self, slip: chess.Move) -> Iterator[Beside]:
        """Yield the slower moves that lose at least half as many moves as a slip, or the win if it does."""
        for other in self._later:
            if other.move != slip and self._loses_half(other.move, slip) and other.counts:
                yield other.move, other.board

    def as_bad_guards(self, squares: Sequence[chess.Square], slip: chess.Move) -> list[chess.Move]:
        """Return the moves that lose at least half as much as a slip after which all of some squares are guarded."""
        return [
            move
            for move, board in self.half_as_bad(slip)
            if all(board.is_attacked_by(self._attacker, square) for square in squares)
        ]

    def as_bad_cuts_off(self, slip: chess.Move) -> bool:
        """Whether a move that loses at least half as much as a slip cuts the king off, by whatever line."""
        return any(cut_off(men_of(board), self._attacker) is not None for _, board in self.half_as_bad(slip))

    def less_bad_along(self, line: str, slip: chess.Move) -> bool:
        """Whether a move of the man that slipped loses less than the slip, and still cuts the king off by a line."""
        assert self._truth is not None
        worth = self._truth.after(self._before)
        bad = worth[slip].mate_plies
        return any(
            other.move.from_square == slip.from_square
            and worth[other.move].outcome < 0
            and (bad is None or (worth[other.move].mate_plies or 0) < bad)
            and cut_off(men_of(other.board), self._attacker) == line
            and other.counts
            for other in self._later
        )

    def _loses_half(self, move: chess.Move, slip: chess.Move) -> bool:
        assert self._truth is not None
        worth = self._truth.after(self._before)
        least, outcome = worth[slip], worth[move].outcome
        if outcome >= 0 or least.outcome >= 0:
            return outcome >= 0
        mine, plies = worth[self._move].mate_plies or 0, worth[move].mate_plies or 0
        return 2 * (plies - mine) >= (least.mate_plies or 0) - mine

    def _same(self, mine: Idea, other: Idea, purpose: Purpose | None, move: chess.Move) -> bool:
        if purpose is None:
            return _SAME[mine.kind](mine, other)
        assert isinstance(other, KingNearer)
        nearer = purpose is not Purpose.CENTRE or from_edge(move.to_square) >= from_edge(self._move.to_square)
        return purpose in other.purposes and nearer

    def lets_in(self, idea: Idea, purpose: Purpose | None = None) -> LetsIn | None:
        """Return what a slower move of the same man that shares an idea lets in, None without one."""
        if self._truth is None:
            return None
        worth = self._truth.after(self._before)
        shared = self.sharing(idea, purpose)
        # Moves of the same man come first, and those that draw last of them.
        same_man = takewhile(
            lambda beside: beside[0].from_square == self._move.from_square and worth[beside[0]].outcome < 0, shared
        )
        found, mine = [], worth[self._move].mate_plies or 0
        for move, there in islice(same_man, _LOOKED_AT):
            if (worth[move].mate_plies or 0) <= mine + _ONE_MOVE:
                continue
            if move not in self._blamed:
                self._blamed[move] = blame(self._before, move, self._move, self._longest(there))
            lapse = self._blamed[move]
            found += [LetsIn(move, lapse)] if lapse is not None and not self._anyway(lapse) else []
        return min(found, key=lambda item: order(item.blame), default=None)

    def _anyway(self, lapse: Blame) -> bool:
        """Whether the quicker move lets the same in: the man out, or the king beside the man."""
        if lapse.attacks:
            return self._attacked_anyway(lapse)
        if lapse.lapse is not Lapse.MAN_OUT:
            return False
        there = self._after
        away = there.generate_legal_moves(~there.kings)
        return any(not there.is_attacked_by(self._attacker, move.to_square) for move in away)

    def _attacked_anyway(self, lapse: Blame) -> bool:
        """Whether after the quicker move too a step of the king leaves the man, followed where it went, to be taken."""
        there = self._after
        man = chess.BB_SQUARES[self._move.to_square if lapse.lapse is Lapse.IN_REACH else lapse.square]
        steps = (after_move(there, step) for step in there.generate_legal_moves(there.kings))
        return any(takeable(men_of(board), self._attacker) & man for board in steps)

    def _longest(self, board: chess.Board) -> list[chess.Move]:
        """Return the replies of the defender that last longest."""
        assert self._truth is not None
        worth = self._truth.after(board)
        most = max((plies or 0 for _, plies in worth.values()), default=0)
        return sorted((move for move, (_, plies) in worth.items() if plies == most), key=lambda move: move.uci())
