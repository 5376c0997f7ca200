"""What is installed is whole: the settings travel inside the package and are found there, zipped or not.

Builds with the build tool named in pyproject.toml, which is fetched when it is not at hand.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from importlib.metadata import distribution
from importlib.util import find_spec
from pathlib import Path

import pytest

TOP = Path(__file__).parent.parent.parent
SETTINGS = [path.relative_to(TOP).as_posix() for path in (TOP / "configs").rglob("*") if path.is_file()]
#: What is asked of the build tool at hand. Source: PEP 517, build_wheel.
BUILD = """
import sys, tomllib
from importlib import import_module
with open("pyproject.toml", "rb") as file:
    tool = tomllib.load(file)["build-system"]["build-backend"]
import_module(tool).build_wheel(sys.argv[1])
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build from a copy, so that the tree stays as it is."""
    source, target = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    for folder in ("matebot", "configs"):
        shutil.copytree(TOP / folder, source / folder, ignore=shutil.ignore_patterns("__pycache__"))
    for file in (TOP / name for name in ("pyproject.toml", "README.md")):
        if file.exists():
            shutil.copy(file, source)
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(target), str(source)]
    if find_spec("hatchling"):
        command = [sys.executable, "-c", BUILD, str(target)]
    subprocess.run(command, check=True, timeout=110, cwd=source)
    (built,) = target.iterdir()
    return built


def test_the_wheel_holds_the_package_its_settings_and_nothing_else(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert SETTINGS
    assert {f"matebot/{name}" for name in SETTINGS} | {"matebot/py.typed", "matebot/cli.py"} <= set(names)
    assert {name.split("/")[0].split("-")[0] for name in names} == {"matebot"}


def test_the_wheel_carries_the_full_text_of_its_licence(wheel: Path) -> None:
    """The text is python-chess's own copy of the same licence, word for word; addresses of pages have changed since."""
    chess = distribution("chess")
    (theirs,) = [Path(str(chess.locate_file(file))) for file in chess.files or [] if file.name.startswith("LICENSE")]
    archive = zipfile.ZipFile(wheel)
    copies = [name for name in archive.namelist() if name.endswith("LICENSE.txt")]
    assert sorted("dist-info" in name for name in copies) == [False, True]
    for name in copies:
        ours, others = (
            [word for word in text.split() if b"://" not in word] for text in (archive.read(name), theirs.read_bytes())
        )
        assert len(ours) > 5_000
        assert ours == others
    (metadata,) = [name for name in archive.namelist() if name.endswith(".dist-info/METADATA")]
    assert "License-Expression: GPL-3.0-or-later\n" in archive.read(metadata).decode("utf-8").replace("\r\n", "\n")


def test_the_settings_are_read_out_of_the_wheel(wheel: Path, tmp_path: Path) -> None:
    """Run elsewhere and without the user's packages, so that nothing but the wheel can be found."""
    source = f"""
import sys
sys.path[:] = [{str(wheel)!r}, *(path for path in sys.path if "site-packages" not in path)]
from matebot import resources
assert {str(wheel)!r} in resources.__file__, resources.__file__
for name in resources.config_names():
    print("configs/" + name, len(resources.config_text(name)))
"""
    ran = subprocess.run([sys.executable, "-I", "-c", source], capture_output=True, text=True, check=True, cwd=tmp_path)
    found = dict(line.rsplit(maxsplit=1) for line in ran.stdout.splitlines())
    assert found == {name: str(len((TOP / name).read_text(encoding="utf-8"))) for name in SETTINGS}
