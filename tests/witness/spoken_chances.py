"""Reads what a slip misses, and holds it against the board after the better move."""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from tests.witness.ideas.king_up import nearer
from tests.witness.spoken import MAN, SAN, SQUARE, Spoken, hold, lasts, legal, then
from tests.witness.spoken_attack import does
from tests.witness.spoken_men import Found, Reader, far, kind, only_reply, their

_BEST = rf"misses (?P<best>{SAN})"


def _missed(found: Found, about: Spoken) -> Spoken:
    """Return the same about the move that was missed, which must be as good as any; `about` where it is that one."""
    if not found["best"]:
        return about
    best = legal(about.before, found["best"])
    there = then(about.before, best)
    hold(about.told.outcome(there) == -about.told.outcome(about.before), "keeps the outcome")
    hold(lasts(about, there) <= lasts(about, then(about.before, about.best or best)), "as good as any")
    return about.of(best)


def _minor(found: Found, about: Spoken) -> int:
    missed = _missed(found, about)
    king, board = their(about, missed.after), missed.after
    (minor,) = [s for s, p in board.piece_map().items() if p.color != about.attacker and s != king]
    if found["corner"]:
        corner = chess.parse_square(found["corner"])
        hold(board.piece_type_at(minor) == chess.BISHOP and far(corner, king) <= 1, "by the corner")
        return 3 + hold(sum(divmod(corner, 8)) % 2 == sum(divmod(minor, 8)) % 2, "of the bishop's colour")
    hold(board.piece_type_at(minor) == kind(found["man"] or found["hit"]), "the man")
    hold(not found["square"] or minor == chess.parse_square(found["square"]), found[0])
    hold(not found["hit"] or board.is_attacked_by(about.attacker, minor), "attacked")
    return 4 + hold(far(minor, king) > 2, "away from its king")


def _next(found: Found, about: Spoken) -> int:
    missed = _missed(found, about)
    name = found["only"] or found["reply"]
    there = then(missed.after, legal(missed.after, name))
    hold(lasts(about, there) == lasts(about, missed.after) - 1, f"{name} lasts longest")
    count, move = 2 + (only_reply(name, missed) if found["only"] else 0), legal(there, found["move"])
    named = {"makes a box": "makes a new box", "shuts the king in": "shuts the cage"}
    does_it = re.sub(r" on (?:the [a-h]-file|rank [1-8])$", "", found["does"])
    back = named.get(does_it, does_it)
    if found.groupdict().get("rank"):
        hold(their(missed, there) // 8 == int(found["rank"]) - 1, "on that rank")
    if found["file"]:
        hold(chess.FILE_NAMES[their(missed, there) % 8] == found["file"], "on that file")
    if back == "brings the king up":
        return count + hold(nearer(there, then(there, move)), back)
    if found["taken"]:
        return count + hold(there.piece_type_at(move.to_square) == kind(found["taken"]), back)
    if found["made"]:
        return count + hold(move.promotion == kind(found["made"]), back)
    if back == "brings the pawn on":
        return count + hold(there.piece_type_at(move.from_square) == chess.PAWN, back)
    return count + does(back, there, move, missed)


def _later(found: Found, about: Spoken) -> int:
    """Hold what the move after the best reply does, as of any move."""
    from tests.witness.deeds import deed

    missed = _missed(found, about)
    name = found["only"] or found["reply"]
    there = then(missed.after, legal(missed.after, name))
    hold(lasts(about, there) == lasts(about, missed.after) - 1, f"{name} lasts longest")
    count, move = 2 + (only_reply(name, missed) if found["only"] else 0), legal(there, found["move"])
    hold(lasts(about, then(there, move)) == lasts(about, there) - 1, f"{found['move']} goes on")
    return count + deed(found["deed"], replace(missed, before=there, move=move, after=then(there, move)))


def _falls(found: Found, about: Spoken) -> int:
    missed = _missed(found, about)
    there = then(missed.after, legal(missed.after, found["reply"]))
    last = then(there, legal(there, found["move"]))
    hold(about.told.outcome(last) < 0, "wins")
    for reply in last.legal_moves:
        if lasts(about, then(last, reply)) == lasts(about, last) - 1:
            board = then(last, reply)
            takes = {board.piece_type_at(m.to_square) for m in board.legal_moves}
            if found["man"]:
                hold(kind(found["man"]) in takes, f"falls after {reply.uci()}")
            else:
                hold(any(m.promotion for m in board.legal_moves), f"promotes after {reply.uci()}")
            return 4
    return hold(False, "a reply")


def _only_one(found: Found, about: Spoken) -> int:
    missed = _missed(found, about)
    wins = [m for m in about.before.legal_moves if about.told.outcome(then(about.before, m)) < 0]
    there = then(missed.after, legal(missed.after, found["reply"]))
    hold(about.told.outcome(then(there, legal(there, found["move"]))) < 0, "still wins")
    return 3 + hold(wins == [missed.move], "the only one")


def _gives_time(found: Found, about: Spoken) -> int:
    hold(found["side"] == ("Black" if about.attacker else "White"), "whose time")
    wins = [m for m in about.before.legal_moves if about.told.outcome(then(about.before, m)) < 0]
    hold(all(about.before.piece_type_at(m.from_square) == chess.PAWN for m in wins), "only the pawn wins")
    return 2 + hold(about.told.outcome(about.after) == 0, "drawn")


def _rook_given(found: Found, about: Spoken) -> int:
    theirs = {p.piece_type for p in about.after.piece_map().values() if p.color != about.attacker}
    hold(theirs == {chess.KING, chess.PAWN} and about.told.outcome(about.after) == 0, "drawn by king and pawn")
    (pawn,) = about.after.pieces(chess.PAWN, not about.attacker)
    king = their(about, about.after)
    leads, rows = found["does"] == "leads the pawn on", range(pawn // 8 + 1) if about.attacker else range(pawn // 8, 8)
    way = [chess.square(pawn % 8, row) for row in rows]
    hold(found["side"] == ("Black" if about.attacker else "White"), "whose king")
    if found["step"]:
        step = legal(about.after, found["step"])
        hold(about.told.outcome(then(about.after, step)) == 0, "still drawn")
        nearer = [
            min(far(step.to_square, s) for s in squares) < min(far(king, s) for s in squares)
            for squares in ([pawn], [s for s in way if s != pawn])
        ]
        return 3 + hold(step.from_square == king and any(nearer), "comes nearer to the pawn or to its way")
    hold(any(far(king, s) <= 1 for s in way), "beside the way")
    return 2 + hold((far(king, pawn) <= 2) == leads, "led")


#: What is said of a chance missed, with its readers.
CHANCES: tuple[tuple[str, Reader], ...] = (
    (
        rf"{_BEST}(?:: by (?P<corner>{SQUARE}), a corner of the bishop's colour, (?:White|Black)'s king is lost"
        rf"|: away from its king the (?P<man>{MAN}) on (?P<square>{SQUARE}) is lost)(?P<hit>)",
        _minor,
    ),
    (
        rf"attacks the (?P<hit>{MAN}): away from its king it is lost(?P<best>)(?P<corner>)(?P<square>)(?P<man>)",
        _minor,
    ),
    (
        rf"{_BEST}, the only move that wins: if (?P<reply>{SAN}), (?P<move>{SAN})",
        _only_one,
    ),
    (
        rf"{_BEST}: (?:after (?P<only>{SAN}), forced,|if (?P<reply>{SAN}),) (?P<move>{SAN}) "
        r"(?P<does>(?:shuts|tightens) the cage"
        r"|shuts the king in(?: on the (?P<file>[a-h])-file| on rank (?P<rank>[1-8]))?"
        r"|takes the opposition|shrinks the box"
        rf"|cuts the king off|makes a box|brings the king up|brings the pawn on|takes the (?P<taken>{MAN})"
        rf"|makes the (?P<made>{MAN}))",
        _next,
    ),
    (
        rf"{_BEST}: (?:after (?P<only>{SAN}), forced,|if (?P<reply>{SAN}),) (?P<move>{SAN}) (?P<deed>(?!and ).*)",
        _later,
    ),
    (
        rf"{_BEST}: if (?P<reply>{SAN}), (?P<move>{SAN}), and (?:the (?P<man>{MAN}) falls|the pawn promotes)",
        _falls,
    ),
    (r"gives (?P<side>White|Black) time to stop the pawn", _gives_time),
    (
        rf"is too slow: (?P<side>White|Black)'s king "
        rf"(?P<does>leads the pawn on|keeps the pawn's way open|comes to lead the pawn by (?P<step>{SAN}))"
        r"(?:, and the rook must be given for it)?",
        _rook_given,
    ),
)
