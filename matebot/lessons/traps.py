"""Stalemates that lie beside the way: moves of White's in the positions of a game after which Black has none."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.lessons.marking import marked
from matebot.lessons.sheet import Shown
from matebot.wording import lesson as words


def stalemates(boards: Iterable[chess.Board], most: int) -> list[Shown]:
    """Return so many stalemates at most, with different squares of Black's king or men that give them."""
    found: dict[tuple[int | None, chess.PieceType | None], Shown] = {}
    for board in boards:
        if board.turn == chess.BLACK:
            continue
        for move in sorted(board.legal_moves, key=lambda move: move.uci()):
            after = board.copy(stack=False)
            after.push(move)
            if after.is_stalemate():
                key = after.king(chess.BLACK), board.piece_type_at(move.from_square)
                caption = words.stalemate_caption(board.san(move))
                found.setdefault(key, Shown(marked(after, caption, played=move)))
    return list(found.values())[:most]
