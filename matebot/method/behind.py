"""Ladders that are solved behind, like the endings they are ladders of; see `matebot.solver.behind`."""

from __future__ import annotations

from functools import partial

from matebot.method.ladder import Rungs
from matebot.method.library import Library
from matebot.method.plan import Plan
from matebot.solver.behind import TablesBehind
from matebot.solver.material import Material


class LibraryBehind(Library):
    """Ladders over tables that are solved behind."""

    def __init__(self, tables: TablesBehind) -> None:
        super().__init__(tables)
        self._behind = tables

    def ladder(self, plan: Plan) -> Rungs:
        """Return a solved plan.

        Raises
        ------
        Stopped
            when whoever asks has no time to wait for it
        """
        if plan.name not in self._ladders:
            self._behind.do_behind(plan.name, Material.parse(plan.ending, largest=5), partial(super().ladder, plan))
        return super().ladder(plan)
