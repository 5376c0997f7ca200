"""What a move does to the other king at once, told before the line that follows from it."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.king_up import KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.pawn_step import PawnStep
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording import kings, room_left
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import (
    before,
    of,
    own_king,
    own_men,
    own_others,
    parse_square,
    promotion_square,
    rival_king,
    stood,
)

_FEW = 3
#: So near a king may come beside the square before the pawn.
_COMES_BEFORE = 3


def driven(facts: MoveFacts) -> str:
    """Say where a check drives the king; nothing without one, or where it has many squares."""
    goals = [parse_square(goal) for goal in facts.room.flights]
    if not facts.gives.check or not goals or facts.replies.replies > len(goals):
        return ""  # A man may be put between, or take the one that checks.
    if len(goals) > 1 and not any(map(from_edge, goals)) and from_edge(parse_square(facts.room.king)):
        return "drives the king to the edge"
    return f"drives the king to {listed(facts.room.flights, 'or')}" if len(goals) <= _FEW else ""


def taken(facts: MoveFacts) -> str:
    """Say what it comes to that squares are taken from a king; nothing where none are."""
    return room_left.taken(facts)


def comes_up(facts: MoveFacts) -> str:
    """Say that the king comes up; nothing for another move."""
    return kings.brings_up(facts) if of(KingUp, kings.king_up)(facts) else ""


def checks(facts: MoveFacts) -> str:
    """Say what a check is for where a queen hunts a rook; nothing for another move."""
    line = facts.then.ahead
    hunts = facts.men.attacker_men == ("queen",) and facts.men.defender_men == ("rook",)
    again = len(line) > 1 and line[1].endswith("+") and "x" not in line[1]
    return f"gives check after check: if {line[0]}, {line[1]}" if hunts and facts.gives.check and again else ""


def pawn_on(facts: MoveFacts) -> str:
    """Say how a pawn goes on; nothing for another move."""
    idea = facts.seen.idea(PawnStep)
    if idea is None:
        return ""
    if idea.escort is not None:
        return f"brings the pawn on: the {man_name(idea.escort)} guards {square_name(idea.goal)} for it"
    if idea.guard is not None:
        return f"brings the pawn on, guarded by the {man_name(idea.guard)}"
    if barred := rook_bars(facts):
        return f"brings the pawn on, while the rook bars {barred}"
    was, king = stood(facts), parse_square(facts.room.king)
    if not facts.men.defender_men and (why := _uncaught(idea.square, king, facts)):
        return f"brings the pawn on: {why}"
    ahead = square_name(before(idea.square, facts.turn))
    if idea.ahead is not None and king_steps(parse_square(ahead), king) <= _COMES_BEFORE:
        return f"brings the pawn on: the {man_name(idea.ahead)} guards {ahead} before it"
    away = king_steps(idea.square, king) > king_steps(was, king)
    return f"brings the pawn on{' away from the king' if away else ''}"


def rook_bars(facts: MoveFacts) -> str:
    """Return the file by which a rook keeps the other king from the pawn that goes on; nothing without one."""
    was, king, rooks = stood(facts), parse_square(facts.room.king), own_men(facts, "rook")
    if len(rooks) != 1 or facts.men.defender_men or not _is_between(was, rooks[0], king):
        return ""
    mine, theirs = own_king(facts) // 8 - rooks[0] // 8, king // 8 - rooks[0] // 8
    if own_king(facts) % 8 == rooks[0] % 8 and mine * theirs >= 0:
        return ""  # The file is barred as far as its own king only.
    return line_name(f"file {square_name(rooks[0])[0]}") if _stays(rooks[0], facts) else ""


def _stays(man: int, facts: MoveFacts) -> bool:
    """Whether a man does not leave its square on the line that a move leads to."""
    idea = facts.seen.idea(LeadsTo)
    return idea is None or all(move.from_square != man for move in idea.line[1::2])


def _uncaught(pawn: int, king: int, facts: MoveFacts) -> str:
    """Say why the other king, to move, does not catch a pawn: it is outside its square, or the own king is between."""
    goal, rival = promotion_square(pawn, facts.turn), rival_king(facts)
    if king_steps(king, goal) > king_steps(pawn, goal) + 1:
        return f"{rival} is outside its square"
    alone = len(own_others(facts)) == 1  # Beside another man it may do without its king.
    return f"the king keeps {rival} away" if alone and _is_between(pawn, own_king(facts), king) else ""


def _is_between(one: int, square: int, other: int) -> bool:
    """Whether the file of a square lies between those of two others."""
    first, last = sorted((one % 8, other % 8))
    return first < square % 8 < last
