"""What a move of the side that is losing, or holds the draw, tries: one rule an idea, the most telling first."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.bars_king import BarsKing
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.critical import Critical
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.from_king import FromKing
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.keeps_room import KeepsRoom
from matebot.ideas.makes_for import Goal, MakesFor
from matebot.ideas.squares import from_edge
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.stays_caged import StaysCaged
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.ties_man import TiesMan
from matebot.ideas.to_centre import ToCentre
from matebot.ideas.trapped import Trapped
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.terms import Cause
from matebot.wording.draws import why_drawn
from matebot.wording.phrases import counted, listed, other, sentence, side, takes_clause
from matebot.wording.said import Rule, by_minors, men_on, needs_king, of, parse_square, squares

#: Mate is forced in the right corner: from so near it the king wants to get away.
_NEAR_CORNER_STEPS = 3
#: So many moves are named one by one.
_FEW = 3


def _captures(facts: MoveFacts) -> str:
    return takes_clause(facts.man.captured, facts.man.victim_guarded) if facts.man.captured else ""


def _hole(idea: ThroughHole, facts: MoveFacts) -> str:
    if not by_minors(facts):
        return ""
    if idea.reached:
        return f"runs out through the hole {square_name(idea.hole)}"
    return f"heads for the hole {square_name(idea.hole)}"


def _leaves_cage(idea: Cage, facts: MoveFacts) -> str:
    return "gets out of the cage" if idea.change is CageChange.LEAVES and facts.man.piece == "king" else ""


def _attacks(idea: AttacksMan, facts: MoveFacts) -> str:
    on = men_on(idea.men, idea.squares)
    if idea.loose != idea.squares:
        return f"attacks {on}"
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
        return f"threatens the {man_name(idea.man)} on {square_name(idea.square)}"
    return f"threatens {'mate' if idea.threat is Threat.MATE else 'to promote'} by {move}"


def _opposition(facts: MoveFacts) -> str:
    if facts.man.piece != "king" or facts.kings.opposition is None:
        return ""
    if facts.kings.opposition != "direct" and "pawn" not in facts.men.attacker_men:
        return ""
    bars = f" and bars {listed(facts.bars.barred)}" if facts.bars.barred else ""
    return f"takes the {facts.kings.opposition} opposition{bars}"


def _bars(idea: BarsKing, facts: MoveFacts) -> str:
    return _in_the_way(squares(idea.squares), facts)


def _barred(facts: MoveFacts) -> str:
    return _in_the_way(listed(facts.bars.barred), facts) if facts.bars.barred else ""


def _in_the_way(barred: str, facts: MoveFacts) -> str:
    return f"stands in the way of {side(other(facts.turn))}'s king and bars {barred}"


def _only_centre(idea: ToCentre, facts: MoveFacts) -> str:
    return _centre(idea, facts) if idea.only else ""


def _centre(idea: ToCentre, facts: MoveFacts) -> str:
    if facts.men.attacker_men == ("pawn",):
        return ""  # there the pawn is what matters, not the edge
    by = ", by its only way" if idea.only else ""
    if idea.stays_out:
        return f"keeps off the edge, {_EDGE}{by}" if idea.after else ""
    return f"leaves the edge, {_EDGE}{by}" if idea.before == 0 else f"steps towards the centre, {_CENTRE}"


#: Why the defending king keeps off the edge.
_EDGE = "where it can be mated"
_CENTRE = "where it is hardest to drive"


def _from_corner(facts: MoveFacts) -> str:
    before, after = facts.corner.corner_steps_before, facts.corner.corner_steps_after
    if (
        facts.man.piece != "king"
        or before is None
        or after is None
        or not before < after
        or before > _NEAR_CORNER_STEPS
    ):
        return ""
    return f"gets away from {facts.corner.right_corner or 'the corners'}, where mate is forced"


def _checks(facts: MoveFacts) -> str:
    return "gives check and gains time" if facts.gives.check else ""


def _stands_by(idea: StandsBy, facts: MoveFacts) -> str:
    man, square, near = man_name(idea.man), square_name(idea.square), idea.steps == 1
    if idea.help is Help.RUNS:
        return f"pushes its own pawn, {counted(idea.steps, 'step')} from promotion" if idea.steps else "promotes"
    if idea.help is Help.SAVES and man == "pawn":
        return f"saves the pawn, {counted(idea.steps, 'step')} from promotion"
    return {
        Help.SAVES: f"saves the {man}: it stands {'next to' if near else f'{idea.steps} steps from'} its king",
        Help.GUARDS: f"guards its {man} on {square}",
        Help.NEARER: f"comes to the help of its {man} on {square}",
    }[idea.help]


def _saves(idea: StandsBy, facts: MoveFacts) -> str:
    return "" if idea.help is Help.NEARER else _stands_by(idea, facts)


def _at_pawn(idea: AtPawn, facts: MoveFacts) -> str:
    pawn = square_name(idea.pawn)
    if idea.reach is Reach.NEARER and facts.race.pawn_moves is not None:
        if _outside(facts):
            return f"runs after the pawn on {pawn}{_outside(facts)}"
        if facts.men.attacker_men == ("pawn",):
            return f"goes for the pawn on {pawn}, inside its square: {side(other(facts.turn))}'s king must help it"
    return {
        Reach.IN_FRONT: f"gets in front of the pawn on {pawn}",
        Reach.SQUARE: f"steps into the square of the pawn on {pawn}",
        Reach.NEARER: f"goes for the pawn on {pawn}",
    }[idea.reach]


def _room(idea: KeepsRoom, facts: MoveFacts) -> str:
    if idea.caged:
        return f"keeps the most room in its cage: {counted(idea.squares, 'square')}, elsewhere {idea.least}"
    return "keeps the most room: other steps let a part of the board be shut off"


def _escapes(idea: EscapesMate, facts: MoveFacts) -> str:
    mate = facts.seen.name(idea.other, idea.mate)
    return f"keeps out of mate, which {facts.seen.name(idea.other)} would allow by {mate}"


def _makes_for(idea: MakesFor, facts: MoveFacts) -> str:
    where = squares(idea.squares, "or")
    target, man = ("" if s is None else n(s) for s, n in ((idea.target, square_name), (idea.man, man_name)))
    off = not from_edge(parse_square(facts.move[2:4]))
    return {
        Goal.MAN: f"makes for {where}, to attack the {man} on {target}",
        Goal.OWN_MAN: f"makes for {where}, nearer to its {man}",
        Goal.PAWN: f"makes for {where}, nearer to the pawn on {target}{_outside(facts)}",
        Goal.WRONG_CORNER: f"makes for {where}, on the way to {target}, the wrong corner",
        Goal.CENTRE: f"makes for {where}, {'off the edge' if off else 'nearer to the centre'}",
        Goal.OUT_OF_CORNER: f"makes for {where}, out of the corner {target}",
    }[idea.goal]


def _outside(facts: MoveFacts) -> str:
    late = (
        facts.race.pawn_moves is not None
        and facts.race.catch_steps is not None
        and facts.race.catch_steps > facts.race.pawn_moves
    )
    return ", though outside its square" if late else ""


def _ties(idea: TiesMan, facts: MoveFacts) -> str:
    if not by_minors(facts) or len(idea.holds) > _FEW:
        return ""
    return f"ties the {man_name(idea.man)} down: it alone holds {squares(idea.holds)}"


#: From so far the king helps to mate.
_MATING_STEPS = 2


def _from_king(idea: FromKing, facts: MoveFacts) -> str:
    king = f"{side(other(facts.turn))}'s king"
    if "pawn" in facts.men.attacker_men:
        return ""
    if not needs_king(facts):
        return ""
    if idea.after <= _MATING_STEPS:
        return f"keeps away from {king}, which must help to mate"
    return f"keeps {king} {idea.after} steps away: it must come within {_MATING_STEPS} to mate"


def _caged(idea: StaysCaged, facts: MoveFacts) -> str:
    if not idea.nothing_to_go_for:
        return ""
    return "waits in its cage: there is no hole, no loose man and no stalemate to go for"


#: What a move of the defender tries.
PURPOSES: tuple[Rule, ...] = (
    _captures,
    of(Cage, _leaves_cage),
    of(ThroughHole, _hole),
    of(AttacksMan, _attacks),
    of(Trapped, _traps),
    of(StalemateTrap, _stalemate),
    of(Threatens, _threatens),
    of(WrongCorner, _wrong_corner),
    of(StandsBy, _saves),
    of(AtPawn, _at_pawn),
    _opposition,
    of(EscapesMate, _escapes),
    of(BarsKing, _bars),
    of(ToCentre, _only_centre),
    _from_corner,
    _checks,
    of(StandsBy, _stands_by),
    of(MakesFor, _makes_for),
    of(KeepsRoom, _room),
    _barred,
    of(ToCentre, _centre),
    of(TiesMan, _ties),
    of(FromKing, _from_king),
    of(StaysCaged, _caged),
)


def purposes(facts: MoveFacts) -> list[str]:
    """Return what a move of the defender tries, the most telling first, without its name."""
    return [text for rule in PURPOSES if (text := rule(facts))]


def has_reason(facts: MoveFacts) -> bool:
    """Whether a free defence is explained by more than how long it lasts."""
    return bool(purposes(facts)) or facts.seen.idea(Critical) is not None


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position tries, and how it compares."""
    if facts.beside.choices == 1:
        return [sentence(f"{facts.san} is forced: the only legal move")]
    tries = purposes(facts)
    if facts.beside.equals == facts.beside.choices and facts.worth.ranked_exactly:
        tries = [text for text in tries if text != of(StaysCaged, _caged)(facts)]
    critical = facts.seen.idea(Critical)
    if critical is not None and critical.alone:
        lead = f"{facts.san} is the critical test"
        if not tries:
            return [sentence(f"{lead}: {_shorter(critical, facts)}")]
        by = f"any other move is mated {counted(critical.longer_by, 'move')} sooner"
        return [sentence(f"{lead}: it {tries[0]}"), sentence(by)]
    compared = _compared(facts, critical)
    if not tries:
        return [sentence(f"{facts.san} {compared[1]}")]
    return [sentence(f"{facts.san} {tries[0]}"), *([sentence(compared[0])] if compared[0] else [])]


def _shorter(critical: Critical, facts: MoveFacts) -> str:
    """Say what the next best move runs into, and how much sooner that mates."""
    other, by = facts.seen.name(critical.next_best), f"{counted(critical.longer_by, 'move')} sooner"
    if critical.answer is None:
        return f"{other} is mated {by}"
    return f"{other} runs into {facts.seen.name(critical.next_best, critical.answer)}, mated {by}"


def _compared(facts: MoveFacts, critical: Critical | None) -> tuple[str, str]:
    """Return how a defence compares with the others: as a sentence of its own, and after its name."""
    if not facts.worth.ranked_exactly:
        return "", "does not stop the mate"
    if facts.beside.equals == facts.beside.choices:
        against = f"finds nothing against {facts.then.ahead[0]}" if facts.then.ahead else "changes nothing"
        if facts.seen.idea(StaysCaged) is not None and of(StaysCaged, _caged)(facts):
            against = "has no hole, no loose man and no stalemate to go for"
        return "every move lasts as long", f"{against}: every move lasts as long"
    others = facts.beside.others_as_good
    named = listed(others) if len(others) <= _FEW else f"{len(others)} others"
    lasts = f"{named} {'lasts' if len(others) == 1 else 'last'} as long"
    if critical is not None and critical.longer_by:
        return lasts, f"lasts longest with {named}: {_shorter(critical, facts)}"
    return lasts, "lasts as long as any"


def drew(facts: MoveFacts) -> list[str]:
    """Return how a move draws, and why it is a draw."""
    how = {
        Cause.STALEMATE: "is stalemate",
        Cause.FIFTY_MOVES: "reaches the fifty-move rule in time",
        Cause.REPETITION: "brings about the third repetition in time",
    }.get(facts.worth.cause_after, "keeps the draw")
    if facts.man.captured:
        how = f"{takes_clause(facts.man.captured, facts.man.victim_guarded)} and {how.replace('keeps', 'holds')}"
    why = why_drawn(facts) if facts.worth.cause_after in (Cause.BALANCE, Cause.DEAD_POSITION) else ""
    text = f"{facts.san} {how}{': ' + why if why else ''}"
    return [sentence(text), *_shown(facts, why), *_alone(facts), *_hanging(facts)]


def _alone(facts: MoveFacts) -> list[str]:
    lost = facts.beside.choices - facts.beside.keeping
    if facts.beside.keeping == 1 < facts.beside.choices:
        return [sentence("it is the only move that draws")]
    return [sentence(f"{lost} of the {facts.beside.choices} moves {'loses' if lost == 1 else 'lose'}")] if lost else []


def _shown(facts: MoveFacts, why: str) -> list[str]:
    """Show by moves that nothing is to be won, where no reason is known or it holds only as a rule."""
    as_a_rule = isinstance(facts.seen.why_drawn, MinorHoldsRook)
    if (why and not as_a_rule) or facts.worth.cause_after is not Cause.BALANCE or len(facts.then.ahead) < 2:
        return []
    reply, holds = facts.then.ahead
    return [sentence(f"if {reply}, {holds} holds")]


def _hanging(facts: MoveFacts) -> list[str]:
    idea = facts.seen.idea(Hanging)
    if idea is None or facts.worth.cause_after is not Cause.BALANCE:
        return []
    return [sentence(f"{men_on(idea.men, idea.squares)} may be taken, and it stays drawn")]
