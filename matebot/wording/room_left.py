"""What it comes to that squares are taken from the defending king: where it is held, or what is left to it.

Definitions, of a move that takes squares to which the king could go. It is left *no square* where it can go nowhere,
*only* one to which it can. It is *held on the edge* where it stands there, can go to the edge alone, and could go
elsewhere before. *Shut* is a line of a rook or bishop that moved to it, on which every square taken lies, two or more,
and no other man of its side. *Left* are at most three squares. Else the squares taken are named: those that lead
somewhere (see `shuts_way`) with where they lead, all of them where none does.
"""

from __future__ import annotations

from collections.abc import Sequence

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import square_name
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import from_edge, lines_holding
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import mated_within, own_men, parse_square, pawn_runs, rival_king, shuts_all_of, stands

_FEW, _PAIR = 3, 2
#: So many moves from mate no way of the king to its man matters.
_MATE_SOON = 4
_RANKS, _FILES = {"1": "rank 1", "8": "rank 8"}, {"a": "the a-file", "h": "the h-file"}


def taken(facts: MoveFacts, squares: Sequence[str] = ()) -> str:
    """Say what it comes to that squares are taken from the king; nothing where none are.

    Parameters
    ----------
    squares : those to be named, if not all that are taken
    """
    lost, left, king = facts.room.squares_taken, facts.room.flights, rival_king(facts)
    named = tuple(squares) or lost
    if not lost:
        return ""
    if not left and not facts.gives.check:
        return f"leaves {king} no square"
    if len(left) == 1:
        return f"leaves {king} only {left[0]}"
    if held_on_edge(facts):
        return holds(facts)
    if line := line_shut(facts):
        return line
    if 0 < len(left) <= _FEW and len(named) > 1:
        return f"leaves {king} only {listed(left)}"
    if facts.room.squares_given:
        return ""  # Others are given: half of it told would mislead.
    there, leads = _leads(named, facts)
    return f"takes {listed(there or named)} from {king}{leads}"


def line_shut(facts: MoveFacts) -> str:
    """Say which line of a rook or bishop is shut to a king that is not held on the edge, nor by one square."""
    line = "" if len(facts.room.flights) <= 1 or held_on_edge(facts) else _line(facts)
    return f"shuts {line} to {rival_king(facts)}" if line else ""


#: Ways that are told only where no other leads there.
_ONLY_LAST = (Aim.WRONG_CORNER, Aim.OUT_OF_CORNER)


def _leads(named: Sequence[str], facts: MoveFacts) -> tuple[list[str], str]:
    """Return which of the squares lead somewhere, and where; nothing where another thing matters more."""
    idea = facts.seen.idea(ShutsWay)
    if idea is None or not tells(idea, facts) or (idea.aim in _ONLY_LAST and not idea.last):
        return [], ""
    there = [square_name(square) for square in idea.squares if square_name(square) in named]
    if not there:
        return [], ""
    if idea.aim is Aim.OUT_OF_CORNER:
        return there, f", by which it could get away from the corner {square_name(idea.target or 0)}"
    a_way = "its way" if idea.last else "one of its ways" if len(there) == 1 else "two of its ways"
    return (there, f", {a_way} {way(idea.aim, idea.target, facts)}") if len(there) <= _PAIR else ([], "")


def tells(idea: ShutsWay, facts: MoveFacts) -> bool:
    """Whether a way of the king matters: not where a pawn or the mate does more."""
    if idea.aim is Aim.PAWN:
        return not pawn_runs(facts)
    if idea.aim is Aim.OWN_MAN:
        return not mated_within(facts, _MATE_SOON)
    return idea.aim is not Aim.CENTRE or "pawn" not in facts.men.attacker_men


def way(aim: Aim, target: int | None, facts: MoveFacts) -> str:
    """Say where a way of the defending king leads: ``off the edge``."""
    goal = "" if target is None else square_name(target)
    return {
        Aim.OWN_MAN: f"to its {facts.men.defender_men[0]}" if facts.men.defender_men else "",
        Aim.PAWN: f"to the pawn on {goal}",
        Aim.WRONG_CORNER: f"to {goal}, the wrong corner",
        Aim.CENTRE: "back to the centre" if from_edge(parse_square(facts.room.king)) else "off the edge",
        Aim.OUT_OF_CORNER: f"{'out of' if goal == facts.room.king else 'away from'} the corner {goal}",
    }[aim]


def holds(facts: MoveFacts) -> str:
    """Say on which line of the edge a king is held that can go along it only."""
    return f"holds {rival_king(facts)} on {_edge_line(facts) or 'the edge'}"


def _edge_line(facts: MoveFacts) -> str:
    """Return the line of the edge on which all squares of the king lie, a rank before a file; nothing without one."""
    return _only_line(facts, 1, _RANKS) or _only_line(facts, 0, _FILES)


def _only_line(facts: MoveFacts, at: int, names: dict[str, str]) -> str:
    """Return the line of the edge on which all squares of the king lie; nothing without one."""
    lines = {square[at] for square in (facts.room.king, *facts.room.flights)}
    return names.get(lines.pop(), "") if len(lines) == 1 else ""


def held_on_edge(facts: MoveFacts) -> bool:
    """Whether the king can go along the edge only, and could go elsewhere before."""
    here = (facts.room.king, *facts.room.flights)
    return not any(from_edge(parse_square(square)) for square in here) and any(
        from_edge(parse_square(square)) for square in facts.room.squares_taken
    )


def edge_held(facts: MoveFacts) -> str:
    """Return the line of the edge that the other king cannot leave, where the lone piece stands on the next line."""
    line, (piece,) = _edge_line(facts), own_men(facts, facts.men.attacker_men[0])
    return line if line and line == edge_beside(parse_square(facts.room.king), piece) else ""


def edge_beside(king: int, piece: int) -> str:
    """Name the line of the edge on which a king stands where a piece holds the one beside it; nothing without."""
    if king // 8 in (0, 7) and abs(king // 8 - piece // 8) == 1:
        return line_name(f"rank {king // 8 + 1}")
    return line_name(f"file {'abcdefgh'[king % 8]}") if king % 8 in (0, 7) and abs(king % 8 - piece % 8) == 1 else ""


def _line(facts: MoveFacts) -> str:
    """Return the line of a rook or bishop with all squares taken, two or more, and no other man of its side."""
    now = stands(facts)
    lost = [square for square in map(parse_square, facts.room.squares_taken) if square != now]
    if facts.man.piece not in ("rook", "bishop") or len(lost) < _PAIR:
        return ""
    lines = lines_holding(sum(1 << square for square in lost), now)
    straight = [line for line in lines if line.startswith(("rank", "file")) == (facts.man.piece == "rook")]
    if not len(lines) == len(straight) == 1:
        return ""
    return line_name(straight[0]) if shuts_all_of(straight[0], facts) else ""


def line_taken(squares: tuple[str, ...], better: MoveFacts) -> str:
    """Say which squares a move takes from the king, or that it shuts the line on which they lie."""
    at, king = square_name(stands(better)), rival_king(better)
    for place, kind in ((1, "rank"), (0, "file")):
        line, lie = f"{kind} {at[place]}", all(square[place] == at[place] for square in squares)
        if len(squares) > 1 and lie and better.man.piece == "queen" and shuts_all_of(line, better):
            return f"shuts {line_name(line)} to {king}"
    return f"takes {listed(squares)} from {king}"
