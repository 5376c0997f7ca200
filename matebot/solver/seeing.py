"""What a man sees of one square in one position, by plain integers: for questions about few positions."""

from __future__ import annotations

from typing import Final

from matebot.solver import geometry as geo

#: By man and colour, what a man sees from each square on an empty board, and by two squares what lies between them: a
#: man sees another one where the first holds and nothing stands on the second.
SEES: Final = {
    (man, white): [int(mask) for mask in geo.open_board(man, white)] for man in "KQRBNP" for white in (True, False)
}
BETWEEN: Final = [[int(mask) for mask in row] for row in geo.BETWEEN]
