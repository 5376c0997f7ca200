"""What a move of the attacker lets in that a better one would keep out.

Definition. The move and the better one are each followed by the same reply to the move. The reply shows a lapse where
it is a step of the defending king next to a man that nobody guards and that it may not take so after the better move:

- *guard taken*: the man that moved guarded it alone;
- *in reach*: it is the man that moved;
- *left loose*: it is another man;

or a step to two steps from a man, from farther away

- *unguarded*: that the man that moved guarded alone before the move, that nobody guards after it, and that the better
  move moves or leaves guarded;

or a step to a square that no man guards after the move, and one guards after the better move:

- *let go*: the man that moved guarded it alone before;
- *left open*: nobody guarded it before;

where it leads somewhere, to the centre where it was let go, only as far as no step leads there after the better move,
and after the others where the square is left open;

or a move of another man:

- *hit*: it attacks a stronger man of the attacker, guarded by none itself, and does not so after the better move;
- *man out*: no pawn, to a square that nobody guards after the move and it, and a man does after the better move and it;
- *time*: not legal after the better move, which gives check, as the move does not.

A lapse counts only where it shows beside each of the other moves as well that the move is held against, about the
same man or square; that a man is attacked, hit or unguarded, or a square let go or left open, only where no other
move of the same man that comes to no more keeps that out: else nothing hangs on it. Nor does anything where a reply
that shows no such lapse is as good; where a way is left, one that leads nowhere may be. Of several replies the first by
this list counts, then one that leads somewhere by the ways of `shuts_way`, in their order, then the first of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import chess

from matebot.ideas.quick_board import quick
from matebot.ideas.refutation import STRENGTH, leads
from matebot.ideas.shuts_way import Aim
from matebot.ideas.squares import (
    after_move,
    guarding,
    is_king_step,
    kind_of,
    king_steps,
    lines_holding,
    men_of,
    shut_mask,
    takeable,
)


class Lapse(Enum):
    """What a move lets in."""

    GUARD_TAKEN = "guard taken"
    IN_REACH = "in reach"
    LEFT_LOOSE = "left loose"
    UNGUARDED = "unguarded"
    LET_GO = "let go"
    LEFT_OPEN = "left open"
    HIT = "hit"
    MAN_OUT = "man out"
    TIME = "time"


_NEAR = 2
_WAYS = (Lapse.LET_GO, Lapse.LEFT_OPEN)
_SQUARE_LEFT = (Lapse.UNGUARDED, *_WAYS)
_ATTACKS = (Lapse.GUARD_TAKEN, Lapse.IN_REACH, Lapse.LEFT_LOOSE)


@dataclass(frozen=True, slots=True)
class Blame:
    """A reply that a move lets in and the better move keeps out.

    Attributes
    ----------
    lapse : what shows it
    reply : the reply (SAN)
    man, square : kind and square of the man attacked, hit or unguarded; kind and goal of a man let out; else kind of
        the man that moved, and the square of the reply
    line : a line the man that moved has left, and on which it held the square: "rank 5"; "" without, and where the
        better move leaves it as well
    leads, target : where the step leads, and the man or corner it is about; None without
    shuts : whether the man that makes the better move guards the square of the reply after it
    same_man : whether the better move is made by the man that moved
    told_from : the moves beside which it shows, in long algebraic form
    """

    lapse: Lapse
    reply: str
    man: chess.PieceType
    square: chess.Square
    line: str = ""
    leads: Aim | None = None
    target: chess.Square | None = None
    shuts: bool = False
    same_man: bool = False
    told_from: tuple[str, ...] = ()

    @property
    def attacks(self) -> bool:
        """Whether a man is attacked by the reply."""
        return self.lapse in _ATTACKS


@dataclass(frozen=True, slots=True)
class _Case:
    """A move and the better one from one position."""

    before: chess.Board
    move: chess.Move
    better: chess.Move
    played: chess.Board
    wanted: chess.Board
    attacker: chess.Color
    best: tuple[chess.Board, ...]


def blame(
    board: chess.Board,
    move: chess.Move,
    better: chess.Move,
    replies: Sequence[chess.Move],
    others: Sequence[Sequence[chess.Move]] = ((),),
    no_better: Callable[[], Sequence[chess.Move]] = tuple,
) -> Blame | None:
    """Return what a move of the attacker, who is to move, lets in by one of the replies; None without a difference.

    Parameters
    ----------
    others : the other moves that the move is held against: a choice of them, and further choices for where nothing is
        seen beside the first
    no_better : returns other moves of the same man that come to no more
    """
    played, wanted = after_move(board, move), after_move(board, better)
    for choice in others:
        beside = [(other, after_move(board, other)) for other in choice]
        best = (wanted, *(there for _, there in beside))
        case = _Case(board, move, better, played, wanted, board.turn, best)
        cases = [replace(case, better=other, wanted=there) for other, there in beside]
        lapses = [_lapse(case, reply) for reply in replies]
        found = [(lapse, reply) for lapse, reply in zip(lapses, replies, strict=True) if lapse is not None]
        for lapse, reply in sorted(found, key=lambda item: order(item[0])):
            shown = all(_same(lapse, _lapse(other, reply)) for other in cases)
            if not shown or any(_kept(case, lapse, reply, other) for other in no_better()):
                continue
            if all(_alike(case, lapse, *other) for other in zip(lapses, replies, strict=True)):
                return replace(lapse, told_from=tuple(other.uci() for other in (better, *choice)))
    return None


def _kept(case: _Case, lapse: Blame, reply: chess.Move, other: chess.Move) -> bool:
    """Whether a move that comes to no more keeps out what another lets in: then nothing hangs on that."""
    there = after_move(case.before, other)
    if lapse.lapse in _SQUARE_LEFT:
        return bool(chess.BB_SQUARES[lapse.square] & shut_mask(men_of(there), case.attacker))
    if lapse.lapse is Lapse.HIT:
        return reply not in there.legal_moves or not stronger_hit(there, reply)
    if lapse.lapse not in _ATTACKS:
        return False
    return _hit(replace(case, move=other, played=there), reply) is None if reply in there.legal_moves else True


def _same(lapse: Blame, other: Blame | None) -> bool:
    return other is not None and (lapse.lapse, lapse.square) == (other.lapse, other.square)


def _alike(case: _Case, lapse: Blame, other: Blame | None, reply: chess.Move) -> bool:
    """Whether another reply shows a lapse of the same kind, or is a step to nowhere where a way is left."""
    if lapse.lapse in _WAYS and lapse.leads is not None:
        if other is not None:
            return other.lapse in _WAYS or other.leads is not None
        return is_king_step(case.played, reply) and leads(case.played, reply, case.attacker)[0] is None
    return other is not None and (other.lapse, other.square) == (lapse.lapse, lapse.square)


def order(found: Blame) -> tuple[int, int]:
    """Return by what of several lapses the first counts."""
    return list(Lapse).index(found.lapse), [*Aim, None].index(found.leads)


def _lapse(case: _Case, reply: chess.Move) -> Blame | None:
    moved = kind_of(case.before, case.move.from_square)
    if not is_king_step(case.played, reply):
        return _by_man(case, reply, moved)
    aim, target = leads(case.played, reply, case.attacker)
    hit = _hit(case, reply)
    if hit is not None:
        man = kind_of(case.played, hit)
        return Blame(_how_loose(case, hit), case.played.san(reply), man, hit, "", aim, target)
    unguarded = _unguarded(case, reply)
    goal = chess.BB_SQUARES[reply.to_square]
    if unguarded is not None or case.played.is_capture(reply):
        return unguarded
    if goal & shut_mask(men_of(case.before), case.attacker) & ~_alone(case):
        return None
    if not all(goal & shut_mask(men_of(best), case.attacker) for best in case.best):
        return None
    held = bool(goal & _alone(case))
    if (aim is Aim.CENTRE or (aim and not held)) and _leads_anyway((case.wanted,) if held else case.best, aim):
        aim = target = None
    shuts = bool(goal & dict(guarding(men_of(case.wanted), case.attacker))[case.better.to_square])
    return Blame(
        Lapse.LET_GO if held else Lapse.LEFT_OPEN,
        case.played.san(reply),
        moved,
        reply.to_square,
        _line(case, reply.to_square) if held else "",
        aim,
        target,
        shuts,
        case.move.from_square == case.better.from_square,
    )


def _leads_anyway(boards: Sequence[chess.Board], aim: Aim) -> bool:
    """Whether after one of some moves a step of the king leads there, wherever the man it leads to has gone."""
    return any(
        leads(board, step, not board.turn)[0] is aim
        for board in boards
        for step in board.generate_legal_moves(board.kings)
    )


def _hit(case: _Case, reply: chess.Move) -> chess.Square | None:
    """Return the first loose man that a step of the king comes to attack, and would not after the better move."""
    if not chess.BB_KING_ATTACKS[reply.to_square] & case.played.occupied_co[case.attacker] & ~case.played.kings:
        return None
    loose = takeable(men_of(after_move(case.played, reply)), case.attacker)
    loose &= ~takeable(men_of(case.played), case.attacker)
    threatened = 0
    if loose and reply in case.wanted.legal_moves:
        threatened = takeable(men_of(after_move(case.wanted, reply)), case.attacker)
    for square in chess.scan_forward(loose):
        home = case.move.from_square if square == case.move.to_square else square
        there = case.better.to_square if home == case.better.from_square else home
        if not threatened >> there & 1:
            return square
    return None


def _unguarded(case: _Case, reply: chess.Move) -> Blame | None:
    """Return the man that has lost its guard and that a step of the king goes for."""
    mine = case.played.occupied_co[case.attacker] & ~case.played.kings & ~chess.BB_SQUARES[case.move.to_square]
    lost = mine & _alone(case) & ~shut_mask(men_of(case.played), case.attacker)
    safe = shut_mask(men_of(case.wanted), case.attacker) | chess.BB_SQUARES[case.better.from_square]
    for square in chess.scan_forward(lost & safe):
        if king_steps(reply.to_square, square) == _NEAR < king_steps(reply.from_square, square):
            return Blame(Lapse.UNGUARDED, case.played.san(reply), kind_of(case.played, square), square)
    return None


def _by_man(case: _Case, reply: chess.Move, moved: chess.PieceType) -> Blame | None:
    name = case.played.san(reply)
    for square in chess.scan_forward(stronger_hit(case.played, reply)):
        home = case.move.from_square if square == case.move.to_square else square
        there = case.better.to_square if home == case.better.from_square else home
        if reply not in case.wanted.legal_moves or not stronger_hit(case.wanted, reply) >> there & 1:
            return Blame(Lapse.HIT, name, kind_of(case.played, square), square)
    if reply not in case.wanted.legal_moves:
        checks = case.wanted.is_check() and not case.played.is_check()
        return Blame(Lapse.TIME, name, moved, reply.to_square) if checks else None
    then, instead = quick(case.played), quick(case.wanted)
    then.push(reply)
    instead.push(reply)
    kind = kind_of(case.played, reply.from_square)
    if kind == chess.PAWN or case.played.is_capture(reply) or then.is_attacked_by(case.attacker, reply.to_square):
        return None
    guards = instead.attackers_mask(case.attacker, reply.to_square)
    shuts = bool(guards & chess.BB_SQUARES[case.better.to_square])
    return Blame(Lapse.MAN_OUT, name, kind, reply.to_square, shuts=shuts) if guards else None


def stronger_hit(board: chess.Board, reply: chess.Move) -> int:
    """Return the stronger men that the man that replies attacks then, and that it did not before, as bits."""
    then = after_move(board, reply)
    if then.is_attacked_by(then.turn, reply.to_square):
        return 0
    least = STRENGTH[kind_of(then, reply.to_square)]
    stronger = sum(mask for kind, mask in _kinds(then) if STRENGTH[kind] > least)
    hit = then.attacks_mask(reply.to_square) & ~board.attacks_mask(reply.from_square)
    return hit & stronger & then.occupied_co[then.turn]


def _kinds(board: chess.Board) -> tuple[tuple[chess.PieceType, int], ...]:
    return (
        (chess.BISHOP, board.bishops),
        (chess.KNIGHT, board.knights),
        (chess.ROOK, board.rooks),
        (chess.QUEEN, board.queens),
    )


def _how_loose(case: _Case, man: chess.Square) -> Lapse:
    if man == case.move.to_square:
        return Lapse.IN_REACH
    return Lapse.GUARD_TAKEN if chess.BB_SQUARES[man] & _alone(case) else Lapse.LEFT_LOOSE


def _alone(case: _Case) -> int:
    """Return the squares that the man that moves guards alone before the move, as bits."""
    mine = others = 0
    for square, reach in guarding(men_of(case.before), case.attacker):
        if square == case.move.from_square:
            mine = reach
        else:
            others |= reach
    return mine & ~others


def _line(case: _Case, square: chess.Square) -> str:
    """Return the line through the square that the man that moved held from where it stood, if it has left it."""
    slides = case.before.bishops | case.before.rooks | case.before.queens
    if not chess.BB_SQUARES[case.move.from_square] & slides:
        return ""
    lines = lines_holding(chess.BB_SQUARES[square], case.move.from_square)
    if not lines or lines == _with(case, square, case.move.to_square):
        return ""
    same_man = case.better.from_square == case.move.from_square
    return "" if same_man and lines != _with(case, square, case.better.to_square) else lines[0]


def _with(case: _Case, *squares: chess.Square) -> tuple[str, ...]:
    """Return the fewest lines through the square that the man left that hold others."""
    return lines_holding(sum(chess.BB_SQUARES[square] for square in set(squares)), case.move.from_square)
