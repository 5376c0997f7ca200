"""What a pupil can take along from a slip, and in how many words."""

from __future__ import annotations

import re

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.blame import Lapse
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.shuts_way import Aim
from matebot.ideas.squares import from_edge
from matebot.wording import answers, attack, captures, chances, losses, maxims, remedies, running_on
from matebot.wording.attack import deeds
from matebot.wording.causes import caused, reached, taught
from matebot.wording.coming import is_behind
from matebot.wording.given_up import room_given
from matebot.wording.lapses import best_ones, gives_time, replied, square_open
from matebot.wording.missed import mate_in_two_maxim, needed_man, step_as_good, underpromoted
from matebot.wording.phrases import LINE
from matebot.wording.reason import NO_DEED, Deed
from matebot.wording.said import by_minors, needs_king, parse_square, rivals_men, stands

#: A slip of so few moves is a small one.
_FEW = 2
#: How deeds begin that take room from the king.
_ROOM = ("shuts ", "tightens ", "shrinks ", "cuts ", "keeps ")

#: Where the rule about the king is enough.
_BRINGS = ", which brings the king "


def in_room(facts: MoveFacts, rule: str, told: list[str], before: list[list[str]]) -> str:
    """Return a rule, in fewer words where there is no room for it beside what is told before it."""
    length = len(f"{facts.turn}:") + sum(len(text) + 1 for text in told)
    for text in (text for part in before for text in part):
        length += len(text) + 1 if length + len(text) < LINE else 0
    king_first = _BRINGS in told[0] and facts.man.piece != "king"
    whole, rule = rule, _of_one_man(rule, facts)
    ways = (
        (rule, maxims.KING_FIRST_OF_ALL)
        if king_first
        else (rule, *(_of_one_man(text, facts) for text in maxims.shorter(whole)))
    )
    return next((way for way in ways if length + len(way) + 2 <= LINE), ways[-1])


def _of_one_man(rule: str, facts: MoveFacts) -> str:
    """Return the rule to attack together with the man named where there is one only."""
    alone = len(facts.men.attacker_men) == 1 and not facts.man.promoted
    one = facts.men.attacker_men if alone else ("men",)
    return rule.replace(maxims.ATTACK_TOGETHER, f"attack with king and {one[0]} together")


def overlooked(first: str) -> bool:
    """Whether a slip is told by what it overlooks."""
    return any(word in first for word in (" overlooks ", " is stalemate"))


def rule_of(facts: MoveFacts, better: MoveFacts, first: str) -> str:
    """Return what a pupil can take along from a slip of the attacker; "" where nothing."""
    if not facts.by_attacker:
        return ""
    better = next((one for one in best_ones(facts) if f" misses {one.san}, " in first), better)
    if facts.gives.stalemate:
        return maxims.LEAVE_A_MOVE
    if (given := losses.lost(facts, better)) and given in first:
        return losses.maxim(facts, better)
    if facts.man.captured and f" gives the {facts.man.piece} for the " in first:
        return maxims.BEFORE_TAKING
    if " misses the skewer " in first:
        return maxims.LOOK_BEHIND
    if " misses mate in two" in first:
        return mate_in_two_maxim(better)
    if " overlooks " in first or " takes the loose " in first:
        if f" {better.san} takes " not in first and not better.gives.mate:
            return maxims.EVERY_CAPTURE  # another move takes it
        return maxims.EVERY_CHECK if better.gives.mate else _of_a_loose_man(better)
    if needed_man(facts) == "queen" and (made := underpromoted(facts)) and made in first:
        return maxims.MAKE_A_QUEEN
    best = best_ones(facts)
    if (waits := running_on.runs_on(facts, best)) and waits in first:
        if running_on.in_its_way(facts, best):
            return maxims.OWN_WAY
        return maxims.BRING_ON if any(one.man.piece == "king" for one in best) else maxims.RUN_FIRST
    if (step := step_as_good(facts, better)) is not None and f" or {step.san}" in first:
        return maxims.BRING_ON
    if f": better is {better.san}" in first:
        pushes = any(f" or {one.san}" in first and one.man.piece == "pawn" for one in best)
        return maxims.BRING_ON if pushes else maxims.WHERE_IT_WANTS if " come to " in first else ""
    if better.man.promoted and (facts.man.promoted or _told_late(better, first)):
        if " makes only a " in first:
            queens = better.man.promoted == "queen"  # where a queen leaves no move it is no better
            return maxims.QUEEN_FASTER.format(man=facts.man.promoted) if queens else ""
        return maxims.MAKE_A_QUEEN if facts.man.promoted and better.man.promoted == "queen" else maxims.QUEEN_AT_ONCE
    if f" misses {better.san}, which hits king and " in first:
        return maxims.SEEK_DOUBLE
    if " misses the fork " in first:
        return maxims.SECOND_MAN if f" {better.san}," in first else maxims.SEE_FORKS
    blow = facts.seen.idea(Refutation)
    if blow is not None and blow.means in (Means.SKEWER, Means.PIN) and f" {_reply_of(blow, facts)}, " in first:
        return _one_line(blow)
    if blow is not None and blow.means is Means.FORK and f" {_reply_of(blow, facts)}, " in first:
        return maxims.SEE_FORKS
    if f" {better.san}, which forks king and " in first:
        return maxims.SECOND_MAN
    if " misses mate in three" in first:
        return mate_in_two_maxim(better)
    if any(words in first for words in _HUNTED):
        return maxims.HUNTED
    if ", which is after the " in first:
        return maxims.last_man(better)
    if better.man.captured and f" {better.san}, which takes the " in first:
        if (
            better.man.victim_guarded and not better.seen.answers_check
        ):  # so it is attacked once more, where nobody takes back
            return "" if square_name(stands(better)) in better.loose_men.loose else maxims.ONCE_MORE
        return _of_a_loose_man(better)
    if better.man.piece == "pawn" and f" misses {better.san}, which brings the pawn on" in first:
        general = next(remedies.own(better, facts), NO_DEED).teaches(better)
        general = maxims.PUSH_SAFELY if general in ("", maxims.LEAD) else general  # it is the pawn that moves
        return maxims.RUN_FIRST if better.race.runs_alone else general
    if better.gives.check and f" misses {better.san}, the only move that wins" in first:
        return maxims.EVERY_CHECK
    if f" {better.san}, which " in first:
        told = first.partition(f" {better.san}, which ")[2].partition("; ")[0].rstrip(".")
        deed = next((one for one in deeds(better) if attack.head(one.text) == attack.head(told)), NO_DEED)
        quiet = not any(other.gives.check for other in best_ones(facts))
        if facts.gives.check and quiet and told.startswith(_ROOM):
            return maxims.ROOM_FIRST
        if told.startswith("shuts the king in"):
            boxed = told.startswith("shuts the king in a box")
            cage_first = not boxed and needs_king(better) and facts.man.piece == "king" != better.man.piece
            return maxims.CAGE_FIRST if cage_first else maxims.TAKE_SQUARES
        general = _of_a_deed(better, deed)
        won = (maxims.last_man(better), maxims.PART.format(man=facts.man.captured))
        if facts.man.captured and general in won:
            return ""  # the slip has won it
        if general or (general := maxims.BEHIND if told.startswith("goes behind the pawn") else ""):
            return general if facts.gives.check else _without_check(general, better)
    if (
        (then := answers.then_does(better))
        and better.answer is not None
        and f" {better.answer.san} {then.text}" in first
    ):
        of_room = not facts.men.defender_men and "pawn" not in facts.men.attacker_men
        return _without_check(then.teaches(better.answer), better) if of_room else ""
    if " lets the pawn promote by " in first:
        return maxims.STOP_THE_PAWN
    if " the king off from its " in first and facts.men.defender_men:
        return maxims.PART.format(man=facts.men.defender_men[0])
    text, general = caused(facts, better)
    if general == maxims.NO_LOOSE_MAN and facts.man.piece in ("rook", "queen") and _in_reach(facts):
        general = maxims.FROM_AFAR.format(man=facts.man.piece)
    if general == maxims.WAY_FIRST:
        general = _of_a_way(facts)
    if general == maxims.HOLD_THE_LINE and facts.seen.blame is not None and not facts.seen.blame.line:
        tied = not facts.seen.blame.same_man and by_minors(facts)
        general = maxims.FREE_MAN if tied else ""
    said = general if text and text in first else ""
    if text and text == replied(facts, better) and text in first:
        if facts.given.gains is Gain.HIT:
            return maxims.NO_LOOSE_MAN if facts.given.by_king else maxims.SEE_WHAT_HITS
        deed = next(remedies.own(better, facts), NO_DEED)  # the one that is told
        said = _of_a_deed(better, deed)
    if not said and text and text in first:
        said = taught(facts, better, text)
    if not said and (time := gives_time(facts)) and time in first:
        return maxims.CHECK_GAINS_TIME
    if not said and (time := chances.gives_time_to(facts)) and f"{time};" in first:
        said = _of_a_gain(facts)
    if not said and (way := square_open(facts)) and way in first:
        return maxims.WHERE_IT_WANTS
    if not said and " unguarded: " in first:
        said = _of_a_way(facts)
    if not said and " way to its " in first and facts.men.defender_men:
        said = maxims.PART.format(man=facts.men.defender_men[0])
    if not said and "way off the edge" in first:
        said = maxims.STAY_THERE
    if not said and "way back to the centre" in first and needs_king(facts):
        said = maxims.NOT_IN_THE_MIDDLE
    if not said and _TO_EDGE in first and needs_king(facts):
        said = maxims.ONLY_ON_EDGE
    if not said and not facts.man.captured and (", which attacks the " in first or ", which covers " in first):
        said = maxims.last_man(better)
    if not said and (room := room_given(facts, better))[0] and room[0] in first:
        said = room[1]
    to_centre = any(f" misses {other.san}, {goes}" in first for other in best for goes in _TO_CENTRE)
    if not said and to_centre and by_minors(facts) and needs_king(facts):
        said = maxims.ALL_IN_PLAY
    if not said and _all_behind(facts) and isinstance(facts.seen.why_drawn, PawnSupported):
        said = maxims.BEHIND
    if not said and ", which guards the rook" in first and better.man.piece != "king":
        said = maxims.GUARD_IN_TIME
    rule = said or next((rule for words, rule in _BY_WORDS if words in first), "")
    if rule == maxims.RUN_FIRST and facts.seen.answers_check and better.man.piece != "pawn":
        return ""  # no pawn could have been pushed
    return rule if facts.gives.check else _without_check(rule, better)


def _in_reach(facts: MoveFacts) -> bool:
    """Whether the man that moved came where the other king attacks it."""
    blame = facts.seen.blame
    return bool(reached(facts)) or (blame is not None and blame.lapse is Lapse.IN_REACH)


#: How a man is told of that is away from its king.
_HUNTED = (": away from its king the ", ": away from its king it is lost", ", which is away from its king")
_TO_CENTRE = ("which heads for the centre", "which brings the king off the edge")
_TO_EDGE = ", which drives the king to the edge"


#: What teaches by what is told, where the cause itself brings no rule.
_BY_WORDS = (
    (" in its pawn's way", maxims.OWN_WAY),
    (" at once outruns ", maxims.RUN_FIRST),
    (", which pins ", maxims.PINNED),
    (" tightens the cage", maxims.TAKE_SQUARES),
    (", which goes after the ", maxims.ATTACK_TOGETHER),
    (", which clears the way for the pawn", maxims.RUN_FIRST),
    (", which shuts rank ", maxims.TAKE_SQUARES),
    (", which takes the opposition", maxims.OPPOSED_BAR),
    (", which takes the diagonal opposition", maxims.KING_FIRST),
    (" no safe square", maxims.NO_SQUARE),
    ("-file to ", maxims.TAKE_SQUARES),
    (", which brings the king up", maxims.ATTACK_TOGETHER),
    (", which brings the king nearer", maxims.ATTACK_TOGETHER),
    (", which guards the rook", maxims.ATTACK_TOGETHER),
    (", which guards it there", maxims.ATTACK_TOGETHER),
    (", which takes ", maxims.TAKE_SQUARES),
    (" time to stop the pawn", maxims.RUN_FIRST),
    (", which shuts the king in", maxims.TAKE_SQUARES),
    (", which brings the king towards the centre", maxims.KING_TO_CENTRE),
    (" cuts the king off along ", maxims.CUT_OFF),
    (" brings the king up", maxims.TOGETHER),
    (" brings the king off the edge", maxims.KING_TO_CENTRE),
    (", which drives the king to ", maxims.CHECK_INTO_NET),
    (" shuts the king in", maxims.TAKE_SQUARES),
)


def _all_behind(facts: MoveFacts) -> bool:
    """Whether every move that keeps the outcome puts the rook behind the only pawn of the other side."""
    pawns = rivals_men(facts) if facts.men.defender_men == ("pawn",) else []
    return bool(pawns and facts.held_against) and all(is_behind(pawns[0], one) for one in facts.held_against)


def _without_check(general: str, better: MoveFacts) -> str:
    """Return a rule to a slip that gives no check and shuts no cage: what is said of either is no use there."""
    if general == maxims.CHECK_INTO_NET and better.gives.check and needs_king(better):
        return maxims.ONLY_ON_EDGE
    no_use = (maxims.ROOM_FIRST, maxims.FIRST_CAGE, maxims.CAGE_SMALLER, maxims.CHECK_INTO_NET)
    return maxims.TAKE_SQUARES if general in no_use else general


def _of_a_deed(better: MoveFacts, deed: Deed) -> str:
    """Return what something that the better move does teaches."""
    return maxims.BEHIND if deed.text.startswith("goes behind the pawn") else deed.teaches(better)


def _of_a_loose_man(better: MoveFacts) -> str:
    """Return what a man that could be taken teaches, by how it is taken."""
    if better.seen.answers_check:
        return maxims.TAKE_IN_CHECK
    return maxims.KING_MAY_TAKE if better.man.piece == "king" else captures.maxim(better) or maxims.EVERY_CAPTURE


def _of_a_gain(facts: MoveFacts) -> str:
    """Return what is taught by the time that the other side is given, by what it is used for."""
    if facts.given.gains is Gain.HIT:
        return maxims.NO_LOOSE_MAN if facts.given.by_king else maxims.SEE_WHAT_HITS
    if facts.given.gains is Gain.MAN and facts.men.defender_men:
        return maxims.PART.format(man=facts.men.defender_men[0])
    return maxims.FROM_THE_PAWN if facts.given.gains is Gain.PAWN else ""


def _of_a_way(facts: MoveFacts) -> str:
    """Return what a way left open teaches, by where it leads."""
    leads = None if facts.seen.blame is None else facts.seen.blame.leads
    if leads is Aim.WRONG_CORNER:
        return maxims.NOT_THAT_CORNER
    if leads is Aim.PAWN:
        return maxims.FROM_THE_PAWN
    if leads is Aim.CENTRE and not from_edge(parse_square(facts.room.king)):
        return maxims.STAY_THERE
    return maxims.NOT_IN_THE_MIDDLE if leads is Aim.CENTRE and needs_king(facts) else maxims.WAY_FIRST


def _told_late(better: MoveFacts, first: str) -> bool:
    """Whether a promotion is named as what should have come first."""
    named = re.search(rf" {re.escape(better.san)}[ ;]", first)
    return named is not None or " time for " in first


def _reply_of(idea: Refutation, facts: MoveFacts) -> str:
    """Name the reply that punishes a slip."""
    return "" if idea.reply is None else facts.seen.name_after(idea.reply)


def _one_line(idea: Refutation) -> str:
    """Say which men are not to stand on one line, where the king is one of them."""
    other = [man_name(kind) for kind in idea.men if man_name(kind) != "king"]
    return maxims.ONE_LINE.format(man=other[0]) if len(other) == 1 else ""
