"""The report as JSON, the form that a run is continued from.

Written whole and swapped in, so no run leaves half a file.
A requirement that nothing could be measured for neither holds nor fails: ``null``.
The shape is `SHAPE`; ``null`` where a value can be missing is marked by None beside the type.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import chess

from matebot.assess.judging.results import GameResult, ProbeResult, QuestionResult, Result
from matebot.assess.plans.plan import plan_from_data
from matebot.assess.plans.suite import Skipped
from matebot.assess.reports.as_pgn import as_pgn
from matebot.assess.reports.as_text import as_text
from matebot.assess.reports.formats import forms
from matebot.assess.reports.report import AssessmentReport
from matebot.errors import UserError
from matebot.whole_file import write_whole

FORMAT, VERSION = "matebot assessment", 2
_LARGEST = 2**63
_FAULT = {"kind": str, "player": str, "move": int, "text": str}
_SLIP = {
    "ply": int,
    "san": str,
    "best": str,
    "stage": str,
    "before": int,
    "after": int,
    "moves_lost": (int, None),
    "cause": str,
}
_FALSE_MATE = {"player": str, "move": int, "score": str, "truth": str}
_GAME = {
    **dict.fromkeys(("task", "part", "ending", "fen", "goal", "player", "opponent", "colour", "result", "cause"), str),
    "moves": [str],
    "success": bool,
    **dict.fromkeys(("shortest_moves", "played_moves", "excess_moves"), (int, None)),
    "slips": [_SLIP],
    "faults": [_FAULT],
    "false_mates": [_FALSE_MATE],
    "seconds": float,
}
_QUESTION = {
    **dict.fromkeys(("task", "ending", "fen", "player", "score", "move", "best"), str),
    "outcome": int,
    "mate_moves": (int, None),
    "claim": (int, None),
    **dict.fromkeys(("exact", "wrong_outcome", "false_mate", "late_mate", "thrown"), bool),
    "faults": [_FAULT],
    "seconds": float,
}
_PROBE = {**dict.fromkeys(("task", "name", "player", "answer"), str), "faults": [_FAULT], "seconds": float}
#: Key -> type; a list holds one type for its items, a dictionary with the key "*" any keys; a tuple allows either.
SHAPE: dict[str, Any] = {
    "format": str,
    "version": int,
    "plan": {"*": (str, int, float, None, [str], {"*": str})},
    "versions": {"*": str},
    "engines": {"*": {"*": str}},
    "suite_sha256": str,
    "skipped": [{"line": int, "text": str}],
    "tasks": int,
    "complete": bool,
    "measures": {"*": (int, float, None)},
    "measured_over": {"*": int},
    "requirements": [{"text": str, "value": (int, float, None), "holds": (bool, None)}],
    "games": [_GAME],
    "questions": [_QUESTION],
    "probes": [_PROBE],
}
_KINDS: dict[str, type[GameResult] | type[QuestionResult] | type[ProbeResult]] = {
    "games": GameResult,
    "questions": QuestionResult,
    "probes": ProbeResult,
}


class JsonWriter:
    """Writes a report again and again; a result is put into text only once."""

    def __init__(self) -> None:
        self._texts: dict[str, list[str]] = {key: [] for key in _KINDS}
        self._taken = 0

    def text(self, report: AssessmentReport) -> str:
        """Return the whole report, one result a line."""
        for result in report.results[self._taken :]:
            key = next(key for key, kind in _KINDS.items() if isinstance(result, kind))
            self._texts[key].append(json.dumps(result.as_data()))
        self._taken = len(report.results)
        head = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in _head(report).items()]
        tail = [f'  "{key}": [{_lines(texts)}]' for key, texts in self._texts.items()]
        return "{\n" + ",\n".join([*head, *tail]) + "\n}\n"

    def write(self, report: AssessmentReport, path: Path) -> None:
        """Write the report.

        Raises
        ------
        UserError
            when the file cannot be written
        """
        write_whole(path, self.text(report))


def read_report(path: Path) -> AssessmentReport:
    """Return the report in a file.

    Raises
    ------
    UserError
        when it cannot be read or is no report
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as fault:
        raise UserError(f"expected a report of an assessment ({fault}), got {str(path)!r}") from None
    if not isinstance(data, dict) or (data.get("format"), data.get("version")) != (FORMAT, VERSION):
        raise UserError(f"expected a report of the format {FORMAT!r}, version {VERSION}, got {str(path)!r}")
    wrong = misfit(data, SHAPE, "")
    if wrong is not None:
        raise UserError(f"expected a report of an assessment with {wrong}, got {str(path)!r}")
    try:
        return _sound(data)
    except (ValueError, LookupError) as fault:
        raise UserError(f"expected a report of an assessment with sound values ({fault}), got {str(path)!r}") from None


def _sound(data: Mapping[str, Any]) -> AssessmentReport:
    """Return the report of data of the right shape once it is sure that it can be counted and shown in every form."""
    results: list[Result] = [kind.from_data(item) for key, kind in _KINDS.items() for item in data[key]]
    skipped = tuple(Skipped(**item) for item in data["skipped"])
    plan = plan_from_data(data["plan"])
    report = AssessmentReport(
        plan, data["engines"], data["suite_sha256"], skipped, data["tasks"], data["versions"], results
    )
    for result in results:
        if not isinstance(result, ProbeResult):
            board = chess.Board(result.fen)
            for move in result.moves if isinstance(result, GameResult) else ():
                board.push_uci(move)
    for form in (as_text, as_pgn, *forms().values()):
        form(report).encode()
    return report


def misfit(value: Any, shape: Any, where: str) -> str | None:
    """Return what does not fit a shape, None where all does."""
    if isinstance(shape, tuple):
        return None if any(misfit(value, one, where) is None for one in shape) else f"another value at {where!r}"
    if shape is None or isinstance(shape, type):
        fits = value is None if shape is None else _is(value, shape)
        return None if fits else f"{getattr(shape, '__name__', 'null')} at {where!r}"
    if isinstance(shape, list):
        if not isinstance(value, list):
            return f"a list at {where!r}"
        return next((wrong for item in value if (wrong := misfit(item, shape[0], f"{where}[]"))), None)
    if not isinstance(value, dict):
        return f"an object at {where!r}"
    every: Mapping[str, Any] = dict.fromkeys(value, shape["*"]) if "*" in shape else shape
    if every.keys() != value.keys():
        return f"the keys {', '.join(every)} at {where!r}"
    return next((wrong for key, one in every.items() if (wrong := misfit(value[key], one, f"{where}.{key}"))), None)


def _is(value: Any, kind: type) -> bool:
    if isinstance(value, bool):
        return kind is bool
    fits = isinstance(value, (int, float) if kind is float else kind)
    # No count, time or measure is larger; so asked, "not a number" is refused too.
    return fits and (not isinstance(value, (int, float)) or abs(value) <= _LARGEST)


def _head(report: AssessmentReport) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "plan": report.plan.as_data(),
        "versions": dict(report.versions),
        "engines": {player: dict(about) for player, about in report.engines.items()},
        "suite_sha256": report.suite_sha256,
        "skipped": [{"line": item.line, "text": item.text} for item in report.skipped],
        "tasks": report.tasks,
        "complete": report.complete,
        "measures": {name: value for name, (value, _) in report.measured().items()},
        "measured_over": {name: over for name, (_, over) in report.measured().items()},
        "requirements": [
            {"text": item.text, "value": found.value, "holds": holds} for item, found, holds in report.requirements()
        ],
    }


def _lines(texts: list[str]) -> str:
    return "\n    " + ",\n    ".join(texts) + "\n  " if texts else ""
