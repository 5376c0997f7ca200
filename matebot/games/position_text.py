"""Practice positions as text: FEN, EPD, PGN and JSON. Never chooses a position.

EPD uses opcodes of the standard: `id`, `dm` (mate in so many moves, where the side to move mates), `bm` (all best
moves), `c0` the stage, `c1` the task in words.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import chess
import chess.pgn

from matebot.games.pgn_text import pgn_text
from matebot.games.positions import Practice
from matebot.play.ranking import ranked
from matebot.solver.tables import Tables
from matebot.wording import games as words

Writer = Callable[[Practice, str, Tables], str]


def stage_text(position: Practice) -> str:
    """Return the stage in words, nothing without a ladder."""
    if position.ladder is None or position.stage is None:
        return ""
    stages = position.ladder.plan.stages
    return words.stage_of(position.stage, len(stages), stages[position.stage - 1].title)


def task_text(position: Practice) -> str:
    """Say who is to do what."""
    return words.task(chess.COLOR_NAMES[position.board.turn], position.attacker_to_move, position.moves)


def best_moves(position: Practice, tables: Tables) -> list[chess.Move]:
    """Return every move that mates as soon, or holds out as long, as any."""
    ranking = ranked(position.board, tables)
    return [item.move for item in ranking if item.mate_plies == ranking[0].mate_plies]


def as_fen(position: Practice, name: str, tables: Tables) -> str:
    """Return a position as FEN."""
    return position.board.fen()


def as_epd(position: Practice, name: str, tables: Tables) -> str:
    """Return a position as EPD."""
    operations: dict[str, Any] = {"bm": best_moves(position, tables)}
    if position.attacker_to_move:
        operations["dm"] = position.moves
    operations["id"] = name
    if stage := stage_text(position):
        operations["c0"] = stage
    operations["c1"] = task_text(position)
    return position.board.epd(**operations)


def as_pgn(position: Practice, name: str, tables: Tables) -> str:
    """Return a position as a game without moves, the task and the stage as its comment."""
    game = chess.pgn.Game()
    game.headers.update({"Event": "practice", "Round": name})
    game.setup(position.board)
    game.comment = ". ".join(filter(None, (task_text(position), stage_text(position)))) + "."
    return pgn_text(game).removesuffix("\n")


def as_json(position: Practice, name: str, tables: Tables) -> str:
    """Return a position as one object of JSON on a line."""
    data = {
        "name": name,
        "fen": position.board.fen(),
        "task": task_text(position),
        "mate_in": position.moves,
        "stage": stage_text(position) or None,
        "best_moves": [position.board.san(move) for move in best_moves(position, tables)],
    }
    return json.dumps(data)


FORMATS: dict[str, Writer] = {"fen": as_fen, "epd": as_epd, "pgn": as_pgn, "json": as_json}


def written(positions: list[Practice], form: str, ending: str, tables: Tables) -> Iterator[str]:
    """Yield each position in one of `FORMATS`, named by its ending and number."""
    width = len(str(len(positions)))
    for number, position in enumerate(positions, start=1):
        yield FORMATS[form](position, f"{ending} {number:0{width}}", tables)
