"""A signal is taken while something is waited for, also one that comes just before the wait, and nothing is missed."""

from __future__ import annotations

import ctypes
import os
import select
import signal
import sys
from collections.abc import Callable, Iterator
from functools import partial
from operator import call
from types import FrameType
from typing import Any

import pytest

from matebot.wakeful import until_readable

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="files cannot be waited for")


@pytest.fixture
def pipe() -> Iterator[tuple[int, int]]:
    reading, writing = os.pipe()
    yield reading, writing
    os.close(reading)
    os.close(writing)


def interrupted_before(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function that is another, with an interruption just before: C calls C, so no handler runs between."""
    interrupt = partial(ctypes.CDLL(None)["raise"], int(signal.SIGINT))
    return lambda *details: list(map(call, (interrupt, partial(function, *details))))[-1]


def test_a_signal_just_before_the_sleep_is_taken(pipe: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(select, "select", interrupted_before(select.select))
    with pytest.raises(KeyboardInterrupt):
        until_readable(pipe[0])


def test_a_handler_that_raises_nothing_does_not_end_the_wait(
    pipe: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def write(number: int, frame: FrameType | None) -> None:
        os.write(pipe[1], b"x")

    earlier = signal.signal(signal.SIGINT, write)
    try:
        monkeypatch.setattr(select, "select", interrupted_before(select.select))
        until_readable(pipe[0])
    finally:
        signal.signal(signal.SIGINT, earlier)
    assert os.read(pipe[0], 10)[:1] == b"x"


def test_what_has_ended_can_be_read() -> None:
    reading, writing = os.pipe()
    os.close(writing)
    until_readable(reading)
    assert os.read(reading, 1) == b""
    os.close(reading)
    with pytest.raises(OSError, match="Bad file descriptor"):
        until_readable(reading)
