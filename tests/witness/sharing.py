"""Which slower moves show the same idea as a winning one, said again in the plainest way."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

import chess

from tests.witness.ideas import hanging
from tests.witness.ideas.waiting_move import Told

_Same = Callable[[Any, Any], bool]

#: What has to be equal, or as little, in two claims of a kind.
_EQUAL = {
    "barrier": ("by_bishop", "by_knight"),
    "cage": ("change",),
    "cut_off": ("line",),
    "cuts_from_pawn": ("line",),
    "drives": ("where", "corner"),
    "holds_pawn": ("how", "pawn"),
    "king_up": ("held_by",),
    "knights_w": ("state", "step", "corner"),
    "minor_lost": ("square", "corner", "covered"),
    "nears_man": ("inside",),
    "off_the_rim": ("man",),
    "saved": ("square",),
    "shuts_way": ("aim", "target", "last"),
    "threatens": ("threat", "square"),
    "towards_w": ("man", "post"),
    "pins": ("square",),
    "trapped": ("square",),
    "wrong_corner": ("deed", "corner"),
}
_LEAST = {
    "box": "after",
    "cage": "size_after",
    "king_up": "steps",
    "narrows": "size_after",
    "nears_man": "steps",
    "towards_w": "moves",
}
KINDS = tuple(sorted({*_EQUAL, *_LEAST}))


def slower(board: chess.Board, move: chess.Move, told: Told) -> list[chess.Move]:
    """Return the moves that win later, or draw, and neither stalemate nor leave a man to be taken."""

    def worth(other: chess.Move) -> tuple[int, int | None]:
        there = _after(board, other)
        return told.outcome(there), told.mate_plies(there)

    _, mine = worth(move)
    found = []
    for other in board.legal_moves:
        lost, plies = worth(other)
        there = _after(board, other)
        later = lost == 0 or (lost < 0 and (plies or 0) > (mine or 0))
        if later and not there.is_stalemate() and hanging.claim(board, other, there, board.turn) is None:
            found.append(other)
    return found


def sharing(kind: str, board: chess.Board, move: chess.Move, told: Told) -> list[str]:
    """Return the names of the slower moves that share what a winning move shows of a kind, sorted."""
    mine = _claim(kind, board, move, told)
    assert mine is not None
    return sorted(
        other.uci()
        for other in slower(board, move, told)
        if (its := _claim(kind, board, other, told)) is not None and _same(kind, mine, its)
    )


def _same(kind: str, mine: dict[str, Any], its: dict[str, Any]) -> bool:
    if kind == "cage":
        as_good = its["change"] == mine["change"] or (mine["change"], its["change"]) == ("holds", "tightens")
        return as_good and its["size_after"] <= mine["size_after"] and not its["loose"]
    if kind == "box" and None in (mine["after"], its["after"]):
        return False
    if kind == "cut_off" and its["change"] == "gives up":
        return False
    equal = all(mine[name] == its[name] for name in _EQUAL.get(kind, ()))
    return equal and (kind not in _LEAST or its[_LEAST[kind]] <= mine[_LEAST[kind]])


def _claim(kind: str, board: chess.Board, move: chess.Move, told: Told) -> dict[str, Any] | None:
    claim = import_module(f"tests.witness.ideas.{kind}").claim
    more = (told,) if kind in ("minor_lost", "waiting_move") else ()
    found: dict[str, Any] | None = claim(board, move, _after(board, move), board.turn, *more)
    return found


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    there = board.copy(stack=False)
    there.push(move)
    return there
