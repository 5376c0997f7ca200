"""Arguments that several commands share: how to play, where tables are kept, which position."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Mapping
from pathlib import Path

import chess

from matebot.errors import UserError
from matebot.method.library import Library
from matebot.play.choice import ATTACKS, DEFENCES, Style
from matebot.position import UnknownPosition, read_fen
from matebot.profiles import read_profile
from matebot.solver.coverage import Refusal
from matebot.solver.material import Material
from matebot.solver.store import default_folder, read_folder
from matebot.solver.tables import Tables


def add_table_folder(parser: ArgumentParser) -> None:
    """Add the option for the folder of solved endings."""
    parser.add_argument("--table-folder", type=_folder, metavar="DIR", help="where solved endings are kept")


def add_html(parser: ArgumentParser) -> None:
    """Add the option for a page with pictures beside what is printed."""
    parser.add_argument("--html", type=Path, metavar="FILE.html", help="also write a page with pictures")


def add_flip(parser: ArgumentParser) -> None:
    """Add the option that turns printed boards round."""
    parser.add_argument("--flip", action="store_true", help="show boards from the other side")


def _folder(text: str) -> Path:
    if not text:
        raise UserError(f"expected a folder after --table-folder, got {text!r}")
    return read_folder(text)


def add_style(parser: ArgumentParser) -> None:
    """Add the options for the way of playing; they are those of the UCI session."""
    parser.add_argument("--attack", choices=ATTACKS, help="by the shortest mate, or by the stages of the method")
    parser.add_argument("--defence", choices=DEFENCES, help="how the losing side plays")
    parser.add_argument("--defence-margin", type=int, metavar="PLIES", help="plies it may fall short of the longest")
    parser.add_argument("--seed", type=int, help="repeats a changing defence")
    parser.add_argument("--profile", metavar="NAME|FILE", help="a named set of these values")


def library_of(namespace: Namespace) -> Library:
    """Return ladders over the tables in the folder asked for."""
    return Library(Tables(namespace.table_folder or default_folder(), notice=_tell))


def _tell(text: str) -> None:
    print(text, file=sys.stderr)


def profile_of(namespace: Namespace) -> Mapping[str, str | int | bool]:
    """Return the values of the profile asked for, none without one.

    Raises
    ------
    UserError
        when there is no such profile
    """
    return {} if namespace.profile is None else read_profile(namespace.profile).values


def style_of(namespace: Namespace) -> Style:
    """Return the way of playing: the profile's values, and over them those given one by one.

    Raises
    ------
    UserError
        when a value is not allowed
    """
    profile = profile_of(namespace)
    chosen = {
        "attack": namespace.attack or profile.get("Attack"),
        "defence": namespace.defence or profile.get("Defence"),
        "margin_plies": profile.get("Defence Margin") if namespace.defence_margin is None else namespace.defence_margin,
        "seed": namespace.seed if namespace.seed is not None else profile.get("Seed") or None,
    }
    if namespace.seed is not None and not 0 <= namespace.seed <= 2_147_483_647:
        raise UserError(f"expected a seed from 0 to 2147483647, got {namespace.seed!r}")
    if namespace.defence_margin is not None and not 0 <= namespace.defence_margin <= 20:
        raise UserError(f"expected a defence margin from 0 to 20 plies, got {namespace.defence_margin!r}")
    return Style(**{key: value for key, value in chosen.items() if value is not None})  # type: ignore[arg-type]


def add_position(parser: ArgumentParser, besides: str = "") -> None:
    """Add the position as plain words, quoted or not, or after ``--fen``; `besides` is what else the words may be."""
    parser.add_argument("words", nargs="*", metavar="FEN" + (f"|{besides}" if besides else ""), help="the position")
    parser.add_argument("--fen", help="the same as an option")


def words_of(namespace: Namespace) -> str | None:
    """Return what was given as plain words or after ``--fen``, None where nothing was.

    Raises
    ------
    UserError
        when both were given
    """
    words = " ".join(namespace.words) if namespace.words else None
    if words is not None and namespace.fen is not None:
        raise UserError(f"expected one position, as words or after --fen, got {words!r} and {namespace.fen!r}")
    return words if namespace.fen is None else str(namespace.fen)


def ask_for(material: Material, library: Library) -> Material:
    """Return an ending that questions may be asked about.

    Raises
    ------
    UserError
        when it has five men and is not solved yet
    """
    try:
        library.tables.check_ending(material)
    except Refusal as fault:
        raise UserError(str(fault)) from None
    return material


def position_of(fen: str, library: Library) -> chess.Board:
    """Return the covered position of a FEN.

    Raises
    ------
    UserError
        when the FEN cannot be read or the position is not covered
    """
    try:
        board = read_fen(fen)
        library.tables.check(board)
    except (UnknownPosition, Refusal) as fault:
        raise UserError(str(fault)) from None
    return board
