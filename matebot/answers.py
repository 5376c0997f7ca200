"""Answers as the UCI session takes them: scores and lines of play as plain data."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from matebot.play.ranking import Ranked
from matebot.play.unsolved import Found
from matebot.terms import attacker_moves
from matebot.uci.partnership import Answer, Line, Report


def score(outcome: int, mate_plies: int | None) -> tuple[str, int]:
    """Return the score of the UCI protocol: ("mate", moves, negative when mated) or ("cp", 0)."""
    if mate_plies is None:
        return "cp", 0
    moves = attacker_moves(mate_plies, outcome > 0)
    return "mate", moves if outcome > 0 else -moves


def without_move(reasons: Sequence[str], elapsed_ms: int, kind: str = "cp", value: int = 0) -> Answer:
    """Return an answer without a move, and why."""
    line = Line(
        depth=0,
        seldepth=None,
        score_kind=kind,
        score_value=value,
        bound=None,
        time_ms=elapsed_ms,
        nodes=0,
        tbhits=0,
        pv=(),
    )
    return Answer(None, None, Report(tuple(reasons), (line,)))


def finished(board: chess.Board, elapsed_ms: int) -> Answer:
    """Return the answer to a position without a legal move."""
    if board.is_check():
        return without_move(["checkmate"], elapsed_ms, "mate", 0)
    return without_move(["stalemate"], elapsed_ms)


def exact_line(item: Ranked, variation: Sequence[chess.Move], judged: int, elapsed_ms: int) -> Line:
    """Return the line of a move whose value is known; `judged` is the number of moves that were compared."""
    kind, value = score(item.outcome, item.mate_plies)
    looked_up = judged + len(variation)
    return Line(
        depth=max(1, item.mate_plies or 1),
        seldepth=len(variation),
        score_kind=kind,
        score_value=value,
        bound=None if item.exact else _bound(item.outcome > 0),
        time_ms=elapsed_ms,
        nodes=looked_up,
        tbhits=looked_up,
        pv=tuple(move.uci() for move in variation),
    )


def estimated_line(found: Found, elapsed_ms: int) -> Line:
    """Return the line of a move that was searched for: a mate only where it is proved, else an estimate."""
    kind, value, bound = "cp", found.score_cp, None
    if found.mate_plies is not None:
        wins = found.mate_plies > 0
        kind, value = score(1 if wins else -1, abs(found.mate_plies))
        bound = None if found.exact else _bound(wins)
    return Line(
        depth=found.depth,
        seldepth=None,
        score_kind=kind,
        score_value=value,
        bound=bound,
        time_ms=elapsed_ms,
        nodes=found.nodes,
        tbhits=0,
        pv=tuple(move.uci() for move in found.line),
    )


def _bound(wins: bool) -> str:
    """Return the mark of a mate that comes no later than announced."""
    return "lowerbound" if wins else "upperbound"
