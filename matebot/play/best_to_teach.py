"""Which of equally good moves of the attacker is best to teach by: the one whose strongest idea explains most.

The ideas are looked for in the order of `ideas.order`, and the first one that a move shows is its strongest; what a
move does to cage or box in squares decides between two of a kind. Where no idea decides, the king moves before a piece,
nearer to the other king, so that queens and pieces stay where nothing calls them; then the order of squares decides.
Only the board is asked, so the choice is the same with and without explanations, and quick.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

import chess

from matebot.ideas import (
    barrier,
    box,
    cage,
    chasing_check,
    cut_off,
    guards,
    king_nearer,
    knights_w,
    narrows,
    off_the_rim,
    saved,
    trapped,
    wrong_corner,
)
from matebot.ideas.box import BoxChange
from matebot.ideas.cut_off import CutChange
from matebot.ideas.idea import Idea
from matebot.ideas.knights_w import WState
from matebot.ideas.quick_board import QuickBoard, quick
from matebot.ideas.squares import Men, after_move, lone_heavy, men_of
from matebot.ideas.wrong_corner import CornerDeed
from matebot.play.ranking import square_order

_EMPTY = chess.Board(None)

#: A move and the board after it.
_After = tuple[chess.Move, chess.Board]
#: What an idea says for a move: how many squares it leaves, fewer being better; None where it says nothing for it.
Says = Callable[[chess.Board, chess.Move, chess.Board, chess.Color], int | None]


def _shows(seen: Callable[[chess.Board, chess.Move, chess.Board, chess.Color], Idea | None]) -> Says:
    """Return what an idea says that speaks for every move that shows it."""

    def says(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
        return None if seen(before, move, after, side) is None else 0

    return says


def _w(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = knights_w.seen(before, move, after, side)
    return 0 if idea is not None and idea.state in (WState.READY, WState.STEP) else None


def _cage(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    if not cage.cage_mask(men_of(after), side):
        return None
    idea = cage.seen(before, move, after, side)
    return idea.size_after if idea is not None and idea.change.smaller else None


def _corner(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = wrong_corner.seen(before, move, after, side)
    return 0 if idea is not None and idea.deed is CornerDeed.DRIVES_OUT else None


def _free_man(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = guards.seen(before, move, after, side)
    # A lone queen or rook that is free to move has no reason to move yet.
    calls = idea is not None and not idea.let_go and lone_heavy(men_of(before), side) != move.from_square
    return 0 if calls else None


def _box(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = box.seen(before, move, after, side)
    return idea.after if idea is not None and idea.change in (BoxChange.SHRINKS, BoxChange.MAKES) else None


def _cuts(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = cut_off.seen(before, move, after, side)
    return 0 if idea is not None and idea.change is CutChange.SETS else None


def _barrier(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = barrier.seen(before, move, after, side)
    return 0 if idea is not None and idea.new else None


def _narrows(before: chess.Board, move: chess.Move, after: chess.Board, side: chess.Color) -> int | None:
    idea = narrows.seen(before, move, after, side)
    return None if idea is None else idea.size_after


#: The ideas that speak for a move, by kind, in the order of `ideas.order.ORDER`.
FOR: dict[str, Says] = {
    "knights_w": _w,
    "cage": _cage,
    "saved": _shows(saved.seen),
    "trapped": _shows(trapped.seen),
    "wrong_corner": _corner,
    "king_nearer": _shows(king_nearer.seen),
    "guards": _free_man,
    "box": _box,
    "cut_off": _cuts,
    "barrier": _barrier,
    "narrows": _narrows,
    "off_the_rim": _shows(off_the_rim.seen),
}


def best_to_teach(board: chess.Board, moves: Iterable[chess.Move]) -> chess.Move:
    """Return the one of equally good moves of the side to move, which attacks, that teaches most.

    Raises
    ------
    ValueError
        when there are no moves
    """
    found = tuple(moves)
    return found[0] if len(found) == 1 else _best(men_of(board), board.turn, found)


@lru_cache(maxsize=4096)
def _best(men: Men, side: chess.Color, moves: tuple[chess.Move, ...]) -> chess.Move:
    before = _placed(men, side)
    after = [(move, after_move(before, move)) for move in moves]
    return min(_foremost(before, after, side), key=lambda one: _nearest(one[0], one[1], side))[0]


def _foremost(before: chess.Board, after: list[_After], side: chess.Color) -> list[_After]:
    """Return the moves with the strongest idea that leave the fewest squares.

    An idea is looked for in all moves before the next one is: those behind the strongest decide nothing.
    """
    theirs = before.occupied_co[not side].bit_count()
    ending = [
        (move, there) for move, there in after if there.occupied_co[not side].bit_count() < theirs or _mates(there)
    ]
    if ending:
        return ending
    # A check that chases the king is the last to be taught.
    found = [one for one in after if chasing_check.seen(before, *one, side) is None]
    for says in FOR.values():
        said = [(squares, one) for one in found if (squares := says(before, *one, side)) is not None]
        if said:
            least = min(squares for squares, _ in said)
            return [one for squares, one in said if squares == least]
    return found or after


def _mates(board: chess.Board) -> bool:
    return board.is_check() and not any(board.generate_legal_moves())


def _nearest(move: chess.Move, after: chess.Board, side: chess.Color) -> tuple[int, ...]:
    """Return the key that orders moves that teach as much: the king's first, nearer to the other king.

    Squares are taken as the attacker sees them, so the choice is the same with colours exchanged.
    """
    kings, turn = after.kings, 0 if side else 56
    apart = chess.square_distance(kings.bit_length() - 1, chess.lsb(kings))
    squares = square_order(move.from_square ^ turn, move.to_square ^ turn, move.promotion)
    return int(not kings >> move.to_square & 1), apart, *squares


def _placed(men: Men, side: chess.Color) -> QuickBoard:
    """Return a board with men on it, without clock and history."""
    board = quick(_EMPTY)
    board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings = men[:6]
    board.occupied_co = [men.black, men.white]
    board.occupied = men.white | men.black
    board.turn = side
    return board
