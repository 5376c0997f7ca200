"""Why a slip of the attacker, or of the defender, has made a draw of it."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.knight_beside_king import KnightBesideKing
from matebot.ideas.drawn.man_falls import ManFalls
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.pawn_on_the_seventh import PawnOnTheSeventh
from matebot.ideas.drawn.pawn_supported import PawnSupported
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.squares import king_steps
from matebot.terms import Cause, Mistake
from matebot.wording.draws import whose, why_drawn
from matebot.wording.phrases import sentence, side
from matebot.wording.said import goal_of, own_king, parse_square, rival_king, rivals_men, rivals_square, stands

#: Reasons for a draw that held before a move of the other side as well.
_HELD_BEFORE = (KnightBesideKing, MinorHoldsRook, SafeCorner)
#: Reasons that would hold after the better move as well, but for what the slip broke.
_HELD_TOO = (InsideTheSquare, PawnSupported)
#: What the Laws say of a draw that was let slip in.
BY_LAW = {
    Cause.STALEMATE: "is stalemate: {king} has no move and is not in check",
    Cause.FIFTY_MOVES: "is too slow for the fifty-move rule",
    Cause.REPETITION: "lets the position be repeated a third time",
    Cause.DEAD_POSITION: "leaves no men to mate with",
}


def reason(facts: MoveFacts, better: MoveFacts) -> str:
    """Return why it is drawn now; nothing where that held before the move."""
    why = facts.seen.why_drawn
    if isinstance(why, InsideTheSquare) and better.race.pawn_moves is not None:
        inside = better.race.catch_steps is not None and better.race.catch_steps <= better.race.pawn_moves + 1
        return _too_late(facts, why.pawn) if inside and facts.by_attacker else why_drawn(facts)
    if isinstance(why, InsideTheSquare) and facts.by_attacker:
        return _too_late(facts, why.pawn)
    if not facts.by_attacker:
        return why_drawn(facts)
    # Of a slip of his the attacker's king is the one spoken of.
    return "" if isinstance(why, _HELD_BEFORE) else why_drawn(facts).replace("the other king comes", "the king comes")


#: A king leads a pawn from so near.
_LEADING = 2


def _too_late(facts: MoveFacts, pawn: int) -> str:
    """Say that the king comes too late for its pawn; nothing of one that is near it."""
    king = stands(facts) if facts.man.piece == "king" else own_king(facts)
    near = king_steps(king, pawn) <= _LEADING
    return "" if near else f"{side(facts.turn)}'s king comes too late to lead the pawn in"


def allows(facts: MoveFacts, better: MoveFacts, why: str) -> str:
    """Say that a move allows a draw, and why; of a king that went where its pawn should have gone, that it did."""
    drawn = facts.seen.why_drawn
    if isinstance(drawn, InsideTheSquare) and better.man.piece == "pawn" != facts.man.piece and facts.by_attacker:
        return f"misses {better.san}, which brings the pawn on"
    reply = "".join(facts.then.ahead[:1])
    if isinstance(drawn, PawnOnTheSeventh) and "=" in reply and facts.by_attacker:
        return f"lets the pawn promote by {reply}"  # it needs no stalemate
    if to := _checked_to_pawn(facts):
        return f"drives {rival_king(facts)} to {to}, beside its pawn"
    rook = "the rook must be given for it"
    if isinstance(drawn, PawnSupported) and drawn.led and facts.by_attacker:
        king = rivals_square(facts)
        if king_steps(king, drawn.pawn) > _LEADING:
            return f"is too slow: {rival_king(facts)} keeps the pawn's way open, and {rook}"
        return f"is too slow: {rival_king(facts)} leads the pawn on, and {rook}"
    if isinstance(drawn, PawnSupported) and facts.by_attacker and _comes_to_lead(facts, drawn.pawn):
        return f"is too slow: {rival_king(facts)} comes to lead the pawn by {facts.then.ahead[0]}, and {rook}"
    return f"allows a draw: {why.replace(': ', ', ')}"


def _comes_to_lead(facts: MoveFacts, pawn: int) -> bool:
    """Whether the reply brings the king nearer to its pawn, or to the squares before it."""
    reply, up = facts.then.ahead[0], 8 if facts.turn == "black" else -8
    was, now = rivals_square(facts), goal_of(reply)
    ahead = list(range(pawn + up, 64 if up > 0 else -1, up))
    return reply[0] == "K" and any(
        min(king_steps(parse_square(now), square) for square in squares) < min(king_steps(was, s) for s in squares)
        for squares in ([pawn], ahead)
    )


def _checked_to_pawn(facts: MoveFacts) -> str:
    """Return the square to which a check drives the king where it comes to stand beside its pawn there; "" else."""
    reply = "".join(facts.then.ahead[:1])
    if not facts.gives.check or reply[:1] != "K" or "x" in reply or facts.men.defender_men != ("pawn",):
        return ""
    was, now = (king_steps(parse_square(at), rivals_men(facts)[0]) for at in (facts.room.king, goal_of(reply)))
    return goal_of(reply) if now == 1 < was and facts.then.only_holder else ""


def now_drawn(facts: MoveFacts, better: MoveFacts, first: str) -> list[str]:
    """Say why it is drawn now, where the cause has not said it."""
    if facts.cost.mistake is not Mistake.OUTCOME or facts.worth.outcome_after or facts.worth.cause_after in BY_LAW:
        return []
    if facts.cost.loses or isinstance(facts.seen.why_drawn, ManFalls) or "the rook must be given" in first:
        return []
    if isinstance(facts.seen.why_drawn, PawnOnTheSeventh) and " promote by " in first:
        return []
    if facts.by_attacker and (isinstance(facts.seen.why_drawn, _HELD_TOO) or " misses " in first):
        return []
    why = reason(facts, better)
    if not why or why in first:
        return []
    return [sentence(f"drawn: {whose(why, facts) if why == why_drawn(facts) else why}")]
