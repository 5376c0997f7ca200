"""Endings of five men are answered where they are kept, and else refused with an offer to solve them."""

from __future__ import annotations

import re
from pathlib import Path

import chess
import pytest

from matebot.solver.material import COVERED, FIVE_MEN, Material, closure
from matebot.solver.offer import about, kept_bytes, offer
from matebot.solver.store import path_of
from matebot.solver.tables import Refusal, Tables
from tests.five_men import five, put_empty_files

KRNKR, KRPKR, KQRKR = five("KRNKR"), five("KRPKR"), five("KQRKR")
ROOK_AND_PAWN = chess.Board("8/8/8/3k3r/8/4P3/3K4/R7 w - - 0 1")


def test_an_ending_that_is_not_solved_is_offered_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as refusal:
        Tables(tmp_path).check(ROOK_AND_PAWN)
    assert refusal.value.cause == "unsolved"
    command = rf"`matebot solve KRPKR --table-folder {re.escape(str(tmp_path))}`"
    assert re.fullmatch(
        rf"five men: solve KRPKR first with {command}, about \d+ minutes and \d+ MiB", str(refusal.value)
    )


def test_the_usual_folder_needs_no_name_and_one_that_is_not_there_no_offer(tmp_path: Path) -> None:
    assert "`matebot solve KRNKR`," in offer([KRNKR], closure(KRNKR), tmp_path, tmp_path)
    assert offer([KRNKR], closure(KRNKR), None, tmp_path).endswith("expected a table folder that keeps KRNKR, got none")


def test_endings_wanted_together_are_offered_by_one_command(tmp_path: Path) -> None:
    told = offer([KRNKR, KQRKR], closure(KRNKR), tmp_path, tmp_path)
    assert told.startswith("five men: solve KRNKR, KQRKR first with `matebot solve KRNKR KQRKR`, about ")


def test_a_folder_with_spaces_is_quoted(tmp_path: Path) -> None:
    folder = tmp_path / "a folder"
    assert f"--table-folder '{folder}'`" in offer([KRNKR], closure(KRNKR), folder, tmp_path)


def test_what_is_told_counts_what_an_ending_leads_to_but_not_what_is_kept(tmp_path: Path) -> None:
    def mebibytes() -> int:
        with pytest.raises(Refusal) as refusal:
            Tables(tmp_path).check_ending(KRPKR)
        return int(str(refusal.value).split()[-2])

    whole = mebibytes()
    put_empty_files(tmp_path, KRPKR, but=(KRPKR, KQRKR))
    rest = mebibytes()
    assert rest < whole
    assert rest == pytest.approx((kept_bytes(KRPKR) + kept_bytes(KQRKR)) / 2**20, rel=0.1)  # and some of four men


def test_less_time_is_told_where_loops_are_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    minutes = []
    for able in (False, True):
        monkeypatch.setattr("matebot.solver.offer.can_compile", lambda able=able: able)
        minutes.append(int(about(closure(KRPKR)).split()[1]))
    assert minutes[0] > minutes[1] > 1


@pytest.mark.parametrize(
    ("seconds", "time"),
    [
        (20, "1 minute"),
        (89, "1 minute"),
        (91, "2 minutes"),
        (99 * 60, "99 minutes"),
        (100 * 60, "2 hours"),
        (149 * 60, "2 hours"),
        (151 * 60, "3 hours"),
    ],
)
@pytest.mark.parametrize(
    ("bytes_", "room"),
    [(26 << 20, "30 MiB"), (1014 << 20, "1010 MiB"), (1026 << 20, "1.0 GiB"), (1536 << 20, "1.5 GiB")],
)
def test_time_is_told_in_minutes_or_hours_and_room_in_tens_or_parts_of_a_thousand(
    seconds: int, time: str, bytes_: int, room: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matebot.solver.offer._EFFORT_A_SECOND", (1, 1))
    monkeypatch.setattr("matebot.solver.offer.effort", lambda material: seconds / 2)
    monkeypatch.setattr("matebot.solver.offer.kept_bytes", lambda material: bytes_ / 2)
    assert about([KRNKR, KRPKR]) == f"about {time} and {room}"


def test_the_room_told_is_about_what_files_take_together() -> None:
    """The sizes are those of packed endings; one by itself may take a quarter of what is told."""
    mebibytes = {"KRNKR": 15.1, "KBBBK": 9.4, "KQNKR": 85.1}
    told = {ending: kept_bytes(five(ending)) / 2**20 for ending in mebibytes}
    assert all(size / 2 < told[ending] < 5 * size for ending, size in mebibytes.items())
    assert sum(told.values()) == pytest.approx(sum(mebibytes.values()), rel=0.4)


@pytest.mark.parametrize("material", FIVE_MEN, ids=lambda material: material.name)
def test_every_offer_is_one_short_line(material: Material, tmp_path: Path) -> None:
    told = about(closure(material))
    assert re.fullmatch(r"about (\d+ minutes?|\d+ hours) and (\d+ MiB|\d+\.\d GiB)", told)


def test_an_ending_is_answered_once_it_is_kept_with_what_it_leads_to(tmp_path: Path) -> None:
    tables = Tables(tmp_path)
    put_empty_files(tmp_path, KRPKR, but=(KQRKR,))
    with pytest.raises(Refusal):
        tables.check(ROOK_AND_PAWN)
    put_empty_files(tmp_path, KQRKR)
    tables.check(ROOK_AND_PAWN)
    assert not tables.would_wait(ROOK_AND_PAWN)


def test_nothing_is_waited_for_with_fewer_than_five_men(tmp_path: Path) -> None:
    tables = Tables(tmp_path)
    assert tables.would_wait(ROOK_AND_PAWN)
    for fen in ("8/8/8/3k3r/8/8/3K4/R7 w - - 0 1", "8/8/8/3k4/8/8/3K4/R7 w - - 0 1", "8/8/8/3k4/8/8/3K4/8 w - - 0 1"):
        assert not tables.would_wait(chess.Board(fen))


def test_an_ending_once_at_hand_stays_so_when_its_file_is_thrown_out(tmp_path: Path) -> None:
    tables = Tables(tmp_path)
    put_empty_files(tmp_path, KRNKR)
    tables.check_ending(KRNKR)
    path_of(tmp_path, KRNKR).unlink()
    tables.check_ending(KRNKR)
    with pytest.raises(Refusal):
        Tables(tmp_path).check_ending(KRNKR)


def test_a_damaged_file_is_told_once_and_read_when_it_has_been_replaced(tmp_path: Path) -> None:
    notices: list[str] = []
    tables = Tables(tmp_path, notice=notices.append)
    path_of(tmp_path, KRNKR).write_bytes(b"nothing")
    for _ in range(3):
        with pytest.raises(Refusal, match="solve KRNKR first"):
            tables.check_ending(KRNKR)
    assert len(notices) == 1
    put_empty_files(tmp_path, KRNKR)
    tables.check_ending(KRNKR)


@pytest.mark.parametrize(
    ("fen", "cause"),
    [
        ("4k3/8/8/8/8/8/3P3r/R3K3 w Q - 0 1", "castling"),
        ("4k3/8/8/8/8/8/3PP2r/R3K3 w - - 0 1", "men"),
        ("4k2R/8/8/8/8/8/3P3r/4K3 w - - 0 1", "impossible"),
    ],
)
def test_what_is_refused_with_few_men_is_refused_for_the_same_reason_with_five(fen: str, cause: str) -> None:
    with pytest.raises(Refusal) as refusal:
        Tables().check(chess.Board(fen))
    assert refusal.value.cause == cause


def test_four_men_are_never_offered() -> None:
    for material in COVERED:
        Tables().check_ending(material)


def test_five_men_are_asked_for_without_a_word_where_they_may_be_solved() -> None:
    tables = Tables(largest=5)
    tables.check(ROOK_AND_PAWN)
    assert tables.would_wait(ROOK_AND_PAWN)
