"""Handing memory back to the system: what is freed in pieces the C library otherwise keeps for later."""

from __future__ import annotations

import ctypes
from contextlib import suppress

#: `M_TRIM_THRESHOLD` and `M_MMAP_THRESHOLD` of glibc's <malloc.h>.
_KEPT_FREE, _MAPPED_FROM = -1, -3
#: Sets of five men take 20 MiB and more; those of pawns on one rank, rows and parts stay below.
_LARGE_BYTES = 12 << 20
#: What is free at the end of the heap is kept up to so much, for the next small array; `give_back` hands it back.
_KEPT_BYTES = 1 << 28


def give_back() -> None:
    """Hand free memory back where the C library can be asked to, as glibc can; elsewhere do nothing."""
    with suppress(OSError, AttributeError, TypeError):  # no such function, or no library that may be named so
        ctypes.CDLL(None).malloc_trim(0)


def map_large_arrays() -> None:
    """Have each large array mapped by itself from now on, so that it goes back as soon as it is let go.

    glibc takes arrays of up to 32 MiB from its heap once one of their size has been freed, and the heap, in pieces,
    keeps a gigabyte when several endings of five men are solved one after the other. What the heap has free it then
    keeps for the next smaller array, since to have its pages anew takes longer. Elsewhere nothing is done.
    """
    with suppress(OSError, AttributeError, TypeError):
        library = ctypes.CDLL(None)
        library.mallopt(_MAPPED_FROM, _LARGE_BYTES)
        library.mallopt(_KEPT_FREE, _KEPT_BYTES)
