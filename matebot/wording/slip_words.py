"""What a slip did in place of what it missed: it left a way, or room, or wasted its time."""

from __future__ import annotations

import re
from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.squares import from_edge, king_steps, off_centre
from matebot.terms import Mistake
from matebot.wording.attack import deeds, head
from matebot.wording.lapses import best_ones
from matebot.wording.phrases import LINE, listed, side
from matebot.wording.reason import NO_DEED
from matebot.wording.said import (
    goal_of,
    kind_signed,
    needs_king,
    own_men,
    parse_square,
    rival_king,
    rivals_men,
    stands,
    stood,
    walks_away,
)

#: So few squares are named.
_FEW = 3
_BRINGS = ("brings the king ", "heads for the centre", "comes nearer ", "comes to help ")
#: A king that gets to fewer squares is hardly free.
_WIDE = 30
_SHUTS = "shuts the king in"
#: How deeds begin that take room from the king.
_TAKES = (
    "shrinks the box",
    "makes the cage smaller",
    "tightens the cage",
    "takes ",
    "shuts the ",
    "shuts rank ",
    "cuts the king off along ",
)
_DRIVES = ("drives the king to the edge", "drives the king towards the edge")
_KEEPS = re.compile("(?:keeps|holds) the king on the edge")


def plainly(facts: MoveFacts, first: str) -> str:
    """Return the first sentence with what the slip did, where that is plain and there is room for it.

    Parameters
    ----------
    first : the sentence, told as a move that was missed, or anything else, which stays
    """
    missed = re.fullmatch(r"(\S+) misses (\S+), which (.*)", first)
    if missed is None or not facts.by_attacker:
        return first
    san, name, told = missed.groups()
    better = next((other for other in facts.held_against if other.san == name), None)
    deed, semicolon, price = told.partition("; ")
    if better is None:
        return first
    for way in _WAYS:
        used = facts.given.by_king and (facts.given.gains_now or _of_all(facts, deed))
        if way in _ABOUT_ROOM and not used:
            continue  # it is not the king that uses what it is left, or another of the best moves leaves it as well
        if said := way(facts, better, deed):
            said = said.replace(f": {name} ", f": better {name}, which ", 1)
            text = f"{san} {_with_one_colon(said)}{semicolon}{price}"
            return text if len(f"{facts.turn}: {text}") <= LINE else first
    return first


def _with_one_colon(text: str) -> str:
    """Return what is said with the line that shows it joined on where a colon stands before it already."""
    head, _, told = text.partition(": ")
    return f"{head}: {told.replace(': ', ', and ')}"


def _free(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king is left free, where the better move shuts it in."""
    if not deed.startswith(_SHUTS) or _caged(facts) or facts.given.range_after < _WIDE or _takes_room(facts):
        return ""
    return f"leaves {rival_king(facts)} free: {better.san} {deed.replace(_SHUTS, 'shuts it in', 1)}"


def _way_open(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that a way is left open, where the better move shuts it."""
    shuts, comma, way = deed.partition(", the way ")
    if not comma or not shuts.startswith("shuts "):
        return ""
    if facts.man.captured:
        return ""  # it was the way to that man
    if way.startswith("to its ") and len(rivals_men(facts)) == 1:
        leads, gain, there = _nearer(facts, rivals_men(facts)[0]), Gain.MAN, f"nearer {way}"
    elif way.startswith("to the pawn on "):
        leads, gain, there = _nearer(facts, parse_square(way[-2:])), Gain.PAWN, "nearer to the pawn"
    else:
        leads, gain, there = way in ("back to the centre", "off the edge") and _inwards(facts), Gain.CENTRE, way
    if leads and facts.given.gains is gain and facts.then.ahead:
        return f"lets {rival_king(facts)} {there} by {facts.then.ahead[0]}: {better.san} {shuts}"
    if leads and gain is Gain.CENTRE and not any(from_edge(parse_square(goal)) for goal in facts.then.goals):
        return ""  # the king is better off elsewhere
    return f"leaves the way {way} open: {better.san} {shuts}" if leads else ""


def _apart(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king is left the way to its man, where the better move cuts it off from that."""
    cut = re.fullmatch("cuts the king off from (its [a-z]+|the pawn) along (.*)", deed)
    pawns = [stands(facts) if pawn == stood(facts) else pawn for pawn in own_men(facts, "pawn")]
    men = rivals_men(facts) if "from its " in deed else pawns
    if cut is None or len(men) != 1 or facts.man.promoted or not _nearer(facts, men[0]):
        return ""
    king, cuts = rival_king(facts), f"{better.san} cuts it off along {cut[2]}"
    if facts.given.gains in (Gain.MAN, Gain.PAWN) and facts.then.ahead:
        return f"lets {king} nearer to {cut[1]} by {facts.then.ahead[0]}: {cuts}"
    return f"leaves {king} the way to {cut[1]}: {cuts}"


def _room(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king keeps its room, or is given more, where the better move takes some."""
    if not deed.startswith(_TAKES) or deed.startswith("takes the ") or "opposition" in deed or _takes_room(facts):
        return ""
    deed = re.sub(rf" (from|to) {rival_king(facts)}", r" \1 it", deed).replace("cuts the king off", "cuts it off")
    if not deed.startswith(("shrinks", "makes", "tightens", "cuts")) and " it" not in deed:
        return ""  # what is taken is a man
    given = [square for square in facts.room.squares_given if square not in better.room.flights]
    king = rival_king(facts)
    used = goal_of(facts.then.ahead[0]) in given if facts.then.ahead else False
    if 0 < len(given) <= _FEW and used and not facts.gives.check:
        return f"gives {king} {listed(given)}: {better.san} {deed}"
    return f"leaves {king} its room: {better.san} {deed}"


def _open(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king is left off the edge, where the better move drives it there."""
    if not deed.startswith(_DRIVES) or from_edge(parse_square(facts.room.king)) == 0 or _takes_room(facts):
        return ""
    return f"leaves {rival_king(facts)} in the open: {better.san} {deed.replace('the king', 'it', 1)}"


def _off_edge(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king is let off the edge, where the better move keeps it there."""
    if not _KEEPS.fullmatch(deed) or from_edge(parse_square(facts.room.king)) > 0 or not _inwards(facts):
        return ""
    if not any(from_edge(parse_square(goal)) for goal in facts.then.goals):
        return ""  # there its king is best off on the edge
    by = f" by {facts.then.ahead[0]}" if facts.given.gains is Gain.CENTRE and facts.then.ahead else ""
    return f"lets {rival_king(facts)} off the edge{by}: {better.san} keeps it there"


def _pawn_runs(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the other side's pawn goes on, where the better move is about it."""
    about = ("goes behind the pawn", "stops the pawn", "goes for the pawn", "attacks the pawn")
    if facts.given.gains is not Gain.PUSH or not deed.startswith(about) or not facts.then.ahead:
        return ""
    if better.cost.moves_lost:
        return ""  # what the best moves stop it need not
    deed = re.sub(r"the pawn( on [a-h][1-8])?", "it", deed.partition(",")[0], count=1)
    return f"lets the pawn go on by {facts.then.ahead[0]}: {better.san} {deed}"


def _time(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that a move goes the wrong way, or leaves the king behind, where the king or the pawn should go."""
    pawn = deed.startswith("brings the pawn on") and better.san[0].islower()
    if not pawn and (not deed.startswith(_BRINGS) or better.san[0] != "K"):
        return ""
    deed = deed if pawn else _comes_to(better, deed, facts)
    if not pawn and better.kings.kings_after >= better.kings.kings_before:
        deed = re.sub("the king nearer(?: to help| to [A-Z][a-z]+'s)?", f"the king towards {rival_king(better)}", deed)
    if facts.man.piece == "king" and not pawn:
        was, now = off_centre(stood(facts)), off_centre(stands(facts))
        away = walks_away(facts) or now > was
        inwards = from_edge(stands(facts)) > from_edge(stood(facts))
        aside = any(  # a better step of the king comes no nearer either
            other.man.piece == "king" and other.kings.kings_after >= facts.kings.kings_after
            for other in facts.held_against
        )
        nearer = facts.kings.kings_after < facts.kings.kings_before
        return "" if nearer or inwards or aside or not away else f"goes the wrong way: {better.san} {deed}"
    if facts.cost.mistake is Mistake.OUTCOME or facts.man.captured or facts.man.piece == "pawn":
        return ""
    if facts.gives.check:
        does = deed.partition(" to help ")[0] if deed.startswith("brings the king ") else deed
        return f"gives a check that gains nothing: {better.san} {does}"
    if not pawn and all(other.man.piece == "king" for other in best_ones(facts)):
        mine = side(facts.turn)
        return f"leaves {mine}'s king behind: {better.san} {deed.replace('the king', 'it', 1)}"
    return ""


def _escapes(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the other side's man gets out by a square let go, where the better move traps it."""
    man = re.match("traps the (bishop|knight)", deed)
    if man is None or not facts.then.ahead:
        return ""
    reply = facts.then.ahead[0]
    if "x" in reply or kind_signed(reply) != man[1] or not facts.seen.lets_go(parse_square(goal_of(reply))):
        return ""
    return f"lets the {man[1]} escape by {reply}: {better.san} traps it"


def _walks_away(facts: MoveFacts, better: MoveFacts, deed: str) -> str:
    """Say that the king goes away from the other, where a man should have moved and the king is needed for the mate."""
    pawn = "pawn" in (*facts.men.attacker_men, *facts.men.defender_men)
    away = walks_away(facts) and better.man.piece != "king"
    if (
        not away
        or facts.man.captured
        or pawn
        or not needs_king(facts)
        or facts.cost.mistake is Mistake.OUTCOME
        or facts.gives.check
    ):
        return ""
    if any(other.man.piece == "king" for other in best_ones(facts)):
        return ""
    return f"walks away from {rival_king(facts)}: {better.san} {deed}"


def _comes_to(better: MoveFacts, deed: str, facts: MoveFacts) -> str:
    """Say what the king comes nearer for: a man that only it attacks, squares it shuts; else to man or other king."""
    was, now, men = stood(better), stands(better), rivals_men(better)
    if len(men) == 1 and king_steps(now, men[0]) == 1 < king_steps(was, men[0]):
        goes, name = better.seen.idea(NearsMan), better.men.defender_men[0]
        alone = goes is not None and goes.from_king > 1 and not facts.seen.attacked(men[0])
        return f"attacks the {name}" if alone else f"brings the king to the {name}"
    if deed not in ("brings the king up", "brings the king nearer") or better.men.defender_men:
        return deed
    taken = tuple(square for square in better.room.squares_taken if square not in facts.room.squares_taken)
    if 0 < len(taken) <= _FEW:
        return f"{deed} and shuts {listed(taken)}"
    return f"{deed} to {rival_king(better).removesuffix(' king')}" if deed.endswith("nearer") else deed


_WAYS: tuple[Callable[[MoveFacts, MoveFacts, str], str], ...] = (
    _free,
    _way_open,
    _apart,
    _off_edge,
    _open,
    _room,
    _pawn_runs,
    _time,
    _escapes,
    _walks_away,
)


def _of_all(facts: MoveFacts, deed: str) -> bool:
    """Whether every one of the best moves does the same, or takes room in another way."""
    told = (next(deeds(other), NO_DEED).text for other in best_ones(facts))
    return all(text.startswith((*_TAKES, _SHUTS, *_DRIVES)) or head(text) == head(deed) for text in told)


#: Those that say what the king is left, which it must use.
_ABOUT_ROOM = (_free, _way_open, _apart, _off_edge, _open, _room)


def _caged(facts: MoveFacts) -> bool:
    """Whether the king stands in a cage after the move."""
    return facts.seen.contrast.caged


def _takes_room(facts: MoveFacts) -> bool:
    """Whether a slip takes room from the king after all."""
    cage, box, cut = facts.seen.idea(Cage), facts.seen.idea(Box), facts.seen.idea(CutOff)
    return (
        bool(facts.room.squares_taken)
        or facts.given.range_shrinks
        or (cage is not None and cage.change.smaller)
        or (box is not None and box.change in (BoxChange.MAKES, BoxChange.SHRINKS))
        or (cut is not None and cut.change is not CutChange.GIVES_UP)
    )


def _inwards(facts: MoveFacts) -> bool:
    """Whether the king can step farther from the edge."""
    king = from_edge(parse_square(facts.room.king))
    return any(from_edge(parse_square(square)) > king for square in facts.room.flights)


def _nearer(facts: MoveFacts, goal: int) -> bool:
    """Whether the king can step nearer to a square."""
    king = king_steps(parse_square(facts.room.king), goal)
    return any(king_steps(parse_square(square), goal) < king for square in facts.room.flights)
