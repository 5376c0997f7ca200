"""Small pieces of English: lists, counts, sides and lines."""

from __future__ import annotations

from collections.abc import Sequence

#: As long is a line of an explanation at most, the side before it counted.
LINE = 120


def listed(items: Sequence[str], word: str = "and") -> str:
    """Join items as in a sentence: ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {word} {items[-1]}"


def mate_in(moves: int, exact: bool) -> str:
    """Return how far it is to mate; a bound is never given as the number: ``mate in at most 30``."""
    return f"mate in {bounded(moves, exact)}"


def bounded(moves: int, exact: bool) -> str:
    """Return a number of moves, or that it is at most so many."""
    return f"{moves}" if exact else f"at most {moves}"


def takes_clause(kind: str, guarded: bool) -> str:
    """Say what a capture takes."""
    return f"takes the {'' if guarded else 'loose '}{kind}"


def counted(number: int, noun: str) -> str:
    """Return a number with its noun in the right form: ``1 move``, ``3 moves``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def be(found: Sequence[object]) -> str:
    """Return the verb for one thing or for several."""
    return "is" if len(found) == 1 else "are"


def line_name(line: str) -> str:
    """Return a line of the board as in a sentence: ``rank 5``, ``the e-file``, ``the diagonal a2-g8``."""
    kind, name = line.split()
    return {"rank": line, "file": f"the {name}-file"}.get(kind, f"the {line}")


def rule_leaves(left: int) -> str:
    """Say how many moves the fifty-move rule leaves."""
    return f"the fifty-move rule leaves {counted(left, 'move') if left else 'no move'}"


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
