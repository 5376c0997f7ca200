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
from matebot.ideas.outruns import Outruns
from matebot.ideas.prepares import Next
from matebot.ideas.prevents import Prevents
from matebot.ideas.squares import from_edge, king_steps, off_centre
from matebot.ideas.stalemate_trap import StalemateTrap
from matebot.ideas.stands_out import StandsOut
from matebot.ideas.worse import Worse
from matebot.wording import defence_lessons as lessons
from matebot.wording.counsel import NEW_QUEEN, NO_GIFTS, SECOND_MAN, SEE_MATES, little_room, needed
from matebot.wording.countering import met_by, outlasted, taught
from matebot.wording.defence import IF_NOTHING_ELSE, IN_ANY_CASE, STRONG, TRIED, TRIES, WEAK, first, purposes
from matebot.wording.defence_king import is_mated_soon
from matebot.wording.denials import at_once, conceded, denied, forced_next, mated, must_first, runs_into
from matebot.wording.fitting import fitting
from matebot.wording.going_on import goes_on
from matebot.wording.phrases import counted, listed, other, sentence, side
from matebot.wording.remark import NOTHING, Fate, Place, Remark
from matebot.wording.said import goal_of, mated_within, of, own_others, parse_square, rivals_square, stands
from matebot.wording.shortcomings import shortcoming
from matebot.wording.standing_out import THE_OTHER, lost_else, stands_best, stands_out
from matebot.wording.to_come import cannot, comes, forked

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
    remark = _lasts(facts)
    first_of_all = sentence(f"{facts.san} {remark.text}")
    return [first_of_all, *_equals(facts), *_sentences(fitting(remark.lesson, facts))]


def _lasts(facts: MoveFacts) -> Remark:
    critical, falls = facts.seen.idea(Critical), _falls(facts)
    if critical is None:
        return falls or _as_any(facts)
    if falls:
        return _but(critical, falls, facts)
    reason, lead = _reason(facts), _TEST if is_test(critical, facts) else _LONGEST
    if reason.idea is Outruns:
        return _but(critical, reason, facts)
    if reason:
        return reason.told(_joined(lead, reason.text)) if critical.alone else reason
    contrast = _contrast(facts)
    if contrast and critical.alone:
        return contrast.told(f"{_gives(facts)}{lead}: {_would(contrast.text, critical, facts)}")
    if contrast:
        name, _, lets = contrast.text.partition(" ")
        return contrast.told(f"{_gives(facts)}holds out longer than {name}, which {lets}")
    tried = first(facts, TRIED)
    if tried:
        return tried
    if worse := of(Worse, runs_into)(facts):
        return Remark(f"{lead}: {worse}", of(Worse, lessons.of_worse)(facts))
    if tempo := of(MustFirst, must_first)(facts) if critical.alone else "":
        return Remark(f"{lead}: {tempo}")
    if best := of(StandsOut, stands_best)(facts):
        return Remark(_joined(lead, best) if critical.alone else best, of(StandsOut, lessons.of_little)(facts))
    return _little(critical, lead, facts) or _what_comes(critical, facts)


def _contrast(facts: MoveFacts) -> Remark:
    """Say what another move would let in; not what man it gives up where this one gives up its own."""
    lets = [idea for idea in (facts.seen.idea(Denies), facts.seen.idea(LetsAtOnce)) if idea is not None]
    if _gives(facts) and any(idea.man is not None for idea in lets):
        return NOTHING
    if text := of(Denies, denied)(facts):
        return Remark(text, of(Denies, lessons.of_what_is_let_in)(facts))
    return Remark(of(LetsAtOnce, at_once)(facts), of(LetsAtOnce, lessons.of_at_once)(facts))


def _falls(facts: MoveFacts) -> Remark:
    """Say what man cannot be saved where nothing matters more: one that is taken at once, or a piece a move later."""
    leads = facts.seen.idea(EndsIn)
    if facts.man.captured or is_mated_soon(facts):
        return NOTHING
    if leads is None or leads.does is not Next.CAPTURE or len(leads.line) > _TWO_MOVES:
        near = mated_within(facts, _NEAR_MATE - 1)
        return NOTHING if near else _forked(facts)
    hangs = facts.seen.idea(Hanging)
    if leads.line[0].to_square == stands(facts) and hangs is not None and hangs.moved:
        return NOTHING  # it is given for something
    if leads.man == _PAWN and len(leads.line) > 1:
        return NOTHING
    said = cannot(facts)
    return said if said.fate is Fate.MAN_LOST else _forked(facts)


def _forked(facts: MoveFacts) -> Remark:
    """Say that a man falls to a fork; nothing without one."""
    fork = facts.seen.contrast.fork
    return NOTHING if fork is None else forked(*fork, facts)


def _would(text: str, critical: Critical, facts: MoveFacts) -> str:
    """Say what another move would do: ``Kb2 would let Rd3 cut the king off``; where others are as bad, as of one."""
    name, verb, rest = text.split(" ", 2)
    bare = {"lets": "let", "loses": "lose", "allows": "allow"}.get(verb)
    loses_man = verb != "lets" and facts.beside.choices > THE_OTHER
    one = ", for one," if loses_man or critical.like_it else ""
    return f"{name}{one} would {bare} {rest}" if bare else text


def _joined(lead: str, reason: str) -> str:
    """Join what a defence is with what it tries, with one colon at most."""
    return f"{lead} and {reason}" if ": " in reason else f"{lead}: it {reason}"


def _gives(facts: MoveFacts) -> str:
    """Say that the man that moves may be taken for nothing, before what else is told; nothing where it may not."""
    hangs = facts.seen.idea(Hanging)
    given = hangs is not None and hangs.moved and not facts.man.captured
    return f"gives up the {facts.man.promoted or facts.man.piece}, but " if given else ""


def _little(critical: Critical, lead: str, facts: MoveFacts) -> Remark:
    """Return what little a move tries where nothing is known to come next; nothing elsewhere."""
    weak = NOTHING if cannot(facts) else first(facts, WEAK)
    return weak.told(_joined(lead, weak.text)) if weak and critical.alone else weak


def _what_comes(critical: Critical, facts: MoveFacts) -> Remark:
    """Say what a move that lasts longest does not stop."""
    what = cannot(facts) or goes_on(facts)
    told = what.fate in (Fate.MAN_LOST, Fate.PAWN_PROMOTED) or what.place is Place.MERIT or mated(facts)
    other = "" if told else of(Outlasts, outlasted)(facts)
    if other and not _safe(facts):
        name, _, lets = other.partition(" ")
        return Remark(f"holds out longer than {name}, which {lets}", of(Outlasts, taught)(facts))
    return _but(critical, what, facts)


def _but(critical: Critical, what: Remark, facts: MoveFacts) -> Remark:
    if not what:
        return Remark(_LONGEST)
    lead = _TEST if is_test(critical, facts) else _LONGEST
    safe = _safe(facts) if not mated_within(facts, _NEAR_MATE) else NOTHING
    if safe and what.fate not in (Fate.MAN_LOST, Fate.KING_MATED):
        return safe.told(_joined(lead, safe.text)) if critical.alone else safe
    if critical.alone and what.fate is Fate.MAN_LOST and (given := _gives_up(facts)):
        return Remark(f"{_LONGEST}, though it {given}")
    if not critical.alone:
        return what
    what = what.bare or what
    if what.place is not None:
        return what.told(f"{lead} and {what.text}")
    return what.told(f"{_LONGEST}, but {what.text}") if len(what.text) <= _LONG else what


def _gives_up(facts: MoveFacts) -> str:
    """Say that a man that falls could be guarded by steps that are mated sooner; nothing where there is none."""
    others, kind = facts.seen.contrast.guards_else, (facts.men.defender_men or ("",))[0]
    if not others or facts.man.piece != "king" or king_steps(stands(facts), own_others(facts)[0]) == 1:
        return ""  # a step that guards it as well gives nothing up
    named = listed([facts.seen.name(move) for move in others])
    verbs = ("guards", "is") if len(others) == 1 else ("guard", "are")
    return f"gives up the {kind}: {named} {verbs[0]} it, but {verbs[1]} mated sooner"


def _safe(facts: MoveFacts) -> Remark:
    """Say that no check wins the piece, where most other moves lose it."""
    contrast = facts.seen.contrast
    if contrast.kept.telling_man is None:
        return NOTHING
    where = "" if contrast.kept.lost_to is None else " where no check wins it"
    kept = f"keeps the {man_name(contrast.kept.telling_man)}{where}: {lost_else(facts)}"
    return Remark(kept, NO_GIFTS if contrast.kept.lost_to is None else SECOND_MAN)


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


def _as_any(facts: MoveFacts) -> Remark:
    """Tell of a move that lasts no longer than any other what it tries, or what comes next."""
    tried = first(facts, IN_ANY_CASE)
    mate = facts.seen.idea(EndsIn) if facts.worth.mate_moves == 1 and not facts.man.captured else None
    if tried and (mate is None or tried.idea is StalemateTrap):
        return tried
    if mate is not None:  # no threat of its own comes in time
        return Remark(f"does not stop {facts.seen.name_after(mate.line[0])}", little_room(facts))
    what = cannot(facts)
    weak = NOTHING if what else first(facts, IF_NOTHING_ELSE)
    return weak or what or goes_on(facts) or Remark("does not stop the mate")


def _reason(facts: MoveFacts) -> Remark:
    """Return what tells a move from the shorter ones, or what it tries where that says enough."""
    for rules in (TRIES, STRONG):
        if tried := first(facts, rules, common=True):
            return tried
    if text := of(StandsOut, stands_out)(facts):
        return Remark(text, of(StandsOut, lessons.of_trait)(facts))
    if of(Denies, denied)(facts):
        return NOTHING
    late = first(facts, TRIES)
    return late if late.idea is Outruns else first(facts, WEAK, common=True)


def _sentences(text: str) -> list[str]:
    return [sentence(text)] if text else []


def any_other(critical: Critical, facts: MoveFacts) -> str:
    """Say how much sooner every other move is mated: where they differ, by how much at least."""
    others = "the other move" if facts.beside.choices == 2 else "every other move"
    least = "at least " if critical.most > critical.longer_by else ""
    return f"{others} is mated {least}{counted(critical.longer_by, 'move')} sooner"


def sooner(facts: MoveFacts, better: MoveFacts) -> list[str]:
    """Return that a defence is one move shorter than the best, why, and a rule."""
    remark, longer = _sooner(facts, better)
    first_of_all = sentence(remark.text)
    beside = [sentence(_longer(facts, better))] if longer else []
    return [first_of_all, *beside, *_sentences(remark.lesson)]


def _sooner(facts: MoveFacts, better: MoveFacts) -> tuple[Remark, bool]:
    """Return that a defence is one move shorter, why, and whether it is to be told beside what is longer."""
    strong = _reason(better)
    lead = f"{facts.san} loses a move"
    escapes = better.seen.idea(EscapesMate)
    if escapes is not None and escapes.other == facts.seen.move:
        return Remark(f"{lead}: it runs into {facts.seen.name(escapes.other, escapes.mate)}", SEE_MATES), True
    if strong and strong.idea is not Outruns:
        shown, more, _ = strong.text.partition(": ")
        lesson = "" if more and strong.lesson == SECOND_MAN else strong.lesson  # the check is not told
        lost = f"the {facts.man.piece} falls either way, and " if _is_given(facts, better) else ""
        return Remark(f"{lead}: {lost}better is {better.san}, which {shown}", lesson), False
    if lets := of(Concedes, conceded)(facts):
        return Remark(f"{lead}: it {lets}", of(Concedes, lessons.of_what_is_let_in)(facts)), True
    if soon := mated(facts):
        return Remark(f"{lead}: {soon}", lessons.of_mate(facts)), True
    if keeps := _kept_out(facts, better):
        return Remark(f"{lead}: better is {better.san}, which {keeps}", needed(better)), False
    if fault := shortcoming(facts, better):
        return fault, False
    return _falls_short(lead, facts, better)


def _is_given(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether the man that moves may be taken for nothing, and is lost after the better move as well."""
    hangs = facts.seen.idea(Hanging)
    if hangs is None or not hangs.moved or facts.man.captured or better.seen.idea(Hanging) is None:
        return False
    return all(cannot(move).fate is Fate.MAN_LOST for move in (facts, better))


def _longer(facts: MoveFacts, better: MoveFacts, why: bool = False) -> str:
    """Name the moves that last longest, where they are few, and as the reason that a bare king is nearer the centre."""
    others = better.beside_named.others_as_good
    beside = others if len(others) < _FEW else (f"{_MANY.get(len(others), 'many')} other moves",)
    central = _central(facts, better) if why and beside == others else ""
    return f"{listed([better.san, *beside])}{central} {'hold' if beside else 'holds'} out longer"


def _central(facts: MoveFacts, better: MoveFacts) -> str:
    return ", nearer the centre," if not facts.men.defender_men and _stays_central(facts, better) else ""


def _kept_out(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the better step keeps the other king out of where it goes now; nothing where it does not."""
    idea, counters = facts.seen.idea(Prevents), facts.seen.idea(Counters)
    prevents = idea is not None and better.seen.move == idea.better and idea.guarded
    alone = not better.beside_named.others_as_good  # else another one may let it in
    reply = idea.reply if idea is not None and prevents else counters.reply if counters is not None and alone else None
    if better.man.piece != "king" or reply is None or reply.from_square != rivals_square(facts):
        return ""
    if king_steps(stands(better), reply.to_square) > 1:
        return ""
    return f"keeps {side(other(facts.turn))}'s king out of {square_name(reply.to_square)}"


def _prevented(lead: str, facts: MoveFacts, better: MoveFacts) -> tuple[Remark, bool] | None:
    """Say to what reply a shorter defence loses a move, and whether the better one prevents it."""
    idea = facts.seen.idea(Prevents)
    if idea is None or better.seen.move != idea.better:
        return None
    reply = facts.seen.name_after(idea.reply)
    if idea.prevented:
        guards = f" by guarding {square_name(idea.reply.to_square)}" if idea.guarded else ""
        return Remark(f"{lead}: it allows {reply}, which {better.san} prevents{guards}"), False
    return Remark(f"{lead} to {reply}"), True


def _falls_short(lead: str, facts: MoveFacts, better: MoveFacts) -> tuple[Remark, bool]:
    """Say what comes against a shorter defence, which comes against the better one as well, a move later."""
    if (fork := _forked(facts)) and not _forked(better):
        return fork.told(f"{lead} and {fork.text}"), True
    what, later = cannot(facts), cannot(better)
    alike, late = (what.fate, what.lost) == (later.fate, later.lost), what.fate is Fate.PAWN_PROMOTED
    sure = alike and (late or (_is_lost(facts) and _is_lost(better)))
    only = facts.seen.contrast.one_reply or late  # else others are as quick, which do something else
    if only and what.fate is not None and not alike:
        return what.told(f"{lead} and {what.text}"), True
    if sure and (either := _either_way(what)):
        central = ", nearer the centre," if late and _stays_central(facts, better) else ""
        lesson = NEW_QUEEN if central and facts.men.attacker_men == ("pawn",) and not facts.men.defender_men else ""
        longer = "lasts longer" if central else "holds out longer"
        return Remark(f"{lead}: {either}, but {better.san}{central} {longer}", lesson), False
    if own := _of_its_own(facts, better):
        return own.told(f"{lead}: {own.text}"), True
    counters = facts.seen.idea(Counters)
    if counters is not None and facts.seen.contrast.best_after_longest(counters.reply)[0]:
        reply = facts.seen.name_after(counters.reply)
        if reply == better.seen.name_after(counters.reply):
            longer = f"{better.san}{_central(facts, better)} holds out longer"
            theirs = f"{side(other(facts.turn))}'s {reply}"
            return Remark(f"{lead}: {theirs} comes in any case, but {longer}"), False
        return _prevented(lead, facts, better) or (Remark(f"{lead}: {_longer(facts, better, why=True)}"), False)
    if met := of(Counters, met_by)(facts):
        return Remark(f"{lead}{met}", of(Counters, taught)(facts)), True
    return _prevented(lead, facts, better) or (Remark(f"{lead}: {_longer(facts, better, why=True)}"), False)


def _stays_central(facts: MoveFacts, better: MoveFacts) -> bool:
    """Whether the king stands nearer to the centre after every step that lasts longest than after any other move."""
    goals = [better.san, *better.beside_named.others_as_good]
    if any(name[0] != "K" for name in goals) or facts.man.piece != "king" or not from_edge(stands(better)):
        return False
    best = max(off_centre(parse_square(goal_of(name))) for name in goals)
    return all(off_centre(king) > best for king in better.seen.contrast.shorter_kings)


def _is_lost(facts: MoveFacts) -> bool:
    """Whether the man that falls soon falls whatever is replied."""
    leads, contrast = facts.seen.idea(EndsIn), facts.seen.contrast
    return leads is not None and contrast.is_forced(Next.CAPTURE, len(leads.line))


def _either_way(what: Remark) -> str:
    """Say what comes of a man after the better defence as well: ``the pawn promotes either way``."""
    if what.fate is Fate.PAWN_PROMOTED:
        return "the pawn promotes either way"
    return f"the {what.lost} falls either way" if what.fate is Fate.MAN_LOST else ""


def _of_its_own(facts: MoveFacts, better: MoveFacts) -> Remark:
    """Say what is done after a slower move where the quickest ways to mate after the better one do no such thing."""
    only = better.seen.idea(LetsAtOnce)
    return comes(facts) if only is not None and only.other == facts.seen.move else NOTHING
