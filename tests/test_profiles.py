"""Every shipped profile loads and is described; a faulty one names file, key and what is allowed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from matebot.errors import UserError
from matebot.profiles import read_profile
from matebot.settings import setting_names

README = Path(__file__).parent.parent / "README.md"


@pytest.mark.parametrize("name", setting_names("profiles"))
def test_a_shipped_profile_loads_and_stands_in_the_readme_in_its_own_words(name: str) -> None:
    profile = read_profile(name)
    assert profile.values
    assert f"| `{name}` | {profile.description} |" in README.read_text(encoding="utf-8")


def test_a_profile_may_be_a_file(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text('[options]\nattack = "method"\nPonder = true\n"Defence Margin" = 3\n')
    assert read_profile(str(path)).values == {"Attack": "method", "Ponder": True, "Defence Margin": 3}


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("colour = 1", "own: expected only the keys description, options, got 'colour'"),
        ("options = 1", "own: expected a table for the key 'options', got 1"),
        ("[options]\nAtack = 'method'", "own: expected one of the options Attack, "),
        ("[options]\nAttack = 'wild'", "own: expected one of shortest, method for Attack, got 'wild'"),
        ("[options]\nSeed = -1", "own: expected a whole number from 0 to 2147483647 for Seed, got '-1'"),
        ("[options", "own: expected TOML"),
    ],
)
def test_a_faulty_profile_says_what_is_allowed(
    text: str, complaint: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("own").write_text(text)
    with pytest.raises(UserError, match=re.escape(complaint)):
        read_profile("own")


def test_an_unknown_profile_names_those_there_are() -> None:
    with pytest.raises(UserError, match=r"expected a profile \(before-the-tournament, .*\) or a file, got 'nobody'"):
        read_profile("nobody")
