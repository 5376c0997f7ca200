"""A question about one position, and the engine's score and move held against the truth.

A score of at least two pawns claims a win or a loss, as does an announced mate; anything between claims a draw.
"""

from __future__ import annotations

import chess
import chess.engine

from matebot.assess.engines.client import Client, as_faults
from matebot.assess.judging.results import WIN_CENTIPAWNS, QuestionResult
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import AssessmentPlan
from matebot.assess.plans.tasks import Task
from matebot.assess.running.limits import allowance
from matebot.records import dataclass
from matebot.terms import attacker_moves


@dataclass(frozen=True, slots=True)
class Score:
    """A score for the side to move: centipawns or moves to mate (negative when mated); `bound` when only a bound."""

    text: str
    centipawns: int | None
    mate_moves: int | None
    bound: bool

    @property
    def claim(self) -> int:
        """The outcome it claims."""
        if self.mate_moves is not None:
            # "mate 0" says that the side to move is mated.
            return 1 if self.mate_moves > 0 else -1
        value = self.centipawns or 0
        return 0 if abs(value) < WIN_CENTIPAWNS else 1 if value > 0 else -1


def question(task: Task, plan: AssessmentPlan, truth: SharedTruth, client: Client) -> QuestionResult:
    """Ask the engine about a task's position and judge the answer."""
    board = chess.Board(task.fen)
    verdict, moves = truth.judge(board), truth.ranked(board)
    reply = client.ask(board, allowance(plan, None, board.turn), task.name, task.ending)
    score = read_score(reply.info, board.turn)
    mate_moves = None if verdict.mate_plies is None else attacker_moves(verdict.mate_plies, verdict.outcome > 0)
    false, late = mate_faults(score, verdict.outcome, mate_moves, verdict.exact)
    chosen = next((item for item in moves if item.move == reply.move), None)
    return QuestionResult(
        task=task.name,
        ending=task.ending,
        fen=task.fen,
        player=client.player,
        outcome=verdict.outcome,
        mate_moves=mate_moves,
        exact=verdict.exact,
        score=score.text if score else "",
        claim=score.claim if score else None,
        move=reply.move.uci() if reply.move else "",
        best=moves[0].move.uci(),
        wrong_outcome=score is not None and score.claim != verdict.outcome,
        false_mate=false,
        late_mate=late,
        thrown=chosen is not None and chosen.outcome < verdict.outcome,
        faults=as_faults(reply.faults, client.player, 1),
        seconds=round(reply.seconds, 3),
    )


def read_score(info: chess.engine.InfoDict, turn: chess.Color) -> Score | None:
    """Return the score of an engine's report, None where it gave none."""
    if "score" not in info:
        return None
    score = info["score"].pov(turn)
    bound = bool(info.get("lowerbound") or info.get("upperbound"))
    mate, value = score.mate(), score.score()
    return Score(f"mate {mate}" if mate is not None else f"cp {value}", value, mate, bound)


def mate_faults(score: Score | None, outcome: int, mate_moves: int | None, exact: bool) -> tuple[bool, bool]:
    """Return whether an announced mate is false, and whether it is later than it can be.

    Parameters
    ----------
    outcome, mate_moves, exact : the truth for the side to move
    """
    if score is None or score.mate_moves is None:
        return False, False
    if score.claim != outcome or mate_moves is None:
        return True, False
    if score.bound or not exact:
        return False, False
    return abs(score.mate_moves) < mate_moves, abs(score.mate_moves) > mate_moves
