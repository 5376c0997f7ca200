"""How a lost defence is told: what it tries, or what a shorter one lets in, and how long it lasts."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.counters import Counters
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denies
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.must_first import MustFirst
from matebot.ideas.outlasts import Outlasts
from matebot.ideas.prepares import Next
from matebot.ideas.prevents import Prevents
from matebot.ideas.stands_out import StandsOut
from matebot.ideas.worse import Worse
from matebot.wording.counsel import in_a_loss
from matebot.wording.countering import lesson, met_by, outlasted
from matebot.wording.defence import IF_NOTHING_ELSE, IN_ANY_CASE, STRONG, TRIED, TRIES, WEAK, first, purposes
from matebot.wording.defence_king import is_mated_soon
from matebot.wording.defence_men import LATE
from matebot.wording.denials import (
    SAVE,
    at_once,
    cannot,
    comes,
    conceded,
    denied,
    forced_next,
    forked,
    mated,
    must_first,
    runs_into,
)
from matebot.wording.going_on import goes_on
from matebot.wording.phrases import counted, listed, other, sentence, side
from matebot.wording.posture import is_merit, without_place
from matebot.wording.said import mated_within, of, rivals_square, stands
from matebot.wording.shortcomings import shortcoming
from matebot.wording.standing_out import stands_best, stands_out

#: From so many moves on a defence that lasts longer than all others is a test of the attacker.
MUCH = 2
#: So many moves are named one by one.
_FEW = 3
#: More are counted in words.
_MANY = {3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"}
#: So many plies are two moves of the attacker.
_TWO_MOVES = 3
_PAWN = 1
#: What is longer is told without what it is told of.
_LONG = 80
#: In so many moves mate is soon.
_NEAR_MATE = 5
_TEST, _LONGEST = "is the best defence", "holds out longest"
_ALL_ALIKE = "every move lasts as long"


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position tries, and how it compares."""
    if facts.beside.choices == 1:
        return [sentence(f"{facts.san} is forced: the only legal move"), *_sentences(of(Expects, forced_next)(facts))]
    if not facts.worth.ranked_exactly:
        return [sentence(f"{facts.san} {next(purposes(facts), 'does not stop the mate')}")]
    first_of_all = sentence(f"{facts.san} {_lasts(facts)}")
    rule = in_a_loss(first_of_all, facts) or lesson(first_of_all, facts)
    return [first_of_all, *_equals(facts), *_sentences(rule)]


def _lasts(facts: MoveFacts) -> str:
    critical, falls = facts.seen.idea(Critical), _falls(facts)
    if critical is None:
        return falls or _as_any(facts)
    if falls:
        return _but(critical, falls, facts)
    reason, lead = _reason(facts), _TEST if is_test(critical, facts) else _LONGEST
    if reason.startswith(LATE):
        return _but(critical, reason, facts)
    if reason:
        return _joined(lead, reason) if critical.alone else reason
    contrast = of(Denies, denied)(facts) or of(LetsAtOnce, at_once)(facts)
    if contrast and critical.alone:
        return f"{lead}: {_would(contrast)}"
    if contrast:
        name, _, lets = contrast.partition(" ")
        return f"{_gives(facts)}holds out longer than {name}, which {lets}"
    tried = first(facts, TRIED)
    if tried:
        return tried
    if worse := of(Worse, runs_into)(facts):
        return f"{lead}: {worse}"
    if tempo := of(MustFirst, must_first)(facts) if critical.alone else "":
        return f"{lead}: {tempo}"
    if best := of(StandsOut, stands_best)(facts):
        return _joined(lead, best) if critical.alone else best
    return _little(critical, lead, facts) or _what_comes(critical, facts)


def _falls(facts: MoveFacts) -> str:
    """Say what man cannot be saved where nothing matters more: one that is taken at once, or a piece a move later."""
    leads, contrast = facts.seen.idea(EndsIn), facts.seen.contrast
    if facts.man.captured or is_mated_soon(facts):
        return ""
    if leads is None or leads.does is not Next.CAPTURE or len(leads.line) > _TWO_MOVES:
        near = mated_within(facts, _NEAR_MATE - 1)
        return "" if near or contrast.fork is None else forked(*contrast.fork, facts)
    hangs = facts.seen.idea(Hanging)
    if leads.line[0].to_square == stands(facts) and hangs is not None and hangs.moved:
        return ""  # it is given for something
    if leads.man == _PAWN and len(leads.line) > 1:
        return ""
    said = cannot(facts)
    if said.startswith(SAVE):
        return said
    return "" if contrast.fork is None else forked(*contrast.fork, facts)


def _would(text: str) -> str:
    """Say of another move what it would do: ``Kb2 would let Rd3 cut the king off``."""
    name, verb, rest = text.split(" ", 2)
    bare = {"lets": "let", "loses": "lose", "allows": "allow"}.get(verb)
    return f"{name} would {bare} {rest}" if bare else text


def _joined(lead: str, reason: str) -> str:
    """Join what a defence is with what it tries, with one colon at most."""
    return f"{lead} and {reason}" if ": " in reason else f"{lead}: it {reason}"


def _gives(facts: MoveFacts) -> str:
    """Say that the man that moves may be taken for nothing; nothing where it may not."""
    hangs = facts.seen.idea(Hanging)
    given = hangs is not None and hangs.moved and not facts.man.captured
    return f"gives up the {facts.man.promoted or facts.man.piece}, but " if given else ""


def _little(critical: Critical, lead: str, facts: MoveFacts) -> str:
    """Return what little a move tries where nothing is known to come next; nothing elsewhere."""
    weak = "" if cannot(facts) else first(facts, WEAK)
    return _joined(lead, weak) if weak and critical.alone else weak


def _what_comes(critical: Critical, facts: MoveFacts) -> str:
    """Say what a move that lasts longest does not stop."""
    what = cannot(facts) or goes_on(facts)
    other = "" if what.startswith((SAVE, LATE)) or is_merit(what) or mated(facts) else of(Outlasts, outlasted)(facts)
    if other and not _safe(facts):
        name, _, lets = other.partition(" ")
        return f"holds out longer than {name}, which {lets}"
    return _but(critical, what, facts)


def _but(critical: Critical, what: str, facts: MoveFacts) -> str:
    if not what:
        return _LONGEST
    lead = _TEST if is_test(critical, facts) else _LONGEST
    safe = _safe(facts) if not mated_within(facts, _NEAR_MATE) else ""
    if safe and not what.startswith((SAVE, "is soon mated")):
        return _joined(lead, safe) if critical.alone else safe
    if critical.alone and what.startswith(SAVE) and (given := _gives_up(facts)):
        return f"{_LONGEST}, though it {given}"
    what = without_place(what) if critical.alone else what
    if critical.alone and (is_merit(what) or ", but " in what):
        return f"{lead} and {what}"
    return f"{_LONGEST}, but {what}" if critical.alone and len(what) <= _LONG else what


def _gives_up(facts: MoveFacts) -> str:
    """Say that a man that falls could be guarded by steps that are mated sooner; nothing where there is none."""
    others, kind = facts.seen.contrast.guards_else, (facts.men.defender_men or ("",))[0]
    if not others or facts.man.piece != "king":
        return ""
    named = listed([facts.seen.name(move) for move in others])
    verbs = ("guards", "is") if len(others) == 1 else ("guard", "are")
    return f"gives up the {kind}: {named} {verbs[0]} it, but {verbs[1]} mated sooner"


def _safe(facts: MoveFacts) -> str:
    """Say that no check wins the piece, where most other moves lose it."""
    contrast = facts.seen.contrast
    if contrast.safe_man is None:
        return ""
    kept = f"keeps the {man_name(contrast.safe_man)}"
    if contrast.lost_to is None:
        return f"{kept}, which most moves lose at once"
    move, check = contrast.lost_to
    return f"{kept}: most moves lose it at once, as {facts.seen.name(move)} does to {facts.seen.name(move, check)}"


def _equals(facts: MoveFacts) -> list[str]:
    """Say what else lasts as long: no move is told as the one to play where others are as good."""
    others = facts.beside_named.others_as_good
    if not others or facts.worth.mate_moves == 1:
        return []
    if facts.seen.idea(Critical) is None:
        return [sentence(_ALL_ALIKE)]
    named = listed(others) if len(others) <= _FEW else f"{_MANY.get(len(others), 'many')} other moves"
    return [sentence(f"{named} {'lasts' if len(others) == 1 else 'last'} as long")]


def is_test(critical: Critical, facts: MoveFacts) -> bool:
    """Whether a defence tests the attacker: it lasts much longer than all others, and takes nothing."""
    return critical.longer_by >= MUCH and not facts.man.captured


def _as_any(facts: MoveFacts) -> str:
    """Tell of a move that lasts no longer than any other what it tries, or what comes next."""
    if tried := first(facts, IN_ANY_CASE):
        return tried
    mate = facts.seen.idea(EndsIn) if facts.worth.mate_moves == 1 else None
    if mate is not None:
        return f"does not stop {facts.seen.name_after(mate.line[0])}"
    what = cannot(facts)
    weak = "" if what else first(facts, IF_NOTHING_ELSE)
    return weak or what or goes_on(facts) or "does not stop the mate"


def _reason(facts: MoveFacts) -> str:
    """Return what tells a move from the shorter ones, or what it tries where that says enough."""
    for rules in (TRIES, STRONG):
        if text := first(facts, rules, common=True):
            return text
    if text := of(StandsOut, stands_out)(facts):
        return text
    if of(Denies, denied)(facts):
        return ""
    late = first(facts, TRIES)
    return late if late.startswith(LATE) else first(facts, WEAK, common=True)


def _sentences(text: str) -> list[str]:
    return [sentence(text)] if text else []


def any_other(critical: Critical, facts: MoveFacts) -> str:
    """Say how much sooner every other move is mated: where they differ, by how much at least."""
    others = "the other move" if facts.beside.choices == 2 else "every other move"
    least = "at least " if critical.most > critical.longer_by else ""
    return f"{others} is mated {least}{counted(critical.longer_by, 'move')} sooner"


def sooner(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Return that a defence is one move shorter than the best, why, and a rule."""
    first_of_all, *more = _sooner(facts, better)
    told_of = better if ": better is " in first_of_all else facts
    rule = in_a_loss(first_of_all, told_of) or lesson(first_of_all, facts)
    return [first_of_all, *more, *_sentences(rule)]


def _sooner(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Return that a defence is one move shorter than the best, and what that tries or this lets in."""
    strong = _reason(better)
    lead, longer = f"{facts.san} loses a move", sentence(_longer(better))
    escapes = better.seen.idea(EscapesMate)
    if escapes is not None and escapes.other == facts.seen.move:
        return [sentence(f"{lead}: it runs into {facts.seen.name(escapes.other, escapes.mate)}"), longer]
    if strong and not strong.startswith(LATE):
        return [sentence(f"{lead}: better is {better.san}, which {strong.partition(': ')[0]}")]
    lets = of(Concedes, conceded)(facts)
    if lets:
        return [sentence(f"{lead}: it {lets}"), longer]
    if soon := mated(facts):
        return [sentence(f"{lead}: {soon}"), longer]
    fault = shortcoming(facts, better)
    if fault:
        return [sentence(fault)]
    return _kept_out(facts, better) or _falls_short(facts, better)


def _longer(better: MoveFacts) -> str:
    """Name the moves that last longest, where they are few."""
    others = better.beside_named.others_as_good
    beside = others if len(others) < _FEW else (f"{_MANY.get(len(others), 'many')} other moves",)
    return f"{listed([better.san, *beside])} {'hold' if beside else 'holds'} out longer"


def _kept_out(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Say that the better step keeps the other king out of where it goes now; nothing where it does not."""
    idea = facts.seen.idea(Prevents)
    if idea is None or better.seen.move != idea.better or not idea.guarded:
        return []
    if better.man.piece != "king" or idea.reply.from_square != rivals_square(facts):
        return []
    keeps = f"keeps {side(other(facts.turn))}'s king out of {square_name(idea.reply.to_square)}"
    return [sentence(f"{facts.san} loses a move: better is {better.san}, which {keeps}")]


def _prevented(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Say to what reply a shorter defence loses a move, and whether the better one prevents it."""
    idea = facts.seen.idea(Prevents)
    if idea is None or better.seen.move != idea.better:
        return []
    reply = facts.seen.name_after(idea.reply)
    if idea.prevented:
        guards = f" by guarding {square_name(idea.reply.to_square)}" if idea.guarded else ""
        return [sentence(f"{facts.san} loses a move: it allows {reply}, which {better.san} prevents{guards}")]
    return [sentence(f"{facts.san} loses a move to {reply}"), sentence(_longer(better))]


def _falls_short(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Say what comes against a shorter defence, which comes against the better one as well, a move later."""
    if facts.seen.contrast.fork is not None and better.seen.contrast.fork is None:
        return [
            sentence(f"{facts.san} loses a move and {forked(*facts.seen.contrast.fork, facts)}"),
            sentence(_longer(better)),
        ]
    what = cannot(facts)
    alike = cannot(better).partition(":")[0] == what.partition(":")[0]
    sure = alike and (what.startswith(LATE) or (_is_lost(facts) and _is_lost(better)))
    only = facts.seen.contrast.one_reply or what.startswith(LATE)  # else others are as quick, which do something else
    if only and what.startswith((SAVE, LATE, "is soon mated")) and not alike:
        return [sentence(f"{facts.san} loses a move and {what}"), sentence(_longer(better))]
    longer = _longer(better)
    if sure and (either := _either_way(what)):
        return [sentence(f"{facts.san} loses a move: {either}, but {better.san} holds out longer")]
    if own := _of_its_own(facts, better):
        return [sentence(f"{facts.san} loses a move: {own}"), sentence(longer)]
    if met := of(Counters, met_by)(facts):
        return [sentence(f"{facts.san} loses a move{met}"), sentence(longer)]
    return _prevented(facts, better) or [sentence(f"{facts.san} loses a move: {longer}")]


def _is_lost(facts: MoveFacts) -> bool:
    """Whether the man that falls soon falls whatever is replied."""
    leads, contrast = facts.seen.idea(EndsIn), facts.seen.contrast
    return leads is not None and contrast.is_forced(Next.CAPTURE, len(leads.line))


def _either_way(what: str) -> str:
    """Say what comes of a man after the better defence as well: ``the pawn promotes either way``."""
    if what.startswith(LATE):
        return "the pawn promotes either way"
    man = what.removeprefix(f"{SAVE} the ").partition(":")[0]
    return f"the {man} falls either way" if what.startswith(SAVE) else ""


def _of_its_own(facts: MoveFacts, better: MoveFacts) -> str:
    """Say what is done after a slower move where the quickest ways to mate after the better one do no such thing."""
    only = better.seen.idea(LetsAtOnce)
    return comes(facts) if only is not None and only.other == facts.seen.move else ""
