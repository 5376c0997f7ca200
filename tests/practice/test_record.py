"""The record keeps what it was given, whatever happens to the processes and the file."""

from __future__ import annotations

import gc
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from matebot.errors import UserError
from matebot.practice import record as module
from matebot.practice.names import clean_name, name_key
from matebot.practice.notes import UNJUDGED, Exercise, Grade, Result
from matebot.practice.reading import unjudged
from matebot.practice.record import APPLICATION, STEPS, NoRecord, Record, record_place
from matebot.practice.writing import forget, has_game, save_over
from tests.practice.games import game, save

#: Ending, side, a kind of slip as older records have it, and its present name.
RENAMED = [
    ("KRK", "attack", "slow", "slow"),
    ("KRK", "defence", "slow", "mated sooner"),
    ("KRK", "attack", "lost", "lost"),
    ("KRKP", "defence", "lost", "draw missed"),
    ("KRKB", "defence", "man and outcome lost", "draw missed"),
    ("KRKB", "attack", "man and outcome lost", "man and outcome lost"),
    ("KQKQ", "defence", "lost", "lost"),
    ("KBNK", "attack", "cage opened", "cage opened"),
    ("KBNK", "attack", "way out left", "way out left"),
]
ROOT = Path(__file__).parent.parent.parent


def refuse(text: str) -> None:
    raise AssertionError(text)


def rows(path: Path, query: str, *values: object) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(query, values).fetchall()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "record.sqlite"


def test_a_record_that_nobody_closes_lets_go_of_its_file(place: Path) -> None:
    """Python 3.13 and later warn of a connection that is left open."""
    record = Record(place, refuse)
    connection = record._connection
    del record
    gc.collect()
    with pytest.raises(sqlite3.ProgrammingError):
        connection.execute("SELECT 1")


def test_a_game_is_written_with_a_row_for_it_and_one_for_each_move_of_the_pupil(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game(grade=Grade.FLAWED, slip="man lost", lost=3))
    assert rows(place, "SELECT name, day, ending, stage, side, result, moves, moves_lost FROM games JOIN pupils p "
                "ON p.id = pupil") == [("Änne", "2026-03-01", "KRK", 3, "attack", "won", 2, 3)]  # fmt: skip
    assert rows(place, "SELECT number, move, slip, moves_lost, seconds FROM moves ORDER BY number") == [
        (1, "b1b4", "man lost", 3, 1.5),
        (2, "b1b4", None, 0, 1.5),
    ]
    assert rows(place, "SELECT grade FROM passages") == [(2,)]


def test_a_game_written_again_takes_the_place_of_what_was_written_of_it(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game(moves=1, result=Result.OPEN, finished=False))
    save(record, game(moves=4))
    assert rows(place, "SELECT result, finished, moves FROM games") == [("won", 1, 4)]
    assert rows(place, "SELECT count(*) FROM moves") == [(4,)]
    assert has_game(record, "one")
    assert not has_game(record, "two")


def test_a_game_that_has_gone_on_since_it_was_read_is_not_written_over(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game(exercise=UNJUDGED, moves=1))
    (read,) = unjudged(record)
    save(record, game(exercise=UNJUDGED, moves=2))
    assert not save_over(record, read, replace(read, result=Result.DRAWN))
    assert rows(place, "SELECT moves, result FROM games") == [(2, "won")]
    (read,) = unjudged(record)
    assert save_over(record, read, replace(read, result=Result.DRAWN))
    assert rows(place, "SELECT moves, result FROM games") == [(2, "drawn")]
    forget(record, "Änne")
    assert not save_over(record, read, read)
    assert rows(place, "SELECT count(*) FROM games") == [(0,)]


def test_pupils_are_told_apart_without_regard_to_case_or_form_of_letters(place: Path) -> None:
    record = Record(place, refuse)
    for number, name in enumerate(["Änne", "änne", "A\u0308nne", " ÄNNE  ", "Straße", "STRASSE", "Øystein", "李 雷"]):
        save(record, game(str(number), name))
    assert [name for (name,) in rows(place, "SELECT name FROM pupils ORDER BY id")] == [
        "Änne", "Straße", "Øystein", "李 雷"
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["O'Brien; DROP TABLE games", '"', "%_", "👩\u200d🎓 Mia", "مریم", "x" * 100])
def test_a_name_may_have_any_letters(place: Path, name: str) -> None:
    record = Record(place, refuse)
    save(record, game(pupil=name))
    assert rows(place, "SELECT name FROM pupils") == [(name,)]
    assert forget(record, name) == 1


@pytest.mark.parametrize("name", ["", "  ", "a\x1b[31m", "a\0b", "\udcff", "x" * 101, "a\u202eb"])
def test_what_cannot_be_shown_on_a_line_is_no_name(name: str) -> None:
    with pytest.raises(UserError, match="expected a pupil's name") as told:
        clean_name(name)
    assert str(told.value).isascii()


def test_a_name_and_its_key_do_not_change_when_taken_again() -> None:
    for name in ("ŉ", "ǰ", "ΐ", "Straße", "İstanbul"):
        assert clean_name(clean_name(name)) == clean_name(name)
        assert name_key(name_key(name)) == name_key(name)


def test_a_pupil_who_is_forgotten_leaves_nothing_in_the_file(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game("one", "Wilhelmine"))
    save(record, game("two", "Bo"))
    assert forget(record, "wilhelmine") == 1
    assert forget(record, "wilhelmine") is None
    record.close()
    left = b"".join(path.read_bytes() for path in place.parent.iterdir())
    assert b"ilhelmine" not in left
    assert rows(place, "SELECT p.name, g.moves FROM games g JOIN pupils p ON p.id = pupil") == [("Bo", 2)]
    assert rows(place, "SELECT count(*) FROM moves") == [(2,)]


def test_an_older_record_is_brought_up_to_date_with_all_it_holds(place: Path) -> None:
    older = Record(place, refuse, steps=STEPS[:1])
    save(older, game())
    older.close()
    assert rows(place, "PRAGMA user_version") == [(1,)]
    newer = Record(place, refuse)
    assert has_game(newer, "one")
    assert rows(place, "PRAGMA user_version") == [(len(STEPS),)]
    assert ("games_of_pupil",) in rows(place, "SELECT name FROM sqlite_master")
    fresh = place.with_name("fresh.sqlite")
    Record(fresh, refuse).close()
    schema = "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name"
    assert rows(place, schema) == rows(fresh, schema)


@pytest.mark.parametrize("version", [1, 2, 3])
def test_slips_of_an_older_record_get_their_present_names_and_what_was_not_judged_is_unknown(
    place: Path, version: int
) -> None:
    older = Record(place, refuse, steps=STEPS[:version])
    for number, (ending, side, slip, _) in enumerate(RENAMED):
        save(older, game(str(number), exercise=Exercise(ending, 1, side), slip=slip, lost=4))
    save(older, game("unjudged", exercise=UNJUDGED))
    older.close()
    newer = Record(place, refuse)
    slips = rows(place, "SELECT slip FROM moves JOIN games g ON g.id = game WHERE number = 1 ORDER BY g.id")
    assert [slip for (slip,) in slips] == [*(new for *_, new in RENAMED), None]
    assert rows(place, "SELECT DISTINCT moves_lost FROM games WHERE key != 'unjudged'") == [(4,)]
    assert rows(place, "SELECT moves_lost FROM games WHERE key = 'unjudged'") == [(None,)]
    assert rows(place, "SELECT DISTINCT m.moves_lost FROM moves m WHERE ending = ''") == [(None,)]
    assert forget(newer, "Änne") == len(RENAMED) + 1
    assert rows(place, "SELECT count(*) FROM moves") == rows(place, "SELECT count(*) FROM passages") == [(0,)]


def test_what_a_move_lost_may_be_unknown(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game(lost=None))
    assert rows(place, "SELECT moves_lost FROM moves ORDER BY number") == [(None,), (0,)]
    assert rows(place, "SELECT g.moves_lost, p.moves_lost FROM games g JOIN passages p") == [(None, None)]


def test_a_migration_that_fails_leaves_the_record_as_it_was(place: Path) -> None:
    save(Record(place, refuse), game())
    with pytest.raises(NoRecord, match="no such table"):
        Record(place, refuse, steps=(*STEPS, ("CREATE TABLE more (n)", "DROP TABLE unknown")))
    record = Record(place, refuse)
    assert has_game(record, "one")
    assert ("more",) not in rows(place, "SELECT name FROM sqlite_master")


def test_the_record_is_marked_as_one_and_written_ahead(place: Path) -> None:
    Record(place, refuse)
    assert rows(place, "PRAGMA application_id") == [(APPLICATION,)]
    assert rows(place, "PRAGMA journal_mode") == [("wal",)]


@pytest.mark.parametrize("content", [b"SQLite format 3\0" + b"\xff" * 4096, b"\0" * 20_000])
def test_a_damaged_file_is_set_aside_and_not_written_over(place: Path, content: bytes) -> None:
    place.parent.mkdir()
    place.write_bytes(content)
    said: list[str] = []
    record = Record(place, said.append)
    save(record, game())
    (aside,) = place.parent.glob("record.damaged-*.sqlite")
    assert aside.read_bytes() == content
    assert len(said) == 1
    assert said[0].startswith("expected a record this program can read")
    assert aside.name in said[0]
    assert has_game(Record(place, refuse), "one")


def test_a_file_damaged_in_the_middle_is_set_aside_when_that_shows(place: Path) -> None:
    record = Record(place, refuse)
    for number in range(50):
        save(record, game(str(number), moves=30))
    record.close()
    content = bytearray(place.read_bytes())
    content[4096 * 4 :] = b"\xaa" * (len(content) - 4096 * 4)
    place.write_bytes(content)
    said: list[str] = []
    record = Record(place, said.append)
    save(record, game("new"))
    (aside,) = place.parent.glob("record.damaged-*.sqlite")
    assert aside.read_bytes()[4096 * 4 :] == content[4096 * 4 :]
    assert len(said) == 1
    assert rows(place, "SELECT key FROM games") == [("new",)]


def test_a_record_of_a_newer_program_is_set_aside_whole(place: Path) -> None:
    save(Record(place, refuse), game())
    with closing(sqlite3.connect(place)) as connection:
        connection.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    said: list[str] = []
    record = Record(place, said.append)
    assert not has_game(record, "one")
    (aside,) = place.parent.glob("record.newer-*.sqlite")
    assert rows(aside, "SELECT key FROM games") == [("one",)]
    assert rows(aside, "PRAGMA user_version") == [(len(STEPS) + 1,)]
    assert f"this one has version {len(STEPS) + 1}" in said[0]


def test_two_files_set_aside_in_one_second_keep_their_own_names(place: Path) -> None:
    place.parent.mkdir()
    ruins = {b"\0" * 5000, b"\0" * 6000}
    for content in ruins:
        place.write_bytes(content)
        Record(place, lambda text: None).close()
        place.unlink()
    assert {path.read_bytes() for path in place.parent.glob("record.damaged-*")} >= ruins


@pytest.mark.parametrize("content", [b'[White "Mia"]\n\n1. Kd4 *\n' * 400, b"short"])
def test_a_file_that_never_was_a_record_is_left_alone_and_refused(place: Path, content: bytes) -> None:
    place.parent.mkdir()
    place.write_bytes(content)
    with pytest.raises(NoRecord, match="it holds something else"):
        Record(place, refuse)
    assert place.read_bytes() == content
    assert list(place.parent.iterdir()) == [place]


def test_a_database_of_another_program_is_left_alone(place: Path) -> None:
    place.parent.mkdir()
    with closing(sqlite3.connect(place)) as connection:
        connection.execute("CREATE TABLE letters (text)")
        connection.commit()
    before = place.read_bytes()
    with pytest.raises(NoRecord, match="belongs to another program"):
        Record(place, refuse)
    assert place.read_bytes() == before


@pytest.mark.parametrize("where", ["", "file/record.sqlite", "folder"])
def test_a_place_that_cannot_hold_a_record_is_told_in_one_line(tmp_path: Path, where: str) -> None:
    (tmp_path / "file").write_text("text")
    (tmp_path / "folder").mkdir()
    with pytest.raises(NoRecord, match="expected a record that can be read and written") as told:
        Record(tmp_path / where, refuse)
    assert "\n" not in str(told.value)


def test_a_record_taken_away_under_way_is_begun_anew(place: Path) -> None:
    record = Record(place, refuse)
    save(record, game("one"))
    place.rename(place.with_name("elsewhere.sqlite"))
    save(record, game("two"))
    assert rows(place, "SELECT key FROM games") == [("two",)]


def test_the_place_is_the_one_asked_for_then_the_variable_then_the_platforms(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(module.VARIABLE, str(tmp_path / "by-variable"))
    assert record_place(tmp_path / "asked") == tmp_path / "asked"
    assert record_place() == tmp_path / "by-variable"
    monkeypatch.delenv(module.VARIABLE)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    if sys.platform == "linux":
        assert record_place() == tmp_path / "matebot" / "record.sqlite"


def writer(place: Path, name: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.practice.writer", str(place), name]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def kill_writers(place: Path, writers: int, kills: int) -> None:
    """Let processes write at once, kill one after another in the middle, and look at the record at the end."""
    acknowledged: set[str] = set()
    running = [writer(place, f"pupil {number}") for number in range(writers)]
    try:
        for number in range(writers, writers + kills):
            with running.pop(0) as process:
                assert process.stdout is not None
                early = [process.stdout.readline(), process.stdout.readline()]
                process.send_signal(signal.SIGKILL)
                written = [*early, *process.stdout]
            acknowledged |= {line.strip() for line in written if line.endswith("\n")}
            running.append(writer(place, f"pupil {number}"))
    finally:
        for process in running:
            with process:
                process.kill()
    assert rows(place, "PRAGMA integrity_check") == [("ok",)]
    assert not list(place.parent.glob("*damaged*"))
    whole = rows(place, "SELECT g.key FROM games g WHERE finished AND moves = 30 AND 30 = "
                 "(SELECT count(*) FROM moves WHERE game = g.id)")  # fmt: skip
    assert acknowledged <= {str(key) for (key,) in whole}
    assert len(acknowledged) >= 2 * kills
    broken = rows(place, "SELECT count(*) FROM games g WHERE moves != (SELECT count(*) FROM moves WHERE game = g.id)")
    assert broken == [(0,)]


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_no_finished_game_is_lost_when_writers_are_killed(place: Path) -> None:
    kill_writers(place, writers=3, kills=5)


@pytest.mark.exhaustive
@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
@pytest.mark.timeout(600)
def test_no_finished_game_is_lost_when_eight_writers_are_killed_fifty_times(place: Path) -> None:
    kill_writers(place, writers=8, kills=50)
