"""The forms of a report that are written to files beside the JSON it is continued from: ending of the name -> form."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from matebot.assess.reports.as_junit import as_junit
from matebot.assess.reports.as_text import as_markdown
from matebot.assess.reports.report import AssessmentReport

FORMATS: Mapping[str, Callable[[AssessmentReport], str]] = {
    ".xml": as_junit,
    ".md": as_markdown,
}
