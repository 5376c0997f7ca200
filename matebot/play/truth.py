"""Exact values and the move that is taught, for whoever sees ideas, without a history.

The clock counts with five men only, where it decides games from afar; with fewer it is taken to be at zero.
"""

from __future__ import annotations

from functools import cache

import chess

from matebot.ideas.truth import Worth
from matebot.method.library import Library
from matebot.play.best_to_teach import best_to_teach
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import promotes_first
from matebot.solver.codes import DRAW, mate_plies, outcome, white_wins
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.offer import is_large
from matebot.solver.tables import move_of
from matebot.terms import CLAIM_PLIES

#: With so many men on the board, or fewer, the clock is left out.
_UNCLOCKED_MEN = 4


class TableTruth:
    """Answers from the tables, and the move of the method where the attacker has one.

    Parameters
    ----------
    library : the tables and the ladders
    attack : the style whose move is taught, "method" or "shortest"
    """

    def __init__(self, library: Library, attack: str = "method") -> None:
        self._library = library
        self._style = Style(attack=attack)
        self._codes: dict[object, tuple[int, bool]] = {}
        self._after: dict[object, dict[chess.Move, Worth]] = {}
        self._answers: dict[object, chess.Move | None] = {}

    def _code(self, board: chess.Board) -> tuple[int, bool]:
        """Return the DTM code of a position and whether White is to move in it; several ideas ask for the same ones."""
        key = _key(board)
        if key not in self._codes:
            stand, _ = self._library.tables.stand_of(board)
            self._codes[key] = self._library.tables.code_in_time(stand, board.halfmove_clock), stand.white_to_move
        return self._codes[key]

    def outcome(self, board: chess.Board) -> int:
        """Return 1 where the side to move wins, 0 where it is drawn, -1 where it loses."""
        return outcome(*self._code(board))

    def mate_plies(self, board: chess.Board) -> int | None:
        """Return the plies to mate, None where it is drawn."""
        return mate_plies(*self._code(board))

    def after(self, board: chess.Board) -> dict[chess.Move, Worth]:
        """Return every legal move with what the position after it is worth."""
        key = _key(board)
        if key not in self._after:
            tables = self._library.tables
            stand, turned = tables.stand_of(board)
            white, turn = not stand.white_to_move, 56 if turned else 0
            codes, left = tables.successors.codes(stand, turned), CLAIM_PLIES - board.halfmove_clock - 1
            large = stand.material is not None and is_large(stand.material)
            if large and any((mate_plies(code, white) or 0) > left for *_, code in codes):
                self._after[key] = self._in_time(stand, turned, board.halfmove_clock)
            else:
                self._after[key] = {
                    _move(source ^ turn, target ^ turn, promotion): _worth(code, white)
                    for source, target, promotion, code in codes
                }
        return self._after[key]

    def _in_time(self, stand: CanonicalPosition, turned: bool, clock_plies: int) -> dict[chess.Move, Worth]:
        """Return the same where mate may come too late: with five men that is a draw."""
        tables, white = self._library.tables, not stand.white_to_move
        found = {}
        for step in tables.steps(stand, turned):
            late = tables.value_after(step).is_late(0 if step.zeroing else clock_plies + 1)
            found[move_of(step, turned)] = _worth(DRAW if late else step.code, white)
        return found

    def answer(self, board: chess.Board) -> chess.Move | None:
        """Return the move of the method, the best move where it has no say, None where there is no move."""
        key = _key(board)
        if key not in self._answers:
            self._answers[key] = self._answer(board)
        return self._answers[key]

    def _answer(self, board: chess.Board) -> chess.Move | None:
        followed = self._by_method(board) if self._style.attack == "method" else self._shortest(board)
        if followed is not None:
            return followed
        board = board.copy(stack=False)
        if chess.popcount(board.occupied) <= _UNCLOCKED_MEN:
            board.halfmove_clock = 0
        judged = Judged.of(self._library, board)
        return choose(judged, self._style).move if judged.ranking else None

    def _by_method(self, board: chess.Board) -> chess.Move | None:
        """Return what `choose` would by the method, by plain integers: a line of answers must not be waited for."""
        tables, library = self._library.tables, self._library
        stand, turned = tables.stand_of(board)
        here = library.rung(stand)
        if here is None or not stand.white_to_move:
            return None
        found: list[tuple[tuple[int, ...], chess.Move]] = []
        for step in tables.steps(stand):
            rung = library.rung(step.child)
            if rung is None or rung.plies != here.plies - 1:
                continue
            if step.child.material == stand.material and rung.stage < here.stage:
                continue
            move = move_of(step, turned)
            found.append(((step.code, promotes_first(move)), move))
        return _first(board, found)

    def _shortest(self, board: chess.Board) -> chess.Move | None:
        """Return the shortest mate's move as `choose` would, by plain integers.

        None also where the clock may count: with five men, if the mate comes too late.
        """
        tables, library = self._library.tables, self._library
        stand, turned = tables.stand_of(board)
        code, _ = self._code(board)
        if stand.material is None or not stand.white_to_move or code == DRAW or not white_wins(code):
            return None
        if is_large(stand.material) and board.halfmove_clock + (mate_plies(code, True) or 0) > CLAIM_PLIES:
            return None
        equal = list(tables.successors.all_best(stand, turned, code))
        served = bool(library.plans(stand.material)) and len(equal) > 1
        found: list[tuple[tuple[int, ...], chess.Move]] = []
        for step in equal:
            move = move_of(step, turned)
            rung = library.rung_after(stand, step) if served else None
            service = (0, 0) if rung is None else (-rung.stage, rung.plies)
            found.append(((promotes_first(move), *service), move))
        return _first(board, found)


@cache
def _worth(code: int, white_to_move: bool) -> Worth:
    return Worth(outcome(code, white_to_move), mate_plies(code, white_to_move))


@cache
def _move(source: int, target: int, promotion: str) -> chess.Move:
    return chess.Move(source, target, chess.PIECE_SYMBOLS.index(promotion.lower()) if promotion else None)


def _first(board: chess.Board, found: list[tuple[tuple[int, ...], chess.Move]]) -> chess.Move | None:
    """Return the first move by its order, of equal ones the one that teaches most; None without any."""
    least = min((order for order, _ in found), default=None)
    return None if least is None else best_to_teach(board, [move for order, move in found if order == least])


def _key(board: chess.Board) -> tuple[int, ...]:
    """Return what tells positions apart, the history left out, and the clock where it does not count."""
    white, black = board.occupied_co[chess.WHITE], board.occupied_co[chess.BLACK]
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
    clock_plies = board.halfmove_clock if chess.popcount(white | black) > _UNCLOCKED_MEN else 0
    return *kinds, white, black, board.turn, board.ep_square or 0, clock_plies
