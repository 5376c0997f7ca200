"""Stalemates that lie beside the way: moves of White's after which Black has none."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.games.positions import Wish, practice
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.taught import Example, ExampleKind
from matebot.wording import lesson as words

_DRAWN, _MOVES = 60, (1, 4)


def near_mate(library: ByLadder, seed: int, mirror: bool) -> list[chess.Board]:
    """Return positions of the last stage, White to move, a few moves before mate: drawn by lot."""
    wish = Wish(library.material, stage=library.plan.stages[-1].title, strong=chess.WHITE, mate_in=_MOVES)
    return [turned(drawn.board, mirror) for drawn in practice(library, wish, _DRAWN, seed)]


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
                    # After a promotion the last stage goes on.
                    stage = library.stage_of(board) or len(library.plan.stages)
                    found[key] = Example(ExampleKind.STALEMATE, stage, picture)
    return list(found.values())[:most]
