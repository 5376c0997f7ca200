"""What a slip cost, why, what would have been better, and how to recover."""

from __future__ import annotations

from matebot.method.facts import MoveFacts
from matebot.terms import Cause, Mistake
from matebot.wording.deeds import DEEDS, VAGUE, distance, first, gives, king, told_by
from matebot.wording.defence import reasons
from matebot.wording.phrases import bounded, counted, listed, mate_in, sentence, side, takes_clause


def slipped(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return what a slip cost, why the best move was better, how to recover."""
    if facts.mistake is Mistake.OUTCOME:
        return [sentence(_outcome_lost(facts)), *_would_have_kept(facts, better), *_recovery(facts)]
    praise = _praise(better)
    return [
        sentence(_cost(facts)),
        *([sentence(f"{facts.best_san} {praise}")] if praise else []),
        *_recovery(facts),
    ]


def slower(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Return that a move is one move slower than the best, or mated one sooner, and why; no slip."""
    why, praise = _why(facts), _praise(better)
    if facts.by_attacker:
        text = f"{facts.san} is one move slower than {facts.best_san}"
    else:
        text = f"after {facts.san} mate comes one move sooner than after {facts.best_san}"
    return [
        sentence(f"{text}; {why}" if why else text),
        *([sentence(f"{facts.best_san} {praise}")] if praise else []),
        sentence(distance(facts)),
    ]


def _would_have_kept(facts: MoveFacts, better: MoveFacts | None) -> list[str]:
    """Say which move keeps the outcome, and how: a capture, a mate in so many moves."""
    if not facts.best_san:
        return []
    did = "keeps the win" if facts.outcome_before > 0 else "holds the draw"
    if better is not None and better.mate:
        return [sentence(f"{facts.best_san} is checkmate")]
    if better is not None and better.captured:
        return [sentence(f"{facts.best_san} {takes_clause(better.captured, better.victim_guarded)} and {did}")]
    mate = f", {mate_in(facts.best_moves, facts.exact_before)}" if facts.best_moves is not None else ""
    praise = _praise(better)
    return [sentence(f"{facts.best_san} {did}{mate}{f'; it {praise}' if praise else ''}")]


def _praise(better: MoveFacts | None) -> str:
    """Say what the best move does, without its name."""
    if better is None:
        return ""
    if not better.by_attacker:
        return reasons(better)
    if better.mate:
        return "is checkmate"
    deed = told_by(tuple(rule for rule in DEEDS if rule not in VAGUE), better)
    return deed.removeprefix(f"{better.san} ")


def _cost(facts: MoveFacts) -> str:
    """Say how many moves a slip cost, by the numbers of both moves, and what is worse."""
    lost = counted(facts.moves_lost or 0, "move")
    assert facts.mate_moves is not None
    assert facts.best_moves is not None
    now = mate_in(facts.mate_moves, facts.exact_after)
    best = (
        "at once"
        if facts.by_attacker and facts.best_moves == 1
        else f"in {bounded(facts.best_moves, facts.exact_before)}"
    )
    if facts.by_attacker:
        deed = f"loses the {facts.loses} to {facts.loses_to} and costs" if facts.loses else "costs"
        text = f"{facts.san} {deed} {lost}: {now} now, {best} by {facts.best_san}"
    else:
        deed = f"loses the {facts.loses} to {facts.loses_to} and shortens" if facts.loses else "shortens"
        text = f"{facts.san} {deed} the defence by {lost}: {now} now, {best} after {facts.best_san}"
    why = "" if facts.loses else _why(facts)
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
    if facts.outcome_before > 0 > facts.outcome_after:
        lost = "the win is gone and the game lost"
    if facts.loses:
        return f"{facts.san} loses the {facts.loses} to {facts.loses_to}; {lost}"
    if facts.outcome_after < 0:
        return f"{facts.san} loses: {lost}"
    reasons_by_law = {
        Cause.STALEMATE: f"{facts.san} is stalemate: {king(facts)} has no move and is not in check",
        Cause.FIFTY_MOVES: f"{facts.san} is too slow for the fifty-move rule",
        Cause.REPETITION: f"{facts.san} lets the position be repeated a third time",
        Cause.DEAD_POSITION: f"{facts.san} leaves no men to mate with",
    }
    if facts.cause_after in reasons_by_law:
        return f"{reasons_by_law[facts.cause_after]}; {lost}"
    return f"{facts.san} lets the other side hold the draw; {lost}"


def _recovery(facts: MoveFacts) -> list[str]:
    """Say how to go on: the way back to the win, or the one move by which the other side holds the draw."""
    if not facts.ahead:
        return []
    if facts.by_attacker and facts.outcome_after > 0 and len(facts.ahead) == 2:
        reply, back = facts.ahead
        return [sentence(f"the way back: after {reply} play {back}")]
    if facts.cause_after is Cause.BALANCE and facts.only_holder and not facts.loses:
        return [sentence(f"the drawing move is {facts.ahead[0]}")]
    return []
