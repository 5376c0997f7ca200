"""What a good move of the attacker threatens, and what it prepares."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import king_steps
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import leads, maxims, room_left
from matebot.wording.said import (
    by_minors,
    goal_of,
    mated_within,
    of,
    own_king,
    own_man,
    own_others,
    parse_square,
    pawn_runs,
    promotion_square,
    rival_king,
    rivals_square,
    stands,
    stood,
)

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
}
#: What is told of the move that comes next, where it is about the king's room.
ROOM = {
    Next.SHUTS: "shuts the cage",
    Next.TIGHTENS: "tightens the cage",
    Next.OPPOSITION: "takes the opposition",
    Next.SHRINKS: "shrinks the box",
    Next.CUTS_OFF: "cuts the king off",
    Next.BOX: "makes a box",
    Next.KING_UP: "brings the king up",
}
#: What it teaches.
_ROOM_MAXIMS = {
    Next.SHUTS: maxims.TAKE_SQUARES,
    Next.TIGHTENS: maxims.TAKE_SQUARES,
    Next.OPPOSITION: maxims.OPPOSED_BAR,
    Next.SHRINKS: maxims.LINE_BY_LINE,
    Next.CUTS_OFF: maxims.CUT_OFF,
    Next.BOX: maxims.LINE_BY_LINE,
    Next.KING_UP: "",
}
_PAWN = 1
#: The same of a king that may be taken for one's own.
_NEXT_DOES = {
    Next.SHUTS: "shuts {it} in",
    Next.TIGHTENS: "makes the cage smaller",
    Next.OPPOSITION: "takes the opposition",
    Next.SHRINKS: "makes the box smaller",
    Next.CUTS_OFF: "cuts {it} off",
    Next.BOX: "shuts {it} in a box",
    Next.KING_UP: "brings the king up",
}
#: A reply and what comes after it.
_PAIR = 2
#: So few squares left are named.
_FEW = 3
#: So many moves from mate a man need not be won first.
_NEAR_MATE = 6
#: So many where a second man comes to attack it: that is what the move is for.
_VERY_NEAR = 4
#: From so few squares a king seldom gets round the opposition.
_FEW_WAYS = 4
_STRONG = (Next.MATE, Next.PROMOTION, Next.CAPTURE, Next.W_READY, Next.W_STEP, Next.SHUTS)


def prepares_much(idea: Prepares, facts: MoveFacts) -> str:
    """Say what is prepared where that says enough by itself."""
    return prepares_shown(idea, facts) if idea.does in _STRONG else ""


def _shuts_off(facts: MoveFacts) -> bool:
    """Whether the last way of the king to its man is shut, which is told."""
    way = facts.seen.idea(ShutsWay)
    return way is not None and way.last and way.aim is Aim.OWN_MAN and room_left.tells(way, facts)


def wins_man(idea: Prepares, facts: MoveFacts) -> str:
    """Say that a man is won with the next move."""
    return prepares(idea, facts) if idea.does is Next.CAPTURE else ""


def wins_by_check(idea: Prepares, facts: MoveFacts) -> str:
    """Say that a check wins a man: it forks, or the man stands behind the king."""
    return prepares(idea, facts) if idea.sure and (idea.forks or idea.skewers) else ""


def prepares(idea: Prepares, facts: MoveFacts) -> str:
    """Say what is prepared: the reply that lasts longest, and what comes then."""
    reply = facts.seen.name_after(idea.reply)
    move = facts.seen.name_after(idea.reply, idea.move)
    if idea.does is Next.CUTS_OFF and (move.startswith("K") or facts.men.defender_men):
        return ""  # A step of the king only comes to the other side of a line that stood before.
    if facts.race.runs_alone:
        return ""  # What matters is the pawn.
    beside = king_steps(idea.reply.to_square, idea.move.to_square) == 1 and reply.startswith("K")
    if idea.does is Next.PROMOTION and beside and not facts.seen.attacked(idea.move.to_square):
        return ""  # The king may take what is made.
    if idea.does is Next.OPPOSITION and by_minors(facts) and len(facts.room.flights) > _FEW_WAYS:
        return ""  # What mates there is the cage, and from many squares the king goes round the opposition.
    blow = "forks" if idea.forks else "skewers" if idea.skewers else ""
    hit = idea.man if idea.sure else None  # What can be put between, or guarded in time, is not won.
    what = f"{blow} king and {man_name(hit)}" if blow and hit is not None else _NEXT.get(idea.does)
    if what is None and idea.does is not Next.KING_UP:
        assert idea.man is not None  # who takes or promotes has one
        kind = man_name(idea.man)
        goes_on = "goes on" if facts.man.piece == "pawn" else "lets the pawn go on"
        goes_on = "steps out of the check, and the pawn goes on" if facts.seen.answers_check else goes_on
        what = f"{goes_on} to make a {kind}" if idea.does is Next.PROMOTION else _wins(kind, idea)
        if idea.reply.promotion and idea.reply.to_square == idea.move.to_square:
            what = "stops the pawn"
        elif idea.does is Next.CAPTURE and "x" in reply and idea.reply.to_square == idea.move.to_square:
            what = _takes_back(idea.reply.to_square, kind, facts)
        elif kind == "pawn" and is_behind(idea.move.to_square, facts):
            what = "goes behind the pawn"
        elif not idea.sure:
            threat = facts.seen.idea(Threatens)
            hits = threat is not None and threat.threat is Threat.CAPTURE and threat.man == idea.man
            if not hits and idea.move.from_square != stands(facts):
                return ""  # Another man takes it, perhaps without this move.
            if kind == "pawn" and not hits and _shuts_off(facts):
                return ""  # That its king cannot come to it is what loses the pawn.
            what = _goes_for(idea, kind, hits, facts)
    lead = _lead(idea, facts) if idea.does in ROOM else ""
    if idea.does is Next.KING_UP and facts.man.piece == "king":
        return lead  # the king's step is no reason for itself
    if idea.does is Next.KING_UP and not lead:
        return ""  # That it may come up next does not show what this move is for.
    if lead:
        up = lead == leads.comes_up(facts)
        it = rival_king(facts) if up else "the king"
        # That the king goes to the only square left, or is driven there, need not be told.
        known = (
            idea.forced and reply.startswith("K") and (facts.gives.check or lead.endswith(f" only {goal_of(reply)}"))
        )
        after = "then" if known else f"{reply} is forced, and" if idea.forced else f"if {reply},"
        guards = _guards_hit(idea, facts)
        return f"{lead}{' to help' if up else ''}: {after} {move} {guards}{_NEXT_DOES[idea.does].format(it=it)}"
    if what is not None and what.startswith("wins the ") and not idea.fastest and not idea.forced:
        return what  # the line would take longer than what is told to mate
    return f"{what}: {f'after the forced {reply} comes {move}' if idea.forced else f'if {reply}, {move}'}"


def _guards_hit(idea: Prepares, facts: MoveFacts) -> str:
    """Say that the answer is a step of the king that guards a man which the reply, a king's step, attacks."""
    goal, king = idea.move.to_square, own_king(facts)
    steps = idea.reply.from_square == rivals_square(facts) and idea.move.from_square in (king, stands(facts))
    moves_king = facts.man.piece == "king" or idea.move.from_square == king
    if not steps or not moves_king or own_man(facts, idea.move.from_square) not in ("king", ""):
        return ""
    for square in own_others(facts):
        at = stands(facts) if square == stood(facts) else square
        near = king_steps(idea.reply.to_square, at) == king_steps(goal, at) == 1
        if near and not facts.seen.attacked(at):
            return f"guards the {own_man(facts, square)} and "
    return ""


def is_only_next(idea: Prepares, facts: MoveFacts) -> bool:
    """Whether nothing is told of the move itself, but what comes after the reply."""
    return idea.does not in ROOM or not _lead(idea, facts)


def _lead(idea: Prepares, facts: MoveFacts) -> str:
    """Say what a move itself does to the room of the king."""
    hits = _hits(idea.reply.from_square, facts)
    return leads.driven(facts) or leads.taken(facts) or hits or leads.comes_up(facts)


def prepares_shown(idea: Prepares, facts: MoveFacts) -> str:
    """Say what is prepared; a cage that comes next hardly tells what a king or pawn is for that takes no room."""
    caged = idea.does in (Next.SHUTS, Next.TIGHTENS) and facts.man.piece in ("king", "pawn") and not by_minors(facts)
    return "" if caged and not _lead(idea, facts) else prepares(idea, facts)


def _hits(man: int, facts: MoveFacts) -> str:
    """Say that a man is attacked, where it is the one that moves."""
    idea = facts.seen.idea(Threatens)
    return attacks(idea, facts) if idea is not None and idea.square == man else ""


def _wins(kind: str, idea: Prepares) -> str:
    return f"wins the {kind}, or mates" if idea.or_mate else f"wins the {kind}"


def leads_to(idea: LeadsTo, facts: MoveFacts) -> str:
    """Say what a move leads to in a few moves: the first two moves of the line and the last."""
    reply, answer, last = (facts.seen.name_after(*idea.line[:end]) for end in (1, 2, len(idea.line)))
    if idea.does is not Next.CAPTURE:
        last = last.rstrip("+")  # whether it will be check hangs on the replies
    # Another reply may hold a pawn up.
    follows = "then" if len(idea.line) == 2 * _PAIR and idea.does is not Next.PROMOTION else "and soon"
    soon = "" if len(idea.line) == _PAIR else f", {follows} {last}"
    if idea.does is Next.MATE:
        soon = "" if len(idea.line) == _PAIR else " and mate next" if len(idea.line) == 2 * _PAIR else " and mate soon"
    towards = _towards(idea, facts)
    won = f" wins the {man_name(idea.man)}" if idea.man and idea.does is Next.CAPTURE and soon else ""
    return f"{towards}: if {reply}, {answer}{soon}{won}" if towards else ""


def hunts(facts: MoveFacts) -> bool:
    """Whether a queen checks where there is a rook to be hunted."""
    return facts.men.attacker_men == ("queen",) and facts.men.defender_men == ("rook",) and facts.gives.check


def _finds_fork(idea: LeadsTo, facts: MoveFacts) -> bool:
    """Whether checks lead to one after which the queen that gave it takes the rook."""
    if not hunts(facts) or idea.does is not Next.CAPTURE or len(idea.line) == _PAIR:
        return False
    check, capture = idea.line[-3], idea.line[-1]
    return check.to_square == capture.from_square and facts.seen.name_after(*idea.line[:-2]).endswith("+")


def _towards(idea: LeadsTo, facts: MoveFacts) -> str:
    """Say what a move does that leads to something."""
    if _finds_fork(idea, facts):
        return "looks for a fork"
    lead = leads.pawn_on(facts).partition(": ")[0] or leads.driven(facts)
    if idea.does is not Next.PROMOTION:
        lead = lead or leads.taken(facts) or leads.comes_up(facts)
    if not lead and idea.does is Next.CAPTURE:
        assert idea.man is not None
        if _taker(idea) != stands(facts):
            return ""  # Another man takes it, perhaps without this move.
        return _goes_for(idea, man_name(idea.man), False, facts)
    if idea.does is Next.PROMOTION and facts.seen.idea(Saved) is not None:
        return lead  # The man is saved; the pawn goes on by itself.
    if idea.does is Next.PROMOTION and pawn_runs(facts):
        held = leads.taken(facts)  # The pawn needs no help.
        return f"{held}, while the pawn runs by itself" if held else ""
    cage = facts.seen.idea(Cage)
    net = "keeps the cage shut" if cage is not None and cage.change is CageChange.HOLDS and cage.same else "forces mate"
    return lead or ("helps the pawn on" if idea.does is Next.PROMOTION else net)


def _goes_for(idea: Prepares | LeadsTo, kind: str, hits: bool, facts: MoveFacts) -> str:
    """Say how a man is gone for: it is attacked, or may not go on, or is hunted only."""
    replies, capture = (idea.line[:-1:2], idea.line[-1]) if isinstance(idea, LeadsTo) else ((idea.reply,), idea.move)
    stepped = any(reply.to_square == capture.to_square for reply in replies)  # it comes to where it is taken
    if kind == "pawn" and replies[0].to_square == capture.to_square and facts.seen.comes_to_guard(capture.to_square):
        return "bars the pawn's way"
    attacked = facts.seen.attacked_already(capture.to_square)
    in_vain = facts.man.piece == "king" and not attacked and king_steps(rivals_square(facts), capture.to_square) == 1
    hits = hits or (not stepped and facts.seen.comes_to_guard(capture.to_square) and not in_vain)
    again = " a second time" if hits and not stepped and attacked else ""
    return f"{'attacks' if hits else 'is after'} the {kind}{again}"


def _taker(idea: LeadsTo) -> int:
    """Return where the man stands, before the first reply, that makes the last move."""
    at = idea.line[-1].from_square
    for move in reversed(idea.line[1:-1:2]):
        at = move.from_square if move.to_square == at else at
    return at


def _maxim(idea: Prepares, facts: MoveFacts) -> str:
    if idea.does not in ROOM:
        return maxims.forks(facts) or _prey_maxim(idea, facts)
    general = lead_maxim(facts) or _ROOM_MAXIMS[idea.does]
    # A rook that checks shuts nothing yet.
    return maxims.TAKE_SQUARES if general == maxims.LINE_BY_LINE and facts.gives.check else general


def _prey_maxim(idea: Prepares, facts: MoveFacts) -> str:
    """Say what it teaches that a man is gone for which may still get away."""
    if idea.does is not Next.CAPTURE:
        return ""
    stepped, hits = idea.reply.to_square == idea.move.to_square, facts.seen.idea(Threatens)
    if idea.man == _PAWN and stepped and facts.seen.comes_to_guard(idea.move.to_square):
        return maxims.BAR_IT
    return maxims.LOOSE_TARGET if hits is not None and hits.threat is Threat.CAPTURE else ""


#: What a move teaches that prepares another.
maxim: maxims.Maxim = of(Prepares, _maxim)


def lead_maxim(facts: MoveFacts) -> str:
    """Say what a lead teaches."""
    leads_on = facts.seen.idea(LeadsTo)
    if leads_on is not None and _finds_fork(leads_on, facts):
        return maxims.SEE_FORKS
    if leads_on is not None and leads_on.does is Next.PROMOTION:
        return maxims.TOGETHER if leads.comes_up(facts) else ""
    if leads.driven(facts):
        return maxims.CHECK_INTO_NET
    if leads.comes_up(facts):
        return maxims.king_up(facts) or maxims.ATTACK_TOGETHER
    if leads.taken(facts):
        return room_maxim(facts)
    if leads_on is not None and leads_on.does is Next.CAPTURE:
        return maxims.last_man(facts)
    cage = facts.seen.idea(Cage)
    if cage is not None and cage.change is CageChange.HOLDS and cage.same:
        return maxims.KING_TAKES if facts.man.piece == "king" else maxims.SQUARES_FIRST
    trap = facts.seen.idea(StalemateTrap)
    return maxims.LEAVE_A_MOVE if trap is not None and trap.deed is StalemateDeed.AVOIDS else ""


def room_maxim(facts: MoveFacts) -> str:
    """Say what it teaches that squares are taken: few are left, a check drives, a way is guarded, or room is taken."""
    way = facts.seen.idea(ShutsWay)
    if len(facts.room.flights) <= _FEW:
        return maxims.TAKE_SQUARES
    if facts.gives.check:
        return maxims.CHECK_INTO_NET
    if way is not None and room_left.tells(way, facts):
        return maxims.WHERE_IT_WANTS
    return maxims.ROOM_FIRST


def _met(facts: MoveFacts) -> bool:
    """Whether the best reply stops the pawn that moved: by a man, or by a king beside where it promotes."""
    reply, last = "".join(facts.then.ahead[:1]), promotion_square(stands(facts), facts.turn)
    return facts.then.stops_pawn or (reply[:1] == "K" and king_steps(parse_square(goal_of(reply)), last) <= 1)


def _threat_maxim(idea: Threatens, facts: MoveFacts) -> str:
    if idea.threat is Threat.PROMOTION:
        return maxims.MEET_IT if _met(facts) else maxims.RUN_FIRST
    if idea.threat is Threat.MATE:
        return maxims.NO_TIME
    falls = facts.seen.idea(Prepares)
    if idea.again:
        return maxims.ONCE_MORE
    sure = falls is not None and falls.does is Next.CAPTURE and falls.sure and not falls.or_mate
    return maxims.last_man(facts) if sure else maxims.LOOSE_TARGET


#: Why a man is attacked, or mate or a promotion threatened.
threat_maxim: maxims.Maxim = of(Threatens, _threat_maxim)


def _takes_back(square: int, kind: str, facts: MoveFacts) -> str:
    """Say what it means that a man is taken after it has taken."""
    if square != stands(facts):
        return f"lets the {kind} take only at its own cost"
    return f"offers to exchange {kind}s" if facts.man.piece == kind else f"offers the {facts.man.piece} for the {kind}"


def is_behind(pawn: int, facts: MoveFacts) -> bool:
    """Whether a rook has come to the file of the defender's pawn, the pawn before it on its way."""
    rook = stands(facts)
    behind = rook > pawn if facts.turn == "white" else rook < pawn
    return facts.man.piece == "rook" and rook % 8 == pawn % 8 and behind


def _mates_first(facts: MoveFacts) -> bool:
    """Whether mate is so near that the man attacked is not even taken next."""
    idea = facts.seen.idea(Threatens)
    soon = _VERY_NEAR if idea is not None and idea.again else _NEAR_MATE
    near = mated_within(facts, soon)
    return near and not (len(facts.then.ahead) == _PAIR and "x" in facts.then.ahead[1])


def attacks(idea: Threatens, facts: MoveFacts) -> str:
    """Say which man is attacked."""
    return threatens(idea, facts) if idea.threat is Threat.CAPTURE else ""


def threatens(idea: Threatens, facts: MoveFacts) -> str:
    """Say what is threatened."""
    move = facts.seen.name_after(idea.move)
    if idea.threat is Threat.CAPTURE:
        if _mates_first(facts):
            return ""
        again = " a second time" if idea.again else ""
        return f"attacks the {man_name(idea.man)} on {square_name(idea.square)}{again}"
    if idea.threat is Threat.MATE:
        return f"threatens mate by {move}"
    move = move.rstrip("+#")  # Where the other king stands then is not known yet.
    if facts.man.piece != "pawn":
        return f"{'steps out of the check and ' if facts.seen.answers_check else ''}threatens to promote by {move}"
    if idea.sure and len(facts.men.defender_men) == 1:
        return f"gets the pawn past the {facts.men.defender_men[0]}: it can no longer stop {move}"
    return f"threatens to promote by {move}"
