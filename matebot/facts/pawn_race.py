"""The race between a lone pawn and the defending king."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, lone_pawn
from matebot.facts.played import Played
from matebot.ideas.squares import king_steps
from matebot.records import dataclass

_FROM_ITS_HOME_SQUARE = 5


@dataclass(frozen=True, slots=True)
class PawnRace:
    """A lone pawn with nobody in its way; all None where there is none.

    Attributes
    ----------
    pawn_moves : moves of the pawn to promotion, a double step counted as one
    catch_steps : steps of the other king to the square of promotion
    pawn_goal : that square
    """

    pawn_moves: int | None = None
    catch_steps: int | None = None
    pawn_goal: str | None = None

    @classmethod
    def of(cls, played: Played) -> PawnRace:
        """Return the race after a move."""
        attacker, after = played.attacker, played.after
        pawn = None if attacker is None else lone_pawn(after, attacker)
        if pawn is None or attacker is None:
            return cls()
        goal = chess.square(chess.square_file(pawn), 7 if attacker else 0)
        if after.occupied & (chess.between(pawn, goal) | chess.BB_SQUARES[goal]):
            return cls()
        steps = min(abs(chess.square_rank(goal) - chess.square_rank(pawn)), _FROM_ITS_HOME_SQUARE)
        return cls(steps, king_steps(king_square(after, not attacker), goal), chess.square_name(goal))
