"""Judges the moves that a session wrote down and had no time to judge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import chess

from matebot.practice.grading import passages
from matebot.practice.notes import UNJUDGED, GameNote, MoveNote
from matebot.practice.reading import unjudged
from matebot.practice.record import Record
from matebot.practice.writing import save_over

if TYPE_CHECKING:
    from matebot.practice.judging import Judge


def complete(record: Record, make_judge: Callable[[], Judge]) -> int:
    """Judge every move not judged yet and write it; return how many games that were.

    A game that goes on meanwhile is left as it then stands.

    Parameters
    ----------
    make_judge : asked only where there is something to judge
    """
    games = unjudged(record)
    if not games:
        return 0
    judge = make_judge()
    return sum(save_over(record, game, judged(game, judge)) for game in games)


def judge_of(folder: Path | None) -> Judge:
    """Return a judge with tables of its own.

    Parameters
    ----------
    folder : where solved endings are kept, None for nowhere
    """
    from matebot.method.library import Library  # only judging needs the solver
    from matebot.practice.judging import Judge
    from matebot.solver.tables import Tables

    return Judge(Library(Tables(folder)))


def judged(game: GameNote, judge: Judge) -> GameNote:
    """Return a game with all its moves judged; those in positions that are not covered are left out."""
    boards = _boards(game)
    notes: list[MoveNote] = []
    for note in game.moves:
        if note.exercise != UNJUDGED:
            notes.append(note)
            continue
        board = boards.get(note.fen) or chess.Board(note.fen)
        found = judge.note(board, chess.Move.from_uci(note.move), note.number, note.seconds)
        if found is not None:
            notes.append(replace(found, taken_back=note.taken_back, helped=note.helped))
    return replace(game, moves=tuple(notes), passages=passages(notes, game.result))


def _boards(game: GameNote) -> dict[str, chess.Board]:
    """Return the positions of a game by FEN, each with the moves that led to it."""
    board, found = chess.Board(game.fen), {}
    for move in game.line.split():
        found[board.fen()] = board.copy()
        board.push_uci(move)
    return found
