"""The forms of a report that are written to files beside the JSON it is continued from.

A form is a file here that ends with its `FORM`; nothing else need be touched.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from matebot.assess import reports
from matebot.assess.reports.report import AssessmentReport


@cache
def forms() -> Mapping[str, Callable[[AssessmentReport], str]]:
    """Return what writes a report, by the ending of the file's name."""
    modules = (import_module(f"{reports.__name__}.{found.name}") for found in iter_modules(reports.__path__))
    return {form.ending: form.text for module in modules if (form := getattr(module, "FORM", None)) is not None}
