"""What a slip cost, why, what would have been better, and how to recover."""

from __future__ import annotations

from matebot.method.facts import MoveFacts
from matebot.wording.deeds import DEEDS, VAGUE, first, gives, king, told_by
from matebot.wording.defence import reasons
from matebot.wording.phrases import counted, listed, sentence, side


def is_slip(facts: MoveFacts) -> bool:
    """Whether a move gave away its outcome or made the mate come later (attack) or sooner (defence)."""
    return facts.outcome_after < facts.outcome_before or (facts.moves_lost or 0) > 0


def slipped(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return what a slip cost, why the best move was better, how to recover."""
    sentences = [sentence(_cost(facts))]
    praise = _praise(better) if better is not None else ""
    if facts.outcome_after < facts.outcome_before and facts.best_san:
        did = "kept the win" if facts.outcome_before > 0 else "held the draw"
        left = ((facts.mate_plies_before or 0) + 1) // 2 - 1  # counted from after the move, as everywhere
        mate = f", mate in {left}" if left > 0 and facts.outcome_before > 0 and facts.exact else ""
        sentences.append(sentence(f"{facts.best_san} {did}{mate}{f'; it {praise}' if praise else ''}"))
    elif praise:
        sentences.append(sentence(f"{facts.best_san} {praise}"))
    return [*sentences, *_recovery(facts)]


def _praise(better: MoveFacts) -> str:
    """Say what the best move does, without its name."""
    if not better.by_attacker:
        return reasons(better)
    if better.mate:
        return "is checkmate"
    deed = told_by(tuple(rule for rule in DEEDS if rule not in VAGUE), better)
    return deed.removeprefix(f"{better.san} ")


def _cost(facts: MoveFacts) -> str:
    if facts.outcome_after < facts.outcome_before:
        return _outcome_lost(facts)
    before, after = facts.mate_plies_before or 0, facts.mate_plies_after or 0
    lost = counted(facts.moves_lost or 0, "move")
    why = _why(facts)
    if not facts.by_attacker:
        best = f"in {before // 2} after {facts.best_san}"
        text = f"{facts.san} shortens the defence by {lost}: mate in {(after + 1) // 2} now, {best}"
    else:
        best_mate = (before + 1) // 2 - 1
        instead = f"in {best_mate} after {facts.best_san}" if best_mate else f"at once by {facts.best_san}"
        text = f"{facts.san} costs {lost}: mate in {after // 2} now, {instead}"
    return f"{text}; {why}" if why else text


def _why(facts: MoveFacts) -> str:
    """Say what is worse after the move: what it lets the other king do, else where it takes the man."""
    if facts.by_attacker:
        return _stage_lost(facts) or _reply_allowed(facts) or _astray(facts)
    return _astray(facts)


def _stage_lost(facts: MoveFacts) -> str:
    stood, stands = first(facts.standings_before), first(facts.standings_after)
    if stood and stands and stands.ladder == stood.ladder and stands.stage < stood.stage:
        return f"back from stage {stood.stage} to stage {stands.stage}, {stands.title}"
    return ""


def _reply_allowed(facts: MoveFacts) -> str:
    if facts.reply_attacks:
        return f"after {facts.ahead[0]} {king(facts)} attacks the {listed(facts.reply_attacks)}"
    if facts.prevented:
        return f"it allows {facts.ahead[0]}, which {facts.best_san} prevents"
    if facts.left_open and "pawn" not in facts.attacker_men:
        has = f"after {facts.ahead[0]} {king(facts)} has {listed(facts.left_open)}"
        return f"{has}, and would not have after {facts.best_san}"
    return f"it {gives(facts)}" if facts.squares_given else ""


def _astray(facts: MoveFacts) -> str:
    own = f"{side(facts.turn)}'s king" if facts.piece == "king" else f"the {facts.piece}"
    if facts.piece in ("king", "knight") and facts.rim_after == 0 < facts.rim_before:
        return f"it takes {own} to the edge"
    if facts.by_attacker and facts.piece == "king" and facts.kings_after > facts.kings_before:
        return f"it takes {own} further off, from {facts.kings_before} steps to {facts.kings_after}"
    return ""


def _outcome_lost(facts: MoveFacts) -> str:
    lost = "the win is gone" if facts.outcome_before > 0 else "the draw is gone"
    if facts.outcome_after < 0:
        return f"{facts.san} loses: {lost}"
    reasons_by_law = {
        "stalemate": f"{facts.san} is stalemate: {king(facts)} has no move and is not in check",
        "fifty moves": f"{facts.san} is too slow for the fifty-move rule",
        "repetition": f"{facts.san} lets the position be repeated a third time",
        "dead position": f"{facts.san} leaves no men to mate with",
    }
    if facts.cause_after in reasons_by_law:
        return f"{reasons_by_law[facts.cause_after]}; {lost}"
    if facts.loose and facts.ahead and "x" in facts.ahead[0]:
        return f"{facts.san} loses a man to {facts.ahead[0]}; {lost}"
    return f"{facts.san} lets the other side hold the draw; {lost}"


def _recovery(facts: MoveFacts) -> list[str]:
    if not facts.ahead:
        return []
    if facts.by_attacker and facts.outcome_after > 0 and len(facts.ahead) == 2 and facts.moves_lost:
        reply, back = facts.ahead
        return [sentence(f"the way back: after {reply} play {back}")]
    if facts.cause_after == "balance" and "x" not in facts.ahead[0]:
        return [sentence(f"the drawing move is {facts.ahead[0]}")]
    return []
