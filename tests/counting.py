"""How many cases a test looks at: a few in every run, all of them where everything is tested."""

from __future__ import annotations

import pytest


def counts(few: int, many: int, name: str = "count") -> pytest.MarkDecorator:
    """Have a test run with few cases, and with many where it is marked exhaustive."""
    return pytest.mark.parametrize(name, [few, pytest.param(many, marks=pytest.mark.exhaustive)])


def every_day(few: tuple[str, ...], others: tuple[str, ...], name: str = "ending") -> pytest.MarkDecorator:
    """Have a test run for a few endings, and for the others where it is marked exhaustive."""
    return pytest.mark.parametrize(name, [*few, *(pytest.param(each, marks=pytest.mark.exhaustive) for each in others)])
