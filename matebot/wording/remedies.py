"""What the better move does that a slip does not, and no other move that comes to no more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.drives import Drives, Where
from matebot.ideas.idea import Idea, square_name
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.king_up import KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.leaves_man import LeavesMan
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.safe_here import SafeHere
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.towards_w import TowardsW
from matebot.ideas.waiting_move import WaitingMove
from matebot.ideas.wrong_corner import WrongCorner
from matebot.wording import coming, hunting, king_and_pawn, kings, leads, room_left, rooms
from matebot.wording.attack import REASONS, head
from matebot.wording.lapses import best_ones
from matebot.wording.parts import part
from matebot.wording.phrases import listed
from matebot.wording.reason import Deed, Rank, Reason
from matebot.wording.said import goal_of, own_men, parse_square, rivals_men, stands, stood

_FEW, _PAWN = 3, 1
#: What says nothing without the moves behind it.
_IDLE = (
    "waits",
    "leaves the pawn",
    "closes in",
    "forces mate",
    "stays close to ",
    "keeps the win",
    "is the only legal move",
    "steps out of the check",
    "puts the bishops side by side",
    "lets the ",
    "offers the ",
)


def shared(better: MoveFacts, facts: MoveFacts, best: Sequence[MoveFacts], rank: Rank) -> str:
    """Return what the better move does first by a reason of a rank that every other of the best has as well."""
    found = (reason for reason in REASONS if reason.rank is rank)
    told = ((reason, _told(reason, better, facts)) for reason in found)
    return next((text for reason, text in told if text and all(reason.rule(other) for other in best)), "")


def own(
    better: MoveFacts, facts: MoveFacts, ranks: Sequence[Rank] = (Rank.REASON, Rank.PLAN), alone: bool = True
) -> Iterator[Deed]:
    """Yield what the better move does and the slip does not by the rules of some ranks, the most telling first.

    Parameters
    ----------
    alone : leave out what a move as bad as the slip does as well
    """
    first = dict[str, Reason]()
    for reason in REASONS:
        if reason.rank in ranks and (text := _told(reason, better, facts, alone)):
            yield Deed(text, first.setdefault(text, reason))


def texts(better: MoveFacts, facts: MoveFacts) -> Iterator[str]:
    """Yield the same by reasons and plans in words alone."""
    return (deed.text for deed in own(better, facts))


def squares_taken(better: MoveFacts, facts: MoveFacts) -> tuple[str, ...]:
    """Return the few squares that the better move takes from the king, and no move as bad of the man that moved."""
    taken = better.room.squares_taken
    worse = (facts, *facts.no_better)
    if not 0 < len(taken) <= _FEW or any(set(taken) <= set(other.room.squares_taken) for other in worse):
        return ()
    return taken


#: How a way ends that leads to where a bare king is not mated.
_TO_CENTRE = ("back to the centre", "off the edge")


def _is_race(facts: MoveFacts) -> bool:
    """Whether the last pawn runs against another man."""
    return facts.men.attacker_men == ("pawn",) and bool(facts.men.defender_men)


#: How it is told that the king comes nearer.
_KING_COMES = ("brings the king ", "heads for the centre")


def _is_beside_the_point(reason: Reason, text: str, better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the king comes nearer, but farther from a pawn; or the slip gives the king a step that this leaves it."""
    pawns = [*own_men(better, "pawn"), *(rivals_men(better) if better.men.defender_men == ("pawn",) else [])]
    if better.man.piece == "king" and pawns and text.startswith(_KING_COMES) and not _is_safe(better):
        was, now = stood(better), stands(better)
        if better.man.captured is None and _may_be_taken(better):
            return True  # it comes too late for the pawn
        return all(king_steps(now, pawn) > king_steps(was, pawn) for pawn in pawns)
    if text.startswith("drives the king to the edge") and "pawn" in better.men.attacker_men:
        return True  # what matters there is the pawn
    taken = better.room.squares_taken
    if not facts.given.by_king or not facts.then.ahead or goal_of(facts.then.ahead[0]) in taken:
        return False
    freed = facts.given.gains_now and facts.given.gains is Gain.CENTRE
    return text.startswith(tuple(f"takes {square}" for square in taken)) or (freed and reason.idea is OffTheRim)


def _may_be_taken(better: MoveFacts) -> bool:
    """Whether a pawn of the side that moves can be taken for nothing after its move."""
    return any(parse_square(square) in own_men(better, "pawn") for square in better.loose_men.loose)


def _is_safe(better: MoveFacts) -> bool:
    """Whether the pawn needs no king: it runs by itself, or another man holds it."""
    return better.race.runs_alone or bool(better.ways.held_from)


def _shown_too(reason: Reason, text: str, better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip does what is told of the better move by a reason, whatever is told of the slip."""
    if reason.rule is king_and_pawn.clears:
        return facts.race.clears_way
    if reason.rule is rooms.checks:
        return better.room.flights == facts.room.flights
    step = better.seen.idea(KingNearer) if reason.idea is KingNearer else None
    if step is not None and any(map(facts.seen.comes_to_guard, kings.before_pawn(better))):
        return True
    stops = step is not None and reason.purpose_of(step) is Purpose.STOPS
    if step is not None and stops and all(map(facts.seen.comes_to_guard, step.stopped)):
        return True
    if room_left.held_on_edge(better) and text.startswith(room_left.holds(better)) and room_left.held_on_edge(facts):
        return True
    threat = better.seen.idea(Threatens)
    if threat is not None and text == coming.threatens(threat, better) and _same_threat(better, facts):
        return True
    up, mine, wanted = leads.comes_up(better), facts.seen.idea(KingUp), better.seen.idea(KingUp)
    less = reason.idea is KingUp and mine is not None and wanted is not None and mine.steps > wanted.steps
    if up and text.startswith(head(up)) and mine is not None and wanted is not None and not less:
        return True  # only where it is told of by itself it may be the reason by how much
    lead = leads.driven(better) or leads.taken(better)
    told_of_room = reason.idea is Drives or (lead and text.startswith(head(lead)))
    # Where another man may move as well the king is left the same squares all the same.
    if told_of_room and better.room.flights and better.room.flights == facts.room.flights:
        return True
    cage = better.seen.idea(Cage) if reason.idea is Cage else None
    way = [] if cage is None else [square_name(square) for square in cage.gate]
    if way and text.startswith(f"shuts {listed(way)}") and set(way) <= set(facts.room.squares_taken):
        return True
    same = None if reason.idea is None else _SAME.get(reason.idea)
    return same is not None and same(better, facts)


def left_alike(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the king must go to one of the same squares after a slip."""
    return better.room.flights == facts.room.flights and len(facts.room.flights) == facts.replies.replies


def _same_man_neared(better: MoveFacts, facts: MoveFacts) -> bool:
    mine, wanted = facts.seen.idea(NearsMan), better.seen.idea(NearsMan)
    if wanted is None:
        return False
    hit = wanted.steps <= 1 and facts.seen.comes_to_guard(wanted.square)
    in_its_way = facts.man.piece == "king" and all(hunting.before(wanted, one) for one in (better, facts))
    return hit or in_its_way or (mine is not None and mine.square == wanted.square and mine.steps <= wanted.steps)


def _same_threat(better: MoveFacts, facts: MoveFacts) -> bool:
    wanted = better.seen.idea(Threatens)
    hits = wanted is not None and wanted.threat is Threat.CAPTURE and wanted.square is not None
    return hits and wanted is not None and facts.seen.comes_to_guard(wanted.square or 0)


def _same_man_falls(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip is after the same man, which it wins by force if the better move does."""
    (wanted, sure), then = _man_wanted(better), better.seen.idea(Prepares)
    behind = wanted == _PAWN and then is not None and coming.is_behind(then.move.to_square, better)
    if wanted is None or behind:
        return False
    if sure and better.seen.idea(LeavesMan) is not None:
        return True  # it can be taken now, and still after the slip
    if sure:
        return _man_wanted(facts) == (wanted, True)
    if coming.hunts(better) and facts.gives.check:
        return True  # A check may come to a fork.
    hit = all(map(facts.seen.attacked, rivals_men(better)))
    return hit or _same_threat(better, facts) or _man_wanted(facts)[0] == wanted


def _man_wanted(facts: MoveFacts) -> tuple[int | None, bool]:
    """Return the kind of the man that is taken in a few moves, and whether it is by force with the next."""
    then, later = facts.seen.idea(Prepares), facts.seen.idea(LeadsTo)
    if then is not None and then.does is Next.CAPTURE:
        return then.man, then.sure
    return (later.man, False) if later is not None and later.does is Next.CAPTURE else (None, False)


def _off_the_rim_too(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip takes the same man off the edge, if to fewer squares or with check."""
    return stood(facts) == stood(better) and facts.man.rim_before == 0 < facts.man.rim_after


def _saved_too(better: MoveFacts, facts: MoveFacts) -> bool:
    mine, wanted = facts.seen.idea(Saved), better.seen.idea(Saved)
    return mine is not None and wanted is not None and (mine.man, mine.square) == (wanted.man, wanted.square)


def _cage_alike(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip shuts one hardly larger, tightens it too, or leaves the same squares of one that stays."""
    mine, wanted = facts.seen.idea(Cage), better.seen.idea(Cage)
    if mine is None or wanted is None:
        return False
    if wanted.change is CageChange.HOLDS:
        return left_alike(better, facts)
    where = part(wanted.room)
    if wanted.change is CageChange.SHUTS and where and mine.room and part((*wanted.room, *mine.room)) == where:
        return True  # they are told in the same words
    if mine.change is wanted.change is CageChange.SHUTS:
        return mine.size_after < 2 * wanted.size_after
    return mine.change is wanted.change is CageChange.TIGHTENS


def _box_alike(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip shrinks the box too, if for a moment only, or makes one hardly larger."""
    mine, wanted = facts.seen.idea(Box), better.seen.idea(Box)
    if mine is None or wanted is None or mine.change is not wanted.change:
        return False
    makes = mine.change is BoxChange.MAKES and (mine.after or 0) < 2 * (wanted.after or 0)
    return makes or mine.change is BoxChange.SHRINKS


def _as_near_pawn(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip brings the king as near to the only man of the other side, a pawn."""
    men = rivals_men(better) if better.men.defender_men == ("pawn",) and facts.man.piece == "king" else []
    was = stood(better)
    near = (king_steps(stands(facts), man) <= king_steps(stands(better), man) < king_steps(was, man) for man in men)
    return any(near)


def _covered_too(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether all squares of a knight that the better move leaves none are attacked after the slip as well."""
    lost = better.seen.idea(MinorLost)
    return lost is not None and bool(lost.covered) and all(map(facts.seen.attacked, lost.covered))


#: What a slip shows too where the idea is the same, by the idea.
_SAME: dict[type[Idea], Callable[[MoveFacts, MoveFacts], bool]] = {
    NearsMan: _same_man_neared,
    Threatens: _same_threat,
    LeadsTo: _same_man_falls,
    Prepares: _same_man_falls,
    Cage: _cage_alike,
    Box: _box_alike,
    KingUp: _as_near_pawn,
    SafeHere: _saved_too,
    Saved: _saved_too,
    OffTheRim: _off_the_rim_too,
    MinorLost: _covered_too,
}


#: How it is told that a cage is kept, with the line that shows it.
_KEPT = "keeps the cage shut: if "


def _flights(facts: MoveFacts) -> Iterator[int]:
    """Yield where the king can go after the slip."""
    return map(parse_square, facts.room.flights)


def _lets_out(facts: MoveFacts) -> bool:
    """Whether a slip opens the cage by more than a man that the king may come to take."""
    cage = facts.seen.idea(Cage)
    return cage is not None and cage.change is CageChange.OPENS and not cage.loose


#: How it is told that the king comes nearer to the other, and no more.
_UP = ("brings the king up", "brings the king nearer")


def _steps_as_bad(better: MoveFacts, facts: MoveFacts) -> Iterator[int]:
    """Yield where the king goes by the slip, and by steps that cost at least half as much."""
    if facts.man.piece == "king":
        yield stands(facts)
    for move, _ in better.seen.slower_moves.half_as_bad(facts.seen.move):
        if move.from_square == stood(better):
            yield move.to_square


def _on_key_too(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether a step about as bad goes to a key square as well."""
    keys = {*map(parse_square, better.keys.key_squares)}
    return any(to in keys for to in _steps_as_bad(better, facts))


def as_near_too(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the slip brings the king as near to the other as the better move."""
    steps = facts.man.piece == better.man.piece == "king"
    return steps and facts.kings.kings_after <= better.kings.kings_after


def off_edge(better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the king leaves the edge by the better move, and by none about as bad."""
    leaves = better.man.piece == "king" and not from_edge(stood(better)) and from_edge(stands(better))
    return bool(leaves) and not any(map(from_edge, _steps_as_bad(better, facts)))


def _of_corner(reason: Reason, better: MoveFacts) -> bool:
    """Whether a reason is that the king is driven from a wrong corner, or driven to or kept in a right one."""
    way = better.seen.idea(ShutsWay) if reason.idea is ShutsWay else None
    drive = better.seen.idea(Drives) if reason.idea is Drives else None
    driven = drive is not None and drive.where is Where.TO_CORNER
    return reason.idea is WrongCorner or driven or (way is not None and way.aim is Aim.OUT_OF_CORNER)


#: The rule that tells of the opposition, and of the way that it shuts.
_OPPOSES = next(reason.rule for reason in REASONS if reason.maxim is kings.opposes_maxim)


def _opposed_alone(text: str, better: MoveFacts, facts: MoveFacts) -> str:
    """Leave out the way that the opposition shuts where the slip shuts it as well."""
    way, shut = better.seen.idea(ShutsWay), set(facts.room.squares_taken)
    alike = way is not None and {*map(square_name, way.squares)} <= shut
    return text.partition(" and shuts ")[0] if alike else text


#: How it is told that a king is parted from its man by a line.
_APART = "cuts the king off from its "


def _says_little(idea: Prepares, better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether it takes longer than need be, comes after the slip too, or is about a man that goes to be taken."""
    walks = idea.does is Next.CAPTURE and not idea.sure and idea.reply.to_square == idea.move.to_square
    if not idea.fastest or (walks and idea.man != _PAWN):
        return True
    opposes = idea.does is Next.OPPOSITION and coming.is_only_next(idea, better)
    return opposes and facts.seen.goes_alike(idea.reply, idea.move)


def _told(reason: Reason, better: MoveFacts, facts: MoveFacts, alone: bool = True) -> str:
    """Say what the better move does by a reason; nothing where the slip does so too, or a move as bad; see `own`."""
    text = reason.rule(better)
    if not text or head(text) in {head(other.rule(facts)) for other in REASONS}:
        return ""
    taken = set(better.room.squares_taken)
    if _is_beside_the_point(reason, text, better, facts):
        return ""
    if text.startswith("covers ") and not any(square in text for square in taken):
        text = f"covers {listed(better.room.squares_taken)}" if 0 < len(taken) <= _FEW else ""
    if taken and text.startswith("takes ") and taken <= set(facts.room.squares_taken):
        return ""
    opposed = text.startswith("prepares the opposition") and "bishop" in facts.men.attacker_men
    if reason.idea is ShutsWay and text.endswith(_TO_CENTRE) and (_is_race(facts) or facts.room.squares_given):
        return ""  # the pawn counts, or the slip lets go of more than that
    if text.startswith("cuts the king off from its rook"):
        return ""  # a queen wins the rook by a fork
    # What the men are on their way to is still far.
    if reason.idea in (WaitingMove, TowardsW) or opposed or head(text).startswith(_IDLE):
        return ""
    if _shown_too(reason, text, better, facts):
        return ""
    if reason.rule is _OPPOSES:
        text = _opposed_alone(text, better, facts)
    idea = None if reason.idea is None else better.seen.idea(reason.idea)
    slower = better.seen.slower_moves
    if _of_corner(reason, better) and not all(map(reason.rule, best_ones(facts))):
        return ""  # a move as good does without
    if reason.rule is king_and_pawn.key_square and _on_key_too(better, facts):
        return ""
    if text.startswith(_KEPT) and not _lets_out(facts):
        return ""  # the line says more
    held = text.startswith("keeps ") and text.endswith(" king on the edge")
    driven = text.startswith("drives the king to the edge") and facts.room.flights
    if (held or driven) and not any(map(from_edge, _flights(facts))):
        return ""
    if text.startswith(_UP) and as_near_too(better, facts):
        return ""
    if text.startswith(_APART) and slower.as_bad_cuts_off(facts.seen.move):
        return ""  # along another line it is cut off as well
    if idea is None:
        return text
    purpose = reason.purpose_of(idea)
    if purpose is Purpose.FREES or (isinstance(idea, Prepares) and _says_little(idea, better, facts)):
        return ""
    return "" if alone and slower.as_bad(idea, purpose, facts.seen.move) else text
