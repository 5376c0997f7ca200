"""A picture for each stage in which its work is done or nearly done, with the conditions ticked off."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.ideas.conditions import ticked
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, Ply
from matebot.lessons.picture import Picture
from matebot.lessons.taught import StageTaught
from matebot.method.plan import Figures, Stage
from matebot.wording import lesson as words


def stages_taught(
    library: ByLadder, games: list[list[Ply]], well_known: Iterable[chess.Board], figures: Figures
) -> tuple[StageTaught, ...]:
    """Return every stage with a picture: of what the games show, the last of the first one in which most is ticked.

    Parameters
    ----------
    well_known : positions, White to move, that are taken where they show more
    """
    plan = library.plan
    known = [(board, rung.stage) for board in well_known if (rung := library.rung(library.tables.stand(board)[0]))]
    shown: list[Picture] = []
    found: list[StageTaught] = []
    for number, (stage, most) in enumerate(zip(plan.stages, figures.stage_longest_moves, strict=True)):
        # The mate, and what the stage before has shown with the other side to move, are pictures already.
        before = {picture.board.board_fen() for picture in shown}
        first, *others = [_boards(game, number, before) for game in games]
        textbook = [board for board, at in known if at == number and board.board_fen() not in before]
        # Of those that show as much the last is taken: of the first game, which is told as a whole, if it has any.
        boards = [board for some in (*reversed(others), textbook, first) for board in some]
        best = _fullest(stage, boards)
        picture = None if best is None else marked(best, words.stage_caption(number + 1, stage.title))
        shown += [] if picture is None else [picture]
        ticks = () if best is None else tuple(ticked(stage, best, chess.WHITE).items())
        found.append(StageTaught(number + 1, stage.title, stage.aim, stage.trap, most, ticks, picture))
    return tuple(found)


def _boards(game: list[Ply], stage: int, before: set[str]) -> list[chess.Board]:
    """Return the positions of a game in a stage, before and after each move, without mate and those shown before."""
    around = (
        board for ply in game if ply.stage == stage and not ply.move.promotion for board in (ply.before, ply.after)
    )
    return [board for board in around if not board.is_checkmate() and board.board_fen() not in before]


def _fullest(stage: Stage, boards: list[chess.Board]) -> chess.Board | None:
    """Return the last position in which most conditions of a stage hold."""

    def ticks(board: chess.Board) -> int:
        return sum(ticked(stage, board, chess.WHITE).values())

    return max(reversed(boards), key=ticks, default=None)
