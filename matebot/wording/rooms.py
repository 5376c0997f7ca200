"""What a good move of the attacker does to the room of the other king: box, cut-off line, and a cage that stays."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.holes import Holes
from matebot.ideas.idea import square_name
from matebot.ideas.narrows import Narrows
from matebot.ideas.squares import in_order, king_steps, lines_through
from matebot.wording import maxims
from matebot.wording.cages import caged_small
from matebot.wording.phrases import line_name, listed, other
from matebot.wording.said import (
    by_minors,
    goal_of,
    if_then,
    kind_signed,
    own_king,
    parse_square,
    promotion_square,
    rival_king,
    rivals_men,
    squares,
    stands,
    stood,
)

_FEW, _PAIR = 3, 2


def box(idea: Box, facts: MoveFacts) -> str:
    """Say which box is made, or what it shrinks to."""
    if facts.man.piece == "queen" and not facts.queen.knights_move_off:
        return ""  # A queen guards more than its lines: its box says little.
    if idea.change is BoxChange.SHRINKS and idea.before is not None and idea.after is not None:
        by = ", a knight's move from the king" if facts.queen.knights_move_off else ""
        line = _new_wall(facts)
        if not idea.takes or (line and line not in idea.bars):
            return ""  # Its own king stands in the line: the other king walks round.
        if not line and _driven_off(facts):
            return ""  # It holds one of its lines at most.
        if by or not line:
            return f"shrinks the box{by or _to_corners(idea, facts)}"
        return f"shrinks the box: {line_name(line)} is now barred"
    if idea.change is BoxChange.MAKES and idea.after is not None and len(idea.bars) == _PAIR:
        return "shuts the king in a box"
    return ""


def _to_corners(idea: Box, facts: MoveFacts) -> str:
    """Name the box that a piece which has moved leaves by its first and its last square, where it is shut."""
    at, king = stands(facts), parse_square(facts.room.king)
    if facts.man.piece == "king" or len(idea.bars) < _PAIR:
        return ""
    files = (0, at % 8 - 1) if king % 8 < at % 8 else (at % 8 + 1, 7)
    ranks = (0, at // 8 - 1) if king // 8 < at // 8 else (at // 8 + 1, 7)
    first, last = (square_name(8 * rank + file) for file, rank in zip(files, ranks, strict=True))
    return f" to {first}-{last}" if first != last else ""


def _driven_off(facts: MoveFacts) -> bool:
    """Whether the reply attacks the piece that moved, which its king does not guard."""
    reply, at = facts.then.ahead[:1], stands(facts)
    hit = bool(reply) and reply[0].startswith("K") and king_steps(parse_square(goal_of(reply[0])), at) <= 1
    return hit and king_steps(own_king(facts), at) > 1


def _new_wall(facts: MoveFacts) -> str:
    """Return the line the piece has come to; a queen that changes both, or a king, has none to name."""
    was, now = square_name(stood(facts)), square_name(stands(facts))
    if facts.man.piece == "king" or (was[0] != now[0] and was[1] != now[1]):
        return ""
    line = f"rank {now[1]}" if was[0] == now[0] else f"file {now[0]}"
    off = _ranks_off if line.startswith("rank") else _files_off
    at = stands(facts)
    if off(own_king(facts), at) * off(parse_square(facts.room.king), at) > 0:
        return ""  # It lies behind both kings.
    return line


def cuts(idea: CutOff, facts: MoveFacts) -> str:
    """Say which line cuts the king off now."""
    if idea.change is not CutChange.SETS or facts.man.piece == "king":
        return ""  # A step of the king only comes to the other side of a line that stood before.
    if caged_small(facts) or not _is_clear(idea.line, facts) or _lies_across(idea.line, facts):
        return ""
    man = _from_its_man(idea.line, facts)
    return f"cuts the king off{man} along {line_name(idea.line) if man else _both_lines(idea.line, facts)}"


def _lies_across(line: str, facts: MoveFacts) -> bool:
    """Whether a rook stays on another line, and others that are as quick do so too and set none like this."""
    was, now, beside = stood(facts), stands(facts), facts.as_quick
    off = _ranks_off if line.startswith("file") else _files_off
    alike = [one for one in beside if stood(one) == was and off(stands(one), was) == 0]
    return facts.man.piece == "rook" and off(now, was) == 0 and len(beside) > 1 and len(alike) == len(beside)


def _is_clear(line: str, facts: MoveFacts) -> bool:
    """Whether no man of the other side stands on a line with squares beyond it: there the king could cross."""
    at, off = stands(facts), _files_off if line.startswith("rank") else _ranks_off
    held = dict(lines_through(at)).get(line, 0)
    on = [off(square, at) for square in rivals_men(facts) if square != at and held >> square & 1]
    ends = off(0, at), off(63, at)
    return all(apart in ends for apart in on)


def cut_maxim(facts: MoveFacts) -> str:
    """Say what it is good for that a line is set: it parts the king from its man, or the other king may come."""
    idea = facts.seen.idea(CutOff)
    parts = idea is not None and _from_its_man(idea.line, facts)
    return maxims.PART.format(man=facts.men.defender_men[0]) if parts else maxims.cut_off(facts)


def _both_lines(line: str, facts: MoveFacts) -> str:
    """Name the line that cuts the king off, and the other one of the piece where that lies between the kings too."""
    at, mine, theirs = stands(facts), own_king(facts), parse_square(facts.room.king)
    both = all(kind(mine, at) * kind(theirs, at) < 0 for kind in (_ranks_off, _files_off))
    names = [f"rank {at // 8 + 1}", f"file {'abcdefgh'[at % 8]}"] if both else [line]
    return listed([line_name(name) for name in names])


def _ranks_off(square: int, piece: int) -> int:
    return square // 8 - piece // 8


def _files_off(square: int, piece: int) -> int:
    return square % 8 - piece % 8


def _from_its_man(line: str, facts: MoveFacts) -> str:
    """Say so where the line parts the king from the only man it has."""
    men, king = rivals_men(facts), parse_square(facts.room.king)
    if len(men) != 1 or facts.man.captured:
        return ""
    kind, piece = line.split()[0], stands(facts)
    man = facts.men.defender_men[0]  # A bishop may come back at once, a pawn may be too far off to matter.
    there = (men[0], promotion_square(men[0], other(facts.turn))) if man == "pawn" else men
    near = man == "knight" or (man == "pawn" and king_steps(men[0], king) <= _FEW)
    off = _ranks_off if kind == "rank" else _files_off
    parts = all(off(square, piece) * off(king, piece) < 0 for square in there)
    return f" from its {man}" if near and parts else ""


def cuts_still(idea: CutOff, facts: MoveFacts) -> str:
    """Say that a piece that goes along a line still cuts the king off by it."""
    goes_along = idea.change is CutChange.KEEPS and facts.man.piece in ("queen", "rook")
    return f"keeps the king cut off along {line_name(idea.line)}" if goes_along else ""


def checks(facts: MoveFacts) -> str:
    """Say where a check drives the king."""
    if not facts.gives.check or not facts.room.flights:
        return ""
    chases = facts.seen.idea(ChasingCheck)
    if chases is not None:
        return ""
    cage = facts.seen.idea(Cage)
    if cage is not None and cage.change is CageChange.HOLDS:
        return f"drives the king on inside the cage, to {listed(facts.room.flights, 'or')}{if_then(facts)}"
    few = len(facts.room.flights) <= _FEW
    return f"drives the king to {listed(facts.room.flights, 'or')}{if_then(facts)}" if few else ""


def narrows(idea: Narrows, facts: MoveFacts) -> str:
    """Say which line is shut, or that a part of the board is shut off."""
    if idea.along and _is_long(idea.along[0]) and _matters(idea.along[0], facts):
        return f"shuts {line_name(idea.along[0])} to {rival_king(facts)}"
    if facts.gives.check:
        return f"takes a good part of the board from {rival_king(facts)}"
    much = by_minors(facts) and 2 * idea.size_after <= idea.size_before
    return f"takes a good part of the board from {rival_king(facts)}" if much else ""


def _matters(line: str, facts: MoveFacts) -> bool:
    """Whether a line that is shut is near the king, which stands on none that it would have to leave."""
    held, king = dict(lines_through(stands(facts))).get(line, 0), parse_square(facts.room.king)
    near = not held or any(king_steps(square, king) <= _FEW for square in in_order(held))
    return near and not _stands_on(line, facts)


def _stands_on(line: str, facts: MoveFacts) -> bool:
    """Whether the king, in check, stands on a line that is shut: it is not shut out of it."""
    return facts.gives.check and bool(
        dict(lines_through(stands(facts))).get(line, 0) >> parse_square(facts.room.king) & 1
    )


def _is_long(line: str) -> bool:
    """Whether a line has four squares at least: a short diagonal in a corner shuts little."""
    ends = line.partition(" ")[2].split("-")
    return len(ends) == 1 or abs(ord(ends[0][0]) - ord(ends[1][0])) >= _FEW


def holes(idea: Holes, facts: MoveFacts) -> str:
    """Say which one hole is left."""
    one = len(idea.made + idea.left) == 1 and by_minors(facts)  # A queen or rook shuts by lines.
    return f"shuts the king in but for one hole, {squares(idea.made + idea.left)}" if one else ""


def cage_held(idea: Cage, facts: MoveFacts) -> str:
    """Say that the cage stays as it was."""
    if idea.loose or idea.change is not CageChange.HOLDS or (facts.room.squares_given and not idea.same):
        return ""
    then = if_then(facts)
    return f"keeps the cage shut{_and_passes(facts)}{'' if 'x' in then else then}"  # who takes may open it


def _and_passes(facts: MoveFacts) -> str:
    """Say so of a rook or queen that only passes the move: the other king has the same squares as before."""
    return " and passes the move" if _passes(facts) else ""


def _passes(facts: MoveFacts) -> bool:
    changes = facts.gives.check or facts.room.squares_taken or facts.room.squares_given or facts.men.defender_men
    return facts.man.piece in ("rook", "queen") and not changes


def held_maxim(facts: MoveFacts) -> str:
    """Say what a cage or box teaches that stays as it was."""
    return maxims.WAITING if _passes(facts) else maxims.KEEP_IT_SHUT if facts.seen.idea(Cage) is not None else ""


def box_held(idea: Box, facts: MoveFacts) -> str:
    """Say that the box stays as it was."""
    if idea.change is not BoxChange.HOLDS or len(idea.bars) < _PAIR:
        return ""
    return f"keeps the box shut{_and_passes(facts)}{if_then(facts)}"


def cut_kept(idea: CutOff, facts: MoveFacts) -> str:
    """Say that the king stays cut off."""
    kept = idea.change is CutChange.KEEPS and not _left_next(idea.line, facts)
    return f"keeps the king cut off along {line_name(idea.line)}{if_then(facts)}" if kept else ""


def _left_next(line: str, facts: MoveFacts) -> bool:
    """Whether the answer to the best reply takes the piece off a line."""
    answer, kind = facts.then.ahead[1:2], facts.man.piece
    if not answer or kind_signed(answer[0]) != kind:
        return False
    goal = square_name(parse_square(goal_of(answer[0])))
    return line.partition(" ")[2] not in goal
