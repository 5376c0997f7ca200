"""Two plots over time as SVG: moves lost a game and the share won or held. Black, white and grey only; no words made.

One renderer of our own of a few dozen lines rather than a plotting library of many megabytes: the page needs dots,
bars, two axes and nothing else, in a form that prints.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from html import escape
from math import sqrt

from matebot.practice.progress import Point

WIDTH, HEIGHT = 460, 200
_LEFT, _RIGHT, _TOP, _BOTTOM = 46, 14, 14, 34
_MOST_LABELS = 7
#: Half of what a label of seven letters takes.
_HALF_LABEL = 26
_DOT_MOST = 6.5


class _Frame:
    """A plot's axes: days to the right, a value upwards."""

    def __init__(self, points: Sequence[Point], top: float) -> None:
        self.begin, self.end = points[0].begin, points[-1].begin
        self.days = max((self.end - self.begin).days, 1)
        self.top = top

    def across(self, day: date) -> float:
        inner = WIDTH - _LEFT - _RIGHT - 2 * _DOT_MOST
        share = 0.5 if self.begin == self.end else (day - self.begin).days / self.days
        return round(_LEFT + _DOT_MOST + inner * share, 1)

    def up(self, value: float) -> float:
        return round(HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * value / self.top, 1)

    def axes(self, steps: Sequence[float], label: str) -> list[str]:
        lines = []
        for step in steps:
            y = self.up(step)
            lines.append(f'<line x1="{_LEFT}" y1="{y}" x2="{WIDTH - _RIGHT}" y2="{y}" class="grid"/>')
            lines.append(f'<text x="{_LEFT - 6}" y="{y + 4}" text-anchor="end">{_number(step, label)}</text>')
        lines.append(
            f'<line x1="{_LEFT}" y1="{HEIGHT - _BOTTOM}" x2="{WIDTH - _RIGHT}" y2="{HEIGHT - _BOTTOM}" class="axis"/>'
        )
        for day in _labelled(self.begin, self.end):
            x, text = self.across(day), _day(day, self.days)
            lines.append(f'<line x1="{x}" y1="{HEIGHT - _BOTTOM}" x2="{x}" y2="{HEIGHT - _BOTTOM + 4}" class="axis"/>')
            at, anchor = (x, "middle") if x + _HALF_LABEL <= WIDTH else (WIDTH, "end")
            lines.append(f'<text x="{at}" y="{HEIGHT - _BOTTOM + 18}" text-anchor="{anchor}">{text}</text>')
        return lines


def lost_plot(points: Sequence[Point], title: str) -> str:
    """Return the plot of moves lost a game: the mean as dots on a line, the middle half of the games as bars."""
    known = [(point, point.lost) for point in points if point.lost is not None]
    highest = max((max(lost.high, lost.mean) for _, lost in known), default=0)
    step = _step(highest)
    top = step * max(1, -(-highest // step))
    frame = _Frame(points, top)
    marks = [
        f'<line x1="{frame.across(p.begin)}" y1="{frame.up(lost.low)}" x2="{frame.across(p.begin)}" '
        f'y2="{frame.up(lost.high)}" class="spread"/>'
        for p, lost in known
        if lost.high > lost.low
    ]
    steps = [step * number for number in range(round(top / step) + 1)]
    return _svg(title, frame.axes(steps, ""), marks, [(p, lost.mean) for p, lost in known], frame)


def share_plot(points: Sequence[Point], title: str) -> str:
    """Return the plot of the share of games won or held."""
    frame = _Frame(points, 1.0)
    steps = (0.0, 0.25, 0.5, 0.75, 1.0)
    return _svg(title, frame.axes(steps, "%"), [], [(point, point.share) for point in points], frame)


def _svg(
    title: str,
    axes: list[str],
    marks: list[str],
    values: Sequence[tuple[Point, float]],
    frame: _Frame,
) -> str:
    places = [(frame.across(point.begin), frame.up(value)) for point, value in values]
    most = max((point.games for point, _ in values), default=1)
    line = f'<polyline points="{" ".join(f"{x},{y}" for x, y in places)}" class="line"/>'
    dots = [
        f'<circle cx="{x}" cy="{y}" r="{max(2.0, _DOT_MOST * sqrt(point.games / most)):.1f}" class="dot"/>'
        for (x, y), (point, _) in zip(places, values, strict=True)
    ]
    name = escape(title)
    return "\n".join(
        [
            f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" height="{HEIGHT}" role="img" aria-label="{name}">',
            f"<title>{name}</title>",
            *axes,
            *marks,
            line,
            *dots,
            "</svg>",
        ]
    )


def _step(highest: float) -> float:
    """Return the distance of the lines of a scale with at most five of them: 1, 2 or 5 times a power of ten."""
    for size in (1, 10, 100, 1000):
        for factor in (1, 2, 5):
            if highest <= 5 * factor * size:
                return float(factor * size)
    return 10_000.0


def _number(value: float, unit: str) -> str:
    return f"{value * 100:.0f}%" if unit == "%" else f"{value:.0f}"


def _labelled(begin: date, end: date) -> list[date]:
    """Return at most so many days to write under an axis: the first of a month where the axis is long."""
    days = (end - begin).days
    if days <= 120:
        step = max(1, -(-days // (7 * (_MOST_LABELS - 1)))) * 7
        return [begin + timedelta(ahead) for ahead in range(0, days + 1, step)]
    months = [date(year, month, 1) for year in range(begin.year, end.year + 1) for month in range(1, 13)]
    inside = [month for month in months if begin <= month <= end]
    step = next(size for size in (1, 2, 3, 6, 12, 24, 48, 96, 1200) if len(inside) <= size * _MOST_LABELS)
    return [month for month in inside if ((month.year * 12 + month.month - 1) % step) == 0] or inside[:1]


def _day(day: date, span_days: int) -> str:
    return day.isoformat()[5:] if span_days <= 120 else day.isoformat()[:7]
