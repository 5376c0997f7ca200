"""How a lost defence is told: what it tries, or what a shorter one lets in, and how long it lasts."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denies
from matebot.ideas.expects import Expects
from matebot.ideas.must_first import MustFirst
from matebot.wording.defence import LATE, STRONG, WEAK, purposes
from matebot.wording.denials import cannot_stop, comes_next, conceded, denied, must_first
from matebot.wording.phrases import counted, listed, sentence
from matebot.wording.said import of

#: From so many moves on a defence that lasts longer than all others is a test of the attacker.
MUCH = 2
#: So many moves are named one by one.
_FEW = 3


def has_reason(facts: MoveFacts) -> bool:
    """Whether a free defence is explained by more than how long it lasts."""
    return any(purposes(facts)) or any(facts.seen.idea(kind) is not None for kind in (Denies, Expects))


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position tries, and how it compares."""
    if facts.beside.choices == 1:
        return [sentence(f"{facts.san} is forced: the only legal move"), *_sentences(of(Expects, comes_next)(facts))]
    if not facts.worth.ranked_exactly:
        return [sentence(f"{facts.san} {next(purposes(facts), 'does not stop the mate')}")]
    critical = facts.seen.idea(Critical)
    reason = _reason(facts)
    if critical is not None and critical.alone:
        lead = f"{facts.san} {'is the critical test' if critical.longer_by >= MUCH else 'holds out longest'}"
        if reason.startswith(LATE):
            return [sentence(f"{facts.san} lasts longest but {reason}")]
        if reason:
            return [sentence(f"{lead}: it {reason}"), sentence(any_other(critical))]
        contrast = of(Denies, denied)(facts) or of(MustFirst, must_first)(facts)
        if contrast:
            return [sentence(f"{lead}: {contrast}"), sentence(any_other(critical))]
        return [sentence(f"{lead}: {_shorter(critical, facts)}")]
    compared = _compared(facts)
    if reason:
        return [sentence(f"{facts.san} {reason}"), *_sentences(compared)]
    if critical is None:
        expected = of(Expects, cannot_stop)(facts)
        return [sentence(f"{facts.san} {expected or 'changes nothing'}"), *_sentences(compared)]
    contrast = of(Denies, denied)(facts) or of(MustFirst, must_first)(facts) or _shorter(critical, facts)
    return [sentence(f"{facts.san} lasts longest, {_with(facts)}: {contrast}")]


def _reason(facts: MoveFacts) -> str:
    """Return what a move tries: what says enough, else what is known where no other move says more by its answer."""
    strong = next((text for rule in STRONG if (text := rule(facts))), "")
    if strong or of(Denies, denied)(facts):
        return strong
    return next((text for rule in WEAK if (text := rule(facts))), "")


def _sentences(text: str) -> list[str]:
    return [sentence(text)] if text else []


def any_other(critical: Critical) -> str:
    """Say how much sooner every other move is mated: where they differ, by how much at least."""
    least = "at least " if critical.most > critical.longer_by else ""
    return f"any other move is mated {least}{counted(critical.longer_by, 'move')} sooner"


def _shorter(critical: Critical, facts: MoveFacts) -> str:
    """Say what the next best move runs into, and how much sooner that mates."""
    other, by = facts.seen.name(critical.next_best), f"{counted(critical.longer_by, 'move')} sooner"
    if critical.answer is None:
        return f"{other} is mated {by}"
    return f"{other} runs into {facts.seen.name(critical.next_best, critical.answer)}, mated {by}"


def _with(facts: MoveFacts) -> str:
    others = facts.beside_named.others_as_good
    return f"with {listed(others) if len(others) <= _FEW else f'{len(others)} others'}"


def _compared(facts: MoveFacts) -> str:
    """Say how many other moves last as long as one of the longest."""
    if facts.beside.equals == facts.beside.choices:
        return "every move lasts as long"
    others = facts.beside_named.others_as_good
    named = listed(others) if len(others) <= _FEW else f"{len(others)} others"
    return f"{named} {'lasts' if len(others) == 1 else 'last'} as long"


def sooner(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return that a defence is one move shorter than the best, and what that tries or this lets in."""
    strong = "" if better is None else next((text for rule in STRONG if (text := rule(better))), "")
    lead = f"{facts.san} loses a move"
    if strong and not strong.startswith(LATE):
        return [sentence(f"{lead}: {facts.instead.best_san} {strong}")]
    lets = of(Concedes, conceded)(facts)
    if lets:
        return [sentence(f"{lead}: it {lets}"), sentence(f"{facts.instead.best_san} holds out longer")]
    weak = "" if better is None else next((text for rule in WEAK if (text := rule(better))), "")
    if weak:
        return [sentence(f"{lead}: {facts.instead.best_san} {weak}")]
    first = "" if better is None else of(MustFirst, must_first)(better)
    if first:
        return [sentence(f"{lead}: after {facts.instead.best_san} {first}")]
    return [
        sentence(f"{facts.san} is mated one move sooner than {facts.instead.best_san}"),
        *_sentences(of(Expects, comes_next)(facts)),
    ]
