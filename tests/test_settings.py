"""Settings out of measure are refused in one line by the one reader that profiles and plans share."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from matebot.assess.plans.plan import read_plan
from matebot.cli import main
from matebot.errors import UserError
from matebot.profiles import read_profile
from matebot.resources import config_names
from matebot.settings import MOST_BYTES, read_settings, setting_names

READERS: list[Callable[[str], object]] = [read_profile, read_plan]
#: A text no settings have -> what is said about it.
MONSTERS = {
    "brackets nested 100,000 deep": (f"a = {'[' * 100_000}", "at most 64 KiB"),
    "brackets nested a thousand deep": (f"a = {'[' * 1_000}", "nested more than 16 deep"),
    "brackets nested a hundred deep": (f"a = {'[' * 100}{']' * 100}", "nested more than 16 deep"),
    "tables nested in a key": (f"count.{'.'.join('a' * 500)} = 1", "nested more than 16 deep"),
    "a number of 5,000 digits": (f"count = {'9' * 5_000}", "lines of at most 1024 characters"),
    "a number of a thousand digits": (f"a = [\n{'9' * 1_000}\n]", "a number of more than 128 bits"),
    "a hexadecimal number of a thousand digits": (f"count = 0x{'f' * 1_000}", "a number of more than 128 bits"),
    "a dotted key of 400 kB": (f"{'a.' * 200_000}a = 1", "at most 64 KiB"),
    "a dotted key of 60 kB": (f"{'a.' * 30_000}a = 1", "lines of at most 1024 characters"),
    "half a line": ("count = ", "expected TOML"),
    "a terminal's commands": ("\x1b[2J = \x07", "expected TOML"),
}


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("monster", MONSTERS)
def test_what_no_settings_have_is_refused_in_one_line(
    read: Callable[[str], object], monster: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text, reason = MONSTERS[monster]
    monkeypatch.chdir(tmp_path)
    Path("own.toml").write_text(text)
    with pytest.raises(UserError) as refusal:
        read("own.toml")
    said = str(refusal.value)
    assert said.startswith("own.toml: expected ")
    assert reason in said
    assert said.isprintable()
    assert len(said) < 300


@pytest.mark.parametrize("monster", MONSTERS)
@pytest.mark.parametrize("command", [["uci", "--profile"], ["assess", "--engine", "matebot", "--plan"]])
def test_a_command_ends_with_status_2_and_one_line(
    command: list[str], monster: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "own.toml"
    path.write_text(MONSTERS[monster][0])
    assert main([*command, str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1
    assert MONSTERS[monster][1] in err


def test_many_long_keys_within_the_limits_are_refused_before_they_take_time(tmp_path: Path) -> None:
    """Each line is as long as it may be; the number of them is what the size allows."""
    lines = [f"a{number}.{'.'.join('a' * 505)} = 1" for number in range(63)]
    assert max(map(len, lines)) <= 1024
    path = tmp_path / "own"
    path.write_text("\n".join(lines))
    with pytest.raises(UserError, match="nested more than"):
        read_settings(str(path), "plans", "thing")


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("name", ["", "nobody", "no/such/file.toml", "a\nb"])
def test_an_unknown_name_is_refused_with_those_there_are(read: Callable[[str], object], name: str) -> None:
    with pytest.raises(UserError, match=r"^expected a (plan|profile) \(b.+\) or a file, got '.*'$"):
        read(name)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("name", ["a\0b", "a\ud800b", "a" * 5_000])
def test_a_name_no_system_takes_is_refused_in_one_line(read: Callable[[str], object], name: str) -> None:
    with pytest.raises(UserError, match=r"^expected a (plan|profile) that can be read \(.+\), got '.+'$"):
        read(name)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no such files here")
def test_only_regular_files_are_read_and_nothing_waits(read: Callable[[str], object], tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path in (pipe, tmp_path, Path("/dev/zero")):
        with pytest.raises(UserError, match=r"that can be read \(not a regular file\)"):
            read(str(path))


def test_bytes_that_are_no_text_are_refused_and_a_byte_order_mark_is_not(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(UserError, match="expected a thing that can be read"):
        read_settings(str(path), "plans", "thing")
    path.write_text("\ufeffa = 1", encoding="utf-8")
    assert read_settings(str(path), "plans", "thing") == ({"a": 1}, path)


def test_everything_that_ships_is_read_by_name_and_far_from_the_limits() -> None:
    folders = ("lessons", "plans", "profiles")
    names = {f"{folder}/{name}.toml" for folder in folders for name in setting_names(folder)}
    assert names == {name for name in config_names() if name.endswith(".toml")}
    for folder in folders:
        for name in setting_names(folder):
            values, path = read_settings(name, folder, "thing")
            assert values["description"]
            assert path is None
            assert len(repr(values)) < MOST_BYTES / 16
