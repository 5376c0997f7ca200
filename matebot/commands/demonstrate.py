"""``matebot demonstrate``: the engine plays a position against itself and explains it."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from collections.abc import Iterable
from pathlib import Path

import chess

from matebot.commands.endings import known
from matebot.commands.playing import (
    add_flip,
    add_html,
    add_position,
    add_style,
    add_table_folder,
    ask_for,
    library_of,
    position_of,
    profile_of,
    style_of,
    words_of,
)
from matebot.commentary import LEVELS
from matebot.errors import UserError
from matebot.games.demonstrate import DemonstratedMove, as_game, demonstration, opening_of, outcome_text
from matebot.games.pgn_text import pgn_text
from matebot.games.showing import Showing
from matebot.games.summary import Summary, summary
from matebot.laws.referee import judge
from matebot.lessons.games import demonstration_sheet
from matebot.lessons.html import page
from matebot.method.library import Library
from matebot.whole_file import check_place, write_whole


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
    level = str(namespace.explanations or profile_of(namespace).get("Explanations") or "brief")
    library = library_of(namespace)
    board = _start(namespace, library)
    opening = opening_of(library, board, level)
    played: list[DemonstratedMove] = []
    screen, showing = _Screen(), Showing(not namespace.flip)
    if not namespace.json:
        screen.write(showing.start(board, opening))
    for step in demonstration(library, board, style, level):
        played.append(step)
        if not namespace.json:
            screen.write(showing.move(step))
    end, summed = played[-1].after if played else board, summary(library, played)
    outcome = outcome_text(end, judge(end, library.tables))
    start = played[0].board if played else board
    screen.write(_as_data(start, played, outcome, summed) if namespace.json else showing.end(end, outcome, summed))
    if namespace.html is not None:
        write_whole(namespace.html, page(demonstration_sheet(start, end, played, opening, outcome, summed)))
    if namespace.pgn is not None:
        write_whole(namespace.pgn, pgn_text(as_game(start, opening, played, level)))
    library.tables.keep()
    screen.end()
    return 0


class _Screen:
    """The output, which may be closed by its reader while there is still a file to write."""

    def __init__(self) -> None:
        self._closed: BrokenPipeError | None = None

    def write(self, lines: Iterable[str]) -> None:
        """Print lines, and go on without a word once nobody reads any more."""
        for line in lines:
            if self._closed is None:
                try:
                    print(line)
                except BrokenPipeError as fault:
                    self._closed = fault

    def end(self) -> None:
        """End as every command does whose output was closed."""
        if self._closed is not None:
            raise self._closed


def _as_data(start: chess.Board, played: list[DemonstratedMove], outcome: str, summed: Summary) -> list[str]:
    data = {"fen": start.fen(), "moves": [_data(step) for step in played], "end": outcome, "summary": summed.as_data()}
    return [json.dumps(data, indent=2)]


def _data(step: DemonstratedMove) -> dict[str, object]:
    return {
        "number": step.board.fullmove_number,
        "turn": chess.COLOR_NAMES[step.board.turn],
        "move": step.move.uci(),
        "san": step.facts.san,
        "plies_to_mate": step.facts.worth.mate_plies_after,
        "sentences": list(step.sentences),
        "stage": None if step.stage is None else {"title": step.stage.title, "sentences": list(step.change)},
    }


def _start(namespace: Namespace, library: Library) -> chess.Board:
    words = words_of(namespace)
    if words is not None and namespace.ending is not None:
        raise UserError(f"expected a position or an ending, got {words!r} and --ending {namespace.ending!r}")
    if words is not None and ("/" in words or namespace.fen is not None):
        return position_of(words, library)
    material = ask_for(known(words or namespace.ending or "KBNK").material, library)
    plies, fen = library.tables.longest_in_time(material)
    if not plies:
        raise UserError(f"expected an ending the stronger side can win, got {material.name!r}")
    return chess.Board(fen)
