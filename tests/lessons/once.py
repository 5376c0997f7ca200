"""What is taught of a ladder, made once for all tests and commands of a worker."""

from __future__ import annotations

from matebot.lessons.taught import Taught
from matebot.lessons.teaching import SEED, teach
from matebot.method.library import Library
from matebot.method.plan import Figures, Plan
from matebot.method.proved import proved_figures

_TAUGHT: dict[tuple[str, Figures, int, bool], Taught] = {}


def taught_once(
    library: Library, plan: Plan, figures: Figures | None = None, seed: int = SEED, mirror: bool = False
) -> Taught:
    """Do as `teach`, but do not teach the same again."""
    wanted = plan.name, figures or proved_figures(plan), seed, mirror
    if wanted not in _TAUGHT:
        _TAUGHT[wanted] = teach(library, plan, figures, seed, mirror)
    return _TAUGHT[wanted]
