"""What works on the sets of an ending: compiled loops for five men where numba is installed, else numpy alone."""

from __future__ import annotations

from math import prod

from matebot.solver.conversions import Spreading
from matebot.solver.crew import Crew, can_compile, is_large
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement
from matebot.solver.sets import Sets


def tools(placement: Placement, crew: Crew, compiled: bool | None = None) -> tuple[Sets, Moves, Spreading]:
    """Return what works on sets, makes moves, and lays back the sets of children.

    `compiled` : by compiled loops; by default where that helps
    """
    if compiled is None:
        compiled = is_large(prod(placement.shape)) and can_compile()
    if not compiled:
        return Sets(crew), Moves(placement, crew), Spreading()
    from matebot.solver.compiled import (
        CompiledMoves,
        CompiledSets,
        CompiledSpreading,
    )  # takes a while, so not before it is needed

    return CompiledSets(crew), CompiledMoves(placement, crew), CompiledSpreading()
