"""What a defence keeps from the attacker, what a shorter one lets in, and what comes next."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.expects import Expects
from matebot.ideas.idea import Squares, man_name, square_name
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.must_first import MustFirst
from matebot.ideas.prepares import Next
from matebot.ideas.squares import CORNERS, from_edge, king_steps
from matebot.wording.phrases import counted, other, side
from matebot.wording.said import needs_king, parse_square

_FILES = "abcdefgh"
#: So far from a corner squares are by it.
_BY_CORNER = 3
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
    text = _let_in(idea, answer, start, facts)
    return f"{name} {text}" if text else ""


def conceded(idea: Concedes, facts: MoveFacts) -> str:
    """Say what a move lets in that the best one would not: ``lets Ra4 drive the king to the edge``."""
    assert facts.seen.move is not None
    answer, goal = facts.seen.name(facts.seen.move, idea.answer), parse_square(facts.room.king)
    return _let_in(idea, answer, goal, facts)


def _let_in(idea: Denies | Concedes, answer: str, goal: int, facts: MoveFacts) -> str:
    what, man = idea.what, idea.man
    if man is not None:
        kind = man_name(man)
        return f"loses the {kind} to {answer}" if what is Denied.CAPTURE else f"allows the {what.value} {answer}"
    if what is Denied.PROMOTION:
        return f"lets the pawn promote with check, {answer}"
    if "pawn" in facts.men.attacker_men:
        return ""
    alone, king = mating(facts) if needs_king(facts) else "", f"{side(facts.turn)}'s king"
    if what is Denied.KING:
        up = f"lets {side(other(facts.turn))}'s king up by {answer}"
        return f"{up}, and {alone} cannot mate without it" if alone else up
    if what is Denied.EDGE:
        does = f"drive {king} to" if from_edge(goal) else f"hold {king} on"
        return f"lets {answer} {does} the edge{f', where {alone} can mate' if alone else ''}"
    if what is Denied.BOX:
        return f"lets {answer} shut {king} in a box of {counted(idea.number, 'square')}"
    return f"lets {answer} {_shut_in(idea.left, king)}"


def _shut_in(left: Squares, king: str) -> str:
    """Say to which part of the board the king is cut down."""
    if not any(map(from_edge, left)):
        return f"hold {king} on the edge"
    for name, ranks in (("first two ranks", (0, 1)), ("last two ranks", (6, 7))):
        if all(square // 8 in ranks for square in left):
            return f"shut {king} in on the {name}"
    for a, b in ((0, 1), (7, 6)):
        if all(square % 8 in (a, b) for square in left):
            return f"shut {king} in on the {_FILES[a]}- and {_FILES[b]}-file"
    for corner in CORNERS:
        if all(king_steps(square, corner) <= _BY_CORNER for square in left):
            return f"shut {king} in by the corner {square_name(corner)}"
    return f"cut {king} down to {counted(len(left), 'square')}"


def mating(facts: MoveFacts) -> str:
    """Name the attacker's men: ``a rook``, ``two bishops``."""
    first, *more = facts.men.attacker_men
    if not more:
        return f"a {first}"
    return "two bishops" if "knight" not in facts.men.attacker_men else "bishop and knight"


def cannot_stop(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next all the same: ``changes nothing: White brings the king up by Kf6``."""
    reply, does = _next(idea, facts)
    if not does:
        return f"changes nothing: next comes {reply}"
    why = f", since {mating(facts)} cannot mate without it" if idea.does is Next.KING_UP and needs_king(facts) else ""
    return f"changes nothing: {side(other(facts.turn))} {does} by {reply}{why}"


def at_once(idea: LetsAtOnce, facts: MoveFacts) -> str:
    """Say what the next best defence lets in: ``Kc3 lets Rd2 cut the king off``; nothing where that has no name."""
    does, name = _deed(idea.does, idea.man, facts), facts.seen.name(idea.other)
    if not does or (idea.man is None and facts.seen.name(idea.other, idea.answer)[0].islower()):
        return ""
    if idea.does is Next.CAPTURE and idea.man is not None:
        return f"{name} loses the {man_name(idea.man)} to {facts.seen.name(idea.other, idea.answer)}"
    if idea.does is Next.KING_UP:
        return f"{name} lets {side(other(facts.turn))}'s king come up by {facts.seen.name(idea.other, idea.answer)}"
    verb, _, rest = does.partition(" ")
    return f"{name} lets {facts.seen.name(idea.other, idea.answer)} {_bare(verb)} {rest}"


def comes_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next: ``next Kf6 brings the king up``."""
    reply, does = _next(idea, facts)
    return f"next {reply} {does}" if does else f"next comes {reply}"


def _next(idea: Expects, facts: MoveFacts) -> tuple[str, str]:
    assert facts.seen.move is not None
    reply = facts.seen.name(facts.seen.move, idea.reply)
    pawn = reply[0].islower() and idea.man is None
    return reply, "brings the pawn on" if pawn else _deed(idea.does, idea.man, facts)


def _deed(does: Next | None, man: int | None, facts: MoveFacts) -> str:
    if does is None or does is Next.MATE:
        return ""
    if man is not None:
        return f"takes the {man_name(man)}" if does is Next.CAPTURE else ""
    if does in _BARE_KING and facts.men.defender_men:
        return ""  # what matters there is the man
    return _DEEDS[does].replace("the king", "its king" if does is Next.KING_UP else f"{side(facts.turn)}'s king")


def must_first(idea: MustFirst, facts: MoveFacts) -> str:
    """Say what the attacker has to do before he gets on: ``White must first bring the king up by Kf6``."""
    assert facts.seen.move is not None
    reply, does = _next(idea, facts)
    does = "promotes" if idea.does is Next.PROMOTION else does
    if not does:
        return ""
    verb, _, rest = does.partition(" ")
    return f"{side(other(facts.turn))} must first {_bare(verb)}{f' {rest}' if rest else ''} by {reply}"


def _bare(verb: str) -> str:
    return "go" if verb == "goes" else verb[:-1]
