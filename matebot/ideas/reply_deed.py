"""What a reply to a lost defence does that a pupil sees on the board, where it does nothing that decides.

Definition. A move of the attacker that neither takes a man nor promotes. The first of these that it does:

- *attacks*: the man that moves attacks the defender's only man beside the king, which no man attacked before;
- *guards*: a man, not the king, comes to guard the square on which its side's only pawn promotes, the defender's only
  pawn does so or the next one before that pawn, which none guarded before;
- *pins*: that man comes to be pinned to its king;
- *leaves*: a check that only steps of the king answer, two at most, and what squares they lead to; of more steps it
  *drives* the king from where it stands;
- *takes*: without a check, the squares to which the king could step had the move not been made and can no longer, three
  at most; where a rook or queen takes two or more, all on its new file or rank, and none is left there, that is *shut*;
- *nears*: the man that moves, a king or a knight, comes nearer to the defending king, in steps.
"""

from __future__ import annotations

from enum import Enum

import chess

from matebot.ideas.idea import Squares
from matebot.ideas.quick_board import to_move
from matebot.ideas.squares import after_move, in_order, king_goals, king_steps, men_of
from matebot.records import dataclass

_MOST_LEFT, _MOST_TAKEN = 2, 3


class Plain(Enum):
    """What a reply does."""

    ATTACKS = "attacks"
    GUARDS = "guards"
    PINS = "pins"
    LEAVES = "leaves"
    DRIVES = "drives"
    TAKES = "takes"
    NEARS = "nears"


@dataclass(frozen=True)
class ReplyDeed:
    """What a reply does.

    Attributes
    ----------
    does, squares : what, and about what squares
    man : kind of the man attacked or come nearer, None without one
    shut : the line that is shut, "file f" or "rank 5"; empty without one
    """

    does: Plain
    squares: Squares = ()
    man: chess.PieceType | None = None
    shut: str = ""


def of_reply(board: chess.Board, reply: chess.Move) -> ReplyDeed | None:
    """Return what a move of the attacker, who is to move, does; None where it does none of these things."""
    if board.is_capture(reply) or reply.promotion:
        return None
    then = after_move(board, reply)
    attacker, king = board.turn, men_of(board).king(not board.turn)
    own = board.occupied_co[not attacker] & ~board.kings
    hit = then.attacks_mask(reply.to_square) & own
    man = own.bit_length() - 1
    if own.bit_count() == 1 and hit and not board.is_attacked_by(attacker, man):
        return ReplyDeed(Plain.ATTACKS, in_order(own), board.piece_type_at(man))
    moved = board.piece_type_at(reply.from_square)
    if moved not in (chess.KING, chess.PAWN) and (ahead := _before_pawns(board, then, reply)):
        return ReplyDeed(Plain.GUARDS, ahead[:1])
    if own.bit_count() == 1 and then.pin_mask(not attacker, man) != chess.BB_ALL == board.pin_mask(not attacker, man):
        return ReplyDeed(Plain.PINS, in_order(own), board.piece_type_at(man))
    answers = list(then.generate_legal_moves())
    if then.is_check():
        goals = [answer.to_square for answer in answers if answer.from_square == king]
        if not 0 < len(goals) == len(answers):
            return None
        few = len(goals) <= _MOST_LEFT
        return ReplyDeed(Plain.LEAVES, tuple(sorted(goals))) if few else ReplyDeed(Plain.DRIVES, (king,))
    left = king_goals(then)
    taken = king_goals(to_move(board, not attacker)) & ~left & ~board.occupied
    if 0 < taken.bit_count() <= _MOST_TAKEN:
        by_line = moved in (chess.ROOK, chess.QUEEN) and taken.bit_count() > 1
        return ReplyDeed(Plain.TAKES, in_order(taken), None, _line(taken, left, reply.to_square) if by_line else "")
    nearer = king_steps(reply.to_square, king) < king_steps(reply.from_square, king)
    return ReplyDeed(Plain.NEARS, (), moved) if nearer and moved in (chess.KING, chess.KNIGHT) else None


def _line(taken: int, left: int, goal: chess.Square) -> str:
    """Return the file or rank of a square to which all of some squares belong and none of those left; "" without."""
    file, rank = chess.square_file(goal), chess.square_rank(goal)
    lines = (f"file {chess.FILE_NAMES[file]}", chess.BB_FILES[file]), (f"rank {rank + 1}", chess.BB_RANKS[rank])
    return next((name for name, line in lines if not taken & ~line and not left & line), "")


def _before_pawns(board: chess.Board, then: chess.Board, reply: chess.Move) -> Squares:
    """Return where the only pawn promotes and, of the defender's, where it steps next, if newly guarded by the man."""
    if board.pawns.bit_count() != 1:
        return ()
    pawn = board.pawns.bit_length() - 1
    white = bool(board.occupied_co[chess.WHITE] & board.pawns)
    goal = chess.square(chess.square_file(pawn), 7 if white else 0)
    ahead = [goal] if white == board.turn else [pawn + (8 if white else -8), goal]
    guarded = then.attacks_mask(reply.to_square)
    return tuple(s for s in ahead if guarded >> s & 1 and not board.is_attacked_by(board.turn, s))
