"""Suites: files of positions in EPD, read line by line; a line that cannot be used is named and left out."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import chess

from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.tasks import StartPosition
from matebot.errors import UserError
from matebot.laws.verdict import FINAL
from matebot.quoting import shown
from matebot.records import dataclass
from matebot.solver.coverage import men_of
from matebot.solver.material import Material


@dataclass(frozen=True, slots=True)
class Skipped:
    """A line that is not used, and why."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Suite:
    """The usable positions of a file, the lines left out, and a checksum of the text."""

    positions: tuple[StartPosition, ...]
    skipped: tuple[Skipped, ...]
    sha256: str


def read_suite(path: Path, truth: SharedTruth) -> Suite:
    """Read a file of positions, EPD or FEN; empty lines and those beginning with # are comments.

    Raises
    ------
    UserError
        when the file cannot be read or holds no usable position
    """
    try:
        raw = path.read_bytes()
        lines = raw.decode("utf-8-sig").splitlines()
    except OSError as fault:
        raise UserError(f"expected a suite that can be read ({fault.strerror}), got {str(path)!r}") from None
    except UnicodeDecodeError as fault:
        raise UserError(f"expected a suite in UTF-8 ({fault.reason}), got {str(path)!r}") from None
    except ValueError as fault:  # for a name no system takes
        raise UserError(f"expected a suite that can be read ({fault}), got {str(path)!r}") from None
    found = list(_read(lines, truth))
    positions = tuple(item for item in found if isinstance(item, StartPosition))
    skipped = tuple(item for item in found if isinstance(item, Skipped))
    if not positions:
        reason = f"; line {skipped[0].line}: {skipped[0].text}" if skipped else ""
        raise UserError(f"expected a suite with at least one usable position, got {str(path)!r}{reason}")
    return Suite(positions, skipped, sha256(raw).hexdigest())


def _board(text: str) -> chess.Board:
    """Return the position of a line; four fields are followed by operations, or by the two counts of a FEN."""
    counts = text.split()[4:]
    if len(counts) == 2 and all(count.isdecimal() for count in counts):
        return chess.Board(text.strip())
    return chess.Board.from_epd(text.strip())[0]


def _read(lines: list[str], truth: SharedTruth) -> Iterator[StartPosition | Skipped]:
    for number, text in enumerate(lines, start=1):
        if not text.strip() or text.lstrip().startswith("#"):
            continue
        try:
            board = _board(text)
        except ValueError as fault:
            yield Skipped(number, shown(f"expected a position in EPD ({fault}), got {text!r}"))
            continue
        refusal = truth.refusal(board)
        if refusal is not None:
            yield Skipped(number, refusal)
            continue
        verdict = truth.judge(board)
        if verdict.cause in FINAL:
            yield Skipped(number, f"expected a game that is not over ({verdict.cause}), got {board.fen()!r}")
            continue
        name = Material.of(men_of(board, chess.WHITE), men_of(board, chess.BLACK))[0].name
        yield StartPosition(name, board, verdict.outcome)
