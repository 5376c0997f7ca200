"""The attacking king brought up.

Definition. A step of the attacking king after which the kings are fewer king's steps apart, or as many and fewer ranks
and files together. *Held by* says what keeps the defending king where it is meanwhile, the first of these that holds
before and after the step: a *cage* that has not grown, and that is there still after every reply of another man, which
might block a line of it; a *line* that cuts it off (see `cut_off`) and on which no other
man stands; a *box* that has not grown, while the attacking king stands on no line of the piece after the step; else
*nothing*.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.box import box
from matebot.ideas.cage import cage_mask
from matebot.ideas.cut_off import cut_off
from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, after_move, is_king_step, king_steps, lone_heavy, men_of
from matebot.records import dataclass


class HeldBy(Enum):
    """What keeps the defending king where it is."""

    CAGE = "cage"
    LINE = "line"
    BOX = "box"
    NOTHING = "nothing"


@dataclass(frozen=True)
class KingUp(Idea):
    """The attacking king comes nearer to the other.

    Attributes
    ----------
    steps : king's steps between the kings after it
    held_by : what keeps the defending king where it is
    """

    kind: ClassVar[str] = "king_up"
    steps: int
    held_by: HeldBy


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> KingUp | None:
    """Return how near a step of the attacking king brings it, None for another move."""
    if before.turn != attacker or not is_king_step(before, move):
        return None
    old, new = men_of(before), men_of(after)
    theirs = new.king(not attacker)
    if not _nearer(move, theirs):
        return None
    steps = king_steps(move.to_square, theirs)
    was, now = cage_mask(old, attacker).bit_count(), cage_mask(new, attacker).bit_count()
    if was and 0 < now <= was and _stays_shut(after, attacker):
        return KingUp(steps, HeldBy.CAGE)
    if cut_off(old, attacker) and (line := cut_off(new, attacker)) and _is_clear(new, line, attacker):
        return KingUp(steps, HeldBy.LINE)
    room, left = box(old, attacker), box(new, attacker)
    held = room is not None and left is not None and left <= room and not _on_a_line(new, move.to_square, attacker)
    return KingUp(steps, HeldBy.BOX if held else HeldBy.NOTHING)


def _stays_shut(after: chess.Board, attacker: chess.Color) -> bool:
    """Whether no man beside the defending king can break the cage with its next move."""
    others = after.occupied_co[not attacker] & ~after.kings
    replies = after.generate_legal_moves(others) if others else ()
    return all(cage_mask(men_of(after_move(after, reply)), attacker) for reply in replies)


def _is_clear(men: Men, line: str, attacker: chess.Color) -> bool:
    """Whether none but the lone piece stands on its rank or file."""
    piece = lone_heavy(men, attacker)
    if piece is None:
        return False
    ranks = line.startswith("rank")
    on = chess.BB_RANKS[chess.square_rank(piece)] if ranks else chess.BB_FILES[chess.square_file(piece)]
    return not on & (men.white | men.black) & ~chess.BB_SQUARES[piece]


def _on_a_line(men: Men, king: chess.Square, attacker: chess.Color) -> bool:
    """Whether a king stands on the rank or file of the lone piece, so that this guards nothing beyond it."""
    piece = lone_heavy(men, attacker)
    return piece is not None and bool(
        chess.BB_RANK_ATTACKS[piece][0] >> king & 1 | chess.BB_FILE_ATTACKS[piece][0] >> king & 1
    )


def _nearer(move: chess.Move, king: chess.Square) -> bool:
    was, now = (
        (king_steps(square, king), chess.square_manhattan_distance(square, king))
        for square in (move.from_square, move.to_square)
    )
    return now < was
