"""What a move costs, held against the best one in the style of attack in force."""

from __future__ import annotations

import chess

from matebot.facts.man_moved import victim_of
from matebot.facts.places import falls_back
from matebot.facts.played import Played
from matebot.ideas.seeing import opens_cage
from matebot.ideas.squares import after_move
from matebot.play.ranking import Ranked, as_good
from matebot.records import dataclass
from matebot.terms import Mistake


@dataclass(frozen=True, slots=True)
class Cost:
    """What a move gives away.

    Attributes
    ----------
    mistake : what, judged by the style of attack in force
    moves_lost : moves the win got longer (attack) or shorter (defence) by this move; 0 for the best, and where the
        outcome changed; None where only bounds are known
    loses, loses_to : kind of the man lost by a move that is worse than the best, and the best reply that takes it (SAN)
    retaken : the move that takes back then (SAN), None where none does: then men are exchanged
    loose_before : whether it stood there before the move and was attacked by the same man, and nobody guarded it
    """

    mistake: Mistake
    moves_lost: int | None
    loses: str | None
    loses_to: str | None
    loose_before: bool = False
    retaken: str | None = None

    @classmethod
    def of(cls, played: Played) -> Cost:
        """Return what a move costs."""
        lost = played.standard.lost(played.ranked)
        loses = _loses(played)
        if loses is None:
            return cls(_mistake(played, lost, man_lost=False), lost, None, None)
        kind, reply = loses
        mistake, loose = _mistake(played, lost, man_lost=True), _loose_before(played, reply)
        return cls(mistake, lost, kind, played.after.san(reply), loose, _retaken(played, reply))


def _retaken(played: Played, reply: chess.Move) -> str | None:
    """Return the first move by its name that takes what has taken a man."""
    there, came = after_move(played.after, reply), chess.BB_SQUARES[reply.to_square]
    return min((there.san(move) for move in there.generate_legal_moves(chess.BB_ALL, came)), default=None)


def _loose_before(played: Played, reply: chess.Move) -> bool:
    """Whether the man that a reply takes could have been taken by the same man if the move had not been made."""
    before, square = played.before, reply.to_square
    attacked = bool(before.attacks_mask(reply.from_square) & chess.BB_SQUARES[square])
    stood = played.move.to_square != square and bool(before.occupied_co[before.turn] & chess.BB_SQUARES[square])
    return stood and attacked and not before.is_attacked_by(before.turn, square)


def _mistake(played: Played, lost: int | None, man_lost: bool) -> Mistake:
    if played.method_moves:
        return Mistake.NONE
    if played.ranked.outcome < played.standard.ranking[0].outcome:
        return Mistake.OUTCOME
    if not lost:
        return Mistake.NONE
    if man_lost:
        return Mistake.MAN
    if played.by_attacker and falls_back(played.judged.standings, played.standings):
        return Mistake.STAGE
    if played.by_attacker and opens_cage(played.seen):
        return Mistake.CAGE
    return Mistake.MOVES if lost > 1 else Mistake.SLOWER


def _loses(played: Played) -> tuple[str, chess.Move] | None:
    """Return the kind of man a worse move loses, and the reply that takes it.

    A man is lost where one of the best replies takes it and the best move would have kept it, without an exchange: no
    best reply takes one of its kind then, nor, where the outcome is the same, any reply for nothing.
    """
    if played.better is None or played.before.is_capture(played.move):
        return None
    if (taken := _taken(played, played.ranked)) is None:
        return None
    spared = _taken(played, played.better)
    kept = (spared is None or spared[0] != taken[0]) and not _left_as_well(played, taken[0])
    return taken if kept else None


def _left_as_well(played: Played, kind: str) -> bool:
    """Whether the best move, with the same outcome, leaves a man of a kind to be taken for nothing as well."""
    if played.better is None or played.better.outcome != played.ranked.outcome:
        return False
    there = played.judged.after(played.better.move)
    for reply in there.ranking:
        victim = victim_of(there.board, reply.move)
        if victim is not None and chess.piece_name(victim) == kind and reply.outcome == there.ranking[0].outcome:
            after = after_move(there.board, reply.move)
            if all(back.to_square != reply.move.to_square for back in after.generate_legal_moves()):
                return True
    return False


def _taken(played: Played, item: Ranked) -> tuple[str, chess.Move] | None:
    """Return the kind of man that a best reply to a move takes, and the reply."""
    there = played.judged.after(item.move)
    for reply in there.ranking:
        if not as_good(reply, there.ranking[0]):
            break
        victim = victim_of(there.board, reply.move)
        if victim is not None:
            return chess.piece_name(victim), reply.move
    return None
