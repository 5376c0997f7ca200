"""How a lost defence differs from the ones that last less long: a trait that it alone shows, with its rule."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.critical import Critical
from matebot.ideas.denies import Denies
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.squares import CORNERS, from_edge, king_steps, off_centre
from matebot.ideas.stands_by import StandsBy
from matebot.ideas.stands_out import StandsOut, Trait
from matebot.wording.denials import mating
from matebot.wording.phrases import other, side
from matebot.wording.said import (
    mated_within,
    mates_anywhere,
    men_at,
    needs_king,
    own_king,
    own_man,
    own_others,
    rivals_men,
    stands,
    stood,
)

#: Up to so many steps king and man are together.
_NEAR = 2
#: Told where nothing else is.
_LITTLE = (Trait.ROOM, Trait.LOOSE)
#: In so many moves mate is soon.
_SOON = 4
#: With so many legal moves there is one other.
THE_OTHER = 2
_ROOM = "room off the edge"


def stands_out(idea: StandsOut, facts: MoveFacts) -> str:
    """Say what all the longest defences have in common: ``stays nearest the centre, since a rook mates only ...``."""
    rival, man = f"{side(other(facts.turn))}'s king", "" if idea.man is None else man_name(idea.man)
    if idea.trait in (Trait.TOGETHER, Trait.AWAY, Trait.APART) and facts.seen.idea(Hanging) is not None:
        return ""  # it falls wherever it stands
    if idea.trait in (Trait.TOGETHER, Trait.AWAY) and _is_forked(facts):
        return ""
    if idea.trait is Trait.AWAY and facts.seen.idea(StandsBy) is not None:
        return ""
    if idea.trait not in (Trait.TOGETHER, Trait.AWAY) and _loses_man(facts):
        return ""  # the man is what matters
    if idea.trait is Trait.PROMOTION and (not facts.seen.contrast.delays_pawn):
        return ""
    if idea.trait is Trait.CORNER and from_edge(stood(facts)) > from_edge(stands(facts)):
        return ""  # it goes nearer to the edge itself
    if idea.trait is Trait.RIGHT_CORNER and _nears_corner(facts):
        return ""
    if idea.trait in _LITTLE or not _faces(idea, facts):
        return ""
    keeps = "leaves" if stood(facts) in CORNERS else "keeps out of"
    return {
        Trait.TOGETHER: _together(idea, man, facts),
        Trait.CORNER: f"{keeps} the corner, where it has fewest squares",
        Trait.APART: f"keeps away from {rival}, {_needed(facts)}",
        Trait.CENTRE: _inwards(idea, facts),
        Trait.CLOSE: f"stays close to {rival} and bars its way",
        Trait.PROMOTION: f"keeps {_near_goal(idea, facts)}",
        Trait.RIGHT_CORNER: "keeps away from the corners of the bishop's colour, where mate is forced",
        Trait.AWAY: f"keeps the {man} far from {rival}, out of its reach",
    }[idea.trait]


def stands_best(idea: StandsOut, facts: MoveFacts) -> str:
    """Say of a bare king what little all the longest defences have in common; nothing where mate is near."""
    if not needs_king(facts) or mated_within(facts, _SOON):
        return ""
    if idea.trait is Trait.LOOSE and idea.man is not None and idea.goal is not None:
        if not _as_near(idea.goal, facts):
            return ""  # then it is not by its nearness that it lasts
        return f"keeps nearest to the unguarded {man_name(idea.man)} on {square_name(idea.goal)}"
    if idea.trait is Trait.CLOSE and not _faces(idea, facts):
        return f"keeps {side(other(facts.turn))}'s king from coming nearer"
    if idea.trait is not Trait.ROOM or from_edge(stands(facts)) < from_edge(stood(facts)):
        return ""  # it goes nearer to the edge itself
    critical = facts.seen.idea(Critical)
    alone = critical is not None and critical.alone
    return f"gives the king the most {_ROOM}" if alone else f"gives the king more {_ROOM} than any shorter defence"


def _faces(idea: StandsOut, facts: MoveFacts) -> bool:
    """Whether the king faces the other one, where that it is close should bar its way: alone of all."""
    if idea.trait is not Trait.CLOSE:
        return True
    critical = facts.seen.idea(Critical)
    return facts.kings.opposition == "direct" and critical is not None and critical.alone


def _nears_corner(facts: MoveFacts) -> bool:
    """Whether the king comes nearer to either corner in which mate is forced, though not to the nearest of them."""
    was, now = stood(facts), stands(facts)
    bishops = [square for square in rivals_men(facts) if men_at(facts, [square]) == "the bishop"]
    corners = [corner for corner in CORNERS if any(_colour(corner) == _colour(bishop) for bishop in bishops)]
    return any(king_steps(now, corner) < king_steps(was, corner) for corner in corners)


def _colour(square: int) -> int:
    return (square // 8 + square % 8) % 2


def _loses_man(facts: MoveFacts) -> bool:
    """Whether another move lets a piece be taken, forked or skewered."""
    denies = None if facts.men.defender_men in ((), ("pawn",)) else facts.seen.idea(Denies)
    return denies is not None and denies.man is not None


def _together(idea: StandsOut, man: str, facts: MoveFacts) -> str:
    """Say that king and man stand together, and what check wins the man after another move, as most of them let it."""
    if -idea.least > _NEAR:
        return f"keeps the {man} nearer to its king"
    contrast = facts.seen.contrast
    if contrast.kept.telling_man is None:
        return f"keeps king and {man} together"
    where = "beside" if idea.least == -1 else "near"
    return f"keeps the {man} {where} its king: {lost_else(facts)}"


def lost_else(facts: MoveFacts) -> str:
    """Say that most moves lose the one piece, and to what check one of them does."""
    example, as_one = facts.seen.contrast.kept.lost_to, ""
    if facts.beside.choices == THE_OTHER:
        named = "" if example is None else f", {facts.seen.name(example[0])},"
        return f"the other move{named} loses it {'at once' if example is None else f'to {facts.seen.name(*example)}'}"
    if example is not None:
        as_one = f", as {facts.seen.name(example[0])} does to {facts.seen.name(*example)}"
    kept = facts.seen.contrast.kept.else_kept
    if len(kept) == 1 and not as_one:
        return f"only {facts.seen.name(kept[0])} keeps it too"
    but = f" but {facts.seen.name(kept[0])}" if len(kept) == 1 else ""
    who = f"{'all other' if but else how_many_lose(facts)} moves{but}"
    return f"{who} lose it{as_one or ' at once'}"


def how_many_lose(facts: MoveFacts) -> str:
    """Say whether all other moves lose the one piece, most of them or half."""
    if not facts.seen.contrast.kept.else_kept:
        return "all other"
    return "half the" if facts.seen.contrast.kept.lost_by_half else "most"


def _is_forked(facts: MoveFacts) -> bool:
    """Whether a man of the side that moved is lost to a fork by the next move."""
    left, moved = stood(facts), stands(facts)
    men = [moved if square == left else square for square in own_others(facts)]
    return any(map(facts.seen.contrast.forked, men))


def keeps_guarded(facts: MoveFacts) -> str:
    """Say that the king, which has moved, stands next to its one man; nothing where it does not."""
    men = own_others(facts)
    if len(men) != 1 or facts.man.piece != "king" or king_steps(men[0], stands(facts)) > 1:
        return ""
    return f"keeps its {own_man(facts, men[0])} guarded"


def guards_too(facts: MoveFacts) -> bool:
    """Whether the king stands next to its one man after a move of either."""
    left, moved = stood(facts), stands(facts)
    men = [moved if square == left else square for square in own_others(facts)]
    king = moved if facts.man.piece == "king" else own_king(facts)
    return all(king_steps(man, king) == 1 for man in men)


def _inwards(idea: StandsOut, facts: MoveFacts) -> str:
    if facts.men.defender_men and facts.seen.contrast.leaves_man:
        return keeps_guarded(facts)
    mates = f"since {mating(facts)} {'mates' if len(facts.men.attacker_men) == 1 else 'mate'} only"
    if idea.most <= 0 < idea.least:
        left = facts.man.piece == "king" and not from_edge(stood(facts))
        if facts.men.defender_men == ("pawn",):
            return ""  # what matters is the pawn
        if not left and (facts.men.attacker_men == ("pawn",) or from_edge(stood(facts)) > 1):
            return ""  # it was in no danger there
        if mates_anywhere(facts):
            return ""
        there = f"{mates} there" if needs_king(facts) else "where it can be mated"
        return f"{'leaves' if left else 'keeps off'} the edge, {there}"
    if any(off_centre(king) != off_centre(stands(facts)) for king in facts.seen.contrast.equal_kings):
        return ""  # one that lasts as long stands nearer, or farther
    far = f"{mates} on the edge" if needs_king(facts) else "away from the edge, where it can be mated"
    return f"stays nearest the centre, {far}"


def _near_goal(idea: StandsOut, facts: MoveFacts) -> str:
    """Say how near the king is to where a pawn promotes: of all nearest, or nearer than after what is shorter."""
    if idea.goal is None or _as_near(idea.goal, facts):
        return f"nearest to {'' if idea.goal is None else square_name(idea.goal)}, where the pawn promotes"
    return f"nearer to {square_name(idea.goal)}, where the pawn promotes, than any shorter move"


def _as_near(goal: int, facts: MoveFacts) -> bool:
    """Whether the king is as near to a square after every other move that lasts as long."""
    mine = king_steps(stands(facts), goal)
    return all(king_steps(king, goal) == mine for king in facts.seen.contrast.equal_kings)


def _needed(facts: MoveFacts) -> str:
    if needs_king(facts):
        return f"without which {mating(facts)} cannot mate"
    return "which must come to help"
