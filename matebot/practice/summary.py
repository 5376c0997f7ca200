"""The end of a practice game: a table by stage beside the method, the slips, and when it is due again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date

from matebot.games.showing import table
from matebot.ideas.slip_kinds import hardness
from matebot.practice.course import name_of, title_of
from matebot.practice.due import ExerciseStanding
from matebot.practice.notes import GameNote
from matebot.wording import practice as words


def summary(game: GameNote) -> list[str]:
    """Return the lines that close a game: how it ended, each stage beside the method, the slips."""
    lines = [words.result_text(game.result.value)]
    if game.passages:
        side = game.passages[0].exercise.side
        head = ("stage", "moves", words.best_heading(side), "lost", "result")
        rows = [head]
        for part in game.passages:
            title = title_of(part.exercise)
            stage = f"{part.exercise.stage} {title}" if title else words.ending_name(part.exercise.ending)
            best = str(part.by_method) if part.by_method else "-"  # with none gained there is nothing to set beside it
            result = words.grade_name(part.exercise.side, part.grade)
            rows.append((stage, str(part.moves), best, words.lost_text(part.moves_lost), result))
        lines += ["", *table(rows, texts=(0, 4)), ""]
    if game.moves:
        counts = Counter(note.slip for note in game.moves if note.slip is not None)
        lines.append(words.slips_line(sorted(counts.items(), key=lambda item: hardness(item[0]))))
    return lines


def due_lines(game: GameNote, standings: Sequence[ExerciseStanding], today: date) -> list[str]:
    """Return when each exercise of a game is due again."""
    played = {part.exercise for part in game.passages}
    found = sorted((s for s in standings if s.exercise in played), key=lambda standing: standing.exercise)
    return [words.due_again(name_of(standing.exercise), standing.due(today), today) for standing in found]
