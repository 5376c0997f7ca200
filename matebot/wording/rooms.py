"""What a good move of the attacker does to the room of the other king: cage, box and cut-off line."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.holes import Holes
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.narrows import Narrows
from matebot.ideas.squares import king_steps
from matebot.wording import kings
from matebot.wording.maxims import king_may_come
from matebot.wording.parts import part
from matebot.wording.phrases import counted, line_name, listed
from matebot.wording.said import by_minors, own_king, own_man, parse_square, rival_king, rivals_men, squares

_FEW = 3
_AT_CORNER_STEPS = 3


def bare_king_caged(idea: Cage, facts: MoveFacts) -> str:
    """Say so of a bare king: with another man to move its room matters less."""
    return "" if facts.men.defender_men else cage_first(idea, facts)


def cage_first(idea: Cage, facts: MoveFacts) -> str:
    """Say which cage is shut or tightened, where, and what is left to the king."""
    if idea.loose:
        return ""
    where = f" at {squares(idea.gate)}" if len(idea.gate) <= _FEW else ""
    if idea.along:
        where = f" along {line_name(idea.along[0])}" if len(idea.along) == 1 else ""
    kept = [man for square in idea.gate if (man := own_man(facts, square))]
    where = where if idea.gate and not kept else ""
    at = f" by {facts.corner.right_corner}" if _at_corner(facts) and by_minors(facts) else ""
    place = f" {there}" if not (where or at) and (there := part(idea.room)) else ""
    first = f"guards the {kept[0]} and so " if kept else ""
    if idea.change is CageChange.SHUTS:
        ready = facts.seen.idea(KnightsW)
        stops = "; the W may stop here" if ready is not None and ready.state is WState.MAY_STOP else ""
        holes = facts.seen.idea(Holes)
        if (
            holes is not None
            and len(idea.gate) == 1
            and idea.gate[0] in holes.closed
            and not (_no_square(facts) or kept)
        ):
            return f"shuts the hole {squares(idea.gate)}: a cage of {_room(idea, facts)}{at}{stops}"
        left = "" if facts.gives.check and not _few_left(facts) else f": {_left(idea, facts)}"
        return f"{first}shuts the cage{where}{at or place}{left}{stops}"
    if idea.change is CageChange.TIGHTENS:
        up = "brings the king up and " if facts.seen.idea(KingUp) is not None and kings.comes_nearer(facts) else ""
        left = _left(idea, facts)
        if _few_left(facts):
            return f"{first or up}tightens the cage{where}: {left}"
        shut = _now_shut(idea, kept)
        return f"{first or up}tightens the cage to {_room(idea, facts)}{shut or place}"
    return ""


def _room(idea: Cage, facts: MoveFacts) -> str:
    """Count the squares of the cage; on the one where it is checked the king cannot stay."""
    return counted(idea.size_after - facts.gives.check, "square")


def _no_square(facts: MoveFacts) -> bool:
    return facts.gives.check and not facts.room.flights


def _left(idea: Cage, facts: MoveFacts) -> str:
    """Say what is left to the king: where it can go, if it is checked and that is little, else how many squares."""
    if _no_square(facts):
        return "the king has no square left"
    if _few_left(facts):
        return f"the king has only {listed(facts.room.flights, 'or')}"
    comes = idea.change is CageChange.SHUTS and facts.man.piece != "king" and king_may_come(facts)
    left = f"only {_room(idea, facts)} {'are' if idea.size_after - facts.gives.check > 1 else 'is'} left"
    return f"{left}, and your king can come up" if comes else left


def _few_left(facts: MoveFacts) -> bool:
    """Whether the squares are named to which a check leaves the king."""
    return facts.gives.check and len(facts.room.flights) <= _FEW


def _now_shut(idea: Cage, kept: list[str]) -> str:
    """Say which squares are shut, where they are few or lie on one line."""
    if len(idea.along) == 1:
        return f": {line_name(idea.along[0])} is shut"
    if not idea.gate or len(idea.gate) > _FEW or kept:
        return ""
    return f": {squares(idea.gate)} {'is' if len(idea.gate) == 1 else 'are'} shut"


def _at_corner(facts: MoveFacts) -> bool:
    steps = facts.corner.corner_steps_after
    return facts.corner.right_corner is not None and steps is not None and steps <= _AT_CORNER_STEPS


def box(idea: Box, facts: MoveFacts) -> str:
    """Say which box is made, or what it shrinks to."""
    if facts.man.piece == "queen" and not facts.queen.knights_move_off:
        return ""  # A queen guards more than its lines: its box says little.
    if idea.change is BoxChange.SHRINKS and idea.before is not None and idea.after is not None:
        by = ", a knight's move from the king" if facts.queen.knights_move_off else ""
        size = f" to {counted(idea.after, 'square')}" if idea.free else ""
        if by or size or not (wall := _new_wall(facts)):
            return f"shrinks the box{size}{by or _new_wall(facts, ': ')}"
        return f"moves the wall of the box to {wall}"
    if idea.change is BoxChange.MAKES and idea.after is not None:
        of = f" of {counted(idea.after, 'square')}" if idea.free else ""
        return f"shuts the king in a box{of}"
    return ""


def _new_wall(facts: MoveFacts, before: str = "") -> str:
    """Say which line the piece has come to; a queen that changes both, or a king, has none to name."""
    was, now = facts.move[:2], facts.move[2:4]
    if facts.man.piece == "king" or (was[0] != now[0] and was[1] != now[1]):
        return ""
    line = f"rank {now[1]}" if was[0] == now[0] else f"file {now[0]}"
    hit = f"; if hit, the {facts.man.piece} moves along it" if _can_be_hit(facts) else ""
    return f"{before}{line_name(line)}{' is the new wall' if before else ''}{hit}"


def _can_be_hit(facts: MoveFacts) -> bool:
    """Whether the defending king may step next to the man that moved, which its own king does not guard."""
    man = parse_square(facts.move[2:4])
    near = any(king_steps(parse_square(goal), man) == 1 for goal in facts.room.flights)
    return near and king_steps(own_king(facts), man) > 1


def cuts(idea: CutOff, facts: MoveFacts) -> str:
    """Say which line cuts the king off now."""
    if idea.change is not CutChange.SETS or facts.man.piece == "king":
        return ""  # A step of the king only comes to the other side of a line that stood before.
    return f"cuts the king off{_from_its_man(idea.line, facts)} along {line_name(idea.line)}"


def _from_its_man(line: str, facts: MoveFacts) -> str:
    """Say so where the line parts the king from the only man it has."""
    men, king = rivals_men(facts), parse_square(facts.room.king)
    if len(men) != 1 or facts.man.captured:
        return ""
    kind, name = line.split()
    at = int(name) - 1 if kind == "rank" else ord(name) - ord("a")
    ends = sorted(square // 8 if kind == "rank" else square % 8 for square in (men[0], king))
    return f" from its {facts.men.defender_men[0]}" if ends[0] < at < ends[1] else ""


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
    if idea.along:
        return f"shuts {line_name(idea.along[0])} to {rival_king(facts)}"
    if facts.gives.check:
        return f"takes a good part of the board from {rival_king(facts)}"
    return f"cuts {rival_king(facts)} down from {idea.size_before} squares to {idea.size_after}"


def holes(idea: Holes, facts: MoveFacts) -> str:
    """Say which one hole is left."""
    return f"leaves one hole: {squares(idea.made + idea.left)}" if len(idea.made + idea.left) == 1 else ""


def cage_held(idea: Cage, facts: MoveFacts) -> str:
    """Say that the cage stays as it was."""
    if idea.loose:
        return ""
    if idea.change is not CageChange.HOLDS:
        return ""
    return f"holds the cage at {counted(idea.size_after, 'square')}{_line(facts)}"


def box_held(idea: Box, facts: MoveFacts) -> str:
    """Say that the box stays as it was."""
    if idea.change is not BoxChange.HOLDS:
        return ""
    size = f" of {counted(idea.after or 0, 'square')}" if idea.free else ""
    return f"keeps the box{size} shut{_line(facts)}"


def cut_kept(idea: CutOff, facts: MoveFacts) -> str:
    """Say that the king stays cut off."""
    kept = idea.change is CutChange.KEEPS
    return f"keeps the king cut off along {line_name(idea.line)}{_line(facts)}" if kept else ""
