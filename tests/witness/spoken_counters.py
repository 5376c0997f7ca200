"""Reads by what reply a lost defence is met, and what that does."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import counters
from tests.witness.ideas.must_first import quickest
from tests.witness.spoken import MAN, SAN, SQUARES, Spoken, hold, lasts, legal, squares_in, then
from tests.witness.spoken_men import Found, Reader

_KING = r"(?P<side>White|Black)'s king"
#: What a reply does.
DOES = {
    "drives": rf"drives? {_KING} to the edge",
    "parts": rf"drives? {_KING} away from its (?P<man>{MAN})",
    "hits": rf"attacks? the (?P<man>{MAN})",
    "saves": rf"saves? the (?P<man>{MAN})",
    "takes": rf"takes? (?P<squares>{SQUARES}) from {_KING}",
    "nears": rf"brings? {_KING} nearer",
}
_REASONS = "|".join(re.sub(r"\?P<\w+>", "?:", DOES[kind]) for kind in DOES if kind != "drives")
_ANY = "|".join(re.sub(r"\?P<\w+>", "?:", pattern) for pattern in DOES.values())
LETS = rf"(?P<other>{SAN}) lets (?P<reply>{SAN}) (?P<deed>{_REASONS})"


def does(name: str, text: str, board: chess.Board, about: Spoken) -> int:
    """Hold that a reply mates as soon as any, and does what is said of it."""
    hold(legal(board, name).uci() in quickest(board, about.told), f"{name} is the quickest")
    if not text:
        return 1
    kind, found = next((k, m) for k, pattern in DOES.items() if (m := re.fullmatch(pattern, text)))
    seen, groups = counters.deed(board, legal(board, name), about.attacker), found.groupdict()
    hold(seen is not None and seen["does"] == kind, f"{name} {text}")
    assert seen is not None
    hold(groups.get("man") in (None, seen["man"]), text)
    named = [chess.square_name(square) for square in squares_in(groups.get("squares") or "")]
    hold(named == seen["squares"], text)
    whose = about.attacker if kind == "nears" else not about.attacker
    return 2 + hold(groups.get("side") in (None, "White" if whose else "Black"), "whose king")


def lets(found: Found, about: Spoken) -> int:
    """Hold that another defence is shorter, what it is met by, and that this tells it from the longest ones."""
    there = then(about.before, legal(about.before, found["other"]))
    hold(lasts(about, there) < lasts(about, about.after), found[0])
    return 1 + does(found["reply"], found["deed"], there, about) + _apart(found["reply"], there, about)


def _apart(name: str, there: chess.Board, about: Spoken) -> int:
    after = [then(about.before, move) for move in about.before.legal_moves]
    longest = max(lasts(about, board) for board in after)
    best = [board for board in after if lasts(about, board) == longest]
    seen = counters.deed(there, legal(there, name), about.attacker)
    return hold(
        counters.tells(there, legal(there, name).uci(), seen or {}, best, about.attacker, about.told),
        f"{name} tells them apart",
    )


def _met(found: Found, about: Spoken) -> int:
    longest = max(lasts(about, then(about.before, move)) for move in about.before.legal_moves)
    gap = longest - lasts(about, about.after)
    hold(gap == (2 if found["loses"] else 0), "how long it lasts")
    count = does(found["reply"], found["deed"] or "", about.after, about)
    return count + (_apart(found["reply"], about.after, about) if "it lets" in found[0] else 0)


def _comes_too(found: Found, about: Spoken) -> int:
    """Hold that a reply mates soonest after this move and after the better one."""
    better = then(about.before, legal(about.before, found["better"]))
    hold(lasts(about, better) - lasts(about, about.after) == 2, "a move")
    return does(found["reply"], "", about.after, about) + does(found["reply"], "", better, about)


COUNTERS: tuple[tuple[str, Reader], ...] = (
    (
        r"(?:(?P<loses>loses a move and )|holds out longest, but )?"
        rf"is met by (?P<reply>{SAN})(?:, which (?P<deed>{_ANY}))?",
        _met,
    ),
    (rf"loses a move: either way comes (?P<reply>{SAN}), but (?P<better>{SAN}) holds out longer", _comes_too),
    (rf"(?P<loses>loses a move): it lets (?P<reply>{SAN}) (?P<deed>{_REASONS})", _met),
)
