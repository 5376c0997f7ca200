"""What comes next beside a pawn: who helps one that comes on, how far the king is, and what comes at a man."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import square_name
from matebot.ideas.squares import king_steps
from matebot.wording.phrases import other, side
from matebot.wording.said import (
    goal_of,
    men_at,
    own_king,
    own_men,
    own_others,
    parse_square,
    rivals_men,
    rivals_pawns,
    rivals_square,
    stands,
    stood,
)

STOP = "cannot stop"
#: So near its pawn a king escorts it.
_BY_PAWN = 2


def pawn_on(reply: str, facts: MoveFacts) -> str:
    """Say that the pawn comes on, and who helps it where the king is near enough to catch it but not before it."""
    goal, king = parse_square(goal_of(reply)), king_after(facts)
    ahead = king % 8 == goal % 8 and (king > goal) == (facts.turn == "black")
    if "=" in reply:
        return f"the pawn: it promotes by {reply}"
    return f"the pawn: {reply} comes{'' if ahead else _helped(goal, king, facts)}"


def _helped(pawn: int, king: int, facts: MoveFacts) -> str:
    """Say why the king does not catch a pawn that has come on: it is outside its square, or the other king helps."""
    if is_outside(pawn, facts):
        return ", and the king is not in front of it"
    if file := _cut_off(pawn, king, facts):
        return f", and the rook cuts {side(facts.turn)}'s king off on the {file}-file"
    if _is_behind(pawn, facts):
        return ", and the rook guards it from behind"
    rival, way = rivals_square(facts), _way(pawn, facts)
    whose = f"{side(other(facts.turn))}'s king"
    heavy = {"queen", "rook"} & set(facts.men.attacker_men)
    if king_steps(rival, pawn) <= (1 if heavy else _BY_PAWN):
        return f", and {whose} escorts it"
    return (
        f", and {whose} guards its way" if not heavy and any(king_steps(rival, square) <= 1 for square in way) else ""
    )


def is_outside(pawn: int, facts: MoveFacts) -> bool:
    """Whether the king, which is to move, does not catch a pawn that has come to a square."""
    way = _way(pawn, facts)
    return king_steps(king_after(facts), [pawn, *way][-1]) > len(way) + 1


def _way(pawn: int, facts: MoveFacts) -> list[int]:
    """Return the squares before a pawn of the other side, the last one that on which it promotes."""
    ranks = range(pawn // 8 + 1, 8) if facts.turn == "black" else range(pawn // 8 - 1, -1, -1)
    return [8 * rank + pawn % 8 for rank in ranks]


def _cut_off(pawn: int, king: int, facts: MoveFacts) -> str:
    """Return the file of the one rook between the king and the pawn's file; nothing without, or where it may fall."""
    rooks = [s for s in rivals_men(facts) if s != stands(facts) and men_at(facts, [s]) == "the rook"]
    if len(rooks) != 1 or facts.seen.idea(Hanging) is not None:
        return ""
    (rook,) = rooks
    low, high = sorted((king % 8, pawn % 8))
    return "abcdefgh"[rook % 8] if low < rook % 8 < high and king_steps(rook, king) > 1 else ""


def _is_behind(pawn: int, facts: MoveFacts) -> bool:
    """Whether a rook that cannot be taken stands behind its pawn, on its file with nobody between."""
    left, moved = stood(facts), stands(facts)
    rooks = [s for s in rivals_men(facts) if s != moved and men_at(facts, [s]) == "the rook" and s % 8 == pawn % 8]
    rooks = [s for s in rooks if (s > pawn) == (facts.turn == "white")]
    if len(rooks) != 1 or facts.seen.idea(Hanging) is not None:
        return False
    own = [moved if square == left else square for square in (own_king(facts), *own_others(facts))]
    low, high = sorted((rooks[0], pawn))
    return not any(low < square < high and square % 8 == pawn % 8 for square in (*own, rivals_square(facts)))


def king_after(facts: MoveFacts) -> int:
    """Return the square of the king of the side that moved, after the move."""
    return stands(facts) if facts.man.piece == "king" else own_king(facts)


def comes_at_man(reply: str, facts: MoveFacts) -> bool:
    """Whether a reply comes to the file or rank of a man of the side that moved: that is what it is after."""
    goal = parse_square(goal_of(reply))
    men = [stands(facts) if square == stood(facts) else square for square in own_others(facts)]
    return any(square % 8 == goal % 8 or square // 8 == goal // 8 for square in men)


def to_keys(king: str, reply: str, facts: MoveFacts) -> str:
    """Say that the other king gets to a key square of its pawn, or nearer to one, or holds one."""
    goal, keys = parse_square(goal_of(reply)), [parse_square(name) for name in facts.keys.key_squares]
    if facts.keys.on_key_square:
        return f"{STOP} the pawn: {king} stands on {square_name(rivals_square(facts))}, a key square"
    steps = min((king_steps(goal, key) for key in keys), default=None)
    if steps is None or facts.keys.key_steps_after is None or steps >= facts.keys.key_steps_after:
        return ""
    if not steps:
        return f"cannot keep {king} from {square_name(goal)}, a key square of the pawn"
    return f"{STOP} {reply}: {king} makes for a key square of the pawn"


def from_behind(was: int, now: int, facts: MoveFacts) -> str:
    """Say that a rook comes behind its own pawn."""
    pawns = [s for s in rivals_pawns(facts) if s != stands(facts)]
    if len(pawns) != 1 or now % 8 != pawns[0] % 8 or was % 8 == now % 8 or men_at(facts, [was]) != "the rook":
        return ""
    behind = now > pawns[0] if facts.turn == "white" else now < pawns[0]
    return "guards the pawn from behind" if behind else ""


def at_man(was: int, now: int, facts: MoveFacts) -> str:
    """Say what the attacker's king does that comes nearer: it attacks a man, or clears its pawn's way."""
    moved, hangs = stands(facts), facts.seen.idea(Hanging)
    if near := near_man(now, facts):
        kind, square = near
        return "" if hangs is not None and square in hangs.squares else f"attacks the {kind}"  # it can be taken already
    pawns = [s for s in rivals_pawns(facts) if s != moved]
    ahead = any(s % 8 == was % 8 and (was > s) == (facts.turn == "black") for s in pawns)
    return "clears the pawn's way" if ahead and now % 8 != was % 8 else ""


def near_man(king: int, facts: MoveFacts) -> tuple[str, int] | None:
    """Return the kind and square of the strongest man next to where the attacker's king goes, after the move."""
    left, moved = stood(facts), stands(facts)
    for kind in () if facts.man.promoted else ("queen", "rook", "bishop", "knight", "pawn"):
        for square in own_men(facts, kind):
            now = moved if square == left else square
            if king_steps(king, now) == 1:
                return kind, now
    return None
