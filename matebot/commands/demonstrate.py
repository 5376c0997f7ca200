"""``matebot demonstrate``: the engine plays a position against itself and explains it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

import chess

from matebot.commands.playing import add_style, add_table_folder, library_of, position_of, profile_of, style_of
from matebot.errors import UserError
from matebot.games.demonstrate import Played, as_game, demonstration, outcome_text
from matebot.games.diagram import diagram
from matebot.laws import judge
from matebot.method.library import Library
from matebot.solver.material import Material

_BOARD_EVERY_PLIES = 10


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--fen", help="the position to play")
    where.add_argument("--ending", metavar="KBNK", help="play the longest win of an ending (default KBNK)")
    parser.add_argument("--pgn", type=Path, metavar="FILE", help="also write the game to a file")
    parser.add_argument(
        "--explanations",
        choices=("off", "brief", "full"),
        help="explain no move, the attacker's moves (the default without a profile), or all moves",
    )
    add_style(parser)
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Play the game and print it."""
    style = style_of(namespace)
    if namespace.pgn is not None and (namespace.pgn.is_dir() or not namespace.pgn.absolute().parent.is_dir()):
        raise UserError(f"expected a file in a folder that is there, got {str(namespace.pgn)!r}")
    explanations = namespace.explanations or profile_of(namespace).get("Explanations") or "brief"
    library = library_of(namespace)
    board = _start(namespace, library)
    print(board.fen())
    print(outcome_text(board, judge(board, library.tables)), end="\n\n")
    print(diagram(board), end="\n\n")
    played = []
    for step in demonstration(library, board, style):
        played.append(step)
        _show(step, str(explanations), len(played))
        board = step.board.copy()
        board.push(step.move)
    if played:
        print(f"\n{diagram(board)}\n")
    print(outcome_text(board, judge(board, library.tables)))
    if namespace.pgn is not None:
        start = played[0].board if played else board
        _write(namespace.pgn, str(as_game(start, played, explanations != "off")))
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


def _show(step: Played, explanations: str, number: int) -> None:
    if step.stage is not None:
        print(f"\n{step.stage}\n")
    dots = "." if step.board.turn else "..."
    left = step.facts.mate_plies_after
    moves = "" if left is None else f"mate in {(left + 1) // 2}" if left else "mate"
    print(f"{step.board.fullmove_number:>4}{dots:<4}{step.facts.san:<8}{moves}")
    if explanations == "full" or (explanations == "brief" and step.facts.by_attacker):
        print(f"        {' '.join(step.sentences)}")
    if number % _BOARD_EVERY_PLIES == 0:
        after = step.board.copy()
        after.push(step.move)
        print(f"\n{diagram(after)}\n")


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text + "\n", encoding="utf-8")
    except OSError as fault:
        raise UserError(f"expected a file that can be written ({fault.strerror}), got {str(path)!r}") from None
