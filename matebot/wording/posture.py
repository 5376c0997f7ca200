"""Where a lost defence leaves its side, told where nothing sets it apart from the others: king, man or pawn."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.counsel import about_pawn, beside_it, in_front
from matebot.wording.pawn_comes import king_after
from matebot.wording.phrases import counted
from matebot.wording.remark import NOTHING, Place, Remark
from matebot.wording.said import needs_king, own_king, own_men, rivals_pawns, squares, stands

#: From so few squares on a pawn is near promotion.
_NEAR_GOAL = 3
_NUMBERS = ("no", "one", "two", "three")


def but(facts: MoveFacts, comes: Remark) -> Remark:
    """Say where a move leaves its side, and what comes against it; nothing where no more is to be said of it."""
    stands = posture(facts)
    if not stands:
        return NOTHING
    joined = "and" if stands.place is Place.NO_MERIT else "but"
    bare = comes if stands.place is Place.NO_MERIT else None
    text, lesson = f"{stands.text}, {joined} {comes.text}", stands.lesson or comes.lesson
    return Remark(text, lesson, fate=comes.fate, lost=comes.lost, place=stands.place, bare=bare)


def posture(facts: MoveFacts) -> Remark:
    """Say how the side that is losing stands after its move, by what counts in the ending; nothing where it is bad."""
    if needs_king(facts):
        return _place(facts)
    if facts.men.defender_men == ("pawn",):
        return NOTHING if "pawn" in facts.men.attacker_men else _merit(_by_own_pawn(facts), about_pawn(facts))
    if facts.men.defender_men:
        heavy = {"queen", "rook"} & set(facts.men.attacker_men)
        return _merit(_piece_kept(facts), beside_it(facts)) if heavy else NOTHING
    return _by_their_pawn(facts)


def _merit(text: str, lesson: str) -> Remark:
    return Remark(text, lesson, place=Place.MERIT) if text else NOTHING


def _place(facts: MoveFacts) -> Remark:
    """Say where a bare king stands that must be mated on the edge."""
    now, was, contrast = from_edge(king_after(facts)), from_edge(own_king(facts)), facts.seen.contrast
    if now and not contrast.edge_tells(now):
        return NOTHING  # that is not why it lasts longest: a shorter one stands there as well
    if now > 1:
        return Remark("comes nearer to the centre" if was < now else "stays near the centre", place=Place.MERIT)
    if now:
        return Remark("stays off the edge" if was else "leaves the edge", place=Place.MERIT)
    if was:
        return Remark("goes to the edge", place=Place.NO_MERIT)
    comes = facts.seen.idea(Expects) if contrast.on_edge else None
    off = [] if comes is None else contrast.stopped(comes.reply)
    if off:
        return Remark(f"makes for {squares(off, 'or')}, off the edge", place=Place.HOPE)
    stuck = contrast.on_edge and not contrast.ways_off
    return Remark("cannot leave the edge" if stuck else "stays on the edge", place=Place.NO_MERIT)


def _piece_kept(facts: MoveFacts) -> str:
    """Say that the one piece is lost neither at once nor to a check."""
    contrast, leads = facts.seen.contrast, facts.seen.idea(EndsIn)
    if contrast.kept.man is None or (leads is not None and leads.does is Next.CAPTURE):
        return ""
    if not contrast.kept.all_else_lose:
        return ""  # so is the piece after a move that is worse
    return f"leaves no check that wins the {man_name(contrast.kept.man)}"


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


def _by_their_pawn(facts: MoveFacts) -> Remark:
    """Say how the bare king stands to the attacker's pawn: in front of it, beside it, or nearer than before."""
    pawns = rivals_pawns(facts)
    if len(pawns) != 1 or stands(facts) == pawns[0]:
        return NOTHING
    (pawn,) = pawns
    king, start, others = king_after(facts), own_king(facts), facts.seen.contrast.shorter_kings
    if _in_front(king, pawn, facts):
        if any(_in_front(one, pawn, facts) for one in others):
            return NOTHING  # so does a shorter one
        return _merit(f"{'stays' if _in_front(start, pawn, facts) else 'gets'} in front of the pawn", "")
    if any(king_steps(one, pawn) <= king_steps(king, pawn) for one in others):
        return NOTHING
    return _merit(_nearer(king_steps(start, pawn), king_steps(king, pawn), "the"), in_front(facts))


def _in_front(king: int, pawn: int, facts: MoveFacts) -> bool:
    return king % 8 == pawn % 8 and (king < pawn) == (facts.turn == "white")


def _nearer(was: int, now: int, whose: str) -> str:
    return f"comes nearer to {whose} pawn" if now < was else ""
