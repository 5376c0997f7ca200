"""From a line of text to a command; never raises, and skips unknown words at the start as the protocol asks."""

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


def parse(line: str) -> Command | None:
    """Return the command in a line, None where there is none."""
    words = line.split()
    for number, word in enumerate(words):
        reader = _READERS.get(word)
        if reader is not None:
            command = reader(words[number + 1 :])
            if command is not None:
                return command
    return None


def _debug(words: list[str]) -> Command | None:
    return Debug(words[0] == "on") if words and words[0] in ("on", "off") else None


def _set_option(words: list[str]) -> Command | None:
    if not words or words[0] != "name":
        return None
    rest = words[1:]
    if "value" not in rest:
        return SetOption(" ".join(rest), None) if rest else None
    cut = rest.index("value")
    return SetOption(" ".join(rest[:cut]), " ".join(rest[cut + 1 :])) if cut else None


def _position(words: list[str]) -> Command | None:
    cut = words.index("moves") if "moves" in words else len(words)
    where, moves = words[:cut], tuple(words[cut + 1 :])
    if where and where[0] == "startpos":
        return Position(None, moves)
    return Position(" ".join(where[1:]), moves) if where and where[0] == "fen" else Position("", moves)


def _go(words: list[str]) -> Command:
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
        elif word in _NUMBERS and at < len(words) and _is_number(words[at]):
            found[_NUMBERS[word]] = int(words[at])
            at += 1
    return Go(Question(**found))  # type: ignore[arg-type]


def _is_number(word: str) -> bool:
    digits = word.removeprefix("-")
    return digits.isascii() and digits.isdigit() and len(digits) < 19


_READERS: dict[str, Callable[[list[str]], Command | None]] = {
    "uci": lambda words: Uci(),
    "debug": _debug,
    "isready": lambda words: IsReady(),
    "setoption": _set_option,
    "register": lambda words: Register(),
    "ucinewgame": lambda words: NewGame(),
    "position": _position,
    "go": _go,
    "stop": lambda words: Stop(),
    "ponderhit": lambda words: PonderHit(),
    "quit": lambda words: Quit(),
}
