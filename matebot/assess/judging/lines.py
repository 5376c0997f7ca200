"""Which lines of an engine break the protocol (UCI protocol description, April 2006).

"If the engine or the GUI receives an unknown command or token it should just ignore it": so an engine may say what
it likes in lines that begin with no word of the protocol, and in words of an ``info`` that it does not know.
"""

from __future__ import annotations

_NUMBERS = frozenset(
    ("depth", "seldepth", "time", "nodes", "multipv", "currmovenumber", "hashfull", "nps", "tbhits", "cpuload")
)


def is_rubbish(line: str) -> bool:
    """Whether a line is an ``info`` whose numbers are none."""
    words = line.split()
    return words[:1] == ["info"] and _is_broken(words[1:])


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
