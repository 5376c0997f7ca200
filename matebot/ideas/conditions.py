"""Conditions of the stages: what a pupil can tick off on the board.

Definition. Each stage of a ladder names conditions of two sorts. All its *conditions* together are exactly the zone in
which it is played (none: the whole board). *Marks* are no part of the zone: they say in the trade's terms how to see
that the work of the stage is done or nearly done; a zone is coarser than they are. What each means is said beside its
name in `method.condition`.
"""

from __future__ import annotations

from collections.abc import Callable

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
    kings_apart,
    men_of,
    opposition,
    takeable,
)
from matebot.method.condition import Condition
from matebot.method.plan import Stage

_C = Condition
Seer = Callable[[Men, chess.Color], bool]


def holds(condition: Condition, board: chess.Board, attacker: chess.Color) -> bool:
    """Whether a condition holds in a position; false where the men it speaks of are not there."""
    return _SEERS[condition](men_of(board), attacker)


def ticked(stage: Stage, board: chess.Board, attacker: chess.Color) -> dict[Condition, bool]:
    """Return the conditions of a stage, before its marks, and whether each holds."""
    men = men_of(board)
    return {condition: _SEERS[condition](men, attacker) for condition in (*stage.conditions, *stage.marks)}


def changed(
    stage: Stage, before: chess.Board, after: chess.Board, attacker: chess.Color
) -> tuple[tuple[Condition, ...], tuple[Condition, ...]]:
    """Return the conditions of a stage that a move fulfils, and those that it breaks."""
    was, now = ticked(stage, before, attacker), ticked(stage, after, attacker)
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
    _C.KING_AT_HAND: lambda men, _: kings_apart(men) <= 2,
    _C.KING_ON_KEY_SQUARE: own_pawn.on_key_square,
    _C.OUTSIDE_SQUARE: own_pawn.outside_square,
    _C.KING_IN_FRONT: own_pawn.in_front,
    _C.PAWN_ON_SEVENTH: lambda men, side: own_pawn.on_seventh(men, side) or their_man.on_seventh(men, side),
    _C.PAWN_SAFE: own_pawn.pawn_safe,
    _C.WAY_SURE: own_pawn.way_sure,
    _C.KING_GUARDS_PAWN: own_pawn.king_guards_pawn,
    _C.CORNER_HELD: own_pawn.corner_held,
    _C.PAWN_HELD: their_man.pawn_held,
    _C.PAWN_BLOCKED: their_man.pawn_blocked,
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
