"""What a man sees of one square in one position, by plain integers: for questions about few positions."""

from __future__ import annotations

from typing import Final

from matebot.solver import geometry as geo

#: By man and colour, what a man sees from each square on an empty board, and for each square what lies before another.
_SEES: Final = {
    (man, white): [int(mask) for mask in geo.open_board(man, white)] for man in "KQRBNP" for white in (True, False)
}
_BETWEEN: Final = [[int(mask) for mask in row] for row in geo.BETWEEN]


def sees(man: str, white: bool, source: int, target: int, occupied: int) -> bool:
    """Whether a man on a square sees another one past the squares occupied, a mask; those two do not matter."""
    return bool(_SEES[man, white][source] >> target & 1) and not _BETWEEN[source][target] & occupied
