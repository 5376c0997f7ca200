"""What a good move does with bishops and knights: the W, a barrier, posts and men off the edge; one rule an idea."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.barrier import Barrier
from matebot.ideas.guards import Guards
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.king_nearer import KingNearer
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import KnightsW, WState, way
from matebot.ideas.narrows import Narrows
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.squares import from_edge, king_steps
from matebot.ideas.towards_w import TowardsW
from matebot.wording import kings, maxims, room_left
from matebot.wording.phrases import be, listed, side
from matebot.wording.said import by_minors, men_at, of, own_man, parse_square, squares, stands

_KNIGHT, _KING = 2, 6
#: So many moves more than on an empty board a man may take to its post.
_ON_THE_WAY = 2


def the_w(idea: KnightsW, facts: MoveFacts) -> str:
    """Say which step of the W a move makes, or that the W is ready."""
    if idea.state is WState.READY:
        by = next(w for w in (way(idea.corner, True), way(idea.corner, False)) if w.route == idea.route)
        if facts.room.squares_taken:
            shut = listed(facts.room.squares_taken)
            return f"makes the W ready: it shuts {shut}, and the knight can set out"
        knight, bishop, king = map(square_name, (by.route[0], by.bishop, by.king))
        return f"makes the W ready: knight {knight}, bishop {bishop} and king {king}"
    if idea.state is WState.STEP:
        what = "begins the W" if idea.step == 1 else f"goes on with the W, step {idea.step} of 4"
        if facts.room.squares_taken:
            return f"{what}: {listed(facts.room.squares_taken)} {be(facts.room.squares_taken)} shut"
        at, near = stands(facts), [parse_square(square) for square in (facts.room.king, *facts.room.flights)]
        held = [goal for goal in range(64) if _by_knight(at, goal) and any(king_steps(s, goal) == 1 for s in near)]
        return f"{what}: from {square_name(at)} the knight guards {squares(held)}" if held else what
    return ""


def _by_knight(knight: int, square: int) -> bool:
    return {abs(knight % 8 - square % 8), abs(knight // 8 - square // 8)} == {1, 2}


def w_maxim(facts: MoveFacts) -> str:
    """Say what comes before the W."""
    idea = facts.seen.idea(KnightsW)
    return maxims.POSTS_FIRST if idea is not None and idea.state is WState.READY else ""


def to_w(idea: TowardsW, facts: MoveFacts) -> str:
    """Say which post of the W a man takes or heads for."""
    if (
        idea.man == _KING
        and idea.moves > 1
        and (of(KingUp, kings.king_up)(facts) or of(KingNearer, kings.to_centre)(facts))
    ):
        return ""  # A king that is far off comes to help: its post matters later.
    post, man, shut = square_name(idea.post), man_name(idea.man), squares(idea.shuts)
    if not idea.moves:
        corner = "the wrong corner " if idea.man == _KNIGHT else ""
        return f"takes the {man}'s post in the W: from {post} it shuts {corner}{shut}"
    comes = facts.seen.slower_moves.comes_to(idea, _ON_THE_WAY)
    return f"heads for {post}, the {man}'s post in the W" if comes else ""


def free_man(idea: Guards, facts: MoveFacts) -> str:
    """Say that the man moves that need not stay: the others hold squares alone."""
    if idea.let_go or not by_minors(facts) or _takes_room(facts):
        return ""  # The squares that it takes say more.
    if idea.freed:
        kings = own_man(facts, idea.freed[0]) == "king"
        man = f"{side(facts.turn)}'s king" if kings else men_at(facts, idea.freed)
        return f"takes over {squares(idea.held)} from {man}, which may now move"
    if any(move.from_square in idea.tied for move in facts.seen.slower_moves.as_soon):
        return ""  # A man that is tied may move as well.
    stay = "holds a square alone" if len(idea.tied) == 1 else "each hold squares alone"
    tied = men_at(facts, idea.tied).replace("the king", f"{side(facts.turn)}'s king")
    return f"moves the free man: {tied} {stay}"


def _free_maxim(idea: Guards, facts: MoveFacts) -> str:
    return maxims.RELIEVE if idea.freed else maxims.FREE_MAN


#: What a free man is good for.
free_maxim: maxims.Maxim = of(Guards, _free_maxim)


def _takes_room(facts: MoveFacts) -> bool:
    return not facts.gives.check and bool(room_left.taken(facts))


def barrier(idea: Barrier, facts: MoveFacts) -> str:
    """Say which squares bishop and knight bar together."""
    if not idea.new or facts.seen.idea(Narrows) is None:
        return ""  # A barrier that the king walks round bars little.
    return f"builds a barrier: the bishop guards {squares(idea.by_bishop)}, the knight {squares(idea.by_knight)}"


def gathers(idea: OffTheRim, facts: MoveFacts) -> str:
    """Say that a man comes off the edge, and how much more it guards there.

    Nothing is said where a slower move brings it to where it guards as much, or one as quick leaves it on the edge.
    """
    if any(other.move[:2] == facts.move[:2] and not from_edge(stands(other)) for other in facts.as_quick):
        return ""
    there = (board.attacks_mask(move.to_square) for move, board in facts.seen.slower_moves.sharing(idea))
    if any(guarded.bit_count() >= idea.guards_after for guarded in there):
        return ""
    more = f": it guards {idea.guards_after} squares instead of {idea.guards_before}"
    return f"brings the {man_name(idea.man)} off the edge{more if idea.guards_after > idea.guards_before else ''}"


def abreast(facts: MoveFacts) -> str:
    """Say that the bishops stand side by side now."""
    beside = _stands_beside(facts) and not facts.gives.check
    return "puts the bishops side by side: two neighbouring diagonals are shut" if beside else ""


def _stands_beside(facts: MoveFacts) -> bool:
    return facts.bishops.abreast and facts.man.piece == "bishop"
