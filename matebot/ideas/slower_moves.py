"""A winning move beside those that win later: what they show too is no reason for it.

Definition. A move of the attacker is *slower* than a winning one when it wins as well but mates at least one move
later, or draws, and neither stalemates nor leaves a man of his that could be taken for nothing. It *shares* an idea
when it shows one of the same kind about the same thing: the same man, square, line or corner, or as little room or as
few steps, as listed here by kind; of what is not listed nothing is shared. Of two purposes of a king's step each is
shared by itself.

A slower move of the same man that wins and shares an idea *lets in* what is blamed on it, held against the winning
move and those as good: the replies are the ones that last longest. Of several such moves the first counts by what it
lets in (see `blame`), then the one that mates soonest, then the first by its squares' names.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import chess

from matebot.ideas.blame import Blame, blame, order
from matebot.ideas.box import BoxChange
from matebot.ideas.cage import CageChange
from matebot.ideas.cut_off import CutChange
from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.squares import from_edge
from matebot.ideas.truth import Truth

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


#: What tells that two ideas of a kind are about the same thing.
_SAME: dict[str, _Same] = {
    "barrier": _equal("by_bishop", "by_knight"),
    "box": _same_box,
    "cage": _same_cage,
    "cut_off": lambda mine, other: other.change is not CutChange.GIVES_UP and other.line == mine.line,
    "cuts_from_pawn": _equal("line"),
    "drives": _equal("where", "corner"),
    "guards": lambda mine, other: not other.let_go,
    "holds_pawn": _equal("how", "pawn"),
    "king_up": _least("steps", "held_by"),
    "knights_w": _equal("state", "step", "corner"),
    "minor_lost": _equal("square", "corner"),
    "narrows": _least("size_after"),
    "nears_man": _least("steps", "inside"),
    "off_the_rim": _equal("man"),
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
        self._sharing: dict[tuple[str, Purpose | None], list[Beside]] = {}

    @cached_property
    def _slower(self) -> list[Beside]:
        """The slower moves with the boards after them, those that mate soonest first."""
        if self._truth is None or self._before.turn != self._attacker:
            return []
        worth = self._truth.after(self._before)
        outcome, mine = worth[self._move]
        if outcome >= 0 or mine is None:
            return []
        found = []
        for other, (lost, plies) in worth.items():
            if lost > 0 or (plies is not None and plies <= mine):
                continue
            there = self._before.copy(stack=False)
            there.push(other)
            if not hanging(there) and not (lost == 0 and there.is_stalemate()):
                found.append((plies is None, plies or 0, other.uci(), other, there))
        return [(other, there) for *_, other, there in sorted(found, key=lambda item: item[:3])]

    def sharing(self, idea: Idea, purpose: Purpose | None = None) -> list[Beside]:
        """Return the slower moves that share an idea, or a purpose of it, with the boards after them."""
        key = idea.kind, purpose
        if purpose is None and idea.kind not in _SAME:
            return []
        if key not in self._sharing:
            self._sharing[key] = [
                (move, there)
                for move, there in self._slower
                if (other := self._seen(idea.kind, move, there)) is not None and self._same(idea, other, purpose, move)
            ]
        return self._sharing[key]

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
        mine = worth[self._move].mate_plies
        equal = [move for move, (_, plies) in worth.items() if plies == mine and move != self._move]
        found = []
        for move, there in self.sharing(idea, purpose):
            if worth[move].outcome < 0 and move.from_square == self._move.from_square:
                lapse = blame(self._before, move, self._move, self._longest(there), [equal])
                found += [LetsIn(move, lapse)] if lapse is not None else []
        return min(found, key=lambda item: order(item.blame), default=None)

    def _longest(self, board: chess.Board) -> list[chess.Move]:
        """Return the replies of the defender that last longest."""
        assert self._truth is not None
        worth = self._truth.after(board)
        most = max((plies or 0 for _, plies in worth.values()), default=0)
        return sorted((move for move, (_, plies) in worth.items() if plies == most), key=lambda move: move.uci())
