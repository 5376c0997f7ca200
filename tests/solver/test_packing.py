"""The ways of packing rows: the same codes come back, and what is damaged is never taken for codes."""

from __future__ import annotations

import lzma
import tracemalloc
import zlib
from collections.abc import Callable

import numpy as np
import pytest
import zstandard
from hypothesis import given
from hypothesis import strategies as st

from matebot.solver import packing
from matebot.solver.material import Material
from matebot.solver.packing import Packing, Unusable, packing_of
from matebot.solver.sources import Damaged, Memory
from matebot.solver.table_file import Kept, packed

WAYS = {"zlib": (2, 2), "LZMA": (3, 6), "zstandard": (3, 5)}
#: Each library's own, called here by itself.
_UNPACKED: dict[str, Callable[[bytes], bytes]] = {
    "zlib": zlib.decompress,
    "LZMA": lzma.decompress,
    "zstandard": zstandard.decompress,
}
_PACKED: dict[str, Callable[[bytes], bytes]] = {
    "zlib": zlib.compress,
    "LZMA": lzma.compress,
    "zstandard": zstandard.compress,
}


def _way(name: str) -> Packing:
    way = packing_of(*WAYS[name])
    assert isinstance(way, Packing)
    return way


@pytest.mark.parametrize("name", WAYS)
@given(codes=st.binary(max_size=2_000))
def test_codes_come_back_and_are_packed_as_the_library_itself_does(name: str, codes: bytes) -> None:
    way = _way(name)
    short = way.pack(np.frombuffer(codes, np.uint8))
    assert way.unpack(short, len(codes)) == _UNPACKED[name](short) == codes


@pytest.mark.parametrize("name", WAYS)
@given(codes=st.binary(min_size=1, max_size=200), data=st.data())
def test_what_was_changed_or_cut_is_found_or_gives_the_same_codes(name: str, codes: bytes, data: st.DataObject) -> None:
    """A byte may stand for nothing, as one of the system that packed it; a checksum finds all others."""
    way = _way(name)
    whole = way.pack(np.frombuffer(codes, np.uint8))
    place = data.draw(st.integers(0, len(whole) - 1))
    changed = bytearray(whole)
    changed[place] ^= data.draw(st.integers(1, 255))
    for spoilt in (bytes(changed), whole[:place], whole + b"\0"):
        try:
            assert way.unpack(spoilt, len(codes)) == codes
        except Unusable:
            continue
        assert len(spoilt) >= len(whole)


@pytest.mark.parametrize("name", WAYS)
def test_codes_of_another_size_are_refused_and_what_is_far_too_long_is_not_unpacked(name: str) -> None:
    way = _way(name)
    for size in (63, 65):
        with pytest.raises(Unusable, match="is of wrong length"):
            way.unpack(_PACKED[name](bytes(size)), 64)
    bomb = _PACKED[name](bytes(1 << 25))
    tracemalloc.start()
    try:
        with pytest.raises(Unusable, match="is of wrong length"):
            way.unpack(bomb, 64)
        assert tracemalloc.get_traced_memory()[1] < 1 << 24  # LZMA's own room is 8 MiB
    finally:
        tracemalloc.stop()


def test_without_zstandard_rows_of_five_men_are_packed_by_lzma_and_those_it_packed_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert packing.packing(3).version == 5
    monkeypatch.setattr(packing, "_has_zstandard", lambda: False)
    assert packing.packing(3).version == 6
    assert packing.packing(2).version == 2
    assert [isinstance(packing_of(*asked), Packing) for asked in ((2, 2), (3, 3), (3, 6))] == [True] * 3
    material = Material.parse("KBBBK", largest=5)
    nothing = packed(material, [], lambda: False)
    assert nothing[0][16:20] == (6).to_bytes(4, "little")
    for version in (4, 5):
        head = nothing[0][:16] + version.to_bytes(4, "little") + nothing[0][20:]
        with pytest.raises(Damaged, match="is packed by zstandard, which is not installed"):
            Kept(material, Memory([head, *nothing[1:]]))


@pytest.mark.parametrize(("version", "arranged"), [(3, False), (4, False), (5, True), (6, True)])
def test_only_the_newer_files_of_five_men_tell_how_their_parts_are_laid_out(version: int, arranged: bool) -> None:
    way = packing_of(3, version)
    assert isinstance(way, Packing)
    assert (way.version, way.arranged, way.in_parts) == (version, arranged, True)
