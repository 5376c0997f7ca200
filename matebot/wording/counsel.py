"""Rules for whoever defends, which a pupil can take along: a short sentence beside a move, without squares."""

from __future__ import annotations

import re

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.inside_the_square import InsideTheSquare
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.drawn.safe_corner import SafeCorner
from matebot.ideas.expects import Expects
from matebot.ideas.idea import man_name
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means
from matebot.ideas.sets_problem import SetsProblem
from matebot.ideas.squares import CORNERS, from_edge, king_steps
from matebot.wording.maxims import EVERY_CAPTURE, IN_THE_CORNER, KING_TOO, ON_THE_EDGE, TAKE_IN_CHECK
from matebot.wording.pawn_comes import king_after
from matebot.wording.said import (
    goal_of,
    mated_within,
    men_at,
    needs_king,
    own_king,
    own_others,
    parse_square,
    promotion_square,
    rivals_men,
    rivals_square,
    stands,
    stood,
)

_BISHOP = 3
#: Steps from its king up to which a man counts as near.
_NEAR = 2
#: From so many steps on it is far.
_FAR = 3
#: So near the mate the cage is no matter.
_NEAR_MATE = 4
SECOND_MAN = "beware of the check that hits a second man"
STALEMATE = "the defender's best hope is stalemate"
IN_THE_SQUARE = "a king catches a pawn only from inside its square"
OPPOSITION = "in opposition the side to move must give way"
#: Beside the mate in the opposition that a defence avoids.
FACED = "kings face to face on the edge: a check from the side mates"
LOOSE = "look for men that nobody guards"
KEEP_AWAY = "keep the other king away as long as you can"
IN_FRONT = "the king belongs in front of the pawn"
FEWER = "keep as much of the board as you can"
OUT_OF_CORNERS = "once shut in, keep away from the corner"
OFF_THE_EDGE = "stay off the edge as long as you can"
FROM_AFAR = "bishops stop pawns from afar"
NO_GIFTS = "leave no man where it can be taken"
SEE_MATES = "before each move look at the checks it allows"
BAR_THE_WAY = "face the king that wants to pass"
FAR_ROOK = "keep your man where no king comes near it"
FAR_MAN, FAR_PAWN = "a man far from its king soon falls", "a pawn far from its king soon falls"
LEAD_IT = "the king must lead its pawn"
ROOK_MATES = "a rook mates only on the edge"
NEW_QUEEN = "against the new queen stay in the middle: it mates only on the edge"
KEY_SQUARE = "a king on a key square wins, whoever is to move"
FEW_WAYS = "when lost, leave only one way to win"
A_HOLE = "a cage with a hole is no cage"
ON_THE_SEVENTH = "as a rule only a pawn about to promote holds a queen"
PIN_IN_CORNER = "in the safe corner a pin on the bishop beside the king is stalemate"
PUSH = "push while no man guards the pawn's way"


def in_a_draw(facts: MoveFacts) -> str:
    """Say what a drawing defence teaches."""
    why = facts.seen.why_drawn
    if facts.man.captured:
        if facts.man.victim_guarded:
            return ""
        by_king = KING_TOO if facts.man.piece == "king" else EVERY_CAPTURE
        return TAKE_IN_CHECK if facts.seen.answers_check else by_king
    if isinstance(why, MinorStopsPawn):
        return _against_pawn(why, facts)
    if isinstance(why, InsideTheSquare):
        return IN_THE_SQUARE
    if isinstance(why, SafeCorner):
        return PIN_IN_CORNER if _holds_by_stalemate(why.corner, facts) else ""
    if not isinstance(why, MinorHoldsRook):
        return ""
    danger = facts.seen.idea(Meets) or facts.seen.idea(Pitfall)
    minor = man_name(why.minor)
    if danger is not None and danger.means is Means.FORK:
        return SECOND_MAN
    if danger is not None and danger.means in (Means.SKEWER, None):
        return f"keep king and {minor} off one line"
    if why.king_steps == 1 or (minor == "knight" and why.king_steps <= _NEAR):
        return "" if minor == "knight" and why.double is None else f"king and {minor} belong together"
    was = from_edge(own_king(facts))
    left = not facts.by_attacker and facts.man.piece == "king" and why.from_edge > was
    return ROOK_MATES if left or (why.off_edge and not was) else ""


def _holds_by_stalemate(corner: int, facts: MoveFacts) -> bool:
    """Whether the king stands in the corner and the other one leaves it no square but one for the bishop."""
    if facts.by_attacker or king_after(facts) != corner:
        return False
    near = [square for square in range(64) if king_steps(square, corner) == 1]
    held = [square for square in near if king_steps(square, rivals_square(facts)) == 1]
    return len(held) == len(near) - 1 and any(from_edge(square) for square in held)


def _against_pawn(why: MinorStopsPawn, facts: MoveFacts) -> str:
    """Say what a pawn against a bishop or a knight teaches either side."""
    if why.takes is not None:
        return ""
    if facts.by_attacker:
        return FROM_AFAR if why.minor == _BISHOP and why.held and not why.king_alone else ""
    if facts.seen.idea(SetsProblem) is not None and facts.man.piece == "pawn" and not why.held:
        return PUSH
    stands = any(square in why.held for square in rivals_men(facts))
    if why.minor == _BISHOP and why.held and not why.king_alone and not stands:
        return FROM_AFAR
    return f"a {man_name(why.minor)} alone cannot mate"


def in_a_loss(told: str, facts: MoveFacts) -> str:
    """Say what comes of a lost defence teaches, by what was told of it."""
    if _BY_CHECK.search(told):
        return SECOND_MAN
    if "cannot save the" in told:
        if facts.seen.answers_check and "pawn" not in facts.men.defender_men and _by_checker(facts):
            # The check has hit it, however far it stands; a man that has moved since falls where it went.
            return SECOND_MAN if facts.man.piece == "king" else ""
        return "" if facts.man.promoted or ": first " in told else _far_from_king(facts)
    if _KING_COMES.search(told) and needs_king(facts):
        return needed(facts)
    if "promotes next move" in told or "outside its square" in told:
        if facts.men.attacker_men != ("pawn",):
            return ""  # another man helps it: the square is half the reason
        late = "" if "promotes next move" in told else IN_THE_SQUARE
        away = from_edge(king_after(facts))
        return NEW_QUEEN if away and away >= from_edge(own_king(facts)) else late
    if "leaves no check that wins" in told:
        return _beside_it(facts)
    if _OF_PAWN.search(told):
        by_pawn = facts.men.defender_men == ("pawn",) or "pawn" in facts.men.attacker_men
        return about_pawn(facts) if by_pawn or not _CUTS_OFF.search(told) else ""
    if "mate next move" in told or "mate two moves later" in told or _MATES_NEXT.search(told):
        return little_room(facts)
    if needs_king(facts) and _ROOM.search(told):
        return only_there(facts)
    if " the edge, where " in told:
        return ""  # what the edge is to be kept off for is told
    rule = next((rule for words, rule in _BY_WORDS.items() if words in told), "")
    if rule == IN_FRONT and ("in front of" in told or not _may_get_in_front(facts)):
        return ""
    near = mated_within(facts, _NEAR_MATE)
    if rule == OUT_OF_CORNERS and (near or not _keeps_from_corner(facts)):
        return ""
    return off_the_edge(facts) if rule == OFF_THE_EDGE else fewer(facts) if rule == FEWER else rule


def in_front(facts: MoveFacts) -> str:
    """Say that the king belongs in front of a pawn that it may reach."""
    return IN_FRONT if _may_get_in_front(facts) else ""


def off_the_edge(facts: MoveFacts) -> str:
    """Say that the king stays off the edge; nothing where it was in no danger there, or goes there itself."""
    return OFF_THE_EDGE if from_edge(king_after(facts)) == 1 else ""


def fewer(facts: MoveFacts) -> str:
    """Say that the king keeps its room; nothing of one that goes to the edge itself."""
    return FEWER if from_edge(king_after(facts)) else ""


def belong_together(man: str) -> str:
    """Say that a king stays by its man."""
    return f"king and {man} belong together"


def needed(facts: MoveFacts) -> str:
    """Say that the attacker's men need their king to mate; nothing of others."""
    men = facts.men.attacker_men
    return _NEEDED[len(men) > 1].replace("men", men[0]) if needs_king(facts) else ""


def only_there(facts: MoveFacts) -> str:
    """Say that the attacker's men, which need their king, mate on the edge only."""
    return _ONLY_THERE[len(facts.men.attacker_men) > 1].replace("men", facts.men.attacker_men[0])


def _by_checker(facts: MoveFacts) -> bool:
    """Whether the man next to fall falls to the one piece, which has given check: not to the king."""
    expects = facts.seen.idea(Expects)
    taker = None if expects is None else expects.reply.from_square
    return len(facts.men.attacker_men) == 1 and taker is not None and taker != rivals_square(facts)


def _keeps_from_corner(facts: MoveFacts) -> bool:
    """Whether the king comes no nearer to a corner, nor stands in one, after the move and after all as good."""
    was, others = _from_corner(own_king(facts)), facts.beside_named.others_as_good
    kings = [king_after(facts), *(parse_square(goal_of(name)) for name in others if name[0] == "K")]
    return all(_from_corner(king) >= max(was, 1) for king in kings)


def _from_corner(king: int) -> int:
    return min(king_steps(king, corner) for corner in CORNERS)


def _beside_it(facts: MoveFacts) -> str:
    """Say why no check wins the one piece: it stands by its king, or what to look out for."""
    left, moved = stood(facts), stands(facts)
    near = [s for s in own_others(facts) if king_steps(king_after(facts), moved if s == left else s) == 1]
    return belong_together(facts.men.defender_men[0]) if near else SECOND_MAN


def about_pawn(facts: MoveFacts) -> str:
    """Say what a pawn needs against a queen or a rook, or what is to be done about the attacker's."""
    if mated_within(facts, _NEAR_MATE):
        return ""
    if facts.men.defender_men == ("pawn",):
        led = facts.man.piece == "king" or king_steps(own_king(facts), stands(facts)) == 1
        return ON_THE_SEVENTH if facts.men.attacker_men == ("queen",) else LEAD_IT if led else ""
    if "pawn" in facts.men.attacker_men:
        return IN_FRONT if _may_get_in_front(facts) else ""
    return KEEP_AWAY


def _may_get_in_front(facts: MoveFacts) -> bool:
    """Whether the king is in time to come before the one pawn, which neither its king leads nor a rook."""
    king, men = king_after(facts), rivals_men(facts)
    men = [square for square in men if square != stands(facts)]
    pawns = [square for square in men if men_at(facts, [square]) == "the pawn"]
    heavy = {"queen", "rook"} & set(facts.men.attacker_men)
    if len(pawns) != 1 or heavy:
        return False  # king and rook bring the pawn on, whoever stands before it
    (pawn,) = pawns
    ahead = range(pawn % 8, pawn, 8) if facts.turn == "white" else range(pawn + 8, 64, 8)
    goal = promotion_square(pawn, "black" if facts.turn == "white" else "white")
    led = king_steps(rivals_square(facts), pawn) <= _NEAR and king % 8 != pawn % 8
    return not led and king_steps(king, goal) <= len(ahead) + 1


def little_room(facts: MoveFacts) -> str:
    """Say what makes a mate that comes next easy; nothing of a king off the edge."""
    king = king_after(facts)
    if from_edge(king) or from_edge(own_king(facts)):
        return ""  # of a king that goes there itself it would speak against the move
    return IN_THE_CORNER if king in CORNERS else ON_THE_EDGE


def _far_from_king(facts: MoveFacts) -> str:
    """Say that a lone man falls that is far from its king; nothing where it is near."""
    was, now = stood(facts), stands(facts)
    places = [now if square == was else square for square in (own_king(facts), *own_others(facts))]
    if len(places) != 1 + 1 or king_steps(*places) < _FAR:
        return ""
    return FAR_PAWN if facts.men.defender_men == ("pawn",) else FAR_MAN


#: A man is taken by what gave check first.
_BY_CHECK = re.compile(r"cannot save .*: (?:first ([QRBNK])\S*\+, then \1x|\S+ forks )")
#: What the attacker's one piece, or his two, need to mate.
_NEEDED = ("a men cannot mate without its king", "two minor pieces cannot mate without their king")
#: What is told is about a pawn.
_OF_PAWN = re.compile(r" its pawn|brings the pawn to|king, which closes in by|which (?:attacks the pawn|cuts .* off)")
#: The attacking king comes nearer.
_KING_COMES = re.compile(r"king(?:, which)? closes in by")
#: A piece cuts the king off.
_CUTS_OFF = re.compile(r"which cuts .* off")
#: Mate follows at once.
_MATES_NEXT = re.compile(r"does not stop \S+#")
#: The king stands off the edge, and is left less room.
_ROOM = re.compile(r"(?:stays|comes nearer|leaves the edge).*, but .* (?:shrinks|shuts|leaves|cuts|takes the opp)")
_ONLY_THERE = ("a men mates only on the edge", "two minor pieces mate only on the edge")
#: What is told of a defence, and what a pupil can take along; nothing where it is told already.
_BY_WORDS = {
    "promotes next move": IN_THE_SQUARE,
    "a key square": KEY_SQUARE,
    "in front of the pawn": IN_FRONT,
    "comes nearer to the pawn": IN_FRONT,
    "clears the pawn's way": IN_FRONT,
    "cannot stop the pawn: ": IN_FRONT,
    "and White must give way": "",
    "and Black must give way": "",
    "opposition": OPPOSITION,
    "cannot mate": "",
    " the edge, where": "",
    "on the edge": OFF_THE_EDGE,
    "to the edge": OFF_THE_EDGE,
    "king in on the a-file": OFF_THE_EDGE,
    "king in on the h-file": OFF_THE_EDGE,
    "king in on rank": OFF_THE_EDGE,
    "the cage round": FEWER,
    "'s king less room": OUT_OF_CORNERS,
    " shuts White's king in": OUT_OF_CORNERS,
    " shuts Black's king in": OUT_OF_CORNERS,
}
