"""What is told of a defence with what a pupil can take along from it: both stay together until a line is made."""

from __future__ import annotations

from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """What is told.

    Attributes
    ----------
    text : as it follows the name of the move
    lesson : what it teaches, "" for nothing; None where only its words tell that (`counsel.in_a_loss`)
    """

    text: str = ""
    lesson: str | None = ""

    def __bool__(self) -> bool:
        """Whether anything is told."""
        return bool(self.text)

    def told(self, text: str) -> Remark:
        """Return the same in other words."""
        return Remark(text, self.lesson)


NOTHING = Remark()
