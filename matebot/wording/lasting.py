"""How a lost defence is told: what it tries, or what a shorter one lets in, and how long it lasts."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denies
from matebot.ideas.expects import Expects
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.must_first import MustFirst
from matebot.ideas.stands_out import StandsOut
from matebot.wording.counsel import in_a_loss
from matebot.wording.defence import IN_ANY_CASE, LATE, STRONG, TRIES, WEAK, first, purposes
from matebot.wording.denials import at_once, cannot_stop, comes_next, conceded, denied, must_first
from matebot.wording.phrases import counted, listed, sentence
from matebot.wording.said import of
from matebot.wording.standing_out import stands_out

#: From so many moves on a defence that lasts longer than all others is a test of the attacker.
MUCH = 2
#: So many moves are named one by one.
_FEW = 3
_TEST = "is the critical test"
_EVERY = "every move lasts as long"


def has_reason(facts: MoveFacts) -> bool:
    """Whether a free defence is explained by more than how long it lasts."""
    return any(purposes(facts)) or any(facts.seen.idea(kind) is not None for kind in (Denies, Expects))


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position tries, and how it compares."""
    if facts.beside.choices == 1:
        return [sentence(f"{facts.san} is forced: the only legal move"), *_sentences(of(Expects, comes_next)(facts))]
    if not facts.worth.ranked_exactly:
        return [sentence(f"{facts.san} {next(purposes(facts), 'does not stop the mate')}")]
    told = _lasts(facts)
    return [*told, *_sentences(in_a_loss(told[0]))]


def _lasts(facts: MoveFacts) -> list[str]:
    critical = facts.seen.idea(Critical)
    if critical is None:
        return _as_any(facts)
    reason, said = _reason(facts), f"{facts.san} lasts longest"
    if reason.startswith(LATE):
        more = any_other(critical) if critical.alone else _compared(facts)
        return [sentence(f"{said if critical.alone else facts.san}{' but' * critical.alone} {reason}"), sentence(more)]
    rest = any_other(critical) if critical.alone else _compared(facts)
    lead = f"{facts.san} {_TEST if is_test(critical, facts) else 'holds out longest'}"
    if reason:
        return [sentence(f"{lead}: it {reason}" if critical.alone else f"{facts.san} {reason}"), sentence(rest)]
    lead = lead if critical.alone else f"{said}, {_with(facts)}"
    contrast = of(Denies, denied)(facts) or of(MustFirst, must_first)(facts) or of(LetsAtOnce, at_once)(facts)
    if contrast:
        return [sentence(f"{lead}: {contrast}"), *([sentence(rest)] if critical.alone else [])]
    tried = first(facts, STRONG) or first(facts, WEAK)
    if tried and not critical.alone:
        return [sentence(f"{facts.san} {tried}"), sentence(rest)]
    lead = f"{facts.san} holds out longest" if critical.alone else lead
    return [sentence(f"{lead}: {_shorter(critical, facts)}")]


def is_test(critical: Critical, facts: MoveFacts) -> bool:
    """Whether a defence tests the attacker: it lasts much longer than all others, and takes nothing."""
    return critical.alone and critical.longer_by >= MUCH and not facts.man.captured


def _as_any(facts: MoveFacts) -> list[str]:
    """Tell of a move that lasts no longer than any other what it tries, or what comes next."""
    tried = first(facts, IN_ANY_CASE)
    if tried.startswith(LATE):
        return [sentence(f"{facts.san} {tried}"), sentence(_EVERY)]
    if tried:
        return [sentence(f"{facts.san} lasts no longer than the rest, but it {tried}")]
    return [sentence(f"{facts.san} {of(Expects, cannot_stop)(facts) or 'changes nothing'}"), sentence(_EVERY)]


def _reason(facts: MoveFacts) -> str:
    """Return what tells a move from the shorter ones, or what it tries where that says enough."""
    for rules in (TRIES, STRONG):
        if text := first(facts, rules, common=True):
            return text
    if text := of(StandsOut, stands_out)(facts):
        return text
    return "" if of(Denies, denied)(facts) else first(facts, TRIES) or first(facts, WEAK, common=True)


def _sentences(text: str) -> list[str]:
    return [sentence(text)] if text else []


def any_other(critical: Critical) -> str:
    """Say how much sooner every other move is mated: where they differ, by how much at least."""
    least = "at least " if critical.most > critical.longer_by else ""
    return f"any other move is mated {least}{counted(critical.longer_by, 'move')} sooner"


def _shorter(critical: Critical, facts: MoveFacts) -> str:
    """Say how much sooner the next best move is mated, where nothing a pupil could go by tells them apart."""
    other, by = facts.seen.name(critical.next_best), f"{counted(critical.longer_by, 'move')} sooner"
    if critical.longer_by > MUCH and critical.answer is not None:
        return f"{other} runs into {facts.seen.name(critical.next_best, critical.answer)}, mated {by}"
    return f"here only counting helps, {other} is mated {by}"


def _with(facts: MoveFacts) -> str:
    others = facts.beside_named.others_as_good
    return f"with {listed(others) if len(others) <= _FEW else f'{len(others)} others'}"


def _compared(facts: MoveFacts) -> str:
    """Say how many other moves last as long as one of the longest."""
    others = facts.beside_named.others_as_good
    named = listed(others) if len(others) <= _FEW else f"{len(others)} others"
    return f"{named} {'lasts' if len(others) == 1 else 'last'} as long"


def sooner(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return that a defence is one move shorter than the best, and what that tries or this lets in."""
    strong = "" if better is None else _reason(better)
    lead = f"{facts.san} loses a move"
    if strong and not strong.startswith(LATE):
        return [sentence(f"{lead}: {facts.instead.best_san} {strong}")]
    lets = of(Concedes, conceded)(facts)
    if lets:
        return [sentence(f"{lead}: it {lets}"), sentence(f"{facts.instead.best_san} holds out longer")]
    first_he = "" if better is None else of(MustFirst, must_first)(better)
    if first_he:
        return [sentence(f"{lead}: after {facts.instead.best_san} {first_he}")]
    beside = None if better is None or facts.seen.move is None else better.seen.against(facts.seen.move)
    if beside is not None and better is not None:
        return [sentence(f"{lead}: {facts.instead.best_san} {stands_out(beside, better)}")]
    return [sentence(f"{facts.san} is mated one move sooner than {facts.instead.best_san}: here only counting helps")]
