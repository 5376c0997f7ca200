"""What the other side does with the time that a slip of the attacker gives it."""

from __future__ import annotations

from enum import StrEnum

import chess

from matebot.facts.played import Played
from matebot.facts.standard import as_good, comparable
from matebot.ideas.squares import from_edge, is_king_step, king_steps, men_of, range_mask
from matebot.play.judged import Judged
from matebot.records import dataclass


class Gain(StrEnum):
    """What a reply brings, the most telling first.

    A king nearer to its only man; nearer to the attacker's only pawn; a step of a pawn, no promotion; a king without a
    man farther from the edge, where the attacker has no pawn.
    """

    MAN = "man"
    PAWN = "pawn"
    PUSH = "push"
    CENTRE = "centre"


@dataclass(frozen=True, slots=True)
class TimeGiven:
    """The most telling gain that every best reply to a slip of the attacker brings, and what that takes after all.

    Attributes
    ----------
    gains : None where they have none in common
    gains_now : whether no best reply to any of the best moves brings it
    range_shrinks : whether the slip takes a fifth of the squares that the king can get to, or more
    """

    gains: Gain | None = None
    gains_now: bool = False
    range_shrinks: bool = False

    @classmethod
    def of(cls, played: Played) -> TimeGiven:
        """Return what is done with the time."""
        if played.better is None or not played.by_attacker:
            return cls()
        gains = _gains(played.judged.after(played.move))
        shared = next((gain for gain in Gain if gains and all(gain in found for found in gains)), None)
        was, now = (
            range_mask(men_of(board), played.before.turn).bit_count() for board in (played.before, played.after)
        )
        shrinks = 5 * now <= 4 * was
        if shared is None:
            return cls(range_shrinks=shrinks)
        instead = (_gains(played.judged.after(move)) for move in played.best_moves)
        return cls(shared, not any(shared in found for after in instead for found in after), shrinks)


def _gains(there: Judged) -> list[set[Gain]]:
    """Return what each best reply in a position brings; none where the best cannot be told."""
    if not comparable(there.ranking):
        return []
    best = (item.move for item in there.ranking if as_good(item, there.ranking[0]))
    return [_brings(there.board, reply) for reply in best]


def _brings(board: chess.Board, reply: chess.Move) -> set[Gain]:
    if reply.promotion or board.is_capture(reply):
        return set()
    if board.pawns & chess.BB_SQUARES[reply.from_square]:
        return {Gain.PUSH}
    if not is_king_step(board, reply):
        return set()
    mine = board.occupied_co[board.turn] & ~board.kings
    pawns = board.pawns & board.occupied_co[not board.turn]
    goals = {Gain.MAN: mine, Gain.PAWN: pawns}
    found = {gain for gain, men in goals.items() if men.bit_count() == 1 and _nearer(reply, men.bit_length() - 1)}
    if not mine and not pawns and from_edge(reply.to_square) > from_edge(reply.from_square):
        found.add(Gain.CENTRE)
    return found


def _nearer(step: chess.Move, goal: chess.Square) -> bool:
    return king_steps(step.to_square, goal) < king_steps(step.from_square, goal)
