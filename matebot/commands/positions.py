"""``matebot positions``: practice positions of an ending, by stage and distance."""

from __future__ import annotations

import re
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from secrets import randbelow

import chess

from matebot.commands.endings import known
from matebot.commands.playing import add_table_folder, ask_for, library_of
from matebot.errors import UserError
from matebot.games.position_text import FORMATS, written
from matebot.games.positions import Wish, practice
from matebot.whole_file import check_place, write_whole

_COLOURS = {None: None, "white": chess.WHITE, "black": chess.BLACK}
_SEEDS = 2**31


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("--ending", required=True, metavar="KBNK", help="the ending; the side named first wins")
    parser.add_argument("--stage", metavar="N|NAME", help="only a stage of the method: its number, title or part of it")
    parser.add_argument("--mate-in", metavar="N|N..M", help="only so many moves from mate, such as 10 or 8..12")
    parser.add_argument("--count", type=int, default=20, metavar="N", help="how many positions (default 20)")
    parser.add_argument("--seed", type=int, metavar="N", help="repeats the same positions (default: by lot)")
    parser.add_argument("--turn", choices=("white", "black"), help="the side to move (default: the one that wins)")
    parser.add_argument("--strong", choices=("white", "black"), help="the side that wins (default: either, by lot)")
    parser.add_argument("--format", choices=tuple(FORMATS), default="fen", help="how they are written (default fen)")
    parser.add_argument("--json", action="store_true", help="the same as --format json: one object a line")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to a file, not to standard output")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Choose the positions and write them."""
    wish = _wish(namespace)
    form = "json" if namespace.json else namespace.format
    check_place(namespace.out)
    library = library_of(namespace)
    ask_for(wish.material, library)
    seed = randbelow(_SEEDS) if namespace.seed is None else namespace.seed
    positions = practice(library, wish, namespace.count, seed)
    if namespace.seed is None:
        print(f"--seed {seed} gives these positions again", file=sys.stderr)
    lines = written(positions, form, wish.material.name, library.tables)
    text = "".join(f"{line}\n" for line in lines)
    if namespace.out is None:
        print(text, end="")
    else:
        write_whole(namespace.out, text)
    library.tables.keep()
    return 0


def _wish(namespace: Namespace) -> Wish:
    named = known(namespace.ending)
    if namespace.count < 1:
        raise UserError(f"expected a count of at least 1, got {namespace.count!r}")
    if namespace.seed is not None and not 0 <= namespace.seed < _SEEDS:
        raise UserError(f"expected a seed from 0 to {_SEEDS - 1}, got {namespace.seed!r}")
    distance = None if namespace.mate_in is None else _distance(namespace.mate_in)
    return Wish(
        named.material, namespace.stage, distance, _COLOURS[namespace.turn], _COLOURS[namespace.strong], named.turned
    )


def _distance(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"(\d{1,3})(?:\.\.(\d{1,3}))?", text, re.ASCII)
    low, high = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
    if not 1 <= low <= high:
        raise UserError(f"expected moves to mate as a number or a range such as 8..12, from 1 up, got {text!r}")
    return low, high
