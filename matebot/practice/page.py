"""Progress as one page of HTML that needs nothing else: tables, words for the coach, plots; prints in grey."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from html import escape

from matebot.practice.plot import lost_plot, share_plot
from matebot.practice.progress import Progress
from matebot.practice.report import COACH_TEXTS, PROGRESS_TEXTS, coach_lines, coach_rows, progress_rows
from matebot.wording import practice as words

_STYLE = """
body { font: 16px/1.45 system-ui, sans-serif; color: #111; background: #fff; max-width: 72rem; margin: 2rem auto;
  padding: 0 1rem; }
h1 { font-size: 1.6rem; } h2 { font-size: 1.3rem; margin-top: 2.5rem; border-top: 1px solid #999; padding-top: 1rem; }
h3 { font-size: 1.05rem; margin: 1.6rem 0 0.4rem; }
h2, td { overflow-wrap: anywhere; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; font-size: 0.92rem; }
th, td { text-align: left; padding: 0.25rem 0.9rem 0.25rem 0; border-bottom: 1px solid #ccc; vertical-align: top; }
th { border-bottom: 2px solid #555; }
.number { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
td:first-child { min-width: 9rem; } td:last-child { white-space: nowrap; }
.plots { display: flex; flex-wrap: wrap; gap: 1rem; } figure { margin: 0; max-width: 100%; }
figcaption { font-size: 0.85rem; color: #444; } svg { display: block; max-width: 100%; height: auto; }
svg text { font: 12px system-ui, sans-serif; fill: #333; }
.grid { stroke: #ddd; } .axis { stroke: #555; } .spread { stroke: #aaa; stroke-width: 5; }
.line { fill: none; stroke: #777; stroke-width: 1.5; } .dot { fill: #111; stroke: #fff; }
.note { font-size: 0.85rem; color: #444; }
@media print { figure, table { break-inside: avoid; } }
"""


def page(found: Sequence[Progress], today: date) -> str:
    """Return the page of one pupil or of several, these with an overview in front."""
    title = words.PAGE_TITLE if len(found) != 1 else f"{words.PAGE_TITLE}: {found[0].name}"
    body = [f"<h1>{escape(title)}</h1>", f'<p class="note">{today.isoformat()}</p>']
    if len(found) != 1:
        body += [f"<h2>{escape(words.PAGE_ALL)}</h2>", *_table(coach_rows(found, today), COACH_TEXTS)]
    for one in found:
        body += _pupil(one, today)
    if any(one.points for one in found):
        body.append(f'<p class="note">{escape(words.PLOT_NOTE)}</p>')
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width">',
            f"<title>{escape(title)}</title>",
            f"<style>{_STYLE}</style>",
            "</head>",
            "<body>",
            *body,
            "</body>",
            "</html>",
            "",
        ]
    )


def _pupil(one: Progress, today: date) -> list[str]:
    lines = [f"<h2>{escape(words.progress_title(one.name, one.games, one.done))}</h2>"]
    lines += [f"<p>{escape(line)}</p>" for line in coach_lines(one, today)]
    if one.rows:
        lines += _table(progress_rows(one, today), PROGRESS_TEXTS)
    for ending, points in one.points.items():
        title = words.plot_title(ending)
        lines += [f"<h3>{escape(title)}</h3>", '<div class="plots">']
        for draw, caption in ((lost_plot, words.PLOT_LOST), (share_plot, words.PLOT_SHARE)):
            drawn = draw(points, f"{title}: {caption}")
            lines += ["<figure>", drawn, f"<figcaption>{escape(caption)}</figcaption>", "</figure>"]
        lines.append("</div>")
    return lines


def _table(rows: Sequence[Sequence[str]], texts: tuple[int, ...]) -> list[str]:
    def cells(row: Sequence[str], tag: str) -> str:
        kinds = ["" if column in texts else ' class="number"' for column in range(len(row))]
        return "".join(f"<{tag}{kind}>{escape(cell)}</{tag}>" for kind, cell in zip(kinds, row, strict=True))

    lines = ['<div class="scroll"><table>', f"<thead><tr>{cells(rows[0], 'th')}</tr></thead>", "<tbody>"]
    lines += [f"<tr>{cells(row, 'td')}</tr>" for row in rows[1:]]
    return [*lines, "</tbody></table></div>"]
