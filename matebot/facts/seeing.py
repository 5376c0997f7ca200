"""The ideas of a move beside its facts, with the names of the moves they speak of; no words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

import chess

from matebot.ideas.answers import Answers
from matebot.ideas.blame import Blame
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.concedes import Concedes
from matebot.ideas.conditions import Condition, changed, ticked
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denies
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.order import Reason, reason
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.expects import Expects
from matebot.ideas.idea import Idea
from matebot.ideas.order import ideas
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.refutation import Refutation
from matebot.ideas.sooner import Sooner
from matebot.ideas.stalemate_trap import StalemateTrap
from matebot.ideas.threatens import Threatens
from matebot.ideas.truth import Truth

_I = TypeVar("_I", bound=Idea)
Names = Mapping[tuple[chess.Move, ...], str]


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen in a move.

    Attributes
    ----------
    ideas : every idea, what teaches most first
    names : moves by their names in SAN: instead of the move (one move), a reply or a threat (the move and it), an
        answer (three); a mate after another move (that and it)
    move : the move
    why_drawn : why the position after the move is drawn, None where it is not, or nothing is known to say
    fulfilled, broken : conditions of the stage before the move that it fulfils and breaks, on the followed ladder
    ticks : the conditions of the stage after the move, and whether each holds
    blame : what the move lets in and the best one would not, where it loses something and replies are looked at
    back : what the move after the best reply does, where the move loses something and still wins; None without
    """

    ideas: tuple[Idea, ...] = ()
    names: Names | None = None
    move: chess.Move | None = None
    why_drawn: Reason | None = None
    fulfilled: tuple[Condition, ...] = ()
    broken: tuple[Condition, ...] = ()
    ticks: tuple[tuple[Condition, bool], ...] = ()
    blame: Blame | None = None
    back: Next | None = None

    def idea(self, kind: type[_I]) -> _I | None:
        """Return the idea of a kind, None where it is not seen."""
        return next((idea for idea in self.ideas if isinstance(idea, kind)), None)

    def name(self, *moves: chess.Move) -> str:
        """Return a move's name: moves played one after the other, or one instead of the move."""
        assert self.names is not None
        return self.names[moves]


def opens_cage(seen: Seen) -> bool:
    """Whether a move opens the cage."""
    idea = seen.idea(Cage)
    return idea is not None and idea.change is CageChange.OPENS


def see(
    before: chess.Board,
    move: chess.Move,
    after: chess.Board,
    attacker: chess.Color | None,
    truth: Truth | None,
    stages: tuple[tuple[str, int], tuple[str, int]] | None,
    drawn: Truth | None,
) -> Seen:
    """Return what is seen in a move.

    Parameters
    ----------
    truth : None where the clock or the history may change what it says
    stages : ladder and stage (0 the first) before and after, None where the method has no say in either
    drawn : knows what is drawn, where the position after the move is; else None
    """
    side = before.turn if attacker is None else attacker
    found = ideas(before, move, after, side, truth)
    why = None
    if drawn is not None:
        strong = side if after.occupied_co[side] & ~after.kings else not side
        why = reason(after, strong, partial(_holds, drawn, not strong))
    fulfilled, broken, ticks = tuple[Condition, ...](), tuple[Condition, ...](), tuple[tuple[Condition, bool], ...]()
    if stages is not None and attacker is not None:
        (ladder, stage), (later, now) = stages
        fulfilled, broken = changed(ladder, stage, before, after, attacker)
        ticks = tuple(ticked(later, now, after, attacker).items())
    names = dict(_names(before, move, after, found))
    if isinstance(why, MinorHoldsRook) and why.double is not None:
        names |= dict(_then(move, after, why.double, why.answer))
    return Seen(found, names, move, why, fulfilled, broken, ticks)


def _holds(knows: Truth, side: chess.Color, board: chess.Board) -> bool:
    """Whether a side does not lose a position."""
    outcome = knows.outcome(board)
    return outcome >= 0 if board.turn == side else outcome <= 0


def _then(
    move: chess.Move, after: chess.Board, reply: chess.Move, answer: chess.Move | None
) -> Iterator[tuple[tuple[chess.Move, ...], str]]:
    yield (move, reply), after.san(reply)
    if answer is not None:
        then = after.copy(stack=False)
        then.push(reply)
        yield (move, reply, answer), then.san(answer)


def _names(
    before: chess.Board, move: chess.Move, after: chess.Board, found: tuple[Idea, ...]
) -> Iterator[tuple[tuple[chess.Move, ...], str]]:
    for idea in found:
        if isinstance(idea, Refutation) and idea.reply is not None:
            yield (move, idea.reply), after.san(idea.reply)
        elif isinstance(idea, Sooner):
            yield (idea.better,), before.san(idea.better)
        elif isinstance(idea, Prepares):
            yield from _then(move, after, idea.reply, idea.move)
        elif isinstance(idea, Threatens):
            again = after.copy(stack=False)
            again.turn, again.ep_square = before.turn, None
            yield (move, idea.move), again.san(idea.move)
        elif isinstance(idea, EscapesMate):
            yield from _instead(before, idea.other, idea.mate)
        elif isinstance(idea, Critical):
            yield from _instead(before, idea.next_best, idea.answer)
        elif isinstance(idea, Denies):
            yield from _instead(before, idea.other, idea.answer)
        elif isinstance(idea, Pitfall):
            yield from _instead(before, idea.other, idea.reply)
        elif isinstance(idea, Expects):
            yield (move, idea.reply), after.san(idea.reply)
        elif isinstance(idea, Concedes):
            yield (move, idea.answer), after.san(idea.answer)
        elif isinstance(idea, StalemateTrap):
            for other in idea.moves:
                if other in before.legal_moves:
                    yield (other,), before.san(other)
                else:
                    yield (move, other), after.san(other)
        elif isinstance(idea, Answers):
            yield from _answers(move, after, idea)


def _instead(
    before: chess.Board, other: chess.Move, answer: chess.Move | None
) -> Iterator[tuple[tuple[chess.Move, ...], str]]:
    yield (other,), before.san(other)
    if answer is not None:
        then = before.copy(stack=False)
        then.push(other)
        yield (other, answer), then.san(answer)


def _answers(move: chess.Move, after: chess.Board, idea: Answers) -> Iterator[tuple[tuple[chess.Move, ...], str]]:
    for answer in idea.answers:
        for reply in answer.replies:
            yield (move, reply), after.san(reply)
            if answer.move is not None:
                then = after.copy(stack=False)
                then.push(reply)
                yield (move, reply, answer.move), then.san(answer.move)
