"""What is due, progress, the page with plots and the record written out: held against games counted by hand."""

from __future__ import annotations

import csv
import json
import re
import xml.etree.ElementTree as ElementTree
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path

import chess
import chess.pgn
import pytest

from matebot.cli import main
from matebot.ideas.slip_kinds import SlipKind
from matebot.practice.notes import Exercise, Grade, Result
from matebot.practice.plot import WIDTH, lost_plot
from matebot.practice.progress import Point, Spread
from matebot.practice.record import Record
from tests.practice.games import game, save

TODAY = date(2026, 6, 30)
ROOK, KNIGHT = Exercise("KRK", 3, "attack"), Exercise("KBNK", 2, "defence")


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    for module in ("due", "progress"):
        monkeypatch.setattr(f"matebot.commands.{module}.today", lambda: TODAY)
    return tmp_path / "record.sqlite"


@pytest.fixture
def record(place: Path) -> Record:
    """Three games of Mia and one of Bo."""
    record = Record(place, lambda text: None)
    days = [(TODAY - timedelta(ahead)).isoformat() for ahead in (40, 30, 1)]
    save(record, game("1", "Mia", day=days[0], exercise=ROOK, grade=Grade.SLOW, lost=4, slip=SlipKind.SLOW))
    failed = game(
        "2", "Mia", day=days[1], exercise=ROOK, grade=Grade.FAILED, result=Result.DRAWN, lost=3, slip=SlipKind.STALEMATE
    )
    save(record, failed)
    save(record, game("3", "Mia", day=days[2], exercise=KNIGHT, grade=Grade.CLOSE, result=Result.LOST))
    save(record, game("4", "Bo <&>", day=days[0], exercise=ROOK, grade=Grade.CLOSE))
    return record


def shown(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    capsys.readouterr()
    assert main(list(arguments)) == 0
    return capsys.readouterr().out


def test_progress_counts_the_games_of_each_exercise(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    (mia,) = json.loads(shown(capsys, "progress", "--pupil", "MIA", "--json"))
    assert (mia["games"], mia["won_or_held"], mia["last"]) == (3, 2, "2026-06-29")
    by_ending = {row["ending"]: row for row in mia["exercises"]}
    rook = by_ending["KRK"]
    assert (rook["games"], rook["won_or_held"], rook["moves_lost_a_game"]) == (2, 1, 3.5)
    assert rook["commonest_slip"] in ("slow", "stalemate")
    assert by_ending["KBNK"]["won_or_held"] == 1  # mated, but only after holding out as long as can be
    assert by_ending["KBNK"]["due"] > TODAY.isoformat()
    assert [due["ending"] for due in mia["due"]] == ["KRK"]
    assert mia["next_new"] == {"ending": "KRRK", "stage": 3, "side": "attack"}
    rook_over_time = mia["over_time"]["KRK"]
    assert [(point["games"], point["moves_lost"]) for point in rook_over_time] == [(1, 4.0), (1, 3.0)]


def test_losses_that_are_not_known_are_shown_as_unknown_and_counted_nowhere(
    record: Record, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    save(record, game("5", "Mia", exercise=ROOK, grade=Grade.SLOW, lost=None, day="2026-06-28"))
    save(record, game("6", "Mia", exercise=Exercise("KQK", 3, "attack"), grade=Grade.SLOW, lost=None))
    (mia,) = json.loads(shown(capsys, "progress", "--pupil", "Mia", "--json"))
    lost = {row["ending"]: row["moves_lost_a_game"] for row in mia["exercises"]}
    assert lost == {"KRK": 3.5, "KQK": None, "KBNK": 0.0}
    assert [point["moves_lost"] for point in mia["over_time"]["KQK"]] == [None]
    assert [point["moves_lost"] for point in mia["over_time"]["KRK"]] == [4.0, 3.0, None]
    text = shown(capsys, "progress", "--pupil", "Mia")
    assert re.search(r"queen, stage 3 .* 1 +1 +unknown ", text)
    assert main(["progress", "--pupil", "Mia", "--html", str(tmp_path / "page.html")]) == 0
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    plots = re.findall(r"<svg .*?</svg>", page, re.DOTALL)
    assert [plot.count("<circle") for plot in plots if "Queen" in plot] == [0, 1]
    assert [plot.count("<circle") for plot in plots if "Rook" in plot] == [2, 3]
    assert main(["record", "--export", str(tmp_path / "all.json")]) == 0
    games = {one["key"]: one for one in json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))["games"]}
    assert (games["6"]["moves_lost"], games["6"]["passages"][0]["moves_lost"]) == (None, None)
    assert main(["record", "--export", str(tmp_path / "all.csv")]) == 0
    with (tmp_path / "all.csv").open(encoding="utf-8", newline="") as stream:
        assert [row["moves_lost"] for row in csv.DictReader(stream) if row["game_key"] == "6"] == ["", "0"]
    assert shown(capsys, "due", "--pupil", "Mia").startswith("Mia: ")


def test_progress_says_why_an_exercise_is_due_of_which_no_game_was_finished(
    record: Record, capsys: pytest.CaptureFixture[str]
) -> None:
    save(record, game("5", "Mia", exercise=Exercise("KQK", 3, "attack"), result=Result.OPEN, grade=None))
    rows = shown(capsys, "progress", "--pupil", "Mia").splitlines()
    (queen,) = [row for row in rows if row.startswith("queen, stage 3 ")]
    assert re.search(r" 1 +0 .* now: no game was finished$", queen)
    assert any(row.startswith("rook, stage 3 ") and row.endswith(" now") for row in rows)


def test_progress_in_words_says_what_to_practise_next_and_why(
    record: Record, capsys: pytest.CaptureFixture[str]
) -> None:
    text = shown(capsys, "progress", "--pupil", "Mia")
    assert "Practise next: rook, stage 3 (push it to the edge), attack (due for 29 days; lately: 1 stalemate" in text
    assert "Most moves are lost in rook, stage 3 (push it to the edge), attack: 3.5 a game." in text


def test_without_a_name_a_coach_sees_everybody(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    text = shown(capsys, "progress")
    head, bo, mia, *_ = text.splitlines()
    assert head.split("  ")[0] == "pupil"
    assert bo.startswith("Bo <&>")
    assert re.search(r"\s3\s+2\s+1\s+rook, stage 3", mia)
    assert [one["pupil"] for one in json.loads(shown(capsys, "progress", "--json"))] == ["Bo <&>", "Mia"]


def test_due_lists_what_is_due_and_only_that(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    text = shown(capsys, "due", "--pupil", "Mia")
    assert text.splitlines()[0] == "Mia: 1 exercise due"
    assert "rook, stage 3" in text.splitlines()[1]
    assert "bishop and knight" not in text


def test_due_gives_positions_of_the_exercise_in_each_format(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    (found,) = json.loads(shown(capsys, "due", "--pupil", "Mia", "--format", "json"))
    board = chess.Board(found["fen"])
    assert board.is_valid()
    assert chess.popcount(board.rooks) == 1
    assert found["recent_slips"] == {"stalemate": 1, "slow": 1}
    line = shown(capsys, "due", "--pupil", "Mia", "--format", "epd").strip()
    from_epd, operations = chess.Board.from_epd(line)
    assert from_epd.epd() == board.epd()
    assert operations["bm"]
    (tmp := Path(record.path.parent) / "due.pgn").write_text(shown(capsys, "due", "--pupil", "Mia", "--format", "pgn"))
    with tmp.open() as stream:
        read = chess.pgn.read_game(stream)
    assert read is not None
    assert read.board().epd() == board.epd()


def test_the_same_positions_are_due_all_day_and_others_on_the_next(
    record: Record, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first, again = (shown(capsys, "due", "--format", "epd") for _ in range(2))
    monkeypatch.setattr("matebot.commands.due.today", lambda: TODAY + timedelta(1))
    assert first == again != shown(capsys, "due", "--format", "epd")


def test_what_was_practised_on_a_clock_that_ran_ahead_is_told_and_counts_as_todays(
    record: Record, capsys: pytest.CaptureFixture[str]
) -> None:
    save(record, game("5", "Mia", day="2031-01-01", exercise=ROOK, grade=Grade.SLOW))
    assert main(["due", "--pupil", "Mia"]) == 0
    captured = capsys.readouterr()
    assert "up to 2031-01-01: has the clock been set back?" in captured.err
    assert captured.err.count("\n") == 1
    assert "Nothing is due" in captured.out
    (mia,) = json.loads(shown(capsys, "progress", "--pupil", "Mia", "--json"))
    assert all(row["due"] < "2026-10-01" for row in mia["exercises"])


class Tags(HTMLParser):
    """Checks that the elements of a page are closed in the order in which they were opened."""

    VOID = frozenset({"meta"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)
        assert not any(name in ("src", "href") for name, _ in attrs), "the page needs nothing else"

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        return

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def test_the_page_is_whole_shows_every_pupil_and_takes_names_for_text(record: Record, tmp_path: Path) -> None:
    assert main(["progress", "--html", str(tmp_path / "page.html")]) == 0
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    tags = Tags()
    tags.feed(text)
    assert tags.open == []
    assert any("Bo <&>" in part for part in tags.texts)
    drawings = re.findall(r"<svg .*?</svg>", text, re.DOTALL)
    assert len(drawings) == 6  # two of each ending of each pupil
    for drawing in drawings:
        root = ElementTree.fromstring(drawing)
        width, height = (float(root.attrib[name]) for name in ("width", "height"))
        for mark in root.iter("circle"):
            assert 0 <= float(mark.attrib["cx"]) <= width
            assert 0 <= float(mark.attrib["cy"]) <= height


def test_the_page_uses_no_colour_but_grey(record: Record, tmp_path: Path) -> None:
    assert main(["progress", "--html", str(tmp_path / "page.html")]) == 0
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    for colour in re.findall(r"#([0-9a-f]{3,6})\b", text):
        assert len(set(colour)) == 1, colour
    assert not re.search(r"rgb|hsl|\b(red|green|blue)\b", text)


def test_a_plot_stands_higher_for_more_moves_lost(record: Record, tmp_path: Path) -> None:
    assert main(["progress", "--pupil", "Mia", "--html", str(tmp_path / "page.html")]) == 0
    text = (tmp_path / "page.html").read_text(encoding="utf-8")
    rook = next(d for d in re.findall(r"<svg .*?</svg>", text, re.DOTALL) if "Rook: moves lost" in d)
    first, second = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', rook)
    assert float(first[0]) < float(second[0])
    assert float(first[1]) < float(second[1])  # four moves lost, then three; upwards is less


def test_every_label_of_a_plot_has_room_in_it() -> None:
    """A letter of the 12 pixels the page sets is taken to be at most 7.3 wide, as digits mostly are (no source)."""
    last = date(2026, 10, 1)
    for first in (last, date(2026, 9, 24), date(2026, 7, 1), date(2026, 4, 1), date(2025, 10, 1), date(2021, 10, 1)):
        points = [Point(day, 1, Spread(3, 2, 4), 0.5) for day in sorted({first, last})]
        root = ElementTree.fromstring(lost_plot(points, "title"))
        for text in root.iter("text"):
            width, x = 7.3 * len(text.text or ""), float(text.attrib["x"])
            begin = {"start": x, "middle": x - width / 2, "end": x - width}[text.attrib["text-anchor"]]
            assert begin >= 0, (first, text.text)
            assert begin + width <= WIDTH, (first, text.text)


def test_the_record_is_written_out_whole_as_json(
    record: Record, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["record", "--export", str(tmp_path / "all.json")]) == 0
    data = json.loads((tmp_path / "all.json").read_text(encoding="utf-8"))
    assert [(one["pupil"], len(one["moves"]), one["result"]) for one in data["games"]] == [
        ("Mia", 2, "won"),
        ("Bo <&>", 2, "won"),
        ("Mia", 2, "drawn"),
        ("Mia", 2, "lost"),
    ]
    assert data["games"][2]["moves"][0]["slip"] == "stalemate"
    assert data["games"][2]["passages"][0]["grade"] == 1


def test_the_record_is_written_out_as_one_line_a_move(record: Record, tmp_path: Path) -> None:
    assert main(["record", "--export", str(tmp_path / "mia.csv"), "--pupil", "mia"]) == 0
    with (tmp_path / "mia.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == 6
    assert {row["game_pupil"] for row in rows} == {"Mia"}
    assert [row["slip"] for row in rows].count("stalemate") == 1
    assert chess.Board(rows[0]["fen"]).parse_uci(rows[0]["move"])


def test_a_pupil_is_forgotten_by_name(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    assert shown(capsys, "record", "--forget", "mia") == "Mia is forgotten, with 3 games.\n"
    assert "Mia" not in shown(capsys, "record")
    assert main(["record", "--forget", "mia"]) == 2
    assert "expected a pupil in the record (Bo <&>), got 'mia'" in capsys.readouterr().err


def test_a_game_is_taken_out_by_its_number_as_if_it_had_not_been_played(
    record: Record, capsys: pytest.CaptureFixture[str]
) -> None:
    listed = shown(capsys, "record", "--pupil", "mia", "--games").splitlines()
    assert [line.split()[1] for line in listed] == ["2026-05-21", "2026-05-31", "2026-06-29"]
    assert [re.findall("won|drawn|lost", line) for line in listed] == [["won"], ["drawn"], ["lost"]]
    assert all(words in line for line, words in zip(listed, ("rook, stage 3, attack", "rook", "knight"), strict=True))
    failed = listed[1].split()[0]
    assert shown(capsys, "record", "--pupil", "mia", "--remove", failed) == f"game {failed} of Mia is removed.\n"
    assert len(shown(capsys, "record", "--pupil", "mia", "--games").splitlines()) == 2
    after = shown(capsys, "progress", "--json")
    never = Record(record.path.parent / "never.sqlite", lambda text: None)
    for kept in (
        game("1", "Mia", day="2026-05-21", exercise=ROOK, grade=Grade.SLOW, lost=4, slip=SlipKind.SLOW),
        game("3", "Mia", day="2026-06-29", exercise=KNIGHT, grade=Grade.CLOSE, result=Result.LOST),
        game("4", "Bo <&>", day="2026-05-21", exercise=ROOK, grade=Grade.CLOSE),
    ):
        save(never, kept)
    assert json.loads(after) == json.loads(shown(capsys, "progress", "--json", "--record", str(never.path)))


def test_a_game_that_is_not_the_pupils_is_not_removed(record: Record, capsys: pytest.CaptureFixture[str]) -> None:
    theirs = shown(capsys, "record", "--pupil", "Bo <&>", "--games").split()[0]
    for number in (theirs, "99", "-1"):
        assert main(["record", "--pupil", "Mia", "--remove", number]) == 2
        assert f"--games lists them), got {number}" in capsys.readouterr().err
    assert main(["record", "--remove", theirs]) == 2
    assert capsys.readouterr().err == "matebot: expected --pupil NAME beside --remove\n"
    assert len(shown(capsys, "record", "--pupil", "Bo <&>", "--games").splitlines()) == 1


@pytest.mark.parametrize("command", ["due", "progress"])
def test_an_unknown_pupil_is_told_in_one_line_with_those_there_are(
    record: Record, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert main([command, "--pupil", "Zoë"]) == 2
    assert capsys.readouterr().err == "matebot: expected a pupil in the record (Bo <&>, Mia), got 'Zoë'\n"


@pytest.mark.parametrize("command", ["due", "progress", "record"])
def test_no_record_is_told_in_one_line_and_none_is_made(
    place: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert main([command]) == 2
    assert capsys.readouterr().err == f"matebot: expected a record, got none in {str(place)!r}\n"
    assert not place.exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["record", "--export", "all.txt"], "expected a file that ends in .json or .csv"),
        (["record", "--export", "none/all.json"], "expected a file in a folder that is there"),
        (["progress", "--html", "none/page.html"], "expected a file in a folder that is there"),
        (["due", "--format", "xml"], "invalid choice"),
        (["due", "--record", ""], "expected a file after --record"),
    ],
)
def test_what_cannot_be_written_is_told_in_one_line(
    record: Record, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    assert main(arguments) == 2
    assert words in capsys.readouterr().err


def test_an_empty_record_has_nothing_due(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Record(place, lambda text: None).close()
    assert shown(capsys, "due") == "Nothing has been practised yet.\n"
    assert shown(capsys, "progress") == "Nothing has been practised yet.\n"
