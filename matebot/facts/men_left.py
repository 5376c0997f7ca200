"""The men of both sides after a move."""

from __future__ import annotations

import chess

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class MenLeft:
    """The men left.

    Attributes
    ----------
    attacker_men, defender_men : kinds of men beside the kings, the best first; none where neither side is the attacker
    """

    attacker_men: tuple[str, ...]
    defender_men: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> MenLeft:
        """Return the men after a move."""
        return cls(_kinds(played.after, played.attacker), _kinds(played.after, played.defender))


def _kinds(board: chess.Board, colour: chess.Color | None) -> tuple[str, ...]:
    if colour is None:
        return ()
    found = [p.piece_type for p in board.piece_map().values() if p.color == colour and p.piece_type != chess.KING]
    return tuple(chess.piece_name(piece_type) for piece_type in sorted(found, reverse=True))
