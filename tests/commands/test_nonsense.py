"""Tables that are wrong in every way we could think of: a sample finds each of them out, however few come by chance."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from matebot.cli import main
from matebot.solver import store
from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.counting import every_day

Both = dict[bool, Codes]


#: Codes with the colours exchanged, whatever becomes of the longest.
FLIP = np.array([254 - c if c not in (DRAW, ILLEGAL) else c for c in range(256)], np.uint8)


def where_legal(wrong: Callable[[Codes], Codes]) -> Callable[[Both], Both]:
    """Change the values and leave the places alone that are no positions."""
    return lambda both: {side: np.where(codes == ILLEGAL, ILLEGAL, wrong(codes)) for side, codes in both.items()}


def distances(wrong: Callable[[Codes], Codes]) -> Callable[[Both], Both]:
    """Change the distances, seen from White, of what is won and of what is lost alike."""

    def changed(codes: Codes) -> Codes:
        won, lost = wrong(codes), FLIP[wrong(FLIP[codes])]
        return np.where(codes < DRAW, won, np.where((codes > DRAW) & (codes < ILLEGAL), lost, codes))

    return where_legal(changed)


def region(both: Both, value: int) -> Both:
    """Put a value into all that belongs to one square of each king, the other side's row of the same kings unharmed."""
    codes = both[False].copy()
    codes[3, 40][codes[3, 40] != ILLEGAL] = value
    return {**both, False: codes}


def by_side(wrong: Callable[[Codes], Codes]) -> Callable[[Both], Both]:
    return lambda both: {side: wrong(codes) for side, codes in both.items()}


def scattered(both: Both) -> Both:
    random = np.random.default_rng(1)
    spoilt = {side: random.random(codes.shape) < 0.02 for side, codes in both.items()}
    return where_legal(lambda codes: codes)(
        {side: np.where(spoilt[side], np.uint8(12), codes) for side, codes in both.items()}
    )


#: What has been done to the codes of one metric, White to move and Black to move.
NONSENSE: dict[str, Callable[[Both], Both]] = {
    "all drawn": where_legal(lambda codes: np.full_like(codes, DRAW)),
    "all won": where_legal(lambda codes: np.full_like(codes, 1)),
    "all lost": where_legal(lambda codes: np.full_like(codes, 253)),
    "all mate": where_legal(lambda codes: np.full_like(codes, 0)),
    "winners exchanged": where_legal(lambda codes: FLIP[codes]),
    "sides exchanged": lambda both: {side: both[not side] for side in both},
    "one ply off": distances(lambda codes: codes + np.uint8(1)),
    "two plies off": distances(lambda codes: codes + np.uint8(2)),
    "two plies off but for mates": distances(lambda codes: np.where(codes > 0, codes + np.uint8(2), codes)),
    "long wins two plies off": distances(lambda codes: np.where(codes > 12, codes + np.uint8(2), codes)),
    "long wins cut to twelve plies": distances(lambda codes: np.minimum(codes, np.uint8(12))),
    "long wins called drawn": where_legal(lambda codes: np.where((codes > 12) & (codes < DRAW), DRAW, codes)),
    "the very longest a ply too long": where_legal(
        lambda codes: np.where(codes == codes[codes < DRAW].max(initial=0), codes + np.uint8(1), codes)
    ),
    "rows one further": by_side(lambda codes: np.roll(codes, 1, axis=1)),
    "kings' classes one further": by_side(lambda codes: np.roll(codes, 1, axis=0)),
    "files mirrored": by_side(lambda codes: codes.reshape(*codes.shape[:2], -1, 8)[..., ::-1].reshape(codes.shape)),
    "upside down": by_side(lambda codes: codes[:, ::-1]),
    "no mates": where_legal(lambda codes: np.where(codes == 0, DRAW, codes)),
    "mates called stalemate and the other way round": where_legal(
        lambda codes: np.where(codes == 0, DRAW, np.where(codes == DRAW, 0, codes))
    ),
    "mate in one called drawn": where_legal(lambda codes: np.where(codes == 1, DRAW, codes)),
    "one region mated": lambda both: region(both, 0),
    "one region drawn": lambda both: region(both, DRAW),
    "one region no positions": lambda both: region(both, ILLEGAL),
    "one in fifty by chance": scattered,
}


def write_wrong(folder: Path, tables: Tables, material: Material, wrong: Callable[[Both], Both], metrics: str) -> bool:
    """Keep an ending's file spoilt in some metrics; False where that changes nothing."""
    kept, changed = [], False
    for metric in ("dtm", "dtz"):
        codes = {side: tables.codes(material, side, metric) for side in (True, False)}
        spoilt = {side: code.astype(np.uint8) for side, code in wrong(codes).items()} if metric in metrics else codes
        changed |= any(not np.array_equal(spoilt[side], codes[side]) for side in codes)
        kept.append(spoilt)
    store.write(folder, material, kept, lambda: False)
    return changed


#: With a pawn a value may come from another ending, whose table is right.
WITH_A_PAWN = ("all lost", "one ply off", "one region drawn")


#: What is much like others, and so not looked for every day.
ALIKE = (
    *("all won", "all mate", "two plies off", "long wins cut to twelve plies", "kings' classes one further"),
    *("upside down", "mate in one called drawn", "one region mated", "sides exchanged", "one ply off"),
    *("two plies off but for mates", "rows one further", "long wins called drawn", "no mates", "winners exchanged"),
    *("one region no positions", "all drawn", "mates called stalemate and the other way round"),
)


@pytest.mark.parametrize(
    ("ending", "nonsense"),
    [
        *(pytest.param("KQK", kind, marks=[pytest.mark.exhaustive] if kind in ALIKE else []) for kind in NONSENSE),
        *(pytest.param("KPK", kind, marks=[pytest.mark.exhaustive] * (kind != "one ply off")) for kind in WITH_A_PAWN),
    ],
)
def test_a_sample_finds_nonsense_out_without_luck(
    tmp_path: Path, tables: Tables, nonsense: str, ending: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert write_wrong(tmp_path, tables, Material.parse(ending), NONSENSE[nonsense], "dtm dtz")
    assert main(["verify", ending, "--count", "1", "--table-folder", str(tmp_path)]) == 1
    assert capsys.readouterr().out.splitlines()[-1].endswith("disagree")


@every_day(("one region drawn",), ("long wins two plies off",), "nonsense")
def test_nonsense_in_the_distances_to_the_next_zeroing_move_alone_is_found_out(
    tmp_path: Path, tables: Tables, nonsense: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert write_wrong(tmp_path, tables, Material.parse("KPK"), NONSENSE[nonsense], "dtz")
    assert main(["verify", "KPK", "--count", "1", "--table-folder", str(tmp_path)]) == 1
    capsys.readouterr()


@pytest.mark.parametrize(
    ("ending", "nonsense"),
    [
        pytest.param("KQKR", "no mates", marks=pytest.mark.exhaustive),
        ("KNNK", "no mates"),
        pytest.param("KBNK", "the very longest a ply too long", marks=pytest.mark.exhaustive),
        pytest.param("KBNK", "one region mated", marks=pytest.mark.exhaustive),
    ],
)
def test_rare_nonsense_in_endings_of_four_men_needs_no_luck(
    tmp_path: Path, tables: Tables, ending: str, nonsense: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert write_wrong(tmp_path, tables, Material.parse(ending), NONSENSE[nonsense], "dtm dtz")
    assert main(["verify", ending, "--count", "1", "--table-folder", str(tmp_path)]) == 1
    capsys.readouterr()
