"""The defender's only piece, as it is kept by a defence and by the others.

Definition. A piece is *kept* where no check or capture wins it. A shorter defence *loses* it where it allows such a
check or capture, though mate may come sooner than that. Where as many shorter defences are mated at once as lose the
piece, it is not the piece that tells.
"""

from __future__ import annotations

from functools import cached_property

import chess

from matebot.ideas.falling import piece_falls, piece_won_by
from matebot.ideas.shorter import soonest
from matebot.ideas.truth import Truth

#: A move and the board after it.
_Made = tuple[chess.Move, chess.Board]
#: So many plies are left where mate follows at once.
_AT_ONCE = 1


class KeptPiece:
    """The only piece of the side that defends, each thing looked for when it is asked for.

    Parameters
    ----------
    before, after : the boards around the defence
    attacker : the side that wins
    truth : knows how long each move lasts, None where that is not known
    others : the defences that last less long, and those that last as long
    """

    def __init__(
        self,
        before: chess.Board,
        after: chess.Board,
        attacker: chess.Color,
        truth: Truth | None,
        others: tuple[list[_Made], list[_Made]],
    ) -> None:
        self._before, self._after, self._attacker, self._truth = before, after, attacker, truth
        self._shorter, self._as_long = others
        self._won: dict[chess.Move, tuple[bool, chess.Move | None]] = {}

    @cached_property
    def man(self) -> chess.PieceType | None:
        """The kind of the defender's only piece where no check or capture wins it; None without."""
        own = self._after.occupied_co[not self._attacker] & ~self._after.kings
        if own.bit_count() != 1 or own & self._after.pawns or self._truth is None or piece_falls(self._after):
            return None
        return self._after.piece_type_at(own.bit_length() - 1)

    @cached_property
    def all_else_lose(self) -> bool:
        """Whether the one piece is kept so, and there are shorter defences, all of which lose it."""
        return self.man is not None and bool(self._shorter) and all(map(self._loses, self._shorter))

    @property
    def mostly_lost(self) -> bool:
        """Whether at least half of the shorter defences lose the one piece."""
        return 2 * self._losing >= len(self._shorter)

    @cached_property
    def else_kept(self) -> list[chess.Move]:
        """The other defences that do not lose the one piece to a check or capture either."""
        shorter = [move for move, there in self._shorter if not self._loses((move, there))]
        return [*(move for move, there in self._as_long if not piece_falls(there)), *shorter]

    @cached_property
    def telling_man(self) -> chess.PieceType | None:
        """The same as `man` where half of the moves or more lose it, and more than are mated at once; see `man`.

        None where a defence that lasts as long loses it.
        """
        if self.man is None or any(piece_falls(there) for _, there in self._as_long):
            return None
        return self.man if 2 * self._losing >= self._moves and self._mated < self._losing else None

    @property
    def lost_by_half(self) -> bool:
        """Whether no more than half of the moves lose the one piece."""
        return 2 * self._losing <= self._moves

    @cached_property
    def lost_to(self) -> tuple[chess.Move, chess.Move] | None:
        """The longest shorter defence that leaves the one piece to a check, no capture, that mates soonest, and it."""
        if self._truth is None:
            return None
        worth = self._truth.after(self._before)
        for move, there in sorted(self._shorter, key=lambda one: (-(worth[one[0]].mate_plies or 0), one[0].uci())):
            if (check := self._won_by(move, there)[1]) is not None and check in soonest(there, self._truth):
                return move, check
        return None

    @cached_property
    def _losing(self) -> int:
        return sum(map(self._loses, self._shorter))

    @cached_property
    def _mated(self) -> int:
        """How many shorter defences are mated at once."""
        worth = {} if self._truth is None else self._truth.after(self._before)
        return sum(worth[move].mate_plies == _AT_ONCE for move, _ in self._shorter)

    @property
    def _moves(self) -> int:
        return 1 + len(self._shorter) + len(self._as_long)

    def _loses(self, shorter: _Made) -> bool:
        """Whether a shorter defence loses the one piece."""
        return self._won_by(*shorter)[0]

    def _won_by(self, move: chess.Move, there: chess.Board) -> tuple[bool, chess.Move | None]:
        """Return whether a shorter defence loses the one piece, and the check that wins it; looked for once."""
        if move not in self._won:
            self._won[move] = piece_won_by(there)
        return self._won[move]
