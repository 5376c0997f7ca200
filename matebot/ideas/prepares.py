"""What a move prepares.

Definition. After a winning move of the attacker that does not mate, the reply that lasts longest (of several the first
by `longest`) and the move that is taught after it. What that move does is the first of these:
*mate*, *promotion*, *capture*, *W ready*, *W step* (see `knights_w`), *shuts* or *tightens* a cage, direct *opposition*
by a step of the king, *shrinks* the box and takes squares, *cuts off*, makes a *box* both lines of which bar, brings
the *king up*. Where it does none, or is
legal at once and would do the same at once, nothing is prepared; nor where it gains nothing on the position before: a
cage or box no smaller than there was, a line where the king was cut off already, opposition that was there, kings no
nearer; nor where it only concerns the room of a king that has another man (cage and opposition); nor is a capture
unless the move taught after each of the replies that last as long takes a man. The move *forks* when
it gives check, attacks the man that is captured, and does so itself; it *skewers* when that man stands behind the
checked king on one line with it. A capture is *sure* where after every reply the move taught takes a man, or mate comes
with the next move or the next but one, or the man that forks or skewers takes the same for nothing.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas import box, cage, cut_off, king_up, knights_w
from matebot.ideas.idea import Idea
from matebot.ideas.longest import all_longest
from matebot.ideas.squares import Men, after_move, is_king_step, men_of, opposition, taken_by
from matebot.ideas.truth import Truth
from matebot.records import dataclass


class Next(Enum):
    """What the prepared move does."""

    MATE = "mate"
    PROMOTION = "promotion"
    CAPTURE = "capture"
    W_READY = "W ready"
    W_STEP = "W step"
    SHUTS = "shuts"
    TIGHTENS = "tightens"
    OPPOSITION = "opposition"
    SHRINKS = "shrinks"
    CUTS_OFF = "cuts off"
    BOX = "box"
    KING_UP = "king up"


#: Mate with the next move or the next but one.
_NEAR_MATE = 3
_OF_A_BARE_KING = (Next.SHUTS, Next.TIGHTENS, Next.OPPOSITION)


@dataclass(frozen=True)
class Prepares(Idea):
    """A move that prepares the next.

    Attributes
    ----------
    reply, move : the reply that lasts longest and what comes after it
    does : what it does
    man : kind of the man it captures or makes, None without
    forced : whether it is the only reply
    forks : whether the move gives check and attacks what it takes next
    skewers : whether it gives check and takes next what stands behind the king
    sure : whether a capture follows whatever the other side does; True of what is no capture
    or_mate : whether after some of its moves it is mate instead
    fastest : whether no other move mates sooner after the reply: a method may go round
    """

    kind: ClassVar[str] = "prepares"
    reply: chess.Move
    move: chess.Move
    does: Next
    man: chess.PieceType | None
    forced: bool
    forks: bool
    skewers: bool = False
    sure: bool = True
    or_mate: bool = False
    fastest: bool = True


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Prepares | None:
    """Return what a winning move of the attacker prepares, None where nothing."""
    if before.turn != attacker or truth.outcome(after) >= 0:
        return None
    found = all_longest(after, truth)
    if not found:
        return None
    reply = found[0]
    board = after_move(after, reply)
    answer = truth.answer(board)
    does = None if answer is None else deed(board, answer, attacker)
    if answer is None or does is None or (before.is_legal(answer) and deed(before, answer, attacker) is does):
        return None
    if not _gains(before, board, answer, does, attacker):
        return None
    if does is Next.CAPTURE and not all(_loses_a_man(after, other, truth) for other in found[1:]):
        return None
    victim = taken_by(board, answer)
    checks = bool(after.checkers_mask() >> move.to_square & 1)  # A check that is only uncovered is no fork.
    hits = does is Next.CAPTURE and checks and answer.from_square == move.to_square
    forks = hits and bool(_attacked(after, move.to_square, attacker) & chess.BB_SQUARES[answer.to_square])
    skewers = hits and bool(
        chess.between(move.to_square, answer.to_square) & after.kings & ~after.occupied_co[attacker]
    )
    replies = list(after.generate_legal_moves()) if does is Next.CAPTURE else []
    blow = forks or skewers
    sure = all(falls(after, other, truth) or (blow and takes_it(after, other, answer)) for other in replies)
    or_mate = bool(replies) and sure and not all(_loses_a_man(after, other, truth) for other in replies)
    forced = after.legal_moves.count() == 1
    man, fastest = answer.promotion or victim, _is_fastest(board, answer, truth)
    return Prepares(reply, answer, does, man, forced, forks, skewers, sure, or_mate, fastest)


def _is_fastest(board: chess.Board, answer: chess.Move, truth: Truth) -> bool:
    """Whether a move mates as soon as any."""
    before, after = truth.mate_plies(board), truth.mate_plies(after_move(board, answer))
    return before is not None and after is not None and after < before


def falls(after: chess.Board, reply: chess.Move, truth: Truth) -> bool:
    """Whether after a reply mate is near, or the move taught takes a man."""
    plies = truth.mate_plies(after_move(after, reply))
    return (plies is not None and plies <= _NEAR_MATE) or _loses_a_man(after, reply, truth)


def takes_it(after: chess.Board, reply: chess.Move, capture: chess.Move) -> bool:
    """Whether a capture may be made after a reply, and is not taken back."""
    board = after_move(after, reply)
    if not board.is_legal(capture) or not board.is_capture(capture):
        return False
    return not any(after_move(board, capture).generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[capture.to_square]))


def _loses_a_man(after: chess.Board, reply: chess.Move, truth: Truth) -> bool:
    """Whether the move taught after a reply takes a man."""
    board = after_move(after, reply)
    answer = truth.answer(board)
    return answer is not None and board.is_capture(answer)


def _gains(before: chess.Board, board: chess.Board, answer: chess.Move, does: Next, attacker: chess.Color) -> bool:
    """Whether what the answer does leaves more than there was before the move."""
    if does in _OF_A_BARE_KING and before.occupied_co[not attacker].bit_count() > 1:
        return False
    last = after_move(board, answer)
    was, now = men_of(before), men_of(last)
    if does in (Next.SHUTS, Next.TIGHTENS):
        room = cage.cage_mask(was, attacker).bit_count()
        return (does is Next.SHUTS and not room) or cage.cage_mask(now, attacker).bit_count() < room
    if does in (Next.SHRINKS, Next.BOX):
        boxes = box.box(was, attacker), box.box(now, attacker)
        return boxes[0] is None or (boxes[1] is not None and boxes[1] < boxes[0])
    if does is Next.CUTS_OFF:
        return cut_off.cut_off(was, attacker) is None
    if does is Next.OPPOSITION:
        return opposition(was) != "direct"
    return does is not Next.KING_UP or _apart(now) < _apart(was)


def _apart(men: Men) -> tuple[int, int]:
    white, black = men.king(chess.WHITE), men.king(chess.BLACK)
    return chess.square_distance(white, black), chess.square_manhattan_distance(white, black)


def _attacked(board: chess.Board, man: chess.Square, attacker: chess.Color) -> int:
    """Return the defender's men that a man attacks, as bits."""
    return board.attacks_mask(man) & board.occupied_co[not attacker]


def deed(board: chess.Board, move: chess.Move, attacker: chess.Color) -> Next | None:
    """Return the most telling thing a move of the attacker does, None without one."""
    after = after_move(board, move)
    if after.is_check() and not any(after.generate_legal_moves()):
        return Next.MATE
    if move.promotion:
        return Next.PROMOTION
    if board.is_capture(move):
        return Next.CAPTURE
    w = knights_w.seen(board, move, after, attacker)
    if w is not None and w.state in (knights_w.WState.READY, knights_w.WState.STEP):
        return Next.W_READY if w.state is knights_w.WState.READY else Next.W_STEP
    shut = cage.seen(board, move, after, attacker)
    if shut is not None and not shut.loose and shut.change in (cage.CageChange.SHUTS, cage.CageChange.TIGHTENS):
        return Next.SHUTS if shut.change is cage.CageChange.SHUTS else Next.TIGHTENS
    if is_king_step(board, move) and opposition(men_of(after)) == "direct":
        return Next.OPPOSITION
    boxed = box.seen(board, move, after, attacker)
    if boxed is not None and boxed.change is box.BoxChange.SHRINKS and boxed.takes:
        return Next.SHRINKS
    line = cut_off.seen(board, move, after, attacker)
    if line is not None and line.change is cut_off.CutChange.SETS:
        return Next.CUTS_OFF
    if boxed is not None and boxed.change is box.BoxChange.MAKES and len(boxed.bars) > 1:
        return Next.BOX
    return Next.KING_UP if king_up.seen(board, move, after, attacker) is not None else None
