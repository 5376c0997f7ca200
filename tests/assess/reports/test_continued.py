"""A continued report brings every form up to date, and runs and writes nothing the user has not agreed to."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.assess.command import Assess, small


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a finished run with two questions."""
    folder = tmp_path_factory.mktemp("whole")
    assess = Assess(folder)
    words = ("--suite", assess.suite(), "--as", "analysis", "--report", str(folder / "broken.xml"))
    assert assess(*assess.engine("none"), *words, report="broken.json").status == 0
    return folder


@pytest.fixture
def broken(whole: Path, assess: Assess, tmp_path: Path) -> Path:
    """Return a report of such a run of which the last question is missing, with another form beside it."""
    path = tmp_path / "broken.json"
    data = json.loads((whole / path.name).read_text().replace(str(whole), str(tmp_path)))
    assess.suite()
    data["questions"].pop()
    data["complete"] = False
    path.write_text(json.dumps(data))
    (tmp_path / "broken.xml").write_text("old")
    return path


def changed(path: Path, **values: object) -> None:
    data = json.loads(path.read_text())
    data["plan"].update(values)
    path.write_text(json.dumps(data))


def test_every_report_asked_for_then_and_now_is_brought_up_to_date(
    assess: Assess, broken: Path, tmp_path: Path
) -> None:
    words = ("--engine", small("none"), "--report", str(tmp_path / "new.md"))
    run = assess("--continue", str(broken), *words, report="new.json")
    assert run.status == 0
    assert run.report["complete"]
    assert json.loads(broken.read_text())["complete"]
    assert len(run.report["questions"]) == 2
    assert "<testsuites" in (tmp_path / "broken.xml").read_text()
    assert (tmp_path / "new.md").read_text().startswith("# Assessment of")


@pytest.mark.parametrize("other", [(), ("--engine", "no-such-engine-anywhere"), ("--engine", "matebot")])
def test_a_command_nobody_gave_is_named_and_not_run(
    assess: Assess, broken: Path, tmp_path: Path, other: tuple[str, ...]
) -> None:
    ran = tmp_path / "ran"
    changed(broken, engine=f"touch {ran}")
    said = assess.error("--continue", str(broken), *other)
    assert f"expected --engine 'touch {ran}', which the report runs, or --yes, got" in said
    assert (other[1] if other else "got none") in said
    assert not ran.exists()


def test_a_command_is_run_when_it_is_agreed_to_and_named_first(assess: Assess, broken: Path) -> None:
    run = assess("--continue", str(broken), "--yes")
    assert run.status == 0
    assert run.err.startswith(f"matebot: continues with {small('none')!r}\n")


def test_a_second_command_is_asked_for_as_well(assess: Assess, broken: Path, tmp_path: Path) -> None:
    changed(broken, against=f"touch {tmp_path / 'ran'}", selection="attack")
    said = assess.error("--continue", str(broken), "--engine", small("none"))
    assert "expected --against" in said
    assert not (tmp_path / "ran").exists()


@pytest.mark.parametrize("key", ["pgn", "report"])
def test_a_file_elsewhere_is_written_only_when_it_is_agreed_to(
    assess: Assess, broken: Path, tmp_path: Path, key: str
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    for place in (elsewhere / "x.md", tmp_path / "elsewhere" / ".." / "elsewhere" / "x.md"):
        changed(broken, **{key: str(place) if key == "pgn" else [str(place)]})
        words = ("--continue", str(broken), "--engine", small("none"))
        assert f"writes outside its folder, got {str(place)!r}" in assess.error(*words)
    assert not any(elsewhere.iterdir())
    assert assess(*words, f"--{key}", str(place)).status == 0
    assert (elsewhere / "x.md").exists()
