"""One ending at hand: what is solved is there before it is kept, and a file found damaged is given up and told of."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from matebot.solver import store
from matebot.solver.ending import Ending
from matebot.solver.lookup import Recent
from matebot.solver.material import Material
from matebot.solver.retrograde import Solution
from matebot.solver.row_form import exchanged_row, row_form
from matebot.solver.sources import Damaged
from matebot.solver.store import Folder
from matebot.solver.table_file import Kept, Stored
from matebot.solver.tables import Tables

KRK = Material.parse("KRK")


class Spoilt:
    """A kept ending of which nothing can be read."""

    in_parts = True

    def present(self, *asked: object) -> frozenset[int]:
        raise Damaged("is cut short")


@pytest.fixture
def told() -> list[tuple[Material, str]]:
    return []


@pytest.fixture
def ending(told: list[tuple[Material, str]]) -> Ending:
    def spoilt(material: Material, fault: Damaged) -> None:
        told.append((material, str(fault)))

    return Ending(KRK, lambda ending: None, spoilt, None, Recent(1 << 20))


def test_a_file_that_cannot_tell_its_codes_is_given_up_and_told_of(
    ending: Ending, told: list[tuple[Material, str]]
) -> None:
    ending.kept = cast("Kept", Spoilt())
    assert ending.present(0, True) is None
    assert ending.kept is None
    assert told == [(KRK, "is cut short")]


@pytest.mark.parametrize("exchanged", [False, True])
def test_a_part_of_a_file_that_is_given_up_is_made_from_the_whole_row(
    ending: Ending, tables: Tables, exchanged: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    form, row = row_form(KRK, None, 4), tables.codes(KRK, True)[2, 50].reshape(-1)
    monkeypatch.setattr(Ending, "whole_row", lambda self, *place: row.tobytes() if place == (1, True, 2, 50) else b"")
    stored = cast("Stored", SimpleNamespace(kept=cast("Kept", Spoilt()), form=form, exchanged=exchanged))
    short = form.short(exchanged_row(row, form.men) if exchanged else row)
    parts = [ending._part(stored, (1, True, 2, 50), part) for part in range(len(form.bounds) - 1)]
    assert len(parts) == 4
    assert all(parts)
    assert b"".join(bytes(part) for part in parts) == short.tobytes()


def test_what_is_solved_is_there_whether_it_is_kept_or_not(ending: Ending) -> None:
    there = [ending.is_there]
    ending.solution = cast("Solution", object())
    there.append(ending.is_there)
    ending.kept = cast("Kept", Spoilt())
    there.append(ending.is_there)
    ending.solution = None
    there.append(ending.is_there)
    assert there == [False, True, True, True]


@pytest.mark.parametrize(
    ("fault", "why"), [(OSError(5, "Input/output error"), "Input/output error"), (OSError("no more"), "no more")]
)
def test_a_file_that_cannot_be_read_is_told_of_with_the_reason(
    fault: OSError, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read(path: Path) -> None:
        raise fault

    notices = list[str]()
    monkeypatch.setattr(store, "File", read)
    assert Folder(tmp_path, notices.append).read(KRK) is None
    assert notices == [f"the table file of KRK cannot be read ({why}): solving the ending again"]
