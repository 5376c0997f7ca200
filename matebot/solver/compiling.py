"""How loops are compiled: by numba, where that library is at hand; what comes of it is kept beside the modules."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.int64]
Truth = NDArray[np.bool_]
_Kernel = TypeVar("_Kernel", bound=Callable[..., Any])


def compiled(kernel: _Kernel) -> _Kernel:
    """Have a loop compiled when it is first called; it lets go of the interpreter."""
    try:
        from numba import njit
    except ImportError:
        return kernel
    return cast("_Kernel", njit(nogil=True, cache=True, error_model="numpy")(kernel))
