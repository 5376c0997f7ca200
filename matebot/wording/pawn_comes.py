"""What comes next beside a pawn: who helps one that comes on, how far the king is, and what comes at a man."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import king_steps
from matebot.wording.phrases import other, side
from matebot.wording.said import own_king, own_others, parse_square, rivals_square

#: So near its pawn a king escorts it.
_BY_PAWN = 2


def pawn_on(reply: str, facts: MoveFacts) -> str:
    """Say that the pawn comes on, and who helps it where the king is near enough to catch it but not before it."""
    goal, king = parse_square(reply.rstrip("+#")[-2:]), king_after(facts)
    ahead = king % 8 == goal % 8 and (king > goal) == (facts.turn == "black")
    return f"the pawn: {reply} comes{'' if ahead else _helped(goal, king, facts)}"


def _helped(pawn: int, king: int, facts: MoveFacts) -> str:
    """Say why the king does not catch a pawn that has come on: it is outside its square, or the other king helps."""
    ranks, rival = range(pawn // 8 + 1, 8) if facts.turn == "black" else range(pawn // 8), rivals_square(facts)
    way = [8 * rank + pawn % 8 for rank in ranks]
    goal = way[-1] if facts.turn == "black" else way[0]
    if king_steps(king, goal) > len(way) + 1:
        return ", and the king is not in front of it"
    whose = f"{side(other(facts.turn))}'s king"
    heavy = {"queen", "rook"} & set(facts.men.attacker_men)
    if king_steps(rival, pawn) <= (1 if heavy else _BY_PAWN):
        return f", and {whose} escorts it"
    return (
        f", and {whose} guards its way" if not heavy and any(king_steps(rival, square) <= 1 for square in way) else ""
    )


def king_after(facts: MoveFacts) -> int:
    """Return the square of the king of the side that moved, after the move."""
    return parse_square(facts.move[2:4]) if facts.man.piece == "king" else own_king(facts)


def comes_at_man(reply: str, facts: MoveFacts) -> bool:
    """Whether a reply comes to the file or rank of a man of the side that moved: that is what it is after."""
    left, moved, goal = (parse_square(name[-2:]) for name in (facts.move[:2], facts.move[2:4], reply.rstrip("+#")))
    men = [moved if square == left else square for square in own_others(facts)]
    return any(square % 8 == goal % 8 or square // 8 == goal // 8 for square in men)
