"""The knight's W in pictures: ready to begin, its first step with both replies, and the king that runs out, caught."""

from __future__ import annotations

from itertools import pairwise

import chess

from matebot.ideas.cage import cage
from matebot.ideas.knights_w import way
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.picture import Picture
from matebot.lessons.taught import Example, ExampleKind
from matebot.method.plans.minors import KNIGHTS_W
from matebot.play.truth import TableTruth
from matebot.wording import lesson as words

_CATCHING_PLIES = 8


def w_pictures(library: ByLadder, mirror: bool) -> list[Example]:
    """Return the pictures, in the order in which they are taught; all belong to the stage in which the W begins."""
    truth = TableTruth(library)
    ready = turned(chess.Board(KNIGHTS_W), mirror)
    stage = library.stage_of(ready)
    step = truth.answer(ready)
    assert step is not None
    route = way(chess.H8 if mirror else chess.A8, by_rank=True).route
    routes = tuple(pairwise(route))
    knight, bishop = (chess.square_name(next(iter(ready.pieces(k, chess.WHITE)))) for k in (chess.KNIGHT, chess.BISHOP))
    king = ready.king(chess.WHITE)
    assert king is not None
    picture = marked(ready, words.ready_caption(knight, bishop, chess.square_name(king)), routes=routes)
    shown = [Example(ExampleKind.W_READY, stage, picture)]
    after = ready.copy(stack=False)
    after.push(step)
    for reply in sorted(after.legal_moves, key=lambda move: move.uci()):
        replied = after.copy(stack=False)
        replied.push(reply)
        answer = truth.answer(replied)
        assert answer is not None
        caption = words.answer_caption(ready.san(step), after.san(reply), replied.san(answer))
        picture = marked(replied, caption, reply=answer, routes=((reply.from_square, reply.to_square),))
        shown.append(Example(ExampleKind.W_REPLY, stage, picture))
    return [*shown, *(Example(ExampleKind.CAGE, stage, picture) for picture in _caught(after, truth))]


def _caught(after: chess.Board, truth: TableTruth) -> list[Picture]:
    """Follow the king that runs out, by the longest defence, until the cage is shut."""
    board = after.copy(stack=False)
    for _ in range(_CATCHING_PLIES):
        move = truth.answer(board)
        if move is None:
            break
        san = board.san(move)
        board.push(move)
        shut = cage(board, chess.WHITE)
        if board.turn == chess.BLACK and shut is not None:
            return [marked(board.copy(stack=False), words.cage_caption(san, len(shut)), played=move)]
    return []
