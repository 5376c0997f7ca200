"""What the better move does that a slip does not, and no other move that comes to no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.prepares import Prepares
from matebot.ideas.shuts_way import ShutsWay
from matebot.ideas.squares import king_steps
from matebot.ideas.towards_w import TowardsW
from matebot.ideas.waiting_move import WaitingMove
from matebot.wording.attack import REASONS, Rank, Reason, head
from matebot.wording.phrases import listed
from matebot.wording.said import own_men, parse_square, rivals_men

_FEW = 3
#: What says nothing without the moves behind it.
_IDLE = (
    "waits",
    "leaves the pawn",
    "closes in",
    "closes the net",
    "keeps close to ",
    "keeps the win",
    "is the only legal move",
    "steps out of the check",
    "puts the bishops side by side",
    "lets the ",
    "offers the ",
)


def shared(better: MoveFacts, facts: MoveFacts, best: Sequence[MoveFacts], rank: Rank) -> str:
    """Return what the better move does first by a reason of a rank that every other of the best has as well."""
    found = (reason for reason in REASONS if reason.rank is rank)
    told = ((reason, _told(reason, better, facts)) for reason in found)
    return next((text for reason, text in told if text and all(reason.rule(other) for other in best)), "")


def own(better: MoveFacts, facts: MoveFacts, ranks: Sequence[Rank] = (Rank.REASON, Rank.PLAN)) -> Iterator[str]:
    """Yield what the better move does by the rules of some ranks, the most telling first."""
    for reason in REASONS:
        if reason.rank in ranks and (text := _told(reason, better, facts)):
            yield text


def squares_taken(better: MoveFacts, facts: MoveFacts) -> tuple[str, ...]:
    """Return the few squares that the better move takes from the king, and no move as bad of the man that moved."""
    taken = better.room.squares_taken
    worse = (facts, *facts.no_better)
    if not 0 < len(taken) <= _FEW or any(set(taken) <= set(other.room.squares_taken) for other in worse):
        return ()
    return taken


#: How a way ends that leads to where a bare king is not mated.
_TO_CENTRE = ("back to the centre", "off the edge")


def _is_race(facts: MoveFacts) -> bool:
    """Whether the last pawn runs against another man."""
    return facts.men.attacker_men == ("pawn",) and bool(facts.men.defender_men)


#: How it is told that the king comes nearer.
_KING_COMES = ("brings the king ", "heads for the centre")


def _is_beside_the_point(reason: Reason, text: str, better: MoveFacts, facts: MoveFacts) -> bool:
    """Whether the king comes nearer, but farther from a pawn; or the slip gives the king a step that this leaves it."""
    pawns = [*own_men(better, "pawn"), *(rivals_men(better) if better.men.defender_men == ("pawn",) else [])]
    if better.man.piece == "king" and pawns and text.startswith(_KING_COMES) and not _is_safe(better):
        was, now = parse_square(better.move[:2]), parse_square(better.move[2:4])
        return all(king_steps(now, pawn) > king_steps(was, pawn) for pawn in pawns)
    if text.startswith("drives the king to the edge") and "pawn" in better.men.attacker_men:
        return True  # what matters there is the pawn
    taken = better.room.squares_taken
    if not facts.given.by_king or not facts.then.ahead or facts.then.ahead[0][-2:] in taken:
        return False
    freed = facts.given.gains_now and facts.given.gains is Gain.CENTRE
    return (bool(taken) and text.startswith(tuple(f"takes {square}" for square in taken))) or (
        freed and reason.idea is OffTheRim
    )


def _is_safe(better: MoveFacts) -> bool:
    """Whether the pawn needs no king: it runs by itself, or another man holds it."""
    return better.race.runs_alone or bool(better.ways.held_from)


def _told(reason: Reason, better: MoveFacts, facts: MoveFacts) -> str:
    """Say what the better move does by a reason; nothing where the slip, or a move as bad, does so too."""
    text = reason.rule(better)
    if not text or head(text) in {head(other.rule(facts)) for other in REASONS}:
        return ""
    taken = set(better.room.squares_taken)
    if _is_beside_the_point(reason, text, better, facts):
        return ""
    if text.startswith("covers ") and not any(square in text for square in taken):
        text = f"covers {listed(better.room.squares_taken)}" if 0 < len(taken) <= _FEW else ""
    if taken and text.startswith("takes ") and taken <= set(facts.room.squares_taken):
        return ""
    opposed = text.startswith("prepares the opposition") and "bishop" in facts.men.attacker_men
    if reason.idea is ShutsWay and text.endswith(_TO_CENTRE) and (_is_race(facts) or facts.room.squares_given):
        return ""  # the pawn counts, or the slip lets go of more than that
    if text.startswith("cuts the king off from its rook"):
        return ""  # a queen wins the rook by a fork
    # What the men are on their way to is still far.
    if reason.idea in (WaitingMove, TowardsW) or opposed or head(text).startswith(_IDLE):
        return ""
    idea = None if reason.idea is None else better.seen.idea(reason.idea)
    slower = better.seen.slower_moves
    if idea is None or slower is None or facts.seen.move is None:
        return text
    purpose = reason.purpose(idea) if reason.purpose is not None and isinstance(idea, KingNearer) else None
    if purpose is Purpose.FREES or (isinstance(idea, Prepares) and not idea.fastest):
        return ""
    return "" if slower.as_bad(idea, purpose, facts.seen.move) else text
