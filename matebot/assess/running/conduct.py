"""Probes of conduct: questions no game asks, and whether the engine keeps to the protocol then."""

from __future__ import annotations

import chess

from matebot.assess.engines.client import Client, as_faults
from matebot.assess.judging.results import ProbeResult
from matebot.assess.plans.plan import AssessmentPlan
from matebot.assess.plans.tasks import PROBES, Task
from matebot.assess.running.limits import allowance

_PAUSE_SECONDS = 0.25


def probe(task: Task, plan: AssessmentPlan, client: Client) -> ProbeResult:
    """Make a probe and report what came."""
    board = chess.Board(task.fen)
    name = next(name for name, fen in PROBES.items() if fen == task.fen)
    if any(board.generate_legal_moves()):
        reply = client.interrupt(board, _PAUSE_SECONDS)
    else:
        reply = client.ask(board, allowance(plan, None, board.turn), task.name, wants_move=False)
    faults = as_faults(reply.faults, client.player, 1)
    answer = faults[0].text if faults else "as it should be"
    return ProbeResult(task.name, name, client.player, answer, faults, round(reply.seconds, 3))
