"""The way in: no arguments means UCI on standard input and output, a first argument names a command.

Everything is imported when it is needed and not before, since an interface waits for ``uciok``.
Never does the work of a command itself.
"""

from __future__ import annotations

import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Sequence
    from typing import NoReturn, Protocol

    class CommandModule(Protocol):
        """What a module in `matebot.commands` offers."""

        def add_arguments(self, parser: ArgumentParser) -> None:
            """Declare the arguments of the command."""

        def run(self, namespace: Namespace) -> int:
            """Do the work and return the exit status."""


#: Name of a command -> its module in `matebot.commands`, and one line of help.
COMMANDS = {
    "uci": ("uci", "speak UCI, as without a command; takes --profile NAME|FILE"),
    "demonstrate": ("demonstrate", "play a mate against the toughest defence and explain it"),
    "explain": ("explain", "show a position's outcome, stage and every legal move"),
    "method": ("method", "show the stages of the method and what is proved of them"),
    "lesson": ("lesson", "a page with pictures on an ending, for the screen and for two sides of A4"),
    "practise": ("practise", "a practice game on the terminal, of what is due or asked for"),
    "due": ("due", "what pupils should practise today"),
    "progress": ("progress", "how pupils come on, and what to practise next"),
    "record": ("record", "who is in the record of practice; list, remove and write out games, forget a pupil"),
    "positions": ("positions", "practice positions of an ending, by stage and distance"),
    "solve": ("solve", "solve endings ahead and keep them on disk"),
    "verify": ("verify", "check solved endings against the moves of the game"),
    "annotate": ("annotate", "look over finished games and remark on every covered position"),
    "assess": ("assess", "test another engine over positions whose truth is known"),
}
#: Characters of a fault that are told; the inputs quoted in it may be of any length.
MOST_OF_A_FAULT = 1500
EXIT_OK, EXIT_USAGE, EXIT_INTERRUPTED = 0, 2, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program and return its exit status.

    Parameters
    ----------
    argv : the arguments after the program's name; None takes those of the process
    """
    arguments = sys.argv[1:] if argv is None else list(argv)
    if not arguments:
        from matebot.uci.stdio import run

        return run()
    if arguments[0].partition("=")[0] == "--profile":
        return _guarded(["uci", *arguments])
    return _guarded(arguments)


def _guarded(arguments: list[str]) -> int:
    """Run a command and turn the ends it may come to into exit statuses: the one door for faults of the user."""
    from matebot.errors import UserError

    _fill_gaps()
    try:
        status = _command(arguments)
        # A pipe closed at the other end shows here at the latest; there may be no output at all.
        if sys.stdout is not None:
            sys.stdout.flush()
    except UserError as error:
        return _refused(str(error))
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        _drop_output()
        return EXIT_OK
    except OSError as fault:
        where = "the output" if fault.filename is None else repr(fault.filename)
        _drop_output()
        return _refused(f"expected to read or write {where}, got {fault.strerror or fault!r}")
    return status


def _refused(text: str) -> int:
    """Tell a fault of the user in one line, a long one without its middle."""
    from matebot.quoting import shown

    print(f"matebot: {shown(text, MOST_OF_A_FAULT)}", file=sys.stderr)
    return EXIT_USAGE


def _fill_gaps() -> None:
    """Put a sink in the place of each closed stream, or the next file opened would take its number and its output.

    ``sys.stdout`` stays None where there is none, so that a command can tell.
    """
    import os

    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: SIM115, PTH123
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")  # not every terminal has every letter


def _command(arguments: list[str]) -> int:
    first, *rest = arguments
    if first in ("-h", "--help"):
        print(_help())
        return EXIT_OK
    if first == "--version":
        from matebot import __version__

        print(f"matebot {__version__}")
        return EXIT_OK
    if first not in COMMANDS:
        from matebot.errors import UserError

        raise UserError(f"expected one of the commands {', '.join(COMMANDS)}, or --help, got {first!r}")
    return _run(first, rest)


def _run(name: str, arguments: list[str]) -> int:
    from argparse import ArgumentParser
    from importlib import import_module
    from typing import cast

    from matebot.errors import UserError

    class OneLineParser(ArgumentParser):
        def error(self, message: str) -> NoReturn:
            """Leave the reporting to the caller, as for every other fault of the user."""
            raise UserError(f"{message}; see {self.prog} --help")

    module_name, summary = COMMANDS[name]
    module = cast("CommandModule", import_module(f"matebot.commands.{module_name}"))
    parser = OneLineParser(prog=f"matebot {name}", description=f"{summary}.", allow_abbrev=False)
    module.add_arguments(parser)
    try:
        namespace = parser.parse_args(arguments)
    except SystemExit as leaving:  # only --help leaves this way
        return int(leaving.code or EXIT_OK)
    return module.run(namespace)


def _help() -> str:
    width = max(map(len, COMMANDS))
    lines = [f"  {name:<{width}}  {summary}" for name, (_, summary) in COMMANDS.items()]
    return "\n".join(
        [
            "usage: matebot                       speak UCI on standard input and output",
            "       matebot COMMAND [ARGUMENT ...]",
            "       matebot --version | --help",
            "",
            "commands:",
            *lines,
            "",
            "matebot COMMAND --help tells more about a command.",
        ]
    )


def _drop_output() -> None:
    """Send what is still buffered nowhere, or the interpreter would complain about it at exit."""
    import os

    own = sys.__stdout__
    if own is not None and sys.stdout is own:  # another stream is not the interpreter's to write out
        os.dup2(os.open(os.devnull, os.O_WRONLY), own.fileno())
