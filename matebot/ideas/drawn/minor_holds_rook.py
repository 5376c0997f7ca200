"""Minor piece against rook: nothing but king and knight, or king and bishop, against king and rook.

Drawn as a rule (handbooks, from memory): with king and minor piece near each other the rook attacks only one at a time.
What is told beside the rule: how the king gets off the edge, and the *double attacks*: the legal moves of the rook, the
attacker to move, after which it hits king and minor piece on its lines, one behind the other too, as it did not before,
and cannot be taken.
Against the first of them by their names in long algebraic form, the defender's reply that keeps the draw: one after
which his king guards the minor piece, else the first by its name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, lone, men
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.quick_board import to_move
from matebot.ideas.squares import after_move, from_edge, in_order, men_of, shut_mask
from matebot.records import dataclass

#: The squares of the edge without the corners.
_EDGE = (chess.BB_RANK_1 | chess.BB_RANK_8 | chess.BB_FILE_A | chess.BB_FILE_H) & ~chess.BB_CORNERS
Drawn = Callable[[chess.Board], bool]


@dataclass(frozen=True)
class MinorHoldsRook(Idea):
    """A minor piece that holds.

    Attributes
    ----------
    minor, square : its kind and square
    king_steps : its king's steps to it
    from_edge : that king's steps from the edge
    kings_apart : steps between the kings
    off_edge : where the king on the edge could step off it and keep the draw, the attacker's men standing still; empty
        when it is off
    between : squares of the edge next to it, no corners, on which the minor piece could stand between king and rook: it
        stands there or attacks them
    looked_ahead : whether the attacker is to move, so that double attacks are looked for
    double, answer : the first double attack, and the reply that keeps the draw; None without
    guards : whether the king guards the minor piece after that reply
    """

    kind: ClassVar[str] = "minor_holds_rook"

    minor: chess.PieceType
    square: chess.Square
    king_steps: int
    from_edge: int
    kings_apart: int
    off_edge: Squares
    between: Squares
    looked_ahead: bool
    double: chess.Move | None
    answer: chess.Move | None
    guards: bool


def seen(board: chess.Board, attacker: chess.Color, is_drawn: Drawn) -> MinorHoldsRook | None:
    """Return the minor piece that holds the draw against a lone rook."""
    mine, theirs = men(board, attacker), men(board, not attacker)
    if len(mine) != 1 or mine[0][0] != chess.ROOK or len(theirs) != 1:
        return None
    minor, square = theirs[0]
    if minor not in (chess.KNIGHT, chess.BISHOP):
        return None
    own, placed = king(board, not attacker), men_of(board)
    off = between = 0
    if not from_edge(own):
        near = chess.BB_KING_ATTACKS[own] & ~placed.of(not attacker)
        inner = sum(chess.BB_SQUARES[s] for s in in_order(near) if from_edge(s))
        off = inner & ~shut_mask(placed, attacker)
        reach = board.attacks_mask(square) | chess.BB_SQUARES[square]
        between = reach & chess.BB_KING_ATTACKS[own] & _EDGE & ~placed.of(attacker)
    holding = tuple(step for step in in_order(off) if _holds(board, own, step, not attacker, is_drawn))
    steps, apart = (chess.square_distance(own, other) for other in (square, king(board, attacker)))
    ahead = board.turn == attacker
    double = next(_doubles(board, attacker), None) if ahead else None
    answer, guards = (None, False) if double is None else _met(board, double, attacker, is_drawn)
    return MinorHoldsRook(
        minor, square, steps, from_edge(own), apart, holding, in_order(between), ahead, double, answer, guards
    )


def _holds(board: chess.Board, own: chess.Square, step: chess.Square, side: chess.Color, is_drawn: Drawn) -> bool:
    """Whether a step of the king, the other side having passed, keeps the draw."""
    passed = to_move(board, side)
    move = chess.Move(own, step)
    if not passed.is_legal(move):
        return False
    passed.push(move)
    return is_drawn(passed)


def _doubles(board: chess.Board, attacker: chess.Color) -> Iterator[chess.Move]:
    rook = lone(board, attacker, chess.ROOK)
    for move in sorted(board.generate_legal_moves(), key=lambda m: m.uci()):
        if move.from_square != rook or _hits_both(board, attacker):
            continue
        after = after_move(board, move)
        taken = any(reply.to_square == move.to_square for reply in after.generate_legal_captures())
        if _hits_both(after, attacker) and not taken:
            yield move


def _hits_both(board: chess.Board, attacker: chess.Color) -> bool:
    """Whether the rook hits king and minor piece, one behind the other too."""
    rook, both = lone(board, attacker, chess.ROOK), board.occupied_co[not attacker]
    if rook is None or not both & ~board.kings:
        return False
    # Of two men on one line the nearer counts, and the one behind it; nobody else may stand before them.
    hit = board.attacks_mask(rook) & both
    bare = board.occupied & ~hit
    lines = chess.BB_RANK_ATTACKS[rook][chess.BB_RANK_MASKS[rook] & bare]
    lines |= chess.BB_FILE_ATTACKS[rook][chess.BB_FILE_MASKS[rook] & bare]
    return bool(hit) and not both & ~(hit | lines)


def _met(
    board: chess.Board, double: chess.Move, attacker: chess.Color, is_drawn: Drawn
) -> tuple[chess.Move | None, bool]:
    there = after_move(board, double)
    found: list[tuple[bool, str, chess.Move]] = []
    for reply in there.generate_legal_moves():
        after = after_move(there, reply)
        if not is_drawn(after):
            continue
        minors = in_order(after.occupied_co[not attacker] & ~after.kings)
        guarded = any(chess.square_distance(s, king(after, not attacker)) == 1 for s in minors)
        found.append((not guarded, reply.uci(), reply))
    if not found:
        return None, False
    unguarded, _, reply = min(found, key=lambda item: item[:2])
    return reply, not unguarded
