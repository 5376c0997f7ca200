"""One game under the laws: the engine against matebot or another engine, with clocks, slips and the reason of its end.

Against matebot a game ends as soon as the goal is missed, since matebot gives nothing back.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field

import chess

from matebot.assess.engines.client import Allowance, Client, Reply, as_faults
from matebot.assess.judging.results import OWN, FalseMate, Fault, GameResult, Slip
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import AssessmentPlan
from matebot.assess.plans.tasks import Task
from matebot.assess.running.analysis import mate_faults, read_score
from matebot.assess.running.limits import allowance
from matebot.laws.verdict import FINAL, Verdict
from matebot.terms import CLAIM_PLIES, attacker_moves, moves_begun

_RESULTS = {1: "won", 0: "drawn", -1: "lost"}


@dataclass(slots=True)
class _Game:
    """A game in progress, seen from the player that is judged."""

    task: Task
    board: chess.Board
    verdict: Verdict
    start: Verdict
    slips: list[Slip] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    false_mates: list[FalseMate] = field(default_factory=list)
    clock: dict[bool, float] = field(default_factory=dict)

    @property
    def outcome(self) -> int:
        """The true outcome for the player that is judged."""
        return self.verdict.outcome if self.board.turn == self.task.white else -self.verdict.outcome


def play_game(task: Task, plan: AssessmentPlan, truth: SharedTruth, clients: Mapping[str, Client]) -> GameResult:
    """Play a task's game to its end.

    Raises
    ------
    Unusable
        when an engine cannot be started again
    """
    started = time.perf_counter()
    board = chess.Board(task.fen)
    verdict = truth.judge(board)
    game = _Game(task, board, verdict, verdict)
    base = plan.clock_seconds
    if base is not None:
        game.clock = {chess.WHITE: base[0], chess.BLACK: base[0]}
    while (end := _end(game)) is None:
        who = task.player if board.turn == task.white else task.opponent
        if who == OWN:
            seed = f"{plan.seed} {task.name}" if plan.defence == "changing" else ""
            move: chess.Move | None = truth.reply(board, seed)
        else:
            move = _asked(game, plan, clients[who])
        if move is None:
            end = (-1 if who == task.player else 1), game.faults[-1].kind if game.faults else "no move"
            break
        _push(game, move, truth)
    return _result(game, end, time.perf_counter() - started)


def _asked(game: _Game, plan: AssessmentPlan, client: Client) -> chess.Move | None:
    board = game.board
    allowed = _allowance(game, plan)
    reply = client.ask(board, allowed, game.task.name, game.task.ending)
    number = 1 + sum(1 for ply in range(len(board.move_stack)) if (len(board.move_stack) - ply) % 2 == 0)
    game.faults += as_faults(reply.faults, client.player, number)
    game.false_mates += _false_mate(reply, game, client.player, number)
    if game.clock:
        base = plan.clock_seconds
        assert base is not None
        game.clock[board.turn] += base[1] - (0.0 if reply.first else reply.seconds)
    return reply.move


def _false_mate(reply: Reply, game: _Game, player: str, number: int) -> list[FalseMate]:
    """Return the mate an answer announces, if it is not there."""
    score, verdict = read_score(reply.info, game.board.turn), game.verdict
    moves = None if verdict.mate_plies is None else (verdict.mate_plies + 1) // 2
    if score is None or not mate_faults(score, verdict.outcome, moves, verdict.exact)[0]:
        return []
    truth = "drawn" if moves is None else f"mate {moves * verdict.outcome}"
    return [FalseMate(player, number, score.text, truth)]


def _allowance(game: _Game, plan: AssessmentPlan) -> Allowance:
    if not game.clock:
        return allowance(plan)
    return allowance(plan, (game.clock[chess.WHITE], game.clock[chess.BLACK]), game.board.turn)


def _push(game: _Game, move: chess.Move, truth: SharedTruth) -> None:
    board, before, own = game.board, game.verdict, game.board.turn == game.task.white
    was = board.copy() if own else board
    board.push(move)
    game.verdict = truth.judge(board)
    if own and (slip := _slip(was, move, before, board, game.verdict, truth)) is not None:
        game.slips.append(slip)
    if not own and game.verdict.cause == "repetition" and before.outcome < 0 and len(board.move_stack) > 1:
        game.slips.append(_allowed(board.copy(), truth))


def _allowed(board: chess.Board, truth: SharedTruth) -> Slip:
    """Return the slip of the move after which the other side could repeat a won position the third time."""
    board.pop()
    move, ply = board.pop(), len(board.move_stack) + 1
    best = board.san(truth.ranked(board)[0].move)
    return Slip(ply, board.san(move), best, truth.stage(board), 1, 0, None, "repetition")


def _slip(
    was: chess.Board, move: chess.Move, before: Verdict, board: chess.Board, after: Verdict, truth: SharedTruth
) -> Slip | None:
    """Return what a move cost, None where it cost nothing."""
    outcome = -after.outcome
    lost = None
    if outcome == before.outcome:
        if before.mate_plies is None or after.mate_plies is None or not (before.exact and after.exact):
            return None
        lost = attacker_moves(after.mate_plies + 1 - before.mate_plies, False) * before.outcome
        if lost <= 0:
            return None
    elif outcome > before.outcome:
        return None
    cause = "" if lost is not None else truth.why_drawn(board, after) if outcome == 0 else "mate"
    best = was.san(truth.ranked(was)[0].move)
    stage = truth.stage(was) if before.outcome > 0 else ""
    ply = len(board.move_stack)
    return Slip(ply, was.san(move), best, stage, before.outcome, outcome, lost, cause)


def _end(game: _Game) -> tuple[int, str] | None:
    """Return the result for the player that is judged and the reason, None while the game goes on."""
    verdict, board = game.verdict, game.board
    if verdict.cause in FINAL:
        return game.outcome, verdict.cause
    if board.halfmove_clock >= CLAIM_PLIES:
        return 0, "fifty moves"
    if verdict.cause == "repetition":
        return 0, "repetition"
    if game.task.opponent != OWN:
        return None
    missed = game.outcome < {"win": 1, "hold": 0, "last": -1}[game.task.goal]
    return (game.outcome, game.slips[-1].cause) if missed and game.slips else None


def _result(game: _Game, end: tuple[int, str], seconds: float) -> GameResult:
    task, (outcome, cause) = game.task, end
    thrown = [slip.cause for slip in game.slips if slip.moves_lost is None]
    if outcome == 0 and task.goal == "win" and thrown:
        cause = thrown[-1]
    mated = game.verdict.cause == "checkmate"
    plies = game.start.mate_plies
    shortest = None if plies is None else attacker_moves(plies, game.start.outcome > 0)
    played = moves_begun(len(game.board.move_stack)) if mated else None
    counts = mated and (outcome > 0 if task.goal == "win" else task.goal == "last")
    excess = sum(slip.moves_lost or 0 for slip in game.slips) if counts else None
    success = outcome > 0 if task.goal == "win" else outcome >= 0 or (task.goal == "last" and excess == 0)
    return GameResult(
        task=task.name,
        part=task.part,
        ending=task.ending,
        fen=task.fen,
        goal=task.goal,
        player=task.player,
        opponent=task.opponent,
        colour=chess.COLOR_NAMES[task.white],
        moves=tuple(move.uci() for move in game.board.move_stack),
        result=_RESULTS[outcome],
        cause=cause,
        success=success,
        shortest_moves=shortest,
        played_moves=played,
        excess_moves=excess,
        slips=tuple(game.slips),
        faults=tuple(game.faults),
        false_mates=tuple(game.false_mates),
        seconds=round(seconds, 3),
    )
