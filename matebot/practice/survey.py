"""Progress of one pupil or of all, read from the record; as plain data for JSON."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from matebot.practice.course import STAGES, title_of
from matebot.practice.due import ExerciseStanding, standings
from matebot.practice.progress import ExerciseProgress, Progress, progress
from matebot.practice.reading import Review, pupil_of, pupils, reviews, slips
from matebot.practice.record import Record


def survey(record: Record, name: str | None, today: date) -> list[Progress]:
    """Return the progress of a pupil, or of everybody in the order of names.

    Raises
    ------
    NoRecord
        when there is no such pupil
    """
    who = None if name is None else pupil_of(record, name)
    everything = reviews(record, who)
    own: dict[int, list[Review]] = defaultdict(list)
    for review in everything:
        own[review.pupil].append(review)
    known: dict[int, list[ExerciseStanding]] = defaultdict(list)
    for standing in standings(everything, slips(record, who), today):
        known[standing.pupil].append(standing)
    return [
        progress(pupil.name, own[pupil.number], known[pupil.number], STAGES, today)
        for pupil in ([who] if who is not None else pupils(record))
    ]


def as_data(found: Progress, today: date) -> dict[str, object]:
    """Return the progress of a pupil as plain data: days in ISO 8601, shares from 0 to 1, moves lost a game."""
    return {
        "pupil": found.name,
        "day": today.isoformat(),
        "games": found.games,
        "won_or_held": found.done,
        "last": None if found.last is None else found.last.isoformat(),
        "exercises": [_row_data(row) for row in found.rows],
        "due": [due_data(standing, today) for standing in found.due],
        "next_new": None if found.new is None else exercise_data(found.new.ending, found.new.stage, found.new.side),
        "over_time": {
            ending: [
                {
                    "begin": point.begin.isoformat(),
                    "games": point.games,
                    "moves_lost": _rounded(None if point.lost is None else point.lost.mean),
                    "share_won_or_held": round(point.share, 4),
                }
                for point in points
            ]
            for ending, points in found.points.items()
        },
    }


def exercise_data(ending: str, stage: int, side: str) -> dict[str, object]:
    """Return an exercise as plain data."""
    return {"ending": ending, "stage": stage or None, "side": side}


def due_data(standing: ExerciseStanding, today: date) -> dict[str, object]:
    """Return how an exercise stands as plain data."""
    exercise = standing.exercise
    return {
        **exercise_data(exercise.ending, exercise.stage, exercise.side),
        "title": title_of(exercise) or None,
        "due": standing.due(today).isoformat(),
        "last": None if standing.memory is None else standing.memory.last.isoformat(),
        "chance_known": None if standing.memory is None else round(standing.memory.chance, 3),
        "recent_slips": dict(standing.slips),
    }


def _rounded(moves: float | None) -> float | None:
    return None if moves is None else round(moves, 3)


def _row_data(row: ExerciseProgress) -> dict[str, object]:
    exercise = row.exercise
    return {
        **exercise_data(exercise.ending, exercise.stage, exercise.side),
        "title": title_of(exercise) or None,
        "last": row.last.isoformat(),
        "games": row.games,
        "won_or_held": row.done,
        "moves_lost_a_game": _rounded(row.moves_lost),
        "commonest_slip": row.slip,
        "due": row.due.isoformat(),
    }
