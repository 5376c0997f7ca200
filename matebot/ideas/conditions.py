"""Conditions of the stages: what a pupil can tick off on the board.

Definition. Each stage of a ladder has conditions of two sorts. All *zone* conditions together are exactly the zone in
which the stage is played (none: the whole board). *Marks* are no part of the zone: they say in the trade's terms how to
see that the work of the stage is done or nearly done; a zone is coarser than they are. What each condition means is
said beside its name; "edge" is the rim of the board, steps are king's steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import chess

from matebot.ideas import bridge, own_pawn, shut_in, their_man
from matebot.ideas.cage import cage_mask, forcing_mask
from matebot.ideas.cut_off import cut_off
from matebot.ideas.knights_w import Way, ways
from matebot.ideas.squares import (
    CORNERS,
    Men,
    from_edge,
    in_order,
    king_steps,
    men_of,
    opposition,
    takeable,
)


class Condition(Enum):
    """A condition by name."""

    #: The attacking king stands on one of the sixteen squares two steps or more from the edge.
    KING_IN_CENTRE = "king in the centre"
    #: The attacking king is not on the edge.
    KING_OFF_EDGE = "king off the edge"
    #: No bishop, no knight of the attacker is on the edge.
    BISHOP_OFF_RIM = "bishop off the rim"
    KNIGHT_OFF_RIM = "knight off the rim"
    #: The bishop is off the rim, or on its square of the W (h7 for a8) with the king near that edge.
    BISHOP_WELL_PLACED = "bishop well placed"
    #: The defending king is on the edge; at most one step from it.
    DEFENDER_ON_EDGE = "defender on the edge"
    DEFENDER_NEAR_EDGE = "defender near the edge"
    #: King, bishop and knight on their squares of one W (f6, h7, f7 for a8), the defending king near that edge.
    KING_AT_W = "king at the W"
    BISHOP_AT_W = "bishop at the W"
    KNIGHT_AT_W = "knight at the W"
    #: The defending king is at most 6, 4 or 2 ranks and files together from a corner in which mate can be forced.
    IN_LARGE_TRIANGLE = "in the large triangle"
    IN_MATING_TRIANGLE = "in the mating triangle"
    IN_SMALL_TRIANGLE = "in the small triangle"
    #: The king is in a cage (see `cage`).
    CAGE_SHUT = "cage shut"
    #: The defending king is at most 2 ranks and files together from a corner, whichever.
    BY_A_CORNER = "by a corner"
    #: The attacking king is at most two steps from that corner nearest to the defending king where mate can be forced.
    KING_AT_CORNER = "king at the corner"
    #: Two bishops stand side by side on a rank or file.
    BISHOPS_ABREAST = "bishops abreast"
    #: No man of the attacker can be taken by the king.
    MEN_SAFE = "men safe"
    #: Rank and file of the lone piece leave a box of at most 28, or 8, squares; a king on its line has the whole width.
    BOX_OF_28 = "box of at most 28"
    BOX_OF_8 = "box of at most 8"
    #: A rank or file of the lone piece lies between the kings (see `cut_off`).
    CUT_OFF = "cut off"
    #: The kings stand in direct opposition.
    OPPOSITION = "opposition"
    #: A queen or rook holds the rank or file next to the edge on which the defending king stands (see `shut_in`).
    EDGE_HELD = "edge held"
    #: A rank or file of a queen or rook leaves the defending king at most four, or two, ranks or files (see `shut_in`).
    SHUT_IN_HALF = "shut in on half the board"
    SHUT_IN_TWO = "shut in on two lines"
    #: Two queens or rooks stand on ranks, or files, next to each other.
    NEIGHBOURING_LINES = "on neighbouring lines"
    #: The kings are at most two steps apart.
    KING_AT_HAND = "king at hand"
    #: The attacking king stands on a key square of the lone pawn or, on its file or next to it, in front of them all;
    #: or next to the pawn, the defending king being at most four steps from it.
    KING_ON_KEY_SQUARE = "king on a key square"
    #: The defending king, to move, needs more steps to the promotion square than the pawn (double step not counted).
    OUTSIDE_SQUARE = "defender outside the square"
    #: The attacking king is on the pawn's file or next to it, nearer to promotion than the pawn.
    KING_IN_FRONT = "king in front of the pawn"
    #: The pawn is on its seventh rank.
    PAWN_ON_SEVENTH = "pawn on the seventh"
    #: The attacker's pawn is safe, its way is sure, its king is next to it, its promotion corner held (see `own_pawn`).
    PAWN_SAFE = "pawn safe"
    WAY_SURE = "way of the pawn sure"
    KING_GUARDS_PAWN = "king guards the pawn"
    CORNER_HELD = "promotion corner held"
    #: The defender's only man, a pawn, is held (see `their_man`).
    PAWN_HELD = "pawn held"
    #: The attacking king is at most four steps, at most two, from the square on which that pawn promotes.
    KING_NEAR_PROMOTION_SQUARE = "king near the promotion square"
    KING_AT_PROMOTION_SQUARE = "king at the promotion square"
    #: The attacking king is at most two steps from that pawn; it is in its square (see `their_man`).
    KING_BY_PAWN = "king by the pawn"
    KING_IN_SQUARE = "king in the square of the pawn"
    #: A rank or file of the attacker's only piece lies between that pawn and its king.
    CUT_FROM_PAWN = "defender cut off from its pawn"
    #: The defending king stands on the square before that pawn.
    DEFENDER_BEFORE_PAWN = "defender before its pawn"
    #: The defender's only man does not stand beside its king; a man of the attacker attacks both at once.
    MAN_AWAY = "man away from its king"
    FORKED = "king and man attacked at once"
    #: That pawn is attacked, by two men or away from its king.
    PAWN_FALLS = "pawn falls"
    #: The attacking king is at the promotion square of its own pawn, out, down; the defending king is cut off from the
    #: pawn by the rook's file; the rook is ready, helps, bridges, stands as the bridge (see `bridge`).
    KING_BEFORE_PAWN = "king at its pawn's promotion square"
    CUT_BY_FILE = "defender cut off by a file"
    ROOK_READY = "rook on the fourth or fifth rank"
    ROOK_HELPS = "rook on the fourth, fifth or last rank"
    KING_OUT = "king out"
    KING_DOWN = "king down"
    ROOK_BRIDGES = "rook bridges"
    BRIDGE_BUILT = "bridge built"


Seer = Callable[[Men, chess.Color], bool]


@dataclass(frozen=True, slots=True)
class StageConditions:
    """The conditions of one stage: those that make its zone, and the marks beyond them."""

    zone: tuple[Condition, ...] = ()
    marks: tuple[Condition, ...] = ()


_C = Condition
_STAIRCASE = (
    StageConditions((), (_C.MEN_SAFE,)),
    StageConditions((_C.SHUT_IN_HALF,), (_C.NEIGHBOURING_LINES, _C.MEN_SAFE)),
    StageConditions((_C.SHUT_IN_TWO,), (_C.EDGE_HELD, _C.MEN_SAFE)),
)
_EDGE = (
    StageConditions((), (_C.MEN_SAFE,)),
    StageConditions((_C.DEFENDER_ON_EDGE, _C.EDGE_HELD), (_C.MEN_SAFE,)),
    StageConditions((_C.DEFENDER_ON_EDGE, _C.KING_AT_HAND), (_C.MEN_SAFE,)),
)
#: Ladder by name -> its stages in the order of play.
STAGES: dict[str, tuple[StageConditions, ...]] = {
    "edge and corner": (
        StageConditions((), (_C.KING_IN_CENTRE, _C.BISHOP_WELL_PLACED, _C.KNIGHT_OFF_RIM)),
        StageConditions((_C.KING_IN_CENTRE, _C.BISHOP_OFF_RIM, _C.KNIGHT_OFF_RIM), (_C.DEFENDER_ON_EDGE,)),
        StageConditions(
            (_C.DEFENDER_NEAR_EDGE, _C.KING_OFF_EDGE), (_C.KING_AT_W, _C.BISHOP_AT_W, _C.KNIGHT_AT_W, _C.CAGE_SHUT)
        ),
        StageConditions((_C.IN_MATING_TRIANGLE,), (_C.CAGE_SHUT, _C.KING_AT_CORNER)),
    ),
    "shrinking triangles": (
        StageConditions((), (_C.KING_IN_CENTRE, _C.MEN_SAFE)),
        StageConditions((_C.IN_LARGE_TRIANGLE,), (_C.CAGE_SHUT,)),
        StageConditions((_C.IN_MATING_TRIANGLE,), (_C.CAGE_SHUT,)),
        StageConditions((_C.IN_SMALL_TRIANGLE,), (_C.CAGE_SHUT, _C.KING_AT_CORNER)),
    ),
    "wall and corner": (
        StageConditions((), (_C.KING_IN_CENTRE, _C.MEN_SAFE)),
        StageConditions((_C.KING_IN_CENTRE,), (_C.BISHOPS_ABREAST, _C.DEFENDER_ON_EDGE)),
        StageConditions((_C.DEFENDER_NEAR_EDGE,), (_C.CAGE_SHUT, _C.BISHOPS_ABREAST)),
        StageConditions((_C.BY_A_CORNER,), (_C.CAGE_SHUT, _C.KING_AT_CORNER)),
    ),
    "box": (
        StageConditions((), (_C.MEN_SAFE, _C.CUT_OFF)),
        StageConditions((_C.BOX_OF_28,), (_C.MEN_SAFE, _C.CUT_OFF)),
        StageConditions((_C.BOX_OF_8,), (_C.OPPOSITION, _C.CUT_OFF)),
        StageConditions((_C.DEFENDER_ON_EDGE,), (_C.OPPOSITION, _C.KING_AT_HAND)),
    ),
    **dict.fromkeys(("staircase", "staircase of queen and rook", "staircase of queens"), _STAIRCASE),
    **dict.fromkeys(("edge", "edge with a bishop", "edge with a knight"), _EDGE),
    "guard and lead in with a bishop": (
        StageConditions((), (_C.CORNER_HELD, _C.MEN_SAFE)),
        StageConditions((_C.PAWN_SAFE,), (_C.CORNER_HELD, _C.KING_IN_FRONT)),
        StageConditions((_C.WAY_SURE,), (_C.PAWN_ON_SEVENTH, _C.MEN_SAFE)),
    ),
    "guard and lead in with a knight": (
        StageConditions((), (_C.MEN_SAFE,)),
        StageConditions((_C.PAWN_SAFE,), (_C.KING_GUARDS_PAWN, _C.KING_IN_FRONT)),
        StageConditions((_C.WAY_SURE,), (_C.PAWN_ON_SEVENTH, _C.MEN_SAFE)),
    ),
    "key squares": (
        StageConditions((), (_C.KING_IN_FRONT, _C.OPPOSITION)),
        StageConditions((_C.KING_ON_KEY_SQUARE,), (_C.PAWN_ON_SEVENTH,)),
        StageConditions((_C.OUTSIDE_SQUARE,), (_C.PAWN_ON_SEVENTH,)),
    ),
    "hold and approach": (
        StageConditions((), (_C.PAWN_HELD, _C.DEFENDER_BEFORE_PAWN)),
        StageConditions((_C.KING_NEAR_PROMOTION_SQUARE, _C.PAWN_HELD), (_C.DEFENDER_BEFORE_PAWN,)),
        StageConditions((_C.KING_AT_PROMOTION_SQUARE,), (_C.PAWN_HELD, _C.PAWN_FALLS)),
    ),
    "edge, rook away, fork": (
        StageConditions((), (_C.KING_IN_CENTRE, _C.MEN_SAFE)),
        StageConditions((_C.KING_IN_CENTRE,), (_C.DEFENDER_NEAR_EDGE,)),
        StageConditions((_C.DEFENDER_NEAR_EDGE, _C.KING_AT_HAND), (_C.OPPOSITION,)),
        StageConditions((_C.MAN_AWAY,), (_C.FORKED,)),
    ),
    "cut off and fetch": (
        StageConditions((), (_C.KING_IN_SQUARE,)),
        StageConditions((_C.CUT_FROM_PAWN,), (_C.KING_IN_SQUARE,)),
        StageConditions((_C.KING_BY_PAWN,), (_C.KING_IN_SQUARE, _C.PAWN_FALLS)),
    ),
    "bridge": (
        StageConditions((_C.PAWN_ON_SEVENTH, _C.KING_BEFORE_PAWN, _C.CUT_BY_FILE), (_C.MEN_SAFE,)),
        StageConditions((_C.PAWN_ON_SEVENTH, _C.KING_BEFORE_PAWN, _C.CUT_BY_FILE, _C.ROOK_READY), (_C.MEN_SAFE,)),
        StageConditions((_C.PAWN_ON_SEVENTH, _C.CUT_BY_FILE, _C.ROOK_HELPS, _C.KING_OUT), (_C.MEN_SAFE,)),
        StageConditions((_C.PAWN_ON_SEVENTH, _C.ROOK_READY, _C.KING_DOWN, _C.ROOK_BRIDGES), (_C.BRIDGE_BUILT,)),
    ),
}


def holds(condition: Condition, board: chess.Board, attacker: chess.Color) -> bool:
    """Whether a condition holds in a position; false where the men it speaks of are not there."""
    return _SEERS[condition](men_of(board), attacker)


def ticked(ladder: str, stage: int, board: chess.Board, attacker: chess.Color) -> dict[Condition, bool]:
    """Return the conditions of a stage (0 the first), zone before marks, and whether each holds.

    Raises
    ------
    KeyError, IndexError
        when there is no such ladder or stage
    """
    of_stage = STAGES[ladder][stage]
    men = men_of(board)
    return {condition: _SEERS[condition](men, attacker) for condition in (*of_stage.zone, *of_stage.marks)}


def changed(
    ladder: str, stage: int, before: chess.Board, after: chess.Board, attacker: chess.Color
) -> tuple[tuple[Condition, ...], tuple[Condition, ...]]:
    """Return the conditions of a stage that a move fulfils, and those that it breaks."""
    was, now = ticked(ladder, stage, before, attacker), ticked(ladder, stage, after, attacker)
    fulfilled = tuple(condition for condition in was if now[condition] and not was[condition])
    return fulfilled, tuple(condition for condition in was if was[condition] and not now[condition])


def _all_off_rim(kind: str) -> Seer:
    def seer(men: Men, attacker: chess.Color) -> bool:
        own: int = getattr(men, kind) & men.of(attacker)
        return bool(own) and all(from_edge(square) for square in in_order(own))

    return seer


def _near_ways(men: Men, attacker: chess.Color) -> list[Way]:
    king = men.king(not attacker)
    return [by for by in ways(men, attacker) if by.away(king) <= 1]


def _man_on(kind: str, squares: Callable[[Way], chess.Square]) -> Seer:
    def seer(men: Men, attacker: chess.Color) -> bool:
        own: int = getattr(men, kind) & men.of(attacker)
        return any(own >> squares(by) & 1 for by in _near_ways(men, attacker))

    return seer


def _within(depth: int) -> Seer:
    """Tell whether the defending king is at most so many ranks and files from a corner where mate can be forced."""

    def seer(men: Men, attacker: chess.Color) -> bool:
        king, corners = men.king(not attacker), in_order(forcing_mask(men, attacker))
        return any(_lines(king, corner) <= depth for corner in corners)

    return seer


def _lines(a: chess.Square, b: chess.Square) -> int:
    files, ranks = chess.square_file(a) - chess.square_file(b), chess.square_rank(a) - chess.square_rank(b)
    return abs(files) + abs(ranks)


def _king_at_corner(men: Men, attacker: chess.Color) -> bool:
    corners = in_order(forcing_mask(men, attacker))
    if not corners:
        return False
    corner = min(corners, key=lambda c: king_steps(men.king(not attacker), c))
    return king_steps(men.king(attacker), corner) <= 2


def _abreast(men: Men, attacker: chess.Color) -> bool:
    bishops = in_order(men.bishops & men.of(attacker))
    return len(bishops) == 2 and _lines(*bishops) == 1


def _lone(men: Men, attacker: chess.Color) -> chess.Square | None:
    own = men.of(attacker) & ~men.kings
    return own.bit_length() - 1 if own.bit_count() == 1 else None


def _boxed(squares: int) -> Seer:
    def seer(men: Men, attacker: chess.Color) -> bool:
        piece, king, size = _lone(men, attacker), men.king(not attacker), 1
        if piece is None:
            return False
        for line in (chess.square_file, chess.square_rank):
            mine, theirs = line(piece), line(king)
            size *= mine if theirs < mine else 7 - mine if theirs > mine else 8
        return size <= squares

    return seer


_bishop_off, _bishop_at_w = _all_off_rim("bishops"), _man_on("bishops", lambda by: by.bishop)

_SEERS: dict[Condition, Seer] = {
    _C.KING_IN_CENTRE: lambda men, attacker: from_edge(men.king(attacker)) >= 2,
    _C.KING_OFF_EDGE: lambda men, attacker: from_edge(men.king(attacker)) >= 1,
    _C.BISHOP_OFF_RIM: _bishop_off,
    _C.KNIGHT_OFF_RIM: _all_off_rim("knights"),
    _C.BISHOP_WELL_PLACED: lambda men, attacker: _bishop_off(men, attacker) or _bishop_at_w(men, attacker),
    _C.DEFENDER_ON_EDGE: lambda men, attacker: from_edge(men.king(not attacker)) == 0,
    _C.DEFENDER_NEAR_EDGE: lambda men, attacker: from_edge(men.king(not attacker)) <= 1,
    _C.KING_AT_W: _man_on("kings", lambda by: by.king),
    _C.BISHOP_AT_W: _bishop_at_w,
    _C.KNIGHT_AT_W: _man_on("knights", lambda by: by.route[0]),
    _C.IN_LARGE_TRIANGLE: _within(6),
    _C.IN_MATING_TRIANGLE: _within(4),
    _C.IN_SMALL_TRIANGLE: _within(2),
    _C.BY_A_CORNER: lambda men, attacker: any(_lines(men.king(not attacker), corner) <= 2 for corner in CORNERS),
    _C.CAGE_SHUT: lambda men, attacker: bool(cage_mask(men, attacker)),
    _C.KING_AT_CORNER: _king_at_corner,
    _C.BISHOPS_ABREAST: _abreast,
    _C.MEN_SAFE: lambda men, attacker: not takeable(men, attacker),
    _C.BOX_OF_28: _boxed(28),
    _C.BOX_OF_8: _boxed(8),
    _C.CUT_OFF: lambda men, attacker: cut_off(men, attacker) is not None,
    _C.OPPOSITION: lambda men, _: opposition(men) == "direct",
    _C.EDGE_HELD: shut_in.edge_held,
    _C.SHUT_IN_HALF: shut_in.shut_in(4),
    _C.SHUT_IN_TWO: shut_in.shut_in(2),
    _C.NEIGHBOURING_LINES: shut_in.on_neighbouring_lines,
    _C.KING_AT_HAND: lambda men, _: king_steps(men.king(chess.WHITE), men.king(chess.BLACK)) <= 2,
    _C.KING_ON_KEY_SQUARE: own_pawn.on_key_square,
    _C.OUTSIDE_SQUARE: own_pawn.outside_square,
    _C.KING_IN_FRONT: own_pawn.in_front,
    _C.PAWN_ON_SEVENTH: own_pawn.on_seventh,
    _C.PAWN_SAFE: own_pawn.pawn_safe,
    _C.WAY_SURE: own_pawn.way_sure,
    _C.KING_GUARDS_PAWN: own_pawn.king_guards_pawn,
    _C.CORNER_HELD: own_pawn.corner_held,
    _C.PAWN_HELD: their_man.pawn_held,
    _C.KING_NEAR_PROMOTION_SQUARE: their_man.king_within(4),
    _C.KING_AT_PROMOTION_SQUARE: their_man.king_within(2),
    _C.KING_BY_PAWN: their_man.king_by_pawn,
    _C.KING_IN_SQUARE: their_man.king_in_square,
    _C.CUT_FROM_PAWN: lambda men, attacker: their_man.cut_from_pawn(men, attacker, _lone(men, attacker)),
    _C.MAN_AWAY: their_man.man_away,
    _C.FORKED: their_man.forked,
    _C.DEFENDER_BEFORE_PAWN: their_man.defender_before_pawn,
    _C.PAWN_FALLS: their_man.pawn_falls,
    _C.KING_BEFORE_PAWN: bridge.king_at_promotion,
    _C.CUT_BY_FILE: bridge.cut_by_file,
    _C.ROOK_READY: bridge.rook_ready,
    _C.ROOK_HELPS: bridge.rook_helps,
    _C.KING_OUT: bridge.king_out,
    _C.KING_DOWN: bridge.king_down,
    _C.ROOK_BRIDGES: bridge.bridges,
    _C.BRIDGE_BUILT: bridge.bridge_built,
}
