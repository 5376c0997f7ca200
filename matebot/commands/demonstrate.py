"""``matebot demonstrate``: the engine plays a position against itself and explains it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

import chess

from matebot.commands.playing import add_style, add_table_folder, library_of, position_of, profile_of, style_of
from matebot.commentary import LEVELS
from matebot.errors import UserError
from matebot.games.demonstrate import Played, as_game, demonstration, outcome_text
from matebot.games.diagram import diagram
from matebot.laws import judge
from matebot.method.library import Library
from matebot.solver.material import Material
from matebot.whole_file import check_place, write_whole
from matebot.wording.deeds import distance

_BOARD_EVERY_PLIES = 10


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--fen", help="the position to play")
    where.add_argument("--ending", metavar="KBNK", help="play the longest win of an ending (default KBNK)")
    parser.add_argument("--pgn", type=Path, metavar="FILE", help="also write the game to a file")
    parser.add_argument(
        "--explanations",
        choices=LEVELS,
        help="explain no move, the attacker's moves and the defender's slips (the default without a profile), or all",
    )
    add_style(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Play the game and print it."""
    style = style_of(namespace)
    check_place(namespace.pgn)
    level = str(namespace.explanations or profile_of(namespace).get("Explanations") or "brief")
    library = library_of(namespace)
    board = _start(namespace, library)
    print(board.fen())
    print(outcome_text(board, judge(board, library.tables)), end="\n\n")
    print(diagram(board), end="\n\n")
    played = []
    for step in demonstration(library, board, style):
        played.append(step)
        _show(step, level, len(played))
        board = step.board.copy()
        board.push(step.move)
    if played:
        print(f"\n{diagram(board)}\n")
    print(outcome_text(board, judge(board, library.tables)))
    if namespace.pgn is not None:
        start = played[0].board if played else board
        write_whole(namespace.pgn, f"{as_game(start, played, level)}\n")
    library.tables.keep()
    return 0


def _start(namespace: Namespace, library: Library) -> chess.Board:
    if namespace.fen is not None:
        return position_of(namespace.fen, library)
    try:
        material = Material.parse(namespace.ending or "KBNK")
    except ValueError as fault:
        raise UserError(str(fault)) from None
    plies, fen = library.tables.longest(material)
    if not plies:
        raise UserError(f"expected an ending the stronger side can win, got {material.name!r}")
    return chess.Board(fen)


def _show(step: Played, level: str, number: int) -> None:
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
        print(f"\n{diagram(after)}\n")
