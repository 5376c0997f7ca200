"""The plan's limits as one question sees them."""

from __future__ import annotations

import chess
import chess.engine

from matebot.assess.engines.client import Allowance
from matebot.assess.plans.plan import AssessmentPlan

_LEAST_SECONDS = 0.001


def allowance(
    plan: AssessmentPlan, clocks: tuple[float, float] | None = None, turn: chess.Color = chess.WHITE
) -> Allowance:
    """Return what a question may take.

    Parameters
    ----------
    clocks : seconds left for White and Black; None outside a game with a clock
    """
    lateness, patience = plan.lateness / 1000, plan.patience
    base = plan.clock_seconds
    if base is not None:
        white, black = (max(_LEAST_SECONDS, left) for left in clocks or (base[0], base[0]))
        limit = chess.engine.Limit(white_clock=white, black_clock=black, white_inc=base[1], black_inc=base[1])
        return Allowance(limit, white if turn else black, lateness, patience, flag=True)
    if plan.movetime is not None:
        seconds = plan.movetime / 1000
        return Allowance(chess.engine.Limit(time=seconds), seconds, lateness, patience)
    return Allowance(chess.engine.Limit(nodes=plan.nodes, depth=plan.depth), None, lateness, patience)
