"""What a slip is said to have cost: a win, a draw, the game, or moves, and no other than what it cost."""

from __future__ import annotations

import re

#: What is gone, and the outcome before and after the move for the side that makes it.
_GONE = {"the win is gone": (1, 0), "the draw is gone": (0, -1), "the game is lost": (1, -1)}


def wrong_price(text: str, before: int, after: int) -> str:
    """Return what is said to be gone and is not, or is gone and not said; nothing where all is so.

    Parameters
    ----------
    text : all sentences about a move
    before, after : outcomes for the side that makes it
    """
    said = [words for words in _GONE if words in text]
    for words in said:
        if _GONE[words] != (before, after):
            return f"{words}, from {before} to {after}: {text!r}"
    plain = re.search(r"is stalemate|is checkmate|runs into mate|allows mate|mate in one|throws the win away|#", text)
    return "" if said or after >= before or plain else f"nothing is said to be gone from {before} to {after}: {text!r}"
