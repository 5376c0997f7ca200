"""What a defence keeps from the attacker, what a shorter one lets in, and what comes next."""

from __future__ import annotations

from collections.abc import Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.idea import Squares, man_name, square_name
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.looms import Looms
from matebot.ideas.must_first import MustFirst
from matebot.ideas.prepares import Next
from matebot.ideas.squares import CORNERS, from_edge, king_steps
from matebot.ideas.worse import Worse
from matebot.wording.pawn_comes import STOP, at_man, comes_at_man, king_after, pawn_on, to_keys
from matebot.wording.phrases import other, side
from matebot.wording.posture import but
from matebot.wording.said import (
    by_minors,
    goal_of,
    mated_within,
    needs_king,
    own_king,
    parse_square,
    rivals_square,
    stands,
    stood,
)

_FILES = "abcdefgh"
#: So far from a corner squares are by it.
_BY_CORNER = 3
#: What the next move does, said alike of an attacker's answer and of the way back after a slip.
MEANS = {
    Next.W_READY: "makes the W ready",
    Next.W_STEP: "goes on with the W",
    Next.SHUTS: "shuts the cage",
    Next.TIGHTENS: "tightens the cage",
    Next.OPPOSITION: "takes the opposition",
    Next.SHRINKS: "shrinks the box",
    Next.CUTS_OFF: "cuts the king off",
}
#: The same to the king that is caged.
_ROOM = {MEANS[Next.SHUTS]: "shuts {}'s king in", MEANS[Next.TIGHTENS]: "leaves {}'s king less room"}
_DEEDS = {**MEANS, Next.BOX: "shuts the king in a box", Next.KING_UP: "brings the king up"}


PAWN_ON = "brings the pawn on"
SAVE, NOT_MATE = "cannot save", "does not stop the mate"
#: In so many moves mate is soon.
_NEAR_MATE, _VERY_NEAR = 5, 2
#: So many plies are two moves of the attacker.
_TWO_MOVES = 3
#: What is done to a bare king.
_BY_A_PIECE = (Next.CUTS_OFF, Next.BOX, Next.SHRINKS)
_CAGE = (Next.SHUTS, Next.TIGHTENS)
_BARE_KING = (Next.OPPOSITION, *_CAGE)


def denied(idea: Denies, facts: MoveFacts) -> str:
    """Say what another move would let in: ``Kd3 lets Ra4 drive the king to the edge``; nothing where it says little."""
    name, answer, critical = (
        facts.seen.name(idea.other),
        facts.seen.name(idea.other, idea.answer),
        facts.seen.idea(Critical),
    )
    if critical is not None and (idea.what is Denied.CAPTURE or critical.alone) and critical.next_best != idea.other:
        return ""  # what a bad move lets in is no reason where another move is not much worse
    here = stood(facts) if facts.man.piece == "king" else parse_square(facts.room.king)
    start = idea.other.to_square if name.startswith("K") else here
    text = _let_in(idea, answer, start, facts)
    return f"{name} {text}" if text else ""


def conceded(idea: Concedes, facts: MoveFacts) -> str:
    """Say what a move lets in that the best one would not: ``lets Ra4 drive the king to the edge``."""
    answer, goal = facts.seen.name_after(idea.answer), parse_square(facts.room.king)
    return _let_in(idea, answer, goal, facts)


def _let_in(idea: Denies | Concedes, answer: str, goal: int, facts: MoveFacts) -> str:
    what, man = idea.what, idea.man
    if man is not None:
        kind = man_name(man)
        return f"loses the {kind} to {answer}" if what is Denied.CAPTURE else f"allows the {what.value} {answer}"
    if what is Denied.PROMOTION:
        return f"lets the pawn promote with check, {answer}"
    if "pawn" in facts.men.attacker_men or (facts.men.defender_men and what in (Denied.ROOM, Denied.BOX)):
        return ""  # what matters there is the man
    if answer[0] == "K" and what in (Denied.ROOM, Denied.BOX) and not by_minors(facts):
        return ""  # it is not the king that shuts it in
    alone, king = mating(facts) if needs_king(facts) else "", f"{side(facts.turn)}'s king"
    if what is Denied.KING:
        up = f"lets {side(other(facts.turn))}'s king up by {answer}"
        return f"{up}, and {alone} cannot mate without it" if alone else up
    if what is Denied.EDGE:
        does = f"drive {king} to" if from_edge(goal) else f"hold {king} on"
        return f"lets {answer} {does} the edge{f', where {alone} can mate' if alone else ''}"
    if what is Denied.BOX:
        return f"lets {answer} box {king} in"
    return f"lets {answer} {_shut_in(idea.left, king)}"


def _shut_in(left: Squares, king: str) -> str:
    """Say to which part of the board the king is cut down."""
    if not any(map(from_edge, left)):
        lines = {square % 8 for square in left}, {square // 8 for square in left}
        if len(lines[0]) == 1:
            return f"shut {king} in on the {_FILES[lines[0].pop()]}-file"
        return f"shut {king} in on rank {lines[1].pop() + 1}" if len(lines[1]) == 1 else f"hold {king} on the edge"
    for name, ranks in (("first two ranks", (0, 1)), ("last two ranks", (6, 7))):
        if all(square // 8 in ranks for square in left):
            return f"shut {king} in on the {name}"
    for a, b in ((0, 1), (6, 7)):
        if all(square % 8 in (a, b) for square in left):
            return f"shut {king} in on the {_FILES[a]}- and {_FILES[b]}-files"
    for corner in CORNERS:
        if all(king_steps(square, corner) <= _BY_CORNER for square in left):
            return f"shut {king} in near the corner {square_name(corner)}"
    return f"pen {king} in"


def mating(facts: MoveFacts) -> str:
    """Name the attacker's men: ``a rook``, ``two bishops``."""
    first, *more = facts.men.attacker_men
    if not more:
        return f"a {first}"
    return "two bishops" if "knight" not in facts.men.attacker_men else "bishop and knight"


def cannot(facts: MoveFacts) -> str:
    """Say what a defence does not stop: ``cannot save the knight: Rxc6 takes it``; nothing where it has no name."""
    leads, idea = facts.seen.idea(EndsIn), facts.seen.idea(Expects)
    if idea is not None and not _soon(leads):
        said = _cannot_stop(idea, facts)
        if said:
            return said
    if leads is None or (len(leads.line) > _TWO_MOVES and leads.does is Next.MATE):
        return ""
    name = named(leads.line, facts)
    last, what = name[-1], _lost(leads)
    if leads.does is Next.MATE:
        return f"{STOP} {mate_after(name)}"
    lead, falls = (f"{SAVE} the {what}", "falls") if leads.does is Next.CAPTURE else (f"{STOP} the pawn", "promotes")
    if len(name) == _TWO_MOVES and what == "pawn" and _moved(leads):
        return f"{lead}: it falls after {name[0]}"
    if not _is_forced(leads, facts):
        return ""  # another reply keeps it longer
    if len(name) > _TWO_MOVES:
        return f"{lead}: it {falls} in three moves, beginning with {name[0]}"
    last = last.rstrip("+")  # whether it checks depends on where the king has gone
    return f"{lead}: {_in_turn(leads, name, last)}" if len(name) > 1 else f"{lead}: {last} follows"


def _in_turn(idea: EndsIn | Looms, name: list[str], last: str) -> str:
    """Say what comes first and then; what is taken where it has only just come is told with the way there."""
    return f"first {name[0]}, {f'and if {name[1]}, ' if _moved(idea) else 'then '}{last}"


def _is_forced(idea: EndsIn | Looms, facts: MoveFacts) -> bool:
    contrast = facts.seen.contrast
    return contrast.is_forced(idea.does, len(idea.line))


def _moved(idea: EndsIn | Looms) -> bool:
    """Whether what is taken last has only just come there."""
    return idea.line[-2].to_square == idea.line[-1].to_square


def forked(reply: object, man: int, facts: MoveFacts) -> str:
    """Say that a man falls to a fork: ``cannot save the rook: Qe6+ forks king and rook``."""
    name = facts.seen.name_after(reply)  # type: ignore[arg-type]
    return f"{SAVE} the {man_name(man)}: {name} forks king and {man_name(man)}"


def _lost(idea: EndsIn | Looms | Worse) -> str:
    """Name the man that the last move takes: a pawn, where it has only just become another."""
    line = idea.line
    new = len(line) > 1 and line[-2].promotion is not None and line[-2].to_square == line[-1].to_square
    return "" if idea.man is None else "pawn" if new else man_name(idea.man)


def _cannot_stop(idea: Expects, facts: MoveFacts) -> str:
    """Say what the next move does, and that it comes; nothing where it does nothing that has a name."""
    reply, does = _next(idea, facts)
    if idea.does is Next.PROMOTION:
        return f"{STOP} the pawn: {reply} promotes it"
    if idea.man is not None:
        if facts.man.promoted and parse_square(goal_of(reply)) == stands(facts):
            return f"{SAVE} the pawn: {reply} takes the new {facts.man.promoted}"
        return f"{SAVE} the {man_name(idea.man)}: {reply} takes it"
    if does == PAWN_ON:
        return f"{STOP} {pawn_on(reply, facts)}"
    king = f"{side(other(facts.turn))}'s king"
    if idea.does is Next.KING_UP:
        does = at_man(idea.reply.from_square, idea.reply.to_square, facts) or does
    if "king up" in does:
        return _king_comes(king, reply, facts)
    if idea.does is Next.OPPOSITION and does:
        own, contrast = side(facts.turn), facts.seen.contrast
        if not contrast.one_reply:
            return _to_keys(king, reply, facts)  # another reply that is as quick takes none
        return f"{STOP} {reply}: {side(other(facts.turn))} takes the opposition, and {own} must give way"
    does = _caged(idea, does, facts)
    if does and needs_king(facts):
        return but(facts, f"{reply} {does}") or f"{STOP} {reply}, which {does}"
    return f"{STOP} {reply}, which {does}" if does else ""


def _caged(idea: Expects, does: str, facts: MoveFacts) -> str:
    """Say of a cage in what part of the board the king is left, where that has a name."""
    if does not in _ROOM:
        return does
    part = _shut_in(idea.left, f"{side(facts.turn)}'s king") if idea.left else ""
    verb, _, rest = part.partition(" ")
    return f"{verb}s {rest}" if verb in ("shut", "hold") else _ROOM[does].format(side(facts.turn))


def _to_keys(king: str, reply: str, facts: MoveFacts) -> str:
    """Say of a king and its pawn against a bare king that it gets to a key square, or nearer to one."""
    lone = facts.men.attacker_men == ("pawn",) and not facts.men.defender_men
    if lone and (facts.race.steps_short or 0) > 0:
        return f"{STOP} the pawn: {side(facts.turn)}'s king is outside its square"
    return to_keys(king, reply, facts) if lone else ""


def _king_comes(king: str, reply: str, facts: MoveFacts) -> str:
    """Say that the other king comes up, where to if that decides, and how this side stands."""
    if keys := _to_keys(king, reply, facts):
        return keys
    if reply[0] == "K" and not _nearer(reply, facts):
        return ""
    up = f"{king} closes in by {reply}"
    if needs_king(facts) and not from_edge(king_after(facts)) and mated_within(facts, _NEAR_MATE):
        return f"is soon mated: {up}"
    return but(facts, up) or f"{STOP} {king}, which closes in by {reply}"


def _round(does: str, facts: MoveFacts) -> str:
    return f" round {side(facts.turn)}'s king" if does.endswith("the cage") else ""


def _soon(leads: EndsIn | None) -> bool:
    """Whether something is won so soon that it tells more than the next move."""
    return leads is not None and 1 < len(leads.line) <= _TWO_MOVES and leads.does is not Next.PROMOTION


def comes(facts: MoveFacts) -> str:
    """Say what the attacker does next, where a move is shorter: ``White brings its king up by Kf6``."""
    idea, rival = facts.seen.idea(Expects), side(other(facts.turn))
    if idea is None or _soon(facts.seen.idea(EndsIn)):
        return ""
    reply, does = _next(idea, facts)
    if idea.does is Next.KING_UP:
        does = at_man(idea.reply.from_square, idea.reply.to_square, facts) or does
    return f"{rival} {does} by {reply}" if does else ""


def looms(idea: Looms, facts: MoveFacts) -> str:
    """Say what the attacker does with the move after next, with the moves to it."""
    first, reply, last = named(idea.line, facts)
    way = f"after {first} {reply} comes {last}"
    if idea.does in (Next.CAPTURE, Next.PROMOTION) and not _is_forced(idea, facts):
        return ""
    if idea.does is Next.PROMOTION:
        return f"{STOP} the pawn: first {first}, then {last}"
    if idea.man is not None:
        return f"{SAVE} the {_lost(idea)}: {_in_turn(idea, [first, reply], last.rstrip('+'))}"
    if last[0] == "K" or last[0].islower() or not (does := _deed(idea.does, idea.man, last, facts)):
        return ""
    if idea.does is Next.SHUTS:
        return f"is soon shut in: {way}"
    return f"{NOT_MATE}: {way}, which {does}{_round(does, facts)}"


def runs_into(idea: Worse, facts: MoveFacts) -> str:
    """Say what the next best defence runs into: ``Rd2 loses the rook after Qe1+ Kh2 Qxd2``."""
    names = [facts.seen.name(idea.other, *idea.line[: number + 1]) for number in range(len(idea.line))]
    name, line = facts.seen.name(idea.other), " ".join(names)
    if idea.does is Next.MATE:
        return f"{name} allows {mate_after(names)}"
    if idea.does is Next.CAPTURE:
        return f"{name} loses the {_lost(idea)} {'to' if len(names) == 1 else 'after'} {line}"
    return f"{name} lets the pawn through by {line}"


def mated(facts: MoveFacts) -> str:
    """Say how soon it is mate: ``it allows Kc5, with mate next move``; nothing where that takes more than two moves."""
    leads = facts.seen.idea(EndsIn)
    if leads is None or leads.does is not Next.MATE or len(leads.line) > _TWO_MOVES:
        return ""
    return f"it allows {mate_after(named(leads.line, facts))}"


def dated(told: str, facts: MoveFacts) -> bool:
    """Whether a sentence says already how soon it is mate."""
    leads = facts.seen.idea(EndsIn)
    near = leads is not None and leads.does is Next.MATE and len(leads.line) <= 2 * _TWO_MOVES - 1
    return near and leads is not None and mate_after(named(leads.line, facts)) in told


def mate_after(line: list[str]) -> str:
    """Say by what move mate comes, and when."""
    when = ("", ", with mate next move", ", with mate two moves later")
    return f"{line[0]}{when[len(line) // 2]}"


def named(line: Iterable[object], facts: MoveFacts) -> list[str]:
    """Name moves that come one after the other after the defence."""
    moves = tuple(line)
    return [facts.seen.name_after(*moves[: number + 1]) for number in range(len(moves))]  # type: ignore[arg-type]


def at_once(idea: LetsAtOnce, facts: MoveFacts) -> str:
    """Say what the next best defence lets in: ``Kc3 lets Rd2 cut the king off``; nothing where that has no name."""
    name, answer = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.answer)
    by_king = answer[0] == "K" and (idea.does in _BY_A_PIECE or (idea.does in _CAGE and not by_minors(facts)))
    does = "" if by_king else _deed(idea.does, idea.man, answer, facts)
    if not does or (idea.man is None and answer[0].islower()):
        return ""
    if idea.man is not None:
        return f"{name} loses the {man_name(idea.man)} to {answer}"
    if idea.does is Next.KING_UP:
        return ""  # it may come up later as well
    if idea.does is Next.OPPOSITION and len(facts.men.attacker_men) > 1:
        return ""  # of two men it is the other that does the work
    verb, _, rest = does.partition(" ")
    return f"{name} lets {answer} {_bare(verb)} {rest}"


def comes_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next: ``next Kf6 brings the king up``."""
    reply, does = _next(idea, facts)
    return f"next {reply} {does}" if does else f"next comes {reply}"


def forced_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does after a forced move; nothing of a reply that only goes on."""
    bare = not _next(idea, facts)[1] and idea.does not in (Next.MATE, Next.PROMOTION)
    return "" if bare else comes_next(idea, facts)


def _next(idea: Expects, facts: MoveFacts) -> tuple[str, str]:
    reply = facts.seen.name_after(idea.reply)
    pawn = reply[0].islower() and idea.man is None
    if idea.does is Next.KING_UP and reply[0] == "K" and needs_king(facts) and not _nearer(reply, facts):
        return reply, ""  # it comes round, no nearer
    return reply, PAWN_ON if pawn else _deed(idea.does, idea.man, reply, facts)


def _deed(does: Next | None, man: int | None, reply: str, facts: MoveFacts) -> str:
    if does is None or does is Next.MATE:
        return ""
    if man is not None:
        return f"takes the {man_name(man)}" if does is Next.CAPTURE else ""
    if (does in _BY_A_PIECE or (does in _CAGE and not by_minors(facts))) and reply[0] == "K":
        does = Next.KING_UP  # it is not the king that cuts off
        if not _nearer(reply, facts):
            return ""
    if does in _BARE_KING and facts.men.defender_men:
        return ""  # what matters there is the man
    if does is Next.CUTS_OFF and comes_at_man(reply, facts):
        return ""
    return _DEEDS[does].replace("the king", "its king" if does is Next.KING_UP else f"{side(facts.turn)}'s king")


def _nearer(reply: str, facts: MoveFacts) -> bool:
    """Whether a step of the attacking king brings it nearer to the defending one, which has moved or not."""
    here = stands(facts) if facts.man.piece == "king" else own_king(facts)
    return king_steps(parse_square(goal_of(reply)), here) < king_steps(rivals_square(facts), here)


def must_first(idea: MustFirst, facts: MoveFacts) -> str:
    """Say what the attacker has to do before he gets on: ``White must first bring the king up by Kf6``."""
    if idea.does is not Next.CAPTURE:
        return ""  # what he would do in any case costs him no time
    assert idea.man is not None
    reply = facts.seen.name_after(idea.reply)
    return f"{side(other(facts.turn))} must first take the {man_name(idea.man)} by {reply}"


def _bare(verb: str) -> str:
    return "go" if verb == "goes" else verb[:-1]
