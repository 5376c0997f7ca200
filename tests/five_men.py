"""Stand-ins for endings of five men, which take a minute to solve: what tests need of them and no more."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import chess
import numpy as np

from matebot.solver.codes import DRAW, ILLEGAL, code_of, squares_of
from matebot.solver.ending import Ending
from matebot.solver.material import FIVE_MEN, Material, closure
from matebot.solver.store import write
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Kept, row_bytes
from matebot.solver.tables import Tables

#: The endings that tests marked exhaustive solve and play where no folder is given.
_SOLVED = ("KRNKR", "KBBKN", "KBBBK")
#: Plies within which the stand-in looks for a mate.
HORIZON_PLIES = 3


def five(name: str) -> Material:
    return Material.parse(name, largest=5)


def solved_endings(folder: Path | None) -> list[str]:
    """Return the endings of five men kept in a folder with all they lead to, or the usual ones without a folder."""
    if folder is None:
        return list(_SOLVED)
    kept = {path.stem for path in folder.glob("*.ending")}
    return [m.name for m in FIVE_MEN if {c.name for c in closure(m) if len(c.men) > 2} <= kept]


def put_empty_files(folder: Path, ending: Material, but: tuple[Material, ...] = ()) -> list[Material]:
    """Write files that hold no position for an ending and all it leads to with five men; return those written."""
    written = [material for material in closure(ending) if len(material.men) > 2 and material not in but]
    for material in written:
        nothing = np.full((len(REDUCTION[material.has_pawns].home), 64, 1), ILLEGAL, np.uint8)
        write(folder, material, [{True: nothing, False: nothing}], lambda: False)
    return written


class _Row(bytes):
    """A row whose codes are found by python-chess when asked for."""

    place: tuple[Material, bool, int, int]

    def __getitem__(self, index: int) -> int:  # type: ignore[override]
        material, white_to_move, white_king, black_king = self.place
        men = []
        for man, _ in reversed(material.men):
            index, place = divmod(index, len(squares_of(man)))
            men.append(int(squares_of(man)[place]))
        return _code(material, white_to_move, (white_king, black_king, *reversed(men)))


class MatesAtHand(Kept):
    """Knows White's mates within `HORIZON_PLIES` in an ending without pawns and takes all else for drawn."""

    def __init__(self, material: Material) -> None:
        self.material, self.size, self.on_disk, self.metrics = material, 0, True, 1

    def row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        row = _Row(row_bytes(self.material))
        row.place = self.material, white_to_move, REDUCTION[False].home[king_class], black_king
        return row


def put_mates_at_hand(tables: Tables, ending: Material) -> None:
    """Let tables have the stand-in for an ending."""
    solved = Ending(ending, lambda ending: None, lambda material, fault: None, None, tables._recent)
    solved.kept = MatesAtHand(ending)
    tables._endings[ending] = solved


@cache
def _code(material: Material, white_to_move: bool, squares: tuple[int, ...]) -> int:
    board = chess.Board(None)
    kinds = (("K", True), ("K", False), *material.men)
    for square, (man, white) in zip(squares, kinds, strict=True):
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
    board.turn = white_to_move
    if chess.popcount(board.occupied) != len(kinds) or not board.is_valid():
        return ILLEGAL
    plies = _plies(board, HORIZON_PLIES)
    return DRAW if plies is None else code_of((plies + 1) // 2, True)


def _plies(board: chess.Board, most: int) -> int | None:
    """Return the plies to White's mate with best play, None where there is none so soon."""
    found = []
    for move in board.legal_moves:
        board.push(move)
        plies = _plies(board, most - 1) if most > 1 or board.is_checkmate() else None
        board.pop()
        if plies is None and not board.turn:
            return None
        if plies is not None:
            found.append(plies + 1)
            if board.turn and plies == 0:
                break
    if board.turn:
        return min(found, default=None)
    return max(found) if found else 0 if board.is_checkmate() else None
