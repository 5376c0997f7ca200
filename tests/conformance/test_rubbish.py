"""No input line crashes or hangs the session, and nothing but UCI comes out."""

from __future__ import annotations

from random import Random

from tests.conformance.process import Engine
from tests.conformance.rubbish import at_its_end, torment


def test_five_thousand_lines_leave_it_alive() -> None:
    with Engine(None) as engine:
        torment(engine, Random("rubbish"), 5_000)
        at_its_end(engine)
