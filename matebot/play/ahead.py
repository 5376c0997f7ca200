"""What is ranked while nothing is asked, so that the rows of five men are at hand when the game goes on."""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.play.judged import Judged


def rank_ahead(judged: Judged, played: chess.Move, wanted: Callable[[], bool]) -> None:
    """Rank the moves after each quiet reply to a move, until this process is wanted.

    That takes reading rows and no more: what has come twice, and what follows a capture or pawn move, is left out.
    """
    after = judged.after(played)
    for move, step in after.referee.steps.items():
        if wanted() or after.referee.has_repeated:
            return
        if not step.zeroing and not (there := after.after(move)).referee.has_repeated:
            for reply in there.referee.steps:
                if wanted():
                    return
                there.referee.after(reply)
            _ = there.ranking
