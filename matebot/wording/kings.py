"""What a good step of the attacking king does, and the ways that a move shuts; one rule an idea."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.idea import square_name
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording import hunting, maxims, room_left
from matebot.wording.phrases import be, line_name, listed
from matebot.wording.said import (
    before,
    by_minors,
    if_then,
    mated_within,
    men_at,
    moves_to_promote,
    needs_king,
    of,
    own_king,
    own_man,
    own_men,
    parse_square,
    pawn_runs,
    promotion_square,
    rival_king,
    rivals_men,
    rivals_square,
    squares,
    stands,
)

OPPOSITION, _NEARER = "takes the opposition", "comes nearer and "
#: What a king's step teaches, by its purpose, the most telling first.
_MAXIMS = {
    Purpose.STOPS: maxims.STOP_THE_PAWN,
    Purpose.GUARDS: maxims.TOGETHER,
    Purpose.FREES: "the king holds, so that the men can move",
    Purpose.SHUTS: maxims.KING_TAKES,
}
#: So near a king threatens a man, if it does not stand next to it yet.
_BESIDE = 2
#: So near, a step that brings the king no nearer by steps brings it nowhere.
_CLOSE = 3
#: So few squares are a small cage.
_SMALL = 4
#: So many moves from mate a king on the edge is about to be mated.
_NEAR_MATE = 7
#: In so few moves a new queen and another man hardly ever mate.
_QUEEN_MATES = 4


def shuts(idea: ShutsWay, facts: MoveFacts) -> str:
    """Say which way of the defending king is shut: nothing where another that leads there stays open."""
    by_itself = idea.aim is Aim.PAWN and facts.man.piece == "pawn"
    if idea.aim is Aim.OWN_MAN and _caged_small(facts):
        return ""  # It can go hardly anywhere.
    if idea.aim is Aim.CENTRE and from_edge(parse_square(facts.room.king)) > 1:
        return ""  # It stands in the centre, and other squares are as central.
    if not idea.last or by_itself or not room_left.tells(idea, facts):
        return ""
    if idea.squares == (idea.target,):
        return f"shuts {squares(idea.squares)}, the wrong corner"
    of_whom = "king's way" if idea.aim is Aim.OWN_MAN else "way"
    return f"shuts {squares(idea.squares)}, the {of_whom} {room_left.way(idea.aim, idea.target, facts)}"


def _caged_small(facts: MoveFacts) -> bool:
    """Whether a piece leaves a king few squares: a cage of them, or one to go to."""
    cage = facts.seen.idea(Cage)
    small = cage is not None and cage.change.smaller and not cage.loose and cage.size_after <= _SMALL
    return facts.man.piece != "king" and (small or len(facts.room.flights) <= 1)


def opposes(idea: KingNearer, facts: MoveFacts) -> str:
    """Say that the direct opposition is taken, and what it shuts."""
    if Purpose.OPPOSITION not in idea.purposes or facts.seen.answers_check:
        return ""  # What answers a check is no choice between oppositions.
    shut = of(ShutsWay, shuts)(facts)
    if not shut and idea.held:
        return f"{OPPOSITION}: {_relieves(idea, facts)}"
    if not shut:
        # With a man to move instead the other king need not; and where others mate it matters little.
        counts = facts.men.attacker_men in (("pawn",), ("rook",)) and not facts.men.defender_men
        if counts and _keeps_rook(facts):
            return f"{OPPOSITION}, and the rook stays guarded"
        return f"{OPPOSITION}, so that {rival_king(facts)} must give way" if counts and _bars(facts) else ""
    return f"{OPPOSITION} and {shut}"


def _bars(facts: MoveFacts) -> bool:
    """Whether opposition bars anything: beside a rook squares that the king had, else the way of a pawn."""
    return bool(facts.room.squares_taken) if "rook" in facts.men.attacker_men else not pawn_runs(facts)


def _keeps_rook(facts: MoveFacts) -> bool:
    """Whether the other king stands beside the rook, which the own king guarded and guards."""
    kings = own_king(facts), stands(facts), rivals_square(facts)
    return any(all(king_steps(king, rook) == 1 for king in kings) for rook in own_men(facts, "rook"))


def opposes_maxim(facts: MoveFacts) -> str:
    """Say what the opposition is taken for."""
    if of(ShutsWay, shuts)(facts):
        return maxims.OPPOSED_BAR
    rook = facts.men.attacker_men == ("rook",) and not facts.men.defender_men
    checks = rook and any(move.endswith(("+", "#")) for move in facts.then.ahead[1:])
    return maxims.SIDE_CHECK if checks else maxims.OPPOSED_BAR


def king(idea: KingNearer, facts: MoveFacts) -> str:
    """Say what else a king's step is good for."""
    if Purpose.STOPS in idea.purposes:
        hits, way = of(NearsMan, hunting.attacks)(facts), f"guards {squares(idea.stopped)} on"
        return f"{hits} and {way} its way" if hits else f"{way} the pawn's way"
    if Purpose.GUARDS in idea.purposes and (_king_comes_for(idea, facts) or facts.men.defender_men != ("pawn",)):
        return f"guards {_guarded(idea, facts)}"
    at_man = set(idea.held) & set(rivals_men(facts))  # A line that ends on a man of the other side ties nothing.
    if Purpose.FREES in idea.purposes and idea.held and not at_man and not _is_open(facts):
        return _relieves(idea, facts).replace("the king now holds", "holds")
    if not pawn_runs(facts) and not of(ShutsWay, shuts)(facts) and not facts.room.squares_given:
        if of(NearsMan, hunting.attacks)(facts):
            return ""  # The man says more.
        ahead = _before_pawn(facts)
        free = [square_name(square) for square in idea.shut if square not in rivals_men(facts)]
        text = room_left.taken(facts, free) if free else ""
        return ahead or (f"{_NEARER}{text}" if text and facts.kings.kings_after < facts.kings.kings_before else text)
    return ""


def _before_pawn(facts: MoveFacts) -> str:
    """Say that the king comes to guard the next square of its pawn; nothing where it does not."""
    goals = before_pawn(facts)
    return f"guards {square_name(goals[0])}, where the pawn goes next" if goals else ""


def before_pawn(facts: MoveFacts) -> list[int]:
    """Return the next squares of its pawns that a step of the king shuts to the other king."""
    idea = facts.seen.idea(KingNearer)
    goals = [before(pawn, facts.turn) for pawn in own_men(facts, "pawn")]
    return [] if idea is None else [goal for goal in goals if goal in idea.shut]


def _relieves(idea: KingNearer, facts: MoveFacts) -> str:
    """Say what the king holds now instead of men that are free."""
    return f"the king now holds {squares(idea.held)}, and {men_at(facts, idea.freed)} {be(idea.freed)} free to move"


def _is_open(facts: MoveFacts) -> bool:
    """Whether bishops or knights have no cage round the king: there it matters little which of them is tied."""
    return by_minors(facts) and facts.seen.idea(Cage) is None


def purpose(idea: KingNearer) -> Purpose:
    """Return the purpose that is told by `king`, the opposition where none of those is served."""
    return next((purpose for purpose in _MAXIMS if purpose in idea.purposes), Purpose.OPPOSITION)


def _king_maxim(idea: KingNearer, facts: MoveFacts) -> str:
    found = [purpose for purpose in _MAXIMS if purpose in idea.purposes]
    first = next((purpose for purpose in found if purpose is not Purpose.FREES or not _is_open(facts)), None)
    if first is Purpose.SHUTS and "pawn" in facts.men.attacker_men:
        return maxims.FROM_THE_PAWN
    return "" if first is None else _MAXIMS[first]


#: What a king's step teaches.
king_maxim: maxims.Maxim = of(KingNearer, _king_maxim)


def _king_comes_for(idea: KingNearer, facts: MoveFacts) -> bool:
    """Whether the other king can step beside each man that is guarded now."""
    ways = [parse_square(square) for square in facts.room.flights]
    return all(any(king_steps(square, way) <= 1 for way in ways) for square in idea.guarded)


def _guarded(idea: KingNearer, facts: MoveFacts) -> str:
    near = _king_comes_for(idea, facts)
    men = listed([f"{man} on {square_name(s)}" for s in idea.guarded for man in [men_at(facts, [s])]])
    return f"{men} from {rival_king(facts)}" if near else men


def to_centre(idea: KingNearer, facts: MoveFacts) -> str:
    """Say that the king leaves the outer lines."""
    if Purpose.CENTRE not in idea.purposes or on_edge_soon_mated(facts):
        return ""
    if facts.seen.answers_check:
        attacks = of(NearsMan, hunting.attacks)(facts)
        return f"steps out of the check and {attacks}" if attacks else _out_to_centre(facts)
    if pawn_runs(facts):
        return "brings the king in for the mate: the pawn runs by itself"
    if of(NearsMan, hunting.nears_man)(facts):
        return ""  # The man says more.
    goes = "heads for the centre" if needs_king(facts) else "brings the king towards the centre"
    if _more_central(facts):
        goes = "leaves the edge"
    takes = king(idea, facts) if queen_against_minor(facts) else ""
    return f"{goes} and {takes.removeprefix(_NEARER)}" if takes.startswith(_NEARER) else f"{goes}{_to_help(facts)}"


def on_edge_soon_mated(facts: MoveFacts) -> bool:
    """Whether the other king is on the edge and mate is near: then a step has another purpose than the centre."""
    return _on_edge(facts) and mated_within(facts, _NEAR_MATE)


def _on_edge(facts: MoveFacts) -> bool:
    """Whether the other king is on the edge."""
    return not from_edge(parse_square(facts.room.king))


def _more_central(facts: MoveFacts) -> bool:
    """Whether a step off the edge that is as quick goes straighter to the middle of the board."""
    start, here = own_king(facts), _from_middle(stands(facts))
    steps = [move.to_square for move in facts.seen.slower_moves.as_soon if move.from_square == start]
    return not from_edge(start) and any(_from_middle(step) < here for step in steps)


def _from_middle(square: int) -> int:
    """Return how far from the middle of the board a square is, in half files and ranks."""
    return abs(2 * (square % 8) - 7) + abs(2 * (square // 8) - 7)


def _out_to_centre(facts: MoveFacts) -> str:
    return f"steps out of the check towards the centre{_to_help(facts)}"


def alone(facts: MoveFacts) -> str:
    """Say why the attacking king must help."""
    men = facts.men.attacker_men
    if pawn_runs(facts):
        return "the pawn runs by itself"
    if "pawn" in men:
        return "the pawn needs its help"
    if queen_against_minor(facts):
        return "the queen needs it for the mate"
    if facts.men.defender_men:
        return f"it must help against the {facts.men.defender_men[0]}"
    if not needs_king(facts):
        return "it helps its men"
    kinds = f"the {men[0]}" if len(men) == 1 else "the bishops" if len(set(men)) == 1 else listed(sorted(men))
    return f"{kinds} cannot mate without it"


def queen_against_minor(facts: MoveFacts) -> bool:
    """Whether a queen alone, which loses nothing to it, plays against a bishop or knight."""
    return facts.men.attacker_men == ("queen",) and facts.men.defender_men in (("bishop",), ("knight",))


def _to_help(facts: MoveFacts, nearer: bool = False) -> str:
    """Say what the king comes for: against a man, or where it comes nearer to the other king against both."""
    if mates_first(facts):
        line = facts.then.ahead
        return " for the mate" + (f": if {line[0]}, {line[1]}" if line[1:] and line[1].startswith("K") else "")
    if "pawn" in facts.men.attacker_men:
        return to_pawn(facts)
    if queen_against_minor(facts):
        return f": {alone(facts)}"
    if facts.men.attacker_men == ("queen",) and facts.men.defender_men == ("rook",):
        return ": king and queen must work together against the rook"
    at_pawn = facts.men.defender_men == ("pawn",) and king_steps(own_king(facts), rivals_men(facts)[0]) == 1
    if at_pawn and facts.men.attacker_men == ("queen",):
        return ": the queen needs it for the mate"
    if facts.men.defender_men:
        if held := facts.ways.stopped_by:
            return f", while the {own_man(facts, parse_square(held[0]))} holds the pawn"
        man = facts.men.defender_men[0]
        if man == "pawn" and _may_go_away(rivals_men(facts), facts) and _on_edge(facts):
            return f" for the mate{if_then(facts)}"
        at = rivals_men(facts)[0]
        if man == "pawn" and king_steps(own_king(facts), at) <= king_steps(stands(facts), at):
            return ""  # it goes no nearer to the pawn
        far = facts.seen.idea(NearsMan) is not None and king_steps(rivals_square(facts), at) > _BESIDE
        both = "king and" if nearer and man != "pawn" and not far else "the"
        return "" if at_pawn or _rook_alone(facts) else f" to help against {both} {man}"
    return f": {alone(facts)}".replace(" cannot mate without it", f" need{_s(facts)} {_its(facts)} king")


def _rook_alone(facts: MoveFacts) -> bool:
    """Whether a rook needs no help: it holds the other king off its pawn along a line, or wins that by itself."""
    if facts.men.attacker_men != ("rook",) or facts.men.defender_men != ("pawn",):
        return False
    up = facts.seen.idea(KingUp)
    holds = up is not None and up.held_by is HeldBy.LINE
    return holds or hunting.takes_alone(facts)


def mates_first(facts: MoveFacts) -> bool:
    """Whether a pawn runs that cannot be caught, and the king helps another man to mate sooner."""
    return facts.race.runs_alone and not pawn_runs(facts)


def to_pawn(facts: MoveFacts) -> str:
    """Say what the king comes to its pawn for: the squares of its way that it guards, or who is in the way."""
    if _mates_without(facts):
        return ""
    if facts.ways.way_guarded:
        ahead = sorted(facts.ways.way_guarded, reverse=facts.turn == "black")
        return f": it guards {listed(ahead)} on the pawn's way"
    pawns, now = own_men(facts, "pawn"), stands(facts)
    # Against a bare king nobody else can keep that away from a pawn.
    alone = facts.men.attacker_men == ("pawn",) and not facts.men.defender_men
    if not alone and all(king_steps(now, pawn) >= king_steps(own_king(facts), pawn) for pawn in pawns):
        return ""
    if _may_go_away(pawns, facts):
        return ""
    if len(pawns) != 1 or facts.men.defender_men:
        return " to help the pawn"
    goal = promotion_square(pawns[0], facts.turn)
    stands_by = king_steps(rivals_square(facts), goal) <= king_steps(pawns[0], goal)
    return f" to help the pawn: {rival_king(facts)} is inside its square" if stands_by else " to help the pawn"


def _mates_without(facts: MoveFacts) -> bool:
    """Whether the other men mate sooner than a pawn could promote, and a queen mate after it."""
    soonest = min((moves_to_promote(pawn, facts.turn) for pawn in own_men(facts, "pawn")), default=0)
    heavy = bool({"queen", "rook"} & {*facts.men.attacker_men})
    return heavy and (facts.worth.mate_moves or 0) <= soonest + _QUEEN_MATES


def _may_go_away(pawns: list[int], facts: MoveFacts) -> bool:
    """Whether a step of the king that is as quick brings it no nearer to any of its pawns."""
    was = own_king(facts)
    steps = [move.to_square for move in facts.seen.slower_moves.as_soon if move.from_square == was]
    return any(all(king_steps(step, pawn) >= king_steps(was, pawn) for pawn in pawns) for step in steps)


def _s(facts: MoveFacts) -> str:
    return "s" if len(facts.men.attacker_men) == 1 else ""


def _its(facts: MoveFacts) -> str:
    return "its" if len(facts.men.attacker_men) == 1 else "their"


def comes_nearer(facts: MoveFacts) -> bool:
    """Whether the kings come nearer: by steps, or where they are far apart by ranks and files."""
    return facts.kings.kings_after < facts.kings.kings_before or facts.kings.kings_after > _CLOSE


def brings_up(facts: MoveFacts) -> str:
    """Say that the king comes up, or only nearer where it steps down the board."""
    ranks = int(facts.move[3]) - int(facts.move[1])
    down = ranks < 0 if facts.turn == "white" else ranks > 0
    return f"brings the king {'nearer' if down else 'up'}"


def king_up(idea: KingUp, facts: MoveFacts) -> str:
    """Say that the king comes nearer, and why it may or must."""
    hunted = facts.seen.idea(NearsMan)
    if not comes_nearer(facts) or (hunted is not None and hunted.inside):
        return ""
    hold, cut = _holders(facts), facts.seen.idea(CutOff)
    piece = idea.held_by is HeldBy.LINE and facts.men.defender_men not in ((), ("pawn",))
    if idea.held_by is HeldBy.LINE and not piece and cut is not None and cut.change is CutChange.KEEPS:
        at_pawn = any(king_steps(stands(facts), s) < king_steps(own_king(facts), s) for s in rivals_men(facts))
        goes = "comes nearer to the pawn" if at_pawn else brings_up(facts)
        theirs = f" from {'it' if at_pawn else 'its pawn'}" if facts.men.defender_men else ""
        man = facts.men.attacker_men[0]
        if not facts.men.defender_men and (edge := room_left.edge_held(facts)):
            return f"{goes}, while the {man} holds {rival_king(facts)} on {edge}"
        return f"{goes}, while the {man} cuts {rival_king(facts)} off{theirs} along {line_name(cut.line)}"
    meanwhile = {
        HeldBy.CAGE: f"{hold} the cage shut meanwhile",
        HeldBy.LINE: f"{hold} {rival_king(facts)} cut off meanwhile",
        HeldBy.BOX: f"{hold} the box shut meanwhile",
    }
    held = meanwhile.get(idea.held_by) if idea.held_by is not HeldBy.BOX or _bounds(facts) else None
    if facts.seen.answers_check:
        return f"steps out of the check and comes nearer{_to_help(facts)}"
    if pawn_runs(facts):
        return f"{brings_up(facts)} for the mate: the pawn runs by itself"
    if piece or (idea.held_by is HeldBy.CAGE and "pawn" in facts.men.defender_men):
        held = None  # What holds the other king matters less than its man, which may stand between.
    if held is not None and idea.held_by is HeldBy.CAGE and _tightens(facts):
        return f"{brings_up(facts)} and makes the cage smaller"
    if held is not None:
        return f"{brings_up(facts)}: {held}"
    help_, takes = _to_help(facts, nearer=True), room_left.taken(facts)
    if takes and (not help_ or (needs_king(facts) and not by_minors(facts))):
        return f"{_NEARER}{takes}"
    return f"{brings_up(facts)}{help_}" if help_ else f"comes nearer to {rival_king(facts)}"


def _tightens(facts: MoveFacts) -> bool:
    """Whether the step takes squares from the cage of a king that has a man: not only what held it before holds it."""
    cage = facts.seen.idea(Cage)
    return bool(facts.men.defender_men) and cage is not None and cage.change is CageChange.TIGHTENS


def _bounds(facts: MoveFacts) -> bool:
    """Whether the lone piece bounds a box by two lines: on the edge of the board it does not."""
    return all(from_edge(square) > 0 for square in own_men(facts, facts.men.attacker_men[0]))


def king_up_behind(idea: KingUp, facts: MoveFacts) -> str:
    """Say so where a man keeps the defending king meanwhile."""
    return "" if idea.held_by is HeldBy.NOTHING else king_up(idea, facts)


def _holders(facts: MoveFacts) -> str:
    men = facts.men.attacker_men
    if len(men) == 1:
        return f"the {men[0]} keeps"
    return f"the {men[0]}s keep" if len(set(men)) == 1 else "the other men keep"
