"""What a defence keeps from the attacker, what a shorter one lets in, and what the attacker does next, in words."""

from __future__ import annotations

from collections.abc import Iterable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.concedes import Concedes
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import Squares, man_name, square_name
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.looms import Looms
from matebot.ideas.must_first import MustFirst
from matebot.ideas.prepares import Next
from matebot.ideas.squares import CORNERS, from_edge, king_steps
from matebot.ideas.worse import Worse
from matebot.wording.pawn_comes import comes_at_man
from matebot.wording.phrases import other, side
from matebot.wording.said import (
    by_minors,
    goal_of,
    needs_king,
    own_king,
    parse_square,
    rivals_square,
    stands,
    stood,
)

_FILES = "abcdefgh"
_QUEEN = 5
#: So far from a corner squares are by it.
_BY_CORNER = 2
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
_DEEDS = {**MEANS, Next.BOX: "shuts the king in a box", Next.KING_UP: "brings the king up"}
#: So many plies are two moves of the attacker.
_TWO_MOVES = 3
#: What is done to a bare king.
_BY_A_PIECE = (Next.CUTS_OFF, Next.BOX, Next.SHRINKS)
CAGE = (Next.SHUTS, Next.TIGHTENS)
_BARE_KING = (Next.OPPOSITION, *CAGE)


def denied(idea: Denies, facts: MoveFacts) -> str:
    """Say what another move would let in: ``Kd3 lets Ra4 drive the king to the edge``; nothing where it says little."""
    name, answer, critical = (
        facts.seen.name(idea.other),
        facts.seen.name(idea.other, idea.answer),
        facts.seen.idea(Critical),
    )
    if critical is not None and (idea.what is Denied.CAPTURE or critical.alone) and critical.next_best != idea.other:
        return ""  # what a bad move lets in is no reason where another move is not much worse
    if _promotes_less(idea):
        return ""
    if idea.what is Denied.CAPTURE and _lost_alone(facts):
        return ""
    if idea.what in (Denied.FORK, Denied.SKEWER) and _hit_alone(facts):
        return ""
    here = stood(facts) if facts.man.piece == "king" else parse_square(facts.room.king)
    start = idea.other.to_square if name.startswith("K") else here
    text = _let_in(idea, answer, start, facts)
    return f"{name} {text}" if text else ""


def _lost_alone(facts: MoveFacts) -> bool:
    """Whether no man is lost after some shorter defence beside one that lasts longest alone: that is not why."""
    critical = facts.seen.idea(Critical)
    return critical is not None and critical.alone and not facts.seen.contrast.hang_else


def _hit_alone(facts: MoveFacts) -> bool:
    """Whether most shorter defences keep the one piece beside one that lasts longest alone: a blow is not why."""
    critical, men = facts.seen.idea(Critical), facts.men.defender_men
    piece = len(men) == 1 and men != ("pawn",)
    return critical is not None and critical.alone and piece and not facts.seen.contrast.kept.mostly_lost


def _promotes_less(idea: Denies | LetsAtOnce | Worse) -> bool:
    """Whether the other move makes less than a queen, which nobody would: it is no example of what is worse."""
    return idea.other.promotion not in (None, _QUEEN)


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
        if king_steps(idea.answer.to_square, goal) >= king_steps(idea.answer.from_square, goal):
            return ""  # it comes no nearer by steps
        up = f"lets {side(other(facts.turn))}'s king up by {answer}"
        return f"{up}, and {alone} cannot mate without it" if alone else up
    if what is Denied.EDGE:
        does = f"drive {king} to" if from_edge(goal) else f"hold {king} on"
        return f"lets {answer} {does} the edge{f', where {alone} can mate' if alone else ''}"
    if what is Denied.BOX:
        return f"lets {answer} box {king} in"
    return f"lets {answer} {shut_in(idea.left, king, goal)}"


def shut_in(left: Squares, king: str, at: int) -> str:
    """Say to which part of the board the king is cut down, and by its square before that whether it is driven there."""
    if not any(map(from_edge, left)):
        lines = {square % 8 for square in left}, {square // 8 for square in left}
        if len(lines[0]) == 1:
            return f"shut {king} in on the {_FILES[lines[0].pop()]}-file"
        if len(lines[1]) == 1:
            return f"shut {king} in on rank {lines[1].pop() + 1}"
        return f"drive {king} to the edge" if from_edge(at) else f"hold {king} on the edge"
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


def taken(idea: EndsIn | Looms | Worse) -> str:
    """Name the man that the last move takes: a pawn, where it has only just become another."""
    line = idea.line
    new = len(line) > 1 and line[-2].promotion is not None and line[-2].to_square == line[-1].to_square
    return "" if idea.man is None else "pawn" if new else man_name(idea.man)


def runs_into(idea: Worse, facts: MoveFacts) -> str:
    """Say what the next best defence runs into: ``Rd2 loses the rook after Qe1+ Kh2 Qxd2``."""
    hangs = facts.seen.idea(Hanging) if idea.does is Next.CAPTURE else None
    if _promotes_less(idea) or (hangs is not None and idea.line[-1].to_square in hangs.squares):
        return ""  # after the move itself the man may be taken as well
    names = [facts.seen.name(idea.other, *idea.line[: number + 1]) for number in range(len(idea.line))]
    name, line = facts.seen.name(idea.other), " ".join(names)
    if idea.does is Next.MATE:
        return f"{name} allows {mate_after(names)}"
    if idea.does is Next.CAPTURE:
        if _lost_alone(facts) if len(names) == 1 else _hit_alone(facts):
            return ""
        return f"{name} loses the {taken(idea)} {'to' if len(names) == 1 else 'after'} {line}"
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
    if leads is None or leads.does is not Next.MATE or len(leads.line) > 2 * _TWO_MOVES - 1:
        return False
    return mate_after(named(leads.line, facts)) in told


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
    if _promotes_less(idea):
        return ""
    name, answer = facts.seen.name(idea.other), facts.seen.name(idea.other, idea.answer)
    by_king = answer[0] == "K" and (idea.does in _BY_A_PIECE or (idea.does in CAGE and not by_minors(facts)))
    _, does = (None, "") if by_king else deed(idea.does, idea.man, answer, facts)
    if not does or (idea.man is None and answer[0].islower()):
        return ""
    if idea.man is not None:
        return "" if _lost_alone(facts) else f"{name} loses the {man_name(idea.man)} to {answer}"
    if idea.does is Next.KING_UP:
        return ""  # it may come up later as well
    if idea.does is Next.OPPOSITION and len(facts.men.attacker_men) > 1:
        return ""  # of two men it is the other that does the work
    verb, _, rest = does.partition(" ")
    return f"{name} lets {answer} {_bare(verb)} {rest}"


def comes_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does next: ``next Kf6 brings the king up``."""
    reply, _, does = next_deed(idea, facts)
    return f"next {reply} {does}" if does else f"next comes {reply}"


def forced_next(idea: Expects, facts: MoveFacts) -> str:
    """Say what the attacker does after a forced move; nothing of a reply that only goes on."""
    bare = not next_deed(idea, facts)[2] and idea.does not in (Next.MATE, Next.PROMOTION)
    return "" if bare else comes_next(idea, facts)


def next_deed(idea: Expects, facts: MoveFacts) -> tuple[str, Next | None, str]:
    """Return the next move of the attacker, what of all that it does is told, and that in words."""
    reply = facts.seen.name_after(idea.reply)
    if idea.does is Next.KING_UP and reply[0] == "K" and needs_king(facts) and not nearer(reply, facts):
        return reply, None, ""  # it comes round, no nearer
    if reply[0].islower() and idea.man is None:
        return reply, None, "brings the pawn on"
    return reply, *deed(idea.does, idea.man, reply, facts)


def deed(does: Next | None, man: int | None, reply: str, facts: MoveFacts) -> tuple[Next | None, str]:
    """Return what of all that a move of the attacker does is told, and that in words; nothing of what has no name."""
    if does is None or does is Next.MATE:
        return None, ""
    if man is not None:
        return (does, f"takes the {man_name(man)}") if does is Next.CAPTURE else (None, "")
    if (does in _BY_A_PIECE or (does in CAGE and not by_minors(facts))) and reply[0] == "K":
        does = Next.KING_UP  # it is not the king that cuts off
        if not nearer(reply, facts):
            return None, ""
    if does in _BARE_KING and facts.men.defender_men:
        return None, ""  # what matters there is the man
    if does is Next.CUTS_OFF and comes_at_man(reply, facts):
        return None, ""
    whose = "its king" if does is Next.KING_UP else f"{side(facts.turn)}'s king"
    return does, _DEEDS[does].replace("the king", whose)


def nearer(reply: str, facts: MoveFacts) -> bool:
    """Whether a step of the attacking king brings it nearer to the defending one, which has moved or not."""
    here = stands(facts) if facts.man.piece == "king" else own_king(facts)
    return king_steps(parse_square(goal_of(reply)), here) < king_steps(rivals_square(facts), here)


def must_first(idea: MustFirst, facts: MoveFacts) -> str:
    """Say what costs the attacker a move before he gets on: ``White spends the move Qxc3+ on the bishop``."""
    if idea.does is not Next.CAPTURE:
        return ""  # what he would do in any case costs him no time
    assert idea.man is not None
    reply = facts.seen.name_after(idea.reply)
    return f"{side(other(facts.turn))} spends the move {reply} on the {man_name(idea.man)}"


def _bare(verb: str) -> str:
    return "go" if verb == "goes" else verb[:-1]
