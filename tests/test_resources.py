"""The settings that ship with the program are found by name, in the source tree and in a folder like the package's."""

from __future__ import annotations

from pathlib import Path

import pytest

from matebot import resources
from matebot.errors import UserError
from matebot.resources import config_names, config_text

TOP = Path(__file__).parent.parent / "configs"


def test_every_file_of_the_source_tree_is_named_once_in_order() -> None:
    names = config_names()
    assert list(names) == sorted(path.relative_to(TOP).as_posix() for path in TOP.rglob("*") if path.is_file())
    assert names


def test_the_text_is_that_of_the_file() -> None:
    for name in config_names():
        assert config_text(name) == (TOP / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["", "none.toml", "../pyproject.toml", "profiles", "/etc/hostname"])
def test_any_other_name_is_refused_with_those_there_are(name: str) -> None:
    with pytest.raises(UserError, match=r"expected one of the settings files .+, got '") as refusal:
        config_text(name)
    assert repr(name) in str(refusal.value)
    assert config_names()[0] in str(refusal.value)


def test_the_folder_inside_the_package_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "configs" / "profiles").mkdir(parents=True)
    (tmp_path / "configs" / "profiles" / "quiet.toml").write_text("# quiet\n", encoding="utf-8")
    monkeypatch.setattr(resources, "files", lambda _: tmp_path)
    assert config_names() == ("profiles/quiet.toml",)
    assert config_text("profiles/quiet.toml") == "# quiet\n"
