"""What is told of a defence with what a pupil can take along from it: both stay together until a line is made."""

from __future__ import annotations

from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """What is told.

    Attributes
    ----------
    text : as it follows the name of the move
    lesson : what it teaches, "" for nothing; None where only its words tell that (`counsel.in_a_loss`)
    idea : the idea that is told, None where none is by itself
    """

    text: str = ""
    lesson: str | None = ""
    idea: type[Idea] | None = None

    def __bool__(self) -> bool:
        """Whether anything is told."""
        return bool(self.text)

    def told(self, text: str) -> Remark:
        """Return the same in other words."""
        return Remark(text, self.lesson, self.idea)


NOTHING = Remark()
