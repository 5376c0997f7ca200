"""No input line crashes or hangs the session, and nothing but UCI comes out."""

from __future__ import annotations

from pathlib import Path
from random import Random

from tests.conformance.process import Engine
from tests.conformance.rubbish import at_its_end, torment


def test_twenty_thousand_lines_leave_it_alive(tmp_path: Path) -> None:
    with Engine(tmp_path) as engine:
        torment(engine, Random("rubbish"), 20_000)
        at_its_end(engine)
