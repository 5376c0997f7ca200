"""Where a lost defence leaves its side, told where nothing sets it apart from the others: king, man or pawn."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.pawn_comes import king_after
from matebot.wording.phrases import counted
from matebot.wording.said import men_at, needs_king, own_king, own_men, rivals_men, squares, stands

#: What is no merit of a move.
TO_EDGE, STUCK, ON_EDGE = "goes to the edge", "cannot leave the edge", "stays on the edge"
MAKES_FOR = "makes for"
NO_CHECK = "leaves no check that wins the"
_NO_MERIT = (TO_EDGE, STUCK, ON_EDGE)
#: From so few squares on a pawn is near promotion.
_NEAR_GOAL = 3
_NUMBERS = ("no", "one", "two", "three")


def is_merit(text: str) -> bool:
    """Whether a text begins with how well a defence stands."""
    return text.startswith(_MERITS)


def without_place(text: str) -> str:
    """Leave out what is no merit of a move, so that only what comes against it is told."""
    return text.partition(", and ")[2] if text.startswith(_NO_MERIT) else text


def but(facts: MoveFacts, comes: str) -> str:
    """Say where a move leaves its side, and what comes against it; nothing where no more is to be said of it."""
    stands = posture(facts)
    return f"{stands}, {'and' if stands in _NO_MERIT else 'but'} {comes}" if stands else ""


def posture(facts: MoveFacts) -> str:
    """Say how the side that is losing stands after its move, by what counts in the ending; nothing where it is bad."""
    if needs_king(facts):
        return _place(facts)
    if facts.men.defender_men == ("pawn",):
        return _by_own_pawn(facts) if "pawn" not in facts.men.attacker_men else ""
    if facts.men.defender_men:
        return _piece_kept(facts) if {"queen", "rook"} & set(facts.men.attacker_men) else ""
    return _by_their_pawn(facts)


def _place(facts: MoveFacts) -> str:
    """Say where a bare king stands that must be mated on the edge."""
    now, was, contrast = from_edge(king_after(facts)), from_edge(own_king(facts)), facts.seen.contrast
    if now and not contrast.edge_tells(now):
        return ""  # that is not why it lasts longest: a shorter one stands there as well
    if now > 1:
        return "comes nearer to the centre" if was < now else "stays near the centre"
    if now:
        return "stays off the edge" if was else "leaves the edge"
    if was:
        return TO_EDGE
    if not contrast.on_edge:
        return ON_EDGE
    comes = facts.seen.idea(Expects)
    off = [] if comes is None else contrast.stopped(comes.reply)
    if off:
        return f"{MAKES_FOR} {squares(off, 'or')}, off the edge"
    return ON_EDGE if contrast.ways_off else STUCK


def _piece_kept(facts: MoveFacts) -> str:
    """Say that the one piece is lost neither at once nor to a check."""
    contrast, leads = facts.seen.contrast, facts.seen.idea(EndsIn)
    if contrast.kept_man is None or (leads is not None and leads.does is Next.CAPTURE):
        return ""
    if not contrast.piece_tells:
        return ""  # so is the piece after a move that is worse
    return f"{NO_CHECK} {man_name(contrast.kept_man)}"


def _by_own_pawn(facts: MoveFacts) -> str:
    """Say how far the one pawn has come, or how near to it the king stands."""
    hangs = facts.seen.idea(Hanging)
    if hangs is not None and hangs.moved:
        return ""  # it is given away
    if facts.man.piece == "pawn":
        rank = int(facts.move[3])
        left = 8 - rank if facts.turn == "white" else rank - 1
        return f"brings the pawn to within {_in_words(left)} of promotion" if 0 < left <= _NEAR_GOAL else ""
    (pawn,) = own_men(facts, "pawn")
    was, now = king_steps(own_king(facts), pawn), king_steps(king_after(facts), pawn)
    if any(king_steps(king, pawn) <= now for king in facts.seen.contrast.shorter_kings):
        return ""  # so does a shorter one
    return ("stays beside its pawn" if was == 1 else "comes beside its pawn") if now == 1 else _nearer(was, now, "its")


def _in_words(squares: int) -> str:
    """Return a number of squares in words: ``one square``."""
    return counted(squares, "square").replace(str(squares), _NUMBERS[squares], 1)


def _by_their_pawn(facts: MoveFacts) -> str:
    """Say how the bare king stands to the attacker's pawn: in front of it, beside it, or nearer than before."""
    pawns = [square for square in rivals_men(facts) if men_at(facts, [square]) == "the pawn"]
    if len(pawns) != 1 or stands(facts) == pawns[0]:
        return ""
    (pawn,) = pawns
    king, start, others = king_after(facts), own_king(facts), facts.seen.contrast.shorter_kings
    if _in_front(king, pawn, facts):
        if any(_in_front(one, pawn, facts) for one in others):
            return ""  # so does a shorter one
        return f"{'stays' if _in_front(start, pawn, facts) else 'gets'} in front of the pawn"
    if any(king_steps(one, pawn) <= king_steps(king, pawn) for one in others):
        return ""
    return _nearer(king_steps(start, pawn), king_steps(king, pawn), "the")


def _in_front(king: int, pawn: int, facts: MoveFacts) -> bool:
    return king % 8 == pawn % 8 and (king < pawn) == (facts.turn == "white")


def _nearer(was: int, now: int, whose: str) -> str:
    return f"comes nearer to {whose} pawn" if now < was else ""


_MERITS = (
    "comes nearer to",
    "comes beside its pawn",
    "stays beside its pawn",
    "stays near the centre",
    "stays off the edge",
    "leaves the edge",
    NO_CHECK,
    "brings the pawn to within",
    "stays in front of the pawn",
    "gets in front of the pawn",
)
