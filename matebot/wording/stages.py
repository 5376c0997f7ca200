"""Conditions of the stages in words, and a change of stage in three short parts."""

from __future__ import annotations

from matebot.method.condition import Condition
from matebot.method.plan import Plan
from matebot.method.standing import Standing
from matebot.wording.phrases import LINE, listed, sentence, side

_MOST_LINES = 2

_C = Condition
#: Condition -> what holds.
HOLDS: dict[Condition, str] = {
    _C.KING_IN_CENTRE: "the king is in the centre",
    _C.KING_OFF_EDGE: "the attacking king is off the edge",
    _C.BISHOP_OFF_RIM: "the bishop is off the edge",
    _C.KNIGHT_OFF_RIM: "the knight is off the edge",
    _C.BISHOP_WELL_PLACED: "the bishop is well placed",
    _C.DEFENDER_ON_EDGE: "the lone king is on the edge",
    _C.DEFENDER_NEAR_EDGE: "the other king is at most one step from the edge",
    _C.KING_AT_W: "the king stands ready for the W",
    _C.BISHOP_AT_W: "the bishop stands ready for the W",
    _C.KNIGHT_AT_W: "the knight stands ready for the W",
    _C.IN_LARGE_TRIANGLE: "the lone king is in the large triangle",
    _C.IN_MATING_TRIANGLE: "the lone king is in the triangle of a right corner",
    _C.IN_SMALL_TRIANGLE: "the lone king is in the small triangle",
    _C.CAGE_SHUT: "the cage is shut",
    _C.BY_A_CORNER: "the lone king is by a corner",
    _C.KING_AT_CORNER: "the king is at the corner",
    _C.BISHOPS_ABREAST: "the bishops stand side by side",
    _C.MEN_SAFE: "no man can be taken",
    _C.BOX_OF_28: "the box has at most 28 squares",
    _C.BOX_OF_8: "the box has at most 8 squares",
    _C.CUT_OFF: "the lone king is cut off",
    _C.OPPOSITION: "the kings stand in opposition",
    _C.EDGE_HELD: "the line next to the edge is held",
    _C.SHUT_IN_HALF: "the lone king is shut in on half the board",
    _C.SHUT_IN_TWO: "the lone king has only two ranks or files left",
    _C.NEIGHBOURING_LINES: "the two men stand on neighbouring lines",
    _C.KING_AT_HAND: "the kings are two steps apart",
    _C.KING_ON_KEY_SQUARE: "the king is on a key square or past it, or guards its pawn",
    _C.OUTSIDE_SQUARE: "the lone king is outside the square of the pawn",
    _C.KING_IN_FRONT: "the king is in front of the pawn",
    _C.PAWN_ON_SEVENTH: "the pawn is on the seventh rank",
    _C.PAWN_SAFE: "the pawn is guarded or out of reach",
    _C.WAY_SURE: "the king is at the promotion square, or the lone king is outside the square of the pawn",
    _C.KING_GUARDS_PAWN: "the king guards the pawn",
    _C.CORNER_HELD: "the bishop holds the promotion corner",
    _C.PAWN_HELD: "the pawn is held",
    _C.PAWN_BLOCKED: "a man stands before the pawn",
    _C.KING_NEAR_PROMOTION_SQUARE: "the king is within four steps of the promotion square",
    _C.KING_AT_PROMOTION_SQUARE: "the king is within two steps of the promotion square",
    _C.KING_BY_PAWN: "the king is within two steps of the pawn",
    _C.KING_IN_SQUARE: "the king is in the square of the pawn",
    _C.CUT_FROM_PAWN: "the other king is cut off from its pawn",
    _C.MAN_AWAY: "the rook is away from its king",
    _C.FORKED: "king and rook are attacked at once",
    _C.DEFENDER_BEFORE_PAWN: "the other king stands in front of its pawn",
    _C.PAWN_FALLS: "the pawn can be taken",
    _C.KING_BEFORE_PAWN: "the king is at its pawn's promotion square",
    _C.CUT_BY_FILE: "the rook's file keeps the other king from the pawn",
    _C.ROOK_READY: "the rook is on its fourth or fifth rank",
    _C.ROOK_HELPS: "the rook is on its fourth, fifth or last rank",
    _C.KING_OUT: "the king is out",
    _C.KING_DOWN: "the king is down on its fifth or sixth rank",
    _C.ROOK_BRIDGES: "the rook cuts the other king off or covers its own",
    _C.BRIDGE_BUILT: "the bridge is built",
}


def reached(standing: Standing) -> str:
    """Return what is reached when a stage begins, by the conditions that make it."""
    text = _when(standing.at.conditions)
    return sentence(text) if text else ""


def sign(standing: Standing) -> str:
    """Return how to know that the work of a stage is done."""
    return sign_of(standing.plan, standing.stage)


def sign_of(plan: Plan, stage: int) -> str:
    """Return how to know that the work of a stage (1 the first) is done: by what the next needs, else by its marks."""
    if stage == len(plan.stages):
        return ""
    here, there = plan.stages[stage - 1 : stage + 1]
    after = [condition for condition in there.conditions if condition not in here.conditions]
    done = _when(tuple(after) or here.marks)
    return sentence(f"you are there when {done}") if done else ""


def passage(standing: Standing) -> list[str]:
    """Return a change of stage in three short parts: what is reached, what is next, how you will know."""
    return [part for part in (reached(standing), sentence(f"next: {standing.aim}"), sign(standing)) if part]


def change(standing: Standing) -> list[str]:
    """Return all there is to say where a stage begins: what is reached, what is next, how you will know, the trap."""
    return [*passage(standing), sentence(f"beware: {standing.trap}")]


def again(standing: Standing) -> str:
    """Say that a stage that was told of begins again."""
    return sentence(f"again: {standing.title}")


def _when(conditions: tuple[Condition, ...]) -> str:
    return listed([HOLDS[condition] for condition in conditions])


def back_to(standing: Standing) -> list[str]:
    """Return what there is to say where the game has come back to a stage: which, what is next, how you will know."""
    back = sentence(f"back to an earlier stage: {standing.title}")
    return [part for part in (back, sentence(f"next: {standing.aim}"), sign(standing)) if part]


def told(standing: Standing, attacker: str, back: bool = False) -> list[str]:
    """Return the change of stage in at most two lines that begin with the attacking side.

    Parameters
    ----------
    back : whether a later stage of the same ladder has been left for it
    """
    head, lines = f"{side(attacker)}:", list[str]()
    for part in back_to(standing) if back else change(standing):
        if lines and len(lines[-1]) + 1 + len(part) <= LINE:
            lines[-1] = f"{lines[-1]} {part}"
        elif len(lines) < _MOST_LINES:
            lines.append(f"{head} {part}")
    return [text if len(text) <= LINE else f"{text[:LINE].rpartition(',')[0] or text[: LINE - 1]}." for text in lines]
