"""The line best play follows from a position, to mate where it is won."""

from __future__ import annotations

import sys
from collections.abc import Iterator

import chess

from matebot.laws.referee import Referee
from matebot.laws.verdict import Verdict
from matebot.method.library import Library
from matebot.play.best_to_teach import best_to_teach
from matebot.play.choice import on_ladder
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, promotes_first, square_order
from matebot.solver.codes import flip, mate_plies, white_wins
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.offer import is_large
from matebot.solver.successors import Step
from matebot.solver.tables import Tables, move_of

#: So long is a line at least; and with five men, where each ply reads some rows anew, at most.
_SHORT_LINE_PLIES = 4
#: With five men every further ply of a draw costs as much as the answer itself.
_LARGE_DRAWN_PLIES = 2


def shortest_line(
    tables: Tables, stand: CanonicalPosition, turned: bool, most_plies: int = sys.maxsize
) -> list[chess.Move]:
    """Return best play by both sides to mate or as far as wanted, clock and history left out; empty when drawn.

    Moves of equal worth are taken in the order of `ranking`.
    """
    line: list[chess.Move] = []
    code = tables.successors.code(stand)
    for _ in range(min(mate_plies(code, stand.white_to_move) or 0, most_plies)):
        step = tables.successors.best(stand, turned, code)
        line.append(move_of(step, turned))
        stand, turned = step.child, turned != step.swapped
        code = flip(step.code) if step.swapped else step.code
    return line


def method_line(library: Library, start: chess.Board, taught_moves: int | None = 1) -> list[chess.Move]:
    """Return the method against its longest defence, to mate, from a position that has a rung; else nothing.

    It is broken off after a move where no more time is to be spent on it (`Tables.cut`).

    Parameters
    ----------
    taught_moves : so many moves of the attacker are chosen as in play, by what teaches most; None for all. Looking for
        ideas takes its time, and of a line that is only shown the first moves matter.
    """
    tables, line, board = library.tables, list[chess.Move](), start.copy(stack=False)
    stand, turned = tables.stand_of(start)
    while (here := library.rung(stand)) is not None and here.plies:
        if line and tables.cut():
            return line
        found: list[tuple[tuple[int, ...], Step]] = []
        for step in tables.steps(stand):
            rung = library.rung_after(stand, step)
            if rung is None:
                continue
            if stand.white_to_move and step.child.material == stand.material and rung.stage < here.stage:
                continue
            plies = rung.plies if stand.white_to_move else -rung.plies
            found.append(((plies, step.code, promotes_first(move_of(step, turned))), step))
        least = min(order for order, _ in found)
        moves = {move_of(step, turned): step for order, step in found if order == least}
        if stand.white_to_move and taught_moves != 0:
            taught_moves = None if taught_moves is None else taught_moves - 1
            move = best_to_teach(board, moves)
        else:
            move = min(moves, key=lambda move: square_order(move.from_square, move.to_square, move.promotion))
        line.append(move)
        board.push(move)
        step = moves[move]
        stand, turned = step.child, turned != step.swapped
    return line + shortest_line(tables, stand, turned) if line else line


def line_of(judged: Judged, item: Ranked, attack: str) -> list[chess.Move]:
    """Return the line that begins with a move: by the method where that is the style and followed, else best play."""
    if attack == "method" and item.outcome > 0 and on_ladder(judged, item) is not None:
        return [item.move, *method_line(judged.library, judged.after(item.move).board)]
    return best_line(judged, item.move)


def announced_plies(judged: Judged, item: Ranked, attack: str) -> int | None:
    """Return the plies to mate told of a move: of the line `line_of` gives; None where it does not win."""
    if item.outcome <= 0:
        return None
    rung = on_ladder(judged, item) if attack == "method" else None
    return item.mate_plies if rung is None else rung.plies + 1


def best_line(judged: Judged, first: chess.Move | None = None, most_plies: int = sys.maxsize) -> list[chess.Move]:
    """Return best play, beginning with a given move: to mate or as far as wanted; few plies with five men or drawn."""
    tables, line = judged.library.tables, list[chess.Move]()
    material = judged.referee.stand.material
    unsure_plies = _SHORT_LINE_PLIES
    if material is not None and is_large(material):
        most_plies, unsure_plies = min(most_plies, _SHORT_LINE_PLIES), _LARGE_DRAWN_PLIES
    if first is not None:
        judged = judged.after(first)
        line.append(first)
    while True:
        referee = judged.referee
        verdict = referee.here()
        if verdict.outcome and referee.plain(verdict.value, judged.board.halfmove_clock):
            return line + shortest_line(tables, referee.stand, referee.turned, most_plies - len(line))
        if len(line) >= most_plies or (line and tables.stopped()):
            return line
        drawn = verdict.outcome == 0
        if not (verdict.exact and verdict.outcome) and len(line) >= unsure_plies:
            return line
        move = _next(judged, verdict)
        if move is None or (drawn and verdict.cause != "balance"):
            return line
        judged = judged.after(move)
        line.append(move)


def _next(judged: Judged, verdict: Verdict) -> chess.Move | None:
    """Return the first of the ranked moves, None without a move.

    Where it is known how far off mate is, a move that is right by that needs no comparison with all others; moves that
    cannot be right, since clock and history only make a mate later, are not judged.
    """
    if verdict.exact and verdict.mate_plies:
        for move in _perhaps_right(judged.referee, verdict.outcome, verdict.mate_plies - 1):
            after = judged.referee.after(move)
            if after.exact and (after.outcome, after.mate_plies) == (-verdict.outcome, verdict.mate_plies - 1):
                return move
    return judged.ranking[0].move if judged.ranking else None


def _perhaps_right(referee: Referee, outcome: int, mate_plies: int) -> Iterator[chess.Move]:
    """Yield moves after which mate may be so many plies off, in the order of `ranking`."""
    white = referee.stand.white_to_move
    for move, step in referee.steps.items():
        plies = step.mate_plies
        if outcome < 0 or (plies is not None and white_wins(step.code) == white and plies <= mate_plies):
            yield move
