"""Reads what a slower move would let in, told beside what a move does."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import shut
from tests.witness.spoken import MAN, SAN, Spoken, hold, lasts, legal, then
from tests.witness.spoken_men import Found, Reader, far, is_loose, kind
from tests.witness.spoken_slips import leads

_LED = {
    r"come (?P<near>nearer )?to its (?P<man>pawn|knight|bishop|rook|queen)": "own man",
    r"go for the pawn on (?P<goal>[a-h][1-8])": "pawn",
    r"head for the wrong corner (?P<goal>[a-h][1-8])": "wrong corner",
    r"(?P<how>off the edge|back to the centre)": "centre",
    r"(?P<corner>out of|away from) the corner (?P<goal>[a-h][1-8])": "out of the corner",
}


def _would_let(found: Found, about: Spoken) -> int:
    from tests.witness.deeds import deed

    count = deed(found["does"], about)
    other = about.of(legal(about.before, found["other"]))
    hold(other.move.from_square == about.move.from_square, "the same man")
    hold(about.told.outcome(other.after) < 0, f"{found['other']} wins")
    hold(lasts(about, other.after) > lasts(about, about.after), f"{found['other']} is slower")
    reply = legal(other.after, found["reply"] or found["step"] or found["out"])
    hold(lasts(about, then(other.after, reply)) == lasts(about, other.after) - 1, f"{found['reply']} lasts longest")
    if found["led"]:
        hold(reply.to_square in shut(about.after, about.attacker), "shut by the quicker move")
        return count + 2 + leads(found["led"], reply, other, _LED)
    if found["out"]:
        return count + 2 + hold(other.after.piece_type_at(reply.from_square) == kind(found["free"]), "the man let out")
    return count + 2 + hold(kind(found["hit"]) in _struck(found["how"], other.after, reply, about), found[0])


def _struck(how: str, board: chess.Board, reply: chess.Move, about: Spoken) -> list[chess.PieceType | None]:
    """Return the kinds of the attacker's men that a reply attacks, or that it goes for and nobody guards."""
    there = then(board, reply)
    mine = [s for s, p in there.piece_map().items() if p.color == about.attacker and p.piece_type != chess.KING]
    if how == "go for":
        return [there.piece_type_at(s) for s in mine if far(s, reply.to_square) == 2 and is_loose(there, s, about)]
    hit = there.attacks(reply.to_square)
    return [
        there.piece_type_at(s)
        for s in mine
        if s in hit and (is_loose(there, s, about) or there.piece_type_at(reply.to_square) != chess.KING)
    ]


BESIDE: tuple[tuple[str, Reader], ...] = (
    (
        rf"(?P<does>.*?); (?P<other>{SAN}) would let (?:(?P<reply>{SAN}) (?P<how>attack|go for) the (?P<hit>{MAN})"
        rf"|(?:the|White's|Black's) king (?P<led>.*) by (?P<step>{SAN})|the (?P<free>{MAN}) out by (?P<out>{SAN}))",
        _would_let,
    ),
)
