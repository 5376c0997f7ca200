"""A slip: its cause first, then how it is punished, then the way back; and a move that is only slower."""

from __future__ import annotations

from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.guards import Guards
from matebot.ideas.holes import Holes
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.out_of_corner import OutOfCorner
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.shuts_way import Aim
from matebot.ideas.squares import from_edge
from matebot.method.facts import MoveFacts
from matebot.method.slips import stage_lost
from matebot.terms import Cause, Mistake
from matebot.wording import kings
from matebot.wording.attack import deeds, exception
from matebot.wording.defence import purposes
from matebot.wording.draws import why_drawn
from matebot.wording.phrases import LINE, counted, line_name, listed, mate_in, sentence, side, takes_clause
from matebot.wording.said import Rule, by_minors, man, of, rival_king, squares, with_pawn
from matebot.wording.stages import broken

_FEW = 3
#: Room for the side, blanks and the full stop.
_HEAD = 10


def slipped(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return why a move is a slip and how it is punished, what was right, and the way back."""
    first = _first_sentence(facts, better)
    return [first, *_punished(facts, first), *_right(facts, better, first), *_way_back(facts)]


def _first_sentence(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Return the cause and the price; where both are too long for a line, the cause is told as far as its comma."""
    what, price = _what_happens(facts, better), _price(facts)
    price = price.partition(" than after ")[0] if f"misses {facts.best_san}," in what else price
    while len(facts.san) + len(what) + len(price) > LINE - _HEAD and (at := max(what.rfind(","), what.rfind(":"))) > 0:
        what = what[:at]
    return sentence(f"{facts.san} {what}{price}")


def slower(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return that a move is one move slower than the best, or mated one sooner, and why; no slip."""
    if facts.by_attacker:
        text = f"{facts.san} is one move slower than {facts.best_san}"
    else:
        text = f"after {facts.san} mate comes one move sooner than after {facts.best_san}"
    why = _first(_CAUSES, facts) if facts.by_attacker else ""
    praise = "" if why else _praise(better)
    beside = f", which {praise}" if praise else f": it {why}" if why else ""
    return [sentence(text + beside), sentence(_distance(facts))]


def _what_happens(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Say the cause: the law, the man, the idea that was broken."""
    falls = facts.mistake is Mistake.OUTCOME
    if falls and facts.cause_after in _BY_LAW:
        return _BY_LAW[facts.cause_after].format(king=rival_king(facts))
    if facts.loses:
        return f"gives the {facts.loses} away: {facts.loses_to}"
    missed = f"misses {facts.best_san}, which {praise}" if (praise := _praise(better, short=True)) else ""
    gains = better is not None and (better.captured or better.promoted or better.mate)
    if falls:
        allowed = of(Refutation, _allowed)(facts)
        why = "" if isinstance(facts.seen.why_drawn, MinorHoldsRook) else why_drawn(facts)
        drawn = f"lets the draw slip in: {why}" if why and not facts.outcome_after else ""
        found = allowed or (missed if gains else "") or drawn
        if found:
            return found
    if gains and not facts.captured:
        return missed
    found = _first(_CAUSES if facts.by_attacker else _DEFENCE_CAUSES, facts) or missed
    if not found and facts.prevented:
        return f"allows {facts.ahead[0]}, which {facts.best_san} prevents"
    return found or ("loses" if falls else _idle(facts))


def _idle(facts: MoveFacts) -> str:
    """Say what came of a move that does nothing: the line that is as long as before."""
    if len(facts.ahead) < 2 or not facts.by_attacker:
        return "loses time"
    return f"comes no nearer: after {facts.ahead[0]} there is nothing better than {facts.ahead[1]}"


def _allowed(idea: Refutation, facts: MoveFacts) -> str:
    """Say what a reply does that changes the outcome at one blow."""
    if idea.reply is None or facts.seen.move is None:
        return ""
    reply = facts.seen.name(facts.seen.move, idea.reply)
    men = [man(kind) for kind in idea.men]
    return {
        Means.MATE: f"allows mate by {reply}",
        Means.PROMOTION: f"lets the pawn promote by {reply}",
        Means.FORK: f"allows the fork {reply}, which hits {listed(men)}",
        Means.SKEWER: f"allows {reply}, which attacks {' and behind it '.join(men)}",
    }.get(idea.means, "")


#: What the Laws say of a draw that was let slip in.
_BY_LAW = {
    Cause.STALEMATE: "is stalemate: {king} has no move and is not in check",
    Cause.FIFTY_MOVES: "is too slow for the fifty-move rule",
    Cause.REPETITION: "lets the position be repeated a third time",
    Cause.DEAD_POSITION: "leaves no men to mate with",
}


def _price(facts: MoveFacts) -> str:
    if facts.mistake is Mistake.OUTCOME:
        if facts.outcome_before > 0:
            return "; the win is gone and the game lost" if facts.outcome_after < 0 else "; the win is gone"
        return "; the draw is gone"
    lost = facts.moves_lost or 0
    if facts.by_attacker:
        return f"; {counted(lost, 'move')} lost" if lost else ""
    sooner = f"mate comes {counted(lost, 'move')} sooner than after {facts.best_san}"
    return f"; {sooner}" if lost else ""


def _punish(idea: Refutation, facts: MoveFacts) -> str:
    """Say by what means a slip is punished; a capture is told as the cause."""
    if idea.reply is None or facts.seen.move is None:
        return ""
    reply = facts.seen.name(facts.seen.move, idea.reply)
    men = [man(kind) for kind in idea.men]
    return {
        Means.MATE: f"{reply} is mate",
        Means.PROMOTION: f"{reply} promotes",
        Means.FORK: f"{reply} forks {listed(men)}",
        Means.SKEWER: f"{reply} attacks {' and behind it '.join(men)}",
        Means.ATTACK: f"{reply} attacks {listed(men)}, which nobody guards",
        Means.RUN: f"{reply} {_leads(idea, facts) or 'runs out' + _towards(idea)}",
        Means.CAPTURE: "" if facts.loses else f"{reply} takes {listed(men)}",
        Means.NONE: f"{reply} {leads}" if (leads := _leads(idea, facts)) else "",
        Means.STALEMATE: "",
    }[idea.means]


def _leads(idea: Refutation, facts: MoveFacts) -> str:
    """Say where the king gets by the reply."""
    goal = "" if idea.target is None else square_name(idea.target)
    man = facts.defender_men[0] if facts.defender_men else "man"
    on_edge = idea.reply is not None and not from_edge(idea.reply.from_square)
    off = "gets off the edge" if on_edge else "gets back to the centre"
    return {
        None: "",
        Aim.OWN_MAN: f"comes to its {man}",
        Aim.PAWN: f"goes for the pawn on {goal}",
        Aim.WRONG_CORNER: f"runs for the wrong corner {goal}",
        Aim.CENTRE: off,
        Aim.OUT_OF_CORNER: f"gets out of the corner {goal}",
    }[idea.leads]


def _towards(idea: Refutation) -> str:
    there = idea.reply is not None and idea.reply.to_square in idea.squares
    return "" if there else f" towards {squares(idea.squares, 'or')}"


def _punished(facts: MoveFacts, first: str) -> list[str]:
    if facts.mistake is Mistake.OUTCOME and facts.cause_after in _BY_LAW:
        return []
    text = of(Refutation, _punish)(facts)
    if not text and facts.ahead and not facts.loses and facts.mistake is Mistake.OUTCOME:
        reply = facts.ahead[0]
        if facts.only_holder and facts.cause_after is Cause.BALANCE:
            text = f"the only move that holds is {reply}"
        elif facts.cause_after is Cause.BALANCE:
            text = f"{reply} holds"
        elif facts.outcome_after < 0:
            text = f"{reply} wins"
    said = not text or text.split()[0] in first.replace(",", " ").replace(";", " ").replace(".", " ").split()
    twice = any(words in first and words in text for words in _TWICE) or (
        _CHASED in first and text.endswith(" runs out")
    )
    return [] if said or twice else [sentence(text)]


#: What need not be said of the reply where the cause has said it.
_TWICE = ("back to the centre", "off the edge")
_CHASED = "chases the king out, to"


def _right(facts: MoveFacts, better: MoveFacts | None, first: str) -> list[str]:
    """Say what the best move does, or how it keeps the outcome."""
    if not facts.best_san or f"misses {facts.best_san}" in first:
        return []
    praise = _praise(better)
    keeps = ""
    if facts.mistake is Mistake.OUTCOME:
        keeps = "keeps the win" if facts.outcome_before > 0 else "holds the draw"
    if better is not None and better.captured:
        praise = takes_clause(better.captured, better.victim_guarded)
    text = listed([part for part in (praise, keeps) if part])
    return [sentence(f"{facts.best_san} {text}")] if text else []


def _praise(better: MoveFacts | None, short: bool = False) -> str:
    """Say what the best move does, without its name; short without what follows from it."""
    if better is None:
        return ""
    if better.mate:
        return "is checkmate"
    found = deeds(better) if better.by_attacker else purposes(better)
    text = found[0] if found else ""
    if not short:
        return text
    head, colon, tail = text.partition(": ")
    return head if (colon and tail.startswith(_FOLLOWS)) or tail.endswith(_STILL) else text


#: What is left out where the best move is only named: what follows from it, and how far it still is.
_FOLLOWS = ("king and ", "if ", "after ")
_STILL = ("more move", "more moves", "more step", "more steps")


def _way_back(facts: MoveFacts) -> list[str]:
    if not facts.by_attacker or facts.outcome_after <= 0 or len(facts.ahead) < 2:
        return []
    reply, back = facts.ahead
    return [sentence(f"the way back: after {reply} play {back}")]


def _distance(facts: MoveFacts) -> str:
    return "" if facts.mate_moves is None else mate_in(facts.mate_moves, facts.exact_after)


def _out_of_corner(idea: OutOfCorner, facts: MoveFacts) -> str:
    return f"drives the king out of {square_name(idea.corner)}, where it should be mated"


def _leaves_w(idea: KnightsW, facts: MoveFacts) -> str:
    if idea.state is not WState.LEAVES:
        return ""
    who = "the king" if facts.piece == "king" else f"the {man_name(idea.man)}"
    return f"breaks off the W: {who} leaves its square"


def _chases(idea: ChasingCheck, facts: MoveFacts) -> str:
    holes = facts.seen.idea(Holes)
    open_holes = () if holes is None else holes.made + holes.left
    if open_holes:
        return (
            f"checks while the king has a way out: {squares(open_holes)} {'is' if len(open_holes) == 1 else 'are'} open"
        )
    if idea.way_out:
        return f"checks too soon: it only chases the king out, to {squares(idea.way_out, 'or')}"
    return "checks too soon: it only chases the king out"


def _opens(idea: Cage, facts: MoveFacts) -> str:
    if idea.change is not CageChange.OPENS:
        return ""
    guards = facts.seen.idea(Guards)
    let_go = () if guards is None else tuple(s for s in guards.let_go if square_name(s) != facts.move[2:4])
    if guards is not None and 0 < len(let_go) <= _FEW:
        return f"opens the cage: the {man_name(guards.man)} was tied to {squares(let_go)}"
    if guards is not None and let_go:
        where = listed([line_name(line) for line in guards.along]) or "its wall"
        return f"opens the cage: the {man_name(guards.man)} was tied to {where}"
    return "opens the cage"


def _lets_go(idea: Guards, facts: MoveFacts) -> str:
    free = [square for square in idea.let_go if square_name(square) != facts.move[2:4]]
    if not free or with_pawn(facts):
        return ""
    if len(free) > _FEW and len(idea.along) == 1:
        return f"lets go of {line_name(idea.along[0])}, to which the {man_name(idea.man)} was tied"
    if len(free) > _FEW:
        return ""
    return f"lets go of {squares(free)}, to which the {man_name(idea.man)} was tied"


def _holes(idea: Holes, facts: MoveFacts) -> str:
    if not by_minors(facts):
        return ""
    if idea.made:
        return f"opens {_named(idea.made)}"
    return f"leaves {_named(idea.left)} open" if idea.left else ""


def _named(found: tuple[int, ...]) -> str:
    return f"{'a hole' if len(found) == 1 else 'holes'} at {squares(found)}"


def _widens(idea: Cage, facts: MoveFacts) -> str:
    if idea.change is not CageChange.WIDENS:
        return ""
    return f"lets the cage grow from {idea.size_before} to {counted(idea.size_after, 'square')}"


def _stage(facts: MoveFacts) -> str:
    text = broken(facts)
    return f"gives up what was reached: {text}" if text and stage_lost(facts) else ""


def _condition(facts: MoveFacts) -> str:
    text = broken(facts)
    return f"is a step back: {text}" if text else ""


def _box(idea: Box, facts: MoveFacts) -> str:
    if idea.change is BoxChange.WIDENS and idea.before is not None and idea.after is not None:
        return f"lets the box grow from {idea.before} to {counted(idea.after, 'square')}"
    return "gives the box up" if idea.change is BoxChange.OPENS else ""


def _cut(idea: CutOff, facts: MoveFacts) -> str:
    return "gives up the line that cut the king off" if idea.change is CutChange.GIVES_UP else ""


def _astray(facts: MoveFacts) -> str:
    if facts.piece == "king" and facts.kings_after > facts.kings_before and "pawn" not in facts.attacker_men:
        return f"takes the king away: {kings.alone(facts)}"
    if facts.piece in ("king", "knight") and facts.rim_after == 0 < facts.rim_before:
        own = f"{side(facts.turn)}'s king" if facts.piece == "king" else "the knight"
        return f"takes {own} to the edge"
    return ""


def _allows(facts: MoveFacts) -> str:
    if facts.reply_attacks:
        return f"lets the king attack the {listed(facts.reply_attacks)} by {facts.ahead[0]}"
    lets = of(Refutation, _lets)(facts)
    prevents = f", which {facts.best_san} prevents" if facts.prevented else ""
    if lets and (facts.prevented or facts.left_open):
        return f"lets the king {lets}{prevents}"
    return ""


def _lets(idea: Refutation, facts: MoveFacts) -> str:
    """Say where the king gets by the reply that is looked at, and by which."""
    if idea.reply is None or facts.seen.move is None or not facts.ahead:
        return ""
    reply = facts.seen.name(facts.seen.move, idea.reply)
    leads = _leads(idea, facts)
    if not leads or reply != facts.ahead[0]:
        return ""
    verb, _, rest = leads.partition(" ")
    return f"{_PLAIN_VERB[verb]} {rest} by {reply}"


_PLAIN_VERB = {"gets": "get", "comes": "come", "goes": "go", "runs": "run"}


def _edge(facts: MoveFacts) -> str:
    if facts.piece == "king" and facts.rim_after < facts.rim_before:
        return (
            "goes to the edge of its own accord" if facts.rim_after == 0 else "goes towards the edge of its own accord"
        )
    before, after = facts.corner_steps_before, facts.corner_steps_after
    if before is not None and after is not None and after < before <= _FEW:
        return f"goes nearer to {facts.right_corner or 'a right corner'}, where mate is forced"
    return ""


def _exception(idea: MinorLost, facts: MoveFacts) -> str:
    return f"loses because {exception(idea)}" if facts.mistake is Mistake.OUTCOME else ""


#: Which idea a move of the attacker broke, the most telling first.
_CAUSES: tuple[Rule, ...] = (
    of(OutOfCorner, _out_of_corner),
    of(Cage, _opens),
    of(ChasingCheck, _chases),
    of(KnightsW, _leaves_w),
    _stage,
    of(Holes, _holes),
    of(Guards, _lets_go),
    of(Cage, _widens),
    of(Box, _box),
    of(CutOff, _cut),
    _allows,
    _astray,
    _condition,
)
_DEFENCE_CAUSES: tuple[Rule, ...] = (of(MinorLost, _exception), _edge)


def _first(rules: tuple[Rule, ...], facts: MoveFacts) -> str:
    return next((text for rule in rules if (text := rule(facts))), "")
