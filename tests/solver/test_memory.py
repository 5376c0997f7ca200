"""Handing memory back: less is held afterwards where the C library can do it, and nothing fails where it cannot."""

from __future__ import annotations

import ctypes
import platform
import threading

import psutil
import pytest

from matebot.solver.memory import give_back


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="asks glibc")
def test_what_a_thread_has_freed_in_pieces_goes_back_to_the_system() -> None:
    def pieces() -> None:
        kept.extend([b"-" * 30_000, b"-" * 600] for _ in range(2_000))
        for pair in kept:
            pair[0] = b""

    kept: list[list[bytes]] = []
    thread = threading.Thread(target=pieces)
    thread.start()
    thread.join()
    process = psutil.Process()
    before = process.memory_info().rss
    give_back()
    assert before - process.memory_info().rss > 20_000_000


def test_nothing_is_done_where_the_library_cannot_or_has_no_such_name(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_library(name: str | None) -> object:
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", no_library)
    give_back()
    monkeypatch.setattr(ctypes, "CDLL", lambda name: object())
    give_back()
