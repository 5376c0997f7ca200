"""That a pawn may run on by itself, and what a slip did instead: it took time, or stood in the way."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.saved import Saved
from matebot.wording.lapses import before_pawn, in_way
from matebot.wording.missed import time_lost
from matebot.wording.said import stands


def runs_on(facts: MoveFacts, best: list[MoveFacts]) -> str:
    """Say that the pawn may run on; nothing where no pawn runs by itself, or it has run."""
    runs = pawn_that_runs(best)
    if runs is None or facts.man.piece == "pawn":
        return ""
    if text := in_its_way(facts, best):
        return text
    saved = facts.seen.idea(Saved)
    if saved is not None and saved.moved:
        return f"saves the {facts.man.piece}, but loses time: better {runs.san}, and the pawn runs on"
    return f"{time_lost(facts, best)}: better {runs.san}, and the pawn runs on"


def in_its_way(facts: MoveFacts, best: list[MoveFacts]) -> str:
    """Say that a man stands where the pawn would run to, the king anywhere before it; nothing where none does."""
    runs = pawn_that_runs(best)
    return in_way(facts) if runs is not None and before_pawn(facts, stands(runs)) else ""


def pawn_that_runs(best: list[MoveFacts]) -> MoveFacts | None:
    """Return a step of a pawn that runs by itself among the best moves; None without one."""
    return next((one for one in best if one.man.piece == "pawn" and one.race.runs_alone and is_step(one)), None)


def is_step(one: MoveFacts) -> bool:
    """Whether a move does nothing but go a step on."""
    return not one.man.promoted and not one.man.captured
