"""Rook against a minor piece: the exceptions to the draw, by hand and counted over the whole tables."""

from __future__ import annotations

import chess
import numpy as np
import pytest

from matebot.ideas import minor_lost
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.codes import DRAW
from matebot.solver.material import Material
from matebot.solver.tables import Tables


@pytest.mark.parametrize(
    ("fen", "san", "square", "corner"),
    [
        ("k1K5/2R5/2b5/8/8/8/8/8 b - - 0 1", "Bh1", chess.H1, chess.A8),
        ("8/8/8/8/3K4/3R4/6n1/7k b - - 0 1", "Nf4", chess.F4, None),
        # The draw is kept; then the knight is taken at once.
        ("k1K5/2R5/2b5/8/8/8/8/8 b - - 0 1", "Bb7+", None, None),
        ("6k1/4R3/8/6Kn/8/8/8/8 b - - 0 1", "Nf4", None, None),
    ],
)
def test_the_exception_is_named_where_the_rook_wins(
    tables: Tables, fen: str, san: str, square: int | None, corner: int | None
) -> None:
    before = chess.Board(fen)
    after = before.copy()
    move = after.push_san(san)
    found = minor_lost.seen(before, move, after, chess.WHITE, TableTruth(Library(tables)))
    assert (found and (found.square, found.corner)) == (None if square is None else (square, corner))


@pytest.mark.exhaustive
@pytest.mark.parametrize(("ending", "share"), [("KRKB", 0.75), ("KRKN", 0.97)])
def test_most_long_wins_against_a_minor_piece_are_those_exceptions(tables: Tables, ending: str, share: float) -> None:
    material = Material.parse(ending)
    tables.prepare(material)
    won = (tables.whole(material, False) < DRAW) & (tables.whole(material, False, "dtz").astype(int) > 4)
    _, minor, _, king = np.ogrid[:64, :64, :64, :64]
    if ending == "KRKN":
        seen = np.maximum(abs(minor // 8 - king // 8), abs(minor % 8 - king % 8)) > 2
    else:
        seen = np.zeros((1, 64, 1, 64), dtype=bool)
        for corner in (0, 7, 56, 63):
            near = np.maximum(abs(king // 8 - corner // 8), abs(king % 8 - corner % 8)) <= 1
            seen |= near & ((minor // 8 + minor % 8 + corner // 8 + corner % 8) % 2 == 0)
    assert (won & seen).sum() > share * won.sum() > 10_000
