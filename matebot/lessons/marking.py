"""Marks a position for a lesson: what the ideas see there becomes shading, rings, letters and arrows."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from matebot.ideas.cage import cage
from matebot.ideas.guards import guards
from matebot.ideas.holes import holes
from matebot.ideas.king_range import king_range
from matebot.lessons.picture import Picture
from matebot.wording.lesson import alternative

#: A wider range is no picture of anything and is left unshaded.
_TELLING_RANGE = 20


def marked(
    board: chess.Board,
    caption: str,
    attacker: chess.Color = chess.WHITE,
    played: chess.Move | None = None,
    reply: chess.Move | None = None,
    stars: Iterable[chess.Square] = (),
    bare: bool = False,
    routes: tuple[tuple[chess.Square, chess.Square], ...] = (),
) -> Picture:
    """Return a picture of a position with what is to be seen in it.

    Parameters
    ----------
    played : the move that led here, as an arrow
    reply : the move that follows, as a dashed arrow
    stars : squares to know
    bare : show the men only
    routes : arrows beside the move played
    """
    text = alternative(_men(board), chess.COLOR_NAMES[board.turn].capitalize(), caption)
    arrows = (*(() if played is None else (_arrow(played),)), *routes)
    replies = () if reply is None else (_arrow(reply),)
    reach = king_range(board, attacker)
    shut = cage(board, attacker) is not None
    telling = not bare and not board.pawns and len(reach) <= _TELLING_RANGE
    return Picture(
        board,
        caption,
        text,
        reach if telling else (),
        shut and telling,
        holes(board, attacker) if not bare and not board.pawns | board.rooks | board.queens else (),
        guards(board, attacker) if shut and telling else {},
        arrows,
        replies,
        stars,
    )


def _arrow(move: chess.Move) -> tuple[chess.Square, chess.Square]:
    return move.from_square, move.to_square


def _men(board: chess.Board) -> dict[str, list[str]]:
    """Return the men of each side as ``Kd5``, the king first, then the best first."""
    found: dict[str, list[str]] = {}
    for colour in chess.COLORS:
        men = sorted(
            (-piece.piece_type, square) for square, piece in board.piece_map().items() if piece.color == colour
        )
        found[chess.COLOR_NAMES[colour].capitalize()] = [
            chess.piece_symbol(-kind).upper().replace("P", "") + chess.square_name(square) for kind, square in men
        ]
    return found
