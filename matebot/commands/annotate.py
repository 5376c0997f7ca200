"""``matebot annotate``: finished games with remarks on every covered position, and a table of what was lost where."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import BinaryIO

import chess

from matebot.commands.endings import progress
from matebot.commands.playing import add_table_folder, library_of
from matebot.errors import UserError
from matebot.games.annotate import Annotated, annotated
from matebot.games.game_texts import ENCODING, ERRORS
from matebot.games.review import Reviewer
from matebot.games.tally import Tally
from matebot.whole_file import Write, named, whole_file

_SIDES = {
    "white": frozenset((chess.WHITE,)),
    "black": frozenset((chess.BLACK,)),
    "both": frozenset((chess.WHITE, chess.BLACK)),
}
#: As many faults of a game are told one by one.
_FAULTS = 3
#: The bar moves on after so many bytes.
_STEP = 64 * 1024


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("games", type=Path, metavar="GAMES.pgn", help="the games")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to a file, not to standard output")
    parser.add_argument(
        "--side", choices=tuple(_SIDES), default="both", help="whose moves are looked at (default both)"
    )
    parser.epilog = (
        "Glyphs: $4 the outcome changed, $2 two or more moves lost, $6 one move and with it a man or a stage."
    )
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Annotate the games; the table goes to standard output, or to standard error where the games go there."""
    library, tally = library_of(namespace), Tally()
    library.tables.notice = _once(library.tables.notice)
    reviewer = Reviewer(library, _SIDES[namespace.side], tally)
    with ExitStack() as files:
        with named(namespace.games, "read"):
            source = files.enter_context(namespace.games.open("rb"))
        write = _writer(namespace, files)
        for game in annotated(_with_progress(source, namespace.games), reviewer):
            write(game.text.encode(ENCODING, ERRORS))
            _report(game)
    table = tally.table() or "no covered position in any game"
    print(table, file=sys.stderr if namespace.out is None else sys.stdout)
    library.tables.keep()
    return 0


def _once(tell: Callable[[str], None]) -> Callable[[str], None]:
    """Return a way to tell that tells nothing twice."""
    told: set[str] = set()

    def notice(text: str) -> None:
        if text not in told:
            told.add(text)
            tell(text)

    return notice


def _writer(namespace: Namespace, files: ExitStack) -> Write:
    out: Path | None = namespace.out
    if out is None:
        sys.stdout.flush()
        return _to_standard_output
    if out.exists() and out.samefile(namespace.games):
        raise UserError(f"expected another file than the one that is read, got {str(out)!r}")
    return files.enter_context(whole_file(out))


def _to_standard_output(data: bytes) -> None:
    sys.stdout.buffer.write(data)


def _with_progress(source: BinaryIO, path: Path) -> Iterator[bytes]:
    """Yield the lines of a file and show how much has been read."""
    size, done, shown = os.fstat(source.fileno()).st_size, 0, 0
    while True:
        with named(path, "read"):
            line = source.readline()
        if not line:
            return
        done += len(line)
        if done - shown >= _STEP or done == size:
            progress(done, size, f"{done:,} of {size:,} bytes")
            shown = done
        yield line


def _report(game: Annotated) -> None:
    told = [*game.faults[:_FAULTS]]
    if len(game.faults) > _FAULTS:
        told.append(f"and {len(game.faults) - _FAULTS:,} more of the kind")
    for fault in told:
        print(f"game {game.number} ({game.name}): {fault}", file=sys.stderr)
