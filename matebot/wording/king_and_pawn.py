"""What a king's step does for its own pawn: key squares, the pawn's way, and why a lone pawn wins."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import square_name
from matebot.ideas.king_up import KingUp
from matebot.ideas.squares import king_steps
from matebot.wording import maxims
from matebot.wording.kings import OPPOSITION, king_up
from matebot.wording.phrases import listed
from matebot.wording.said import of, own_king, own_men, parse_square, pawn_runs, stands


def key_square(facts: MoveFacts) -> str:
    """Say that the king stands on a key square."""
    if facts.man.piece != "king" or not facts.keys.on_key_square or pawn_runs(facts) or facts.men.defender_men:
        return ""
    if facts.race.pawn_moves == 1:  # the key squares are those beside the goal
        return f"guards {facts.race.pawn_goal}, and the pawn promotes"
    if facts.keys.key_steps_before == 0:
        return ""
    opposed = f"{OPPOSITION} on" if facts.kings.opposition == "direct" else "stands on"
    return f"{opposed} a key square: from here the king leads the pawn in"


def pawn_below(facts: MoveFacts) -> str:
    """Say that a lone pawn comes on to where its king stands on a key square."""
    on = facts.man.piece == "pawn" and facts.keys.on_key_square
    if not on or facts.men.defender_men or facts.race.pawn_moves == 1 or pawn_runs(facts):
        return ""
    return f"brings the pawn on: its king stands on the key square {square_name(own_king(facts))}"


def to_key_squares(facts: MoveFacts) -> str:
    """Say that the king is on its way to the key squares."""
    before, after = facts.keys.key_steps_before, facts.keys.key_steps_after
    if facts.man.piece != "king" or facts.men.defender_men or pawn_runs(facts):
        return ""
    if before is None or not after or after >= before:
        return ""
    here = stands(facts)
    near = [key for key in facts.keys.key_squares if king_steps(parse_square(key), here) == after]
    return f"heads for {listed(near)}, {'a key square' if len(near) == 1 else 'key squares'} of its pawn"


def clears(facts: MoveFacts) -> str:
    """Say that the king or another man leaves the pawn's way."""
    if not facts.race.clears_way or facts.men.defender_men:
        return ""
    runs = ", which runs by itself" if pawn_runs(facts) else ""
    on = "stays on" if facts.keys.key_steps_before == 0 or facts.man.piece != "king" else "reaches"
    key = f" and {on} a key square" if facts.keys.on_key_square and not runs else ""
    return f"clears the way for the pawn{runs}{key}"


def clears_maxim(facts: MoveFacts) -> str:
    """Say what it is good for that the king makes way: it goes beside its pawn."""
    pawns = own_men(facts, "pawn")
    beside = facts.man.piece == "king" and any(king_steps(stands(facts), pawn) <= 1 for pawn in pawns)
    on_key = facts.man.piece == "king" and facts.keys.on_key_square and not pawn_runs(facts)
    if facts.man.piece == "king":
        return maxims.KING_FIRST if on_key else maxims.ESCORT if beside and not pawn_runs(facts) else ""
    return maxims.OWN_WAY


def leaves_pawn(facts: MoveFacts) -> str:
    """Say that a step of the king can be made first since the pawn cannot be caught, where it brings him no nearer."""
    goes = facts.man.piece == "king" and pawn_runs(facts)
    if not goes or of(KingUp, king_up)(facts) or facts.seen.answers_check:
        return ""
    return "leaves the pawn for now: it cannot be caught"


def far_opposition(facts: MoveFacts) -> str:
    """Say which opposition from afar is taken with a pawn."""
    kind = facts.kings.opposition
    if (
        facts.man.piece != "king"
        or kind in (None, "direct")
        or facts.men.attacker_men != ("pawn",)
        or facts.men.defender_men
        or pawn_runs(facts)
    ):
        return ""
    if any(other.kings.opposition is None or other.man.piece != "king" for other in facts.as_quick):
        return ""  # The win does not hang on it.
    return f"takes the {kind} opposition, to win the direct one later"


def pawn_wins(facts: MoveFacts) -> str:
    """Say why a lone pawn wins against a bare king."""
    if pawn_runs(facts):
        return "the pawn cannot be caught"
    if facts.keys.on_key_square:
        return "the king stands on a key square of its pawn"
    if facts.kings.opposition == "direct":
        return "has the opposition"
    return "the king leads the pawn in"
