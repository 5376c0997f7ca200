"""A pupil who learns and forgets, made up for tests: a year of practice without any games being played.

The pupil knows each exercise with a strength in days. After t days without it the chance to know it is
0.5 ** (t / strength): forgetting is exponential, another law than that of the memory model which gives the due dates.
A result follows from the chance p and a random number r: the closest grade below 0.55 p, slow below p, flawed below
p + (1 - p) / 2, else failed. A good result makes the strength 2.5 times as long, a flawed one keeps it, a failed one
sets it to two days. Each session practises up to three exercises: what the program says is due, else something new.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from matebot.ideas.slip_kinds import SlipKind
from matebot.practice.due import due_today, next_new, standings
from matebot.practice.notes import Exercise, GameNote, Grade, Result
from matebot.practice.reading import pupil_of, reviews, slips
from matebot.practice.record import Record
from tests.practice.games import game, save

STAGES = {"KQK": 3, "KRK": 4, "KPK": 3, "KBBK": 4, "KBNK": 4}
FIRST = date(2025, 1, 1)
_EXERCISES_A_SESSION = 3


@dataclass
class Forgetful:
    """The pupil."""

    random: Random
    strength_days: dict[Exercise, float] = field(default_factory=dict)
    last: dict[Exercise, date] = field(default_factory=dict)

    def practise(self, exercise: Exercise, today: date) -> Grade:
        strength = self.strength_days.get(exercise)
        chance = 0.2 if strength is None else 0.5 ** ((today - self.last[exercise]).days / strength)
        number = self.random.random()
        grade = (
            Grade.CLOSE
            if number < 0.55 * chance
            else Grade.SLOW
            if number < chance
            else Grade.FLAWED
            if number < chance + (1 - chance) / 2
            else Grade.FAILED
        )
        before = strength or 2.0
        self.strength_days[exercise] = {Grade.FAILED: 2.0, Grade.FLAWED: before}.get(grade, before * 2.5)
        self.last[exercise] = today
        return grade


@dataclass(frozen=True)
class Session:
    """One evening: what was due, and what was practised with which grade."""

    day: date
    due: tuple[Exercise, ...]
    practised: tuple[tuple[Exercise, Grade], ...]


def year(record: Record, name: str = "Mia", sessions: int = 200, seed: int = 1) -> Iterator[Session]:
    """Practise through a year and write every game into the record."""
    random = Random(seed)
    pupil = Forgetful(random)
    days = sorted(random.sample(range(365), sessions))
    number = 0
    for ahead in days:
        today, practised = FIRST + timedelta(ahead), []
        due: tuple[Exercise, ...] | None = None
        for _ in range(_EXERCISES_A_SESSION):
            found = []
            if number:
                who = pupil_of(record, name)
                found = standings(reviews(record, who), slips(record, who), today)
            waiting = [standing.exercise for standing in due_today(found, today)]
            due = tuple(waiting) if due is None else due
            exercise = waiting[0] if waiting else next_new(found, STAGES)
            if exercise is None:
                break
            grade = pupil.practise(exercise, today)
            save(record, _game(f"{name}-{number}", name, today, exercise, grade, random))
            number += 1
            practised.append((exercise, grade))
        yield Session(today, due or (), tuple(practised))


def _game(key: str, name: str, day: date, exercise: Exercise, grade: Grade, random: Random) -> GameNote:
    slip = {
        Grade.FAILED: SlipKind.STALEMATE,
        Grade.FLAWED: random.choice((SlipKind.STAGE, SlipKind.CAGE)),
        Grade.SLOW: SlipKind.SLOW,
    }
    lost = {Grade.FAILED: 0, Grade.FLAWED: random.randrange(4, 14), Grade.SLOW: random.randrange(3, 6)}
    return game(
        key,
        name,
        day=day.isoformat(),
        exercise=exercise,
        grade=grade,
        slip=slip.get(grade),
        moves=random.randrange(6, 20),
        result=Result.DRAWN if grade is Grade.FAILED else Result.WON,
        lost=lost.get(grade, random.randrange(3)),
    )
