"""The line best play follows from a position, to mate where it is won."""

from __future__ import annotations

import sys

import chess

from matebot.laws import Referee
from matebot.method.library import Library
from matebot.play.choice import on_ladder
from matebot.play.ranking import Ranked, rank_with, square_order
from matebot.solver.lookup import Stand
from matebot.solver.tables import Tables
from matebot.solver.walk import Step

_PIECES = {
    "": None,
    "Q": chess.QUEEN,
    "R": chess.ROOK,
    "B": chess.BISHOP,
    "N": chess.KNIGHT,
}
_SHORT_LINE_PLIES = 4


def as_move(step: Step, turned: bool) -> chess.Move:
    """Return a step as a move on the real board; `turned` tells that colours were exchanged."""
    turn = 56 if turned else 0
    return chess.Move(step.source ^ turn, step.target ^ turn, _PIECES[step.promotion])


def shortest_line(tables: Tables, stand: Stand, turned: bool, most_plies: int = sys.maxsize) -> list[chess.Move]:
    """Return best play by both sides to mate or as far as wanted, clock and history left out; empty when drawn.

    Moves of equal worth are taken in the order of `ranking`.
    """
    line: list[chess.Move] = []
    value = tables.value_of(stand)
    for _ in range(min(value.dtm_plies or 0, most_plies)):
        steps = tables.steps(stand)
        best = (min if stand.white_to_move else max)(step.code for step in steps)
        step = min(
            (step for step in steps if step.code == best),
            key=lambda s: square_order(*_squares(s, turned)),
        )
        line.append(as_move(step, turned))
        stand, turned = step.child, turned != step.swapped
    return line


def _squares(step: Step, turned: bool) -> tuple[int, int, chess.PieceType | None]:
    turn = 56 if turned else 0
    return step.source ^ turn, step.target ^ turn, _PIECES[step.promotion]


def method_line(library: Library, stand: Stand, turned: bool) -> list[chess.Move]:
    """Return the method against its longest defence, to mate, from a position that has a rung; else nothing."""
    tables, line = library.tables, []
    while (here := library.rung(stand)) is not None and here.plies:
        found: list[tuple[tuple[int, ...], Step]] = []
        for step in tables.steps(stand):
            rung = library.rung(step.child)
            if rung is None:
                continue
            order = square_order(*_squares(step, turned))
            if stand.white_to_move and step.child.material == stand.material and rung.stage < here.stage:
                continue
            found.append(((rung.plies if stand.white_to_move else -rung.plies, step.code, *order), step))
        step = min(found)[1]
        line.append(as_move(step, turned))
        stand, turned = step.child, turned != step.swapped
    return line


def line_of(library: Library, referee: Referee, item: Ranked, attack: str) -> list[chess.Move]:
    """Return the line that begins with a move: by the method where that is the style and followed, else best play."""
    if attack == "method" and item.outcome > 0 and on_ladder(library, referee, item) is not None:
        after = referee.board.copy(stack=False)
        after.push(item.move)
        return [item.move, *method_line(library, *library.tables.stand(after))]
    return principal_variation(referee.board, library.tables, item.move)


def announced_plies(library: Library, referee: Referee, item: Ranked, attack: str) -> int | None:
    """Return the plies to mate told of a move: of the line `line_of` gives; None where it does not win."""
    if item.outcome <= 0:
        return None
    rung = on_ladder(library, referee, item) if attack == "method" else None
    return item.mate_plies if rung is None else rung.plies + 1


def principal_variation(board: chess.Board, tables: Tables, first: chess.Move | None = None) -> list[chess.Move]:
    """Return best play, beginning with a given move: to mate, or a few plies where that is not to be had."""
    board = board.copy()
    line: list[chess.Move] = []
    if first is not None:
        board.push(first)
        line.append(first)
    while True:
        referee = Referee(board, tables)
        verdict = referee.here()
        if verdict.outcome and referee.plain(verdict.value, board.halfmove_clock):
            return line + shortest_line(tables, *tables.stand(board))
        if line and tables.stopped():
            return line
        moves = rank_with(referee)
        drawn = verdict.outcome == 0
        if not verdict.exact and len(line) >= _SHORT_LINE_PLIES:
            return line
        if not moves or (drawn and (verdict.cause != "balance" or len(line) >= _SHORT_LINE_PLIES)):
            return line
        board.push(moves[0].move)
        line.append(moves[0].move)
