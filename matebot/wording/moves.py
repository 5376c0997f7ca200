"""What a move did, as a coach would say it: one line, or a few short sentences, right for either colour and any corner.

The first sentence says what the move is for, or what it broke; the others follow as far as there is room.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from itertools import islice

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.answers import Answers
from matebot.ideas.leaves_man import LeavesMan
from matebot.ideas.mates import Mates
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.terms import Cause, Mistake
from matebot.wording import mates, maxims, patterns, rivals
from matebot.wording.as_good import names_as_good
from matebot.wording.attack import deeds, shows_answer, without
from matebot.wording.denials import dated
from matebot.wording.draws import drew, tried_in_a_draw, whose, why_drawn
from matebot.wording.lasting import held
from matebot.wording.onward import with_end
from matebot.wording.outlook import dead
from matebot.wording.phrases import LINE, counted, listed, mate_in, rule_leaves, sentence, side
from matebot.wording.reason import NO_DEED, Deed
from matebot.wording.said import answered, kind_signed, of
from matebot.wording.slips import slipped, slower
from matebot.wording.standing_out import THE_OTHER

_MAX_SENTENCES = 3
_SPARE_MOVES = 5
_FEW = 3
#: Beside so many moves as quick that do something else what one of them does is no rule.
_MANY = 5
_FOLLOWS = "It follows the method"
_DISTANCES = ("Mate in ", "Now it is mate in ")
#: What has a colon, how it is told behind the side, which has one already, and how it is found there again.
_BEHIND_THE_SIDE = (
    (r"^Better: (\S+) ", r"Better is \1, which ", r"^Better is (\S+), which ", r"Better: \1 "),
    (
        r"^The way back: after (\S+), (\S+) ",
        r"The way back after \1 is \2, which ",
        r"^The way back after (\S+) is (\S+), which ",
        r"The way back: after \1, \2 ",
    ),
    (r"^Drawn: (?=\w+'s king )", "It is drawn, since ", r"^It is drawn, since ", "Drawn: "),
)
#: What is told of men that need their king, and rules that say the same; of one man `maxims.NOT_ALONE` does.
_NEEDS_KING = re.compile(r": .* needs? (?:its|their) king")
_NEEDED = (maxims.ALL_IN_PLAY, maxims.KING_TO_CENTRE)
#: What other moves do, by what they come to.
_OUTCOMES = {0: "draw", -1: "lose"}
#: Deeds that take room from a king.
_TAKES_ROOM = re.compile(
    "(?:^| and )(?:shuts|cuts|keeps the king|tightens|takes [a-h][1-8]|drives the king to the edge)"
)
_SQUARE = re.compile(r"[a-h][1-8]")
_BEGINS = ("if ", "after ", "then ")


def told(facts: MoveFacts, better: MoveFacts | None = None) -> list[str]:
    """Return one to three sentences about a move, good or bad.

    Parameters
    ----------
    better : the facts of the best move, where this one loses something
    """
    found = _sentences(facts, better, hints=True)
    if len(found) > _MAX_SENTENCES:  # a rule says more than which moves are as good
        found = [said for said in found if not names_as_good(said)]
    return found[:_MAX_SENTENCES]


def line(
    facts: MoveFacts,
    better: MoveFacts | None = None,
    hints: bool = False,
    said: Collection[str] = (),
    beside: Sequence[str] = (),
) -> str:
    """Return one line about a move, at most `LINE` characters, beginning with the side: ``White: Bd3 shuts ...``.

    Parameters
    ----------
    hints : whether the next moves may be told
    said : sentences that need not be said again
    beside : sentences of the caller's that come before all but the first, as far as there is room
    """
    first, *rest = _sentences(facts, better, hints)
    rest.sort(key=names_as_good)  # a rule comes before where there is no room for both
    return one_line(facts.turn, [first, *beside, *rest], said)


def lines(
    facts: MoveFacts, better: MoveFacts | None = None, hints: bool = False, said: Collection[str] = ()
) -> list[str]:
    """Return a line about a move as `line` does, and a second one with what had no room in it, if anything.

    The distance and what names moves and squares come first, so that what stands alone in the second is a rule.
    """
    first, *rest = _sentences(facts, better, hints)
    sentences = [first, *sorted(rest, key=_far_from_the_move)]
    told = one_line(facts.turn, sentences, said, in_order=True)
    left = [more for more in sentences[1:] if more not in (*said, *sentences_of(told))]
    left[:1] = map(_behind_the_side, left[:1])
    return [told] if all(more.startswith(_DISTANCES) for more in left) else [told, one_line(facts.turn, left, said)]


def _behind_the_side(sentence: str) -> str:
    """Return a sentence as it stands behind the side, which has a colon already: ``Better is Kd5, which ...``."""
    for alone, behind, _, _ in _BEHIND_THE_SIDE:
        sentence = re.sub(alone, behind, sentence)
    return sentence


def _alone(sentence: str) -> str:
    """Return a sentence behind the side as it stands by itself."""
    for _, _, behind, alone in _BEHIND_THE_SIDE:
        sentence = re.sub(behind, alone, sentence)
    return sentence


def _far_from_the_move(sentence: str) -> int:
    """Return how far from the move told of a sentence may stand: the distance, what names squares, rules."""
    return 0 if sentence.startswith(_DISTANCES) else 1 if _SQUARE.search(sentence) else 2


def one_line(turn: str, sentences: Sequence[str], said: Collection[str] = (), in_order: bool = False) -> str:
    """Return sentences about a move of a side as one line: the first, and of the others what has room and is new.

    Parameters
    ----------
    in_order : whether nothing comes before what had no room
    """
    head = f"{side(turn)}:"
    first, *rest = sentences
    text = f"{head} {cut(first, LINE - len(head) - 1)}"
    for more in sorted(rest, key=lambda more: more.startswith(_FOLLOWS)):  # what a pupil can take along comes before
        if more in said:
            continue
        if len(text) + 1 + len(more) <= LINE:
            text = f"{text} {more}"
        elif in_order:
            break
    return text


def sentences_of(text: str) -> list[str]:
    """Return the sentences of a line beyond the first, which is about its move alone."""
    return [f"{part.rstrip('.')}." for part in text.split(". ")[1:]]


def beyond_the_first(told: Sequence[str]) -> list[str]:
    """Return the sentences of `lines` beyond the first of all."""
    return sentences_of(joined(told))


def joined(told: Sequence[str]) -> str:
    """Return `lines` as one, with the side named once and each sentence as it stands there."""
    return " ".join([*told[:1], *(_alone(text.partition(": ")[2]) for text in told[1:])])


def cut(text: str, most: int) -> str:
    """Shorten a sentence that is too long at its last natural break."""
    while len(text) > most:
        at = max(text.rfind(mark, 0, -1) for mark in ("; ", ": ", ", "))
        if at < 0:
            break
        line = text.rfind(": ", 0, at)  # a reply is not told without what comes after it
        text = f"{text[: line if line > 0 and text.startswith(_BEGINS, line + 2) else at]}."
    return text


def _sentences(facts: MoveFacts, better: MoveFacts | None, hints: bool) -> list[str]:
    if facts.cost.mistake.is_slip or facts.cost.mistake is Mistake.SLOWER:
        assert better is not None
        return slipped(facts, better) if facts.cost.mistake.is_slip else slower(facts, better)
    return _attack(facts, hints) if facts.by_attacker else _defence(facts)


def _attack(facts: MoveFacts, hints: bool) -> list[str]:
    if facts.gives.mate:
        return _mates(facts)
    if facts.worth.outcome_before == facts.worth.outcome_after == 0:
        return _still_drawn(facts)
    deed = next(deeds(facts), NO_DEED)
    hints = hints and not shows_answer(deed, facts)
    if deed:
        first = f"{facts.san} {with_end(deed.text, facts)}"
    elif len(facts.then.ahead) == 2:
        reply, answer = facts.then.ahead
        hints = False  # The next moves are told already.
        only = facts.replies.only_reply is not None
        first = f"leaves only {reply}: then {answer}" if only else f"{_goes_on(answer, facts)}: if {reply}, {answer}"
        first = f"{facts.san} {with_end(first, facts)}"
    else:
        first = f"{facts.san} keeps the win"
    return [sentence(first), *_shortest(facts), *worth_knowing(facts, hints, deed)]


def _shortest(facts: MoveFacts) -> list[str]:
    """Say how soon mate can come: how long the method may take at most tells a pupil little."""
    if facts.places.method_moves is None or facts.worth.mate_moves is None or not facts.worth.exact_after:
        return [] if facts.places.method_moves else _distance(facts)
    return [sentence(mate_in(facts.worth.mate_moves, True))]


def _goes_on(answer: str, facts: MoveFacts) -> str:
    """Say by which man a plan without a name goes on: the one that moved, or another."""
    man = kind_signed(answer)
    if _waits_for_man(facts):
        return f"waits, for the {facts.men.defender_men[0]} cannot be saved"
    if man == facts.man.piece:
        if facts.seen.answers_check and man == "king":
            return "steps out of the check"
        return "walks on" if man == "king" else f"brings the {man} round"
    if not facts.worth.exact or facts.worth.mate_moves != facts.worth.best_moves:
        return "keeps the win"
    if facts.gives.check:
        return "checks first"
    return "loses no time" if facts.as_quick else "makes ready for the next move"


def _waits_for_man(facts: MoveFacts) -> bool:
    """Whether the other side's only man can be taken next as well, whatever is replied."""
    left, line = facts.seen.idea(LeavesMan), facts.then.ahead
    takes = len(line) > 1 and "x" in line[1] and len(facts.men.defender_men) == 1
    return takes and left is not None and left.doomed


def _mates(facts: MoveFacts) -> list[str]:
    """Name the pattern of a mate, or say who holds what, and what it teaches; the place where there is room."""
    idea = facts.seen.idea(Mates)
    if idea is None:
        return [sentence(f"{facts.san} is checkmate")]
    place = "" if not idea.on_edge else " in the corner" if idea.in_corner else " on the edge"
    named = patterns.pattern(idea, facts)
    general, held = (mates.maxim(idea), mates.held_by(idea, facts)) if named is None else (named.maxim, named.text)
    rule, short = sentence(general) if general else "", mates.in_short(idea, facts) if named is None else held
    least = place if named is not None and named.needs_place else ""
    ways = ((place, held, rule), (least, held, rule), (least, held, ""), (least, short, rule))
    for how, also in ((f"{where}: {text}", also) for where, text, also in ways):
        told = sentence(f"{facts.san} is checkmate{how}")
        if len(f"{side(facts.turn)}: {told} {also}".rstrip()) <= LINE:
            break
    return [told, *([also] if also else [])]


def worth_knowing(facts: MoveFacts, hints: bool, deed: Deed) -> list[str]:
    """Return what is worth knowing beside what is told of a move, the most telling first."""
    only, general = _only_way(facts), _lesson(facts, deed)
    beside = [general, only] if facts.beside.keeping > 1 else [only, general]
    beside.insert(0 if general == maxims.MANY_WAYS else 1, rivals.as_quick(facts, deed))
    if not general and not deed and _waits_for_man(facts):
        beside.append(maxims.DOOMED)
    found = [_by_the_method(facts), _few_moves_left(facts), _not_stalemate(facts), beside[0], _left(facts), *beside[1:]]
    if hints:
        found.insert(1, _beyond(deed.text, of(Answers, answered)(facts)))
    return [sentence(text) for text in found if text]


def _lesson(facts: MoveFacts, deed: Deed) -> str:
    """Return what a move teaches; of its room only, else what fits all, where many are as quick that do else."""
    general = deed.teaches(facts)
    alone = (maxims.NOT_ALONE.format(man=man) for man in facts.men.attacker_men)
    if _NEEDS_KING.search(deed.text) and general in (*_NEEDED, *alone):
        # What they need is said already.
        return maxims.FROM_MIDDLE if deed.text.startswith(("heads for the centre", "leaves the edge")) else ""
    many = general and len(facts.as_quick) >= _MANY and not facts.cost.moves_lost
    if not many or sum(1 for _ in islice(without(facts, deed), _MANY)) < _MANY:
        return general
    if _TAKES_ROOM.search(deed.text) and not facts.men.defender_men:
        return maxims.TAKE_SQUARES
    return maxims.MANY_WAYS if not facts.men.defender_men and "queen" in facts.men.attacker_men else ""


def _beyond(deed: str, answers: str) -> str:
    """Leave out of the replies with their answers what a deed tells."""
    return "; ".join(pair for pair in answers.split("; ") if f": {pair} " not in f"{deed} ")


def _still_drawn(facts: MoveFacts) -> list[str]:
    """Say what a move of the stronger side does to a draw: most change nothing, but some save it."""
    if facts.worth.cause_before is Cause.DEAD_POSITION:
        return _changes_nothing(facts)
    if (
        facts.man.captured
        or facts.man.promoted
        or facts.beside.keeping < facts.beside.choices
        or facts.worth.cause_after is Cause.STALEMATE
        or tried_in_a_draw(facts)
    ):
        return drew(facts)
    late = facts.worth.cause_after is Cause.FIFTY_MOVES
    why = "the fifty-move rule comes before any mate" if late else whose(why_drawn(facts), facts)
    return [sentence(f"{facts.san} leaves it drawn: {why or 'with best play no mate can be forced'}")]


def _changes_nothing(facts: MoveFacts) -> list[str]:
    return [sentence(f"{facts.san} changes nothing: {dead((*facts.men.attacker_men, *facts.men.defender_men))}")]


def _distance(facts: MoveFacts) -> list[str]:
    text = distance(facts)
    return [sentence(text)] if text else []


def distance(facts: MoveFacts) -> str:
    """Say how far it is to mate, by the method at most; nothing in a draw or after mate."""
    if facts.places.method_moves and not _is_shortest(facts):
        return mate_in(facts.places.method_moves, False)
    if facts.worth.mate_moves is None or facts.gives.mate:
        return ""
    return mate_in(facts.worth.mate_moves, facts.worth.exact_after)


def _is_shortest(facts: MoveFacts) -> bool:
    """Whether the method mates as soon as can be, as far as is known."""
    return facts.worth.exact and facts.places.method_moves == facts.worth.mate_moves == facts.worth.best_moves


def _defence(facts: MoveFacts) -> list[str]:
    if facts.gives.mate:
        return [sentence(f"{facts.san} is checkmate")]
    if facts.worth.cause_before is Cause.DEAD_POSITION:
        return _changes_nothing(facts)
    if facts.worth.outcome_after == 0:
        return drew(facts)
    if facts.worth.outcome_after > 0:
        return [sentence(f"{facts.san} wins for {side(facts.turn)}"), *_distance(facts)]
    told = held(facts)
    return told if dated(told[0], facts) else [*told, *_distance(facts)]


def _few_moves_left(facts: MoveFacts) -> str:
    if facts.worth.mate_moves is None or facts.moves_left > _SPARE_MOVES + facts.worth.mate_moves:
        return ""
    return rule_leaves(facts.moves_left) if facts.counts.clock_plies > 1 else ""


def _by_the_method(facts: MoveFacts) -> str:
    """Say what the method costs, where it is followed and is not the shortest way."""
    if not facts.cost.moves_lost:
        return ""
    stages = facts.places.standings_before
    fits = stages and (facts.man.piece == "king") == stages[0].at.by_king
    follows = f"{_FOLLOWS.lower()}{f' ({stages[0].title})' if fits else ''}"
    if facts.worth.best_moves == 1:
        return f"{follows}; {facts.instead.best_san} mates at once"
    return f"{follows}; {facts.instead.best_san} mates {counted(facts.cost.moves_lost, 'move')} sooner"


def _only_way(facts: MoveFacts) -> str:
    if facts.beside.keeping == facts.beside.choices:
        return ""
    if facts.beside.keeping == 1:
        one = facts.beside.choices == THE_OTHER
        others = listed([_OUTCOMES[o] + "s" * one for o in facts.beside.others], "or")
        return f"it is the only move that wins; the other{'' if one else 's'} {others}"
    return rivals.only_these(facts)


def _left(facts: MoveFacts) -> str:
    """Say how soon a capture wins that is left out, where mate is not near."""
    idea = facts.seen.idea(LeavesMan)
    near = facts.worth.mate_moves is not None and facts.worth.mate_moves <= _FEW
    if idea is None or near or not facts.worth.exact or not idea.later:
        return ""
    return f"{facts.seen.name(idea.capture)} takes {counted(idea.later, 'move')} longer"


def _not_stalemate(facts: MoveFacts) -> str:
    idea = facts.seen.idea(StalemateTrap)
    if idea is None or idea.deed is not StalemateDeed.AVOIDS or len(idea.moves) > _FEW:
        return ""  # Of many, some told would make the others look safe.
    return f"not {listed([facts.seen.name(move) for move in idea.moves], 'or')}: stalemate"
