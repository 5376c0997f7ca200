"""What a step of the losing or drawing side's king tries: off the edge, out of the cage, in the other king's way."""

from __future__ import annotations

from collections.abc import Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.bars_king import BarsKing
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.critical import Critical
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.from_king import FromKing
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.keeps_room import KeepsRoom
from matebot.ideas.makes_for import Goal, MakesFor
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.to_centre import ToCentre
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.wording.counsel import FACED, SEE_MATES
from matebot.wording.denials import mating
from matebot.wording.phrases import listed, other, side
from matebot.wording.said import (
    by_minors,
    mated_within,
    mates_anywhere,
    men_at,
    needs_king,
    parse_square,
    rivals_men,
    rivals_square,
    squares,
    stands,
)
from matebot.wording.standing_out import keeps_guarded

#: Mate is forced in the right corner: from so near it the king wants to get away.
_NEAR_CORNER_STEPS = 3
#: So near the mate nothing else matters.
_SOON = 2
#: So near it no way out of a cage helps.
_LATE_MOVES = 5
#: So many steps are too far to help.
_FAR = 3


def hole(idea: ThroughHole, facts: MoveFacts) -> str:
    """Say that the king steps through a hole, or heads for one."""
    if not by_minors(facts):
        return ""
    if idea.reached:
        soon = mated_within(facts, _LATE_MOVES)
        return "" if soon else f"steps through the hole {square_name(idea.hole)}"
    return f"heads for the hole {square_name(idea.hole)}"


def leaves_cage(idea: Cage, facts: MoveFacts) -> str:
    """Say that the king gets out of the cage."""
    return "gets out of the cage" if idea.change is CageChange.LEAVES and facts.man.piece == "king" else ""


def wrong_corner(idea: WrongCorner, facts: MoveFacts) -> str:
    """Say that the king runs for a corner where no mate can be forced."""
    rival = king_steps(rivals_square(facts), idea.corner)
    if idea.deed is not CornerDeed.RUNS or rival <= idea.steps:
        return ""  # the other king is there first
    if not idea.steps:
        return "goes into the corner where no mate can be forced"
    man = f"{men_at(facts, [idea.corner])} on " if idea.corner in rivals_men(facts) else ""
    return f"runs for {man}{square_name(idea.corner)}, the corner where no mate can be forced"


def opposition(facts: MoveFacts) -> str:
    """Say that the king takes the opposition."""
    if facts.man.piece != "king" or facts.kings.opposition is None:
        return ""
    if needs_king(facts):
        return barred(facts)
    if facts.seen.contrast.opposes(facts.kings.opposition):
        return ""
    men = facts.men.attacker_men
    if men != ("pawn",) and (facts.kings.opposition != "direct" or len(men) > 1):
        return ""
    bars = f" and bars {listed(facts.bars.barred)}" if facts.bars.barred else ""
    return f"takes the {facts.kings.opposition} opposition{bars}"


def bars(idea: BarsKing, facts: MoveFacts) -> str:
    """Say from where a king in opposition keeps the other one."""
    return _in_the_way(idea.squares, facts)


def barred(facts: MoveFacts) -> str:
    """Say from where the king keeps the other one, whatever their opposition."""
    return _in_the_way([parse_square(name) for name in facts.bars.barred], facts) if facts.bars.barred else ""


def keeps_out(facts: MoveFacts) -> str:
    """Say out of which square a step keeps the other king that goes there after the next best defence."""
    critical, contrast = facts.seen.idea(Critical), facts.seen.contrast
    if not needs_king(facts) or is_mated_soon(facts):
        return ""
    answer = None if critical is None else critical.answer
    if answer is None or answer.from_square != rivals_square(facts):
        return ""
    if not contrast.keeps_out(answer.to_square):
        return ""
    return f"keeps {side(other(facts.turn))}'s king out of {square_name(answer.to_square)}"


def _in_the_way(barred: Iterable[int], facts: MoveFacts) -> str:
    """Say from where the other king is kept; nothing where a shorter defence does it too, or mate is near."""
    contrast = facts.seen.contrast
    held_squares = [square for square in barred if all(king_steps(k, square) <= 1 for k in contrast.equal_kings)]
    if not held_squares:
        return ""  # one that lasts as long lets it go there
    if contrast.bars(sum(1 << square for square in held_squares)):
        return ""
    if not needs_king(facts):  # but against a pawn the other king need not go there
        text = f"bars {side(other(facts.turn))}'s king from {squares(held_squares, 'or')}"
        return text if facts.men.attacker_men == ("pawn",) else ""
    return keeps_out(facts)


def is_mated_soon(facts: MoveFacts) -> bool:
    """Whether mate is so near that neither the other king nor a man more or less matters."""
    return mated_within(facts, _SOON)


def telling_edge(idea: ToCentre, facts: MoveFacts) -> str:
    """Say that the king keeps from the edge where that tells it from every move that is shorter."""
    critical = facts.seen.idea(Critical)
    return _edge(idea, facts) if critical is not None and critical.off_edge else ""


def equal_edge(idea: ToCentre, facts: MoveFacts) -> str:
    """Say that the king keeps from the edge where no move is shorter, and all do so."""
    contrast = facts.seen.contrast
    alike = facts.seen.idea(Critical) is None and contrast.edge_tells(1)
    return _edge(idea, facts) if alike else ""


def _edge(idea: ToCentre, facts: MoveFacts) -> str:
    contrast, off = facts.seen.contrast, 1 if idea.stays_out or idea.before == 0 else idea.after
    if "pawn" in (*facts.men.attacker_men, *facts.men.defender_men) or contrast.off_edge(off):
        return ""  # with a pawn that is what matters, not the edge
    if contrast.leaves_man:
        return keeps_guarded(facts)
    there = "" if mates_anywhere(facts) else ", where it can be mated"
    if needs_king(facts):
        there = f", since {mating(facts)} {_mates(facts)} only there"
    if idea.stays_out and not idea.after:
        return ""
    if idea.stays_out or idea.before == 0:
        if idea.only and idea.after == 1:
            there = there.replace(", since", ", and")
            return f"is the one step {'that keeps ' if idea.stays_out else ''}off the edge{there}"
        return f"{'keeps off' if idea.stays_out else 'leaves'} the edge{there}"
    far = (
        f"since {mating(facts)} {_mates(facts)} only on the edge"
        if needs_king(facts)
        else "where it is hardest to drive"
    )
    return f"heads for the centre, {far}"


def _mates(facts: MoveFacts) -> str:
    return "mates" if len(facts.men.attacker_men) == 1 else "mate"


def from_corner(facts: MoveFacts) -> str:
    """Say that the king gets away from the right corner."""
    before, after = facts.corner.corner_steps_before, facts.corner.corner_steps_after
    corner, contrast = facts.corner.right_corner, facts.seen.contrast
    if facts.man.piece != "king" or before is None or after is None or corner is None:
        return ""
    if not before < after or before > _NEAR_CORNER_STEPS or contrast.farther(parse_square(corner), before):
        return ""
    corners = parse_square(corner), parse_square(corner) ^ 63
    if any(min(king_steps(king, one) for one in corners) <= before for king in contrast.equal_kings):
        return ""  # one that lasts as long stays near it
    return f"gets away from {corner}, where mate is forced"


def makes_for(idea: MakesFor, facts: MoveFacts) -> str:
    """Say what squares the king makes for, and what they lead to."""
    where, own = squares(idea.squares, "or"), idea.target if idea.goal is Goal.OWN_MAN else None
    if own is not None and min(king_steps(step, own) for step in idea.squares) >= _FAR:
        return ""  # too far to be its help
    if idea.goal is Goal.MAN and _is_idle(idea, facts):
        return ""
    target, man = ("" if s is None else n(s) for s, n in ((idea.target, square_name), (idea.man, man_name)))
    off = not from_edge(stands(facts))
    if outside(facts):
        return ""
    if idea.goal is Goal.CENTRE and "pawn" in (*facts.men.attacker_men, *facts.men.defender_men):
        return ""  # with a pawn that is what matters
    return {
        Goal.MAN: f"makes for {where}, to attack the {man} on {target}",
        Goal.OWN_MAN: f"makes for {where}, nearer to its {man}",
        Goal.PAWN: f"makes for {where}, nearer to the pawn on {target}",
        Goal.WRONG_CORNER: f"makes for {where}, on the way to {target}, the wrong corner",
        Goal.CENTRE: f"makes for {where}{_inwards(facts, off)}",
        Goal.OUT_OF_CORNER: f"makes for {where}, out of the corner {target}",
    }[idea.goal]


def _is_idle(idea: MakesFor, facts: MoveFacts) -> bool:
    """Whether mate is near, a shorter step attacks the man at once, or a best reply shuts the king's way to it."""
    contrast = facts.seen.contrast
    if mated_within(facts, _LATE_MOVES) or idea.target is None:
        return True
    if any(king_steps(king, idea.target) == 1 for king in contrast.shorter_kings):
        return True
    return contrast.shuts_off(idea.target, idea.squares)


def telling_way(idea: MakesFor, facts: MoveFacts) -> str:
    """Say where the king makes for where that says enough: at a loose man, or out of what minor pieces have shut."""
    return makes_for(idea, facts) if idea.goal is Goal.MAN or by_minors(facts) else ""


def _inwards(facts: MoveFacts, off: bool) -> str:
    """Say what it is good for to come nearer to the centre."""
    if not off:
        return ", nearer to the centre"
    return f", since off the edge {mating(facts)} cannot mate" if needs_king(facts) else ", off the edge"


def outside(facts: MoveFacts) -> bool:
    """Whether the pawn runs alone: the king is outside its square."""
    short = facts.race.steps_short
    return short is not None and short > 0


def room(idea: KeepsRoom, facts: MoveFacts) -> str:
    """Say that the king keeps the most room."""
    if idea.caged:
        return "keeps the most room in its cage"
    return ""


def escapes(idea: EscapesMate, facts: MoveFacts) -> str:
    """Say what mate at once another move would allow."""
    mate = facts.seen.name(idea.other, idea.mate)
    name = facts.seen.name(idea.other)
    if _opposed(facts, idea.other.to_square):
        return f"stays out of the opposition: {name} would allow {mate}"
    return f"avoids mate on the next move, since {name} runs into {mate}"


def escape_lesson(idea: EscapesMate, facts: MoveFacts) -> str:
    """Say what a mate avoided teaches."""
    return FACED if _opposed(facts, idea.other.to_square) else SEE_MATES


def _opposed(facts: MoveFacts, step: int) -> bool:
    """Whether the king would stand in direct opposition on a square."""
    rival = rivals_square(facts)
    apart = sorted((abs(rival % 8 - step % 8), abs(rival // 8 - step // 8)))
    return facts.man.piece == "king" and facts.men.attacker_men == ("rook",) and apart == [0, 2]


def from_king(idea: FromKing, facts: MoveFacts) -> str:
    """Say that the king keeps farthest from the other one."""
    if not needs_king(facts) or is_mated_soon(facts):
        return ""
    return f"keeps farthest from {side(other(facts.turn))}'s king, without which {mating(facts)} cannot mate"
