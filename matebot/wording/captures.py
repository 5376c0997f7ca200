"""What a good move of the attacker takes or promotes to, and why what is left wins."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import king_steps
from matebot.wording import kings, maxims
from matebot.wording.phrases import listed, takes_clause
from matebot.wording.said import parse_square, rivals_square

_AFAR = 3


def promotes(facts: MoveFacts) -> str:
    """Say what a pawn becomes."""
    takes = f"takes the {facts.man.captured} and " if facts.man.captured else ""
    return f"{takes}makes a {facts.man.promoted}{_left_over(facts)}" if facts.man.promoted else ""


def queen_maxim(facts: MoveFacts) -> str:
    """Say what a promotion teaches."""
    with_check = facts.gives.check and facts.man.promoted == "queen"
    if with_check:
        return maxims.QUEEN_WITH_CHECK
    stops = {"bishop", "knight", "rook"} & set(facts.men.defender_men)
    return maxims.PROMOTE_IN_TIME if stops else maxims.QUEEN_AT_ONCE


def captures(facts: MoveFacts) -> str:
    """Say what is taken."""
    if not facts.man.captured:
        return ""
    takes = takes_clause(facts.man.captured, facts.man.victim_guarded)
    lone = not facts.men.defender_men and facts.worth.outcome_after > 0 and "pawn" not in facts.men.attacker_men
    if lone and facts.beside.keeping == 1 < facts.beside.choices and not _left_over(facts).startswith(": if"):
        return f"{takes}, which alone held the draw" if facts.beside.others == (0,) else f"{takes}{_left_over(facts)}"
    return f"{takes}{_left_over(facts)}"


def _left_over(facts: MoveFacts) -> str:
    """Say what is taken back, or name the ending that is left and what it is worth."""
    if facts.move[2:4] in facts.loose_men.loose:
        line = facts.then.ahead
        return f": if {line[0]}, {line[1]}" if len(line) > 1 and "x" in line[0] else ""
    own, theirs = (listed(["king", *men]) for men in (facts.men.attacker_men, facts.men.defender_men))
    if facts.worth.outcome_after <= 0:
        return f": {own} against {theirs} is left"
    if facts.men.attacker_men == ("pawn",) and not facts.men.defender_men:
        return f", and {kings.pawn_wins(facts)}"
    return f": {own} beat {theirs if facts.men.defender_men else 'a bare king'}"


def maxim(facts: MoveFacts) -> str:
    """Say what a loose man teaches."""
    if facts.man.victim_guarded or facts.man.captured is None:
        return ""
    at, king = parse_square(facts.move[2:4]), rivals_square(facts)
    if facts.seen.answers_check:
        return maxims.TAKE_IN_CHECK
    if king_steps(at, parse_square(facts.move[:2])) >= _AFAR and king_steps(at, king) > 1:
        return maxims.LOOSE_AFAR
    if facts.man.piece == "king":
        return maxims.KING_TOO
    prey = king_steps(at, king) >= _AFAR and facts.man.captured != "queen"
    return maxims.EASY_PREY if prey else maxims.EVERY_CAPTURE
