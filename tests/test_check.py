"""The check that guards the project runs what the README tells a newcomer to run."""

from __future__ import annotations

from pathlib import Path

TOP = Path(__file__).parent.parent


def test_the_check_runs_the_test_command_of_the_readme() -> None:
    lines = [line.strip() for line in (TOP / "README.md").read_text(encoding="utf-8").splitlines()]
    (command,) = [line for line in lines if line.endswith(".venv/bin/pytest")]
    assert f"{command} || exit 1" in (TOP / ".ci" / "run").read_text(encoding="utf-8").splitlines()
