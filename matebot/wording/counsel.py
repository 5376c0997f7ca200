"""Rules for whoever defends, which a pupil can take along: a short sentence beside a move, without squares."""

from __future__ import annotations

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
from matebot.wording.problems import catches, stands_before
from matebot.wording.said import (
    goal_of,
    mated_within,
    needs_king,
    own_king,
    own_men,
    own_others,
    parse_square,
    promotion_square,
    rivals_men,
    rivals_pawns,
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
IN_THE_SQUARE = "draw the square: it saves counting moves"
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
NEW_QUEEN = "against the new queen stay in the middle, since it mates only on the edge"
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
    danger: Meets | Pitfall | None = facts.seen.idea(Meets)
    if danger is None or (danger.means is Means.CAPTURE and facts.beside.keeping > 1):
        danger = facts.seen.idea(Pitfall) or danger
    minor = man_name(why.minor)
    if danger is not None and danger.means is Means.FORK:
        return SECOND_MAN
    if danger is not None and danger.means in (Means.SKEWER, None):
        named = danger.means is Means.SKEWER and facts.seen.idea(Meets) is None  # both, just before
        return "" if _on_one_line(facts) else f"keep {'them' if named else f'king and {minor}'} off one line"
    if why.king_steps == 1 or (minor == "knight" and why.king_steps <= _NEAR):
        return "" if minor == "knight" and why.double is None else f"king and {minor} belong together"
    was = from_edge(own_king(facts))
    left = not facts.by_attacker and facts.man.piece == "king" and why.from_edge > was
    left = left and facts.seen.holding.edge_decides(why.from_edge)
    return ROOK_MATES if left or (why.off_edge and not was) else ""


def _on_one_line(facts: MoveFacts) -> bool:
    """Whether king and man stand on one file or rank after the move of their side."""
    left, moved, king = stood(facts), stands(facts), king_after(facts)
    men = [moved if square == left else square for square in own_others(facts)]
    return not facts.by_attacker and any(man % 8 == king % 8 or man // 8 == king // 8 for man in men)


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
    if why.king_alone:
        return IN_FRONT if stands_before(facts) else IN_THE_SQUARE if catches(facts) else ""
    if why.minor == _BISHOP and (why.held or why.comes) and not stands:
        return FROM_AFAR
    return f"a {man_name(why.minor)} alone cannot mate"


def of_lost_man(facts: MoveFacts, *, by_check: bool, later: bool) -> str:
    """Say what a man teaches that cannot be saved: by what it falls, at once or later."""
    if by_check:
        return SECOND_MAN
    if facts.seen.answers_check and "pawn" not in facts.men.defender_men and _by_checker(facts):
        # The check has hit it, however far it stands; a man that has moved since falls where it went.
        return SECOND_MAN if facts.man.piece == "king" else ""
    return "" if facts.man.promoted or later else _far_from_king(facts)


def out_of_square(facts: MoveFacts, late: str) -> str:
    """Say what a pawn teaches that is not caught: how a king that does not go for the edge meets the new queen."""
    away = from_edge(king_after(facts))
    contrast = facts.seen.contrast
    tells = contrast.edge_tells(1) and all(map(from_edge, contrast.equal_kings))  # else the edge is no matter
    return NEW_QUEEN if away and away >= from_edge(own_king(facts)) and tells else late


def out_of_corners(facts: MoveFacts) -> str:
    """Say that a king that is shut in keeps from the corner; nothing of one that does not, or is mated soon."""
    return OUT_OF_CORNERS if not mated_within(facts, _NEAR_MATE) and _keeps_from_corner(facts) else ""


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


def beside_it(facts: MoveFacts) -> str:
    """Say why no check wins the one piece: it stands by its king, or what to look out for."""
    left, moved = stood(facts), stands(facts)
    near = [s for s in own_others(facts) if king_steps(king_after(facts), moved if s == left else s) == 1]
    return belong_together(facts.men.defender_men[0]) if near else SECOND_MAN


def about_pawn(facts: MoveFacts) -> str:
    """Say what a pawn needs against a queen or a rook, or what is to be done about the attacker's."""
    if mated_within(facts, _NEAR_MATE):
        return ""
    if facts.men.defender_men == ("pawn",):
        led = _comes_to_pawn(facts) if facts.man.piece == "king" else king_steps(own_king(facts), stands(facts)) == 1
        return ON_THE_SEVENTH if facts.men.attacker_men == ("queen",) else LEAD_IT if led else ""
    if "pawn" in facts.men.attacker_men:
        return IN_FRONT if _may_get_in_front(facts) else ""
    return keep_away(facts)


def keep_away(facts: MoveFacts) -> str:
    """Say that the other king is to be kept away; nothing of a step towards it, or of a move of another man."""
    rival, steps = rivals_square(facts), facts.man.piece == "king"
    return KEEP_AWAY if steps and king_steps(stands(facts), rival) >= king_steps(stood(facts), rival) else ""


def _comes_to_pawn(facts: MoveFacts) -> bool:
    """Whether the king's step leads it nearer to its pawn, or beside it."""
    steps = [(king_steps(stands(facts), pawn), king_steps(stood(facts), pawn)) for pawn in own_men(facts, "pawn")]
    return all(now < was or now == 1 for now, was in steps)


def _may_get_in_front(facts: MoveFacts) -> bool:
    """Whether the king is in time to come before the one pawn, which neither its king leads nor a rook."""
    king = king_after(facts)
    pawns = [square for square in rivals_pawns(facts) if square != stands(facts)]
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


#: What the attacker's one piece, or his two, need to mate.
_NEEDED = ("a men cannot mate without its king", "two minor pieces cannot mate without their king")
_ONLY_THERE = ("a men mates only on the edge", "two minor pieces mate only on the edge")
