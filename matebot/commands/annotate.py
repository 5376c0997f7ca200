"""``matebot annotate``: finished games with remarks on every covered position, and a table of what was lost where."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterable, Iterator
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
    parser.epilog = "Glyphs: $4 the outcome changed, $2 two or more moves lost, $6 one move lost."
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Annotate the games; the table goes to standard output, or to standard error where the games go there."""
    library, tally = library_of(namespace), Tally()
    library.tables.notice = _once(library.tables.notice)
    reviewer = Reviewer(library, _SIDES[namespace.side], tally)
    with ExitStack() as files:
        source = files.enter_context(_opened(namespace.games, "rb"))
        write = _writer(namespace, files)
        for game in annotated(_with_progress(source), reviewer):
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


def _opened(path: Path, mode: str, named: Path | None = None) -> BinaryIO:
    """Open a file; `named` is the name it has for the user."""
    kind = "read" if mode == "rb" else "written"
    try:
        return path.open(mode)  # type: ignore[return-value]
    except OSError as fault:
        raise UserError(f"expected a file that can be {kind} ({fault.strerror}), got {str(named or path)!r}") from None


def _writer(namespace: Namespace, files: ExitStack) -> Callable[[bytes], object]:
    out: Path | None = namespace.out
    if out is None:
        sys.stdout.flush()
        return sys.stdout.buffer.write
    if out.exists() and out.samefile(namespace.games):
        raise UserError(f"expected another file than the one that is read, got {str(out)!r}")
    if out.exists() and not out.is_file():
        return files.enter_context(_opened(out, "wb")).write
    beside = out.with_name(f".{out.name}.{os.getpid()}.part")
    file = _opened(beside, "wb", out)
    files.push(lambda *fault: _swapped(file, beside, out, whole=fault[0] is None))
    return file.write


def _swapped(file: BinaryIO, beside: Path, out: Path, whole: bool) -> None:
    """Put a finished file in its place, so that one that was there before stays until then."""
    try:
        file.close()
        if whole:
            beside.replace(out)
    except OSError as fault:
        raise UserError(f"expected a file that can be written ({fault.strerror}), got {str(out)!r}") from None
    finally:
        beside.unlink(missing_ok=True)


def _with_progress(source: BinaryIO) -> Iterator[bytes]:
    """Yield the lines of a file and show how much has been read."""
    size, done, shown = os.fstat(source.fileno()).st_size, 0, 0
    lines: Iterable[bytes] = source
    for line in lines:
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
