"""One position judged once: its verdict, its moves ranked, and its places on the ladders; handed on, never made again.

What comes after a move is a `Judged` too, made of this one: the position after a move is the one before the next.
"""

from __future__ import annotations

from functools import cached_property

import chess

from matebot.ideas.squares import gives_check
from matebot.laws.referee import Referee
from matebot.method.ladder import Rung
from matebot.method.library import Library
from matebot.method.standing import Standing
from matebot.play.ranking import Ranked, as_good, comparable, rank_with


class Judged:
    """A covered position and what is known of it, each thing worked out when it is first asked for.

    Parameters
    ----------
    library : the tables and the ladders
    referee : of the position; its board stays as it is
    """

    def __init__(self, library: Library, referee: Referee) -> None:
        self.library = library
        self.referee = referee
        self.board = referee.board
        self._after: dict[chess.Move, Judged] = {}
        self._names: dict[chess.Move, str] = {}

    @classmethod
    def of(cls, library: Library, board: chess.Board) -> Judged:
        """Judge a position with the moves on its stack; the board is kept, so it must not change afterwards.

        Raises
        ------
        Refusal
            when the position is not covered
        """
        return cls(library, Referee(board, library.tables))

    @cached_property
    def ranking(self) -> list[Ranked]:
        """Every legal move, best first."""
        return rank_with(self.referee)

    @cached_property
    def best(self) -> tuple[chess.Move, ...]:
        """The moves as good as the best one, in the order of the ranking; none where distances are only bounds."""
        found = self.referee.plainly_best()
        if found or not comparable(self.ranking):
            return found
        return tuple(item.move for item in self.ranking if as_good(item, self.ranking[0]))

    @cached_property
    def standings(self) -> tuple[Standing, ...]:
        """Where the position stands in each ladder of its ending; empty where the method has no say."""
        return self.library.standings_of(self.referee.stand) if self.referee.here().outcome else ()

    @cached_property
    def rung(self) -> Rung | None:
        """Where the position stands in the ladder that is followed, None without one."""
        return self.library.rung(self.referee.stand)

    def rung_after(self, move: chess.Move) -> Rung | None:
        """Return where the position after a legal move stands in its followed ladder; see `Library.rung_after`."""
        return self.library.rung_after(self.referee.stand, self.referee.steps[move])

    def item(self, move: chess.Move) -> Ranked:
        """Return what a legal move is worth."""
        return next(item for item in self.ranking if item.move == move)

    def after(self, move: chess.Move) -> Judged:
        """Return the position after a legal move, judged."""
        if move not in self._after:
            referee = self.referee.copy()
            referee.follow(move, self.referee.after(move))
            self._after[move] = Judged(self.library, referee)
        return self._after[move]

    def after_alone(self, move: chess.Move) -> Judged:
        """Return the position after a legal move judged as if a game began with it; not kept here."""
        referee = self.referee.copy()
        referee.follow(move, self.referee.after(move))
        referee.forget()
        return Judged(self.library, referee)

    def name(self, move: chess.Move) -> str:
        """Return a legal move in SAN."""
        if move not in self._names:
            self._names[move] = self._san(move)
        return self._names[move]

    def _san(self, move: chess.Move) -> str:
        """Return a move in SAN (PGN standard, 8.2.3) without making it: everything it takes is known already."""
        board, target = self.board, chess.square_name(move.to_square)
        kind = board.piece_type_at(move.from_square) or chess.PAWN
        takes = "x" if board.is_capture(move) else ""
        if kind == chess.PAWN:
            name = (chess.FILE_NAMES[move.from_square & 7] if takes else "") + takes + target
        else:
            name = chess.piece_symbol(kind).upper() + self._told_apart(move, kind) + takes + target
        if move.promotion:
            name += "=" + chess.piece_symbol(move.promotion).upper()
        if not gives_check(board, move):
            return name
        return name + ("#" if self.referee.after(move).cause == "checkmate" else "+")

    def _told_apart(self, move: chess.Move, kind: chess.PieceType) -> str:
        """Return file, rank or square of a man where another of its kind may go to the same square."""
        own = self.board.pieces_mask(kind, self.board.turn)
        if not own & own - 1:
            return ""  # as mostly: there is no other
        others = [
            other.from_square
            for other in self.referee.steps
            if other.to_square == move.to_square
            and other.from_square != move.from_square
            and self.board.piece_type_at(other.from_square) == kind
        ]
        square = chess.square_name(move.from_square)
        if not others:
            return ""
        if all(other & 7 != move.from_square & 7 for other in others):
            return square[0]
        return square[1] if all(other >> 3 != move.from_square >> 3 for other in others) else square
