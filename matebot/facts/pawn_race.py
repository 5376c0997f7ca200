"""The race between a lone pawn and the defending king."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, lone_pawn
from matebot.facts.played import Played
from matebot.ideas.squares import king_steps, pawn_way
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
    runs_alone : whether the attacker's only pawn, other men beside it or not, has a free way after his move, and the
        other king, bare and to move, is at least two steps too far from its promotion square
    clears_way : whether the man that moved stood before that pawn, and stands there no more
    """

    pawn_moves: int | None = None
    catch_steps: int | None = None
    pawn_goal: str | None = None
    runs_alone: bool = False
    clears_way: bool = False

    @property
    def steps_short(self) -> int | None:
        """By how many steps more than the pawn has moves the other king is away; None without a race."""
        return None if self.pawn_moves is None or self.catch_steps is None else self.catch_steps - self.pawn_moves

    @classmethod
    def of(cls, played: Played) -> PawnRace:
        """Return the race after a move."""
        attacker, after = played.attacker, played.after
        mine = 0 if attacker is None else after.pawns & after.occupied_co[attacker]
        if attacker is None or mine.bit_count() != 1:
            return cls()
        pawn = mine.bit_length() - 1
        goal = chess.square(chess.square_file(pawn), 7 if attacker else 0)
        way = pawn_way(pawn, attacker)
        source, target = (chess.BB_SQUARES[square] for square in (played.move.from_square, played.move.to_square))
        clears = played.by_attacker and bool(way & source) and not way & target
        if after.occupied & way:
            return cls(clears_way=clears)
        moves = min(abs(chess.square_rank(goal) - chess.square_rank(pawn)), _FROM_ITS_HOME_SQUARE)
        steps = king_steps(king_square(after, not attacker), goal)
        bare = after.occupied_co[not attacker].bit_count() == 1
        alone = played.by_attacker and bare and steps > moves + 1
        if lone_pawn(after, attacker) is None:
            return cls(runs_alone=alone, clears_way=clears)
        return cls(moves, steps, chess.square_name(goal), alone, clears)
