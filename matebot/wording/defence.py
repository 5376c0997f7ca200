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
from matebot.records import dataclass
from matebot.wording import counsel
from matebot.wording import defence_lessons as lessons
from matebot.wording.defence_king import (
    barred,
    bars,
    equal_edge,
    escape_lesson,
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
from matebot.wording.maxims import Maxim, no_maxim
from matebot.wording.maxims import always as just
from matebot.wording.remark import NOTHING, Remark
from matebot.wording.said import Rule, of
from matebot.wording.standing_out import guards_too, keeps_guarded, stands_best, stands_out

_I = TypeVar("_I", bound=Idea)


@dataclass(frozen=True, slots=True)
class Reason:
    """What a defence tries, and what that teaches.

    Attributes
    ----------
    rule : asked with True, only what every other defence that lasts as long does too
    lesson : what a pupil can take along from it
    kind : of which idea it speaks, None for no idea
    """

    rule: Callable[[MoveFacts, bool], str]
    lesson: Maxim = no_maxim
    kind: type[Idea] | None = None


def telling(kind: type[_I], text: Callable[[_I, MoveFacts], str], lesson: Maxim = no_maxim) -> Reason:
    """Return a rule for what an idea says of a defence: nothing where a shorter defence shows it too."""

    def rule(facts: MoveFacts, common: bool) -> str:
        idea, contrast = facts.seen.idea(kind), facts.seen.contrast
        said = "" if idea is None else text(idea, facts)
        if idea is None or not said or contrast.shares(idea):
            return ""
        return "" if common and not contrast.common(idea) else said

    return Reason(rule, lesson, kind)


def always(rule: Rule, lesson: Maxim = no_maxim, kind: type[Idea] | None = None) -> Reason:
    """Return a rule for what is told whatever the others do."""
    return Reason(lambda facts, common: rule(facts), lesson, kind)


def shared(kind: type[_I], text: Callable[[_I, MoveFacts], str], lesson: Maxim = no_maxim) -> Reason:
    """Return a rule for what an idea says where all other defences that last as long show it too."""
    told = telling(kind, text, lesson)
    return Reason(lambda facts, _: told.rule(facts, True), lesson, kind)


def alone(rule: Rule, lesson: Maxim = no_maxim) -> Reason:
    """Return a rule for what is told of a move that lasts longest alone, and of others only as what they try."""

    def told(facts: MoveFacts, common: bool) -> str:
        critical = facts.seen.idea(Critical)
        return "" if common and (critical is None or not critical.alone) else rule(facts)

    return Reason(told, lesson)


#: What is tried by what the move itself does or threatens.
_BOLD: tuple[Reason, ...] = (
    telling(Cage, leaves_cage),
    telling(Trapped, traps),
    telling(StalemateTrap, stalemate, just(counsel.STALEMATE)),
    telling(Threatens, threatens, of(Threatens, lessons.of_threat)),
    telling(WrongCorner, wrong_corner),
)
#: What a move of the defender tries where that says enough, the most telling first.
TRIES: tuple[Reason, ...] = (
    always(captures, lessons.of_capture),
    telling(AttacksMan, attacks, lessons.of_loose_man),
    *_BOLD[:1],
    telling(ThroughHole, hole, of(ThroughHole, lessons.of_hole)),
    *_BOLD[1:],
    always(of(Outruns, too_late), of(Outruns, lessons.of_race), Outruns),
)
#: What is a reason where the others that last as long do it too.
STRONG: tuple[Reason, ...] = (
    always(one_winning, just(counsel.FEW_WAYS)),
    telling(StandsBy, saves, of(StandsBy, lessons.of_own_man)),
    telling(AtPawn, at_pawn, of(AtPawn, lessons.of_their_pawn)),
    telling(EscapesMate, escapes, of(EscapesMate, escape_lesson)),
    telling(ToCentre, telling_edge, lessons.of_guarded),
    alone(opposition, lessons.of_opposition),
    telling(MakesFor, telling_way, of(MakesFor, lessons.of_way)),
)
#: What is told where others that last as long do not do it.
TRIED: tuple[Reason, ...] = (
    *_BOLD,
    telling(StandsBy, keeps_man, of(StandsBy, lessons.of_own_man)),
    telling(EscapesMate, escapes, of(EscapesMate, escape_lesson)),
    telling(MakesFor, telling_way, of(MakesFor, lessons.of_way)),
)
#: What it tries beside, where nothing else is known of it.
WEAK: tuple[Reason, ...] = (
    telling(BarsKing, bars, counsel.needed),
    always(keeps_out, counsel.needed),
    alone(from_corner),
    always(checks),
    telling(StandsBy, stands_by, of(StandsBy, lessons.of_own_man)),
    telling(MakesFor, makes_for, of(MakesFor, lessons.of_way)),
    telling(ToCentre, equal_edge, lessons.of_guarded),
    shared(KeepsRoom, room, counsel.fewer),
    alone(barred, counsel.needed),
    telling(TiesMan, ties),
    shared(FromKing, from_king),
)
#: What is told where every move lasts as long and nothing is known to come next.
IF_NOTHING_ELSE: tuple[Reason, ...] = (telling(ToCentre, equal_edge, lessons.of_guarded),)
#: What may be tried where every move lasts as long.
IN_ANY_CASE: tuple[Reason, ...] = (*TRIES, always(one_winning, just(counsel.FEW_WAYS)))


def first(facts: MoveFacts, reasons: Iterable[Reason], common: bool = False) -> Remark:
    """Return the first thing that is to be said of a move, nothing without any."""
    told = ((reason, text) for reason in reasons if (text := reason.rule(facts, common)))
    return next((Remark(text, reason.lesson(facts), reason.kind) for reason, text in told), NOTHING)


def purposes(facts: MoveFacts, beside_one: MoveFacts | None = None) -> Iterator[str]:
    """Yield what a move of the defender tries, the most telling first, without its name.

    Parameters
    ----------
    beside_one : another move; what it tries as well is left out
    """
    middle, little = always(of(StandsOut, stands_out)), always(of(StandsOut, stands_best))
    beside = () if facts.cost.moves_lost else IF_NOTHING_ELSE
    rules = (*IN_ANY_CASE, *beside) if facts.seen.idea(Critical) is None else (*TRIES, *STRONG, middle, *WEAK, little)
    bold = (reason for reason in rules if reason.kind is not Outruns)  # that a king comes too late is no purpose
    apart = (reason.rule for reason in bold if beside_one is None or not _shared(reason, facts, beside_one))
    return (text for rule in apart if (text := rule(facts, False)))


def _shared(reason: Reason, facts: MoveFacts, other: MoveFacts) -> bool:
    """Whether what a reason says of a move is so of another as well: it shows the same, or the same is said."""
    kind = reason.kind
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
    said = reason.rule(facts, False)
    return said == reason.rule(other, False) or (said == keeps_guarded(facts) and guards_too(other))
