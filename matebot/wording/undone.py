"""What a move did to a condition of its stage that holds no more."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage
from matebot.ideas.knights_w import KnightsW
from matebot.method.condition import Condition
from matebot.wording import maxims
from matebot.wording.phrases import line_name
from matebot.wording.said import rivals_square, stands, stood

_C = Condition
#: Condition -> what was done to it; of a man that did not move nothing is said.
UNDONE: dict[Condition, str] = {
    _C.KING_IN_CENTRE: "takes the king out of the centre",
    _C.KING_OFF_EDGE: "takes the king to the edge, where it does little",
    _C.KNIGHT_OFF_RIM: "takes the knight to the edge, where it guards few squares",
    _C.KING_AT_W: "takes the king from its square of the W",
    _C.BISHOP_AT_W: "takes the bishop from its square of the W",
    _C.KNIGHT_AT_W: "takes the knight from the W",
    _C.CAGE_SHUT: "opens the cage",
    _C.KING_AT_CORNER: "takes the king away from the corner",
    _C.BISHOPS_ABREAST: "parts the bishops, which are strongest side by side",
    _C.MEN_SAFE: "leaves a man loose",
    _C.CUT_OFF: "no longer cuts the king off",
    _C.OPPOSITION: "takes the king out of the opposition",
    _C.EDGE_HELD: "gives up the line that held the king on the edge",
    _C.SHUT_IN_HALF: "lets the king out of its half of the board",
    _C.SHUT_IN_TWO: "lets the king out of its two lines",
    _C.NEIGHBOURING_LINES: "parts the two men, which belong on neighbouring lines",
    _C.KING_ON_KEY_SQUARE: "takes the king away from the key squares",
    _C.OUTSIDE_SQUARE: "lets the king into the square of the pawn",
    _C.KING_IN_FRONT: "takes the king from the front of the pawn",
    _C.PAWN_SAFE: "leaves the pawn loose",
    _C.WAY_SURE: "leaves the way of the pawn unsure",
    _C.KING_GUARDS_PAWN: "takes the king from the pawn that it guards",
    _C.PAWN_HELD: "lets the pawn go on",
    _C.KING_BY_PAWN: "takes the king away from the pawn",
    _C.CUT_FROM_PAWN: "lets the king through to its pawn",
    _C.KING_NEAR_PROMOTION_SQUARE: "takes the king away from the pawn",
    _C.KING_AT_PROMOTION_SQUARE: "takes the king away from the pawn",
    _C.KING_BEFORE_PAWN: "brings the king out before the rook covers it",
    _C.CUT_BY_FILE: "lets the other king through to the pawn",
    _C.ROOK_READY: "takes the rook from where it covers its king",
    _C.ROOK_HELPS: "takes the rook from where it covers its king or guards the promotion square",
    _C.KING_OUT: "takes the king back to the promotion square, or too far away",
    _C.KING_DOWN: "takes the king away from its rook",
    _C.ROOK_BRIDGES: "takes the rook from where it cuts the king off or covers its own",
    _C.BRIDGE_BUILT: "takes the bridge down",
}

#: What a condition that holds no more teaches.
_TEACHES: dict[Condition, str] = {
    _C.KING_IN_CENTRE: maxims.KING_TO_CENTRE,
    _C.KING_OFF_EDGE: maxims.IN_THE_MIDDLE,
    _C.KNIGHT_OFF_RIM: maxims.IN_THE_MIDDLE,
    _C.KING_AT_CORNER: maxims.STAY_BY_CORNER,
    _C.EDGE_HELD: maxims.HOLD_THE_LINE,
    _C.KING_ON_KEY_SQUARE: maxims.KING_FIRST,
    _C.KING_BY_PAWN: maxims.ATTACK_TOGETHER,
    _C.KING_NEAR_PROMOTION_SQUARE: maxims.ATTACK_TOGETHER,
    _C.KING_AT_PROMOTION_SQUARE: maxims.ATTACK_TOGETHER,
    _C.BOX_OF_28: maxims.ONLY_SMALLER.format(room="the box"),
    _C.BOX_OF_8: maxims.ONLY_SMALLER.format(room="the box"),
}

#: A cage of more squares is no cage to look at.
_LARGE = 10


def undone(facts: MoveFacts) -> str:
    """Return what a move did to the first condition of its stage that it broke; nothing without one."""
    return next((text for condition in facts.seen.broken if (text := _undone(condition, facts))), "")


def undone_teaches(facts: MoveFacts, text: str) -> str:
    """Return what the condition teaches that a text tells as broken; "" where nothing."""
    return next(
        (_TEACHES.get(condition, "") for condition in facts.seen.broken if _undone(condition, facts) == text), ""
    )


def _undone(condition: Condition, facts: MoveFacts) -> str:
    if condition is _C.KING_ON_KEY_SQUARE and facts.man.piece == "pawn":
        return "pushes the pawn too soon: the key squares are now out of the king's reach"
    if condition is _C.KING_ON_KEY_SQUARE and (facts.keys.key_steps_after or 0) <= (facts.keys.key_steps_before or 0):
        return ""  # those that it was past; of the pawn's own it comes no farther
    if condition in (_C.BOX_OF_28, _C.BOX_OF_8):
        box = facts.seen.idea(Box)
        widens = box is not None and box.change is BoxChange.WIDENS
        return "lets the box grow" if widens else ""
    if condition in (_C.KING_AT_W, _C.BISHOP_AT_W, _C.KNIGHT_AT_W) and facts.seen.idea(KnightsW) is None:
        return ""  # no W stood
    if condition is _C.EDGE_HELD and (line := edge_line(facts)):
        return f"takes the {facts.man.piece} off {line_name(line)}, which held the king on the edge"
    cage = facts.seen.idea(Cage)
    if condition is _C.CAGE_SHUT and cage is not None and cage.size_before > _LARGE:
        return "gives the king too much room"  # A cage so large looks like none.
    text = UNDONE.get(condition, "")
    verb, the, man, *_ = f"{text}   ".split(" ")
    moves = verb in ("takes", "brings") and the == "the"
    return text if not moves or man == facts.man.piece else ""


def edge_line(facts: MoveFacts) -> str:
    """Return the line next to an edge on which the king stands that the man that moved has left; "" without."""
    king, start, goal = rivals_square(facts), stood(facts), stands(facts)
    for edge, line in ((0, 1), (7, 6)):
        if king // 8 == edge and start // 8 == line != goal // 8:
            return f"rank {line + 1}"
        if king % 8 == edge and start % 8 == line != goal % 8:
            return f"file {'abcdefgh'[line]}"
    return ""
