"""A file is written whole or not at all, in every place a file may stand; what killed writers leave is swept."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from matebot.errors import UserError
from matebot.whole_file import check_place, whole_file, write_whole

posix = pytest.mark.skipif(os.name != "posix", reason="there are no such files or signals here")
#: A writer that has begun and waits.
WRITER = """
import sys
from pathlib import Path
from matebot.whole_file import whole_file
with whole_file(Path(sys.argv[1])) as write:
    write(b"half")
    print("begun", flush=True)
    sys.stdin.readline()
    write(b" and half")
"""


@contextmanager
def writer(path: Path) -> Iterator[subprocess.Popen[str]]:
    """Give a process that is writing a file."""
    command = [sys.executable, "-c", WRITER, str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "begun\n"
        yield process


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_until_the_end_the_old_text_stays(tmp_path: Path) -> None:
    path = tmp_path / "a"
    write_whole(path, "old")
    with whole_file(path) as write:
        write(b"new")
        assert path.read_text() == "old"
    assert path.read_text() == "new"
    assert names(tmp_path) == ["a"]


@pytest.mark.parametrize("fault", [KeyboardInterrupt, ValueError, UserError])
def test_a_fault_of_the_writer_comes_through_and_leaves_the_old_text(
    tmp_path: Path, fault: type[BaseException]
) -> None:
    path = tmp_path / "a"
    write_whole(path, "old")

    def fail() -> None:
        with whole_file(path) as write:
            write(b"new")
            raise fault

    with pytest.raises(fault):
        fail()
    assert path.read_text() == "old"
    assert names(tmp_path) == ["a"]


@pytest.mark.parametrize("name", ["a\0b", "a\ud800b", "a" * 250])
def test_a_name_that_no_system_takes_is_refused_in_one_line(tmp_path: Path, name: str) -> None:
    for act in (check_place, lambda path: write_whole(path, "x")):
        with pytest.raises(UserError, match=r"^expected a file that can be written \(.+\), got '.+'$") as refusal:
            act(tmp_path / name)
        assert len(str(refusal.value).splitlines()) == 1
    assert names(tmp_path) == []


def test_a_folder_and_a_place_in_no_folder_are_refused_before_the_work(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "no" / "a"):
        with pytest.raises(UserError, match="expected a file in a folder that is there, got"):
            check_place(path)


def test_a_look_at_a_place_changes_nothing_there(tmp_path: Path) -> None:
    check_place(None)
    check_place(tmp_path / "a")
    assert names(tmp_path) == []
    write_whole(tmp_path / "b", "old")
    check_place(tmp_path / "b")
    assert (tmp_path / "b").read_text() == "old"


def test_characters_without_a_place_in_utf_8_are_written_as_such(tmp_path: Path) -> None:
    write_whole(tmp_path / "a", "a\ud800b\udcff")
    assert (tmp_path / "a").read_text() == "a\\ud800b\\udcff"


@posix
def test_what_a_killed_writer_left_is_swept_by_the_next(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    with writer(path) as process:
        process.send_signal(signal.SIGKILL)
    assert len(names(tmp_path)) == 1
    write_whole(path, "new")
    assert names(tmp_path) == ["a.json"]


def test_the_part_of_a_living_writer_stays_and_the_last_to_finish_wins(tmp_path: Path) -> None:
    path = tmp_path / "a"
    with writer(path) as process:
        write_whole(path, "between")
        check_place(path)
        assert len(names(tmp_path)) == 2
        assert path.read_text() == "between"
        assert process.stdin is not None
        process.stdin.write("\n")
    assert process.returncode == 0
    assert path.read_text() == "half and half"
    assert names(tmp_path) == ["a"]


@posix
def test_a_locked_part_stays_even_where_its_number_is_unknown(tmp_path: Path) -> None:
    """The writer may run on another machine, or its number may mean nothing here."""
    path = tmp_path / "a"
    with whole_file(path) as write:
        write(b"new")
        (part,) = tmp_path.iterdir()
        nobody = part.rename(tmp_path / ".a.999999999.0.part")
        write_whole(path, "other")
        assert nobody.exists()
        nobody.rename(part)


def test_the_sweep_leaves_other_files_alone(tmp_path: Path) -> None:
    kept = [".a.12.part", ".b.999999999.0.part", "a.999999999.0.part", ".a.77.999999999.0.part", ".a.x.0.part"]
    for name in kept:
        (tmp_path / name).touch()
    (tmp_path / ".a.999999999.1.part").mkdir()
    (tmp_path / ".a.999999999.0.part").touch()
    write_whole(tmp_path / "a", "x")
    assert names(tmp_path) == sorted([*kept, ".a.999999999.1.part", "a"])


def test_writers_in_one_process_do_not_meet(tmp_path: Path) -> None:
    path = tmp_path / "a"
    with whole_file(path) as one, whole_file(path) as two:
        one(b"one")
        two(b"two")
    assert path.read_text() == "one"
    assert names(tmp_path) == ["a"]


@posix
def test_a_pipe_is_written_to_at_once_and_stays_one(tmp_path: Path) -> None:
    pipe, read = tmp_path / "pipe", []
    os.mkfifo(pipe)
    check_place(pipe)
    reader = threading.Thread(target=lambda: read.append(pipe.read_text()))
    reader.start()
    write_whole(pipe, "all of it")
    reader.join()
    assert read == ["all of it"]
    assert pipe.is_fifo()


@pytest.mark.skipif(not Path("/dev/fd").exists(), reason="open files have no names here")
def test_an_open_pipe_may_be_named_as_shells_name_them() -> None:
    reading, writing = os.pipe()
    try:
        check_place(Path(f"/dev/fd/{writing}"))
        write_whole(Path(f"/dev/fd/{writing}"), "all of it")
        assert os.read(reading, 100) == b"all of it"
    finally:
        os.close(reading)
        os.close(writing)


@posix
def test_a_pipe_closed_at_the_other_end_is_a_fault_in_one_line() -> None:
    reading, writing = os.pipe()
    path = Path(f"/dev/fd/{writing}")
    file = path.open("wb")
    os.close(reading)
    try:
        with pytest.raises(UserError, match="Broken pipe"):
            write_whole(path, "x" * 10)
    finally:
        file.close()
        os.close(writing)
