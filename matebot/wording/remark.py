"""What is told of a defence with what a pupil can take along from it: both stay together until a line is made."""

from __future__ import annotations

from enum import Enum, auto

from matebot.ideas.idea import Idea
from matebot.records import dataclass


class Fate(Enum):
    """What becomes of the side that is losing, where nothing that it keeps matters beside that."""

    MAN_LOST = auto()
    PAWN_PROMOTED = auto()
    KING_MATED = auto()


class Place(Enum):
    """How well a side stands after its move: well, on its way to better, or so that only what comes is worth a word."""

    MERIT = auto()
    HOPE = auto()
    NO_MERIT = auto()


@dataclass(frozen=True, slots=True)
class Remark:
    """What is told.

    Attributes
    ----------
    text : as it follows the name of the move
    lesson : what it teaches, "" for nothing
    idea : the idea that is told, None where none is by itself
    fate, lost : what becomes of the side, and of its man of what kind
    place : how well the side stands, where that is told first
    bare : without where it stands, where that is no merit
    """

    text: str = ""
    lesson: str = ""
    idea: type[Idea] | None = None
    fate: Fate | None = None
    lost: str = ""
    place: Place | None = None
    bare: Remark | None = None

    def __bool__(self) -> bool:
        """Whether anything is told."""
        return bool(self.text)

    def told(self, text: str) -> Remark:
        """Return the same in other words."""
        return Remark(text, self.lesson, self.idea)


NOTHING = Remark()
