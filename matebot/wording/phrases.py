"""Small pieces of English: lists, counts, sides and lines."""

from __future__ import annotations

from collections.abc import Sequence


def listed(items: Sequence[str], word: str = "and") -> str:
    """Join items as in a sentence: ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {word} {items[-1]}"


def counted(number: int, noun: str) -> str:
    """Return a number with its noun in the right form: ``1 move``, ``3 moves``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def side(name: str) -> str:
    """Return a side as a name: ``White``."""
    return name.capitalize()


def other(name: str) -> str:
    """Return the other side."""
    return "black" if name == "white" else "white"


def sentence(text: str) -> str:
    """Begin with a capital and end with a full stop; a move keeps its own letters."""
    text = text.strip()
    is_move = text[1:2] in tuple("12345678") or (text[1:2] == "x" and text[3:4] in tuple("12345678"))
    return (text[:1] if is_move else text[:1].upper()) + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
