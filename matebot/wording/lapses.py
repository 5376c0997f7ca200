"""What a slip lets in that the better move keeps out, by the replies to both."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cuts_from_pawn import CutsFromPawn
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.shuts_way import Aim
from matebot.ideas.squares import from_edge, king_steps
from matebot.terms import Mistake
from matebot.wording import room_left
from matebot.wording.phrases import line_name
from matebot.wording.said import (
    defender,
    goal_of,
    own_king,
    own_men,
    parse_square,
    rival_king,
    rivals_men,
    stands,
    stood,
)

_FEW = 3
#: So near a king comes to a man with one step.
_BESIDE = 2

#: What a move broke; the facts of the better one beside.
Rule = Callable[[MoveFacts, MoveFacts], str]


def best_ones(facts: MoveFacts) -> list[MoveFacts]:
    """Return the facts of the moves instead that are as good as the best."""
    return [other for other in facts.held_against if other.move in facts.reproach.as_good_as_best]


def told_from(rule: Rule, facts: MoveFacts, others: Iterable[MoveFacts]) -> bool:
    """Whether a rule has something to say of a move beside each of some others."""
    return all(rule(facts, other) for other in others)


def led(aim: Aim | None, target: int | None, facts: MoveFacts, start: int) -> str:
    """Say where a step of the defending king from a square leads: ``gets off the edge``; nothing without."""
    mine, theirs = facts.men.attacker_men, facts.men.defender_men
    if aim is None:
        return ""
    if aim is Aim.CENTRE:
        if "pawn" in theirs or ("pawn" in mine and not {"rook", "queen"} & set(mine)):
            return ""  # what matters there is the pawn
        return "gets back to the centre" if from_edge(start) else "gets off the edge"
    assert target is not None
    if aim is Aim.OWN_MAN:
        if _falls(target, facts):
            return ""
        man = theirs[0] if theirs else "man"  # none is counted where neither side is the attacker
        # Far from its man it does not come to it yet.
        return f"comes {_so_near(start, target)} its {man}" if king_steps(start, target) <= _FEW else ""
    guard = stands(facts) if facts.man.piece == "king" else own_king(facts)
    if aim is Aim.PAWN and (king_steps(guard, target) <= 1 or _promotes_before(start, target, facts)):
        return ""  # its king guards it, or it is gone
    return {
        Aim.PAWN: f"heads for the pawn on {square_name(target)}",
        Aim.WRONG_CORNER: f"heads for the wrong corner {square_name(target)}",
        Aim.OUT_OF_CORNER: f"gets {'out of' if start == target else 'away from'} the corner {square_name(target)}",
    }[aim]


def _promotes_before(king: int, pawn: int, facts: MoveFacts) -> bool:
    """Whether a pawn on its last rank but one promotes before a king comes near."""
    return pawn // 8 == (6 if facts.turn == "white" else 1) and king_steps(king, pawn) > _FEW


def _so_near(start: int, target: int) -> str:
    """Return whether a king's step towards its man comes to stand beside it."""
    return "to" if king_steps(start, target) <= _BESIDE else "nearer to"


def blamed(lapse: Lapse, text: Callable[[Blame, MoveFacts, MoveFacts], str]) -> Rule:
    """Return a rule from one for what is blamed: nothing where that is another lapse."""

    def rule(facts: MoveFacts, better: MoveFacts) -> str:
        blame = facts.seen.blame
        if blame is None or blame.lapse is not lapse or better.move not in blame.told_from:
            return ""
        return text(blame, facts, better)

    return rule


def _falls(man: int, facts: MoveFacts) -> bool:
    """Whether a man is taken after the best reply: then it is no harm that its king comes nearer to it."""
    taken = facts.then.ahead[1:]
    return any("x" in move and parse_square(goal_of(move)) == man for move in taken)


def all_inwards(facts: MoveFacts) -> bool:
    """Whether every reply that is new is a step of the king away from the edge: else the way in is one of several."""
    return all(from_edge(parse_square(move[2:])) > from_edge(parse_square(move)) for move in facts.reproach.new_replies)


def _step(blame: Blame, facts: MoveFacts) -> str:
    """Return the reply and where it leads: ``Kd2 gets off the edge``."""
    leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
    return f"{blame.reply} {leads or 'gets out'}"


def in_reach(man: str, attack: str, facts: MoveFacts) -> str:
    """Say that a man came within reach of the other king, or stays there, and what attacks it."""
    near = king_steps(parse_square(facts.room.king), stood(facts)) == 1
    return f"{'leaves' if near else 'puts'} {man} within reach of {rival_king(facts)}: {attack}"


def attacked(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man is attacked after a move, and where the step that attacks it leads."""
    blame = facts.seen.blame
    if blame is None or not blame.attacks or better.move not in blame.told_from:
        return ""
    aim = None if blame.target == blame.square else blame.leads
    leads = led(aim, blame.target, facts, parse_square(facts.room.king))
    attack = f"{blame.reply} attacks it" + (f" and {leads}" if leads else "")
    man = f"the {man_name(blame.man)}"
    return {
        Lapse.GUARD_TAKEN: f"takes the guard from {man} on {square_name(blame.square)}: {attack}",
        Lapse.IN_REACH: in_reach(man, attack, facts),
    }.get(blame.lapse, f"leaves {man} on {square_name(blame.square)} loose: {attack}")


def let_go(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    """Say which line or square the man that moved held and holds no more."""
    leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
    if blame.line:
        return f"takes the {man_name(blame.man)} off {line_name(blame.line)}: {blame.reply} {leads}" if leads else ""
    cage = facts.seen.idea(Cage)
    if not leads and (cage is None or cage.change is not CageChange.OPENS):
        return ""  # the king was not shut in
    return f"leaves {square_name(blame.square)} unguarded: {_step(blame, facts)}"


def left_open(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    """Say which way of the king a move leaves open."""
    king = parse_square(facts.room.king)
    if blame.leads is None or not led(blame.leads, blame.target, facts, king):
        return ""
    if blame.leads is Aim.CENTRE and better.seen.idea(CutsFromPawn) is not None:
        return ""  # the king is to be kept from the pawn
    way = room_left.way(blame.leads, blame.target, facts)
    if blame.target is not None and blame.leads is Aim.WRONG_CORNER:
        into = "into" if blame.square == blame.target else "towards"
        way = f"{into} the wrong corner {square_name(blame.target)}"
    elif blame.target is not None and blame.leads is Aim.OWN_MAN and (near := _so_near(king, blame.target)) != "to":
        way = f"come {near} {way.removeprefix('to ')}"
    way = f"get {way}" if way.startswith(("away", "to ")) else way
    if blame.leads is Aim.PAWN and blame.target is not None and _before(blame.square, blame.target, facts):
        way = f"get in front of the pawn on {square_name(blame.target)}"
    return f"lets {rival_king(facts)} {way}: {blame.reply}" if way else ""


def _before(square: int, pawn: int, facts: MoveFacts) -> bool:
    """Whether a square lies on the way of a pawn of the side that moved."""
    return square % 8 == pawn % 8 and (square > pawn) == (facts.turn == "white")


def is_new(reply: str, facts: MoveFacts) -> bool:
    """Whether a reply goes where no best reply goes after the best moves."""
    return any(parse_square(move[2:]) == parse_square(goal_of(reply)) for move in facts.reproach.new_replies)


def gives_time(facts: MoveFacts) -> str:
    """Say for which reply a move gives time, where the best ones leave none by a check and no move as bad does."""
    rule, best = blamed(Lapse.TIME, _time), best_ones(facts)
    if not best or any(other.gives.check for other in facts.no_better) or not told_from(rule, facts, best):
        return ""
    return rule(facts, best[0])


def _square_open(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    return f"lets {rival_king(facts)} come to {square_name(blame.square)}"


def square_open(facts: MoveFacts) -> str:
    """Say to which square the king comes that every one of the best moves shuts; nothing without."""
    blame, king = facts.seen.blame, from_edge(parse_square(facts.room.king))
    if blame is None or from_edge(blame.square) < max(1, king):
        return ""  # there the king is wanted
    rule, best = blamed(Lapse.LEFT_OPEN, _square_open), best_ones(facts)
    return rule(facts, best[0]) if best and told_from(rule, facts, best) else ""


def unguarded(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man has lost its guard, and that the king goes for it."""
    man = f"the {man_name(blame.man)} on {square_name(blame.square)}"
    return f"takes the guard from {man}: {blame.reply} goes for it"


def hit(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man is hit."""
    return f"allows {blame.reply}, which hits the {man_name(blame.man)}"


def man_out(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man of the other side gets away."""
    alone = len(facts.reproach.new_replies) == 1 and facts.then.ahead[:1] == (blame.reply,)
    if not alone:
        return ""  # other replies are as good
    if facts.then.stops_pawn:
        return f"lets the {man_name(blame.man)} stop the pawn: {blame.reply}"
    if man_name(blame.man) == "bishop" and not any(map(facts.seen.attacked, rivals_men(facts))):
        return ""  # it moves as it likes
    return f"lets the {man_name(blame.man)} escape by {blame.reply}"


def replied(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which man the best reply hits, or that it brings a pawn on, where that comes of this move alone.

    Nothing where another move of the man comes to no more without that, or where what is blamed says more.
    """
    blame, gains = facts.seen.blame, facts.given.gains
    if not facts.given.gains_now or facts.gives.check:
        return ""
    if blame is not None and (blame.attacks or blame.lapse in (Lapse.UNGUARDED, Lapse.HIT)):
        return ""
    saves = facts.cost.mistake is Mistake.OUTCOME and facts.then.only_holder
    if not saves and not facts.given.alike:
        return ""
    reply = facts.then.ahead[0]
    if facts.given.hit is not None and is_new(reply, facts):
        return f"allows {reply}, which {'attacks' if reply[0] == 'K' else 'hits'} the {facts.given.hit}"
    return f"lets the pawn go on by {reply}" if gains is Gain.PUSH and facts.cost.mistake is not Mistake.OUTCOME else ""


def _time(blame: Blame, facts: MoveFacts, better: MoveFacts) -> str:
    return f"gives {defender(facts)} time for {blame.reply}"


def before_pawn(facts: MoveFacts, goal: int) -> bool:
    """Whether a man, no pawn, stands where a pawn should have gone, or the king there or farther on its way."""
    there = stands(facts)
    before = facts.man.piece == "king" and there % 8 == goal % 8 and (there > goal) == (facts.turn == "white")
    return facts.man.piece != "pawn" and (there == goal or before)


def in_way(facts: MoveFacts) -> str:
    """Say that a man stands before its own pawn, and that the other king goes for the pawn meanwhile, if it does."""
    if facts.man.piece == "king":
        return "stands in its pawn's way"  # it guards the pawn
    reply = at_pawn(facts)
    return f"stands in the pawn's way{f', and {reply} goes for it' if reply else ''}"


def at_pawn(facts: MoveFacts) -> str:
    """Return the best reply by which the king comes to stand beside the only pawn, which nobody guards; "" without."""
    pawns, reply = own_men(facts, "pawn"), "".join(facts.then.ahead[:1])
    if len(pawns) != 1 or reply[:1] != "K" or "x" in reply or facts.seen.attacked(pawns[0]):
        return ""
    was, now = (king_steps(parse_square(at), pawns[0]) for at in (facts.room.king, goal_of(reply)))
    return reply if now == 1 < was else ""
