"""``matebot demonstrate``: the engine plays a position against itself and explains it."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from io import StringIO
from pathlib import Path

import chess

from matebot.commands.endings import known
from matebot.commands.playing import (
    add_flip,
    add_html,
    add_position,
    add_style,
    add_table_folder,
    library_of,
    position_of,
    profile_of,
    style_of,
    words_of,
)
from matebot.commentary import LEVELS
from matebot.errors import UserError
from matebot.games.demonstrate import Played, as_game, demonstration, outcome_text
from matebot.games.diagram import board_text
from matebot.games.pgn_text import pgn_text
from matebot.laws import judge
from matebot.lessons.games import demonstration_sheet
from matebot.lessons.html import page
from matebot.method.library import Library
from matebot.whole_file import check_place, write_whole
from matebot.wording.moves import distance

_BOARD_EVERY_PLIES = 10


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_position(parser, "ENDING")
    parser.add_argument("--ending", metavar="KBNK", help="play the longest win of an ending (default KBNK)")
    parser.add_argument("--pgn", type=Path, metavar="FILE", help="also write the game to a file")
    parser.add_argument("--json", action="store_true", help="print the moves as data")
    parser.add_argument(
        "--explanations",
        choices=LEVELS,
        help="explain no move, the attacker's moves and the defender's slips (the default without a profile), or all",
    )
    add_html(parser)
    add_flip(parser)
    add_style(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Play the game and print it."""
    style = style_of(namespace)
    check_place(namespace.pgn)
    check_place(namespace.html)
    below = not namespace.flip
    level = str(namespace.explanations or profile_of(namespace).get("Explanations") or "brief")
    library = library_of(namespace)
    board = _start(namespace, library)
    played: list[Played] = []
    screen = _Screen()
    with screen.writing():
        if not namespace.json:
            _show_start(board, library, below)
    for step in demonstration(library, board, style):
        played.append(step)
        with screen.writing():
            if not namespace.json:
                _show(step, level, len(played), below)
        board = step.board.copy()
        board.push(step.move)
    with screen.writing():
        _show_end(board, played, library, namespace.json, below)
    start = played[0].board if played else board
    if namespace.html is not None:
        opening, outcome = (outcome_text(at, judge(at, library.tables)) for at in (start, board))
        write_whole(namespace.html, page(demonstration_sheet(board, played, level, opening, outcome)))
    if namespace.pgn is not None:
        write_whole(namespace.pgn, pgn_text(as_game(start, played, level)))
    library.tables.keep()
    screen.end()
    return 0


class _Screen:
    """The output, which may be closed by its reader while there is still a file to write."""

    def __init__(self) -> None:
        self._closed: BrokenPipeError | None = None

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Write, and go on without a word once nobody reads any more."""
        try:
            if self._closed is None:
                yield
            else:
                with redirect_stdout(StringIO()):
                    yield
        except BrokenPipeError as fault:
            self._closed = fault

    def end(self) -> None:
        """End as every command does whose output was closed."""
        if self._closed is not None:
            raise self._closed


def _show_start(board: chess.Board, library: Library, below: chess.Color) -> None:
    print(board.fen())
    print(outcome_text(board, judge(board, library.tables)), end="\n\n")
    print(board_text(board, below), end="\n\n")


def _show_end(board: chess.Board, played: list[Played], library: Library, as_json: bool, below: chess.Color) -> None:
    outcome = outcome_text(board, judge(board, library.tables))
    if as_json:
        start = played[0].board if played else board
        print(json.dumps({"fen": start.fen(), "moves": [_data(step) for step in played], "end": outcome}, indent=2))
        return
    if played:
        print(f"\n{board_text(board, below)}\n")
    print(outcome)


def _data(step: Played) -> dict[str, object]:
    return {
        "number": step.board.fullmove_number,
        "turn": chess.COLOR_NAMES[step.board.turn],
        "move": step.move.uci(),
        "san": step.facts.san,
        "plies_to_mate": step.facts.mate_plies_after,
        "stage": step.stage,
        "sentences": list(step.sentences),
    }


def _start(namespace: Namespace, library: Library) -> chess.Board:
    words = words_of(namespace)
    if words is not None and namespace.ending is not None:
        raise UserError(f"expected a position or an ending, got {words!r} and --ending {namespace.ending!r}")
    if words is not None and ("/" in words or namespace.fen is not None):
        return position_of(words, library)
    material = known(words or namespace.ending or "KBNK").material
    plies, fen = library.tables.longest(material)
    if not plies:
        raise UserError(f"expected an ending the stronger side can win, got {material.name!r}")
    return chess.Board(fen)


def _show(step: Played, level: str, number: int, below: chess.Color) -> None:
    if step.stage is not None:
        print(f"\n{step.stage}\n")
    dots = "." if step.board.turn else "..."
    how_far = "mate" if step.facts.mate else distance(step.facts)
    print(f"{step.board.fullmove_number:>4}{dots:<4}{step.facts.san:<8}{how_far}")
    if explained := step.explained(level):
        print(f"        {' '.join(explained)}")
    if number % _BOARD_EVERY_PLIES == 0:
        after = step.board.copy()
        after.push(step.move)
        print(f"\n{board_text(after, below)}\n")
