"""Handing memory back to the system: what threads have freed in pieces the C library otherwise keeps for later."""

from __future__ import annotations

import ctypes
from contextlib import suppress


def give_back() -> None:
    """Hand free memory back where the C library can be asked to, as glibc can; elsewhere do nothing."""
    with suppress(OSError, AttributeError, TypeError):  # no such function, or no library that may be named so
        ctypes.CDLL(None).malloc_trim(0)
