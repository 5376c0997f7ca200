"""Reads by what reply a lost defence is met, and what that does."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas import counters
from tests.witness.ideas.must_first import quickest
from tests.witness.spoken import MAN, SAN, SQUARES, Spoken, hold, lasts, legal, nearer_the_centre, squares_in, then
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


#: What a reply does that decides nothing.
PLAIN = {
    "attacks": rf"attacks the (?P<man>{MAN})",
    "guards": rf"guards (?P<squares>{SQUARES}) on the pawn's way",
    "pins": rf"pins the (?P<man>{MAN})",
    "drives": rf"drives {_KING} from (?P<squares>{SQUARES})",
    "leaves": rf"leaves {_KING} only (?P<squares>{SQUARES})",
    "takes": DOES["takes"].replace("s?", "s"),
    "shuts": rf"shuts (?:the (?P<file>[a-h])-file|rank (?P<rank>[1-8])) to {_KING}",
    "nears": rf"brings (?:{_KING}|the (?P<man>knight)) nearer",
}
_PLAIN = "|".join(re.sub(r"\?P<\w+>", "?:", pattern) for pattern in PLAIN.values())


def _does_plainly(name: str, text: str, board: chess.Board, about: Spoken) -> int:
    """Hold what a reply does by the board before it and after it, as far as one of several readings of it goes."""
    reply = legal(board, name)
    there, king = then(board, reply), board.king(not board.turn)
    assert king is not None
    return hold(
        any(
            _plain_deed(kind, found, reply, board, there, king)
            for kind, pattern in PLAIN.items()
            if (found := re.fullmatch(pattern, text))
        ),
        f"{name} {text}",
    )


def _plain_deed(
    kind: str, found: re.Match[str], reply: chess.Move, board: chess.Board, there: chess.Board, king: chess.Square
) -> bool:
    groups, side = found.groupdict(), board.turn
    named = sorted(squares_in(groups.get("squares") or ""))
    if kind == "attacks":
        (man,) = [s for s, p in board.piece_map().items() if p.color != side and p.piece_type != chess.KING]
        hits = man in there.attacks(reply.to_square) and not board.is_attacked_by(side, man)
        return hits and chess.piece_name(board.piece_type_at(man) or 0) == groups["man"]
    if kind == "guards":
        (pawn,) = board.pieces(chess.PAWN, chess.WHITE) | board.pieces(chess.PAWN, chess.BLACK)
        (square,) = named
        new = square in there.attacks(reply.to_square) and not board.is_attacked_by(side, square)
        white = board.color_at(pawn) == chess.WHITE
        return new and chess.square_file(square) == chess.square_file(pawn) and (square > pawn) == white
    if kind == "pins":
        (man,) = [s for s, p in board.piece_map().items() if p.color != side and p.piece_type != chess.KING]
        new = there.is_pinned(not side, man) and not board.is_pinned(not side, man)
        return new and chess.piece_name(board.piece_type_at(man) or 0) == groups["man"]
    if kind == "drives":
        return there.is_check() and named == [king] and {m.from_square for m in there.legal_moves} == {king}
    if kind == "leaves":
        return there.is_check() and sorted((m.from_square, m.to_square) for m in there.legal_moves) == [
            (king, square) for square in named
        ]
    if kind == "nears":
        return chess.square_distance(reply.to_square, king) < chess.square_distance(reply.from_square, king)
    waits = board.copy(stack=False)
    waits.turn, waits.ep_square = not side, None
    before, after = ({m.to_square for m in b.legal_moves if m.from_square == king} for b in (waits, there))
    taken = sorted(s for s in before - after if board.piece_at(s) is None)
    if kind == "shuts":
        line = (chess.FILE_NAMES.index(groups["file"]), None) if groups["file"] else (None, int(groups["rank"]) - 1)
        on = [s for s in chess.SQUARES if line in ((chess.square_file(s), None), (None, chess.square_rank(s)))]
        return len(taken) > 1 and {*taken, reply.to_square} <= {*on} and not after & {*on}
    return named == taken


def _met(found: Found, about: Spoken) -> int:
    longest = max(lasts(about, then(about.before, move)) for move in about.before.legal_moves)
    gap = longest - lasts(about, about.after)
    hold(gap == (2 if found["loses"] else 0), "how long it lasts")
    seen = counters.deed(about.after, legal(about.after, found["reply"]), about.attacker)
    if found["deed"] and (seen is None or not re.fullmatch(DOES[str(seen["does"])], found["deed"])):
        return does(found["reply"], "", about.after, about) + _does_plainly(
            found["reply"], found["deed"], about.after, about
        )
    count = does(found["reply"], found["deed"] or "", about.after, about)
    return count + (_apart(found["reply"], about.after, about) if "it lets" in found[0] else 0)


def _comes_too(found: Found, about: Spoken) -> int:
    """Hold that a reply mates soonest after this move and after the better one."""
    better = then(about.before, legal(about.before, found["better"]))
    hold(lasts(about, better) - lasts(about, about.after) == 2, "a move")
    if found["central"]:
        nearer_the_centre(about)
    return does(found["reply"], "", about.after, about) + does(found["reply"], "", better, about)


def _guarded(found: Found, about: Spoken) -> int:
    """Hold that the defender's king attacks a man that nobody guards, until a step of the other king does."""
    reply, board = legal(about.after, found["reply"]), about.after
    there, king = then(board, reply), board.king(not about.attacker)
    assert king is not None
    hit = [s for s in board.attacks(king) if board.color_at(s) == about.attacker]
    loose = [s for s in hit if not board.is_attacked_by(about.attacker, s)]
    hold([chess.piece_name(board.piece_type_at(s) or 0) for s in loose] == [found["man"]], found[0])
    hold(loose[0] in there.attacks(reply.to_square) and board.kings >> reply.from_square & 1 == 1, found["reply"])
    return 2 + does(found["reply"], "", board, about)


COUNTERS: tuple[tuple[str, Reader], ...] = (
    (
        r"(?:(?P<loses>loses a move and )|holds out longest, but )?"
        rf"is met by (?P<reply>{SAN})(?:, which (?P<deed>{_ANY}|{_PLAIN}))?",
        _met,
    ),
    (
        rf"(?:holds out longest and |is the best defence and )?attacks the (?P<man>{MAN}), "
        rf"but (?P<reply>{SAN}) guards it",
        _guarded,
    ),
    (
        rf"loses a move: (?:White|Black)'s (?P<reply>{SAN}) comes in any case, "
        rf"but (?P<better>{SAN})(?P<central>, nearer the centre,)? holds out longer",
        _comes_too,
    ),
    (rf"(?P<loses>loses a move): it lets (?P<reply>{SAN}) (?P<deed>{_REASONS})", _met),
)
