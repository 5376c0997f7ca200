"""The ideas of a move beside its facts, with the names of the moves they speak of; no words."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property, partial
from typing import TypeVar

import chess

from matebot.ideas.blame import Blame
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.conditions import changed, ticked
from matebot.ideas.contrast import Contrast
from matebot.ideas.drawn.order import Reason, reason
from matebot.ideas.holding import Holding
from matebot.ideas.idea import Idea
from matebot.ideas.order import ORDER, idea_of
from matebot.ideas.prepares import Next
from matebot.ideas.quick_board import quick
from matebot.ideas.reply_deed import ReplyDeed, of_reply
from matebot.ideas.slower_moves import SlowerMoves
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.method.condition import Condition
from matebot.method.plan import Stage

_I = TypeVar("_I", bound=Idea)
#: The stage before and after.
Stages = tuple[Stage, Stage]


class Seen:
    """What is seen in a move, each thing looked for when it is first asked for: most of it never is.

    Parameters
    ----------
    before, move, after : the boards, which must stay as they are, and the move
    attacker : the side that wins or has the stronger men; None when the men are equal
    truth : None where the clock or the history may change what it says
    stages : those before and after on the followed ladder, None where the method has no say in either
    drawn : knows what is drawn, where the position after the move is; else None
    blame, back : work out what is seen in the replies
    """

    def __init__(
        self,
        before: chess.Board,
        move: chess.Move,
        after: chess.Board,
        attacker: chess.Color | None,
        truth: Truth | None = None,
        stages: Stages | None = None,
        drawn: Truth | None = None,
        blame: Callable[[], Blame | None] | None = None,
        back: Callable[[], Next | None] | None = None,
    ) -> None:
        self.move = move
        self._blame, self._back = blame, back
        self._boards = (before, after)
        self._attacker, self._truth, self._stages, self._drawn = attacker, truth, stages, drawn
        self._ideas: dict[str, Idea | None] = {}
        self._names: dict[tuple[chess.Move, ...], str] = {}

    @property
    def answers_check(self) -> bool:
        """Whether the move answers a check."""
        return self._boards[0].is_check()

    @property
    def discovers_check(self) -> bool:
        """Whether the move gives check by another man only, whose line it opens."""
        checkers = self._boards[1].checkers_mask()
        return bool(checkers) and not checkers >> self.move.to_square & 1

    @cached_property
    def blame(self) -> Blame | None:
        """What the move lets in and the best one would not, where it loses something."""
        return None if self._blame is None else self._blame()

    @cached_property
    def back(self) -> Next | None:
        """What the move after the best reply does, where the move loses something and still wins; None without."""
        return None if self._back is None else self._back()

    @property
    def ideas(self) -> tuple[Idea, ...]:
        """Every idea, what teaches most first."""
        return tuple(idea for entry in ORDER if (idea := self._idea(entry.kind)) is not None)

    def idea(self, kind: type[_I]) -> _I | None:
        """Return the idea of a kind, None where it is not seen."""
        found = self._idea(kind.kind)
        assert found is None or isinstance(found, kind)
        return found

    def _idea(self, kind: str) -> Idea | None:
        if kind not in self._ideas:
            before, after = self._boards
            side = before.turn if self._attacker is None else self._attacker
            self._ideas[kind] = idea_of(kind, before, self.move, after, side, self._truth)
        return self._ideas[kind]

    @cached_property
    def contrast(self) -> Contrast:
        """The move beside those that lose sooner."""
        before, after = self._boards
        return Contrast(before, self.move, after, self._side(before), self._truth, self._beside)

    @cached_property
    def slower_moves(self) -> SlowerMoves:
        """The move beside those that win later."""
        before, _ = self._boards
        return SlowerMoves(before, self.move, self._side(before), self._truth, self._beside)

    @cached_property
    def holding(self) -> Holding:
        """The move, by which a draw is held, beside the others."""
        before, _ = self._boards
        return Holding(before, self.move, self._side(before), self._truth)

    def _side(self, before: chess.Board) -> chess.Color:
        return before.turn if self._attacker is None else self._attacker

    @property
    def _beside(self) -> Callable[[str, chess.Move, chess.Board], Idea | None]:
        """What sees the idea of a kind in another move from the same board; it does not hold this."""
        before, _ = self._boards
        return partial(_idea_beside, before, self._side(before), self._truth)

    @cached_property
    def why_drawn(self) -> Reason | None:
        """Why the position after the move is drawn, None where it is not, or nothing is known to say."""
        if self._drawn is None:
            return None
        before, after = self._boards
        side = before.turn if self._attacker is None else self._attacker
        strong = side if after.occupied_co[side] & ~after.kings else not side
        return reason(after, strong, partial(_holds, self._drawn, not strong))

    @cached_property
    def _changed(self) -> tuple[tuple[Condition, ...], tuple[Condition, ...]]:
        if self._stages is None or self._attacker is None:
            return (), ()
        return changed(self._stages[0], *self._boards, self._attacker)

    @property
    def fulfilled(self) -> tuple[Condition, ...]:
        """Conditions of the stage before the move that it fulfils, on the followed ladder."""
        return self._changed[0]

    @property
    def broken(self) -> tuple[Condition, ...]:
        """Conditions of the stage before the move that it breaks."""
        return self._changed[1]

    @cached_property
    def ticks(self) -> tuple[tuple[Condition, bool], ...]:
        """The conditions of the stage after the move, and whether each holds."""
        if self._stages is None or self._attacker is None:
            return ()
        return tuple(ticked(self._stages[1], self._boards[1], self._attacker).items())

    def lets_stand(self, reply: chess.Move) -> bool:
        """Whether a reply is legal after the move, and what makes it cannot be taken then."""
        if not self._boards[1].is_legal(reply):
            return False
        there = quick(self._boards[1])
        there.push(reply)
        return not any(move.to_square == reply.to_square for move in there.generate_legal_captures())

    def goes_alike(self, reply: chess.Move, answer: chess.Move) -> bool:
        """Whether a reply is legal after the move, and an answer to it a best one: not known, no."""
        if self._truth is None or not self._boards[1].is_legal(reply):
            return False
        worth = self._truth.after(after_move(self._boards[1], reply))
        won = [value.mate_plies or 0 for value in worth.values() if value.outcome < 0]
        mine = worth.get(answer)
        return mine is not None and mine.outcome < 0 and mine.mate_plies == min(won)

    def moves_after(self, reply: str, answer: str) -> tuple[chess.Move, chess.Move]:
        """Return a reply and the answer to it, given by their names in SAN."""
        first = self._boards[1].parse_san(reply)
        return first, after_move(self._boards[1], first).parse_san(answer)

    def reply_does(self, name: str) -> ReplyDeed | None:
        """Return what a reply, given by its name in SAN, does that is seen on the board."""
        after = self._boards[1]
        return of_reply(after, after.parse_san(name))

    def attacked(self, square: chess.Square) -> bool:
        """Whether any man of the side that moved guards a square after the move."""
        return bool(self._boards[1].attackers_mask(self._boards[0].turn, square))

    def attacked_already(self, square: chess.Square) -> bool:
        """Whether a man of the side that moved guards a square before the move and another, or the same, after it."""
        turn = self._boards[0].turn
        was, now = (board.attackers_mask(turn, square) for board in self._boards[:2])
        return bool(was & now)

    def lets_go(self, square: chess.Square) -> bool:
        """Whether the man that moved guarded a square that it does not guard now."""
        was, now = (
            self._boards[0].attacks_mask(self.move.from_square),
            self._boards[1].attacks_mask(self.move.to_square),
        )
        return bool((was & ~now) >> square & 1)

    def comes_to_guard(self, square: chess.Square) -> bool:
        """Whether the man that moved guards a square that it did not guard before."""
        was, now = (
            self._boards[0].attacks_mask(self.move.from_square),
            self._boards[1].attacks_mask(self.move.to_square),
        )
        return bool((now & ~was) >> square & 1)

    def is_written_alike(self, answer: chess.Move) -> bool:
        """Whether an answer has the same name in SAN after every reply."""
        return len({self.name_after(reply, answer) for reply in self._boards[1].legal_moves}) == 1

    def name_after(self, *moves: chess.Move) -> str:
        """Return the last of some moves after the one that is seen by its name in SAN, as `name` does."""
        return self.name(self.move, *moves)

    def name(self, *moves: chess.Move) -> str:
        """Return the last of some moves by its name in SAN.

        The first is the move, or one instead of it; what comes next is a reply, or what the same side threatens to play
        then; what comes last is the answer to the reply.
        """
        if moves not in self._names:
            board = quick(self._boards[0])
            for move in moves[:-1]:
                board.push(move)
            mover = board.color_at(moves[-1].from_square)
            if mover is not None and mover != board.turn:
                board.turn, board.ep_square = mover, None
            self._names[moves] = board.san(moves[-1])
        return self._names[moves]


def opens_cage(seen: Seen) -> bool:
    """Whether a move opens the cage."""
    idea = seen.idea(Cage)
    return idea is not None and idea.change is CageChange.OPENS


def _idea_beside(
    before: chess.Board, side: chess.Color, truth: Truth | None, kind: str, move: chess.Move, there: chess.Board
) -> Idea | None:
    return idea_of(kind, before, move, there, side, truth)


def _holds(knows: Truth, side: chess.Color, board: chess.Board) -> bool:
    """Whether a side does not lose a position."""
    outcome = knows.outcome(board)
    return outcome >= 0 if board.turn == side else outcome <= 0
