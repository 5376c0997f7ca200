"""The games as PGN, with the verdicts as comments."""

from __future__ import annotations

import chess
import chess.pgn

from matebot.assess.judging.results import OWN, GameResult, Slip
from matebot.assess.reports.report import AssessmentReport
from matebot.quoting import as_pgn_comment, as_pgn_tag

#: Words of the PGN standard, section 9.8.1, for the faults that end a game.
_TERMINATION = {
    "crash": "abandoned",
    "hang": "abandoned",
    "illegal move": "rules infraction",
    "no move": "rules infraction",
    "flag fall": "time forfeit",
}
_MOST_OF_AN_ENDING = 500
_WINNER = {("won", "white"): "1-0", ("lost", "black"): "1-0", ("won", "black"): "0-1", ("lost", "white"): "0-1"}


def as_pgn(report: AssessmentReport) -> str:
    """Return all games of a report."""
    return "\n\n".join(str(_game(report, result)) for result in report.games) + "\n"


def _game(report: AssessmentReport, result: GameResult) -> chess.pgn.Game:
    game = chess.pgn.Game()
    board = chess.Board(result.fen)
    game.setup(board)
    names = (report.name(result.player), OWN if result.opponent == OWN else report.name(result.opponent))
    white, black = names if result.colour == "white" else names[::-1]
    tags = {"Event": f"assessment: {result.task}", "White": white, "Black": black}
    game.headers.update({name: as_pgn_tag(text) for name, text in tags.items()})
    del game.headers["Date"], game.headers["Site"], game.headers["Round"]
    game.headers["Result"] = _WINNER.get((result.result, result.colour), "1/2-1/2")
    slips = {slip.ply: slip for slip in result.slips}
    node: chess.pgn.GameNode = game
    node.comment = as_pgn_comment(_start(result))
    for ply, move in enumerate(result.moves, start=1):
        node = node.add_variation(chess.Move.from_uci(move))
        if ply in slips:
            node.comment = as_pgn_comment(_verdict(slips[ply]))
    over = node.board().outcome(claim_draw=True) is not None
    game.headers["Termination"] = _TERMINATION.get(result.cause, "normal" if over else "adjudication")
    ending = "; ".join([f"{result.result}: {result.cause}", *(f"{f.kind} by {f.player}" for f in result.faults)])
    node.comment = f"{node.comment} {as_pgn_comment(ending, _MOST_OF_AN_ENDING)}".strip()
    return game


def _start(result: GameResult) -> str:
    aim = {"win": "to win", "hold": "to hold the draw", "last": "to lose as late as possible"}[result.goal]
    best = "" if result.shortest_moves is None else f", mate in {result.shortest_moves} with best play"
    return f"{result.colour} is judged: {aim}{best}"


def _verdict(slip: Slip) -> str:
    stage = f" ({slip.stage})" if slip.stage else ""
    if slip.moves_lost is None:
        names = {1: "win", 0: "draw", -1: "loss"}
        return f"from {names[slip.before]} to {names[slip.after]}, {slip.cause}{stage}; best was {slip.best}"
    plural = "s" if slip.moves_lost != 1 else ""
    return f"{slip.moves_lost} move{plural} lost{stage}; best was {slip.best}"
