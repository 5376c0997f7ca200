"""What a move of the side that is losing, or holds the draw, does."""

from __future__ import annotations

from matebot.method.facts import MoveFacts
from matebot.terms import Cause
from matebot.wording.phrases import counted, listed, other, sentence, side, takes_clause

#: As many moves are named when they are equally good.
_NAMED = 3
#: Mate is forced in the right corner: from so near it the king wants to get away.
_NEAR_CORNER_STEPS = 3


def held(facts: MoveFacts) -> list[str]:
    """Return what a move of a lost position does: how it compares, and what it is good for."""
    if facts.choices == 1:
        return [sentence(f"{facts.san} is the only legal move")]
    good_for = reasons(facts)
    if not facts.ranked_exactly:  # which move holds out longest is not known
        return [sentence(f"{facts.san} {good_for or 'does not stop the mate'}")]
    if facts.equals == facts.choices:
        text = f"{facts.san} is as good as any: all {facts.choices} moves hold out equally long"
    elif facts.equals == 1:
        text = f"{facts.san} holds out longest{': it ' + good_for if good_for else ''}"
        good_for = ""
    elif facts.equals <= _NAMED:
        good = "is" if facts.equals == 2 else "are"
        text = f"{facts.san} holds out longest, and {listed(facts.others_as_good)} {good} as good"
    else:
        text = f"{facts.san} is one of {facts.equals} moves that hold out longest"
    text = f"{text}; it {good_for}" if good_for else text
    return [sentence(text), *_others(facts)]


def reasons(facts: MoveFacts) -> str:
    """Say what a move of the defence is good for, at most two things; nothing where there is nothing to see."""
    found = [takes_clause(facts.captured, facts.victim_guarded)] if facts.captured else []
    if facts.attacked:
        on = zip(facts.attacked_kinds, facts.attacked, strict=True)
        found.append(f"attacks {listed([f'the {kind} on {square}' for kind, square in on])}")
    if facts.piece == "king":
        if facts.opposition == "direct":
            found.append("takes the direct opposition")
        if facts.barred:
            found.append(f"bars {listed(facts.barred)} to {side(other(facts.turn))}'s king")
        found += _whither(facts)
    return listed(found[:2])


def _whither(facts: MoveFacts) -> list[str]:
    if facts.rim_before == 0 < facts.rim_after:
        return ["leaves the edge"]
    if facts.rim_after > facts.rim_before:
        return ["makes for the centre"]
    before, after = facts.corner_steps_before, facts.corner_steps_after
    if before is not None and after is not None and before < after and before <= _NEAR_CORNER_STEPS:
        return [f"gets away from {facts.right_corner or 'the corners'}, where mate is forced"]
    return []


def _others(facts: MoveFacts) -> list[str]:
    """Tell how much sooner mate comes after the other moves."""
    if facts.equals > _NAMED or facts.spare_moves is None:
        return []
    return [sentence(f"after any other move mate comes at least {counted(facts.spare_moves, 'move')} sooner")]


def drew(facts: MoveFacts) -> list[str]:
    """Return how a move draws."""
    why = {
        Cause.STALEMATE: "is stalemate",
        Cause.DEAD_POSITION: "leaves no men to mate with",
        Cause.FIFTY_MOVES: "reaches the fifty-move rule in time",
        Cause.REPETITION: "brings about the third repetition in time",
    }.get(facts.cause_after, "keeps the draw")
    if facts.captured:
        why = f"{takes_clause(facts.captured, facts.victim_guarded)} and {why}"
    lost = facts.choices - facts.keeping
    beside = []
    if facts.keeping == 1 < facts.choices:
        beside = [sentence("it is the only move that draws")]
    elif lost:
        beside = [sentence(f"{lost} of the {facts.choices} moves {'loses' if lost == 1 else 'lose'}")]
    return [
        sentence(f"{facts.san} {why}"),
        *beside,
        *([] if facts.cause_after is Cause.BALANCE else ["The position is drawn."]),
    ]
