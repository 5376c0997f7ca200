"""Progress as tables of text cells and as words for the coach; what is shown is the same on screen and page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from matebot.practice.course import name_of
from matebot.practice.progress import Progress
from matebot.wording import practice as words

#: Columns of the two tables that are text rather than numbers.
PROGRESS_TEXTS = (0, 5, 6)
COACH_TEXTS = (0, 5)


def progress_rows(found: Progress, today: date) -> list[tuple[str, ...]]:
    """Return one row an exercise, the headings first."""
    return [
        words.PROGRESS_HEAD,
        *(
            (
                name_of(row.exercise),
                row.last.isoformat(),
                str(row.games),
                str(row.done),
                words.lost_text(row.moves_lost, 1),
                "" if row.slip is None else words.slip_name(row.slip),
                words.due_text(row.due, today, row.finished),
            )
            for row in found.rows
        ),
    ]


def coach_rows(found: Sequence[Progress], today: date) -> list[tuple[str, ...]]:
    """Return one row a pupil, the headings first."""
    rows: list[tuple[str, ...]] = [words.COACH_HEAD]
    for one in found:
        following = one.due[0].exercise if one.due else one.new
        rows.append(
            (
                one.name,
                "" if one.last is None else one.last.isoformat(),
                str(one.games),
                str(one.done),
                str(len(one.due)),
                "" if following is None else name_of(following),
            )
        )
    return rows


def coach_lines(found: Progress, today: date) -> list[str]:
    """Return what to practise next and why."""
    due = [(name_of(s.exercise), s.slips, max((today - s.due(today)).days, 0)) for s in found.due]
    soonest = None if found.soonest is None else (name_of(found.soonest.exercise), found.soonest.due(today))
    weakest = None if found.weakest is None else (name_of(found.weakest.exercise), found.weakest.moves_lost or 0.0)
    return words.coach_words(due, None if found.new is None else name_of(found.new), soonest, weakest, today)
