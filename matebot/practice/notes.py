"""What is noted of a practised game, as plain frozen data. Knows nothing of files, chess or English."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum, StrEnum

from matebot.records import dataclass


class Result(StrEnum):
    """How a game ended for the pupil, as it stands in the record."""

    WON = "won"
    NEARLY = "mate in one reached"
    DRAWN = "drawn"
    LOST = "lost"
    RESIGNED = "resigned"
    OPEN = "broken off"


#: The results that count as a win: an interface does not show the move that mates.
WINS = frozenset({Result.WON, Result.NEARLY})


class Grade(IntEnum):
    """How well an exercise went, worst first.

    Attack: not won; won after a stage, a man or a cage was lost, or with help; won slowly; won within two moves of the
    method. Defence: the draw given away, or resigned; many moves lost; some moves lost; held within two moves.
    """

    FAILED = 1
    FLAWED = 2
    SLOW = 3
    CLOSE = 4


@dataclass(frozen=True, slots=True, order=True)
class Exercise:
    """What is practised and remembered as one thing.

    Attributes
    ----------
    ending : its signature, such as "KBNK"
    stage : number of the stage, 1 the first; 0 where the ending has no ladder
    side : "attack" or "defence"
    """

    ending: str
    stage: int
    side: str


#: Stands with a move until it has been judged.
UNJUDGED = Exercise("", 0, "")


@dataclass(frozen=True, slots=True)
class MoveNote:
    """A move of the pupil.

    Attributes
    ----------
    number : its place among all moves the pupil made in the game, 1 the first, moves taken back included
    fen, move : the position before, the move in long algebraic form
    idea : what a good move was for, None where nothing special is seen
    slip : the kind of slip, one of `SlipKind`, None for none
    moves_lost : moves the mate came later (attack) or sooner (defence) by it; None where only bounds are known, and
        until it has been judged
    method_moves : the attacker's moves to mate before it, by the method where there is one; None when drawn
    seconds : time taken, None where unknown
    taken_back, helped : whether it was taken back; whether the move had been told
    """

    number: int
    fen: str
    move: str
    exercise: Exercise
    idea: str | None
    slip: str | None
    moves_lost: int | None
    method_moves: int | None
    seconds: float | None
    taken_back: bool = False
    helped: bool = False


@dataclass(frozen=True, slots=True)
class Passage:
    """What a game tells of one exercise.

    Attributes
    ----------
    moves : moves the pupil made in it, those taken back left out
    by_method : as many as the method needed at most, None where it is not known
    moves_lost : by those moves, None where it is not known of all
    grade : None where the game was broken off in it
    """

    exercise: Exercise
    moves: int
    by_method: int | None
    moves_lost: int | None
    grade: Grade | None


@dataclass(frozen=True, slots=True)
class GameNote:
    """A practised game.

    Attributes
    ----------
    key : what makes it this game and no other; saving it again replaces it
    source : "practise", "session" or "file"
    began : when, UTC, ISO 8601
    day : the pupil's date then, ISO 8601
    colour : the pupil's, "white" or "black"
    fen : where it began
    line : the moves of both sides that stood at the end, long algebraic form, with blanks between
    finished : whether it is over; otherwise it may still go on
    hints, takebacks : how often asked for
    """

    key: str
    pupil: str
    source: str
    began: str
    day: str
    colour: str
    fen: str
    line: str
    result: Result
    finished: bool
    hints: int
    takebacks: int
    moves: tuple[MoveNote, ...]
    passages: tuple[Passage, ...]

    @property
    def exercise(self) -> Exercise | None:
        """What it began with, None before the pupil's first move."""
        return self.moves[0].exercise if self.moves else None

    @property
    def moves_lost(self) -> int | None:
        """Moves lost by the moves that were not taken back, None where it is not known of all."""
        return total_lost(note for note in self.moves if not note.taken_back)


def total_lost(parts: Iterable[MoveNote | Passage]) -> int | None:
    """Return the moves lost in several moves or passages, None where it is not known of all."""
    lost = [part.moves_lost for part in parts]
    known = [moves for moves in lost if moves is not None]
    return sum(known) if len(known) == len(lost) else None
