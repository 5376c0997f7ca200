"""From the moves of a game to what it tells of each exercise: moves made and lost, a grade. Never looks at a board."""

from __future__ import annotations

from collections.abc import Sequence

from matebot.ideas.slip_kinds import OUTCOME_LOST, SOMETHING_LOST
from matebot.practice.notes import UNJUDGED, WINS, Exercise, Grade, MoveNote, Passage, Result, total_lost

#: An attack that loses at most so many moves on the method, or a defence that loses as few, is close to the best.
CLOSE_MOVES = 2
#: A defence that loses more moves than this has lost something that mattered.
_FLAWED_DEFENCE_MOVES = 5


def passages(moves: Sequence[MoveNote], result: Result) -> tuple[Passage, ...]:
    """Return what a game tells of each exercise its moves belong to, in the order in which they came.

    A game is evidence for every stage it passes through, not only for the one it began in.
    """
    if any(note.exercise == UNJUDGED for note in moves):
        return ()  # what was lost is not known yet
    standing = [note for note in moves if not note.taken_back]
    behind = _behind_method(standing, result)
    found = []
    ended_in = (standing or moves)[-1].exercise if moves else None
    for exercise in dict.fromkeys(note.exercise for note in moves):
        own = [note for note in moves if note.exercise == exercise]
        kept = [note for note in own if not note.taken_back]
        lost = [behind[note.number] for note in kept]
        excess = sum(moves_lost for moves_lost in lost if moves_lost is not None)
        known = bool(kept) and None not in lost
        if exercise.side == "attack":
            by_method = max(len(kept) - excess, 0) if known else None
        else:
            by_method = len(kept) + excess if known else None
        grade = _grade(exercise, own, excess, result if exercise == ended_in else None)
        found.append(Passage(exercise, len(kept), by_method, total_lost(kept), grade))
    return tuple(found)


def _behind_method(standing: Sequence[MoveNote], result: Result) -> dict[int, int | None]:
    """Return by how many moves each move fell behind: an attack behind the method, a defence behind the longest.

    Negative where the other side's reply was not the longest defence; None where it cannot be told.
    """
    behind: dict[int, int | None] = {}
    for note, after in zip(standing, [*standing[1:], None], strict=False):
        if note.exercise.side == "defence":
            behind[note.number] = note.moves_lost
            continue
        then = after.method_moves if after is not None else 0 if result is Result.WON else None
        if after is None and result is Result.NEARLY:
            then = 1
        known = note.method_moves is not None and then is not None
        behind[note.number] = 1 - ((note.method_moves or 0) - (then or 0)) if known else None
    return behind


def _grade(exercise: Exercise, own: Sequence[MoveNote], excess: int, result: Result | None) -> Grade | None:
    """Grade one exercise; `result` is that of the game where it ended in this exercise, else None."""
    if exercise.side == "attack" and own[0].method_moves is None:
        return None  # there was nothing to win
    if result is not Result.RESIGNED and all(note.taken_back for note in own):
        return None
    gone = any(note.slip in OUTCOME_LOST for note in own if not note.taken_back)
    if result is Result.RESIGNED or (gone and result not in WINS):
        return Grade.FAILED
    if exercise.side == "attack" and result in (Result.DRAWN, Result.LOST):
        return Grade.FAILED
    if result is Result.OPEN:
        return None
    flaws = SOMETHING_LOST if exercise.side == "attack" else OUTCOME_LOST
    if any(note.helped or note.slip in flaws for note in own):
        return Grade.FLAWED
    if exercise.side == "defence" and excess > _FLAWED_DEFENCE_MOVES:
        return Grade.FLAWED
    return Grade.SLOW if excess > CLOSE_MOVES else Grade.CLOSE
