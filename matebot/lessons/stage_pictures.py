"""A picture for each stage in which its work is done or nearly done, with the conditions ticked off."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.ideas.conditions import ticked
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply
from matebot.lessons.sheet import Gallery, Shown, Ticks, Words
from matebot.wording import lesson as words


def stage_pictures(library: ByLadder, game: list[Ply], others: Iterable[chess.Board], chosen: set[int]) -> Gallery:
    """Return a picture for each stage chosen: of what the game shows of it, the last in which most is ticked.

    Parameters
    ----------
    others : well-known positions, White to move, that are taken where they show more
    chosen : numbers of stages, 0 the first
    """
    plan = library.plan
    known = [(board, rung.stage) for board in others if (rung := library.rung(library.tables.stand(board)[0]))]
    shown: list[Shown] = []
    for number, stage in enumerate(plan.stages):
        boards = [board for board, at in known if at == number]
        boards += [board for ply in game if ply.stage == number for board in (ply.before, ply.after)]
        # The mate, and what the stage before has shown with the other side to move, are pictures already.
        before = {item.picture.board.board_fen() for item in shown}
        boards = [board for board in boards if not board.is_checkmate() and board.board_fen() not in before]
        if number not in chosen or not boards:
            continue
        most = max(_ticks(plan.name, number, board) for board in boards)
        best = [board for board in boards if _ticks(plan.name, number, board) == most][-1]
        marks = ticked(plan.name, number, best, chess.WHITE)
        under = Ticks(tuple((words.CONDITIONS[condition], there) for condition, there in marks.items()))
        caption = words.stage_caption(number + 1, stage.title)
        shown.append(Shown(marked(best, caption), (Words(f"{stage.aim[:1].upper()}{stage.aim[1:]}."), under)))
    return Gallery(tuple(shown))


def _ticks(ladder: str, number: int, board: chess.Board) -> int:
    return sum(ticked(ladder, number, board, chess.WHITE).values())
