"""A game of our own as PGN in export format: the seven tag roster first, no line longer than 80 characters.

Source: PGN standard, 4.3 (lines), 8.1 (tags), 8.2.5 (comments).
"""

from __future__ import annotations

import chess.pgn

from matebot.quoting import as_pgn_comment, as_pgn_tag

_LINE = 80
_MOST_COMMENT = 10_000


def pgn_text(game: chess.pgn.Game) -> str:
    """Return the text of a game, with the blank line that ends it."""
    return f"{game.accept(_Exporter(columns=_LINE))}\n\n"


class _Exporter(chess.pgn.StringExporter):
    """Writes tags safely and breaks comments at their blanks, which python-chess does not."""

    def visit_header(self, tagname: str, tagvalue: str) -> None:
        """Write a tag."""
        super().visit_header(tagname, as_pgn_tag(tagvalue))

    def visit_comment(self, comment: str) -> None:
        """Write a comment word by word."""
        text = " ".join(comment.split())
        for word in f"{{ {as_pgn_comment(text, _MOST_COMMENT)} }}".split():
            self.write_token(f"{word} ")
        self.force_movenumber = True
