"""A slip: its cause first, then how it is punished, then the way back; and a move that is only slower."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.blame import Lapse
from matebot.ideas.concedes import Concedes
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.knight_beside_king import KnightBesideKing
from matebot.ideas.drawn.man_falls import ManFalls
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.mates import Mates
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.squares import king_steps
from matebot.terms import Cause, Mistake
from matebot.wording import attack, maxims
from matebot.wording.attack import deeds
from matebot.wording.causes import best_ones, cause, caused, led, told_from
from matebot.wording.defence import purposes
from matebot.wording.denials import MEANS, conceded
from matebot.wording.draws import why_drawn
from matebot.wording.lasting import sooner
from matebot.wording.phrases import LINE, counted, listed, mate_in, sentence, takes_clause
from matebot.wording.said import man, of, parse_square, rival_king, squares

#: Room for the side, blanks and the full stop.
_HEAD = 10
_THROWN = "throws the win away"
_TOO_SLOW = "loses time:"
_FEW = 3
_LETTERS = (("queen", "Q"), ("rook", "R"), ("bishop", "B"), ("knight", "N"))
_TOO_LATE = "the king comes too late to lead the pawn in"
#: Reasons for a draw that held before a move of the other side as well.
_HELD_BEFORE = (KnightBesideKing, MinorHoldsRook, SafeCorner)


def slipped(facts: MoveFacts, better: MoveFacts | None, whole: bool = False) -> list[str]:
    """Return why a move is a slip and how it is punished, what was right, and the way back.

    Parameters
    ----------
    whole : whether the way back is told where there is nothing to say of it
    """
    first = _first_sentence(facts, better)
    parts = [_punished(facts, first), _now_drawn(facts, better, first), _right(facts, better, first)]
    general = [sentence(text)] if (text := _maxim(facts, better, first)) else []
    # What was overlooked, or given away, teaches more than what came of it or what was better.
    if facts.man.promoted or (_overlooked(first) and facts.cost.mistake is not Mistake.OUTCOME):
        parts = []
    parts = [general, *parts] if _overlooked(first) or facts.cost.loses else [*parts, general]
    rest = [text for part in parts for text in part]
    return [first, *rest, *_way_back(facts, [first, *rest], whole)]


def _overlooked(first: str) -> bool:
    return any(word in first for word in (" overlooks ", " is stalemate"))


def _maxim(facts: MoveFacts, better: MoveFacts | None, first: str) -> str:
    """Return what a pupil can take along from a slip of the attacker; "" where nothing."""
    if not facts.by_attacker or better is None:
        return ""
    if facts.gives.stalemate:
        return maxims.LEAVE_A_MOVE
    if facts.cost.loses and " away: " in first:
        by_king = (facts.cost.loses_to or "").startswith("K")
        return maxims.BESIDE_THE_KING.format(man=facts.cost.loses) if by_king else maxims.WHAT_CAN_BE_TAKEN
    if " overlooks " in first:
        return maxims.EVERY_CHECK if better.gives.mate else maxims.EVERY_CAPTURE
    if better.man.promoted and (facts.man.promoted or " waiting: " in first):
        return maxims.QUEEN_AT_ONCE
    if " misses the fork " in first:
        return maxims.forks(better)
    if " skewer " in first:
        return of(Refutation, _one_line)(facts)
    if f" {better.san}, which " in first:
        deed = next(deeds(better), "")
        return attack.maxim(better, deed) if _instead(facts, better) == attack.head(deed) else ""
    if " lets the pawn promote by " in first:
        return maxims.STOP_THE_PAWN
    text, general = caused(facts, better)
    if general == maxims.TOGETHER and facts.seen.blame is not None and facts.seen.blame.lapse is Lapse.IN_REACH:
        general = maxims.FROM_AFAR.format(man=facts.man.piece) if facts.man.piece in ("rook", "queen") else general
    if general == maxims.FREE_MAN and " tied " not in first:
        return ""
    return general if text and text in first else ""


def _one_line(idea: Refutation, facts: MoveFacts) -> str:
    """Say which men are not to stand on one line, where the king is one of them."""
    other = [man_name(kind) for kind in idea.men if man_name(kind) != "king"]
    return maxims.ONE_LINE.format(man=other[0]) if len(other) == 1 else ""


def _first_sentence(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Return the cause and the price; where both are too long for a line, the cause is told as far as its comma."""
    what, price = _what_happens(facts, better), _price(facts)
    price = price.partition(" than after ")[0] if f"misses {facts.instead.best_san}," in what else price
    price = "" if " sooner" in what or what == _THROWN else price
    while len(facts.san) + len(what) + len(price) > LINE - _HEAD and (at := max(what.rfind(","), what.rfind(":"))) > 0:
        what = what[:at]
    return sentence(f"{facts.san} {what}{price}")


def slower(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return that a move is one move slower than the best, or mated one sooner, and why; no slip."""
    if not facts.by_attacker:
        return [*sooner(facts, better), sentence(_distance(facts))]
    text, why = f"{facts.san} is one move slower than {facts.instead.best_san}", cause(facts, better)
    if better is not None and of(Prepares, _mate_in_two)(better):
        why = ""  # The mate is more telling than what was broken.
    praise = "" if why else _praise(better)
    beside = [sentence(f"it {why}")] if why else [sentence(f"{facts.instead.best_san} {praise}")] if praise else []
    return [sentence(text), *beside, sentence(_distance(facts))]


def _what_happens(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Say the cause: the law, the man, the chance that passed, the idea that was broken."""
    falls = facts.cost.mistake is Mistake.OUTCOME
    if falls and facts.worth.cause_after in _BY_LAW:
        return _BY_LAW[facts.worth.cause_after].format(king=rival_king(facts))
    if falls and facts.cost.loses and _only_a_capture(facts, better) and (missed := _missed(facts, better)):
        return missed
    if facts.cost.loses:
        return f"gives the {facts.cost.loses} away: {facts.cost.loses_to}{_left_over(facts)}"
    found = (of(Refutation, _retaken)(facts) or of(Refutation, _allowed)(facts)) if falls else ""
    found = found or _missed(facts, better) or cause(facts, better)
    if found:
        return found
    if falls and not facts.worth.outcome_after and (why := _reason(facts, better)):
        return f"allows a draw: {why.replace(': ', ', ')}"
    if better is not None and (ran := _into_mate(facts, better)):
        return ran
    if not falls and not facts.by_attacker and (lets := of(Concedes, conceded)(facts)):
        return lets.partition("; ")[0]
    if not facts.by_attacker and (praise := _praise(better, short=True)):
        return f"misses {facts.instead.best_san}, which {praise}"
    instead = _instead(facts, better)
    if falls and facts.worth.outcome_after < 0:
        return "loses"
    if falls:
        return f"misses the moment: {facts.instead.best_san} {instead}" if instead else _THROWN
    if instead:
        return f"misses {facts.instead.best_san}, which {instead}"
    beside = "" if better is None or not facts.by_attacker else attack.instead(better, facts)
    return f"{_TOO_SLOW} better {facts.instead.best_san}, which {beside}" if beside else "loses time"


def _only_a_capture(facts: MoveFacts, better: MoveFacts | None) -> bool:
    """Whether few moves were good, the best of them a capture, and all others come to the same."""
    captures = better is not None and better.man.captured is not None
    return captures and facts.beside.keeping <= _FEW and facts.beside.others == (facts.worth.outcome_after,)


def _into_mate(facts: MoveFacts, better: MoveFacts) -> str:
    """Say by which move the next one mates, where the better move keeps out of that."""
    idea = better.seen.idea(EscapesMate)
    if idea is None or idea.other.uci() != facts.move:
        return ""
    return f"runs into mate by {better.seen.name(idea.other, idea.mate)}"


def _instead(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Say what the better move, and every other as good, does that this one does not, without what follows from it."""
    if better is None or not facts.by_attacker:
        return ""
    return attack.instead(better, facts, best_ones(facts))


def _in_line(idea: Refutation) -> str:
    """Name the men on one line, the nearer to the man that hits them first."""
    assert idea.reply is not None
    at = idea.reply.to_square
    pairs = sorted(zip(idea.squares, idea.men, strict=True), key=lambda pair: king_steps(pair[0], at))
    return " and behind it ".join(man(kind) for _, kind in pairs)


def _left_over(facts: MoveFacts) -> str:
    """Say what the men left can do without the man given away."""
    left = list(facts.men.attacker_men)
    if not facts.by_attacker or facts.cost.loses not in left:
        return ""
    left.remove(facts.cost.loses)
    if (
        len(left) == 1
        and not facts.worth.outcome_after
        and left[0] in ("bishop", "knight")
        and not facts.men.defender_men
    ):
        return f", and a {left[0]} alone cannot mate"
    if len(left) == 1 and facts.worth.outcome_after > 0:
        return f", but the {left[0]} still wins"
    return ""


def _missed(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Say which chance passed: one that every move as good takes, or that is gone for good."""
    text = _passed(facts, better)
    gone = facts.man.promoted or text.startswith("overlooks mate") or text.endswith(" saves it")
    return text if gone or told_from(_passed, facts, best_ones(facts)) else ""


def _passed(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Say which chance passed: a mate, a loose man, a new queen."""
    if better is None or facts.man.captured:
        return ""
    if better.gives.mate:
        return f"overlooks mate in one: {better.san}{_helped(better)}"
    if better.man.captured:
        if better.man.victim_guarded:
            return f"misses {better.san}, which takes the {better.man.captured}"
        takes = "takes it"
        if _gets_away(facts, better.man.captured):
            takes = f"would have won it, but now {facts.then.ahead[0]} saves it"
        return f"overlooks the loose {better.man.captured}: {better.san} {takes}"
    if mate := of(Prepares, _mate_in_two)(better):
        return f"misses a forced mate: {mate}"
    fork = better.seen.idea(Prepares)
    if fork is not None and fork.forks and fork.man is not None:
        return f"misses the fork {better.san}, which hits king and {man_name(fork.man)}"
    if better.seen.idea(PawnRuns) is not None and facts.race.pawn_moves is not None:
        return f"keeps the pawn waiting: {better.san} runs, with the king outside its square"
    if better.man.promoted and facts.man.promoted:
        return f"makes a {facts.man.promoted} where a {better.man.promoted} is needed"
    if better.man.promoted:
        return f"keeps the new {better.man.promoted} waiting: {better.san} makes it at once"
    return ""


def _mate_in_two(idea: Prepares, better: MoveFacts) -> str:
    """Say how the better move mates by force with the next."""
    if idea.does is not Next.MATE or not idea.forced or better.seen.move is None:
        return ""
    reply, mate = (better.seen.name(better.seen.move, *moves) for moves in ((idea.reply,), (idea.reply, idea.move)))
    return f"{better.san} forces {reply}, then {mate}"


def _helped(better: MoveFacts) -> str:
    """Say how the other men help to mate."""
    mates = better.seen.idea(Mates)
    helpers = () if mates is None else tuple(holder for holder in mates.holders if not holder.checks)
    came = parse_square(better.move[2:4])
    guard = next((holder for holder in helpers if came in holder.squares), None)
    if guard is not None:
        return f", guarded by the {man_name(guard.man)}"
    if len(helpers) == 1 and len(helpers[0].squares) <= _FEW:
        return f", with {squares(helpers[0].squares)} held by the {man_name(helpers[0].man)}"
    return ""


def _gets_away(facts: MoveFacts, name: str) -> bool:
    """Whether the man that was spared makes the best reply, and that holds the draw."""
    drawn = facts.cost.mistake is Mistake.OUTCOME and facts.worth.cause_after is Cause.BALANCE and facts.then.ahead
    return (
        bool(drawn)
        and "x" not in facts.then.ahead[0]
        and any(name == kind and facts.then.ahead[0][0] == letter for kind, letter in _LETTERS)
    )


def _retaken(idea: Refutation, facts: MoveFacts) -> str:
    """Say that the man that took is taken in its turn."""
    if facts.man.captured is None or idea.means is not Means.CAPTURE or idea.reply is None or facts.seen.move is None:
        return ""
    if square_name(idea.reply.to_square) != facts.move[2:4]:
        return ""
    return f"gives the {facts.man.piece} for the {facts.man.captured}: {facts.seen.name(facts.seen.move, idea.reply)}"


def _allowed(idea: Refutation, facts: MoveFacts) -> str:
    """Say what a reply does that changes the outcome at one blow."""
    if idea.reply is None or facts.seen.move is None:
        return ""
    reply = facts.seen.name(facts.seen.move, idea.reply)
    men = [man(kind) for kind in idea.men]
    if idea.means is Means.SKEWER:
        return f"allows the skewer {reply}, which hits {_in_line(idea)}"
    return {
        Means.MATE: f"allows mate by {reply}",
        Means.PROMOTION: f"lets the pawn promote by {reply}",
        Means.FORK: f"allows the fork {reply}, which hits {listed(men)}",
    }.get(idea.means, "")


#: What the Laws say of a draw that was let slip in.
_BY_LAW = {
    Cause.STALEMATE: "is stalemate: {king} has no move and is not in check",
    Cause.FIFTY_MOVES: "is too slow for the fifty-move rule",
    Cause.REPETITION: "lets the position be repeated a third time",
    Cause.DEAD_POSITION: "leaves no men to mate with",
}


def _price(facts: MoveFacts) -> str:
    if facts.cost.mistake is Mistake.OUTCOME:
        if facts.worth.outcome_before > 0:
            return "; the game is lost" if facts.worth.outcome_after < 0 else "; the win is gone"
        return "; the draw is gone"
    lost = facts.cost.moves_lost or 0
    if facts.by_attacker:
        return f"; {counted(lost, 'move')} lost" if lost else ""
    sooner = f"mate comes {counted(lost, 'move')} sooner than after {facts.instead.best_san}"
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
        Means.SKEWER: f"{reply} attacks {_in_line(idea) if idea.means is Means.SKEWER else ''}",
        Means.ATTACK: f"{reply} attacks {listed(men)}, which nobody guards",
        Means.RUN: f"{reply} {_led(idea, facts) or 'gets out' + _towards(idea)}",
        Means.CAPTURE: "" if facts.cost.loses or not facts.man.captured else f"{reply} takes {listed(men)}",
        Means.NONE: f"{reply} {leads}" if (leads := _led(idea, facts)) else "",
        Means.STALEMATE: "",
    }[idea.means]


def _led(idea: Refutation, facts: MoveFacts) -> str:
    return "" if idea.reply is None else led(idea.leads, idea.target, facts, idea.reply.from_square)


def _towards(idea: Refutation) -> str:
    there = idea.reply is not None and idea.reply.to_square in idea.squares
    return "" if there else f" towards {squares(idea.squares, 'or')}"


def _punished(facts: MoveFacts, first: str) -> list[str]:
    """Say how a slip is punished, by a reply that is none after the best move."""
    if facts.cost.mistake is Mistake.OUTCOME and facts.worth.cause_after in _BY_LAW:
        return []
    blame, idea = facts.seen.blame, facts.seen.idea(Refutation)
    text = "" if idea is None else _punish(idea, facts)
    if idea is not None and text and facts.by_attacker and idea.means in _STEPS:
        text = text if blame is not None and text.split()[0] == blame.reply else ""
    if not text and blame is not None and blame.reply not in _words(first):
        leads = led(blame.leads, blame.target, facts, parse_square(facts.room.king))
        text = f"{blame.reply} {leads}" if leads else ""
    if not text and facts.then.ahead and not facts.cost.loses and facts.cost.mistake is Mistake.OUTCOME:
        reply = facts.then.ahead[0]
        if facts.then.only_holder and facts.worth.cause_after is Cause.BALANCE:
            text = f"the only move that holds is {reply}"
        elif facts.worth.cause_after is Cause.BALANCE and (blame is None or blame.reply not in _words(first)):
            text = f"{reply} holds"
        elif facts.worth.outcome_after < 0:
            text = f"{reply} wins"
    idle = " gets out" in text and "cage" not in first
    told = (
        idle
        or " saves it" in first
        or not text
        or text.split()[0] in _words(first)
        or any(words in first and words in text for words in _TWICE)
    )
    return [] if told else [sentence(text)]


def _words(text: str) -> list[str]:
    return text.replace(",", " ").replace(";", " ").replace(".", " ").replace(":", " ").split()


def _reason(facts: MoveFacts, better: MoveFacts | None) -> str:
    """Return why it is drawn now; nothing where that held before the move."""
    why = facts.seen.why_drawn
    if isinstance(why, InsideTheSquare) and better is not None and better.race.pawn_moves is not None:
        inside = better.race.catch_steps is not None and better.race.catch_steps <= better.race.pawn_moves + 1
        return _TOO_LATE if inside and facts.by_attacker else why_drawn(facts)
    return "" if isinstance(why, _HELD_BEFORE) and facts.by_attacker else why_drawn(facts)


def _now_drawn(facts: MoveFacts, better: MoveFacts | None, first: str) -> list[str]:
    if facts.cost.mistake is not Mistake.OUTCOME or facts.worth.outcome_after or facts.worth.cause_after in _BY_LAW:
        return []
    if facts.cost.loses or isinstance(facts.seen.why_drawn, ManFalls):
        return []
    why = _reason(facts, better)
    return [sentence(f"drawn: {why}")] if why and why not in first else []


#: What need not be said of the reply where the cause has said it.
_TWICE = ("back to the centre", "off the edge")
#: Means that are a step of the king, or nothing in particular: after the best move the step may be there as well.
_STEPS = (Means.ATTACK, Means.RUN, Means.NONE)


def _right(facts: MoveFacts, better: MoveFacts | None, first: str) -> list[str]:
    """Say what the best move does, or how it keeps the outcome."""
    if not facts.instead.best_san or _praise(better) == "pushes the pawn":
        return []
    if facts.instead.best_san in _words(first):
        return []
    praise, blame = _praise(better), facts.seen.blame
    if blame is not None and blame.lapse is Lapse.LEFT_OPEN and blame.reply in _words(first):
        goal = square_name(blame.square)
        praise = f"shuts {goal} first" if blame.shuts else "" if goal in praise else praise
    if not praise and "takes the king away" in first and better is not None and better.man.piece == "king":
        praise = "keeps it nearer" if better.kings.kings_after >= facts.kings.kings_before else "brings it up"
    keeps = ""
    if facts.cost.mistake is Mistake.OUTCOME and not praise:
        keeps = "keeps the win" if facts.worth.outcome_before > 0 else "holds the draw"
    if better is not None and better.man.captured:
        praise = takes_clause(better.man.captured, better.man.victim_guarded)
    text = listed([part for part in (praise, keeps) if part])
    if len(first) + len(facts.instead.best_san) + len(text) > LINE - _HEAD:
        text = attack.head(text)
    return [sentence(f"{facts.instead.best_san} {text}")] if text else []


def _praise(better: MoveFacts | None, short: bool = False) -> str:
    """Say what the best move does, without its name; short without what follows from it."""
    if better is None:
        return ""
    if better.gives.mate:
        return "is checkmate"
    text = next(deeds(better) if better.by_attacker else purposes(better), "")
    if not short:
        return text
    head, colon, tail = text.partition(": ")
    return head if (colon and tail.startswith(_FOLLOWS)) or tail.endswith(_STILL) else text


#: What is left out where the best move is only named: what follows from it, and how far it still is.
_FOLLOWS = ("king and ", "if ", "after ")
_STILL = ("more move", "more moves", "more step", "more steps")


def _way_back(facts: MoveFacts, told: list[str], whole: bool) -> list[str]:
    """Return how it goes on and what that does, unless another reply has been told of."""
    if not facts.by_attacker or facts.worth.outcome_after <= 0 or len(facts.then.ahead) < 2:
        return []
    reply, back = facts.then.ahead
    does = "" if facts.seen.back is None else _BACK.get(facts.seen.back, "")
    if not (does or whole) or {reply, back} <= set(_words(told[0])):
        return []
    blame = facts.seen.blame
    if blame is not None and blame.reply != reply and blame.reply in _words(" ".join(told)):
        return []
    return [sentence(f"the way back: after {reply}, {back} {does}".strip())]


#: What the move after the reply does.
_BACK = {
    **MEANS,
    Next.MATE: "mates",
    Next.PROMOTION: "makes the new queen",
    Next.CAPTURE: "wins a man",
    Next.BOX: "makes a new box",
}


def _distance(facts: MoveFacts) -> str:
    return "" if facts.worth.mate_moves is None else mate_in(facts.worth.mate_moves, facts.worth.exact_after)
