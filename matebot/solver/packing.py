"""The ways in which the rows of a file are packed, each with the version of the files that hold it.

Up to four men rows are packed whole by zlib. With five they are packed in parts, by zstandard where that is
installed, which takes a tenth of the time of LZMA, the way without it. Each way keeps a checksum of its own with what
it packs.
"""

from __future__ import annotations

import lzma
import threading
import zlib
from abc import ABC, abstractmethod
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec
from typing import Any, Protocol

from matebot.solver.geometry import Codes


class Unusable(Exception):
    """Packed codes that cannot be unpacked; the text says why, after the words "the row"."""


class Packing(ABC):
    """A way to pack codes.

    Attributes
    ----------
    version : of the files whose rows are packed so
    in_parts : whether a row is packed in parts, in its short form
    arranged : whether a file tells how the parts are laid out (`parting`); in older files all are laid out alike
    """

    version: int
    in_parts: bool
    arranged: bool

    @abstractmethod
    def pack(self, codes: Codes) -> bytes:
        """Return codes packed; may be called on several threads at once."""

    @abstractmethod
    def unpack(self, packed: bytes | memoryview, size: int) -> bytes:
        """Return the codes that were packed, of which there must be so many.

        Raises
        ------
        Unusable
            when they are damaged, fewer or more
        """


class _Stream(Protocol):
    """What unpacks a stream; `eof` once it has come to the end and found its sum right."""

    @property
    def eof(self) -> bool: ...

    def decompress(self, data: bytes | memoryview, max_length: int, /) -> bytes: ...


def _drained(stream: _Stream, packed: bytes | memoryview, size: int) -> bytes:
    """Unpack one byte more than there should be: room to see what is too long, and to come to the checksum."""
    try:
        codes = stream.decompress(packed, size + 1)
    except (zlib.error, lzma.LZMAError) as fault:
        raise Unusable(f"is damaged ({fault})") from None
    if len(codes) != size or not stream.eof:
        raise Unusable("is of wrong length")
    return codes


class _Zlib(Packing):
    version, in_parts, arranged = 2, False, False

    def pack(self, codes: Codes) -> bytes:
        return zlib.compress(codes.data, 1)

    def unpack(self, packed: bytes | memoryview, size: int) -> bytes:
        return _drained(zlib.decompressobj(), packed, size)


class _InParts(Packing):
    in_parts = True

    def __init__(self, version: int, arranged: bool) -> None:
        self.version, self.arranged = version, arranged


class _Lzma(_InParts):
    _FILTERS = ({"id": lzma.FILTER_LZMA2, "preset": 0, "mf": lzma.MF_HC4, "depth": 8, "pb": 0, "lc": 0},)

    def pack(self, codes: Codes) -> bytes:
        return lzma.compress(codes.data, check=lzma.CHECK_CRC32, filters=self._FILTERS)

    def unpack(self, packed: bytes | memoryview, size: int) -> bytes:
        return _drained(lzma.LZMADecompressor(), packed, size)


#: Each thread's own: they may not be shared, and one that is used again saves a quarter of the time.
_tools = threading.local()


def _tool(name: str, make: Callable[[], Any]) -> Any:
    """Return this thread's tool of a name."""
    found = getattr(_tools, name, None)
    if found is None:
        found = make()
        setattr(_tools, name, found)
    return found


class _Zstandard(_InParts):
    def pack(self, codes: Codes) -> bytes:
        packed: bytes = _tool("compressor", self._compressor).compress(codes.data)
        return bytes(memoryview(packed))  # a copy: what was cut short keeps the room after it from being used again

    def unpack(self, packed: bytes | memoryview, size: int) -> bytes:
        import zstandard

        try:  # the size stands in the frame, so that what is too long is not unpacked
            if zstandard.get_frame_parameters(packed).content_size != size:
                raise Unusable("is of wrong length")
            tool = _tool("decompressor", zstandard.ZstdDecompressor)
            codes: bytes = tool.decompress(packed, allow_extra_data=False)
        except zstandard.ZstdError as fault:
            raise Unusable(f"is damaged ({fault})") from None
        return codes

    def _compressor(self) -> Any:
        """Return a compressor with a short memory, which on these codes is as good as one with a long memory.

        The greedy search takes two thirds of the time of the lazy one, for 2 to 5 parts in a hundred more room, and
        that half the time of the next better one, for 1 to 3 parts more; the best parse would gain 6 and 4 more, in
        ten times as long.
        """
        import zstandard

        settings = zstandard.ZstdCompressionParameters(
            strategy=zstandard.STRATEGY_GREEDY,
            window_log=15,
            hash_log=13,
            chain_log=13,
            search_log=2,
            min_match=6,
            target_length=64,
            write_checksum=True,
            write_content_size=True,
        )
        return zstandard.ZstdCompressor(compression_params=settings)


_SMALL, _PLAIN, _QUICK = _Zlib(), _Lzma(6, arranged=True), _Zstandard(5, arranged=True)
#: Of five men, all that can be read.
_LARGE = (_PLAIN, _QUICK, _Lzma(3, arranged=False), _Zstandard(4, arranged=False))


@cache
def _has_zstandard() -> bool:
    return find_spec("zstandard") is not None


def packing(men: int) -> Packing:
    """Return the way to pack the rows of an ending with so many men beside the kings."""
    if men < 3:
        return _SMALL
    return _QUICK if _has_zstandard() else _PLAIN


def packing_of(men: int, version: int) -> Packing | str:
    """Return the way in which a file's rows are packed, or why they cannot be read."""
    for way in (_SMALL,) if men < 3 else _LARGE:
        if way.version == version:
            if isinstance(way, _Zstandard) and not _has_zstandard():
                return "is packed by zstandard, which is not installed"
            return way
    return f"has format version {version}, not {packing(men).version}"
