"""What the other side does with the time that a slip of the attacker gives it."""

from __future__ import annotations

from enum import StrEnum

import chess

from matebot.facts.played import Played
from matebot.ideas.blame import stronger_hit
from matebot.ideas.squares import after_move, from_edge, is_king_step, king_steps, men_of, range_mask, takeable
from matebot.play.judged import Judged
from matebot.records import dataclass

#: From farther off a king does nothing for its piece.
_NEAR = 3


class Gain(StrEnum):
    """What a reply brings, the most telling first.

    A man of the attacker hit that was not before, a loose one by the king or a stronger one by a man that nobody
    hits, and the same kind by all, where no best reply to any of the best moves hits one; a king nearer to its only
    man, a piece to within three steps, unless that is attacked and unguarded then; nearer to the attacker's only pawn;
    a step of a pawn, no promotion; a king without a man farther from the edge, where the attacker has no pawn.
    """

    HIT = "hit"
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
    by_king : whether every best reply is a step of the king
    hit : kind of the man that all best replies hit, None where that is not what they bring
    alike : whether all best replies to other moves of the man that come to no more bring it too; of a hit or a push
    range_shrinks : whether the slip takes a fifth of the squares that the king can get to, or more
    range_after : so many squares the king can get to after it
    """

    gains: Gain | None = None
    gains_now: bool = False
    by_king: bool = False
    hit: str | None = None
    alike: bool = False
    range_shrinks: bool = False
    range_after: int = 0

    @classmethod
    def of(cls, played: Played) -> TimeGiven:
        """Return what is done with the time."""
        if played.better is None or not played.by_attacker:
            return cls()
        there = played.judged.after(played.move)
        gains, replies = _gains(there), list(there.best)
        common = [gain for gain in Gain if gains and all(gain in found for found in gains)]
        best = played.best_moves if common else ()
        others = [played.judged.after(move) for move in best]
        instead = {gain for after in others for found in _gains(after) for gain in found}
        if any(is_king_step(after.board, reply) and _inwards(reply) for after in others for reply in after.best):
            instead.add(Gain.CENTRE)  # also of a king that has a man
        hit = _hit_by_all(there.board, replies) if Gain.HIT in common and Gain.HIT not in instead else None
        shared = next((gain for gain in common if gain is not Gain.HIT or hit is not None), None)
        was, now = (
            range_mask(men_of(board), played.before.turn).bit_count() for board in (played.before, played.after)
        )
        shrinks = 5 * now <= 4 * was
        by_king = bool(replies) and all(is_king_step(there.board, reply) for reply in replies)
        if shared is None:
            return cls(None, False, by_king, None, False, shrinks, now)
        fresh = shared not in instead
        alike = fresh and shared in (Gain.HIT, Gain.PUSH) and _as_bad_bring(shared, played)
        return cls(shared, fresh, by_king, hit, alike, shrinks, now)


def _as_bad_bring(gain: Gain, played: Played) -> bool:
    """Whether every best reply to each other move of the man that comes to no more brings a gain."""
    return all(gain in found for move in played.no_better for found in _gains(played.judged.after(move)))


def _gains(there: Judged) -> list[set[Gain]]:
    """Return what each best reply in a position brings."""
    return [_brings(there.board, reply) for reply in there.best]


def _hit_by_all(board: chess.Board, replies: list[chess.Move]) -> str | None:
    """Return the kind of the man that every reply hits, None where they hit different ones."""
    kinds = {board.piece_type_at(square) for reply in replies for square in chess.scan_forward(hits(board, reply))}
    return chess.piece_name(kind) if len(kinds) == 1 and (kind := kinds.pop()) is not None else None


def _brings(board: chess.Board, reply: chess.Move) -> set[Gain]:
    if reply.promotion or board.is_capture(reply):
        return set()
    if board.pawns & chess.BB_SQUARES[reply.from_square]:
        return {Gain.PUSH}
    hit = {Gain.HIT} if hits(board, reply) else set()
    if not is_king_step(board, reply):
        return hit
    mine = board.occupied_co[board.turn] & ~board.kings
    pawns = board.pawns & board.occupied_co[not board.turn]
    goals = {Gain.MAN: mine, Gain.PAWN: pawns}
    found = hit | {gain for gain, men in goals.items() if men.bit_count() == 1 and _nearer(reply, men.bit_length() - 1)}
    if Gain.MAN in found:
        man = mine.bit_length() - 1
        far = not mine & board.pawns and king_steps(reply.to_square, man) > _NEAR  # a pawn waits for its king
        if far or _falls(after_move(board, reply), man):
            found.remove(Gain.MAN)
    if not mine and not pawns and _inwards(reply):
        found.add(Gain.CENTRE)
    return found


def _inwards(step: chess.Move) -> bool:
    return from_edge(step.to_square) > from_edge(step.from_square)


def _falls(there: chess.Board, man: chess.Square) -> bool:
    """Whether the side to move attacks a man that nobody guards."""
    return there.is_attacked_by(there.turn, man) and not there.is_attacked_by(not there.turn, man)


def _nearer(step: chess.Move, goal: chess.Square) -> bool:
    return king_steps(step.to_square, goal) < king_steps(step.from_square, goal)


def hits(board: chess.Board, reply: chess.Move) -> int:
    """Return the men that a reply comes to hit, as bits: loose ones by the king, stronger ones by another man."""
    if not is_king_step(board, reply):
        return stronger_hit(board, reply)
    attacker = not board.turn
    return takeable(men_of(after_move(board, reply)), attacker) & ~takeable(men_of(board), attacker)
