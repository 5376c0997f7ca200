"""A man left that could be taken.

Definition. A winning move of the attacker that takes nothing, where a legal capture wins too: of a man that no legal
move takes back (see `taken_for_nothing`). Of several the one after which mate comes soonest, then the first by its name
in long algebraic form. *Later* is by how many moves it mates later; where it mates sooner, nothing is seen. The man is
*doomed* where it can be taken for nothing after every reply too, wherever it has gone.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, taken_for_nothing
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class LeavesMan(Idea):
    """A man that is not taken although it could be.

    Attributes
    ----------
    capture : how it could be taken
    later : by how many moves mate comes later then
    doomed : whether it falls after every reply as well
    """

    kind: ClassVar[str] = "leaves_man"
    capture: chess.Move
    later: int
    doomed: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> LeavesMan | None:
    """Return the capture that a winning move leaves for later, None without one."""
    theirs = before.occupied_co[not attacker] & ~before.kings
    if before.turn != attacker or not theirs or before.is_capture(move) or truth.outcome(after) >= 0:
        return None
    worth = truth.after(before)
    found = [
        (plies, capture.uci(), capture)
        for capture in before.generate_legal_moves(chess.BB_ALL, theirs)
        if (plies := worth[capture].mate_plies) is not None
        and worth[capture].outcome < 0
        and taken_for_nothing(before, capture.to_square)
    ]
    if not found:
        return None
    plies, _, capture = min(found)
    later = (plies - (worth[move].mate_plies or 0)) // 2
    return LeavesMan(capture, later, _is_doomed(after, capture.to_square)) if later >= 0 else None


def _is_doomed(after: chess.Board, man: chess.Square) -> bool:
    """Whether a man of the side on move can be taken for nothing after each of its moves."""
    for reply in after.generate_legal_moves():
        at = reply.to_square if reply.from_square == man else man
        if reply.promotion or not taken_for_nothing(after_move(after, reply), at):
            return False
    return True
