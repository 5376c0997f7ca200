"""What a good move of the attacker does to the room of the other king: cage, box and cut-off line."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.holes import Holes
from matebot.ideas.idea import square_name
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.narrows import Narrows
from matebot.ideas.squares import from_edge, king_steps, lines_holding, lines_through
from matebot.wording import kings, maxims
from matebot.wording.maxims import king_may_come
from matebot.wording.parts import part
from matebot.wording.phrases import line_name, listed, other, side
from matebot.wording.said import (
    by_minors,
    goal_of,
    kind_signed,
    mated_within,
    own_king,
    own_man,
    parse_square,
    promotion_square,
    rival_king,
    rivals_men,
    squares,
    stands,
    stood,
)

_FEW, _PAIR = 3, 2
#: So few squares of a cage are named.
_SMALL = 4
#: So near a square matters to the king.
_NEAR = 2
_AT_CORNER_STEPS = 3
#: So many moves from mate the net is told.
_NET = 3


def bare_king_caged(idea: Cage, facts: MoveFacts) -> str:
    """Say so of a bare king: with another man to move its room matters less."""
    by_king = facts.man.piece == "king" and facts.men.attacker_men == ("rook",)
    if by_king and idea.change is CageChange.SHUTS and facts.kings.opposition == "direct":
        return ""  # Against a rook's cage the opposition says more.
    return "" if facts.men.defender_men else cage_first(idea, facts)


def cage_first(idea: Cage, facts: MoveFacts) -> str:
    """Say by which squares or line the king is shut in, or what is taken from its cage, and what is left to it."""
    if idea.loose or idea.change not in (CageChange.SHUTS, CageChange.TIGHTENS):
        return ""
    kept = [man for square in idea.gate if (man := own_man(facts, square))]
    shut = "" if kept else _shut(idea)
    if idea.change is CageChange.TIGHTENS:  # What matters is the man where there is one, but for a small cage.
        return "" if facts.men.defender_men and not _is_small(idea, facts) else _tightens(idea, facts, kept, shut)
    ready = facts.seen.idea(KnightsW)
    stops = "; the W may stop here" if ready is not None and ready.state is WState.MAY_STOP else ""
    wall = _wall(idea, facts)
    if shut and not (idea.along or wall or _no_square(facts)):
        hole = "the hole " if by_minors(facts) and _is_last_hole(idea, facts) else ""
        # A square on the edge beside the king is seen as a way along it, not out.
        last = len(idea.gate) == 1 and (by_minors(facts) or from_edge(idea.gate[0]) > 0)
        way = f"{hole}{shut}, the last way out" if last else f"the way out at {shut}"
        if not any(map(from_edge, (*idea.gate, parse_square(facts.room.king)))) and "pawn" in facts.men.attacker_men:
            way = shut  # On the edge the king has no way out there, but one to the pawn.
        return f"shuts {way}: {_left(idea, facts)}{stops}"
    first = f"guards the {kept[0]} and shuts" if kept else "shuts"
    if len(idea.along) == 1:
        wall = shut if _to_edge(idea.along[0], idea) else ""
    place = f" behind {wall}" if wall else _place(idea, facts)
    says = _few_left(facts) or _is_small(idea, facts) or _comes(idea, facts)
    left = f": {_left(idea, facts).replace('the king', 'it')}" if says else ""
    if not left and not place and (lines := _lines_shut(idea, facts)):
        place = f" behind {lines}"
    if not left and not place:
        left = f": {_size(idea, facts)} squares are left"
    return f"{first} the king in{place}{left}{stops}"


def shuts_in(idea: Cage, facts: MoveFacts) -> str:
    """Say that the king is shut in, and where, without what is left to it."""
    place = _place(idea, facts)
    return f"shuts the king in{place}" if idea.change is CageChange.SHUTS and not idea.loose and place else ""


def shuts_small(idea: Cage, facts: MoveFacts) -> str:
    """Say so of a cage of few squares only: there that matters more than a line."""
    return shuts_in(idea, facts) if _is_small(idea, facts) else ""


def no_square(facts: MoveFacts) -> str:
    """Say that the last squares are taken from a king that has one man beside it, which must move; "" else."""
    men, king = facts.men.defender_men, facts.man.piece == "king"
    if facts.gives.check or facts.room.flights or not facts.room.squares_taken or len(men) != 1 or king:
        return ""
    if mated_within(facts, _NET):
        return ""  # How mate comes says more.
    return f"takes the last squares from {rival_king(facts)}: only the {men[0]} can move"


def no_square_maxim(facts: MoveFacts) -> str:
    """Say what follows that."""
    return maxims.ROOM_THEN_KING if facts.kings.kings_after > _NEAR else maxims.SQUARES_FIRST


def _tightens(idea: Cage, facts: MoveFacts, kept: list[str], shut: str) -> str:
    """Say what is taken from the cage."""
    nearer = facts.seen.idea(KingUp) is not None and kings.comes_nearer(facts)
    if nearer and not kept and (_few_left(facts) or _is_small(idea, facts)):
        return f"{kings.brings_up(facts)}: {_left(idea, facts).replace('the king', rival_king(facts))}"
    if nearer and shut and not idea.along:
        return f"{kings.brings_up(facts)} and shuts {shut}"
    first = f"guards the {kept[0]} and " if kept else ""
    small = _few_left(facts) or _is_small(idea, facts)
    king = parse_square(facts.room.king)
    if facts.man.piece == "king" and all(king_steps(square, king) > _NEAR for square in idea.gate):
        return ""  # What is far from the king is hardly missed.
    if shut and not idea.along:
        return f"{first}tightens the cage: {_left(idea, facts) if small else _shrunk(shut, idea, facts)}"
    if place := _place(idea, facts):
        return f"{first}keeps the king{place}{f': {_left(idea, facts)}' if small else ''}".replace(": the king", ": it")
    if shut and len(idea.along) == 1:
        return f"{first}tightens the cage: {_shrunk(shut, idea, facts)}"
    return f"{first}makes the cage smaller: {_left(idea, facts) if small else f'{_size(idea, facts)} squares are left'}"


def _wall(idea: Cage, facts: MoveFacts) -> str:
    """Return the line of a rook or queen that has moved to it behind which the whole cage lies; nothing without one."""
    at = stands(facts)
    if facts.man.piece not in ("rook", "queen") or len(idea.gate) < _PAIR:
        return ""
    lines = lines_holding(sum(1 << square for square in idea.gate), at)
    kind = lines[0].split()[0] if len(lines) == 1 else ""
    if kind not in ("rank", "file"):
        return ""
    sides = {_beyond(square, at, kind) for square in idea.room}
    return line_name(lines[0]) if len(sides) == 1 and 0 not in sides and _to_edge(lines[0], idea) else ""


def _to_edge(line: str, idea: Cage) -> bool:
    """Whether a cage behind a rank or file goes as far as the edge: else another line holds it as well."""
    if not line.startswith(("rank", "file")):
        return True
    ranks = line.startswith("rank")
    return any((square // 8 if ranks else square % 8) in (0, 7) for square in idea.room)


def _lines_shut(idea: Cage, facts: MoveFacts) -> str:
    """Return two lines of the queen that has moved which hold all squares shut, none on one alone; "" without."""
    found = [(name, line) for name, line in lines_through(stands(facts)) if any(line >> s & 1 for s in idea.gate)]
    held = all(any(line >> square & 1 for _, line in found) for square in idea.gate)
    if any(line >> parse_square(facts.room.king) & 1 for _, line in found):
        return ""  # A king on one of them may go to either side of it.
    if facts.man.piece != "queen" or len(found) != _PAIR or not held:
        return ""
    return listed([line_name(name) for name, _ in found])


def _beyond(square: int, man: int, kind: str) -> int:
    """Return on which side of the rank or file of a man a square lies: -1, 1, or 0 on it."""
    apart = square // 8 - man // 8 if kind == "rank" else square % 8 - man % 8
    return (apart > 0) - (apart < 0)


def _shrunk(shut: str, idea: Cage, facts: MoveFacts) -> str:
    """Say what the king can go to no more, by the line of a rook where it lies on one, and how much is left."""
    lines = lines_holding(sum(1 << square for square in idea.gate), stands(facts))
    straight = [line_name(line) for line in lines if line.startswith(("rank", "file"))]
    by_line = facts.man.piece == "rook" and len(straight) == len(lines) == 1
    are = "is" if by_line or len(idea.along or idea.gate) == 1 else "are"
    return f"{straight[0] if by_line else shut} {are} shut, {_size(idea, facts)} squares are left"


def _shut(idea: Cage) -> str:
    """Name what is shut: few squares, or the lines on which they lie; nothing where neither."""
    if idea.along:
        return listed([line_name(line) for line in idea.along])
    return squares(idea.gate) if 0 < len(idea.gate) <= _FEW else ""


def _is_last_hole(idea: Cage, facts: MoveFacts) -> bool:
    holes = facts.seen.idea(Holes)
    return holes is not None and len(idea.gate) == 1 and idea.gate[0] in holes.closed


def _size(idea: Cage, facts: MoveFacts) -> int:
    """Return how many squares are left to the king: in check its own is none."""
    return idea.size_after - facts.gives.check


def _no_square(facts: MoveFacts) -> bool:
    return facts.gives.check and not facts.room.flights


def _is_small(idea: Cage, facts: MoveFacts) -> bool:
    """Whether the squares of the cage are named: they are few, no man of the king's stands there, and it may stay."""
    named = not facts.gives.check and idea.size_after <= _SMALL
    return named and not set(rivals_men(facts)).intersection(idea.room)


def _left(idea: Cage, facts: MoveFacts) -> str:
    """Say where the king can go, if that is little, that the other king may come, or where it is caged."""
    if _no_square(facts):
        return "the king has no square left"
    if _few_left(facts):
        return f"the king has only {listed(facts.room.flights, 'or')} left"
    if _is_small(idea, facts):
        if idea.size_after == _PAIR:
            return f"the king can only step between {squares(idea.room)}"
        return f"the king must stay on {squares(idea.room, 'or')}" if idea.size_after > 1 else "the king cannot move"
    if _comes(idea, facts):
        return f"now {side(facts.turn)}'s king can come up"
    return f"the king is caged{_place(idea, facts)}"


def _comes(idea: Cage, facts: MoveFacts) -> bool:
    walks = facts.then.ahead[1:2] and facts.then.ahead[1].startswith("K")
    return bool(walks) and idea.change is CageChange.SHUTS and facts.man.piece != "king" and king_may_come(facts)


def _place(idea: Cage, facts: MoveFacts) -> str:
    """Say where the cage lies."""
    if _at_corner(facts) and by_minors(facts):
        return f" by the right corner {facts.corner.right_corner}"
    there, king = part(idea.room), parse_square(facts.room.king)
    if facts.gives.check and part(tuple(square for square in idea.room if square != king)) != there:
        return ""  # The king must leave its square, and with it that part of the board.
    return f" {there}" if there else ""


def _few_left(facts: MoveFacts) -> bool:
    """Whether the squares are named to which a check leaves the king."""
    return facts.gives.check and len(facts.room.flights) <= _FEW


def _at_corner(facts: MoveFacts) -> bool:
    steps = facts.corner.corner_steps_after
    return facts.corner.right_corner is not None and steps is not None and steps <= _AT_CORNER_STEPS


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
    return hit and facts.man.piece != "king" and king_steps(own_king(facts), at) > 1


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
    if _caged_small(facts) or not _is_clear(idea.line, facts):
        return ""
    man = _from_its_man(idea.line, facts)
    return f"cuts the king off{man} along {line_name(idea.line) if man else _both_lines(idea.line, facts)}"


def _caged_small(facts: MoveFacts) -> bool:
    """Whether the king is shut in on few squares: a line tells half of that."""
    cage = facts.seen.idea(Cage)
    shuts = cage is not None and cage.change in (CageChange.SHUTS, CageChange.TIGHTENS) and not cage.loose
    return shuts and cage is not None and _is_small(cage, facts)


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
        return f"drives the king on inside the cage, to {listed(facts.room.flights, 'or')}{_line(facts)}"
    few = len(facts.room.flights) <= _FEW
    return f"drives the king to {listed(facts.room.flights, 'or')}{_line(facts)}" if few else ""


def _line(facts: MoveFacts) -> str:
    """Say what comes after a check."""
    line = facts.then.ahead
    return f": if {line[0]}, {line[1]}" if len(line) > 1 else ""


def narrows(idea: Narrows, facts: MoveFacts) -> str:
    """Say which line is shut, or that a part of the board is shut off."""
    if idea.along and _is_long(idea.along[0]) and not _stands_on(idea.along[0], facts):
        return f"shuts {line_name(idea.along[0])} to {rival_king(facts)}"
    if facts.gives.check:
        return f"takes a good part of the board from {rival_king(facts)}"
    much = by_minors(facts) and 2 * idea.size_after <= idea.size_before
    return f"takes a good part of the board from {rival_king(facts)}" if much else ""


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
    return f"leaves one hole: {squares(idea.made + idea.left)}" if one else ""


def cage_held(idea: Cage, facts: MoveFacts) -> str:
    """Say that the cage stays as it was."""
    if idea.loose or idea.change is not CageChange.HOLDS or (facts.room.squares_given and not idea.same):
        return ""
    return f"keeps the cage shut{_and_passes(facts)}{_line(facts)}"


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
    return f"keeps the box shut{_and_passes(facts)}{_line(facts)}"


def cut_kept(idea: CutOff, facts: MoveFacts) -> str:
    """Say that the king stays cut off."""
    kept = idea.change is CutChange.KEEPS and not _left_next(idea.line, facts)
    return f"keeps the king cut off along {line_name(idea.line)}{_line(facts)}" if kept else ""


def _left_next(line: str, facts: MoveFacts) -> bool:
    """Whether the answer to the best reply takes the piece off a line."""
    answer, kind = facts.then.ahead[1:2], facts.man.piece
    if not answer or kind_signed(answer[0]) != kind:
        return False
    goal = square_name(parse_square(goal_of(answer[0])))
    return line.partition(" ")[2] not in goal
