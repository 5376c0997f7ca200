"""From a line of text to a command; never raises.

Unknown words at the start are skipped, as the protocol asks. A known word with an unusable rest is no command, but
a ``position`` or ``setoption`` that says too little still becomes one: it has to be refused, not overheard.
"""

from __future__ import annotations

from collections.abc import Callable

from matebot.uci.messages import (
    Command,
    Debug,
    Go,
    IsReady,
    NewGame,
    PonderHit,
    Position,
    Quit,
    Register,
    SetOption,
    Stop,
    Uci,
)
from matebot.uci.partnership import Question

#: Word of ``go`` that is followed by a number -> field of `Question`.
_NUMBERS = {
    "depth": "depth",
    "nodes": "nodes",
    "mate": "mate",
    "movetime": "movetime_ms",
    "wtime": "white_ms",
    "btime": "black_ms",
    "winc": "white_increment_ms",
    "binc": "black_increment_ms",
    "movestogo": "moves_to_go",
}
_GO_WORDS = frozenset(_NUMBERS) | {"searchmoves", "infinite", "ponder"}
_LONGEST_NUMBER = 18
_BYTE_ORDER_MARK = "\ufeff"


def parse(line: str) -> Command | None:
    """Return the command in a line, None where there is none; a byte order mark in front is no part of it."""
    line = line.removeprefix(_BYTE_ORDER_MARK)
    for number, word in enumerate(line.split()):
        reader = _READERS.get(word)
        if reader is not None:
            return reader(_tail(line, number + 1))
    return None


def _tail(line: str, words: int) -> str:
    """Return what follows so many words, white space inside it kept: a path may hold two spaces."""
    parts = line.split(None, words)
    return parts[words].rstrip() if len(parts) > words else ""


def _debug(rest: str) -> Command | None:
    return Debug(rest == "on") if rest in ("on", "off") else None


def _set_option(rest: str) -> Command:
    words = rest.split()
    if not words or words[0] != "name":
        return SetOption("", None)
    if "value" not in words:
        return SetOption(" ".join(words[1:]), None)
    cut = words.index("value")
    return SetOption(" ".join(words[1:cut]), _tail(rest, cut + 1))


def _position(rest: str) -> Command:
    words = rest.split()
    cut = words.index("moves") if "moves" in words else len(words)
    where, moves = words[:cut], tuple(words[cut + 1 :])
    if where == ["startpos"]:
        return Position(None, moves)
    return Position(" ".join(where[1:] if where[:1] == ["fen"] else where), moves)


def _go(rest: str) -> Command:
    words = rest.split()
    found: dict[str, object] = {}
    at = 0
    while at < len(words):
        word = words[at]
        at += 1
        if word in ("infinite", "ponder"):
            found[word] = True
        elif word == "searchmoves":
            end = next((i for i in range(at, len(words)) if words[i] in _GO_WORDS), len(words))
            found["search_moves"] = tuple(words[at:end])
            at = end
        elif word in _NUMBERS and at < len(words) and is_number(words[at]):
            found[_NUMBERS[word]] = int(words[at])
            at += 1
    return Go(Question(**found))  # type: ignore[arg-type]


def is_number(word: str) -> bool:
    """Whether a word is a whole number of a sensible length, with ASCII digits."""
    digits = word.removeprefix("-")
    return digits.isascii() and digits.isdigit() and len(digits) <= _LONGEST_NUMBER


_READERS: dict[str, Callable[[str], Command | None]] = {
    "uci": lambda rest: Uci(),
    "debug": _debug,
    "isready": lambda rest: IsReady(),
    "setoption": _set_option,
    "register": lambda rest: Register(),
    "ucinewgame": lambda rest: NewGame(),
    "position": _position,
    "go": _go,
    "stop": lambda rest: Stop(),
    "ponderhit": lambda rest: PonderHit(),
    "quit": lambda rest: Quit(),
}
