"""What a defence keeps from the attacker, what a shorter one lets in, and what comes next."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.expects import Expects
from matebot.ideas.idea import man_name
from matebot.ideas.must_first import MustFirst
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge
from matebot.wording.phrases import counted, other, side
from matebot.wording.said import needs_king, parse_square

#: Squares of the board: where there is no box.
_ALL = 64
#: What the next move does, said alike of an attacker's answer and of the way back after a slip.
MEANS = {
    Next.W_READY: "makes the W ready",
    Next.W_STEP: "goes on with the W",
    Next.SHUTS: "shuts the cage",
    Next.TIGHTENS: "tightens the cage",
    Next.OPPOSITION: "takes the opposition",
    Next.SHRINKS: "shrinks the box",
    Next.CUTS_OFF: "cuts the king off",
}
_DEEDS = {**MEANS, Next.BOX: "shuts the king in a box", Next.KING_UP: "brings the king up"}


#: What is done to a bare king.
_BARE_KING = (Next.OPPOSITION, Next.SHUTS, Next.TIGHTENS)


def denied(idea: Denies, facts: MoveFacts) -> str:
    """Say what another move would let in: ``Kd3 lets Ra4 drive the king to the edge``; nothing where it says little."""
    name, answer = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.answer)
    here = parse_square(facts.move[:2] if facts.man.piece == "king" else facts.room.king)
    start = idea.other.to_square if name.startswith("K") else here
    text = _let_in(idea.what, answer, start, facts, idea.man, idea.number)
    keeps = f"; now it keeps {idea.at_least}" if idea.what in (Denied.ROOM, Denied.BOX) and idea.at_least < _ALL else ""
    return f"{name} {text}{keeps}" if text else ""


def conceded(idea: Concedes, facts: MoveFacts) -> str:
    """Say what a move lets in that the best one would not: ``lets Ra4 drive the king to the edge``."""
    assert facts.seen.move is not None
    answer, goal = facts.seen.name(facts.seen.move, idea.answer), parse_square(facts.room.king)
    return _let_in(idea.what, answer, goal, facts, idea.man, idea.number)


def _let_in(what: Denied, answer: str, goal: int, facts: MoveFacts, man: int | None, number: int) -> str:
    if man is not None:
        kind = man_name(man)
        return f"loses the {kind} to {answer}" if what is Denied.CAPTURE else f"allows the {what.value} {answer}"
    if what is Denied.PROMOTION:
        return f"lets the pawn promote with check, {answer}"
    if "pawn" in facts.men.attacker_men:
        return ""
    alone = mating(facts) if needs_king(facts) else ""
    if what is Denied.KING:
        up = f"lets {side(other(facts.turn))}'s king up by {answer}"
        return f"{up}, and {alone} cannot mate without it" if alone else up
    if what is Denied.EDGE:
        does = "drive the king to" if from_edge(goal) else "hold the king on"
        return f"lets {answer} {does} the edge{f', where {alone} can mate' if alone else ''}"
    if what is Denied.BOX:
        return f"lets {answer} shut the king in a box of {counted(number, 'square')}"
    return f"lets {answer} cut the king down to {counted(number, 'square')}"


def mating(facts: MoveFacts) -> str:
    """Name the attacker's men: ``a rook``, ``two bishops``."""
    first, *more = facts.men.attacker_men
    if not more:
        return f"a {first}"
    return "two bishops" if "knight" not in facts.men.attacker_men else "bishop and knight"


def cannot_stop(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next all the same: ``cannot stop Kf6, which brings the king up``."""
    reply, does = _next(idea, facts)
    return f"cannot stop {reply}{f', which {does}' if does else ''}"


def comes_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next: ``next Kf6 brings the king up``."""
    reply, does = _next(idea, facts)
    return f"next {reply} {does}" if does else f"next comes {reply}"


def _next(idea: Expects, facts: MoveFacts) -> tuple[str, str]:
    assert facts.seen.move is not None
    reply = facts.seen.name(facts.seen.move, idea.reply)
    if idea.does is Next.MATE:
        return reply, ""
    if idea.man is not None:
        return reply, f"takes the {man_name(idea.man)}" if idea.does is Next.CAPTURE else ""
    if idea.does in _BARE_KING and facts.men.defender_men:
        return reply, ""  # what matters there is the man
    return reply, "brings the pawn on" if idea.does is None else _DEEDS[idea.does]


def must_first(idea: MustFirst, facts: MoveFacts) -> str:
    """Say what the attacker has to do before he gets on: ``White must first bring the king up by Kf6``."""
    assert facts.seen.move is not None
    reply, does = _next(idea, facts)
    does = "promotes" if idea.does is Next.PROMOTION else does
    if not does:
        return ""
    verb, _, rest = does.partition(" ")
    return f"{side(other(facts.turn))} must first {_BARE.get(verb, verb[:-1])}{f' {rest}' if rest else ''} by {reply}"


#: Forms without the person's ending that are not made by leaving out the last letter.
_BARE = {"goes": "go"}
