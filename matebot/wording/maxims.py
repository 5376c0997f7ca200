"""Rules that a pupil can take along to other positions: a short sentence beside an idea, without squares."""

from __future__ import annotations

from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.drives import Drives, Where
from matebot.ideas.holes import Holes
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.said import (
    by_minors,
    mated_within,
    needs_king,
    of,
    own_men,
    parse_square,
    promotion_square,
    rivals_men,
    stands,
)

#: What follows from facts for other positions; "" where nothing does.
Maxim = Callable[[MoveFacts], str]

_BESIDE = 2
_KING = 6
#: So near to mate the check comes next.
_NEAR_MATE = 6
QUEEN_AT_ONCE = "queen at once, unless it is stalemate"
MANY_WAYS = "when many moves win, keep the queen safe and leave no stalemate"
NOW_OR_LATER = "a pawn that nobody can stop queens now or later"
MAKE_A_QUEEN = "just make a queen"
QUEEN_WITH_CHECK = "a new queen with check gains a move"
EVERY_CAPTURE = "look at every capture first"
TAKE_IN_CHECK = "a capture may answer a check"
KING_TOO = "a king may take what nobody guards"
LOOSE_AFAR = "look along every line for loose men"
SAVE_THE_MAN = "save an attacked man before all else"
EVERY_CHECK = "look at every check first"
ATTACK_TOGETHER = "attack with king and men together"
ESCORT = "an escorted pawn gets through"
TOGETHER = "king and men belong together"
IN_THE_MIDDLE = "in the middle a man guards more"
NO_CHECK = "no check while a way out is open"
CHECK_GAINS_TIME = "a check gains time"
FREE_MAN = "move a free man, not a tied one"
RELIEVE = "relieve a tied man, and it can move"
KEEP_IT_SHUT = "a cage once shut must stay shut"
ONLY_SMALLER = "{room} must only get smaller"
CAGE_SMALLER = ONLY_SMALLER.format(room="a cage")
RUN_FIRST = "push a pawn that can run"
MEET_IT = "a threat to promote must be met"
BRING_ON = "bring pawn or king nearer the goal each time"
RIGHT_CORNER = "mate is forced only in a corner of the bishop's colour"
STAY_BY_CORNER = "keep the king by the corner where it mates"
OWN_WAY = "keep out of your own pawn's way"
TWO_BISHOPS = "two bishops force mate in a corner"
SEEK_DOUBLE = "look for checks that hit a second man"
NO_LOOSE_MAN = "leave no man loose near a king"
SEE_WHAT_HITS = "before each move see what can be attacked"
SEE_FORKS = "before each move look for forks"
HOLD_THE_LINE = "keep the line that holds the king"
WAY_FIRST = "shut the way out before all else"
HUNTED = "a man far from its king can be hunted"
LEAVE_A_MOVE = "leave it a move, or give check"
STOP_THE_PAWN = "stop the pawn before all else"
NOT_IN_THE_MIDDLE = "a king in the middle cannot be mated"
NOT_THAT_CORNER = "keep the king out of the wrong corner"
STAY_THERE = "keep the king on the edge"
LEAVE_A_SQUARE = "tighten the cage, but leave the king a square"
TAKE_SQUARES = "the fewer squares the king has, the better"
KING_TAKES = "the king must help to take squares"
LINE_BY_LINE = "shut the king in line by line"
WHERE_IT_WANTS = "guard the square the king wants"
ONE_LINE = "keep king and {man} off one line"
GUARD_THE_PAWN = "guard the pawn before you go on"
KEEP_AWAY = "keep a loose {man} away from the king"
MOVE_OR_GUARD = "an attacked man must move or be guarded"
SAVE_FIRST = "when a man is attacked, save it first"
STAY_ON_GUARD = "do not move the only guard of a man"
ROOM_FIRST = "take room first, check later"
FROM_MIDDLE = "a king does most in the middle"
KING_TO_CENTRE = "first the king to the centre"
CAGE_FIRST = "first the cage, then the king"
KING_TO_CAGE = "once the cage stands, bring the king"
ROOM_THEN_KING = "first the squares, then the king"
FIRST_CAGE = "first the cage, then the check"
LOOK_BEHIND = "look what stands behind the king"
FACE_TO_FACE = "kings face to face: check from the side"
MATE_FIRST = "a king on the edge: look for mate first"
WHAT_CAN_BE_TAKEN = "before each move see what can be taken"
CUT_KING = "a king cut off stops no pawn"
CUT_OFF = "cut the king off, then bring yours up"
ALL_IN_PLAY = "first bring all the men into play"
FIRST_LINE = "first the line, then the king"
OPPOSED_BAR = "opposed kings bar three squares"
TO_THE_EDGE = "first drive the king to the edge"
LEAD = "the king leads, the pawn follows"
KING_FIRST = "the king goes before the pawn"
SMALLER_BOX = "take room while the {man} is safe"
NOT_ALONE = "king and {man} mate only together"
FROM_AFAR = "a {man} works best from afar"
NEXT_TO_IT = "next to a king the {man} needs a guard"
BOTH_COLOURS = "together they guard both colours"
A_WALL = "two bishops side by side make a wall"
WAITING = "a waiting move can be the strongest"
CHECKS_END = "before each step see which checks follow"
KING_THEN_FORK = "first the king, then the fork"
STEP_NEARER = "step out of a check towards the king"
INSIDE_SQUARE = "only inside its square is a pawn caught"
DOUBLE_STEP = "the double step gains a move"
COUNT_THE_RACE = "count the race move by move"
PROMOTE_IN_TIME = "promote before it can be stopped"
EASY_PREY = "a man without its king is easy prey"
NO_TIME = "a threat of mate leaves no time"
OWN_MEN = "a king's own men may shut it in"
STAIRCASE = "two heavy pieces need no king"
SIDE_CHECK = "first the opposition, then the check"
IN_THE_CORNER = "in the corner a king has least room"
ON_THE_EDGE = "on the edge a king has little room"
POSTS_FIRST = "first each man on its post, then the W"
GOAL_FIRST = "hold the promotion square, then push"
FROM_BEHIND = "a rook belongs behind its pawn"
GUARD_AND_PUSH = "a guarded pawn may go on"
PUSH_SAFELY = "push the pawn while it is safe"
GUARD_IN_TIME = "guard a man before it is attacked"
FROM_THE_PAWN = "keep the king from the pawn"
ONCE_MORE = "attack a man once more than it is guarded"
LOOSE_TARGET = "an unguarded man is a target"
MAN_FIRST = "first win the {man}, then mate"
KING_HOLDS = "the king holds, the {man} mates"
SQUARES_FIRST = "first the squares, then the mate"
CHECK_INTO_NET = "check only where it drives the king your way"
CHECK_OPPOSED = "kings opposed: check from the side"
LEAVE_ONE_MOVE = "leave the king one move, and have the mate ready"


PART = "part the king from its {man}"
KING_FIRST_OF_ALL = "first the king"
ONLY_ON_EDGE = "only on the edge can it be mated"
SECOND_MAN = "a check that hits a second man wins it"
KING_MAY_TAKE = "first see what the king can take"
CLEAR_WAY = "clear the way for the pawn"
PINNED_STAYS = "a pinned man cannot run"
NO_SQUARE = "hunt a man that has no square"
MATE_OVER_MAN = "a quick mate is worth more than a man"
BEFORE_IT = "a king before the pawn stops it"
RIGHT_CORNER = "mate is forced only in a corner of the bishop's colour"
BAR_IT = "first bar the pawn's way, then take it"
DOOMED = "a doomed man can wait"
PINNED = "a pinned man soon falls"
BEHIND = "a rook belongs behind the pawn"
FLIGHTS_FIRST = "take a man's squares before you hunt it"
#: What to look at before a move, by the man that would take.
STRIKES = {
    "queen": "look along the queen's lines",
    "rook": "look along the rook's lines",
    "bishop": "look along the bishop's diagonals",
    "knight": "look where the knight can jump",
    "pawn": "look what the pawn can take",
}
BEFORE_TAKING = "before you take, see what takes back"
QUEEN_FASTER = "a queen mates sooner than a {man}"
#: The same in fewer words, the longer first.
_SHORT = {
    NOT_IN_THE_MIDDLE: ("keep the king out of the centre", "keep the king out"),
    HOLD_THE_LINE: ("hold the line",),
    STAY_THERE: ("keep the king there",),
    TAKE_SQUARES: ("take room from the king",),
    RIGHT_CORNER: ("lead it to the bishop's corner",),
    QUEEN_AT_ONCE: ("just make a queen", "make a queen"),
    WAY_FIRST: ("shut the way out",),
    STRIKES["queen"]: ("mind the queen's lines",),
    STRIKES["rook"]: ("mind the rook's lines",),
    STRIKES["bishop"]: ("look along the bishop's lines", "mind the bishop's lines"),
    STRIKES["knight"]: ("mind the knight's jumps",),
    **{NEXT_TO_IT.format(man=man): ("close checks need a guard",) for man in ("queen", "rook")},
    RUN_FIRST: ("first the pawn",),
    ATTACK_TOGETHER: (TOGETHER,),
    NO_LOOSE_MAN: ("leave no man loose",),
    WHAT_CAN_BE_TAKEN: ("see what can be taken",),
    SAVE_FIRST: ("save it first",),
    GUARD_THE_PAWN: ("guard the pawn",),
    STAY_ON_GUARD: ("stay on guard",),
    HUNTED: ("hunt a man left alone",),
    CUT_OFF: ("first cut the king off",),
    MATE_FIRST: ("look for mate first",),
    PINNED: ("a pinned man falls",),
    KING_TAKES: ("take room from the king",),
}


def shorter(rule: str) -> tuple[str, ...]:
    """Return the same rule in fewer words, the longer first; nothing where there is none."""
    if rule.startswith("first win the "):
        return (rule.partition(",")[0],)
    if rule.startswith("keep a loose "):
        return (f"keep the {rule.split()[3]} from the king", "guard your men")
    if rule.startswith("part the king "):
        return ("keep them apart",)
    return _SHORT.get(rule, ())


def always(text: str) -> Maxim:
    """Return a rule that holds wherever the idea does."""
    return lambda facts: text


def no_maxim(facts: MoveFacts) -> str:
    """Say nothing for other positions."""
    return ""


def box(facts: MoveFacts) -> str:
    """Say what to do with a box."""
    if facts.man.piece == "king":
        return ""
    near = king_steps(stands(facts), parse_square(facts.room.king)) <= _BESIDE
    return LINE_BY_LINE if near else SMALLER_BOX.format(man=facts.man.piece)


def king_up(facts: MoveFacts) -> str:
    """Say why the king comes up."""
    men, held = facts.men.attacker_men, facts.seen.idea(KingUp)
    caged, cage_now = held is not None and held.held_by is HeldBy.CAGE, facts.seen.idea(Cage)
    if caged and facts.men.defender_men and cage_now is not None and cage_now.change is CageChange.TIGHTENS:
        return KING_TAKES
    if caged and men == ("bishop", "bishop"):
        return CAGE_FIRST
    if needs_king(facts) and len(men) > 1 and not caged:
        return ALL_IN_PLAY if facts.man.piece == "king" else ""
    if facts.seen.answers_check:
        return STEP_NEARER if facts.kings.kings_after < facts.kings.kings_before else ""
    if caged and men in (("queen",), ("rook",)) and "pawn" not in facts.men.defender_men:
        return CAGE_FIRST
    return NOT_ALONE.format(man=men[0]) if len(men) == 1 and men[0] in ("queen", "rook") else ""


def cut_off(facts: MoveFacts) -> str:
    """Say what it is good for that the king is cut off."""
    men = facts.men.attacker_men
    if "pawn" in facts.men.defender_men:
        return CUT_OFF
    if len(men) > 1:
        return CUT_KING
    return FIRST_LINE if facts.kings.kings_after > _BESIDE else NOT_ALONE.format(man=men[0])


def _cage(idea: Cage, facts: MoveFacts) -> str:
    holes = facts.seen.idea(Holes)
    if idea.change is CageChange.TIGHTENS:
        return _tighter(idea, facts)
    if idea.change is not CageChange.SHUTS:
        return ""
    if king_may_come(facts):
        return king_up(facts) if facts.man.piece == "king" else CAGE_FIRST
    if by_minors(facts) and holes is not None and len(idea.gate) == 1 and idea.gate[0] in holes.closed:
        return "shut the last hole, then check"
    if facts.gives.check:
        return CHECK_INTO_NET
    if facts.men.defender_men and ("pawn" not in facts.men.defender_men or "queen" not in facts.men.attacker_men):
        apart = [square for square in rivals_men(facts) if all(king_steps(square, there) > 1 for there in idea.room)]
        if len(facts.men.defender_men) == len(apart) == 1:
            return PART.format(man=facts.men.defender_men[0])
        far = facts.men.attacker_men == ("queen",) and facts.kings.kings_after > _BESIDE
        return CAGE_FIRST if far and "rook" not in facts.men.defender_men else ""
    near = mated_within(facts, _NEAR_MATE)
    goals = [promotion_square(pawn, facts.turn) for pawn in own_men(facts, "pawn")]
    if facts.man.piece == "rook" and goals and not near and not {*goals} & {*idea.room}:
        return CUT_KING  # What the cage is good for is the pawn.
    return CAGE_SMALLER if by_minors(facts) and not near else FIRST_CAGE


#: What to do with a cage.
cage: Maxim = of(Cage, _cage)


def _tighter(idea: Cage, facts: MoveFacts) -> str:
    """Say how a cage is tightened, by the man that does it."""
    if facts.man.piece == "king":
        return KING_TAKES
    if facts.man.piece == "queen":
        return LEAVE_A_SQUARE
    return LINE_BY_LINE if len(idea.along) == 1 else TAKE_SQUARES


def king_may_come(facts: MoveFacts) -> bool:
    """Whether a king that has to help is still far, and no check hurries."""
    return needs_king(facts) and facts.kings.kings_after > _BESIDE and not facts.gives.check


def narrows(facts: MoveFacts) -> str:
    """Say what taking room is good for."""
    return TAKE_SQUARES if facts.gives.check else "take room first, check later"


def _saved(idea: Saved, facts: MoveFacts) -> str:
    first = "" if any(other.seen.idea(Saved) is None for other in facts.as_quick) else SAVE_THE_MAN
    if idea.by != _KING:
        return first
    if not idea.moved:
        return TOGETHER if facts.man.piece == "king" else MOVE_OR_GUARD
    far = king_steps(stands(facts), parse_square(facts.room.king)) > _BESIDE
    return FROM_AFAR.format(man=facts.man.piece) if far and facts.man.piece in ("rook", "queen") else first


#: Where a man is safe.
saved: Maxim = of(Saved, _saved)


def _forks(idea: Prepares, facts: MoveFacts) -> str:
    if idea.forks and idea.sure:
        return SECOND_MAN
    if idea.skewers:
        return LOOK_BEHIND
    return last_man(facts) if idea.does is Next.CAPTURE and idea.sure else ""


#: What a fork is.
forks: Maxim = of(Prepares, _forks)


def last_man(facts: MoveFacts) -> str:
    """Say why the last man is won."""
    return MAN_FIRST.format(man=facts.men.defender_men[0]) if len(facts.men.defender_men) == 1 else ""


def _shuts_way(idea: ShutsWay, facts: MoveFacts) -> str:
    on_edge = not from_edge(parse_square(facts.room.king))
    return {
        Aim.OWN_MAN: PART.format(man=facts.men.defender_men[0]) if facts.men.defender_men else "",
        Aim.PAWN: FROM_THE_PAWN,
        Aim.WRONG_CORNER: NOT_THAT_CORNER,
        Aim.CENTRE: STAY_THERE if on_edge else NOT_IN_THE_MIDDLE if needs_king(facts) else TO_THE_EDGE,
        Aim.OUT_OF_CORNER: f"a king {'in' if parse_square(facts.room.king) == idea.target else 'by'} the corner "
        "must stay there",
    }[idea.aim]


#: Why a way is shut.
shuts_way: Maxim = of(ShutsWay, _shuts_way)


def _to_corner(facts: MoveFacts) -> str:
    """Say in which corners bishops and knights mate; "" of other men."""
    men = sorted(facts.men.attacker_men)
    return RIGHT_CORNER if men == ["bishop", "knight"] else TWO_BISHOPS if men == ["bishop", "bishop"] else ""


def _drives(idea: Drives, facts: MoveFacts) -> str:
    if idea.corner is not None and (general := _to_corner(facts)):
        return general
    if idea.where is Where.ALONG_EDGE:
        return STAY_THERE
    if idea.corner is not None and by_minors(facts):
        return RIGHT_CORNER if "knight" in facts.men.attacker_men else IN_THE_CORNER
    return ONLY_ON_EDGE if idea.where is Where.TO_EDGE and needs_king(facts) else ""


#: Why the king is driven.
drives: Maxim = of(Drives, _drives)
