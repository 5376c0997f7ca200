"""``matebot annotate``: finished games with remarks on every covered position, and a table of what was lost where."""

from __future__ import annotations

import json
import os
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

import chess

from matebot.commands.endings import progress, warn
from matebot.commands.playing import add_html, add_table_folder, library_of
from matebot.commands.pupils import add_pupil, today, warn_plainly
from matebot.errors import UserError
from matebot.games.annotate import Annotated, annotated
from matebot.games.game_texts import ENCODING, ERRORS
from matebot.games.review import REVIEW_LEVELS, Reviewer
from matebot.games.tally import Tally
from matebot.lessons.games import MOST_GAMES, annotated_sheet
from matebot.lessons.html import page
from matebot.method.library import Library
from matebot.practice.intake import Intake
from matebot.practice.judging import Judge
from matebot.practice.keeping import GameKeeper
from matebot.quoting import shown
from matebot.whole_file import Write, check_place, named, whole_file, write_whole
from matebot.wording.phrases import counted
from matebot.wording.practice import taken

_SIDES = {
    "white": frozenset((chess.WHITE,)),
    "black": frozenset((chess.BLACK,)),
    "both": frozenset((chess.WHITE, chess.BLACK)),
}
#: As many faults of a game are told one by one.
_FAULTS = 3
#: The bar moves on after so many bytes.
_STEP = 64 * 1024
#: Characters of a game's players and event that are shown.
_MOST_NAME = 80


@dataclass(slots=True)
class _Source:
    """A file of games: its name as given, its size (0 where unknown) and whether it has been read to its end."""

    name: str
    file: BinaryIO
    size: int
    read_all: bool = False


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("games", nargs="+", metavar="GAMES.pgn", help="files of games; - for standard input")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to a file, not to standard output")
    parser.add_argument(
        "--side", choices=tuple(_SIDES), default="both", help="whose moves are looked at (default both)"
    )
    parser.add_argument("--json", action="store_true", help="print the table as data")
    parser.add_argument(
        "--explanations",
        choices=REVIEW_LEVELS,
        default=REVIEW_LEVELS[1],
        help="a line on a move; also what is reached where a stage begins (the default); or also the next moves",
    )
    parser.epilog = (
        "Marks: $4 the outcome changed, $2 two or more moves lost, $6 one move and with it a man, a stage or the cage. "
        "A comment in PGN has no board: the page (--html) shows one where a stage begins."
    )
    add_html(parser)
    add_table_folder(parser)
    add_pupil(parser, "take the games of a pupil into the record, each once")
    parser.add_argument("--player", metavar="NAME", help="the pupil's name in the tags (default: as with --pupil)")


def run(namespace: Namespace) -> int:
    """Annotate the games; the table goes to standard output, or to standard error where the games go there.

    The status is 1 where no game could be read at all.
    """
    library, tally = library_of(namespace), Tally()
    library.tables.notice = _once(library.tables.notice)
    reviewer = Reviewer(library, _SIDES[namespace.side], tally, namespace.explanations)
    readable = last = 0
    intake = _intake(namespace, library)
    check_place(namespace.html)
    texts: list[str] = []
    with ExitStack() as files:
        sources = [_source(name, files) for name in namespace.games]
        write = _writer(namespace, files)
        for game in _annotated(sources, reviewer):
            write(game.text.encode(ENCODING, ERRORS))
            readable += game.readable
            if namespace.html is not None and game.number <= MOST_GAMES:
                texts.append(game.text)
            last = game.number
            _report(game)
            if intake is not None:
                intake.take(game.text, today())
    if namespace.html is not None:
        write_whole(namespace.html, page(annotated_sheet(library, texts, max(0, last - MOST_GAMES), tally)))
    library.tables.keep()
    if not readable:
        warn(f"expected games in PGN, got none that could be read in {shown(', '.join(namespace.games))}")
        return 1
    place = sys.stderr if namespace.out is None else sys.stdout
    print(json.dumps(tally.as_data(), indent=2) if namespace.json else _table(tally), file=place)
    if intake is not None:
        _keep(intake)
    if passed := sum(reviewer.unsolved.values()):
        warn(f"passed over {counted(passed, 'position')} of {library.tables.offer(list(reviewer.unsolved))}")
    return 0


def _keep(intake: Intake) -> None:
    """Write the pupil's games into the record: what was asked for beside it is in its place, and seen."""
    if sys.stdout is not None:
        sys.stdout.flush()
    intake.keep()
    warn(taken(intake.keeper.pupil, intake.counts, intake.others))
    intake.keeper.close()


def _table(tally: Tally) -> str:
    if not tally.counts:
        return "no covered position in any game"
    return "\n".join([*tally.table(), "", *tally.below()])


def _intake(namespace: Namespace, library: Library) -> Intake | None:
    """Return what takes the games into the record, None where no pupil is named."""
    if namespace.pupil is None:
        if namespace.player is not None:
            raise UserError(f"expected --pupil with --player, got only {namespace.player!r}")
        return None
    keeper = GameKeeper(namespace.pupil, namespace.record, warn_plainly)
    side = {"white": chess.WHITE, "black": chess.BLACK}.get(namespace.side)
    return Intake(keeper, Judge(library), namespace.player or namespace.pupil, side)


def _source(name: str, files: ExitStack) -> _Source:
    if name == "-":
        if sys.stdin is None:
            raise UserError("expected a standard input to read the games from, got a closed one")
        return _Source(name, sys.stdin.buffer, 0)
    with named(Path(name), "read"):
        file = Path(name).open("rb")  # noqa: SIM115 - the stack closes it
    files.enter_context(file)
    return _Source(name, file, os.fstat(file.fileno()).st_size)


def _annotated(sources: list[_Source], reviewer: Reviewer) -> Iterator[Annotated]:
    """Yield the games of all files, numbered through; where one follows another, a blank line is between them."""
    total, done, number = sum(source.size for source in sources), 0, 0
    for last, source in enumerate(sources, start=1):
        game = None
        for game in annotated(_with_progress(source, done, total), reviewer):
            number += 1
            game = replace(game, number=number)
            if last < len(sources) and source.read_all and not game.text.endswith(("\n\n", "\n\r\n", "\r\r")):
                game = replace(game, text=f"{game.text.rstrip()}\n\n")
            yield game
        done += source.size


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
        if sys.stdout is None:
            raise UserError("expected --out FILE or a standard output to write the games to, got a closed one")
        sys.stdout.flush()
        return _to_terminal if sys.stdout.isatty() else _to_standard_output
    for name in namespace.games:
        if name != "-" and out.exists() and out.samefile(name):
            raise UserError(f"expected another file than the one that is read, got {str(out)!r}")
    return files.enter_context(whole_file(out))


def _to_standard_output(data: bytes) -> None:
    sys.stdout.buffer.write(data)


def _to_terminal(data: bytes) -> None:
    """Write games for the eye: a terminal would obey the control characters in them."""
    for line in data.decode("utf-8", "backslashreplace").split("\n"):
        print(shown(line.removesuffix("\r"), len(line)))


def _with_progress(source: _Source, before: int, total: int) -> Iterator[bytes]:
    """Yield the lines of a file and show how much has been read, of all files where that is known."""
    done, shown_at = before, before
    while True:
        with named(Path(source.name), "read"):
            line = source.file.readline()
        if not line:
            source.read_all = True
            return
        done += len(line)
        if done - shown_at >= _STEP or done == total:
            progress(done, total, f"{done:,} of {total:,} bytes" if done <= total else f"{done:,} bytes")
            shown_at = done
        yield line


def _report(game: Annotated) -> None:
    told = [*game.faults[:_FAULTS]]
    if len(game.faults) > _FAULTS:
        told.append(f"and {len(game.faults) - _FAULTS:,} more of the kind")
    for fault in told:
        warn(f"game {game.number} ({shown(game.name, _MOST_NAME)}): {shown(fault)}")
