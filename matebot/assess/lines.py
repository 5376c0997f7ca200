"""Which lines of an engine belong to the protocol (UCI protocol description, April 2006)."""

from __future__ import annotations

_FIRST = frozenset(("id", "uciok", "readyok", "bestmove", "copyprotection", "registration", "info", "option"))
_NUMBERS = frozenset(
    ("depth", "seldepth", "time", "nodes", "multipv", "currmovenumber", "hashfull", "nps", "tbhits", "cpuload")
)


def is_rubbish(line: str) -> bool:
    """Whether a line is none of the protocol's, or an ``info`` whose numbers are none. Empty lines are harmless."""
    words = line.split()
    if not words:
        return False
    if words[0] not in _FIRST:
        return True
    return words[0] == "info" and _is_broken(words[1:])


def _is_broken(words: list[str]) -> bool:
    for place, word in enumerate(words):
        if word == "string":
            return False
        following = words[place + 1 : place + 3]
        if word in _NUMBERS and not _is_number(following[:1]):
            return True
        if word == "score" and not (following[:1] in (["cp"], ["mate"]) and _is_number(following[1:])):
            return True
    return False


def _is_number(words: list[str]) -> bool:
    return len(words) == 1 and words[0].lstrip("+-").isdecimal()
