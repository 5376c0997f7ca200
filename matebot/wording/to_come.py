"""What comes against a lost defence, which it cannot stop, and what that teaches."""

from __future__ import annotations

from enum import Enum, auto

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters, Does
from matebot.ideas.critical import Critical
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import Squares, man_name, square_name
from matebot.ideas.looms import Looms
from matebot.ideas.prepares import Next
from matebot.ideas.reply_deed import Plain
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording import counsel
from matebot.wording.countering import hit
from matebot.wording.denials import CAGE, deed, mate_after, named, nearer, next_deed, shut_in, taken
from matebot.wording.pawn_comes import STOP, at_man, is_outside, king_after, near_man, pawn_on, to_keys
from matebot.wording.phrases import other, side
from matebot.wording.posture import but
from matebot.wording.remark import NOTHING, Fate, Place, Remark
from matebot.wording.said import (
    goal_of,
    mated_within,
    needs_king,
    own_men,
    parse_square,
    rivals_pawns,
    rivals_square,
    squares,
    stands,
    stood,
)

#: In so many moves mate is soon.
_NEAR_MATE = 5
#: So many plies are two moves of the attacker.
_TWO_MOVES = 3
_CANNOT_SAVE = "cannot save"
#: What leaves a king that stands off the edge less room.
_TAKES_ROOM = (*CAGE, Next.BOX, Next.SHRINKS, Next.CUTS_OFF)


def cannot(facts: MoveFacts) -> Remark:
    """Say what a defence does not stop: ``cannot save the knight: Rxc6 takes it``; nothing where it has no name."""
    leads, idea = facts.seen.idea(EndsIn), facts.seen.idea(Expects)
    if hanging := _hangs(leads, idea, facts):
        at = 0 if leads is None else leads.line[-1].to_square
        left = facts.man.piece == "king" and king_steps(stood(facts), at) == 1  # it was guarded
        return fallen(hanging, "nothing guards it", facts, does="gives up" if left else _CANNOT_SAVE)
    if idea is not None and not _soon(leads):
        said = _cannot_stop(idea, facts)
        if said:
            return said
    if leads is None or (len(leads.line) > _TWO_MOVES and leads.does is Next.MATE):
        return NOTHING
    name = named(leads.line, facts)
    if leads.does is Next.MATE:
        return mate_comes(name, facts)
    man, taking = taken(leads), leads.does is Next.CAPTURE
    if not _is_forced(leads, facts):
        return NOTHING  # another reply keeps it longer
    if len(name) == _TWO_MOVES and man == "pawn" and _moved(leads):
        how = f"it falls after {name[0]}"
        return fallen(man, how, facts) if taking else promoted(how, facts)
    if len(name) == _TWO_MOVES:
        return _in_turn(leads, facts)
    how = f"{name[0].rstrip('+')} follows"  # whether it checks depends on where the king has gone
    if len(name) > _TWO_MOVES:
        how = f"it {'falls' if taking else 'promotes'} in three moves, beginning with {name[0]}"
    return fallen(man, how, facts) if taking else promoted(how, facts)


def _hangs(leads: EndsIn | None, idea: Expects | None, facts: MoveFacts) -> str:
    """Return the man that could be taken and is in the end, where the other king only comes nearer meanwhile."""
    hangs, comes = facts.seen.idea(Hanging), idea is not None and idea.does is Next.KING_UP
    if not comes or leads is None or leads.does is not Next.CAPTURE or hangs is None or hangs.moved:
        return ""
    return man_name(hangs.men[0]) if hangs.squares == (leads.line[-1].to_square,) else ""


def mate_comes(line: list[str], facts: MoveFacts) -> Remark:
    """Say that mate comes by a line of two or three moves of the attacker."""
    return Remark(f"{STOP} {mate_after(line)}", counsel.little_room(facts) if len(line) > 1 else "")


def _in_turn(idea: EndsIn | Looms, facts: MoveFacts) -> Remark:
    """Say what comes first and then; what is taken where it has only just come is told with the way there."""
    first, reply, last = named(idea.line, facts)
    moved = _moved(idea)
    how = f"first {first}, {f'and if {reply}, ' if moved else 'then '}{last.rstrip('+')}"
    if idea.does is Next.PROMOTION:
        return promoted(how, facts)
    by_check = first.endswith("+") and not moved and idea.line[0].to_square == idea.line[-1].from_square
    return fallen(taken(idea), how, facts, by_check=by_check, later=True)


def _is_forced(idea: EndsIn | Looms, facts: MoveFacts) -> bool:
    contrast = facts.seen.contrast
    return contrast.is_forced(idea.does, len(idea.line))


def _moved(idea: EndsIn | Looms) -> bool:
    """Whether what is taken last has only just come there."""
    return idea.line[-2].to_square == idea.line[-1].to_square


def fallen(
    man: str, how: str, facts: MoveFacts, *, by_check: bool = False, later: bool = False, does: str = _CANNOT_SAVE
) -> Remark:
    """Say that a man cannot be saved, or is lost, and why."""
    lesson = counsel.of_lost_man(facts, by_check=by_check, later=later) or hit(facts)
    return Remark(f"{does} the {man}: {how}", lesson, fate=Fate.MAN_LOST, lost=man)


def taken_at_once(man: str, reply: str, facts: MoveFacts) -> Remark:
    """Say that a man is taken next: it cannot be saved, unless another move that lasts as long does so for now."""
    saved = facts.seen.contrast.saved_else and not facts.cost.moves_lost
    offered = facts.man.piece == man and parse_square(goal_of(reply)) == stands(facts) and not facts.cost.loose_before
    does = "gives up" if offered else "loses" if saved else _CANNOT_SAVE
    return fallen(man, f"{reply} takes it", facts, does=does)


def promoted(how: str, facts: MoveFacts) -> Remark:
    """Say that a pawn promotes, and how."""
    return Remark(f"{STOP} the pawn: {how}", counsel.in_front(facts), fate=Fate.PAWN_PROMOTED)


def forked(reply: object, man: int, facts: MoveFacts) -> Remark:
    """Say that a man falls to a fork: ``cannot save the rook: Qe6+ forks king and rook``."""
    name = facts.seen.name_after(reply)  # type: ignore[arg-type]
    return fallen(man_name(man), f"{name} forks king and {man_name(man)}", facts, by_check=True)


def pawn_comes(reply: str, facts: MoveFacts) -> Remark:
    """Say that the pawn comes on; where the king belongs is of no use to one that is too far from it."""
    lesson = "" if is_outside(parse_square(goal_of(reply)), facts) else counsel.in_front(facts)
    return Remark(f"{STOP} {pawn_on(reply, facts)}", lesson, fate=Fate.PAWN_PROMOTED)


def comes_at(was: int, now: int, reply: str, facts: MoveFacts) -> Remark:
    """Say what a step of the other king does to a man of this side, or for its pawn."""
    if not (does := at_man(was, now, facts)):
        return NOTHING
    kind, _ = near_man(now, facts) or ("", now)
    lesson = counsel.about_pawn(facts) if kind == "pawn" else hit(facts) if kind else counsel.in_front(facts)
    return Remark(f"{STOP} {reply}, which {does}", lesson)


def _cannot_stop(idea: Expects, facts: MoveFacts) -> Remark:
    """Say what the next move does, and that it comes; nothing where it does nothing that has a name."""
    reply, done, does = next_deed(idea, facts)
    if idea.does is Next.PROMOTION:
        return promoted(f"it promotes by {reply}", facts)
    if idea.man is not None:
        if facts.man.promoted and parse_square(goal_of(reply)) == stands(facts):
            return fallen("pawn", f"{reply} takes the new {facts.man.promoted}", facts)
        return taken_at_once(man_name(idea.man), reply, facts)
    if does and done is None:
        return pawn_comes(reply, facts)
    step = idea.reply.from_square, idea.reply.to_square
    if idea.does is Next.KING_UP and (at := comes_at(*step, reply, facts)):
        return at
    king = f"{side(other(facts.turn))}'s king"
    if done is Next.KING_UP:
        return _king_comes(king, reply, facts)
    if done is Next.OPPOSITION:
        if not facts.seen.contrast.one_reply:
            return _to_keys(king, reply, facts)  # another reply that is as quick takes none
        takes = f"{side(other(facts.turn))} takes the opposition, and {side(facts.turn)} must give way"
        return Remark(f"{STOP} {reply}: {takes}")
    return _less_room(done, idea.left, reply, does, facts) if done is not None else NOTHING


def _less_room(done: Next, left: Squares, reply: str, does: str, facts: MoveFacts) -> Remark:
    """Say how the king is left less room, and how it stands where the attacker needs his own to mate."""
    lesson, does = of_room(done, left, facts), _caged(done, left, does, facts)
    stop = Remark(f"{STOP} {reply}, which {does}", lesson)
    if not needs_king(facts):
        return stop
    if done in _TAKES_ROOM and from_edge(king_after(facts)):
        lesson = counsel.only_there(facts)
    return but(facts, Remark(f"{reply} {does}", lesson)) or stop


def of_room(done: Next, left: Squares, facts: MoveFacts) -> str:
    """Return what it teaches that a king is left less room; of squares on the edge alone that it is held there."""
    if done is Next.CUTS_OFF:
        by_pawn = facts.men.defender_men == ("pawn",) or "pawn" in facts.men.attacker_men
        return counsel.about_pawn(facts) if by_pawn else ""
    if done is Next.OPPOSITION:
        return counsel.OPPOSITION
    if done in CAGE and _is_held(left):
        return counsel.off_the_edge(facts)
    return counsel.out_of_corners(facts) if done in (*CAGE, Next.BOX) else ""


def _is_held(left: Squares) -> bool:
    """Whether a king that is shut in has squares on the edge alone."""
    return bool(left) and not any(map(from_edge, left))


def _caged(done: Next, left: Squares, does: str, facts: MoveFacts) -> str:
    """Say of a cage in what part of the board the king is left, where that has a name."""
    if done not in CAGE:
        return does
    king = f"{side(facts.turn)}'s king"
    at = parse_square(facts.room.king)
    part = shut_in(left, king, at) if left else ""
    verb, _, rest = part.partition(" ")
    if verb == "shut" and _is_held(left) and facts.seen.contrast.on_edge and not facts.seen.contrast.ways_off:
        return f"holds {rest.replace(' in on ', ' on ')}"  # it could not leave the edge before
    shuts = f"shuts {king} in" if done is Next.SHUTS else f"leaves {king} less room"
    if part and part == shut_in(facts.seen.contrast.room, king, at):
        return shuts  # in that part it was before
    return f"{verb}s {rest}" if verb in ("shut", "hold", "drive") else shuts


def _to_keys(king: str, reply: str, facts: MoveFacts) -> Remark:
    """Say that a pawn runs against a bare king, or of its king alone that it comes to a key square, or nearer."""
    men = facts.men.attacker_men
    if "pawn" not in men or facts.men.defender_men:
        return NOTHING
    minor = set(men) <= {"pawn", "bishop", "knight"}  # else mate may come before the pawn gets there
    pawns = rivals_pawns(facts)
    runs = len(men) > 1 and len(pawns) == 1 and is_outside(pawns[0], facts)
    if minor and (runs or (facts.race.steps_short or 0) > 0):
        lesson = counsel.out_of_square(facts, counsel.IN_THE_SQUARE)
        why = f"{side(facts.turn)}'s king is outside its square"
        return Remark(f"{STOP} the pawn: {why}", lesson, fate=Fate.PAWN_PROMOTED)
    text = to_keys(king, reply, facts) if men == ("pawn",) else ""
    fate = Fate.PAWN_PROMOTED if facts.keys.on_key_square else None
    return Remark(text, counsel.KEY_SQUARE, fate=fate) if text else NOTHING


def _king_comes(king: str, reply: str, facts: MoveFacts) -> Remark:
    """Say that the other king comes up, where to if that decides, and how this side stands."""
    if keys := _to_keys(king, reply, facts):
        return keys
    if reply[0] == "K" and not nearer(reply, facts):
        return NOTHING
    if hits := _hits(reply, facts):
        return hits
    if on := _pawn_step(facts):
        return pawn_comes(on, facts)
    closes, needed = _closes(reply, facts), counsel.needed(facts)
    if needed and not from_edge(king_after(facts)) and mated_within(facts, _NEAR_MATE):
        return Remark(f"cannot hold out long: {king} {closes}", needed, fate=Fate.KING_MATED)
    if needed and (takes := _takes(reply, facts)):
        return but(facts, Remark(f"{reply} {takes}", needed)) or Remark(f"is met by {reply}, which {takes}", needed)
    stop = Remark(f"cannot keep {king} {_kept_from(reply, facts)}", needed or counsel.about_pawn(facts))
    return but(facts, Remark(f"{king} {closes}", needed)) or stop


def _closes(reply: str, facts: MoveFacts) -> str:
    """Say on what the other king closes in: on the one pawn where it comes nearer to it, else on this side's king."""
    closes = {
        _Goal.PREY: "closes in on the pawn",
        _Goal.HELP: "comes to help its pawn",
        _Goal.KING: f"closes in on {side(facts.turn)}'s",
    }
    return f"{closes[_goal(reply, facts)]} by {reply}"


def _kept_from(reply: str, facts: MoveFacts) -> str:
    """Say what the other king cannot be kept from; see `_closes`."""
    what = {_Goal.PREY: "from the pawn", _Goal.HELP: "from helping its pawn", _Goal.KING: "away"}
    return f"{what[_goal(reply, facts)]}: {reply} comes nearer"


class _Goal(Enum):
    """What the other king comes nearer to: a pawn that it may take, or help, or this side's king."""

    PREY = auto()
    HELP = auto()
    KING = auto()


def _goal(reply: str, facts: MoveFacts) -> _Goal:
    own, theirs = own_men(facts, "pawn"), rivals_pawns(facts)
    if len(own) + len(theirs) == 1 and facts.man.piece != "pawn":
        (pawn,) = own or theirs
        if king_steps(parse_square(goal_of(reply)), pawn) < king_steps(rivals_square(facts), pawn):
            return _Goal.PREY if own else _Goal.HELP
    return _Goal.KING


def _takes(reply: str, facts: MoveFacts) -> str:
    """Say what squares a step of the other king takes from this one; nothing of a single one."""
    deed = facts.seen.reply_does(reply)
    if deed is None or deed.does is not Plain.TAKES or len(deed.squares) == 1:
        return ""
    return f"takes {squares(deed.squares)} from {side(facts.turn)}'s king"


def _hits(reply: str, facts: MoveFacts) -> Remark:
    """Say that the king attacks a man to no avail, which a step of the other king guards."""
    idea = facts.seen.idea(Counters) if reply[0] == "K" else None
    if idea is None or idea.does is not Does.SAVES or idea.man is None or facts.seen.name_after(idea.reply) != reply:
        return NOTHING
    return Remark(f"attacks the {man_name(idea.man)}, but {reply} guards it", place=Place.MERIT)


def _pawn_step(facts: MoveFacts) -> str:
    """Name the step of a pawn that the king cannot catch, where it is as quick as a step of its king."""
    pawns = rivals_pawns(facts)
    if facts.seen.idea(Critical) is not None or len(pawns) != 1:
        return ""
    on = square_name(pawns[0] + (-8 if facts.turn == "white" else 8))
    return on if on in facts.then.goals and is_outside(parse_square(on), facts) else ""


def _soon(leads: EndsIn | None) -> bool:
    """Whether something is won so soon that it tells more than the next move."""
    return leads is not None and 1 < len(leads.line) <= _TWO_MOVES and leads.does is not Next.PROMOTION


def comes(facts: MoveFacts) -> Remark:
    """Say what the attacker does next, where a move is shorter: ``White brings its king up by Kf6``."""
    idea, rival = facts.seen.idea(Expects), side(other(facts.turn))
    if idea is None or _soon(facts.seen.idea(EndsIn)):
        return NOTHING
    reply, done, does = next_deed(idea, facts)
    step = idea.reply.from_square, idea.reply.to_square
    if idea.does is Next.KING_UP and (at := at_man(*step, facts)):
        lesson = hit(facts) if near_man(idea.reply.to_square, facts) else counsel.in_front(facts)
        return Remark(f"{rival} {at} by {reply}", lesson)
    lesson = "" if done in (None, Next.CUTS_OFF, Next.TIGHTENS) else of_room(done, (), facts)
    return Remark(f"{rival} {does} by {reply}", lesson) if does else NOTHING


def looms(idea: Looms, facts: MoveFacts) -> Remark:
    """Say what the attacker does with the move after next, with the moves to it."""
    first, reply, last = named(idea.line, facts)
    way = f"after {first} {reply} comes {last}"
    if idea.does in (Next.CAPTURE, Next.PROMOTION) and not _is_forced(idea, facts):
        return NOTHING
    if idea.does is Next.PROMOTION or idea.man is not None:
        return _in_turn(idea, facts)
    done, does = deed(idea.does, idea.man, last, facts)
    if last[0] == "K" or last[0].islower() or done is None:
        return NOTHING
    if idea.does is Next.SHUTS:
        return Remark(f"cannot avoid the cage: {way}")
    tighter = done is Next.TIGHTENS
    lesson = counsel.fewer(facts) if tighter else of_room(done, (), facts)
    whose = f" round {side(facts.turn)}'s king" if tighter else ""
    return Remark(f"does not stop the mate: {way}, which {does}{whose}", lesson)
