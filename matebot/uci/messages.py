"""The commands of the protocol as data (UCI protocol description, April 2006)."""

from __future__ import annotations

from matebot.records import dataclass
from matebot.uci.partnership import Question


@dataclass(frozen=True, slots=True)
class Uci:
    """``uci``."""


@dataclass(frozen=True, slots=True)
class Debug:
    """``debug on|off``."""

    on: bool


@dataclass(frozen=True, slots=True)
class IsReady:
    """``isready``."""


@dataclass(frozen=True, slots=True)
class SetOption:
    """``setoption name NAME [value VALUE]``."""

    name: str
    value: str | None


@dataclass(frozen=True, slots=True)
class Register:
    """``register ...``: accepted and ignored."""


@dataclass(frozen=True, slots=True)
class NewGame:
    """``ucinewgame``."""


@dataclass(frozen=True, slots=True)
class Position:
    """``position startpos|fen FEN [moves ...]``; `fen` is None for the first position of a game."""

    fen: str | None
    moves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Go:
    """``go ...``."""

    question: Question


@dataclass(frozen=True, slots=True)
class Stop:
    """``stop``."""


@dataclass(frozen=True, slots=True)
class PonderHit:
    """``ponderhit``."""


@dataclass(frozen=True, slots=True)
class Quit:
    """``quit``."""


Command = Uci | Debug | IsReady | SetOption | Register | NewGame | Position | Go | Stop | PonderHit | Quit
