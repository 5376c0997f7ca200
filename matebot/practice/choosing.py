"""Which exercise is practised, why, and a position for it. Never plays a move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import islice
from random import Random

import chess

from matebot.games.positions import Practice, Wish, drawn, practice
from matebot.method.library import Library
from matebot.method.plans import ALL_PLANS
from matebot.practice.course import STAGES
from matebot.practice.due import COURSE, ExerciseStanding, due_today, next_new
from matebot.practice.notes import Exercise
from matebot.records import dataclass
from matebot.solver.material import Material
from matebot.wording.practice import REASON_ASKED, REASON_LOT, REASON_NEW, reason_due, reason_early

#: Positions looked at for one in which the work of a stage is still to be done.
_TRIED = 64


@dataclass(frozen=True, slots=True)
class Asked:
    """What the pupil asks for; None where it is left open. `stage` is a number or part of a title.

    `turned` asks for the side with the lesser men to win, as in KRKQ.
    """

    ending: str | None = None
    stage: str | None = None
    side: str | None = None
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """An exercise and why it was chosen; stage 0 with no `stage` asked for is any stage."""

    exercise: Exercise
    stage: str | None
    reason: str
    turned: bool = False


def choose_exercise(asked: Asked, known: Sequence[ExerciseStanding] | None, today: date, seed: int) -> Choice:
    """Return the exercise to practise: what is asked for, and as far as that is left open what is due.

    Parameters
    ----------
    known : how everything stands with the pupil; None without a pupil
    """
    if asked.ending is not None and (asked.stage is not None or asked.turned):
        return Choice(Exercise(asked.ending, 0, asked.side or "attack"), asked.stage, REASON_ASKED, asked.turned)
    if known is None:
        return _by_lot(asked, seed)
    fitting = [standing for standing in known if _fits(standing.exercise, asked)]
    due = due_today(fitting, today)
    if due:
        late = 0 if due[0].memory is None else (today - due[0].due(today)).days
        return _numbered(due[0].exercise, reason_due(late, due[0].slips))
    new = _new(asked, known)
    if new is not None:
        return _numbered(new, REASON_NEW if asked.ending is None else REASON_ASKED)
    soonest = min(fitting, key=lambda standing: (standing.due(today), standing.exercise))
    return _numbered(soonest.exercise, reason_early(soonest.due(today), today))


def _fits(exercise: Exercise, asked: Asked) -> bool:
    return (
        asked.ending in (None, exercise.ending)
        and asked.side in (None, exercise.side)
        and (asked.stage is None or asked.stage == str(exercise.stage))
    )


def _by_lot(asked: Asked, seed: int) -> Choice:
    side = asked.side or "attack"
    if asked.ending is not None:
        return Choice(Exercise(asked.ending, 0, side), asked.stage, REASON_ASKED)
    ending = COURSE[int(Random(seed).random() * len(COURSE))]
    return Choice(Exercise(ending, 0, side), asked.stage, REASON_LOT)


def _new(asked: Asked, known: Sequence[ExerciseStanding]) -> Exercise | None:
    """Return what is asked for and has not been practised yet, in the order of the course."""
    side = asked.side or "attack"
    as_attack = [
        replace(standing, exercise=replace(standing.exercise, side="attack"))
        for standing in known
        if standing.exercise.side == side
    ]
    if asked.ending is None:
        found = next_new(as_attack, STAGES)
        return None if found is None else replace(found, side=side)
    if asked.ending not in ALL_PLANS:
        fresh = Exercise(asked.ending, 0, side)
        return None if any(standing.exercise == fresh for standing in known) else fresh
    practised = {standing.exercise for standing in known}
    stages = range(len(ALL_PLANS[asked.ending][0].stages), 0, -1)
    return next((e for stage in stages if (e := Exercise(asked.ending, stage, side)) not in practised), None)


def _numbered(exercise: Exercise, reason: str) -> Choice:
    return Choice(exercise, str(exercise.stage) if exercise.stage else None, reason)


def position_for(library: Library, choice: Choice, seed: int) -> Practice:
    """Return a position of an exercise with the pupil to move; the same seed gives the same one.

    What a single capture, promotion or mate solves is no exercise of a stage as long as there are others.

    Raises
    ------
    UserError
        where there is none; the text tells what there is
    """
    material = Material.parse(choice.exercise.ending, largest=5)
    wish = Wish(material, choice.stage, turned=choice.turned)
    if choice.exercise.side == "defence":
        strong = Random(seed).random() < 0.5
        wish = replace(wish, turn=not strong, strong=strong)
    if choice.stage is None or choice.exercise.side == "defence":
        return practice(library, wish, 1, seed)[0]
    found = list(islice(drawn(library, wish, seed), _TRIED))
    return next((one for one in found if not _solved_by_a_move(library, one.board)), found[0])


def _solved_by_a_move(library: Library, board: chess.Board) -> bool:
    """Whether some capture, promotion or mate wins at once."""
    after = board.copy(stack=False)
    for move in board.legal_moves:
        leaves = board.is_capture(move) or bool(move.promotion)
        if not (leaves or board.gives_check(move)):
            continue
        after.push(move)
        done = after.is_checkmate() or (leaves and library.tables.value(after).outcome < 0)
        after.pop()
        if done:
            return True
    return False
