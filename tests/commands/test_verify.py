"""Checking on the user's machine: agrees with sound tables, finds each kind of wrong value, and says so."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import chess
import numpy as np
import pytest

from matebot.cli import main
from matebot.commands import endings, verify
from matebot.solver import store
from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.geometry import Codes
from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables, Value
from matebot.verification import agreement, positions
from matebot.verification.agreement import Finding
from matebot.verification.successors import TablePlaces

KQK, KPKP = Material.parse("KQK"), Material.parse("KPKP")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_TABLES", str(tmp_path))
    return tmp_path


def falsified(folder: Path, tables: Tables, code: int, wrong: int) -> int:
    """Keep KQK with a value replaced wherever Black is to move; return how many there were."""
    codes: dict[bool, Codes] = {side: tables.codes(KQK, side).copy() for side in (True, False)}
    places = codes[False] == code
    codes[False][places] = wrong
    store.write(folder, KQK, [codes], lambda: False)
    return int(np.count_nonzero(places))


def test_what_was_found_is_printed_as_data(folder: Path, tables: Tables, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "KQK", "--count", "100", "--json"]) == 0
    (sound,) = json.loads(capsys.readouterr().out)["endings"]
    assert sound["ending"] == "KQK"
    assert sound["positions"] > 100
    assert (sound["disagree"], sound["shown"]) == (0, [])
    falsified(folder, tables, code=2, wrong=4)
    assert main(["verify", "KQK", "--count", "100", "--json"]) == 1
    (false,) = json.loads(capsys.readouterr().out)["endings"]
    assert false["disagree"] > 0
    assert false["shown"]


def test_sound_tables_agree_and_the_status_is_0(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "KQK", "KRK", "--count", "100"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines[:2]] == ["KQK", "KRK"]
    counts = [int(line.split()[1].replace(",", "")) for line in lines[:2]]
    assert min(counts) > 100
    assert lines[2].startswith(f"{sum(counts):,} positions ")
    assert all(line.endswith("all agree with their successors") for line in lines)
    assert f"python-chess {chess.__version__}" in lines[-1]


def test_two_thousand_positions_by_chance_are_the_default(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    counts = []
    for arguments in ([], ["--count", "1"]):
        assert main(["verify", "KRK", *arguments]) == 0
        counts.append(int(capsys.readouterr().out.split()[1].replace(",", "")))
    assert counts[0] - counts[1] == 1_999


def test_more_positions_than_there_are_means_every_one_and_is_said(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """How many there are is counted by squares: none with White to move where the knight already gives check."""
    placed = positions.kings(Material.parse("KNK"))
    counts = [
        2 * 62 - chess.popcount(chess.BB_KNIGHT_ATTACKS[black] & ~chess.BB_SQUARES[white]) for white, black in placed
    ]
    monkeypatch.setattr("matebot.commands.verify.kings", lambda material: placed[::20])  # to be quick
    assert main(["verify", "KNK", "--count", "1000000000000"]) == 0
    told = capsys.readouterr()
    number = f"{sum(counts):,} positions up to symmetry"
    assert told.err == f"KNK: {number}, so each is checked, not 1,000,000,000,000 by chance\n"
    assert told.out.split()[:2] == ["KNK", f"{sum(counts[::20]):,}"]


def legal_positions(material: Material, white_king: int, black_king: int) -> set[str]:
    """All placements of White's other men, either side to move, that python-chess calls legal."""
    found = set()
    for squares in np.ndindex(*(64,) * len(material.white)):
        for turn in chess.COLORS:
            board = chess.Board(None)
            for square, man in [*zip(squares, material.white, strict=True), (white_king, "K"), (black_king, "k")]:
                board.set_piece_at(square, chess.Piece.from_symbol(man))
            board.turn = turn
            if board.is_valid() and chess.popcount(board.occupied) == len(material.white) + 2:
                found.add(board.fen())
    return found


def test_every_position_is_checked_on_demand_after_an_estimate(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two placements of the kings stand for all of them, to be quick."""
    placed = [(chess.A1, chess.C2), (chess.D4, chess.H8)]
    assert set(placed) < set(positions.kings(KQK))
    monkeypatch.setattr("matebot.commands.verify.kings", lambda material: placed)
    assert main(["verify", "KQK", "--all"]) == 0
    told = capsys.readouterr()
    assert re.fullmatch(r"KQK: about [\d,]+ positions, (less than a minute|about \d+ min)\n", told.err)
    assert f"{sum(len(legal_positions(KQK, *kings)) for kings in placed):,} positions" in told.out


def test_what_was_broken_off_is_gone_on_with_where_it_was(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    placed = positions.kings(KQK)[::60]  # a few will do
    monkeypatch.setattr(verify, "kings", lambda material: placed)
    assert main(["verify", "KQK", "--all"]) == 0
    whole = _number(r"KQK +([\d,]+) positions,", capsys.readouterr().out)
    told = endings.progress

    def broken_off(number: int, total: int, text: str) -> None:
        told(number, total, text)
        if number == 3:
            raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(verify, "progress", broken_off)
        assert main(["verify", "KQK", "--all"]) == 130
    told_last = capsys.readouterr().err
    assert "all agree with their successors; go on with --from 4\n" in told_last
    assert main(["verify", "KQK", "--all", "--from", "4"]) == 0
    rest = _number(r"KQK +([\d,]+) positions from placement 4 of 10,", capsys.readouterr().out)
    assert _number(r"KQK: ([\d,]+) positions, all", told_last) + rest == whole


def _number(pattern: str, text: str) -> int:
    (found,) = re.findall(pattern, text)
    return int(found.replace(",", ""))


@pytest.mark.parametrize(
    "arguments",
    [
        ["KQK", "--from", "3"],
        ["KQK", "KRK", "--all", "--from", "3"],
        ["KQK", "--all", "--from", "565"],
        ["KQK", "--all", "--from", "0"],
    ],
)
def test_a_placement_to_go_on_with_is_one_of_a_single_ending_in_full(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", *arguments]) == 2
    assert re.fullmatch(rf"matebot: expected --from .*, got {arguments[-1]}\n", capsys.readouterr().err)


@pytest.mark.parametrize(("each", "told"), [(60e-6, "less than a minute"), (0.1, "about 96 min")])
def test_the_estimate_goes_by_positions_after_the_first_ones_which_take_longer(
    tables: Tables, monkeypatch: pytest.MonkeyPatch, each: float, told: str
) -> None:
    clock = [0.0]

    def examined(boards: Iterator[chess.Board], places: object) -> Finding:
        number = sum(1 for _ in boards)
        clock[0] += number * each if clock[0] else 3600
        return Finding(number)

    monkeypatch.setattr(verify, "examine", examined)
    monkeypatch.setattr("time.monotonic", lambda: clock[0])
    assert verify._estimate(tables, KQK, 1) == f"KQK: about {verify._positions(tables, KQK):,} positions, {told}"


@pytest.mark.parametrize(
    ("code", "wrong"), [(0, 2), (4, DRAW), (DRAW, 6), (8, 10)], ids=["mate", "drawn", "lost", "distance"]
)
def test_a_wrong_value_is_found_and_the_status_is_1(
    folder: Path, tables: Tables, code: int, wrong: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert falsified(folder, tables, code, wrong) > 10
    assert main(["verify", "KQK", "--count", "200"]) == 1
    lines = capsys.readouterr().out.splitlines()
    shown = [line for line in lines if ": expected " in line and ", got " in line]
    assert 1 <= len(shown) <= agreement.SHOWN
    chess.Board(shown[0].strip().split(":")[0])  # begins with a FEN
    assert lines[-1].endswith("disagree")


def test_other_processes_find_the_same_disagreements(
    folder: Path, tables: Tables, capsys: pytest.CaptureFixture[str]
) -> None:
    falsified(folder, tables, 8, 10)
    shown = []
    for jobs in ("1", "2"):
        assert main(["verify", "KQK", "--count", "100", "--jobs", jobs]) == 1
        shown.append([line for line in capsys.readouterr().out.splitlines() if ": expected " in line])
    assert shown[0] == shown[1] != []


def test_a_disagreement_names_position_and_both_values(monkeypatch: pytest.MonkeyPatch, tables: Tables) -> None:
    mated = chess.Board("7k/6Q1/6K1/8/8/8/8/8 b - - 0 1")
    assert agreement.disagreement(mated, tables) is None
    wrong = Tables()
    monkeypatch.setattr(wrong, "value", lambda board: Value(0, None, None))
    assert agreement.disagreement(mated, wrong) == (
        "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1: expected lost, mate in 0 plies, capture, pawn move or mate in 0, got drawn"
    )


@pytest.mark.parametrize("ending", ["KNK", "KPK", "KQKR", pytest.param("KPKP", marks=pytest.mark.exhaustive)])
def test_whole_batches_find_what_position_by_position_finds(tmp_path: Path, tables: Tables, ending: str) -> None:
    """One entry in twenty is spoilt."""
    material, random = Material.parse(ending), np.random.default_rng(1)
    metrics = []
    for metric in ("dtm", "dtz"):
        metrics.append({side: tables.codes(material, side, metric).copy() for side in (True, False)})
    for side in (True, False):
        spoilt = (metrics[0][side] != ILLEGAL) & (random.random(metrics[0][side].shape) < 0.05)
        wrong = random.choice(np.array([1, 4, DRAW, 249], np.uint8), np.count_nonzero(spoilt))
        for codes in metrics:
            codes[side][spoilt] = wrong
    store.write(tmp_path, material, metrics, lambda: False)
    false = Tables(tmp_path)
    boards = list(positions.sample(material, 200, "1"))
    one_by_one = [fault for board in boards if (fault := agreement.disagreement(board, false)) is not None]
    found = agreement.examine(boards, TablePlaces(false))
    assert found.positions == 200
    assert found.faults == len(one_by_one) > 10
    assert set(found.shown) <= set(one_by_one)
    assert agreement.examine(boards, TablePlaces(tables)).faults == 0


@pytest.mark.parametrize("material", COVERED, ids=lambda material: material.name)
def test_a_sample_is_legal_and_of_its_ending_and_comes_again(material: Material) -> None:
    boards = list(positions.sample(material, 40, "1"))
    assert boards == list(positions.sample(material, 40, "1"))
    assert boards != list(positions.sample(material, 40, "2"))
    assert len(boards) == 40
    for board in boards:
        assert board.is_valid()
        sides = [
            "".join(sorted(p.symbol().upper() for p in board.piece_map().values() if p.color == c)) for c in (1, 0)
        ]
        assert sorted(sides) == sorted("".join(sorted(f"K{men}")) for men in (material.white, material.black))
    assert {board.turn for board in boards} == {True, False}


def test_captures_en_passant_are_in_the_sample_and_among_every_position() -> None:
    in_sample = [board for board in positions.sample(KPKP, 400, "1") if board.has_legal_en_passant()]
    assert len(in_sample) > 10
    assert {board.turn for board in in_sample} == {True, False}
    board = chess.Board("4k3/8/8/3pP3/8/8/8/K7 w - d6 0 1")
    seen = [(b.board_fen(), b.turn, b.ep_square) for b in positions.every(KPKP, chess.A1, chess.E8)]
    assert len(seen) == len(set(seen))
    for square in (None, chess.D6):
        assert (board.board_fen(), True, square) in seen


@pytest.mark.parametrize("ending", ["KQK", "KRRK"])
def test_every_position_with_two_kings_in_place_comes_once(ending: str) -> None:
    material = Material.parse(ending)
    boards = [b.fen() for b in positions.every(material, chess.C2, chess.E5)]
    assert len(boards) == len(set(boards))
    assert set(boards) == legal_positions(material, chess.C2, chess.E5)


@pytest.mark.parametrize(("ending", "homes"), [("KQK", 10), ("KPK", 32)])
def test_the_kings_stand_apart_everywhere_up_to_symmetry(ending: str, homes: int) -> None:
    """Eight images of a square without pawns, on diagonals four; two with pawns: so 10 and 32 squares are left."""
    placed = positions.kings(Material.parse(ending))
    assert len({white for white, _ in placed}) == homes
    for white in {white for white, _ in placed}:
        near = chess.popcount(chess.BB_KING_ATTACKS[white])
        assert len([black for king, black in placed if king == white]) == 63 - near


def test_a_folder_without_a_name_is_a_user_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "KQK", "--table-folder", ""]) == 2
    assert "expected a folder after --table-folder, got ''" in capsys.readouterr().err


@pytest.mark.skipif(sys.platform != "linux", reason="finds children by the system's own list")
def test_when_it_is_told_to_end_no_process_is_left_behind(folder: Path) -> None:
    command = [sys.executable, "-m", "matebot", "verify", "KRK", "--all", "--jobs", "2"]
    process = subprocess.Popen(command, env={**os.environ, "MATEBOT_TABLES": str(folder)}, start_new_session=True)
    while len(group(process.pid)) < 4:  # itself, two helpers, and the keeper of what they share
        assert process.poll() is None
        time.sleep(0.1)
    process.terminate()
    assert process.wait(60) == 130
    while group(process.pid):
        time.sleep(0.1)


def group(leader: int) -> list[str]:
    """Return the processes of a process group that are still alive."""
    found = []
    for status in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            fields = status.read_text().rpartition(")")[2].split()
            if int(fields[2]) == leader and fields[0] != "Z":
                found.append(status.parent.name)
    return found


@pytest.mark.parametrize("option", ["--count", "--jobs"])
def test_a_number_below_one_is_a_user_error(option: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", "KQK", option, "0"]) == 2
    assert f"expected {option} of at least 1, got 0" in capsys.readouterr().err
