"""The ladders in the trade's words, a file a family; White is the stronger side.

The zones are chosen so that a pupil sees on the board which stage it is; that each ladder covers every won position,
and how long it lasts at most, is computed (`ladder`, `proof`). A new ladder is a file with its `LADDERS` and nothing
else: it is found here, and what is taught, listed and practised follows from what it says.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from matebot.method.plan import Plan

_LARGEST_SOLVED_UNASKED = 4


def discovered() -> dict[str, tuple[Plan, ...]]:
    """Return the plans of all files here, in their places, by ending."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    plans = sorted((plan for module in modules for plan in getattr(module, "LADDERS", ())), key=lambda plan: plan.place)
    found: dict[str, tuple[Plan, ...]] = {}
    for plan in plans:
        found[plan.ending] = (*found.get(plan.ending, ()), plan)
    return found


#: Every plan by ending; the first is the one the engine follows.
ALL_PLANS = discovered()
#: Those of up to four men, and those of five, for positions of whose ending and ladder there are files.
PLANS = {ending: plans for ending, plans in ALL_PLANS.items() if len(ending) <= _LARGEST_SOLVED_UNASKED}
LARGE_PLANS = {ending: plans for ending, plans in ALL_PLANS.items() if ending not in PLANS}
