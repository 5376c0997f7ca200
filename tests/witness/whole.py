"""What the values of many positions must be, whole arrays at a time, given those one move later.

The lines of attack are python-chess's, one blocker at a time; who stands in check and which moves are legal follows
from them here. `tests.witness.test_whole` holds the moves against python-chess's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, reduce
from itertools import chain, combinations, product
from typing import NamedTuple

import chess
import numpy as np
from numpy.typing import NDArray

from tests.witness.positions import LEFT_HALF, PAWN_SQUARES, TRIANGLE, Man, board_of

#: Squares of the men in their order: shape (men, positions).
Squares = NDArray[np.int64]
Masks = NDArray[np.uint64]
Truth = NDArray[np.bool_]
#: For the side to move, ``MATE - plies`` where it wins, the same negative where it loses, 0 drawn.
Worths = NDArray[np.int16]
#: Worths of shape (2, positions): by plies to mate, then by plies to the next capture, pawn move or mate, 101 where no
#: clock leaves room for them (FIDE Laws of Chess, article 9.3).
Scores = NDArray[np.int16]
#: Gives the scores of positions of some men with one side to move.
Worth = Callable[[Sequence[Man], Squares, chess.Color], Scores]

MATE = 1_000
CLAIM_PLIES = 100
PROMOTIONS = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
_ONE = np.uint64(1)
_NOBODY = -1


class Group(NamedTuple):
    """Legal moves that leave the same men on the board.

    Attributes
    ----------
    men, squares : the positions reached
    parents : the number of the position each move is made in, ascending
    zeroing : whether they are captures or pawn moves
    stepper : the number of the pawn that has made a double step, `_NOBODY` where none has
    """

    men: list[Man]
    squares: Squares
    parents: NDArray[np.intp]
    zeroing: bool
    stepper: int


@cache
def _lines(man: Man) -> Masks:
    """Return what a man attacks from each square with one other man on the board, by its square; shape (64, 64)."""
    kind, colour = man
    if kind != chess.PAWN and not colour:
        return _lines((kind, chess.WHITE))
    masks = np.zeros((64, 64), np.uint64)
    for square in chess.SQUARES:
        alone = chess.Board(None)
        alone.set_piece_at(square, chess.Piece(*man))
        masks[square] = reach = alone.attacks_mask(square)
        for other in chess.SquareSet(reach):  # who stands elsewhere stops no line
            alone.set_piece_at(other, chess.Piece(chess.KNIGHT, chess.WHITE))
            masks[square, other] = alone.attacks_mask(square)
            alone.remove_piece_at(other)
    np.fill_diagonal(masks, 0)
    return masks


def _attacks(men: Sequence[Man], squares: Squares, number: int) -> Masks:
    """Return what a man attacks: a ray ends at the nearest of the others, so on what is left by each of them."""
    others = [other for other in range(len(men)) if other != number]
    lines = _lines(men[number])
    return reduce(np.bitwise_and, (lines[squares[number], squares[other]] for other in others))


def checked(men: Sequence[Man], squares: Squares, colour: chess.Color) -> Truth:
    """Return in which positions the king of a colour is attacked."""
    king = squares[list(men).index((chess.KING, colour))].astype(np.uint64)
    enemies = [number for number, man in enumerate(men) if man[1] != colour]
    masks: Masks = reduce(np.bitwise_or, (_attacks(men, squares, number) for number in enemies))
    return np.asarray(masks >> king & _ONE, dtype=np.bool_)


def legal(men: Sequence[Man], squares: Squares, turn: chess.Color) -> Truth:
    """Return which placements are legal positions."""
    apart = np.ones(squares.shape[1], np.bool_)
    for number, other in combinations(range(len(men)), 2):
        apart &= squares[number] != squares[other]
    found = np.zeros(squares.shape[1], np.bool_)
    found[apart] = ~checked(men, squares[:, apart], not turn)
    return found


def homes(men: Sequence[Man]) -> Sequence[chess.Square]:
    """Return the squares of one king that stand for all, up to symmetry."""
    return LEFT_HALF if any(man == chess.PAWN for man, _ in men) else TRIANGLE


def placements(
    men: Sequence[Man], last_king: Sequence[chess.Square], first_king: Sequence[chess.Square] = chess.SQUARES
) -> Squares:
    """Return the squares of men that may stand anywhere, but for the kings."""
    axes = [np.array(PAWN_SQUARES if man == chess.PAWN else chess.SQUARES) for man, _ in men]
    kings = [number for number, (man, _) in enumerate(men) if man == chess.KING]
    for king, home in zip(kings, (first_king, last_king), strict=True):
        axes[king] = np.array(home)
    return np.stack([axis.ravel() for axis in np.meshgrid(*axes, indexing="ij")])


def random_placements(men: Sequence[Man], count: int, random: np.random.Generator) -> Squares:
    """Return the squares of men by chance, pawns on their ranks; some stand on one square or are no legal positions."""
    return np.stack([random.integers(*((8, 56) if man == chess.PAWN else (0, 64)), count) for man, _ in men])


def placed(men: Sequence[Man], squares: Squares, turn: chess.Color) -> chess.Board:
    """Return one position; shape of the squares (men,)."""
    return board_of(men, squares.tolist(), turn)


def beside_after_double_step(men: Sequence[Man], squares: Squares, turn: chess.Color) -> Truth:
    """Return where a double step may allow a capture en passant."""
    found = np.zeros(squares.shape[1], np.bool_)
    start, reached = (1, 3) if turn else (6, 4)
    for mine, other in product(range(len(men)), range(len(men))):
        if men[mine] == (chess.PAWN, turn) and men[other] == (chess.PAWN, not turn):
            files = abs((squares[mine] & 7) - (squares[other] & 7))
            found |= (squares[mine] >> 3 == start) & (squares[other] >> 3 == reached) & (files == 1)
    return found


def moves(men: Sequence[Man], squares: Squares, turn: chess.Color) -> Iterator[Group]:
    """Yield the legal moves of legal positions but for captures en passant; see `passing`."""
    for number, (man, colour) in enumerate(men):
        if colour != turn:
            continue
        parents, targets = _spread(_targets(men, squares, number))
        after = squares[:, parents]
        after[number] = targets
        free = np.ones(len(parents), np.bool_)
        for victim, (_, owner) in enumerate(men):
            if owner != turn:
                taken = targets == squares[victim, parents]
                free &= ~taken
                left = [other for other in range(len(men)) if other != victim]
                if men[victim][0] != chess.KING and taken.any():
                    here = left.index(number)
                    yield from _made([men[i] for i in left], after[left][:, taken], parents[taken], here, True)
        if man == chess.PAWN:
            twice = free & (abs(targets - squares[number, parents]) == 16)
            yield from _made(list(men), after[:, twice], parents[twice], number, True, number)
            free &= ~twice
        yield from _made(list(men), after[:, free], parents[free], number, man == chess.PAWN)


def passing(men: Sequence[Man], squares: Squares, turn: chess.Color, stepper: int) -> Iterator[Group]:
    """Yield the legal captures en passant of positions in which a pawn has just made a double step."""
    for number, man in enumerate(men):
        if man != (chess.PAWN, turn):
            continue
        beside = abs((squares[number] & 7) - (squares[stepper] & 7)) == 1
        parents = np.flatnonzero(beside & (squares[number] >> 3 == squares[stepper] >> 3))
        after = squares[:, parents]
        after[number] = after[stepper] + (8 if turn else -8)
        left = [other for other in range(len(men)) if other != stepper]
        yield from _made([men[i] for i in left], after[left], parents, left.index(number), True)


def _made(
    men: list[Man], squares: Squares, parents: NDArray[np.intp], number: int, zeroing: bool, stepper: int = _NOBODY
) -> Iterator[Group]:
    """Yield those moves of a man that leave its king in safety, promotions in all four ways."""
    man, turn = men[number]
    safe = ~checked(men, squares, turn)
    rank = squares[number] >> 3
    last = safe & ((rank == 0) | (rank == 7)) if man == chess.PAWN else np.zeros_like(safe)
    for kinds, those in (((man,), safe & ~last), (PROMOTIONS, last)):
        for kind in kinds if those.any() else ():
            named = [*men[:number], (kind, turn), *men[number + 1 :]]
            yield Group(named, squares[:, those], parents[those], zeroing, stepper)


def _targets(men: Sequence[Man], squares: Squares, number: int) -> Masks:
    """Return the squares a man may go to, check left aside."""
    man, turn = men[number]
    bits: Masks = _ONE << squares.astype(np.uint64)
    own, theirs = np.zeros((2, squares.shape[1]), np.uint64)
    for other, (_, colour) in enumerate(men):
        side = own if colour == turn else theirs
        side |= bits[other]
    reach = _attacks(men, squares, number)
    if man != chess.PAWN:
        return np.asarray(reach & ~own)
    single = _step(bits[number], turn) & ~(own | theirs)
    third = np.uint64(chess.BB_RANK_3 if turn else chess.BB_RANK_6)
    return np.asarray((reach & theirs) | single | (_step(single & third, turn) & ~(own | theirs)))


def _step(masks: Masks, turn: chess.Color) -> Masks:
    """Return squares one rank further on."""
    return masks << np.uint64(8) if turn else masks >> np.uint64(8)


def _spread(masks: Masks) -> tuple[NDArray[np.intp], Squares]:
    """Return the numbers of the masks, ascending, and the squares in them."""
    truth = np.unpackbits(np.ascontiguousarray(masks).view(np.uint8).reshape(-1, 8), axis=1, bitorder="little")
    parents, squares = np.nonzero(truth)
    return parents, squares.astype(np.int64)


def expected(men: Sequence[Man], squares: Squares, turn: chess.Color, worth: Worth, stepper: int = _NOBODY) -> Scores:
    """Return the scores of legal positions that follow from the rules and from the scores one move later.

    Where `stepper` is the number of a pawn, it has just made a double step.
    """
    found = np.full((2, squares.shape[1]), -2 * MATE, np.int16)
    for group in chain(moves(men, squares, turn), () if stepper < 0 else passing(men, squares, turn, stepper)):
        mate, leg = _reached(group, not turn, worth)
        reached = np.stack([one_ply_before(mate), _legs(mate, leg, group.zeroing)])
        starts = np.flatnonzero(np.diff(group.parents, prepend=-1))
        where = group.parents[starts]
        found[:, where] = np.maximum(found[:, where], np.maximum.reduceat(reached, starts, axis=1))
    ended = found[0] == -2 * MATE
    found[:, ended] = np.where(checked(men, squares[:, ended], turn), -MATE, 0)
    return found


def _reached(group: Group, turn: chess.Color, worth: Worth) -> Scores:
    """Return the scores after moves; where a capture en passant is possible, what follows from one move later."""
    scores = worth(group.men, group.squares, turn)
    if group.stepper != _NOBODY:
        beside = np.zeros(group.squares.shape[1], np.bool_)
        for capture in passing(group.men, group.squares, turn, group.stepper):
            beside[capture.parents] = True
        if beside.any():
            scores[:, beside] = expected(group.men, group.squares[:, beside], turn, worth, group.stepper)
    return scores


def _legs(mate: Worths, leg: Worths, zeroing: bool) -> Worths:
    """Return the legs that moves begin, a hundred plies being all the fifty-move rule leaves; see `Scores`."""
    in_time = abs(leg) >= MATE - CLAIM_PLIES
    ended = (abs(mate) == MATE) | in_time if zeroing else abs(mate) == MATE
    longer = np.maximum(abs(leg) - 1, MATE - CLAIM_PLIES - 1)
    return np.asarray(-np.sign(leg) * np.where(ended, MATE - 1, longer), dtype=np.int16)


def one_ply_before(scores: Worths) -> Worths:
    """Return what moves are worth to the side that makes them, by the worth of the positions they lead to."""
    return np.asarray(np.sign(scores) - scores, dtype=np.int16)


def stuck(men: Sequence[Man], squares: Squares, turn: chess.Color) -> list[chess.Board]:
    """Return the mates and stalemates among placements, as far as python-chess calls them valid."""
    squares = squares[:, legal(men, squares, turn)]
    ended = np.ones(squares.shape[1], np.bool_)
    for group in moves(men, squares, turn):
        ended[group.parents] = False
    boards = [placed(men, column, turn) for column in squares.T[ended]]
    return [board for board in boards if board.is_valid()]
