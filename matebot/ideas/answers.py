"""Answers to each reply, and the critical reply.

Definition. After a move of the attacker that leaves the defender one to three legal replies, all lost: the move that is
taught after each reply (none where the reply ends the game), replies with the same answer together, those that last
longest first. The critical reply lasts longer than every other; by how many moves (of the attacker) is counted against
the next. With several that last longest there is none.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.records import dataclass

MOST_REPLIES = 3


@dataclass(frozen=True)
class Answer(Idea):
    """Replies, and the move that is taught after them.

    Attributes
    ----------
    replies : the replies, the one that lasts longest first
    move : the answer
    """

    kind: ClassVar[str] = "answer"
    replies: tuple[chess.Move, ...]
    move: chess.Move | None


@dataclass(frozen=True)
class Answers(Idea):
    """What follows each reply.

    Attributes
    ----------
    answers : replies with their answers
    critical : the reply that lasts longest, None where several do or there is only one
    longer_by : by how many moves, 0 without
    """

    kind: ClassVar[str] = "answers"
    answers: tuple[Answer, ...]
    critical: chess.Move | None
    longer_by: int


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Answers | None:
    """Return the answers to the replies after a move of the attacker, None where there are none or too many."""
    replies = truth.after(after) if before.turn == attacker else {}
    if not 0 < len(replies) <= MOST_REPLIES:
        return None
    found: list[tuple[int, chess.Move, chess.Move | None]] = []
    for reply, (outcome, plies) in sorted(replies.items(), key=lambda item: item[0].uci()):
        if plies is None or outcome <= 0:
            return None
        board = after_move(after, reply)
        found.append((plies, reply, truth.answer(board)))
    found.sort(key=lambda item: -item[0])
    together: dict[chess.Move | None, list[chess.Move]] = {}
    for _, reply, answer in found:
        together.setdefault(answer, []).append(reply)
    answers = tuple(Answer(tuple(same), answer) for answer, same in together.items())
    longer = (found[0][0] - found[1][0]) // 2 if len(found) > 1 else 0
    return Answers(answers, found[0][1] if longer else None, longer)
