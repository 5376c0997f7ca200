"""What a good move of the attacker does: one rule an idea, the most telling first; the move's name is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.barrier import Barrier
from matebot.ideas.bishop_barred import BishopBarred
from matebot.ideas.box import Box
from matebot.ideas.bridging import Bridging
from matebot.ideas.cage import Cage
from matebot.ideas.cut_off import CutOff
from matebot.ideas.cuts_from_pawn import CutsFromPawn
from matebot.ideas.drives import Drives, Where
from matebot.ideas.ends_checks import EndsChecks
from matebot.ideas.forced import Forced
from matebot.ideas.guards import Guards
from matebot.ideas.guards_man import GuardsMan
from matebot.ideas.holds_pawn import HoldsPawn
from matebot.ideas.holes import Holes
from matebot.ideas.idea import Idea, man_name, square_name
from matebot.ideas.king_nearer import Purpose
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.lets_go import LetsGo
from matebot.ideas.mating_net import MatingNet
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.narrows import Narrows
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.pawn_step import PawnStep
from matebot.ideas.pins import Pins
from matebot.ideas.prepares import Prepares
from matebot.ideas.safe_here import SafeHere
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import ShutsWay
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.stops_pawn import StopsPawn
from matebot.ideas.threatens import Threatens
from matebot.ideas.towards_w import TowardsW
from matebot.ideas.trapped import Trapped
from matebot.ideas.waiting_move import WaitingMove
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.wording import (
    cages,
    captures,
    close_kings,
    coming,
    hunting,
    king_and_pawn,
    king_lessons,
    kings,
    leads,
    maxims,
    minors,
    nets,
    pawns,
    promotion_met,
    room_left,
    rooms,
    saves,
)
from matebot.wording.beside import would_let
from matebot.wording.maxims import always
from matebot.wording.phrases import listed
from matebot.wording.reason import Deed, Rank, Reason, seen, step
from matebot.wording.room_left import held_on_edge
from matebot.wording.said import (
    Rule,
    defender,
    goal_of,
    if_then,
    needs_king,
    of,
    own_king,
    parse_square,
    rival_king,
    rivals_square,
)

#: What is told by a reply and what comes after it.
_BY_A_LINE = (Prepares, LeadsTo, MatingNet)
_I = TypeVar("_I", bound=Idea)
#: So near each other two kings may stand in opposition.
_BESIDE = 2
_MATED_THERE = ", where it can be mated"


def exception(idea: MinorLost) -> str:
    """Say why the rook wins against a minor piece, where it is drawn as a rule."""
    if idea.corner is None:
        return f"the knight on {square_name(idea.square)} is away from its king"
    return f"the king is by {square_name(idea.corner)}, a corner of the bishop's colour"


def _waits(idea: WaitingMove, facts: MoveFacts) -> str:
    reply = f" and has only {facts.replies.only_reply}" if facts.replies.only_reply else ""
    if idea.nothing_changes:
        return f"waits: every square stays guarded, {defender(facts)} must move{reply}"
    if facts.man.piece == "king" and facts.kings.kings_after > _BESIDE:
        return ""  # so far from the other king a step is a part of the way there
    if reply and any(other.gives.check for other in facts.as_quick):
        # Mate comes as soon by a check: zugzwang is not what brings it.
        return f"passes the move: {defender(facts)} has only {facts.replies.only_reply}"
    return f"passes the move: {defender(facts)} is in zugzwang{reply}"


def _guards_man(idea: GuardsMan, facts: MoveFacts) -> str:
    return f"guards the {man_name(idea.man)} on {square_name(idea.square)} from {rival_king(facts)}"


def _drives_out(idea: WrongCorner, facts: MoveFacts) -> str:
    if idea.deed is not CornerDeed.DRIVES_OUT:
        return ""
    way = "out of" if facts.room.king == square_name(idea.corner) else "away from"
    return f"drives the king {way} the wrong corner, {square_name(idea.corner)}"


def _drives(idea: Drives, facts: MoveFacts) -> str:
    if facts.men.defender_men:
        return ""  # What matters there is the man.
    if idea.where is Where.TO_EDGE and not facts.gives.check and of(Narrows, rooms.narrows)(facts):
        return ""  # The line that is shut says how.
    if "pawn" in facts.men.attacker_men and not {"queen", "rook"} & {*facts.men.attacker_men}:
        return ""  # it is the pawn that wins, and mates later
    if idea.where is Where.TO_EDGE:
        there = all(not from_edge(parse_square(goal)) for goal in facts.room.flights)
        return f"drives the king {'to' if there else 'towards'} the edge{'' if needs_king(facts) else _MATED_THERE}"
    if idea.corner is not None:
        return f"drives the king towards {square_name(idea.corner)}{_MATED_THERE}"
    if not facts.room.flights or "pawn" in facts.men.attacker_men:
        return ""
    if not held_on_edge(facts):
        return room_left.taken(facts)  # It could not leave the edge before.
    return f"{room_left.holds(facts)}: it has only {listed(facts.room.flights, 'or')}"


def _forced(idea: Forced, facts: MoveFacts) -> str:
    return "is the only legal move"


def _wins_man(facts: MoveFacts) -> str:
    """Say that a man is won; against a bare king it need not be looked for."""
    idea = facts.seen.idea(Prepares)
    if idea is not None and not idea.sure and facts.seen.idea(Pins) is not None:
        return ""  # The pin says why it falls.
    return of(Prepares, coming.wins_man)(facts) if facts.men.defender_men else ""


def _hitting(rule: Callable[[_I, MoveFacts], str]) -> Callable[[_I, MoveFacts], str]:
    """Return a rule that names first the man that is attacked as well."""

    def text(idea: _I, facts: MoveFacts) -> str:
        what, hits = rule(idea, facts), of(Threatens, coming.attacks)(facts)
        return f"{hits} and {what}" if what and hits and facts.man.piece != "king" else what

    return text


def _cut_maxim(facts: MoveFacts) -> str:
    """Say what a line teaches that is set; where it hits a man as well, what that does."""
    return coming.threat_maxim(facts) if of(Threatens, coming.attacks)(facts) else rooms.cut_maxim(facts)


def _line_shut(facts: MoveFacts) -> str:
    """Say which line is shut to the king, and what comes after."""
    text = room_left.line_shut(facts)
    return f"{text}{if_then(facts)}" if text else ""


#: The most telling first.
REASONS: tuple[Reason, ...] = (
    seen(LetsGo, saves.offers_new),
    Reason(captures.promotes, captures.queen_maxim),
    Reason(captures.captures, captures.maxim),
    seen(MatingNet, nets.next_move, nets.maxim),
    seen(LetsGo, saves.lets_go, saves.go_maxim),
    seen(Trapped, hunting.trapped, hunting.trapped_maxim),
    Reason(_wins_man, maxims.forks, Prepares),
    seen(HoldsPawn, pawns.holds_pawn),
    seen(Bridging, pawns.bridging),
    seen(StopsPawn, pawns.stops_pawn),
    seen(BishopBarred, pawns.bishop_barred, always(maxims.KING_TAKES)),
    Reason(promotion_met.no_time, always(maxims.STOP_THE_PAWN)),
    seen(KnightsW, minors.the_w, minors.w_maxim),
    seen(Cage, cages.bare_king_caged, maxims.cage),
    seen(WaitingMove, _waits, always(maxims.WAITING)),
    seen(Pins, hunting.pins, always(maxims.PINNED_STAYS)),
    seen(SafeHere, saves.safe_here, saves.here_maxim),
    seen(Saved, saves.saved, maxims.saved),
    seen(EndsChecks, saves.ends_checks, always(maxims.CHECKS_END)),
    Reason(pawns.from_behind, always(maxims.FROM_BEHIND), rank=Rank.PLAN),
    seen(GuardsMan, _guards_man, always(maxims.GUARD_IN_TIME)),
    seen(WrongCorner, _drives_out, always(maxims.RIGHT_CORNER)),
    seen(PawnRuns, pawns.runs, pawns.race_maxim),
    seen(Threatens, coming.threatens, coming.threat_maxim),
    seen(LeadsTo, promotion_met.runs_into, promotion_met.into_maxim),
    seen(MinorLost, hunting.dominated, always(maxims.FLIGHTS_FIRST)),
    Reason(cages.no_square, cages.no_square_maxim),
    seen(CutsFromPawn, _hitting(pawns.from_pawn), always(maxims.CUT_KING)),
    seen(Box, _hitting(rooms.box), maxims.box),
    seen(CutOff, _hitting(rooms.cuts), _cut_maxim),
    Reason(king_and_pawn.clears, king_and_pawn.clears_maxim),
    Reason(king_and_pawn.leaves_pawn, king_lessons.help_maxim),
    Reason(king_and_pawn.key_square, always(maxims.KING_FIRST)),
    Reason(king_and_pawn.to_key_squares, always(maxims.KING_FIRST)),
    step(kings.opposes, lambda idea: Purpose.OPPOSITION, kings.opposes_maxim),
    Reason(king_and_pawn.far_opposition),
    seen(Prepares, coming.prepares_much, coming.maxim),
    Reason(king_and_pawn.pawn_below, always(maxims.LEAD)),
    seen(MatingNet, nets.next_but_one, nets.maxim),
    seen(Barrier, minors.barrier, always(maxims.BOTH_COLOURS)),
    Reason(minors.abreast, always(maxims.A_WALL)),
    seen(ShutsWay, kings.shuts, maxims.shuts_way),
    step(kings.king, kings.purpose, kings.king_maxim),
    seen(Cage, _hitting(cages.cage_first), maxims.cage),
    seen(NearsMan, hunting.nears_man, hunting.man_maxim, Rank.PLAN),
    seen(KingUp, kings.king_up_behind, maxims.king_up, Rank.PLAN),
    seen(Drives, _drives, maxims.drives),
    seen(Narrows, rooms.narrows, maxims.narrows),
    seen(OffTheRim, minors.gathers, always(maxims.IN_THE_MIDDLE), Rank.PLAN),
    seen(TowardsW, minors.to_w, always(maxims.POSTS_FIRST), Rank.PLAN, ("man", "post")),
    seen(MinorLost, hunting.minor_lost, always("a minor piece needs its king beside it"), Rank.PLAN),
    step(kings.to_centre, lambda idea: Purpose.CENTRE, king_lessons.centre_maxim, Rank.PLAN),
    seen(PawnStep, pawns.escorted, pawns.pawn_maxim, Rank.WEAK),
    seen(LeadsTo, coming.leads_to, coming.lead_maxim, Rank.WEAK),
    Reason(rooms.checks, always(maxims.CHECK_INTO_NET), rank=Rank.WEAK),
    seen(PawnStep, pawns.pawn_on, pawns.pawn_maxim, Rank.WEAK),
    seen(KingUp, kings.king_up, king_lessons.help_maxim, Rank.PLAN),
    seen(Prepares, coming.prepares_shown, coming.maxim, Rank.WEAK),
    Reason(leads.checks, always(maxims.SEE_FORKS), rank=Rank.WEAK),
    seen(Cage, rooms.cage_held, rooms.held_maxim, Rank.WEAK),
    seen(Box, rooms.box_held, rooms.held_maxim, Rank.WEAK),
    seen(CutOff, rooms.cut_kept, maxims.cut_off, Rank.WEAK),
    seen(Guards, minors.free_man, minors.free_maxim, Rank.WEAK),
    Reason(close_kings.stays_close, close_kings.close_maxim, rank=Rank.WEAK),
    seen(Forced, _forced),
    seen(Holes, rooms.holes, rank=Rank.WEAK),
    Reason(_line_shut, always(maxims.TAKE_SQUARES), rank=Rank.WEAK),
)


#: Rules that only say what changes on the board.
PLAIN: tuple[Rule, ...] = (leads.driven, leads.taken)


def deeds(facts: MoveFacts) -> Iterator[Deed]:
    """Yield what a move does by every rule that has a say: reasons first, what only changes squares after.

    That it saves a man is told before all else.
    """
    yield from saves.told(facts, _deeds(facts))


def _deeds(facts: MoveFacts) -> Iterator[Deed]:
    yield from reasons(facts)
    line = facts.then.ahead
    then = if_then(facts)
    comes = bool(then) and line[1].startswith("K") and _could_go(line[1], facts)
    to = leads.driven(facts)
    if facts.gives.check and comes and not (to and facts.replies.only_reply):
        yield Deed(f"{to or 'gives check'}, and the king comes up{then}")
    for rule in PLAIN:
        if text := rule(facts):
            yield Deed(text if ": " in text else f"{text}{then}", plain=rule)


def _could_go(step: str, facts: MoveFacts) -> bool:
    """Whether a king's step, no capture, comes nearer to the other king, and is not only made possible by a check."""
    at, rival = parse_square(goal_of(step)), parse_square(facts.room.king)
    was = king_steps(own_king(facts), rival)
    return "x" not in step and king_steps(at, rival) < was and king_steps(at, rivals_square(facts)) > 1


def reasons(facts: MoveFacts) -> Iterator[Deed]:
    """Yield what a move does by the rules that give a reason.

    First comes what no slower move does too, or does but lets something in: there what it lets in is told beside. Then
    come plans that slower moves follow as well, then what says little, then the rest. Of reasons in the same words the
    first tells most, whichever gives them.
    """
    plans, rest, first = list[Deed](), list[tuple[int, Deed]](), dict[str, Reason]()
    for number, reason in enumerate(REASONS):
        if reason.rank is Rank.WEAK or not (text := reason.rule(facts)):
            continue
        beside, deed = _shared(reason, facts), Deed(text, first.setdefault(text, reason))
        if beside or beside is None:
            yield Deed(f"{head(text)}; {beside}", deed.reason, in_short=True) if beside else deed
        elif reason.rank is Rank.PLAN:
            plans.append(deed)
        else:
            rest.append((number, deed))
    yield from plans
    for number, reason in enumerate(REASONS):
        if reason.rank is not Rank.WEAK or not (text := reason.rule(facts)):
            continue
        deed = Deed(text, first.setdefault(text, reason))
        if _shared(reason, facts) == "":
            rest.append((number, deed))
        else:
            yield deed
    yield from (deed for _, deed in sorted(rest, key=lambda one: one[0]))


def _shared(reason: Reason, facts: MoveFacts) -> str | None:
    """Return what a slower move that does the same lets in, "" where nothing; None where no slower one does."""
    idea, slower = None if reason.idea is None else facts.seen.idea(reason.idea), facts.seen.slower_moves
    if idea is None:
        return None
    purpose = reason.purpose_of(idea)
    if not any(slower.sharing(idea, purpose)):
        return None
    found = slower.lets_in(idea, purpose)
    return "" if found is None else would_let(found, facts)


def head(text: str) -> str:
    """Return what a move does without what follows from it."""
    return text.partition("; ")[0].partition(": ")[0]


def without(facts: MoveFacts, deed: Deed) -> Iterator[MoveFacts]:
    """Yield the moves as quick that do not do what is told of a move: it is no condition of the win."""
    reason, rule = deed.reason, deed.plain if deed.reason is None else deed.reason.rule
    told = "" if rule is None else head(rule(facts))
    for other in facts.as_quick:
        if rule is None or (reason is not None and reason.is_other(facts, other)) or head(rule(other)) != told:
            yield other


def shows_answer(deed: Deed, facts: MoveFacts) -> bool:
    """Whether what a move does is told by a reply and what comes after it."""
    line = facts.then.ahead
    if len(line) > 1 and deed.text.endswith(f": if {line[0]}, {line[1]}"):
        return True
    return deed.reason is not None and deed.reason.idea in _BY_A_LINE and not deed.in_short
