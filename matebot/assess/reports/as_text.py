"""The report for people: tables of measures, faults, stages and requirements; as plain text and as Markdown."""

from __future__ import annotations

from collections.abc import Sequence

from matebot import quoting
from matebot.assess.judging.measures import AGAINST_PREFIX, MEASURES
from matebot.assess.judging.results import AGAINST, ENGINE, FAULTS, GameResult, QuestionResult, Result
from matebot.assess.reports.report import AssessmentReport, Form, first_faults, quantity, stages
from matebot.quoting import as_code, shown

Row = tuple[str, ...]
_MOST_CASES = 20
#: Characters that are shown of what stands in a cell, and of the story of one result.
_MOST_OF_A_CELL, MOST_OF_A_CASE = 300, 1500
_FAULT_MEASURES = frozenset(f"{kind.replace(' ', '_')}_faults" for kind in FAULTS)


def tables(report: AssessmentReport) -> list[tuple[str, Row, list[Row]]]:
    """Return the tables of a report: title, headings, rows; empty ones are left out."""
    players = [player for player in (ENGINE, AGAINST) if player in report.engines]
    found = [_measures(report, players)]
    first = {player: sorted(first_faults(report.results, player).items()) for player in players}
    for player in players:
        faults: list[Row] = [(kind, str(times), text) for kind, (times, text) in first[player]]
        found.append((f"Faults of {report.name(player)}", ("fault", "times", "first"), faults))
        games = [game for game in report.games if game.player == player]
        where = ("ending", "stage", "wins thrown", "moves lost")
        found.append((f"Where {report.name(player)} went wrong", where, _stages(games)))
    found.append(("Requirements", ("requirement", "measured", "holds"), _requirements(report)))
    found.append(("Positions left out", ("line", "reason"), [(str(s.line), s.text) for s in report.skipped]))
    return [(title, head, rows) for title, head, rows in found if rows]


def as_text(report: AssessmentReport) -> str:
    """Return the report as plain text for a terminal."""
    lines = [shown(_title(report)), ""]
    for title, head, rows in tables(report):
        lines += [shown(title), *_columns([head, *rows]), ""]
    if not report.complete:
        lines += [f"not finished: {len(report.results)} of {report.tasks} done", ""]
    return "\n".join(lines)


def as_markdown(report: AssessmentReport) -> str:
    """Return the report in Markdown."""
    lines = [f"# {quoting.as_markdown(_title(report))}", "", *_settings(report), ""]
    for title, head, rows in tables(report):
        lines += [f"## {quoting.as_markdown(title)}", "", _row(head), f"|{' --- |' * len(head)}", *map(_row, rows), ""]
    wrong = [item for item in report.results if not item.success]
    if wrong:
        texts = (quoting.as_markdown(case_text(item), MOST_OF_A_CASE) for item in wrong[:_MOST_CASES])
        lines += ["## What went wrong", "", *(f"- {text}" for text in texts)]
        lines += [f"- and {len(wrong) - _MOST_CASES} more"] if len(wrong) > _MOST_CASES else []
        lines.append("")
    return "\n".join(lines)


def case_text(result: Result) -> str:
    """Return one result in a line: what it was and how it ended."""
    faults = "; ".join(f"{fault.kind} by {fault.player}: {fault.text}" for fault in result.faults)
    if isinstance(result, GameResult):
        slip = next((f"; {s.san} instead of {s.best}" for s in result.slips if s.moves_lost is None), "")
        text = f"{result.task}, {result.ending} {result.fen}: {result.result}, {result.cause}{slip}"
        for false in result.false_mates[:1]:
            text += f"; {false.player} announced {false.score} at move {false.move}, in truth {false.truth}"
    elif isinstance(result, QuestionResult):
        truth = "drawn" if result.mate_moves is None else f"mate {result.outcome * result.mate_moves}"
        text = f"{result.task}, {result.ending} {result.fen}: {truth}, answered {result.score or 'no score'}"
        text += f" and {result.move or 'no move'}"
    else:
        text = f"{result.task}, {result.name}"
    return f"{text}; {faults}" if faults else text


def _title(report: AssessmentReport) -> str:
    name = report.name(ENGINE)
    return f"{name} against {report.name(AGAINST)}" if AGAINST in report.engines else f"Assessment of {name}"


def _measures(report: AssessmentReport, players: Sequence[str]) -> tuple[str, Row, list[Row]]:
    values = report.measured()
    rows = []
    for name, measure in MEASURES.items():
        if name not in values:
            continue
        made = [values[(AGAINST_PREFIX if player == AGAINST else "") + name] for player in players]
        found = [one.value for one in made]
        if any(value is not None for value in found) and not (name in _FAULT_MEASURES and not any(found)):
            rows.append((name, measure.text, *(quantity(measure.kind, one) for one in made)))
    heads = [report.name(player) for player in players]
    return "Measures", ("measure", "what it counts", *heads), rows


def _stages(games: Sequence[GameResult]) -> list[Row]:
    return [
        (ending, stage or "(no stage)", str(thrown), str(lost))
        for (ending, stage), (thrown, lost) in stages(games).items()
    ]


def _requirements(report: AssessmentReport) -> list[Row]:
    return [
        (item.text, quantity(item.kind, found), {True: "yes", False: "NO", None: "not measured"}[holds])
        for item, found, holds in report.requirements()
    ]


def _settings(report: AssessmentReport) -> list[str]:
    set_values = {key: value for key, value in report.plan.as_data().items() if value not in (None, "", (), {})}
    lines = [f"- {key}: {as_code(_setting(value), MOST_OF_A_CASE)}" for key, value in set_values.items()]
    lines += [f"- {name} {version}" for name, version in report.versions.items()]
    return [*lines, f"- {len(report.results)} of {report.tasks} done"]


def _setting(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name}={one}" for name, one in value.items())
    return ", ".join(value) if isinstance(value, tuple) else str(value)


def _columns(rows: Sequence[Row]) -> list[str]:
    rows = [tuple(shown(cell, _MOST_OF_A_CELL) for cell in row) for row in rows]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    return ["  " + "  ".join(f"{cell:<{w}}" for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]


def _row(cells: Row) -> str:
    return f"| {' | '.join(quoting.as_markdown(cell, _MOST_OF_A_CELL) for cell in cells)} |"


FORM = Form(".md", as_markdown)
