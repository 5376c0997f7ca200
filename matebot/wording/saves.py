"""That a good move of the attacker meets a check or saves a man, told before what else it does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box
from matebot.ideas.cage import Cage
from matebot.ideas.cut_off import CutOff
from matebot.ideas.ends_checks import EndsChecks
from matebot.ideas.idea import man_name
from matebot.ideas.lets_go import LetsGo
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.pins import Pins
from matebot.ideas.prepares import Prepares
from matebot.ideas.refutation import Means
from matebot.ideas.safe_here import SafeHere
from matebot.ideas.saved import Saved
from matebot.ideas.squares import king_steps
from matebot.ideas.stops_pawn import StopsPawn
from matebot.ideas.threatens import Threatens
from matebot.ideas.trapped import Trapped
from matebot.wording import cages, coming, hunting, maxims, pawns, rooms
from matebot.wording.phrases import line_name
from matebot.wording.reason import Deed, Reason, seen
from matebot.wording.said import beside_rival, of, parse_square, stands, stood

#: So near a king may attack a man with its next move.
_ATTACKING = 2
_KING = 6


def _runs(idea: PawnRuns, facts: MoveFacts) -> str:
    """Say that a pawn runs, where no other man is let go."""
    return "" if facts.seen.idea(LetsGo) is not None else pawns.runs(idea, facts)


_DISCOVERS = "discovers check"
#: What need not be told beside a check that is met.
NEARER = "comes nearer and "
#: So many moves from mate a man may go.
_NEAR_MATE = 7
#: With mate next the man need not be saved.
_NEXT = (1, 2)
#: A pawn that has been named.
_PAST, _IT_PAST = "gets the pawn past", "gets it past"
#: What is no deed beside a man saved.
_IDLE = ("waits", "passes", "is the only", "keeps the win", "saves", "guards the")


def saved(idea: Saved, facts: MoveFacts) -> str:
    """Say how a man is saved, or that it is guarded now."""
    man, by = man_name(idea.man), man_name(idea.by)
    if idea.by != _KING:
        return f"saves the {man} from the {by}"
    if not idea.moved:
        return f"guards the {man} from the king"
    if beside_rival(facts):
        return f"saves the {man}: it is guarded there"
    far = ": there the king cannot attack it at once" if _is_far(facts) else " from the king"
    return f"saves the {man}{far}"


def safe_here(idea: SafeHere, facts: MoveFacts) -> str:
    """Say what tells a square from others where the man is safe as well."""
    if not idea.line and idea.means is Means.CAPTURE:
        return ""  # that a man may be given away tells nothing of where it goes
    if idea.means is Means.ATTACK and beside_rival(facts):
        return ""  # it is attacked where it goes as well, and guarded
    man = of(Saved, lambda idea, _: man_name(idea.man))(facts)
    theirs = facts.men.defender_men
    if idea.line and (not idea.together or len(theirs) != 1):
        return ""  # That the king stays cut off is told of the line.
    line = f" and holds king and {theirs[0]} behind {line_name(idea.line)}" if idea.line else ""
    return f"saves the {man}{line}{_hit(idea, facts)}"


def _hit(idea: SafeHere, facts: MoveFacts) -> str:
    if idea.rival is None or idea.reply is None:
        return ""
    reply = facts.seen.name(idea.rival, idea.reply)
    rival = facts.seen.name(idea.rival)
    if idea.means is Means.ATTACK:
        return f"; {rival} would let {reply} attack it again"
    how = {Means.FORK: "the fork ", Means.SKEWER: "the skewer ", Means.MATE: "mate by "}.get(
        idea.means or Means.NONE, ""
    )
    return f"; {rival} allows {how}{reply}"


def here_maxim(facts: MoveFacts) -> str:
    """Say what it teaches where a man is safe."""
    idea = facts.seen.idea(SafeHere)
    if idea is None or idea.line:
        return maxims.HOLD_THE_LINE
    return maxims.SEE_FORKS if idea.means is Means.FORK else maxims.SEE_WHAT_HITS


def ends_checks(idea: EndsChecks, facts: MoveFacts) -> str:
    """Say that the king steps where the checks end, and where they would not."""
    step, check = facts.seen.name(idea.elsewhere), facts.seen.name(idea.elsewhere, idea.check)
    return f"steps to where the checks end: after {step} would come {check}"


def lets_go(idea: LetsGo, facts: MoveFacts) -> str:
    """Say which man is given, or left to be taken, and what comes then."""
    capture = facts.seen.name_after(idea.capture)
    answer = facts.seen.name_after(idea.capture, idea.answer)
    man = f"{'new ' if facts.man.promoted and idea.moved else ''}{man_name(idea.man)}"
    what = f"offers the {man}" if idea.moved else f"lets the {man} go"
    return f"{what}: if {capture}, {answer}"


def go_maxim(facts: MoveFacts) -> str:
    """Say why a man may go: mate is near without it."""
    near = facts.worth.mate_moves is not None and facts.worth.mate_moves <= _NEAR_MATE
    return maxims.MATE_OVER_MAN if near else ""


def offers_new(idea: LetsGo, facts: MoveFacts) -> str:
    """Say so of what a pawn has just become."""
    return lets_go(idea, facts) if facts.man.promoted and idea.moved else ""


def _is_far(facts: MoveFacts) -> bool:
    """Whether the king is too far from where a man went to attack it with the next move."""
    return king_steps(stands(facts), parse_square(facts.room.king)) > _ATTACKING


def told(facts: MoveFacts, deeds: Iterable[Deed]) -> Iterator[Deed]:
    """Yield what a move does, after that it meets a check or saves a man where it does."""
    meets = _meets(facts)
    for deed in _after_saving(facts, deeds):
        text = deed.text
        known = not meets or "check" in text or text.startswith(_IDLE)
        yield deed if known else deed.told(f"{meets}{_link(meets, text)}{text.removeprefix(NEARER)}")


def _link(meets: str, text: str) -> str:
    """Return what stands between that a check is uncovered, or met, and the rest: a comma before two deeds."""
    two = " and " in text.removeprefix(NEARER).partition(": ")[0] and meets == _DISCOVERS
    return ", " if two else " and "


def _meets(facts: MoveFacts) -> str:
    """Return how a move answers a check, or that it uncovers one; nothing where neither, or it takes or promotes."""
    if facts.man.captured or facts.man.promoted:
        return ""
    if not facts.seen.answers_check:
        return _DISCOVERS if facts.seen.discovers_check else ""
    return "steps out of the check" if facts.man.piece == "king" else "blocks the check"


def _after_saving(facts: MoveFacts, deeds: Iterable[Deed]) -> Iterator[Deed]:
    saves = _in_short(facts)
    if not saves:
        yield from deeds
        return
    if won := _does(_WON, facts):
        yield won  # More than that it is saved.
    for deed in (*(_does(reason, facts) for reason in _BESIDE_SAVING), *deeds):
        if deed.text.startswith(saves):
            yield deed
        elif deed and not deed.text.startswith(_IDLE):
            yield deed.told(
                f"{saves} and {deed.text.replace(_PAST, _IT_PAST) if facts.man.piece == 'pawn' else deed.text}"
            )
    yield _does(_SAVED, facts)


def _does(reason: Reason, facts: MoveFacts) -> Deed:
    return Deed(reason.rule(facts), reason)


def _line_kept(facts: MoveFacts) -> str:
    """Say that a lone rook goes along a line beside the king, which cannot cross it before and after.

    Nothing is told where it wins later elsewhere on the line.
    """
    idea = facts.seen.idea(Saved)
    if facts.men.attacker_men != ("rook",) or idea is None or idea.by != _KING:
        return ""
    was, now, king = stood(facts), stands(facts), parse_square(facts.room.king)
    for at, name in ((_file, f"file {'abcdefgh'[now % 8]}"), (_rank, f"rank {now // 8 + 1}")):
        if at(was) == at(now) and abs(at(king) - at(now)) == 1:
            later = facts.seen.slower_moves.sharing(idea)
            if any(move.from_square == was and at(move.to_square) == at(now) for move, _ in later):
                return ""
            return f"keeps {line_name(name)} shut"
    return ""


def _file(square: int) -> int:
    return square % 8


def _rank(square: int) -> int:
    return square // 8


#: What a man that is saved wins by a check.
_WON = seen(Prepares, coming.wins_by_check, maxims.forks)
_SAVED = seen(Saved, saved, maxims.saved)
#: What a man that is saved does beside: the first that it does, after what wins by itself.
_BESIDE_SAVING: tuple[Reason, ...] = (
    seen(Trapped, hunting.trapped, hunting.trapped_maxim),
    seen(Pins, hunting.pins, maxims.always(maxims.PINNED_STAYS)),
    seen(PawnRuns, _runs, pawns.race_maxim),
    seen(StopsPawn, pawns.stops_pawn),
    Reason(pawns.stops_from_behind),
    seen(Threatens, coming.attacks, coming.threat_maxim),
    seen(SafeHere, safe_here, here_maxim),
    seen(Cage, cages.shuts_small, maxims.cage),
    seen(CutOff, rooms.cuts_still, maxims.saved),
    seen(Box, rooms.box, maxims.box),
    seen(CutOff, rooms.cuts, rooms.cut_maxim),
    Reason(_line_kept),
)


def _in_short(facts: MoveFacts) -> str:
    """Return that a move saves a man; nothing where it does not, or does more by taking or promoting."""
    idea = facts.seen.idea(Saved)
    if idea is None or facts.man.captured or facts.man.promoted or facts.worth.mate_moves in _NEXT:
        return ""
    return f"{'saves' if idea.moved or idea.by != _KING else 'guards'} the {man_name(idea.man)}"
