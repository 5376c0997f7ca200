"""Reads what it comes to that squares are taken from the defending king: what is left to it, or where it is held."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import shut
from tests.witness.spoken import MAN, SQUARE, SQUARES, Spoken, hold, squares_in
from tests.witness.spoken_men import far, newly_shut, their
from tests.witness.spoken_room import LONG_LINE, all_shut, squares_of

_KING = r"(?:White|Black)'s king"
_LEADING = (
    rf"(?:, (?P<which>(?:the|its) way|one of its ways|two of its ways) (?P<where>to its {MAN}|to the pawn on {SQUARE}"
    rf"|to {SQUARE}, the wrong corner|off the edge|back to the centre)"
    rf"|, by which it could get away from the corner (?P<corner>{SQUARE}))?"
)
TAKEN = (
    rf"(?:takes (?P<taken>{SQUARES}) from {_KING}{_LEADING}|shuts (?P<line>{LONG_LINE}) to {_KING}"
    rf"|leaves {_KING} (?:only (?P<left>{SQUARES})|(?P<none>no square))"
    rf"|holds {_KING} on (?P<held>the edge|rank [18]|the [ah]-file))"
)


def taken(told: dict[str, str], about: Spoken) -> int:
    """Hold what one of the texts of `TAKEN` says, by its groups; nothing where none is there."""
    king, closed = their(about, about.after), shut(about.after, about.attacker)
    theirs = about.after.occupied_co[not about.attacker]
    left = [s for s in chess.SQUARES if far(s, king) == 1 and s not in closed and not theirs >> s & 1]
    count = newly_shut(told.get("taken") or "", about) + _leading(told, about)
    if told.get("line"):
        line = squares_of(told["line"])
        hold(about.move.from_square not in line and about.move.to_square in line, "a new line of the man")
        hold(king not in line, "the king stands on no line that is shut to it")
        fresh = closed - shut(about.before, about.attacker)
        count += 1 + hold(len(line & fresh) > 1, f"{told['line']} is shut") + all_shut(line, about)
    if told.get("left"):
        count += hold(squares_in(told["left"]) == left, f"{told['left']} are left")
    if told.get("none"):
        count += hold(not left, "no square is left")
    if told.get("held"):
        count += hold({edge(s) for s in (king, *left)} == {0}, "held on the edge")
        line = set(chess.SQUARES) if told["held"] == "the edge" else squares_of(told["held"])
        count += hold({king, *left} <= line, told["held"])
    return count


def _leading(told: dict[str, str], about: Spoken) -> int:
    """Hold where the squares taken lead."""
    from tests.witness.spoken_kings import way_there

    if told.get("which"):
        number = {"the way": 0, "its way": 0, "one of its ways": 1, "two of its ways": 2}[told["which"]]
        hold(number in (0, len(squares_in(told["taken"]))), told["which"])
        return way_there(told["taken"], not number, told["where"], about)
    if told.get("corner"):
        there = chess.square_name(their(about, about.after)) == told["corner"]
        where = f"{'out of' if there else 'away from'} the corner {told['corner']}"
        return way_there(told["taken"], None, where, about)
    return 0
