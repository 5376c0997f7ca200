"""``matebot annotate`` as it is called: where games, table and reports go, and what is refused."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import chess.pgn
import pytest

from matebot.cli import main
from tests.warm_processes import warm_python

GAME = (
    '[Event "Rook"]\n[White "Anna"]\n[Black "Bela"]\n[FEN "7k/8/6K1/8/8/8/8/R7 w - - 0 1"]\n\n1. Ra2 Kg8 2. Ra8# 1-0\n'
)
BROKEN = '[Event "Club"]\n[White "Cora"]\n[Black "Dan"]\n\n1. e4 Ke5 *\n\n'


@pytest.fixture
def source(tmp_path: Path) -> Path:
    path = tmp_path / "games.pgn"
    path.write_text(BROKEN + GAME, encoding="utf-8")
    return path


def test_the_games_go_to_standard_output_and_the_table_to_standard_error(
    source: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["annotate", str(source)]) == 0
    shown = capsys.readouterr()
    assert shown.out.startswith(BROKEN)
    handle = io.StringIO(shown.out)
    read = [chess.pgn.read_game(handle) for _ in range(3)]
    assert read[2] is None
    assert read[1] is not None
    first = read[1].next()
    assert first is not None
    assert first.nags == set()
    assert "one move slower" in first.comment
    assert len(first.parent.variations) == 1
    lines = shown.err.splitlines()
    assert lines[0] == "game 1 (Cora - Dan, Club): at move 1... expected a legal move (illegal san), got 'Ke5'"
    assert " ".join(lines[1].split()) == "moves of moves moves of moves longest method"
    assert " ".join(lines[2].split()) == "ending stage the attack lost the defence lost stay at most how it was left"
    assert " ".join(lines[3].split()) == "KRK 4 mate on the edge 2 1 1 0 2 12 mate once"
    assert lines[5:] == [
        "No slips.",
        "To practise 'mate on the edge', where most moves were lost:",
        "  matebot practise --ending KRK --stage 4 --as attack",
    ]


def test_with_a_file_the_table_goes_to_standard_output(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "new.pgn"
    assert main(["annotate", str(source), "--out", str(out)]) == 0
    shown = capsys.readouterr()
    assert "mate on the edge" in shown.out
    assert "checkmate" in out.read_text(encoding="utf-8")
    assert source.read_text(encoding="utf-8") == BROKEN + GAME


def test_one_side_only(source: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["annotate", str(source), "--side", "black"]) == 0
    shown = capsys.readouterr()
    assert "$" not in shown.out
    assert "mate on the edge 0 0 1 0 " in " ".join(shown.err.split())


def test_a_file_without_covered_positions_says_so_and_passes_through(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plain.pgn"
    path.write_bytes(b"1. e4 e5 {\xff} *\r\n")
    out = tmp_path / "out.pgn"
    assert main(["annotate", str(path), "--out", str(out)]) == 0
    assert out.read_bytes() == path.read_bytes()
    assert capsys.readouterr().out == "no covered position in any game\n"


def test_a_bar_is_shown_on_a_terminal_only(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ["annotate", str(source), "--out", str(tmp_path / "out.pgn")]
    assert main(words) == 0
    assert "[#" not in capsys.readouterr().err
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert main(words) == 0
    size = source.stat().st_size
    assert f"[{'#' * 30}] {size:,} of {size:,} bytes" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        ((), ("GAMES.pgn",)),
        (("no such file.pgn",), ("can be read", "No such file", "'no such file.pgn'")),
        (("{source}", "--out", "{source}"), ("another file", "games.pgn'")),
        (("{source}", "--out", "/no/such/folder/x.pgn"), ("can be written", "'/no/such/folder/x.pgn'")),
        (("{source}", "--side", "left"), ("--side", "white", "black", "both")),
    ],
)
def test_wrong_words_are_refused_in_one_line(
    source: Path, words: tuple[str, ...], parts: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["annotate", *(word.format(source=source) for word in words)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert len(shown.err.splitlines()) == 1
    assert all(part in shown.err for part in parts), shown.err
    assert source.read_text(encoding="utf-8") == BROKEN + GAME


def test_a_file_that_was_there_stays_until_the_new_one_is_whole(
    source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "new.pgn"
    out.write_text("old", encoding="utf-8")

    def interrupted(game: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr("matebot.commands.annotate._report", interrupted)
        assert main(["annotate", str(source), "--out", str(out)]) == 130
    assert out.read_text(encoding="utf-8") == "old"
    assert main(["annotate", str(source), "--out", str(out)]) == 0
    assert "checkmate" in out.read_text(encoding="utf-8")
    assert {path.name for path in tmp_path.iterdir()} == {"games.pgn", "new.pgn"}


def test_of_many_faults_in_a_game_the_first_are_told_and_the_others_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "rubbish.pgn"
    path.write_text("what " * 5_000, encoding="utf-8")
    assert main(["annotate", str(path)]) == 1
    lines = [line for line in capsys.readouterr().err.splitlines() if line.startswith("game 1 ")]
    assert len(lines) == 4
    assert lines[-1].endswith("and 4,997 more of the kind")


def test_a_link_stays_one_and_permissions_stay_as_they_were(source: Path, tmp_path: Path) -> None:
    real, link = tmp_path / "real.pgn", tmp_path / "link.pgn"
    real.write_text("old", encoding="utf-8")
    real.chmod(0o640)
    link.symlink_to(real)
    assert main(["annotate", str(source), "--out", str(link)]) == 0
    assert link.is_symlink()
    assert "checkmate" in real.read_text(encoding="utf-8")
    assert real.stat().st_mode & 0o777 == 0o640


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")
@pytest.mark.parametrize("games", [1, 2_000])
def test_a_full_device_is_named_in_one_line(source: Path, capsys: pytest.CaptureFixture[str], games: int) -> None:
    """Few games fail when the file is closed, many while they are written."""
    source.write_text("1. e4 *\n\n" * games, encoding="utf-8")
    assert main(["annotate", str(source), "--out", "/dev/full"]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    (line,) = shown.err.splitlines()
    assert line.startswith("matebot: expected a file that can be written (")
    assert line.endswith("got '/dev/full'")


def test_when_the_disk_is_full_the_old_file_stays_and_nothing_is_left_beside_it(tmp_path: Path, source: Path) -> None:
    """A limit on the size of files stands for a full disk."""
    out = tmp_path / "new.pgn"
    out.write_text("old", encoding="utf-8")
    source.write_text("1. e4 *\n\n" * 1_000, encoding="utf-8")
    words = ["annotate", str(source), "--out", str(out)]
    # A compiled module that is cut off in the folder of the run would fail every process after this one.
    limited = f"""
import resource, signal, sys
sys.dont_write_bytecode = True
from matebot.cli import main
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
sys.exit(main({words!r}))
"""
    run = subprocess.run([warm_python(), "-c", limited], capture_output=True, text=True, timeout=100, check=False)
    assert run.returncode == 2, run.stderr
    (line,) = run.stderr.splitlines()
    assert line.endswith(f"got {str(out)!r}")
    assert out.read_text(encoding="utf-8") == "old"
    assert {path.name for path in tmp_path.iterdir()} == {"games.pgn", "new.pgn"}


def test_a_folder_in_the_place_of_a_file_is_named(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["annotate", str(source), "--out", str(tmp_path)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    (line,) = shown.err.splitlines()
    assert line.endswith(f"got {str(tmp_path)!r}")


@pytest.mark.parametrize("separator", ["\n", "\r"])
def test_every_game_of_a_file_is_looked_over_whatever_ends_its_lines(tmp_path: Path, separator: str) -> None:
    path, out = tmp_path / "two.pgn", tmp_path / "out.pgn"
    path.write_bytes((GAME + "\n" + GAME).replace("\n", separator).encode())
    assert main(["annotate", str(path), "--out", str(out)]) == 0
    assert out.read_bytes().count(b"one move slower") == 2


def test_several_files_and_standard_input_become_one(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"1. d4 *")))
    out = tmp_path / "out.pgn"
    words = ["annotate", str(source), "-", str(source), "--out", str(out), "--json"]
    assert main(words) == 0
    with out.open() as file:
        games = list(iter(lambda: chess.pgn.read_game(file), None))
    assert [game.headers["White"] for game in games] == ["Cora", "Anna", "?", "Cora", "Anna"]
    shown = capsys.readouterr()
    data = json.loads(shown.out)
    (row,) = data["stages"]
    assert row["by_the_method_at_most"] == 12
    assert data["slips"] == []
    assert (row["ending"], row["stage"], row["attack_moves"], row["attack_moves_lost"]) == ("KRK", 4, 4, 2)
    assert "game 4 (Cora - Dan, Club)" in shown.err


@pytest.mark.parametrize("text", ["", "\n\n", "what is this", "\0\0\0"])
def test_where_no_game_can_be_read_it_is_told_and_the_status_is_1(
    tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "x.pgn"
    path.write_text(text)
    assert main(["annotate", str(path)]) == 1
    assert capsys.readouterr().err.splitlines()[-1].startswith("expected games in PGN, got none that could be read in ")


def test_control_characters_never_reach_the_terminal(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "x.pgn"
    path.write_text('[White "\x1b[31mRed"]\n\n1. e4 \x1b]0;x\x07 {\x9b2J} *\n', encoding="utf-8")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    assert main(["annotate", str(path)]) == 0
    shown = capfd.readouterr()
    for text in (shown.out, shown.err):
        assert "Red" in text
        assert text.replace("\n", "").isprintable()


def test_positions_of_five_men_that_are_not_solved_are_told_of_once_with_the_command_that_solves_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, folder = tmp_path / "five.pgn", tmp_path / "tables"
    rook = '[FEN "8/8/8/3k3r/8/4P3/3K4/R7 w - - 0 1"]\n\n1. Kc3 Kc5 2. e4 *\n\n'
    path.write_text(rook + rook + '[FEN "8/8/8/3k3r/8/4N3/3K4/R7 b - - 0 1"]\n\n1... Kc5 *\n', encoding="utf-8")
    assert main(["annotate", str(path), "--table-folder", str(folder)]) == 0
    shown = capsys.readouterr()
    told = [line for line in shown.err.splitlines() if "five men" in line]
    assert len(told) == 1
    command = f"`matebot solve KRPKR KRNKR --table-folder {folder}`"
    assert told[0].startswith(f"passed over 10 positions of five men: solve KRPKR, KRNKR first with {command}, about ")
