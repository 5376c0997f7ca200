"""Games for the record, made up."""

from __future__ import annotations

from matebot.practice.notes import Exercise, GameNote, Grade, MoveNote, Passage, Result
from matebot.practice.record import Record
from matebot.practice.writing import save_all

EXERCISE = Exercise("KRK", 3, "attack")
FEN = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"


def game(
    key: str = "one",
    pupil: str = "Änne",
    *,
    day: str = "2026-03-01",
    exercise: Exercise = EXERCISE,
    grade: Grade | None = Grade.CLOSE,
    slip: str | None = None,
    moves: int = 2,
    result: Result = Result.WON,
    finished: bool = True,
    lost: int | None = 0,
    parts: tuple[Passage, ...] = (),
) -> GameNote:
    """Return a game whose moves are all alike; the first is the slip."""
    notes = tuple(
        MoveNote(
            number,
            FEN,
            "b1b4",
            exercise,
            None,
            slip if number == 1 else None,
            lost if number == 1 else 0,
            9,
            1.5,
            False,
            False,
        )
        for number in range(1, moves + 1)
    )
    parts = parts or (Passage(exercise, moves, moves, lost, grade),)
    began = f"{day}T10:00:00+00:00"
    return GameNote(key, pupil, "practise", began, day, "white", FEN, "b1b4 c3c4", result, finished, 0, 0, notes, parts)


def save(record: Record, game: GameNote) -> None:
    """Write one game."""
    save_all(record, [game])
