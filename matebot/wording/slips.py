"""A slip: its cause first, then how it is punished, then the way back; and a move that is only slower."""

from __future__ import annotations

import re

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.idea import man_name
from matebot.ideas.refutation import STRENGTH, Means, Refutation
from matebot.ideas.slip_kinds import OUTCOME_LOST, SlipKind
from matebot.terms import Cause, Mistake
from matebot.wording import losses, maxims
from matebot.wording.aftermath import (
    ROOM,
    THROWN,
    in_line,
    in_time,
    praised,
    punished,
    right,
    way_back,
)
from matebot.wording.as_good import all_of_a_man, as_good, as_time_lost
from matebot.wording.causes import cause, lets_in
from matebot.wording.chances import chance_missed, lost_man, of_keys
from matebot.wording.denials import conceded, dated
from matebot.wording.lapses import best_ones
from matebot.wording.lasting import sooner
from matebot.wording.missed import loose_left, missed, needed_man, underpromoted
from matebot.wording.phrases import LINE, counted, listed, mate_in, sentence
from matebot.wording.said import defender, man, moves_lost, of, rival_king, stands
from matebot.wording.slip_draws import BY_LAW, allows, now_drawn, reason
from matebot.wording.slip_rules import in_room, overlooked, rule_of
from matebot.wording.slip_words import plainly

_FEW = 3
#: So near a mate is what matters.
_SOON = 2
#: Of so many moves one keeps what the slip lost.
_RARE = 3


def slipped(facts: MoveFacts, better: MoveFacts, whole: bool = False) -> list[str]:
    """Return why a move is a slip and how it is punished, what was right, and the way back.

    Parameters
    ----------
    whole : whether the way back is told where there is nothing to say of it
    """
    first = _first_sentence(facts, better)
    parts = [punished(facts, first), now_drawn(facts, better, first), right(facts, better, first)]
    rule = rule_of(facts, better, first)
    if rule == maxims.KING_FIRST and any(one.man.piece == "pawn" for one in best_ones(facts)):
        rule = ""  # the pawn may go first as well
    if rule == maxims.CAGE_FIRST:
        # Not where a step of the king was as good; where it alone was right, the cage must stand already.
        to_cage = maxims.KING_TO_CAGE if better.seen.contrast.caged else ""
        rule = "" if not all_of_a_man(facts) else to_cage if better.man.piece == "king" else rule
    # What was overlooked, or given away, teaches more than what came of it or what was better.
    chance = overlooked(first) or " takes the loose " in first
    if facts.man.promoted or (chance and facts.cost.mistake is not Mistake.OUTCOME):
        parts = []
    # A rule says more than a remedy that is already named, or only prepares something.
    named = (
        f" {facts.instead.best_san}" in first
        or " misses " in first
        or any(words in text for part in parts[-1:] for text in part for words in _LITTLE)
    )
    early = named or overlooked(first) or bool(facts.cost.loses)
    general = [sentence(in_room(facts, rule, [first], [] if early else parts))] if rule else []
    parts = [general, *parts] if early else [*parts, general]
    if facts.cost.loses:
        # Two things beside the man lost: what could be taken, or how it is kept, and a rule.
        takes = right(facts, better, first)
        kept = losses.kept_by(facts, better)
        if losses.promotes_instead(facts, better):
            parts = [takes, general]
        elif takes and (better.gives.mate or better.man.captured):
            parts = [takes, [sentence(maxims.EVERY_CHECK if better.gives.mate else maxims.EVERY_CAPTURE)]]
        elif takes and better.man.promoted and facts.cost.loose_before:
            parts = [takes, [sentence(maxims.QUEEN_AT_ONCE)]]
        elif takes and not general:
            parts = [takes]
        elif takes and better.man.piece == facts.man.piece and _hard_to_find(facts):
            parts = [takes, general]
        else:
            parts = [[sentence(kept)] if kept else [], general]
    rest = _with_lesson(facts, rule, general, list(dict.fromkeys(text for part in parts for text in part)))
    back = way_back(facts, [first, *rest], whole)
    if beside := as_good(facts, first):
        fits = rule == maxims.BRING_ON or all_of_a_man(facts)
        taught = [text for text in general if text in rest and fits]
        rest = [*(text for text in rest if text not in general), sentence(beside), *taught]
    if quicker := _quicker(facts, better, [first, *rest]):
        # What teaches to take first would hide it.
        rest = [*(text for text in rest if text != sentence(maxims.EVERY_CAPTURE)), sentence(quicker)]
    first = plainly(facts, first)
    first = as_time_lost(facts, first) if beside else first
    fresh = [text for text in rest if not in_time(text, first) and not (_NOW.match(text) and _REPLY.search(first))]
    return [first, *(_after(text, facts) for text in fresh), *back]


def _after(text: str, facts: MoveFacts) -> str:
    """Name the slip in place of "now", which would seem to mean after the better move."""
    return _NOW.sub(f"After {facts.san}, ", text)


def _quicker(facts: MoveFacts, better: MoveFacts, told: list[str]) -> str:
    """Name a move quicker than the method's that is told of: the price is counted from that, or a mate is near."""
    soon = moves_lost(better) > 0 and facts.worth.best_moves is not None and facts.worth.best_moves <= _SOON
    beside = soon and any(text.startswith(f"Better: {better.san} ") for text in told)
    if " later" not in told[0] and not beside:
        return ""
    quickest = next((one for one in facts.held_against if not moves_lost(one)), None)
    return "" if quickest is None else f"{quickest.san} is quicker still"


def _with_lesson(facts: MoveFacts, rule: str, general: list[str], rest: list[str]) -> list[str]:
    """Return the sentences behind the first with the rule in so few words that a second line has room for all."""
    others = [text for text in rest if text not in general]
    if not others or others == rest or len(" ".join(rest)) + ROOM <= LINE:
        return rest
    short = sentence(in_room(facts, rule, others, []))
    return [short if text in general else text for text in rest]


def telling(kind: SlipKind, facts: MoveFacts, better: MoveFacts) -> int:
    """Return how well a slip is told as one of its kind: 2 by what it broke, 1 by what is lost, 0 by neither."""
    found = cause(facts, better)
    fits = bool(found) and any(words in found for words in _OF_KIND.get(kind, ("",)))
    return 2 if fits and found in _first_sentence(facts, better) else int(kind in _BY_THE_LOSS)


_BY_THE_LOSS = frozenset({*OUTCOME_LOST, SlipKind.MAN})
#: How kinds of slips are told that other causes are told of as well.
_OF_KIND = {
    SlipKind.CHASED_OUT: ("check", "off ", "lets "),
    SlipKind.WAY: ("lets ", "unguarded", "off ", "open", "guard from"),
    SlipKind.CAGE: ("cage", "lets ", "unguarded", "off ", "guard from"),
}


#: How it is told what the other side does with its time.
_NOW = re.compile(r"^Now (?=\S+ )(?!it is )")
#: What a cause already shows that the other side makes of it.
_REPLY = re.compile(": [KQRBN][a-h1-8x]+[+#]? ")
#: What says less of the better move than a rule.
_LITTLE = (" prepares ", " takes ", " brings the king up")


def _first_sentence(facts: MoveFacts, better: MoveFacts) -> str:
    """Return the cause and the price; where both are too long for a line, the cause is told as far as its comma."""
    what = _what_happens(facts, better)
    price = _price(facts, _named(what, facts, better))
    compared, than, name = price.partition(" than after ")
    price = compared if than and re.search(rf" {re.escape(name)}(?:[,:]| takes )", what) else price
    price = "" if " sooner" in what or what == THROWN else price
    while len(facts.san) + len(what) + len(price) > LINE - ROOM and (at := _last_part(what)) > 0:
        what = what[:at]
    return sentence(f"{facts.san} {what}{price}")


def _last_part(text: str) -> int:
    """Return where the last part of a text begins; a reply with what comes after it is one, of praise a second deed."""
    line = max(text.find(": if "), text.find(": after "))
    if line <= 0:
        line = max(text.rfind(","), text.rfind(":"))
    alone = text.startswith("misses ") and " " not in text[len("misses ") : line]
    return text.find(" and ", line) if alone else line


def slower(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Return that a move is one move slower than the best, or mated one sooner, and why; no slip."""
    if not facts.by_attacker:
        told = sooner(facts, better)
        mate = "#" in told[0] or dated(told[0], facts)  # that is how far it is
        return told if mate else [*told, sentence(f"now it is {_distance(facts)}")]
    text, why = f"{facts.san} is one move slower than {better.san}", cause(facts, better)
    praise = "" if why else praised(better)
    beside = [sentence(f"it {why}")] if why else [sentence(f"{better.san} {praise}")] if praise else []
    return [sentence(text), *beside, sentence(_distance(facts))]


def _what_happens(facts: MoveFacts, better: MoveFacts) -> str:
    """Say the cause: the law, the man, the chance that passed, the idea that was broken."""
    falls = facts.cost.mistake is Mistake.OUTCOME
    if facts.man.promoted and facts.by_attacker and (made := _made_too_little(facts)):
        return made
    if falls and facts.worth.cause_after in BY_LAW:
        return BY_LAW[facts.worth.cause_after].format(king=rival_king(facts))
    if falls and (_only_a_capture(facts, better) or _only_a_queen(facts, better)) and (chance := missed(facts, better)):
        return chance
    if falls and not facts.cost.loses and (loose := loose_left(facts)):
        return loose
    if given := losses.lost(facts, better):
        return given
    if falls and facts.then.stops_pawn:
        return f"gives {defender(facts)} time to stop the pawn: {facts.then.ahead[0]}"
    if falls and not facts.worth.outcome_after and _only_the_pawn(facts):
        return f"gives {defender(facts)} time to stop the pawn"
    found = (of(Refutation, _retaken)(facts) or _allowed(facts)) if falls else ""
    found = found or missed(facts, better) or (lets_in(facts, better) if falls else "")
    if not found and falls and facts.by_attacker:
        found = lost_man(facts, better)
    found = found or cause(facts, better)
    if found:
        return found
    if falls and not facts.worth.outcome_after and (why := reason(facts, better)):
        led = of_keys(better) if better.keys.key_squares else ""
        if led and led != of_keys(facts):
            return f"misses {better.san}, which {led}"
        return allows(facts, better, why)
    if ran := _into_mate(facts, better):
        return ran
    if not falls and not facts.by_attacker and (lets := of(Concedes, conceded)(facts)):
        return lets.partition("; ")[0]
    if not facts.by_attacker and (praise := praised(better, short=True, slip=facts)):
        return f"misses {better.san}, which {praise}"
    if falls and facts.worth.outcome_after < 0:
        return "loses"
    return chance_missed(facts, better, falls)


def _made_too_little(facts: MoveFacts) -> str:
    """Say that a queen should have been made; nothing where it would have been no better, or this is stalemate."""
    if facts.worth.cause_after is Cause.STALEMATE or facts.man.promoted == "queen" or not needed_man(facts):
        return ""
    if facts.cost.loses and "=" not in (facts.cost.loses_to or ""):
        return f"only makes a {facts.man.promoted}: {facts.cost.loses_to}{losses.left_over(facts)}"
    return underpromoted(facts) if facts.cost.mistake is Mistake.OUTCOME else ""


def _only_a_capture(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether few moves were good, the best of them a capture, and all others come to the same."""
    captures = better.man.captured is not None
    if captures and facts.cost.loses and _worth(facts.cost.loses) > _worth(better.man.captured):
        return False  # the stronger man lost teaches more
    return captures and facts.beside.keeping <= _FEW and facts.beside.others == (facts.worth.outcome_after,)


def _hard_to_find(facts: MoveFacts) -> bool:
    """Whether the outcome is gone, and hardly any other move would have kept it."""
    return facts.cost.mistake is Mistake.OUTCOME and _RARE * facts.beside.keeping <= facts.beside.choices


def _only_a_queen(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether the best move makes a new man, and this one loses none but the pawn that waited."""
    return better.man.promoted is not None and facts.cost.loses in (None, "pawn")


def _only_the_pawn(facts: MoveFacts) -> bool:
    """Whether only moves of a lone pawn would have won against a bishop or knight."""
    men = facts.men.attacker_men == ("pawn",) and facts.men.defender_men in (("bishop",), ("knight",))
    return men and all(other.man.piece == "pawn" for other in facts.held_against)


def _worth(name: str | None) -> int:
    """Return how strong a man of a kind is, 0 for none."""
    return next((worth for kind, worth in STRENGTH.items() if man_name(kind) == name), 0)


def _into_mate(facts: MoveFacts, better: MoveFacts) -> str:
    """Say by which move the next one mates, where the better move keeps out of that."""
    idea = better.seen.idea(EscapesMate)
    if idea is None or idea.other.uci() != facts.move:
        return ""
    return f"walks into mate: {better.seen.name(idea.other, idea.mate)}"


def _retaken(idea: Refutation, facts: MoveFacts) -> str:
    """Say that the man that took is taken in its turn."""
    if facts.man.captured is None or idea.means is not Means.CAPTURE or idea.reply is None:
        return ""
    if idea.reply.to_square != stands(facts):
        return ""
    return f"gives the {facts.man.piece} for the {facts.man.captured}: {facts.seen.name_after(idea.reply)}"


def _allowed(facts: MoveFacts) -> str:
    """Say what a reply does that changes the outcome at one blow; nothing where a better move allows that as well."""
    idea = facts.seen.idea(Refutation)
    if idea is None or idea.reply is None:
        return ""
    doubles = idea.means in (Means.FORK, Means.SKEWER)
    if doubles and idea.reply.uci() not in facts.reproach.new_replies:
        return ""  # the man may be saved
    queens = idea.means is Means.PROMOTION
    if queens and any(other.seen.lets_stand(idea.reply) for other in facts.held_against):
        return ""
    reply = facts.seen.name_after(idea.reply)
    men = [man(kind) for kind in idea.men]
    if idea.means is Means.SKEWER:
        return f"allows the skewer {reply}, which hits {in_line(idea)}"
    if idea.means is Means.PIN:
        return f"allows {reply}, which pins {listed(men)} to its king"
    return {
        Means.MATE: f"allows mate by {reply}",
        Means.PROMOTION: f"lets the pawn promote by {reply}",
        Means.FORK: f"allows the fork {reply}, which hits {listed(men)}",
    }.get(idea.means, "")


def _named(what: str, facts: MoveFacts, better: MoveFacts) -> MoveFacts | None:
    """Return the move that a cause names as better; the one recommended where it names none."""
    words = what.replace(",", " ").replace(":", " ").split()
    return next((one for one in best_ones(facts) if one.san in words), better)


def _price(facts: MoveFacts, named: MoveFacts | None) -> str:
    """Say what is lost, counted from the move that is named as better: the method's may be no shortest."""
    if facts.cost.mistake is Mistake.OUTCOME:
        if facts.worth.outcome_before > 0:
            return "; the game is lost" if facts.worth.outcome_after < 0 else "; the win is gone"
        return "; the draw is gone"
    behind = 0 if named is None else moves_lost(named)
    lost = moves_lost(facts) - behind
    if not lost:
        return ""
    if facts.by_attacker and not behind:
        return f"; {counted(lost, 'move')} lost"
    when, name = ("later", named.san) if behind and named is not None else ("sooner", facts.instead.best_san)
    return f"; mate comes {counted(lost, 'move')} {when} than after {name}"


def _distance(facts: MoveFacts) -> str:
    return "" if facts.worth.mate_moves is None else mate_in(facts.worth.mate_moves, facts.worth.exact_after)
