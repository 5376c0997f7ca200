"""Progress as numbers: by exercise, over time by ending, and what to practise next and why. Makes no words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from statistics import mean, quantiles

from matebot.practice.due import ExerciseStanding, due_today, next_new
from matebot.practice.notes import WINS, Exercise, Grade
from matebot.practice.reading import Review
from matebot.records import dataclass

#: A span of practice longer than this is shown by months, otherwise by weeks.
_BY_MONTH = timedelta(120)
_DONE_RESULTS = frozenset(result.value for result in WINS)


@dataclass(frozen=True, slots=True)
class ExerciseProgress:
    """One exercise.

    Attributes
    ----------
    games, done : games that told of it, and those in which it was won (attack) or held (defence)
    moves_lost : moves lost in it, a game, by those of which it is known; None without any
    slip : the commonest kind of slip, None without any
    finished : whether any of its games could be graded; one that was only ever broken off is due at once
    """

    exercise: Exercise
    last: date
    games: int
    done: int
    moves_lost: float | None
    slip: str | None
    due: date
    finished: bool


@dataclass(frozen=True, slots=True)
class Spread:
    """Moves lost a game: the mean, and the quartiles."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Point:
    """A week or a month of games in one ending.

    Attributes
    ----------
    begin : its first day
    lost : moves lost in those games of which it is known, None where it is of none
    share : the part of the games that were won or held
    """

    begin: date
    games: int
    lost: Spread | None
    share: float


@dataclass(frozen=True, slots=True)
class Progress:
    """What there is to say of one pupil.

    Attributes
    ----------
    rows : every exercise, in the order of endings and stages
    points : by ending, in the order of time
    due : what is due, in the order in which to practise it
    new : the next exercise of the course that has not been practised
    weakest : the exercise in which most moves are lost a game, None where none are
    """

    name: str
    games: int
    done: int
    last: date | None
    rows: tuple[ExerciseProgress, ...]
    points: dict[str, tuple[Point, ...]]
    due: tuple[ExerciseStanding, ...]
    new: Exercise | None
    soonest: ExerciseStanding | None
    weakest: ExerciseProgress | None
    ahead_of_clock: date | None


def is_done(review: Review) -> bool:
    """Whether what an exercise asked for was done in a game."""
    if review.exercise.side == "attack":
        return review.result in _DONE_RESULTS
    return review.grade is not None and review.grade > Grade.FAILED


def progress(
    name: str,
    reviews: Sequence[Review],
    standings: Sequence[ExerciseStanding],
    stages: dict[str, int],
    today: date,
) -> Progress:
    """Return the progress of one pupil, whose reviews and standings these are."""
    rows = tuple(_row(standing, today) for standing in sorted(standings, key=lambda standing: standing.exercise))
    games = {review.game: review for review in reviews}
    last = max((review.day for review in reviews), default=None)
    return Progress(
        name,
        len(games),
        sum(map(is_done, games.values())),
        last,
        rows,
        points(reviews),
        tuple(due_today(standings, today)),
        next_new(standings, stages),
        min(standings, key=lambda standing: (standing.due(today), standing.exercise), default=None),
        max((row for row in rows if row.moves_lost), key=lambda row: row.moves_lost or 0, default=None),
        last if last is not None and last > today else None,
    )


def _row(standing: ExerciseStanding, today: date) -> ExerciseProgress:
    lost = _spread([review.moves_lost for review in standing.reviews])
    return ExerciseProgress(
        standing.exercise,
        standing.reviews[-1].day,
        len(standing.reviews),
        sum(map(is_done, standing.reviews)),
        None if lost is None else lost.mean,
        max(standing.kinds, key=standing.kinds.__getitem__, default=None),
        standing.due(today),
        standing.memory is not None,
    )


def points(reviews: Sequence[Review]) -> dict[str, tuple[Point, ...]]:
    """Return the games of each ending gathered by week or month; a game counts where it began."""
    if not reviews:
        return {}
    span = max(review.day for review in reviews) - min(review.day for review in reviews)
    lost: dict[tuple[str, int], list[int | None]] = defaultdict(list)
    first: dict[tuple[str, int], Review] = {}
    for review in reviews:
        key = review.exercise.ending, review.game
        lost[key].append(review.moves_lost)
        first.setdefault(key, review)
    gathered: dict[str, dict[date, list[tuple[int | None, bool]]]] = defaultdict(lambda: defaultdict(list))
    for key, review in first.items():
        begin = _month(review.day) if span > _BY_MONTH else _week(review.day)
        gathered[key[0]][begin].append((None if None in lost[key] else sum(filter(None, lost[key])), is_done(review)))
    return {
        ending: tuple(_point(begin, games) for begin, games in sorted(periods.items()))
        for ending, periods in sorted(gathered.items())
    }


def _month(day: date) -> date:
    return day.replace(day=1)


def _week(day: date) -> date:
    return day - timedelta(day.weekday())


def _point(begin: date, games: Sequence[tuple[int | None, bool]]) -> Point:
    share = sum(done for _, done in games) / len(games)
    return Point(begin, len(games), _spread([moves for moves, _ in games]), share)


def _spread(lost: Sequence[int | None]) -> Spread | None:
    known = [float(moves) for moves in lost if moves is not None]
    if len(known) < 2:
        return Spread(known[0], known[0], known[0]) if known else None
    low, _, high = quantiles(known, n=4, method="inclusive")
    return Spread(mean(known), low, high)
