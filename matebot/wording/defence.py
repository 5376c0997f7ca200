"""What a move of the side that is losing, or holds the draw, tries: one rule an idea, the most telling first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.bars_king import BarsKing
from matebot.ideas.cage import Cage
from matebot.ideas.critical import Critical
from matebot.ideas.escapes_mate import EscapesMate
from matebot.ideas.from_king import FromKing
from matebot.ideas.idea import Idea
from matebot.ideas.keeps_room import KeepsRoom
from matebot.ideas.makes_for import MakesFor
from matebot.ideas.outruns import Outruns
from matebot.ideas.stalemate_trap import StalemateTrap
from matebot.ideas.stands_by import StandsBy
from matebot.ideas.stands_out import StandsOut
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.ties_man import TiesMan
from matebot.ideas.to_centre import ToCentre
from matebot.ideas.trapped import Trapped
from matebot.ideas.wrong_corner import WrongCorner
from matebot.wording.defence_king import (
    barred,
    bars,
    equal_edge,
    escapes,
    from_corner,
    from_king,
    hole,
    keeps_out,
    leaves_cage,
    makes_for,
    opposition,
    room,
    telling_edge,
    telling_way,
    wrong_corner,
)
from matebot.wording.defence_men import (
    LATE,
    at_pawn,
    attacks,
    captures,
    checks,
    keeps_man,
    one_winning,
    saves,
    stalemate,
    stands_by,
    threatens,
    ties,
    too_late,
    traps,
)
from matebot.wording.said import Rule, of
from matebot.wording.standing_out import guards_too, keeps_guarded, stands_best, stands_out

_I = TypeVar("_I", bound=Idea)
#: What a defence tries; asked with True, only what every other defence that lasts as long does too.
Reason = Callable[[MoveFacts, bool], str]


#: Of which idea a rule speaks.
_KIND: dict[Reason, type[Idea]] = {}


def telling(kind: type[_I], text: Callable[[_I, MoveFacts], str]) -> Reason:
    """Return a rule for what an idea says of a defence: nothing where a shorter defence shows it too."""

    def rule(facts: MoveFacts, common: bool) -> str:
        idea, contrast = facts.seen.idea(kind), facts.seen.contrast
        if idea is None:
            return ""
        said = text(idea, facts)
        return "" if contrast.shares(idea) or (common and not contrast.common(idea)) else said

    _KIND[rule] = kind
    return rule


def always(rule: Rule) -> Reason:
    """Return a rule for what is told whatever the others do."""
    return lambda facts, common: rule(facts)


def alone(rule: Rule) -> Reason:
    """Return a rule for what is told of a move that lasts longest alone, and of others only as what they try."""

    def told(facts: MoveFacts, common: bool) -> str:
        critical = facts.seen.idea(Critical)
        return "" if common and (critical is None or not critical.alone) else rule(facts)

    return told


#: What is tried by what the move itself does or threatens.
_BOLD: tuple[Reason, ...] = (
    telling(Cage, leaves_cage),
    telling(ThroughHole, hole),
    telling(Trapped, traps),
    telling(StalemateTrap, stalemate),
    telling(Threatens, threatens),
    telling(WrongCorner, wrong_corner),
)
#: What a move of the defender tries where that says enough, the most telling first.
TRIES: tuple[Reason, ...] = (
    always(captures),
    telling(AttacksMan, attacks),
    *_BOLD,
    always(of(Outruns, too_late)),
)
#: What is a reason where the others that last as long do it too.
STRONG: tuple[Reason, ...] = (
    always(one_winning),
    telling(StandsBy, saves),
    telling(AtPawn, at_pawn),
    telling(EscapesMate, escapes),
    telling(ToCentre, telling_edge),
    alone(opposition),
    telling(MakesFor, telling_way),
)
#: What is told where others that last as long do not do it.
TRIED: tuple[Reason, ...] = (
    *_BOLD,
    telling(StandsBy, keeps_man),
    telling(EscapesMate, escapes),
    telling(MakesFor, telling_way),
)
#: What it tries beside, where nothing else is known of it.
WEAK: tuple[Reason, ...] = (
    telling(BarsKing, bars),
    always(keeps_out),
    alone(from_corner),
    always(checks),
    telling(StandsBy, stands_by),
    telling(MakesFor, makes_for),
    telling(ToCentre, equal_edge),
    telling(KeepsRoom, room),
    alone(barred),
    telling(TiesMan, ties),
    telling(FromKing, from_king),
)
#: What is told where every move lasts as long and nothing is known to come next.
IF_NOTHING_ELSE: tuple[Reason, ...] = (telling(ToCentre, equal_edge), telling(FromKing, from_king))
#: What may be tried where every move lasts as long.
IN_ANY_CASE: tuple[Reason, ...] = (*TRIES, always(one_winning))


def first(facts: MoveFacts, rules: Iterable[Reason], common: bool = False) -> str:
    """Return the first thing that rules say of a move, nothing without any."""
    return next((text for rule in rules if (text := rule(facts, common))), "")


def purposes(facts: MoveFacts, beside_one: MoveFacts | None = None) -> Iterator[str]:
    """Yield what a move of the defender tries, the most telling first, without its name.

    Parameters
    ----------
    beside_one : another move; what it tries as well is left out
    """
    middle, little = always(of(StandsOut, stands_out)), always(of(StandsOut, stands_best))
    beside = () if facts.cost.moves_lost else IF_NOTHING_ELSE
    rules = (*IN_ANY_CASE, *beside) if facts.seen.idea(Critical) is None else (*TRIES, *STRONG, middle, *WEAK, little)
    apart = (rule for rule in rules if beside_one is None or not _shared(rule, facts, beside_one))
    return (text for rule in apart if (text := rule(facts, False)) and not text.startswith(LATE))


def _shared(rule: Reason, facts: MoveFacts, other: MoveFacts) -> bool:
    """Whether what a rule says of a move is so of another as well: it shows the same, or the same is said."""
    kind = _KIND.get(rule)
    shown = [] if kind is None or kind is AtPawn else [seen.seen.idea(kind) for seen in (facts, other)]
    # By which move it is threatened makes no difference; of a pawn it is told whether the king is in time.
    data = [{name: value for name, value in idea.as_data().items() if name != "move"} for idea in shown if idea]
    if len(data) == 2 and data[0] == data[1]:
        return True
    mine, his = (seen.seen.idea(AtPawn) if kind is AtPawn else None for seen in (facts, other))
    if mine is not None and his is not None and facts.race.pawn_moves is None:
        return mine == his or (mine.reach is Reach.NEARER and his.steps <= mine.steps)
    hit = facts.seen.idea(AttacksMan) if kind is AttacksMan else None
    if hit is not None and all(map(other.seen.comes_to_guard, hit.squares)):
        return True
    threat = facts.seen.idea(Threatens) if kind is Threatens else None
    if threat is not None and threat.threat is Threat.CAPTURE and other.seen.comes_to_guard(threat.square):
        return True
    said = rule(facts, False)
    return said == rule(other, False) or (said == keeps_guarded(facts) and guards_too(other))
