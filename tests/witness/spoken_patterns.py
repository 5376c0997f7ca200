"""Reads by what pattern a move mates, and holds it against the board; one reader a pattern."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of
from tests.witness.spoken import MAN, SQUARE, SQUARES, Spoken, hold, squares_in
from tests.witness.spoken_men import Found, Reader, far, kind, kinds

_LINE = r"(?P<line>the [a-h]-file|rank [1-8])"
_CHECKS = rf"the (?P<by>{MAN}) checks along {_LINE}"
_CORNERS = (chess.A1, chess.H1, chess.A8, chess.H8)


def _stand(about: Spoken) -> tuple[chess.Square, chess.Square, chess.Square]:
    """Return the squares of the king that is mated, of the other and of the only man that checks."""
    board = about.after
    (by,) = board.checkers()
    return king_of(board, board.turn), king_of(board, not board.turn), by


def _by(found: Found, about: Spoken) -> int:
    """Hold that the man named checks, from afar and along the line told, on which the king stands at the edge."""
    king, _, by = _stand(about)
    hold(about.after.piece_type_at(by) == kind(found["by"]), f"the {found['by']} checks")
    line, on = found["line"], {chess.square_name(king), chess.square_name(by)}
    at, name = (1, line[-1]) if line.startswith("rank") else (0, line[4])
    hold({square[at] for square in on} == {name} and edge(king) == 0, line)
    outer = {"rank": "18", "the ": "ah"}[line[:4]]
    return 2 + hold(name in outer and far(king, by) > 1, "along the edge, from afar")


def _alone(about: Spoken) -> int:
    """Hold that beside the man that checks only the king is needed."""
    board, (king, own, by) = about.after.copy(stack=False), _stand(about)
    for square in list(board.piece_map()):
        if board.color_at(square) == about.attacker and square not in (own, by):
            board.remove_piece_at(square)
    return hold(board.is_checkmate(), "checked by one, the rest held by the king") + hold(king != own, "two kings")


def _faces(found: Found, about: Spoken) -> int:
    king, own, _ = _stand(about)
    apart = sorted((abs(king // 8 - own // 8), abs(king % 8 - own % 8)))
    return _by(found, about) + _alone(about) + hold(apart == [0, 2] and edge(own) > 0, "face to face")


def _cornered(found: Found, about: Spoken) -> int:
    king, own, _ = _stand(about)
    apart = sorted((abs(king // 8 - own // 8), abs(king % 8 - own % 8)))
    return _from_afar(about) + _alone(about) + hold(king in _CORNERS and apart == [1, 2], "a knight's move away")


def _way_held(found: Found, about: Spoken) -> int:
    return _from_afar(about) + _alone(about)


def _from_afar(about: Spoken) -> int:
    """Hold that a man checks along the edge, not next to the king."""
    king, _, by = _stand(about)
    lines = [s // 8 for s in (king, by)], [s % 8 for s in (king, by)]
    along = any(len(set(line)) == 1 and line[0] in (0, 7) for line in lines)
    return hold(along and far(king, by) > 1, "along the edge")


def _stairs(found: Found, about: Spoken) -> int:
    board, (king, own, by) = about.after.copy(stack=False), _stand(about)
    board.remove_piece_at(own)
    others = [s for s, p in board.piece_map().items() if p.color == about.attacker and s != by]
    at = 8 if found["line"].startswith("rank") else 1
    where = [(s // 8 if at == 8 else s % 8) for s in (king, *others)]
    hold(kind(found["other"] or found["by"]) in [board.piece_type_at(s) for s in others], "the other man")
    hold(not any(board.legal_moves), "without the king")
    return _by(found, about) + 2 * hold(any(abs(line - where[0]) == 1 for line in where[1:]), "on the next line")


def _guarded(found: Found, about: Spoken) -> int:
    king, own, by = _stand(about)
    hold(about.after.piece_type_at(by) == kind(found["by"]) and far(king, by) == 1, "next to the king")
    guards = about.after.attackers(about.attacker, by)
    hold(len(guards) == 1, "one man guards it")
    (guard,) = guards
    others = set(about.after.pieces(kind(found["holder"]), about.attacker)) - {by, guard} if found["holder"] else set()
    bare = about.after.copy(stack=False)
    bare.remove_piece_at(king)
    for square in squares_in(found["held"] or ""):
        reach = {other for other in others if square in bare.attacks(other)}
        hold(bool(reach) and far(square, king) == 1 and square not in bare.attacks(by), f"{found['holder']} holds it")
    return 2 + hold((guard == own) == bool(found["own"]) and _is(found["guard"], guard, about), "the guard")


def _is(name: str | None, square: chess.Square, about: Spoken) -> bool:
    return name is None or about.after.piece_type_at(square) == kind(name)


def _round_it(found: Found, about: Spoken) -> int:
    _, _, by = _stand(about)
    hold(about.after.piece_type_at(by) == kind(found["by"]), f"the {found['by']} checks")
    named = kinds(found["men"])
    mine = [s for s, p in about.after.piece_map().items() if p.color == about.attacker and s != by]
    hold(sorted(named) == sorted(about.after.piece_type_at(s) or 0 for s in mine), "those men")
    king, _, _ = _stand(about)
    bare = about.after.copy(stack=False)
    bare.remove_piece_at(king)
    free = [s for s in chess.SQUARES if far(s, king) == 1 and about.after.color_at(s) != (not about.attacker)]
    alone = [s for s in free if not any(s in bare.attacks(man) for man in mine)]
    hold(alone == sorted(squares_in(found.groupdict().get("alone") or "")), "what it holds alone")
    return 3 * hold(all(_is_needed(about, square) for square in mine), "each holds a square")


def _is_needed(about: Spoken, square: chess.Square) -> bool:
    """Whether a man guards a square beside the mated king, or the man that checks."""
    king, _, by = _stand(about)
    bare = about.after.copy(stack=False)
    bare.remove_piece_at(king)
    return any(far(s, king) == 1 for s in bare.attacks(square)) or by in bare.attacks(square)


def _diagonals(found: Found, about: Spoken) -> int:
    king, _, by = _stand(about)
    mine = sorted(p.piece_type for p in about.after.piece_map().values() if p.color == about.attacker)
    hold(mine == [chess.BISHOP, chess.BISHOP, chess.KING] and king in _CORNERS, "two bishops, in the corner")
    others = [s for s, p in about.after.piece_map().items() if p.color == about.attacker and s != by]
    return 2 * hold(all(_is_needed(about, square) for square in others), "each holds a square")


def _blocked(found: Found, about: Spoken) -> int:
    king, _, by = _stand(about)
    at = chess.parse_square(found["square"])
    hold(about.after.piece_at(at) == chess.Piece(kind(found["own"]), not about.attacker), f"its own {found['own']}")
    hold(about.after.piece_type_at(by) == kind(found["by"]), f"the {found['by']} checks")
    hold(found["whose"] == ("Black" if about.attacker else "White"), "whose man it is")
    hold(not about.after.is_attacked_by(about.attacker, at), "the king could go there if it were empty")
    return 2 + hold(far(at, king) == 1, "beside it")


#: The patterns with their readers.
PATTERNS: tuple[tuple[str, Reader], ...] = (
    (
        rf"(?P<whose>White|Black)'s own (?P<own>{MAN}) blocks (?P<square>{SQUARE}), and the (?P<by>{MAN}) checks",
        _blocked,
    ),
    (rf"kings face to face, {_CHECKS}", _faces),
    (r"the king, a knight's move away, holds the rest", _cornered),
    (r"the other king bars the way (?:out|off it)", _way_held),
    (rf"one (?P<by>{MAN}) holds the next line, the other checks along {_LINE}(?P<other>)", _stairs),
    (rf"the (?P<other>{MAN}) holds the next line, {_CHECKS}", _stairs),
    (
        rf"the (?P<by>{MAN}) mates(?: at close range,)? guarded by (?:(?P<own>(?:her|its) king)|the (?P<guard>{MAN}))"
        rf"(?:, and the (?P<holder>{MAN}) holds (?P<held>{SQUARES}))?",
        _guarded,
    ),
    (r"the bishops take two diagonals, and their king holds the rest", _diagonals),
    (rf"(?P<men>{MAN} and {MAN}) hold every way out, and the (?P<by>{MAN}) checks", _round_it),
    (
        rf"the (?P<by>{MAN}) holds (?P<alone>{SQUARES}), (?P<men>{MAN} and {MAN}) the rest",
        _round_it,
    ),
)


def read(how: str, about: Spoken) -> int | None:
    """Return the claims of a pattern, None where the text names none."""
    for text, reader in PATTERNS:
        found = re.fullmatch(text, how)
        if found is not None:
            return reader(found, about)
    return None
