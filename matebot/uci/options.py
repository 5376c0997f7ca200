"""The options as a table: names, kinds, defaults and what is allowed. Knows nothing of what a value brings about."""

from __future__ import annotations

from collections.abc import Callable

from matebot.records import dataclass

_EMPTY = "<empty>"
_ABOUT = "matebot, exact in every ending of up to four men, and of five once solved"


@dataclass(frozen=True, slots=True)
class Option:
    """One option.

    Attributes
    ----------
    kind : "check", "spin", "combo", "button" or "string"
    former : words a choice was known by before, each with the choice; still accepted
    """

    name: str
    kind: str
    default: str | int | bool = ""
    low: int = 0
    high: int = 0
    choices: tuple[str, ...] = ()
    help: str = ""
    former: tuple[tuple[str, str], ...] = ()

    def declaration(self) -> str:
        """Return the line that tells an interface of the option."""
        words = f"option name {self.name} type {self.kind}"
        if self.kind == "button":
            return words
        default = str(self.default).lower() if self.kind == "check" else str(self.default) or _EMPTY
        words += f" default {default}"
        if self.kind == "spin":
            words += f" min {self.low} max {self.high}"
        return words + "".join(f" var {choice}" for choice in self.choices)

    def accept(self, text: str | None) -> str | int | bool:
        """Return the value in a text.

        Raises
        ------
        ValueError
            saying what is allowed
        """
        readers: dict[str, Callable[[str | None], str | int | bool]] = {
            "check": self._check,
            "spin": self._spin,
            "combo": self._combo,
            "string": self._string,
            "button": self._button,
        }
        return readers[self.kind](text)

    def _check(self, text: str | None) -> bool:
        known = {"true": True, "false": False}
        if text is None or text.lower() not in known:
            raise ValueError(f"expected true or false for {self.name}, got {text!r}")
        return known[text.lower()]

    def _spin(self, text: str | None) -> int:
        digits = (text or "").removeprefix("-")
        if digits.isascii() and digits.isdigit() and len(digits) < 19 and self.low <= int(text or "") <= self.high:
            return int(text or "")
        raise ValueError(f"expected a whole number from {self.low} to {self.high} for {self.name}, got {text!r}")

    def _combo(self, text: str | None) -> str:
        names = {choice.lower(): choice for choice in self.choices} | dict(self.former)
        if text is not None and text.lower() in names:
            return names[text.lower()]
        raise ValueError(f"expected one of {', '.join(self.choices)} for {self.name}, got {text!r}")

    def _string(self, text: str | None) -> str:
        return "" if text is None or text == _EMPTY else text

    def _button(self, text: str | None) -> bool:
        if text is not None:
            raise ValueError(f"expected no value for {self.name}, got {text!r}")
        return True


#: The profiles that ship with the program; a test holds them against the files. No folder is read before ``uciok``.
_PROFILES = ("before-the-tournament", "club-evening", "first-lesson", "wrong-corner")

OPTIONS: tuple[Option, ...] = (
    Option(
        "Attack",
        "combo",
        "shortest",
        choices=("shortest", "method"),
        help="attack by the shortest mate, or by the stages of the method while the fifty-move rule allows it",
    ),
    Option(
        "Defence",
        "combo",
        "longest",
        # No choice begins with "var": that word parts the choices, and not every client looks at whole words.
        choices=("longest", "corner", "centre", "changing"),
        help="defend as long as possible, towards the wrong corner, towards the centre, or differently each game",
        former=(("varied", "changing"),),
    ),
    Option("Defence Margin", "spin", 4, 0, 20, help="plies by which such a defence may fall short of the longest"),
    Option(
        "Explanations",
        "combo",
        "off",
        choices=("off", "brief", "full", "hints"),
        help="what is said about each move: nothing, a line, also stages and a count, or also what to expect",
    ),
    Option(
        "Largest Ending", "spin", 4, 4, 5, help="men of the largest endings solved unasked; kept ones are always played"
    ),
    Option("MultiPV", "spin", 1, 1, 500, help="number of best moves shown"),
    Option("Ponder", "check", False, help="the interface may let the engine think on the opponent's time"),
    Option("Pupil", "string", "", help="who plays against the engine: the games are kept; empty keeps nothing"),
    Option(
        "Profile",
        "combo",
        "none",
        choices=("none", *_PROFILES),
        help="a named set of option values, taken over at once",
    ),
    Option("Seed", "spin", 0, 0, 2_147_483_647, help="repeats a changing defence; 0 takes a new seed each game"),
    Option(
        "Table Budget", "spin", 0, 0, 1_048_576, help="MiB for solved endings; beyond, five men used least lately go"
    ),
    Option("Table Folder", "string", "", help="where solved endings are kept; empty for the usual place"),
    Option("UCI_EngineAbout", "string", _ABOUT, help="what this is"),
)


def accept(name: str, text: str | None) -> tuple[Option, str | int | bool]:
    """Return the option a name stands for, without regard to case, and its new value.

    Raises
    ------
    ValueError
        when there is no such option or the value is not allowed
    """
    wanted = " ".join(name.split()).lower()
    for option in OPTIONS:
        if option.name.lower() == wanted:
            return option, option.accept(text)
    known = ", ".join(option.name for option in OPTIONS)
    raise ValueError(f"expected one of the options {known}, got {name!r}")
