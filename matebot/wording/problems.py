"""The problem that a move sets in a draw, and what a pawn tries against a minor piece, which alone cannot mate."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name
from matebot.ideas.sets_problem import SetsProblem
from matebot.ideas.squares import in_order, king_steps, pawn_way
from matebot.wording.pawn_comes import king_after
from matebot.wording.phrases import listed, other, side
from matebot.wording.said import of, own_men, rivals_men, rivals_square, squares, stands, stood

ALONE = "a {} alone cannot mate"
_BISHOP = 3
#: So many moves a pawn has to go from where it may still make a double step.
_DOUBLE_STEP = 5


def problem(facts: MoveFacts) -> str:
    """Say that a move sets a problem, and which replies solve it; nothing for another move."""
    return of(SetsProblem, _set)(facts)


def _set(idea: SetsProblem, facts: MoveFacts) -> str:
    names = [facts.seen.name_after(reply) for reply in idea.holding]
    one, pawn = len(names) == 1, bool(own_men(facts, "pawn"))
    does = ("stops" if one else "stop") if pawn and not facts.man.promoted else "holds" if one else "hold"
    at = f"{does} the pawn" if does.startswith("stop") else does
    return f"sets a problem: only {listed(names)} {at}{_how(idea)}"


def _how(idea: SetsProblem) -> str:
    stands = idea.holding[0].to_square in idea.held
    return "" if not idea.held else ", in its way" if stands else f", by guarding {squares(idea.held)}"


def tried(facts: MoveFacts) -> str:
    """Say what a pawn's side tries against a lone minor piece, and why it does not win; nothing for others."""
    reason = facts.seen.why_drawn
    if not isinstance(reason, MinorStopsPawn) or facts.by_attacker or reason.takes is not None:
        return ""
    was, now, men = stood(facts), stands(facts), rivals_men(facts)
    if facts.man.piece == "king" and len(men) == 1 and king_steps(now, men[0]) == 1 < king_steps(was, men[0]):
        held = _held(reason, "the pawn", men, facts) if reason.king_alone else "it still stops the pawn"
        return f"attacks the {man_name(reason.minor)}, but {held}"
    tries = _tries(was, now, facts)
    return f"{tries}, but {_held(reason, 'it', men, facts)}" if tries else ""


def against_pawn(facts: MoveFacts) -> str:
    """Say why a pawn does not win against a lone minor piece, of a move of its side; nothing for others."""
    reason = facts.seen.why_drawn
    if not isinstance(reason, MinorStopsPawn) or facts.by_attacker:
        return ""
    minor = man_name(reason.minor)
    if reason.takes == reason.minor:
        return f"the pawn falls to the {minor}, which alone cannot mate"
    if reason.takes is not None:
        return f"the pawn falls to {side(other(facts.turn))}'s king, but {ALONE.format(minor)}"
    men = rivals_men(facts)
    held = _held(reason, "the pawn", men, facts)
    # Of a knight, and of a man in the pawn's way, the lesson tells it.
    left = reason.minor == _BISHOP and reason.held and not any(square in reason.held for square in men)
    return f"{held}, but alone it cannot mate" if left and not reason.king_alone else held


def new_queen_falls(facts: MoveFacts) -> str:
    """Say by what a lone bishop or knight wins a new queen; nothing for another move."""
    idea, men = facts.seen.idea(SetsProblem), facts.men.attacker_men
    if idea is None or facts.man.promoted != "queen" or len(men) != 1 or men[0] not in ("bishop", "knight"):
        return ""
    return f"{facts.seen.name_after(idea.holding[0])} wins the new queen, but {ALONE.format(men[0])}"


def _held(reason: MinorStopsPawn, pawn: str, men: list[int], facts: MoveFacts) -> str:
    way = "its way" if pawn == "it" else f"{pawn}'s way"
    minor = f"{side(other(facts.turn))}'s {man_name(reason.minor)}"
    if reason.king_alone:
        king, place = f"{side(other(facts.turn))}'s king", _place(pawn, facts)
        if place:
            return f"{king} {place} and holds it by itself"
        pawns, hangs = own_men(facts, "pawn"), facts.seen.idea(Hanging)
        near = hangs is not None and king_steps(rivals_square(facts), pawns[0]) == 1 and pawns[0] in hangs.squares
        return f"{king} can take {pawn}" if near else f"{king} holds {pawn} by itself"
    if reason.held:
        stands = any(square in reason.held for square in men)
        return f"{minor} stands in {way}" if stands else f"{minor} guards {squares(reason.held)} on {way}"
    if reason.gives:
        return f"{minor} can give itself for {pawn}"
    if reason.comes:
        return f"{_coming(reason, facts) or minor} is in time to stop {pawn}"
    if reason.king_near:
        return f"the other king is in time to stop {pawn}"
    return f"{pawn} can still be stopped"


def _place(name: str, facts: MoveFacts) -> str:
    """Say where the king stands that holds the pawn: in front of it, or inside its square; nothing elsewhere."""
    if stands_before(facts):
        return f"stands in front of {name}"
    whose = "its" if name == "it" else f"{name}'s"
    return f"is inside {whose} square" if catches(facts) else ""


def _way(facts: MoveFacts) -> tuple[int, ...]:
    """Return the squares before the one pawn of the side that moved."""
    pawn = stands(facts) if facts.man.piece == "pawn" else own_men(facts, "pawn")[0]
    return in_order(pawn_way(pawn, facts.turn == "white"))


def stands_before(facts: MoveFacts) -> bool:
    """Whether the other king stands in the way of the one pawn."""
    return rivals_square(facts) in _way(facts)


def catches(facts: MoveFacts) -> bool:
    """Whether the other king is inside the square of the one pawn, whose king does not guard its way."""
    way = _way(facts)
    to_go = min(len(way), _DOUBLE_STEP)  # whoever is a step farther off is in time only because it is his turn
    goal = way[-1] if facts.turn == "white" else way[0]
    inside = king_steps(rivals_square(facts), goal) <= to_go
    return inside and min(king_steps(king_after(facts), square) for square in way) > 1


def _coming(reason: MinorStopsPawn, facts: MoveFacts) -> str:
    """Name the best reply where the bishop or the knight comes by it to hold the pawn; nothing where it does not."""
    comes = [facts.seen.name_after(reply) for reply in reason.comes]
    return next((name for name in facts.then.ahead[:1] if name in comes), "")


def _tries(was: int, now: int, facts: MoveFacts) -> str:
    if facts.man.piece == "pawn":
        return "brings the pawn on"
    pawns = own_men(facts, "pawn")
    if (
        len(pawns) != 1
        or king_steps(was, pawns[0]) == 1
        or _from_way(now, pawns[0], facts) >= _from_way(was, pawns[0], facts)
    ):
        return ""
    return "goes to help the pawn" if king_steps(now, pawns[0]) < king_steps(was, pawns[0]) else ""


def _from_way(king: int, pawn: int, facts: MoveFacts) -> int:
    """Return a king's steps to the nearest square that a pawn has to go over."""
    way = in_order(pawn_way(pawn, facts.turn == "white"))
    return min(king_steps(king, square) for square in way)
