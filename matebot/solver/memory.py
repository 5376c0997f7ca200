"""Handing memory back to the system: what is freed in pieces the C library otherwise keeps for later."""

from __future__ import annotations

import ctypes
from contextlib import suppress

#: `M_MMAP_THRESHOLD` of glibc's <malloc.h>.
_MAPPED_FROM = -3
#: Sets of five men take 20 MiB and more; rows and parts stay below.
_LARGE_BYTES = 4 << 20


def give_back() -> None:
    """Hand free memory back where the C library can be asked to, as glibc can; elsewhere do nothing."""
    with suppress(OSError, AttributeError, TypeError):  # no such function, or no library that may be named so
        ctypes.CDLL(None).malloc_trim(0)


def map_large_arrays() -> None:
    """Have each large array mapped by itself from now on, so that it goes back as soon as it is let go.

    glibc takes arrays of up to 32 MiB from its heap once one of their size has been freed, and the heap, in pieces,
    keeps a gigabyte when several endings of five men are solved one after the other. Elsewhere nothing is done.
    """
    with suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).mallopt(_MAPPED_FROM, _LARGE_BYTES)
