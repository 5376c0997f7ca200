"""What a good move of the attacker does to the cage of the other king."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.holes import Holes
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.squares import from_edge, king_steps, lines_holding, lines_through
from matebot.wording import kings, leads, maxims
from matebot.wording.maxims import king_may_come
from matebot.wording.parts import part
from matebot.wording.phrases import line_name, listed, side
from matebot.wording.said import (
    by_minors,
    mated_within,
    own_man,
    parse_square,
    rival_king,
    rivals_men,
    squares,
    stands,
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
    if idea.loose or not idea.change.smaller:
        return ""
    kept, king = [man for square in idea.gate if (man := own_man(facts, square))], parse_square(facts.room.king)
    if kept and facts.men.defender_men and all(king_steps(square, king) > _NEAR for square in idea.gate):
        return ""  # the king is too far off to take what is guarded, and its own man matters more
    shut = "" if kept else _shut(idea)
    if idea.change is CageChange.TIGHTENS:  # What matters is the man where there is one, but for a small cage.
        return "" if facts.men.defender_men and not _is_small(idea, facts) else _tightens(idea, facts, kept, shut)
    ready = facts.seen.idea(KnightsW)
    stops = "; the W may stop here" if ready is not None and ready.state is WState.MAY_STOP else ""
    part_of_board, two = _place(idea, facts), _by_two(idea, facts)
    wall = ("" if part_of_board else two) if two else _wall(idea, facts)  # one of two lines tells half
    if shut and not (idea.along or wall or _no_square(facts)):
        hole = "the hole " if by_minors(facts) and _is_last_hole(idea, facts) else ""
        # A square on the edge beside the king is seen as a way along it, not out.
        last = len(idea.gate) == 1 and (by_minors(facts) or from_edge(idea.gate[0]) > 0)
        way = f"{hole}{shut}, the last way out" if last else f"the way out at {shut}"
        if not any(map(from_edge, (*idea.gate, parse_square(facts.room.king)))) and "pawn" in facts.men.attacker_men:
            way = shut  # On the edge the king has no way out there, but one to the pawn.
        return f"shuts {way}: {_left(idea, facts)}{stops}"
    first = f"guards the {kept[0]} and shuts" if kept else "shuts"
    if len(idea.along) == 1 and not wall:
        wall = shut if _to_edge(idea.along[0], idea) and _one_side(idea.along[0], stands(facts), idea) else ""
    place = f" behind {wall}" if wall else part_of_board
    says = _few_left(idea, facts) or _is_small(idea, facts) or _comes(idea, facts)
    left = f": {_left(idea, facts).replace('the king', 'it')}" if says else ""
    if not left and not place and (lines := _lines_shut(idea, facts)):
        place = f" behind {lines}"
    if not left and not place:
        if driven := leads.driven(facts):
            return driven  # where it goes says more than how many squares it has
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
    return maxims.ROOM_THEN_KING if facts.kings.kings_after > _NEAR else maxims.TAKE_SQUARES


def _tightens(idea: Cage, facts: MoveFacts, kept: list[str], shut: str) -> str:
    """Say what is taken from the cage."""
    nearer = facts.seen.idea(KingUp) is not None and kings.comes_nearer(facts)
    if nearer and not kept and (_few_left(idea, facts) or _is_small(idea, facts)):
        return f"{kings.brings_up(facts)}: {_left(idea, facts).replace('the king', rival_king(facts))}"
    if nearer and shut and not idea.along:
        return f"{kings.brings_up(facts)} and shuts {shut}"
    first = f"guards the {kept[0]} and " if kept else ""
    small = _few_left(idea, facts) or _is_small(idea, facts)
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
    return line_name(lines[0]) if _one_side(lines[0], at, idea) and _to_edge(lines[0], idea) else ""


def _by_two(idea: Cage, facts: MoveFacts) -> str:
    """Name rank and file of a queen alone that has moved, neither on the edge, where the cage is next to both."""
    at = stands(facts)
    found = [name for name, _ in lines_through(at) if name.startswith(("rank", "file"))]
    alone = facts.man.piece == "queen" and facts.men.attacker_men == ("queen",) and from_edge(at) > 0
    walls = alone and all(_one_side(name, at, idea, close=True) for name in found)
    return listed([line_name(name) for name in found]) if walls else ""


def _to_edge(line: str, idea: Cage) -> bool:
    """Whether a cage behind a rank or file goes as far as the edge: else another line holds it as well."""
    if not line.startswith(("rank", "file")):
        return True
    ranks = line.startswith("rank")
    return any((square // 8 if ranks else square % 8) in (0, 7) for square in idea.room)


def _lines_shut(idea: Cage, facts: MoveFacts) -> str:
    """Return two lines of the queen that has moved which hold all squares shut, none on one alone; "" without."""
    at = stands(facts)
    found = [(name, line) for name, line in lines_through(at) if any(line >> s & 1 for s in idea.gate)]
    held = all(any(line >> square & 1 for _, line in found) for square in idea.gate)
    if not all(_one_side(name, at, idea) for name, _ in found):
        return ""  # The king may go to either side of it.
    if facts.man.piece != "queen" or len(found) != _PAIR or not held:
        return ""
    return listed([line_name(name) for name, _ in found])


def _one_side(line: str, man: int, idea: Cage, close: bool = False) -> bool:
    """Whether the whole cage lies on one side of a line through a man, and next to it if asked for.

    A king may step over a diagonal without standing on it, so that both sides of that are in the cage.
    """
    away = [_beyond(square, man, line) for square in idea.room]
    return (min(away) > 0 or max(away) < 0) and not (close and min(map(abs, away)) > 1)


def _beyond(square: int, man: int, line: str) -> int:
    """Return how far to one side of a line through a man a square lies, below 0 to the other, 0 on it."""
    ranks, files = square // 8 - man // 8, square % 8 - man % 8
    if line.startswith(("rank", "file")):
        return ranks if line.startswith("rank") else files
    first, last = line.split()[1].split("-")
    return ranks - files if first[1] < last[1] else ranks + files


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
    return squares(idea.gate) if len(idea.gate) <= _FEW else ""


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


def caged_small(facts: MoveFacts) -> bool:
    """Whether the king is shut in on few squares: a line tells half of that."""
    cage = facts.seen.idea(Cage)
    return cage is not None and cage.change.smaller and not cage.loose and _is_small(cage, facts)


def _left(idea: Cage, facts: MoveFacts) -> str:
    """Say where the king can go, if that is little, that the other king may come, or where it is caged."""
    if _no_square(facts):
        return "the king has no square left"
    if _few_left(idea, facts):
        return f"the king has only {listed(facts.room.flights, 'or')} left"
    if _is_small(idea, facts):
        if any(man != "pawn" for man in facts.men.defender_men) and idea.size_after > 1:
            return f"the king has only {squares(idea.room, 'or')} left"  # its man may come between
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


def _few_left(idea: Cage, facts: MoveFacts) -> bool:
    """Whether the squares are named to which a check leaves the king: there it stays."""
    flights = len(facts.room.flights)
    return facts.gives.check and flights <= _FEW and (not flights or idea.size_after <= flights + 1)


def _at_corner(facts: MoveFacts) -> bool:
    steps = facts.corner.corner_steps_after
    return facts.corner.right_corner is not None and steps is not None and steps <= _AT_CORNER_STEPS
