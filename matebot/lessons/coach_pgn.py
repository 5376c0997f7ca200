"""Reads a coach's lesson: games in PGN whose positions are all covered, with variations, remarks and marks.

A picture is wanted where the null annotation ``$0`` stands (PGN standard, section 10: it says nothing of the move, so
it is free to say this) or a remark of the one word "picture" or "diagram". Never judges anything.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import chess
import chess.pgn

from matebot.errors import UserError
from matebot.quoting import shown
from matebot.solver.coverage import Refusal
from matebot.solver.tables import Tables
from matebot.whole_file import named

PICTURE = 0
_WORDS = frozenset(("picture", "diagram"))
_MOST_BYTES, _MOST_GAMES, _MOST_MOVES, _MOST_DEPTH = 1024 * 1024, 20, 2_000, 12


class Builder(chess.pgn.GameBuilder[chess.pgn.Game]):
    """Makes the remark of one word a glyph, and keeps remarks apart from it."""

    def __init__(self) -> None:
        super().__init__()
        self.depth = self.deepest = 0

    def visit_comment(self, comment: str) -> None:
        """Take a remark, or a wish for a picture."""
        if comment.strip(" .!:").casefold() in _WORDS:
            self.visit_nag(PICTURE)
        else:
            super().visit_comment(comment)

    def begin_variation(self) -> None:
        """Go one deeper."""
        self.depth += 1
        self.deepest = max(self.deepest, self.depth)
        super().begin_variation()

    def end_variation(self) -> None:
        """Come back."""
        self.depth -= 1
        super().end_variation()

    def handle_error(self, error: Exception) -> None:
        """Keep a fault without a word."""
        self.game.errors.append(error)

    def result(self) -> chess.pgn.Game:
        """Return the game, with a fault where variations lie too deep within each other."""
        if self.deepest > _MOST_DEPTH:
            self.game.errors.append(ValueError(f"variations more than {_MOST_DEPTH} deep"))
        return self.game


def read_lesson(path: Path, tables: Tables) -> list[chess.pgn.Game]:
    """Return the games of a file, all of their positions covered.

    Raises
    ------
    UserError
        when the file cannot be read, or holds a game that cannot be understood whole, or a position not covered
    """
    with named(path, "read"):
        if not path.is_file():
            raise UserError(f"expected a file of games in PGN, got {str(path)!r}")
        with path.open("rb") as file:
            data = file.read(_MOST_BYTES + 1)
    if len(data) > _MOST_BYTES:
        raise UserError(f"expected a lesson of at most {_MOST_BYTES // 1024} KiB, got more in {str(path)!r}")
    text = io.StringIO(data.decode("utf-8-sig", "replace"))
    games: list[chess.pgn.Game] = []
    while (game := chess.pgn.read_game(text, Visitor=Builder)) is not None:
        if not (game.errors or game.variations or "FEN" in game.headers):
            continue
        games.append(game)
        if len(games) > _MOST_GAMES:
            raise UserError(f"expected a lesson of at most {_MOST_GAMES} games, got more in {str(path)!r}")
        _check(game, len(games), tables)
    if not games:
        raise UserError(f"expected a lesson in PGN with moves or a position, got none in {str(path)!r}")
    return games


def _check(game: chess.pgn.Game, number: int, tables: Tables) -> None:
    if game.errors:
        raise UserError(f"game {number}: expected moves that can be read, got {shown(str(game.errors[0]))!r}")
    for count, node in enumerate(nodes(game)):
        if count > _MOST_MOVES:
            raise UserError(f"game {number}: expected at most {_MOST_MOVES} moves with variations, got more")
        if node.move is not None and not node.move:
            raise UserError(
                f"game {number}: expected moves, got a null move after {node.parent and place(node.parent)}"
            )
        try:
            tables.check(node.board())
        except Refusal as fault:
            raise UserError(f"game {number}, {place(node)}: expected a covered position, got {fault}") from None


def nodes(game: chess.pgn.Game) -> Iterator[chess.pgn.GameNode]:
    """Yield all nodes of a game, variations included."""
    waiting: list[chess.pgn.GameNode] = [game]
    while waiting:
        node = waiting.pop()
        yield node
        waiting += node.variations


def place(node: chess.pgn.GameNode) -> str:
    """Say where in a game a node is."""
    if not isinstance(node, chess.pgn.ChildNode):
        return "its start"
    before = node.parent.board()
    return f"after {before.fullmove_number}{'.' if before.turn else '...'} {node.san()}"
