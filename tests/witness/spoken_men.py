"""Men, squares and sizes that sentences speak of, found with python-chess; shared by the readers of deeds."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_of, king_range, shut
from tests.witness.spoken import (
    MAN,
    SQUARE,
    Spoken,
    hold,
    squares_in,
)

Found = re.Match[str]
Reader = Callable[[Found, Spoken], int]
far = chess.square_distance


def kind(name: str) -> chess.PieceType:
    """Return the kind of a man."""
    return chess.PIECE_NAMES.index(name)


def kinds(text: str) -> list[chess.PieceType]:
    """Return the kinds of the men named in a text."""
    return [kind(name) for name in re.findall(MAN, text)]


def men_stand(text: str, board: chess.Board, side: chess.Color | None = None) -> int:
    """Hold every ``the knight on e5`` of a text."""
    found = re.findall(rf"({MAN}) on ({SQUARE})", text)
    for name, square in found:
        piece = board.piece_at(chess.parse_square(square))
        hold(piece is not None and piece.piece_type == kind(name), f"{name} on {square}")
        hold(side is None or piece is None or piece.color == side, f"whose {name} on {square}")
    return 2 * len(found)


def their(about: Spoken, board: chess.Board) -> chess.Square:
    """Return the square of the defending king."""
    return king_of(board, not about.attacker)


def is_guarded(board: chess.Board, square: chess.Square, side: chess.Color) -> bool:
    return bool(board.attackers(side, square))


def size(board: chess.Board, about: Spoken) -> int:
    return len(king_range(board, about.attacker))


def caged(board: chess.Board, about: Spoken) -> int:
    """Return the squares of the cage, 0 without one."""
    return len(cage(board, about.attacker) or ())


def newly_shut(text: str, about: Spoken) -> int:
    squares, was, now = squares_in(text), shut(about.before, about.attacker), shut(about.after, about.attacker)
    return sum(hold(s not in was and s in now, f"{chess.square_name(s)} is shut") for s in squares)


def apart(board: chess.Board) -> int:
    return far(king_of(board, True), king_of(board, False))


def is_loose(board: chess.Board, square: chess.Square, about: Spoken) -> bool:
    piece = board.piece_at(square)
    mine = piece is not None and piece.color == about.attacker and piece.piece_type != chess.KING
    return mine and not is_guarded(board, square, about.attacker)


#: Men that mate with their king's help only (common practice, no source).
NEEDING = ([chess.QUEEN], [chess.ROOK], [chess.BISHOP, chess.BISHOP], [chess.KNIGHT, chess.BISHOP])


def stand_alone(why: str, about: Spoken) -> int:
    """Hold that the men of ``the rook cannot mate without it`` and ``it must help against the rook`` are there."""
    if why.startswith(("the pawn cannot be caught", "the pawn runs by itself")):
        pawn, goal = pawn_and_goal(about)
        others = [s for s in about.after.piece_map() if s % 8 == pawn % 8 and far(s, goal) < far(pawn, goal)]
        hold(not others and len(about.after.pieces(chess.PAWN, about.attacker)) == 1, "nobody in its way")
        hold(not about.after.occupied_co[not about.attacker] & ~about.after.kings, "a bare king")
        double = pawn // 8 == (1 if about.attacker else 6)
        moves = far(pawn, goal) - double
        mate = about.told.mate_plies(about.after)
        sooner = mate is None or about.after.turn == about.attacker or mate > 2 * moves
        hold(sooner or "by itself" not in why, "no mate before the pawn is through")
        return 2 * hold(far(their(about, about.after), goal) > moves + 1, "outside its square, to move")
    why = re.sub(r" needs? (?:its|their) king$", " cannot mate without it", why)
    own, _, against = why.replace("other king", "").replace("the king", "").partition(" against ")
    count = 0
    for named, side in ((kinds(own), about.attacker), (kinds(against), not about.attacker)):
        men = [p.piece_type for p in about.after.piece_map().values() if p.color == side]
        count += sum(hold(man in men, why) for man in named)
    if "cannot mate" in why:
        lone = [p for p in about.after.piece_map().values() if p.color != about.attacker]
        hold(len(lone) == 1, "nothing but the king is mated")
        own_men = [p.piece_type for p in about.after.piece_map().values() if p.color == about.attacker]
        hold(sorted(man for man in own_men if man != chess.KING) in NEEDING, why)
    return count


def only_reply(name: str, about: Spoken) -> int:
    return hold([about.after.san(m) for m in about.after.legal_moves] == [name], f"only {name}")


def pawn_and_goal(about: Spoken) -> tuple[chess.Square, chess.Square]:
    """Return the attacker's only pawn after the move, and its promotion square."""
    (pawn,) = about.after.pieces(chess.PAWN, about.attacker)
    return pawn, chess.square(pawn % 8, 7 if about.attacker else 0)


def ahead(about: Spoken, push: chess.Move) -> chess.SquareSet:
    """Return the squares on which the man that moved stands in a pawn's way: the next, for the king all before it."""
    last = chess.square(chess.square_file(push.to_square), 7 if about.before.turn else 0)
    way = chess.SquareSet.between(push.from_square, last) | chess.SquareSet([last])
    return (
        way if about.before.piece_type_at(about.move.from_square) == chess.KING else chess.SquareSet([push.to_square])
    )
