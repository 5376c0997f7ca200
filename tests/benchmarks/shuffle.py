"""Measure answers in games that shuffle on purpose: ``python -m tests.benchmarks.shuffle [GAMES]`` prints JSON.

One side moves at random among the moves that keep the outcome and mostly takes its last move back. The partner rests
while it is not asked, as in a session, which is not counted. Processor time of each answer, median, 99th percentile
and most, in milliseconds and in units of one ``np.bitwise_and`` over 2 MiB of the same run. An answer counts as cold
where it is the first of its ending in the session: it solves what it needs.
"""

from __future__ import annotations

import json
import sys
import time
from itertools import chain
from random import Random
from tempfile import TemporaryDirectory

import chess
import numpy as np

from matebot.partner import MatePartner
from matebot.solver.tables import Tables
from matebot.uci.partnership import Question, Watch

ENDINGS = ("KBNK", "KBBK", "KRK", "KQKR", "KRKN", "KPK")
PLIES = 60


def unit_ms() -> float:
    """Return the processor time of the unit, the least of many."""
    words = np.zeros((2 << 20) // 8, np.uint64)
    into, least = words.copy(), 1e9
    for _ in range(200):
        begun = time.process_time()
        np.bitwise_and(words, words, out=into)
        least = min(least, time.process_time() - begun)
    return least * 1000


def start(ending: str, random: Random, tables: Tables) -> chess.Board:
    """Return a random position won by the side named first."""
    cut = ending.rindex("K")
    while True:
        board = chess.Board(None)
        for index, (man, square) in enumerate(zip(ending, random.sample(range(64), len(ending)), strict=True)):
            board.set_piece_at(square, chess.Piece.from_symbol(man if index < cut else man.lower()))
        board.turn = random.random() < 0.5
        if board.is_valid() and tables.value(board).outcome == (1 if board.turn else -1):
            return board


def kept(tables: Tables, board: chess.Board) -> list[chess.Move]:
    """Return the moves that keep the outcome, quiet ones where there are any."""
    legal = list(board.legal_moves)
    outcome, found = tables.value(board).outcome, []
    for move in [move for move in legal if not board.is_zeroing(move)] or legal:
        board.push(move)
        if tables.value(board).outcome == -outcome:
            found.append(move)
        board.pop()
    return found or legal


def game(partner: MatePartner, tables: Tables, ending: str, seed: int) -> list[float]:
    """Return the milliseconds of the answers of one game; `tables` are those of the shuffling side."""
    random = Random(f"{ending} {seed}")
    board = start(ending, random, tables)
    fen, shuffler, back, spent = board.fen(), seed % 3 != 0, chess.Move.null(), list[float]()
    partner.new_game()
    for _ in range(PLIES):
        if board.is_game_over() or len(board.piece_map()) < 3:
            break
        if board.turn == shuffler:
            good = kept(tables, board)
            move = back if back in good and random.random() > 0.2 else random.choice(good)
            back = chess.Move(move.to_square, move.from_square)
            board.push(move)
            continue
        begun = time.process_time()
        partner.set_position(fen, [move.uci() for move in board.move_stack])
        answer = partner.go(Question(), lambda report: None, Watch())
        spent.append((time.process_time() - begun) * 1000)
        if answer.best is None:
            break
        board.push_uci(answer.best)
        partner.rest(lambda: False)
    return spent


def figures(times: list[float], unit: float) -> dict[str, float]:
    """Return the figures of some answers."""
    times = sorted(times)
    if not times:
        return {"answers": 0}
    marks = {"p50": times[len(times) // 2], "p99": times[min(len(times) - 1, int(0.99 * len(times)))], "max": times[-1]}
    told = {"answers": float(len(times))}
    for name, ms in marks.items():
        told |= {f"{name}_ms": round(ms, 1), f"{name}_units": round(ms / unit, 1)}
    return told


def main() -> None:
    """Play the games, taking turns with the endings, and print the figures."""
    games = int(sys.argv[1]) if len(sys.argv) > 1 else 120
    unit, tables = unit_ms(), Tables()
    cold: dict[str, list[float]] = {ending: [] for ending in ENDINGS}
    warm: dict[str, list[float]] = {ending: [] for ending in ENDINGS}
    with TemporaryDirectory() as folder:
        partner = MatePartner({"Table Folder": folder})
        for number in range(games):
            ending = ENDINGS[number % len(ENDINGS)]
            spent = game(partner, tables, ending, number // len(ENDINGS))
            if not cold[ending]:
                cold[ending], spent = spent[:1], spent[1:]
            warm[ending] += spent
        partner.finish()
    told = {name: figures(list(chain(*times.values())), unit) for name, times in (("cold", cold), ("warm", warm))}
    each = {ending: {"cold": figures(cold[ending], unit), "warm": figures(warm[ending], unit)} for ending in ENDINGS}
    print(json.dumps({"games": games, "unit_ms": round(unit, 4), **told, "endings": each}, indent=2))


if __name__ == "__main__":
    main()
