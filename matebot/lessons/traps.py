"""Stalemates that lie beside the way: moves of White's in the positions of a game after which Black has none."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder
from matebot.lessons.taught import Example, ExampleKind
from matebot.wording import lesson as words


def stalemates(library: ByLadder, boards: Iterable[chess.Board], most: int) -> list[Example]:
    """Return so many stalemates at most, with different squares of Black's king or men that give them."""
    found: dict[tuple[int | None, chess.PieceType | None], Example] = {}
    for board in boards:
        if board.turn == chess.BLACK:
            continue
        for move in sorted(board.legal_moves, key=lambda move: move.uci()):
            after = board.copy(stack=False)
            after.push(move)
            if after.is_stalemate():
                key = after.king(chess.BLACK), board.piece_type_at(move.from_square)
                if key not in found:
                    picture = marked(after, words.stalemate_caption(board.san(move)), played=move)
                    found[key] = Example(ExampleKind.STALEMATE, library.stage_of(board), picture)
    return list(found.values())[:most]
