"""What a good move of the attacker does: one rule an idea, the most telling first; the move's name is left out."""

from __future__ import annotations

from collections.abc import Iterator

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.barrier import Barrier
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.bridging import Bridging, Step
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.drives import Drives, Where
from matebot.ideas.forced import Forced
from matebot.ideas.guards import Guards
from matebot.ideas.holds_pawn import Hold, HoldsPawn
from matebot.ideas.holes import Holes
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.king_nearer import KingNearer
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW, WState, way
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.narrows import Narrows
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.pawn_step import PawnStep
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import ShutsWay
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.towards_w import TowardsW
from matebot.ideas.trapped import Trapped
from matebot.ideas.waiting_move import WaitingMove
from matebot.ideas.wrong_corner import CornerDeed, WrongCorner
from matebot.wording import kings, maxims
from matebot.wording.maxims import Maxim, always, no_maxim
from matebot.wording.phrases import counted, line_name, listed, takes_clause
from matebot.wording.said import (
    Rule,
    defender,
    men_at,
    needs_king,
    of,
    own_king,
    own_man,
    parse_square,
    rival_king,
    squares,
)

_FEW = 3
_KNIGHT = 2
#: So near its king a man is no man left alone.
_BESIDE = 2
_AT_CORNER_STEPS = 3
_MATED_THERE = ", where it can be mated"


def _promotes(facts: MoveFacts) -> str:
    return f"makes a {facts.man.promoted}: {_left_over(facts)}" if facts.man.promoted else ""


def _captures(facts: MoveFacts) -> str:
    if not facts.man.captured:
        return ""
    away = king_steps(parse_square(facts.room.king), parse_square(facts.move[2:4]))
    if away > _BESIDE and facts.man.captured != "pawn" and not facts.man.victim_guarded:
        return f"takes the {facts.man.captured}, left alone {away} steps from its king"
    return f"{takes_clause(facts.man.captured, facts.man.victim_guarded)}: {_left_over(facts)}"


def _left_over(facts: MoveFacts) -> str:
    """Name the ending that is left, and what it is worth."""
    own, theirs = (listed(["king", *men]) for men in (facts.men.attacker_men, facts.men.defender_men))
    if facts.worth.outcome_after <= 0:
        return f"{own} against {theirs} is left"
    return f"{own} beat {theirs if facts.men.defender_men else 'a bare king'}"


def _saved(idea: Saved, facts: MoveFacts) -> str:
    man = man_name(idea.man)
    if not idea.moved:
        return f"guards the {man} from the king"
    more = next((text for rule in _BESIDE_SAVING if (text := rule(facts))), "")
    return f"saves the {man} and {more}" if more else f"brings the loose {man} out of the king's reach"


def _trapped(idea: Trapped, facts: MoveFacts) -> str:
    return f"traps the {man_name(idea.man)} on {square_name(idea.square)}: it is lost wherever it goes"


def _holds_pawn(idea: HoldsPawn, facts: MoveFacts) -> str:
    pawn = f"the pawn on {square_name(idea.pawn)}"
    return {
        Hold.FORCES: "forces the king in front of its pawn: after any other reply the pawn falls",
        Hold.BLOCKS: f"blocks {pawn}",
        Hold.PINS: f"pins {pawn}: it cannot go on",
        Hold.FREE_STEP: "uses the move: the other king stands in front of its pawn, and yours comes a step nearer",
    }[idea.how]


def _bridging(idea: Bridging, facts: MoveFacts) -> str:
    rook = square_name(idea.rook)
    return {
        Step.LIFTS: f"lifts the rook to {rook}: from there it covers its king, once that has come out",
        Step.COMES_OUT: "steps out from before the pawn: it is ready to promote",
        Step.COMES_DOWN: f"walks towards the rook on {rook}, which will end the checks",
        Step.BUILDS: f"builds the bridge: the rook on {rook} covers the king, and the pawn is ready to promote",
        Step.BACKS: f"guards the promotion square from {rook}",
    }[idea.step]


def _minor_lost(idea: MinorLost, facts: MoveFacts) -> str:
    if idea.corner is None:
        return f"leaves the knight on {square_name(idea.square)} away from its king, where it is lost"
    return f"leaves the king by {square_name(idea.corner)}, a corner of the bishop's colour, where the rook wins"


def exception(idea: MinorLost) -> str:
    """Say why the rook wins against a minor piece, where it is drawn as a rule."""
    if idea.corner is None:
        return f"the knight on {square_name(idea.square)} is away from its king"
    return f"the king is by {square_name(idea.corner)}, a corner of the bishop's colour"


def _w(idea: KnightsW, facts: MoveFacts) -> str:
    if idea.state is WState.READY:
        by = next(w for w in (way(idea.corner, True), way(idea.corner, False)) if w.route == idea.route)
        posts = zip(("knight", "bishop", "king"), (by.route[0], by.bishop, by.king), strict=True)
        return f"makes the W ready: {listed([f'{name} {square_name(square)}' for name, square in posts])}"
    if idea.state is WState.STEP:
        what = "begins the W" if idea.step == 1 else f"goes on with the W, step {idea.step} of 4"
        shut = f": {listed(facts.room.squares_taken)} {'is' if len(facts.room.squares_taken) == 1 else 'are'} shut"
        return f"{what}{shut if facts.room.squares_taken else ''}"
    return ""


def _cage_first(idea: Cage, facts: MoveFacts) -> str:
    if idea.loose:
        return ""
    where = f" at {squares(idea.gate)}" if len(idea.gate) <= _FEW else ""
    if idea.along:
        where = f" along {line_name(idea.along[0])}" if len(idea.along) == 1 else ""
    kept = [man for square in idea.gate if (man := own_man(facts, square))]
    where = where if idea.gate and not kept else ""
    first = f"guards the {kept[0]} and so " if kept else ""
    if idea.change is CageChange.SHUTS:
        ready = facts.seen.idea(KnightsW)
        stops = "; the W may stop here" if ready is not None and ready.state is WState.MAY_STOP else ""
        at = f" by {facts.corner.right_corner}" if _at_corner(facts) else ""
        holes = facts.seen.idea(Holes)
        if (
            holes is not None
            and len(idea.gate) == 1
            and idea.gate[0] in holes.closed
            and not (_no_square(facts) or kept)
        ):
            return f"shuts the hole {squares(idea.gate)}: a cage of {_room(idea, facts)}{at}{stops}"
        return f"{first}shuts the cage{where}: {_left(idea, facts)}{at}{stops}"
    if idea.change is CageChange.TIGHTENS:
        up = "brings the king up and " if facts.seen.idea(KingUp) is not None and kings.comes_nearer(facts) else ""
        left = _left(idea, facts)
        return f"{first or up}tightens the cage{where}: {left}{'' if left.startswith('the') else ' left'}"
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
    if facts.gives.check and 0 < len(facts.room.flights) <= _FEW:
        return f"the king has only {listed(facts.room.flights, 'or')}"
    lone = idea.change is CageChange.SHUTS and facts.men.attacker_men == ("queen",) and needs_king(facts)
    return f"{_room(idea, facts)}{', and now the king can come up' if lone and not facts.gives.check else ''}"


def _at_corner(facts: MoveFacts) -> bool:
    steps = facts.corner.corner_steps_after
    return facts.corner.right_corner is not None and steps is not None and steps <= _AT_CORNER_STEPS


def _waits(idea: WaitingMove, facts: MoveFacts) -> str:
    reply = f" and has only {facts.replies.only_reply}" if facts.replies.only_reply else ""
    if idea.nothing_changes:
        return f"waits: every square stays guarded, {defender(facts)} must move{reply}"
    return f"passes the move: {defender(facts)} is in zugzwang{reply}"


def _drives_out(idea: WrongCorner, facts: MoveFacts) -> str:
    if idea.deed is not CornerDeed.DRIVES_OUT:
        return ""
    return f"drives the king out of the wrong corner, {square_name(idea.corner)}"


def _runs(idea: PawnRuns, facts: MoveFacts) -> str:
    goal = square_name(idea.goal)
    return f"runs home: the king is outside the square of the pawn, {counted(idea.king_steps, 'step')} from {goal}"


def _box(idea: Box, facts: MoveFacts) -> str:
    if idea.change is BoxChange.SHRINKS and idea.before is not None and idea.after is not None:
        by = ", a knight's move from the king" if facts.queen.knights_move_off else ""
        return f"shrinks the box to {counted(idea.after, 'square')}{by or _new_wall(facts)}"
    if idea.change is BoxChange.MAKES and idea.after is not None:
        return f"shuts the king in a box of {counted(idea.after, 'square')}"
    return ""


def _new_wall(facts: MoveFacts) -> str:
    """Say which line the piece has come to; a queen that changes both, or a king, has none to name."""
    was, now = facts.move[:2], facts.move[2:4]
    if facts.man.piece == "king" or (was[0] != now[0] and was[1] != now[1]):
        return ""
    line = f"rank {now[1]}" if was[0] == now[0] else f"file {now[0]}"
    hit = f"; if hit, the {facts.man.piece} moves along it" if _can_be_hit(facts) else ""
    return f": {line_name(line)} is the new wall{hit}"


def _can_be_hit(facts: MoveFacts) -> bool:
    """Whether the defending king may step next to the man that moved, which its own king does not guard."""
    man = parse_square(facts.move[2:4])
    near = any(king_steps(parse_square(goal), man) == 1 for goal in facts.room.flights)
    return near and king_steps(own_king(facts), man) > 1


def _cuts(idea: CutOff, facts: MoveFacts) -> str:
    if idea.change is not CutChange.SETS or facts.man.piece == "king":
        return ""  # A step of the king only comes to the other side of a line that stood before.
    return f"cuts the king off along {line_name(idea.line)}"


def _checks(facts: MoveFacts) -> str:
    if not facts.gives.check or not facts.room.flights:
        return ""
    chases = facts.seen.idea(ChasingCheck)
    if chases is not None:
        return ""
    cage = facts.seen.idea(Cage)
    if cage is not None and cage.change is CageChange.HOLDS:
        return f"drives the king on inside the cage, to {listed(facts.room.flights, 'or')}"
    return f"drives the king to {listed(facts.room.flights, 'or')}" if len(facts.room.flights) <= _FEW else ""


_NEXT = {
    Next.MATE: "prepares mate",
    Next.W_READY: "prepares the W",
    Next.W_STEP: "waits for the next step of the W",
    Next.SHUTS: "prepares to shut the cage",
    Next.TIGHTENS: "prepares to tighten the cage",
    Next.OPPOSITION: "prepares the opposition",
    Next.SHRINKS: "prepares to shrink the box",
    Next.CUTS_OFF: "prepares to cut the king off",
    Next.BOX: "prepares a box",
    Next.KING_UP: "makes time to bring the king up",
}
_STRONG = (Next.MATE, Next.PROMOTION, Next.CAPTURE, Next.W_READY, Next.W_STEP, Next.SHUTS)


def _prepares_much(idea: Prepares, facts: MoveFacts) -> str:
    return _prepares(idea, facts) if idea.does in _STRONG else ""


def _mates_next(idea: Prepares, facts: MoveFacts) -> str:
    return _prepares(idea, facts) if idea.does is Next.MATE and idea.forced else ""


def _prepares(idea: Prepares, facts: MoveFacts) -> str:
    assert facts.seen.move is not None
    reply = facts.seen.name(facts.seen.move, idea.reply)
    move = facts.seen.name(facts.seen.move, idea.reply, idea.move)
    what = "forks king and " + man_name(idea.man) if idea.forks and idea.man is not None else _NEXT.get(idea.does)
    if what is None and idea.man is not None:
        kind = man_name(idea.man)
        what = f"makes way for a new {kind}" if idea.does is Next.PROMOTION else f"goes for the {kind}"
        if idea.does is Next.CAPTURE and "x" in reply and idea.reply.to_square == idea.move.to_square:
            what = _takes_back(idea.reply.to_square, kind, facts)
        elif kind == "pawn" and _is_behind(idea.move.to_square, facts):
            what = "goes behind the pawn"
    then = f"after {reply}, the only reply, comes {move}" if idea.forced else f"if {reply}, {move}"
    return f"{what}: {then}"


def _takes_back(square: int, kind: str, facts: MoveFacts) -> str:
    """Say what it means that a man is taken after it has taken."""
    if square != parse_square(facts.move[2:4]):
        return f"lets the {kind} take only at its own cost"
    return f"offers to exchange {kind}s" if facts.man.piece == kind else f"offers the {facts.man.piece} for the {kind}"


def _is_behind(pawn: int, facts: MoveFacts) -> bool:
    """Whether a rook has come to the file of the defender's pawn, the pawn before it on its way."""
    rook = parse_square(facts.move[2:4])
    behind = rook > pawn if facts.turn == "white" else rook < pawn
    return facts.man.piece == "rook" and rook % 8 == pawn % 8 and behind


def _drives(idea: Drives, facts: MoveFacts) -> str:
    if idea.where is Where.TO_EDGE:
        there = all(not from_edge(parse_square(goal)) for goal in facts.room.flights)
        return f"drives the king {'to' if there else 'towards'} the edge{'' if needs_king(facts) else _MATED_THERE}"
    if idea.corner is not None:
        return f"drives the king towards {square_name(idea.corner)}{_MATED_THERE}"
    return f"keeps the king on the edge: it has only {listed(facts.room.flights, 'or')}" if facts.room.flights else ""


def _threatens(idea: Threatens, facts: MoveFacts) -> str:
    assert facts.seen.move is not None
    move = facts.seen.name(facts.seen.move, idea.move)
    if idea.threat is Threat.CAPTURE:
        return f"attacks the {man_name(idea.man)} on {square_name(idea.square)}"
    return f"threatens mate by {move}" if idea.threat is Threat.MATE else f"threatens to promote by {move}"


def _to_w(idea: TowardsW, facts: MoveFacts) -> str:
    post, man, shut = square_name(idea.post), man_name(idea.man), squares(idea.shuts)
    if not idea.moves:
        corner = "the wrong corner " if idea.man == _KNIGHT else ""
        return f"puts the {man} on its square of the W: from {post} it shuts {corner}{shut}"
    return f"brings the {man} round to {post}, its square of the W: {counted(idea.moves, 'more move')}"


def _free_man(idea: Guards, facts: MoveFacts) -> str:
    if idea.let_go or not idea.tied:
        return ""
    stay = "has a square to guard alone" if len(idea.tied) == 1 else "have squares to guard alone"
    return f"moves the man that is free: {men_at(facts, idea.tied)} {stay}"


def _barrier(idea: Barrier, facts: MoveFacts) -> str:
    if not idea.new:
        return ""
    return f"builds a barrier: the bishop guards {squares(idea.by_bishop)}, the knight {squares(idea.by_knight)}"


def _narrows(idea: Narrows, facts: MoveFacts) -> str:
    now = counted(idea.size_after - facts.gives.check, "square")
    return f"shuts off a part of the board: the king has {now}, before {idea.size_before}"


def _gathers(idea: OffTheRim, facts: MoveFacts) -> str:
    return f"brings the {man_name(idea.man)} into play, off the edge"


def _forced(idea: Forced, facts: MoveFacts) -> str:
    return "is the only legal move"


def _holes(idea: Holes, facts: MoveFacts) -> str:
    return f"leaves one hole: {squares(idea.made + idea.left)}" if len(idea.made + idea.left) == 1 else ""


def _cage_held(idea: Cage, facts: MoveFacts) -> str:
    if idea.loose:
        return ""
    if idea.change is CageChange.HOLDS and idea.same:
        return f"keeps the cage of {counted(idea.size_after, 'square')} shut {_passed(facts)}"
    if idea.change is CageChange.HOLDS:
        return f"keeps the king in a cage as small as before {_passed(facts)}"
    if idea.change is CageChange.WIDENS:
        return f"keeps the cage shut, though it grows to {_room(idea, facts)}"
    return ""


def _abreast(facts: MoveFacts) -> str:
    return "puts the bishops side by side: two neighbouring diagonals are shut" if _stands_beside(facts) else ""


def _stands_beside(facts: MoveFacts) -> bool:
    return facts.bishops.abreast and facts.man.piece == "bishop"


def _pawn_on(idea: PawnStep, facts: MoveFacts) -> str:
    left = f": {counted(facts.race.pawn_moves, 'more move')} to promote" if facts.race.pawn_moves else ""
    was, king = parse_square(facts.move[:2]), parse_square(facts.room.king)
    away = " away from the king" if king_steps(idea.square, king) > king_steps(was, king) else ""
    return f"pushes the pawn{away if idea.guard is None else f', which the {man_name(idea.guard)} guards'}{left}"


def _box_held(idea: Box, facts: MoveFacts) -> str:
    if idea.change is not BoxChange.HOLDS:
        return ""
    return f"keeps the box of {counted(idea.after or 0, 'square')} {_passed(facts)}"


def _passed(facts: MoveFacts) -> str:
    """Say what a move is worth that leaves the king the room it has."""
    if facts.gives.check:
        return (
            f"with check: the king must go to {listed(facts.room.flights, 'or')}"
            if facts.room.flights
            else "with check"
        )
    return f"and leaves the move to {defender(facts)}"


def _cut_kept(idea: CutOff, facts: MoveFacts) -> str:
    return f"keeps the king cut off along {line_name(idea.line)}" if idea.change is CutChange.KEEPS else ""


#: What a man that is saved does beside: the first that it does.
_BESIDE_SAVING: tuple[Rule, ...] = (of(Box, _box), of(CutOff, _cuts), of(ShutsWay, kings.shuts))

#: Rules that give a reason in the trade's terms, the most telling first, with what a pupil can take along.
REASONS: tuple[tuple[Rule, Maxim], ...] = (
    (_promotes, always(maxims.QUEEN_AT_ONCE)),
    (_captures, maxims.captures),
    (of(Prepares, _mates_next), no_maxim),
    (of(Trapped, _trapped), no_maxim),
    (of(HoldsPawn, _holds_pawn), no_maxim),
    (of(Bridging, _bridging), no_maxim),
    (of(KnightsW, _w), no_maxim),
    (of(Cage, _cage_first), maxims.cage),
    (of(WaitingMove, _waits), no_maxim),
    (of(Saved, _saved), maxims.saved),
    (of(WrongCorner, _drives_out), always("mate is forced only in a corner of the bishop's colour")),
    (of(PawnRuns, _runs), no_maxim),
    (of(Box, _box), no_maxim),
    (of(CutOff, _cuts), always("cut the king off, then bring yours up")),
    (kings.key_square, no_maxim),
    (kings.to_key_squares, no_maxim),
    (of(KingNearer, kings.opposes), no_maxim),
    (kings.far_opposition, no_maxim),
    (of(Prepares, _prepares_much), maxims.forks),
    (of(Threatens, _threatens), no_maxim),
    (of(Barrier, _barrier), no_maxim),
    (_abreast, no_maxim),
    (of(ShutsWay, kings.shuts), maxims.shuts_way),
    (of(KingNearer, kings.king), kings.king_maxim),
    (of(NearsMan, kings.nears_man), kings.man_maxim),
    (of(KingUp, kings.king_up_behind), no_maxim),
    (of(Drives, _drives), maxims.drives),
    (of(Narrows, _narrows), always("take room first, check later")),
    (of(OffTheRim, _gathers), always(maxims.IN_THE_MIDDLE)),
    (of(TowardsW, _to_w), no_maxim),
    (of(MinorLost, _minor_lost), always("a minor piece needs its king beside it")),
    (of(KingNearer, kings.to_centre), no_maxim),
    (_checks, no_maxim),
    (of(PawnStep, _pawn_on), no_maxim),
    (of(KingUp, kings.king_up), no_maxim),
    (of(Prepares, _prepares), no_maxim),
    (of(Cage, _cage_held), no_maxim),
    (of(Box, _box_held), no_maxim),
    (of(CutOff, _cut_kept), no_maxim),
    (of(Guards, _free_man), no_maxim),
    (of(Forced, _forced), no_maxim),
)


def _takes_squares(facts: MoveFacts) -> str:
    return f"takes {listed(facts.room.squares_taken)} from {rival_king(facts)}" if facts.room.squares_taken else ""


#: Rules that only say what changes on the board.
PLAIN: tuple[Rule, ...] = (of(Holes, _holes), _takes_squares)


def deeds(facts: MoveFacts) -> Iterator[str]:
    """Yield what a move does by every rule that has a say: reasons first, what only changes squares after."""
    return (text for rule in (*(rule for rule, _ in REASONS), *PLAIN) if (text := rule(facts)))


def instead(better: MoveFacts, facts: MoveFacts) -> str:
    """Return what the better of two moves does first that the other does not, or else what it does first."""
    first = ""
    for rule in (*(rule for rule, _ in REASONS), *PLAIN):
        if text := head(rule(better)):
            if text != head(rule(facts)):
                return text
            first = first or text
    return first


def head(text: str) -> str:
    """Return what a move does without what follows from it."""
    return text.partition(": ")[0]


def maxim(facts: MoveFacts, deed: str) -> str:
    """Return what a pupil can take along from what is told of a move; "" where nothing."""
    return next((general(facts) for rule, general in REASONS if rule(facts) == deed), "") if deed else ""


def reasons(facts: MoveFacts) -> Iterator[str]:
    """Yield what a move does by the rules that give a reason."""
    return (text for rule, _ in REASONS if (text := rule(facts)))


def shows_answer(deed: str, facts: MoveFacts) -> bool:
    """Whether what a move does is told by a reply and what comes after it."""
    return deed == of(Prepares, _prepares)(facts)


def has_reason(facts: MoveFacts) -> bool:
    """Whether a good move of the attacker is explained by more than squares."""
    return facts.gives.mate or any(rule(facts) for rule, _ in REASONS)
