"""The pattern of a mate by its name in the trade, where it is one, and the rule that goes with it.

Definitions, of a mate with one man that checks. *Blocked*: the only other man of the side that is mated takes a square
from its king. Where nothing is blocked: *guarded*: the man that checks is a queen or rook next to the king, and one man
guards it. *Side check*: it is a queen or rook on the line of the edge on which the king stands, not next to it. With it
the king stands *face to face* where the other king stands before it, one square between, off the edge; in the *corner*
where it stands there, the other king a knight's move away; before a *staircase* where the only man that holds anything
beside it is a queen or rook on the next line inwards; else the king alone holds what is left. *Two diagonals*: bishops
and king mate in a corner. *Round it*: two men of different kinds hold what the one that checks does not; where that
one holds squares alone, they are named.
"""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.mates import Holder, Mates
from matebot.ideas.squares import from_edge, king_steps
from matebot.records import dataclass
from matebot.wording import maxims
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import man, rival_king, squares

_BISHOP, _ROOK, _QUEEN, _KING = 3, 4, 5, 6
_HEAVY = (_ROOK, _QUEEN)
_PAIR = 2
_OPPOSED = ((0, 2), (2, 0))
_KNIGHTS_MOVE = ((1, 2), (2, 1))


@dataclass(frozen=True, slots=True)
class Pattern:
    """What a mate is called.

    Attributes
    ----------
    text, maxim : its name, and what it teaches
    needs_place : whether it says little without the place, edge or corner
    """

    text: str
    maxim: str
    needs_place: bool = False


def pattern(idea: Mates, facts: MoveFacts) -> Pattern | None:
    """Return the pattern of a mate, None where it has no name."""
    checking = [holder for holder in idea.holders if holder.checks]
    if len(checking) != 1:
        return None
    by = checking[0]
    if idea.blocked:
        return _blocked(idea, by, facts)
    if by.man in _HEAVY and king_steps(by.square, idea.king) == 1:
        return _guarded(idea, by)
    line = _edge_line(idea.king, by.square) if by.man in _HEAVY else ""
    if line and (found := _from_the_side(idea, by, line)):
        return found
    return _round_it(idea, by)


def _blocked(idea: Mates, by: Holder, facts: MoveFacts) -> Pattern | None:
    if len(facts.men.defender_men) != 1 or len(idea.blocked) != 1 or facts.seen.attacked(idea.blocked[0]):
        return None  # or the king could not go there in any case
    whose = rival_king(facts).removesuffix(" king")
    text = f"{whose} own {facts.men.defender_men[0]} blocks {squares(idea.blocked)}, and the {man_name(by.man)} checks"
    return Pattern(text, maxims.OWN_MEN, True)


def _guarded(idea: Mates, by: Holder) -> Pattern | None:
    guards = [holder.man for holder in idea.holders if by.square in holder.squares]
    if len(guards) != 1 or guards[0] == by.man:
        return None
    name = man_name(by.man)
    who = f"{'her' if by.man == _QUEEN else 'its'} king" if guards[0] == _KING else man(guards[0])
    others = [holder for holder in idea.holders if holder is not by and by.square not in holder.squares]
    held = [f"{man(other.man)} holds {squares(other.squares)}" for other in others if other.squares]
    text = f"the {name} mates guarded by {who}, and {listed(held)}" if held else ""
    text = text or f"the {name} mates at close range, guarded by {who}"
    return Pattern(text, maxims.NEXT_TO_IT.format(man=name))


def _edge_line(king: int, square: int) -> str:
    """Return the line of the edge on which both stand; nothing without one."""
    if king // 8 == square // 8 and king // 8 in (0, 7):
        return f"rank {king // 8 + 1}"
    return f"file {square_name(king)[0]}" if king % 8 == square % 8 and king % 8 in (0, 7) else ""


def _from_the_side(idea: Mates, by: Holder, line: str) -> Pattern | None:
    others = [holder for holder in idea.holders if holder is not by]
    if len(others) != 1:
        return None
    (other,), name, checks = others, man_name(by.man), f"the {man_name(by.man)} checks along {line_name(line)}"
    if other.man in _HEAVY and _next_line(idea.king, other.square, line):
        if other.man == by.man:
            return Pattern(
                f"one {name} holds the next line, the other checks along {line_name(line)}", maxims.STAIRCASE
            )
        return Pattern(f"the {man_name(other.man)} holds the next line, {checks}", maxims.STAIRCASE)
    if other.man != _KING:
        return None
    apart = abs(other.square // 8 - idea.king // 8), abs(other.square % 8 - idea.king % 8)
    if apart in _OPPOSED and from_edge(other.square) > 0:
        return Pattern(f"kings face to face, {checks}", maxims.SIDE_CHECK)
    if idea.in_corner and apart in _KNIGHTS_MOVE:
        return Pattern("the king, a knight's move away, holds the rest", maxims.NOT_ALONE.format(man=name), True)
    text = f"the other king bars the way {'out' if idea.in_corner else 'off it'}"
    return Pattern(text, maxims.IN_THE_CORNER if idea.in_corner else maxims.ON_THE_EDGE, True)


def _next_line(king: int, square: int, line: str) -> bool:
    """Whether a square lies on the line next to that of the edge."""
    return abs(square // 8 - king // 8) == 1 if line.startswith("rank") else abs(square % 8 - king % 8) == 1


def _round_it(idea: Mates, by: Holder) -> Pattern | None:
    kinds = [holder.man for holder in idea.holders if holder is not by]
    if idea.in_corner and by.man == _BISHOP and sorted(kinds) == [_BISHOP, _KING]:
        text = "the bishops take two diagonals, and their king holds the rest"
        return Pattern(text, maxims.IN_THE_CORNER, True)
    if len(kinds) != _PAIR or len(set(kinds)) < _PAIR or by.man in kinds:
        return None
    who, name = listed([man_name(kind) for kind in sorted(kinds)]), man_name(by.man)
    text = f"{who} hold every way out, and the {name} checks"
    if by.alone:
        text = f"the {name} holds {squares(by.alone)}, {who} the rest"
    return Pattern(text, maxims.SQUARES_FIRST)
