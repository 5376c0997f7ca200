"""Which of the ranked moves is played: two ways to attack, four to defend; never at the price of the outcome.

Attack: ``shortest`` plays the shortest mate, among equally short moves the one that serves the method best;
``method`` follows the ladder as long as the fifty-move rule, and what has been announced, allow it. Of moves equal by
either the one that teaches most is played (`best_to_teach`).

Defence in a lost position: ``longest``; ``corner`` runs for the corner in which bishop and knight cannot force mate,
``centre`` for the middle, ``changing`` plays any move, each within a margin of plies of the longest. Where there is a
draw, every defence takes it, by the move that `in_a_draw` chooses.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import chess

from matebot.method.ladder import Rung
from matebot.method.squares import from_edge, right_corners
from matebot.play.best_to_teach import best_to_teach
from matebot.play.in_a_draw import in_a_draw
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, promotes_first, square_order
from matebot.records import dataclass
from matebot.terms import CLAIM_PLIES

ATTACKS = ("shortest", "method")
DEFENCES = ("longest", "corner", "centre", "changing")


@dataclass(frozen=True, slots=True)
class Style:
    """How the engine plays.

    Attributes
    ----------
    attack, defence : one of `ATTACKS`, one of `DEFENCES`
    margin_plies : how much sooner than the longest a defence may be mated, by its own choice
    seed : repeats the choices of the changing defence
    """

    attack: str = "shortest"
    defence: str = "longest"
    margin_plies: int = 4
    seed: int | str = 1


def choose(judged: Judged, style: Style, moves: list[Ranked] | None = None) -> Ranked:
    """Return the move to play.

    Parameters
    ----------
    moves : the moves to choose from, best first, not empty; all where none are given
    """
    ranking = judged.ranking if moves is None else moves
    best, board = ranking[0], judged.board
    if best.outcome > 0:
        return _attack(judged, ranking, style)
    if best.outcome < 0 and style.defence != "longest":
        return _defend(board, ranking, style)
    return in_a_draw(judged.referee, ranking) if best.outcome == 0 else best


def _attack(judged: Judged, ranking: list[Ranked], style: Style) -> Ranked:
    best = ranking[0]
    wins = [item for item in ranking if item.outcome > 0]
    if style.attack == "method":
        followed = [item for item in wins if on_ladder(judged, item) is not None]
        if followed:
            return _taught(judged.board, followed, lambda item: (_plies(item), promotes_first(item.move)))
    equal = [item for item in wins if item.mate_plies == best.mate_plies]
    if len(equal) == 1:  # no ladder is needed, so none is solved
        return best
    return _taught(judged.board, equal, lambda item: _service(judged, item))


def _taught(board: chess.Board, items: list[Ranked], order: Callable[[Ranked], tuple[int, ...]]) -> Ranked:
    """Return the first of moves by an order; of those that are equal by it the one that teaches most."""
    places = [order(item) for item in items]
    equal = {item.move: item for item, place in zip(items, places, strict=True) if place == min(places)}
    return equal[best_to_teach(board, equal)]


def on_ladder(judged: Judged, item: Ranked) -> Rung | None:
    """Return the rung a move of the method leads to; None where it does not follow the method in time.

    In time is what comes before the fifty-move rule and no later than announced (`Referee.promised_plies`).
    """
    board, referee, here = judged.board, judged.referee, judged.rung
    if here is None or board.halfmove_clock + here.plies > CLAIM_PLIES or referee.has_repeated:
        return None
    after = judged.rung_after(item.move)
    if after is None or after.plies != here.plies - 1:
        return None
    if referee.promised_plies is not None and here.plies > referee.promised_plies:
        return None
    same_ending = not board.is_capture(item.move) and item.move.promotion is None
    return after if not same_ending or after.stage >= here.stage else None


def _service(judged: Judged, item: Ranked) -> tuple[int, int, int]:
    """Order equally short moves: promotion, a queen first, then the later stage, then the shorter way by the method."""
    waits = promotes_first(item.move)
    if not judged.library.plans(judged.referee.stand.material):
        return waits, 0, 0
    rung = judged.rung_after(item.move)
    return (waits, 0, 0) if rung is None else (waits, -rung.stage, rung.plies)


def _order(item: Ranked) -> tuple[int, int, int]:
    return square_order(item.move.from_square, item.move.to_square, item.move.promotion)


def _defend(board: chess.Board, ranking: list[Ranked], style: Style) -> Ranked:
    allowed = [item for item in ranking if _plies(item) >= _plies(ranking[0]) - style.margin_plies]
    if style.defence == "changing":
        return Random(f"{style.seed} {board.fen()}").choice(allowed)
    want = _to_wrong_corner if style.defence == "corner" else _to_centre
    return min(allowed, key=lambda item: (want(board, item.move), -_plies(item), _order(item)))


def _plies(item: Ranked) -> int:
    return item.mate_plies or 0


def _king_after(board: chess.Board, move: chess.Move) -> chess.Square:
    king = board.king(board.turn)
    assert king is not None
    return move.to_square if move.from_square == king else king


def _to_centre(board: chess.Board, move: chess.Move) -> int:
    return -from_edge(_king_after(board, move))


def _to_wrong_corner(board: chess.Board, move: chess.Move) -> int:
    """Return the steps to the nearest corner without a forced mate; 0 where there is none."""
    bishops = list(board.pieces(chess.BISHOP, not board.turn))
    if len(bishops) != 1 or not board.pieces(chess.KNIGHT, not board.turn):
        return 0
    wrong = {0, 7, 56, 63} - set(right_corners(bishops[0]))
    return min(chess.square_distance(_king_after(board, move), corner) for corner in wrong)
