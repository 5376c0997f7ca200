"""The version of the program by which the figures of the ladders were proved, and the way to read them."""

from __future__ import annotations

from matebot.method.plan import Figures, Plan

PROVED_BY = "0.1.0"


def proved_figures(plan: Plan) -> Figures:
    """Return what was proved about a ladder, the means to four places.

    Raises
    ------
    LookupError
        when nothing has been proved of it
    """
    if plan.figures is None:
        raise LookupError(f"expected a ladder that has been proved, got {plan.name!r}")
    return plan.figures
