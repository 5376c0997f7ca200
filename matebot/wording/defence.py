"""What a move of the side that is losing, or holds the draw, tries: one rule an idea, the most telling first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.bars_king import BarsKing
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.critical import Critical
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.from_king import FromKing
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import Idea, man_name, square_name
from matebot.ideas.keeps_room import KeepsRoom
from matebot.ideas.makes_for import Goal, MakesFor
from matebot.ideas.outruns import Outruns
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.stands_out import StandsOut
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.ties_man import TiesMan
from matebot.ideas.to_centre import ToCentre
from matebot.ideas.trapped import Trapped
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.wording.denials import mating
from matebot.wording.phrases import listed, other, side, takes_clause
from matebot.wording.said import Rule, by_minors, men_on, needs_king, of, parse_square, rivals_square, squares
from matebot.wording.standing_out import keeps_guarded, stands_out

_I = TypeVar("_I", bound=Idea)
#: What a defence tries; asked with True, only what every other defence that lasts as long does too.
Reason = Callable[[MoveFacts, bool], str]
#: Mate is forced in the right corner: from so near it the king wants to get away.
_NEAR_CORNER_STEPS = 3
LATE = "cannot stop the pawn"
#: So near the mate nothing else matters.
_SOON = 2
#: So near it no way out of a cage helps.
_LATE_MOVES = 5
#: So many moves are named one by one.
_FEW = 3
_PAWN = 1


def telling(kind: type[_I], text: Callable[[_I, MoveFacts], str]) -> Reason:
    """Return a rule for what an idea says of a defence: nothing where a shorter defence shows it too."""

    def rule(facts: MoveFacts, common: bool) -> str:
        idea, contrast = facts.seen.idea(kind), facts.seen.contrast
        if idea is None or contrast is None:
            return ""
        said = text(idea, facts)
        return "" if not said or contrast.shares(idea) or (common and not contrast.common(idea)) else said

    return rule


def always(rule: Rule) -> Reason:
    """Return a rule for what is told whatever the others do."""
    return lambda facts, common: rule(facts)


def alone(rule: Rule) -> Reason:
    """Return a rule for what is told of a move that lasts longest alone, and of others only as what they try."""

    def told(facts: MoveFacts, common: bool) -> str:
        critical = facts.seen.idea(Critical)
        return "" if common and (critical is None or not critical.alone) else rule(facts)

    return told


def _captures(facts: MoveFacts) -> str:
    return takes_clause(facts.man.captured, facts.man.victim_guarded) if facts.man.captured else ""


def _hole(idea: ThroughHole, facts: MoveFacts) -> str:
    if not by_minors(facts):
        return ""
    if idea.reached:
        soon = facts.worth.mate_moves is not None and facts.worth.mate_moves <= _LATE_MOVES
        return "" if soon else "slips out by the hole left open"
    return f"heads for the hole {square_name(idea.hole)}"


def _leaves_cage(idea: Cage, facts: MoveFacts) -> str:
    return "gets out of the cage" if idea.change is CageChange.LEAVES and facts.man.piece == "king" else ""


def _attacks(idea: AttacksMan, facts: MoveFacts) -> str:
    if idea.loose != idea.squares or _mated_soon(facts):
        return ""  # to attack what is guarded is no threat
    on = men_on(idea.men, idea.squares)
    needed = len(idea.men) == 1 and needs_king(facts)
    return f"attacks {on.replace('the ', 'the unguarded ', 1)}{', without which there is no mate' if needed else ''}"


def _traps(idea: Trapped, facts: MoveFacts) -> str:
    return f"traps the {man_name(idea.man)} on {square_name(idea.square)}"


def _stalemate(idea: StalemateTrap, facts: MoveFacts) -> str:
    if idea.deed is not StalemateDeed.SETS or facts.seen.move is None:
        return ""
    names = [facts.seen.name(facts.seen.move, reply) for reply in idea.moves[:2]]
    return f"sets a trap: {listed(names, 'or')} would be stalemate"


def _wrong_corner(idea: WrongCorner, facts: MoveFacts) -> str:
    if idea.deed is not CornerDeed.RUNS:
        return ""
    if not idea.steps:
        return "goes into the corner where no mate can be forced"
    return f"runs for {square_name(idea.corner)}, the corner where no mate can be forced"


def _threatens(idea: Threatens, facts: MoveFacts) -> str:
    assert facts.seen.move is not None
    move = facts.seen.name(facts.seen.move, idea.move)
    if idea.threat is Threat.CAPTURE:
        return "" if _mated_soon(facts) else f"threatens the {man_name(idea.man)} on {square_name(idea.square)}"
    return f"threatens {'mate' if idea.threat is Threat.MATE else 'to promote'} by {move}"


def _opposition(facts: MoveFacts) -> str:
    if facts.man.piece != "king" or facts.kings.opposition is None:
        return ""
    if needs_king(facts):
        return _barred(facts)
    if facts.seen.contrast is not None and facts.seen.contrast.opposes(facts.kings.opposition):
        return ""
    men = facts.men.attacker_men
    if men != ("pawn",) and (facts.kings.opposition != "direct" or len(men) > 1):
        return ""
    bars = f" and bars {listed(facts.bars.barred)}" if facts.bars.barred else ""
    return f"takes the {facts.kings.opposition} opposition{bars}"


def _bars(idea: BarsKing, facts: MoveFacts) -> str:
    return _in_the_way(idea.squares, facts)


def _barred(facts: MoveFacts) -> str:
    return _in_the_way([parse_square(name) for name in facts.bars.barred], facts) if facts.bars.barred else ""


def _in_the_way(barred: Iterable[int], facts: MoveFacts) -> str:
    """Say from where the other king is kept; nothing where a shorter defence does it too, or mate is near."""
    contrast, held_squares = facts.seen.contrast, list(barred)
    if contrast is None or contrast.bars(sum(1 << square for square in held_squares)):
        return ""
    text = f"bars {side(other(facts.turn))}'s king from {squares(held_squares, 'or')}"
    if not needs_king(facts):
        return text if facts.men.attacker_men == ("pawn",) else ""  # elsewhere the other king need not go there
    return "" if _mated_soon(facts) else f"{text}, and without it {mating(facts)} cannot mate"


def _mated_soon(facts: MoveFacts) -> bool:
    """Whether mate is so near that neither the other king nor a man more or less matters."""
    return facts.worth.mate_moves is not None and facts.worth.mate_moves <= _SOON


def _telling_edge(idea: ToCentre, facts: MoveFacts) -> str:
    """Say that the king keeps from the edge where that tells it from every move that is shorter."""
    critical = facts.seen.idea(Critical)
    return _edge(idea, facts) if critical is not None and critical.off_edge else ""


def _equal_edge(idea: ToCentre, facts: MoveFacts) -> str:
    return _edge(idea, facts) if facts.seen.idea(Critical) is None else ""


def _edge(idea: ToCentre, facts: MoveFacts) -> str:
    contrast, off = facts.seen.contrast, 1 if idea.stays_out or idea.before == 0 else idea.after
    if "pawn" in facts.men.attacker_men or contrast is None or contrast.off_edge(off):
        return ""  # with a pawn that is what matters, not the edge
    if facts.men.defender_men and contrast.leaves_man:
        return keeps_guarded(facts)
    there = ", where it can be mated"
    if needs_king(facts):
        there = f", since {mating(facts)} {_mates(facts)} only there"
    if idea.stays_out and not idea.after:
        return ""
    if idea.stays_out or idea.before == 0:
        if idea.only:
            return f"takes the only step {'that keeps ' if idea.stays_out else ''}off the edge{there}"
        return f"{'keeps off' if idea.stays_out else 'leaves'} the edge{there}"
    far = (
        f"since {mating(facts)} {_mates(facts)} only on the edge"
        if needs_king(facts)
        else "where it is hardest to drive"
    )
    return f"heads for the centre, {far}"


def _mates(facts: MoveFacts) -> str:
    return "mates" if len(facts.men.attacker_men) == 1 else "mate"


def _from_corner(facts: MoveFacts) -> str:
    before, after = facts.corner.corner_steps_before, facts.corner.corner_steps_after
    corner, contrast = facts.corner.right_corner, facts.seen.contrast
    if facts.man.piece != "king" or before is None or after is None or corner is None or contrast is None:
        return ""
    if not before < after or before > _NEAR_CORNER_STEPS or contrast.farther(parse_square(corner), before):
        return ""
    return f"gets away from {corner}, where mate is forced"


def _checks(facts: MoveFacts) -> str:
    contrast = facts.seen.contrast
    return "gives check and gains time" if facts.gives.check and contrast is not None and contrast.gains_time else ""


def _stands_by(idea: StandsBy, facts: MoveFacts) -> str:
    contrast, ends = facts.seen.contrast, facts.seen.idea(EndsIn)
    if contrast is not None and (contrast.falls(idea.square) or contrast.forked(idea.square)):
        return ""
    if ends is not None and ends.does is Next.CAPTURE and ends.man == idea.man != _PAWN:
        return ""  # it is saved for a moment only
    man, square = man_name(idea.man), square_name(idea.square)
    together = "" if man == "pawn" else f", since king and {man} must stay together"
    if idea.help is Help.RUNS:
        hangs = facts.seen.idea(Hanging)
        if hangs is not None and idea.square in hangs.squares:
            return ""
        return f"runs with its pawn, {_squares_off(idea.steps)} from promotion" if idea.steps else "promotes"
    if idea.help is Help.SAVES and man == "pawn":
        return f"saves the pawn, {_squares_off(idea.steps)} from promotion"
    return {
        Help.SAVES: f"saves the {man}{_beside_king(idea.steps)}",
        Help.GUARDS: f"guards its {man} on {square}",
        Help.NEARER: f"comes to the help of its {man} on {square}{together}",
    }[idea.help]


def _squares_off(steps: int) -> str:
    return f"{('no', 'one', 'two', 'three', 'four', 'five', 'six')[steps]} square{'' if steps == 1 else 's'}"


def _beside_king(steps: int) -> str:
    """Say how far a man that was saved stands from its king."""
    if steps == 1:
        return ": it stands next to its king"
    return ", though it stands far from its king" if steps > _FEW else ""


def _saves(idea: StandsBy, facts: MoveFacts) -> str:
    return "" if idea.help is Help.NEARER else _stands_by(idea, facts)


def _keeps_man(idea: StandsBy, facts: MoveFacts) -> str:
    return "" if idea.help is Help.RUNS else _saves(idea, facts)


def _at_pawn(idea: AtPawn, facts: MoveFacts) -> str:
    if _mated_soon(facts):
        return ""
    pawn = square_name(idea.pawn)
    if idea.reach is Reach.NEARER and facts.race.pawn_moves is not None:
        if _outside(facts):
            return ""
        if facts.men.attacker_men == ("pawn",):
            return f"goes for the pawn on {pawn}, inside its square: {side(other(facts.turn))}'s king must help it"
    if idea.reach is Reach.NEARER and (idea.steps > idea.to_go or (idea.steps >= _FEW and not _lone_pawn(facts))):
        return ""  # it is promoted first, or too far to matter
    return {
        Reach.IN_FRONT: f"gets in front of the pawn on {pawn}, where it is hardest to pass",
        Reach.SQUARE: f"steps into the square of the pawn on {pawn}{_caught(facts)}",
        Reach.NEARER: f"goes for the pawn on {pawn}{_belongs(facts)}",
    }[idea.reach]


def _lone_pawn(facts: MoveFacts) -> bool:
    return facts.men.attacker_men == ("pawn",)


def _belongs(facts: MoveFacts) -> str:
    return "" if facts.race.pawn_moves is None else ": the king belongs in front of it"


def _caught(facts: MoveFacts) -> str:
    moves, steps = facts.race.pawn_moves, facts.race.catch_steps
    return "" if moves is None or steps is None or steps > moves else ": left alone the pawn would be caught"


def _too_late(idea: Outruns, facts: MoveFacts) -> str:
    """Say that the pawn runs: the king is outside its square."""
    why = "it promotes next move" if idea.moves == 1 else f"{side(facts.turn)}'s king is outside its square"
    return f"{LATE}: {why}"


def _room(idea: KeepsRoom, facts: MoveFacts) -> str:
    if idea.caged:
        return "keeps the most room in its cage"
    return ""


def _escapes(idea: EscapesMate, facts: MoveFacts) -> str:
    mate = facts.seen.name(idea.other, idea.mate)
    name = facts.seen.name(idea.other)
    if _opposed(facts, idea.other.to_square):
        return f"stays out of the opposition: {name} would allow {mate}"
    return f"avoids mate at once, since {name} runs into {mate}"


def _opposed(facts: MoveFacts, step: int) -> bool:
    """Whether the king would stand in direct opposition on a square."""
    rival = rivals_square(facts)
    files, ranks = abs(rival % 8 - step % 8), abs(rival // 8 - step // 8)
    return facts.man.piece == "king" and facts.men.attacker_men == ("rook",) and sorted((files, ranks)) == [0, 2]


def _makes_for(idea: MakesFor, facts: MoveFacts) -> str:
    where, own = squares(idea.squares, "or"), idea.target if idea.goal is Goal.OWN_MAN else None
    if own is not None and facts.seen.contrast is not None and facts.seen.contrast.falls(own):
        return ""
    if own is not None and min(king_steps(step, own) for step in idea.squares) >= _FEW:
        return ""  # too far to be its help
    target, man = ("" if s is None else n(s) for s, n in ((idea.target, square_name), (idea.man, man_name)))
    off = not from_edge(parse_square(facts.move[2:4]))
    if facts.race.pawn_goal is not None and _outside(facts):
        return ""
    return {
        Goal.MAN: f"makes for {where}, to attack the {man} on {target}",
        Goal.OWN_MAN: f"makes for {where}, nearer to its {man}",
        Goal.PAWN: f"makes for {where}, nearer to the pawn on {target}",
        Goal.WRONG_CORNER: f"makes for {where}, on the way to {target}, the wrong corner",
        Goal.CENTRE: f"makes for {where}{_inwards(facts, off)}",
        Goal.OUT_OF_CORNER: f"makes for {where}, out of the corner {target}",
    }[idea.goal]


def _telling_way(idea: MakesFor, facts: MoveFacts) -> str:
    """Say where the king makes for where that says enough: at a loose man, or out of what minor pieces have shut."""
    return _makes_for(idea, facts) if idea.goal is Goal.MAN or by_minors(facts) else ""


def _inwards(facts: MoveFacts, off: bool) -> str:
    """Say what it is good for to come nearer to the centre."""
    if not off:
        return ", nearer to the centre"
    return f", since off the edge {mating(facts)} cannot mate" if needs_king(facts) else ", off the edge"


def _outside(facts: MoveFacts) -> bool:
    """Whether the pawn runs alone: the king is outside its square."""
    return (
        facts.race.pawn_moves is not None
        and facts.race.catch_steps is not None
        and facts.race.catch_steps > facts.race.pawn_moves
    )


def _ties(idea: TiesMan, facts: MoveFacts) -> str:
    if not by_minors(facts) or len(idea.holds) > _FEW:
        return ""
    if facts.seen.contrast is None or facts.seen.contrast.leaves(idea.square, sum(1 << s for s in idea.holds)):
        return ""
    return f"ties the {man_name(idea.man)} down: it alone holds {squares(idea.holds)}"


def _from_king(idea: FromKing, facts: MoveFacts) -> str:
    if not needs_king(facts) or _mated_soon(facts):
        return ""
    return f"keeps farthest from {side(other(facts.turn))}'s king, without which {mating(facts)} cannot mate"


#: What a move of the defender tries where that says enough, the most telling first.
TRIES: tuple[Reason, ...] = (
    always(_captures),
    telling(Cage, _leaves_cage),
    telling(ThroughHole, _hole),
    telling(AttacksMan, _attacks),
    telling(Trapped, _traps),
    telling(StalemateTrap, _stalemate),
    telling(Threatens, _threatens),
    telling(WrongCorner, _wrong_corner),
    always(of(Outruns, _too_late)),
)
#: What is a reason where the others that last as long do it too.
STRONG: tuple[Reason, ...] = (
    telling(StandsBy, _saves),
    telling(AtPawn, _at_pawn),
    alone(_opposition),
    telling(EscapesMate, _escapes),
    telling(MakesFor, _telling_way),
    telling(ToCentre, _telling_edge),
)
#: What is told where others that last as long do not do it.
TRIED: tuple[Reason, ...] = (
    telling(Cage, _leaves_cage),
    telling(ThroughHole, _hole),
    telling(Trapped, _traps),
    telling(StalemateTrap, _stalemate),
    telling(Threatens, _threatens),
    telling(WrongCorner, _wrong_corner),
    telling(StandsBy, _keeps_man),
    telling(EscapesMate, _escapes),
    telling(MakesFor, _telling_way),
)
#: What it tries beside, where nothing else is known of it.
WEAK: tuple[Reason, ...] = (
    telling(BarsKing, _bars),
    alone(_from_corner),
    always(_checks),
    telling(StandsBy, _stands_by),
    telling(MakesFor, _makes_for),
    telling(ToCentre, _equal_edge),
    telling(KeepsRoom, _room),
    alone(_barred),
    telling(TiesMan, _ties),
    telling(FromKing, _from_king),
)
#: What is told where every move lasts as long and nothing is known to come next.
IF_NOTHING_ELSE: tuple[Reason, ...] = (telling(ToCentre, _equal_edge), telling(FromKing, _from_king))
#: What may be tried where every move lasts as long.
IN_ANY_CASE: tuple[Reason, ...] = TRIES


def first(facts: MoveFacts, rules: Iterable[Reason], common: bool = False) -> str:
    """Return the first thing that rules say of a move, nothing without any."""
    return next((text for rule in rules if (text := rule(facts, common))), "")


def purposes(facts: MoveFacts) -> Iterator[str]:
    """Yield what a move of the defender tries, the most telling first, without its name."""
    middle = always(of(StandsOut, stands_out))
    rules = IN_ANY_CASE if facts.seen.idea(Critical) is None else (*TRIES, *STRONG, middle, *WEAK)
    return (text for rule in rules if (text := rule(facts, False)) and not text.startswith(LATE))
