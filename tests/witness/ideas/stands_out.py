"""What all of the longest defences have in common, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, shut
from tests.witness.ideas.waiting_move import Told

far = chess.square_distance
OF_ALL = ("together", "away")


def men_of(board: chess.Board, side: bool) -> list[int]:
    return [s for s, p in board.piece_map().items() if p.color == side and p.piece_type != chess.KING]


def centre(king: int) -> tuple[int, int]:
    """Return steps from the edge, and nearness to the four squares in the middle."""
    middle = [far(king, s) for s in (chess.D4, chess.D5, chess.E4, chess.E5)]
    return edge(king), -min(middle)


def measures(board: chess.Board, attacker: bool) -> dict[str, object]:
    king, rival = king_of(board, not attacker), king_of(board, attacker)
    own, theirs = men_of(board, not attacker), men_of(board, attacker)
    pawns = [s for s in theirs if board.piece_type_at(s) == chess.PAWN]
    found: dict[str, object] = {}
    if len(own) == 1 and board.piece_type_at(own[0]) != chess.PAWN:
        found["together"] = -far(king, own[0])
    minors = {board.piece_type_at(s): s for s in theirs}
    if len(theirs) == 2 and set(minors) == {chess.BISHOP, chess.KNIGHT} and not own:
        colour = sum(divmod(minors[chess.BISHOP], 8)) % 2
        found["right corner"] = min(far(king, c) for c in (0, 7, 56, 63) if sum(divmod(c, 8)) % 2 == colour)
    heavy = [s for s in theirs if board.piece_type_at(s) in (chess.ROOK, chess.QUEEN)]
    if not pawns and (len(theirs) == 1 or not heavy):
        found["apart"] = far(king, rival)
    found["centre"] = centre(king)
    found["corner"] = min(far(king, corner) for corner in (0, 7, 56, 63))
    found["close"] = -far(king, rival)
    if len(pawns) == 1:
        found["promotion"] = -far(king, pawns[0] % 8 + (56 if attacker else 0))
    if len(own) == 1 and board.piece_type_at(own[0]) in (chess.ROOK, chess.BISHOP):
        found["away"] = far(rival, own[0])
    if not own and not pawns:
        found["room"] = len([s for s in steps_on(board, attacker) if edge(s)])
        loose = loose_men(board, attacker)
        if loose and not heavy:
            found["loose"] = -min(far(king, s) for s in loose)
    return found


def steps_on(board: chess.Board, attacker: bool) -> list[int]:
    """Return the squares to which the defending king could step if it moved on."""
    return [s for s in board.attacks(king_of(board, not attacker)) if s not in shut(board, attacker)]


def loose_men(board: chess.Board, attacker: bool) -> list[int]:
    return [s for s in men_of(board, attacker) if s not in shut(board, attacker)]


def most_room(before: chess.Board, move: chess.Move, attacker: bool) -> bool:
    """Whether the king could step to more squares off the edge after a move than after any other."""
    rooms = {other: measures(then(before, other), attacker)["room"] for other in before.legal_moves}
    return all(rooms[other] < rooms[move] for other in rooms if other != move)  # type: ignore[operator]


def to_the_edge(board: chess.Board, attacker: bool) -> bool:
    """Whether the attacker has no pawn, and the defender at most a bishop or a knight."""
    own = [board.piece_type_at(s) for s in men_of(board, not attacker)]
    return not board.pieces(chess.PAWN, attacker) and own in ([], [chess.BISHOP], [chess.KNIGHT])


def separating(
    before: chess.Board, move: chess.Move, attacker: bool, told: Told, shorter: chess.Move | None = None
) -> tuple[str, object, object] | None:
    """Return the first measure that is greater after all the longest defences than after all others, or one of them."""
    lengths = {other: lasts(before, other, told) for other in before.legal_moves}
    longest = max(lengths.values())
    if lengths[move] != longest or longest in (min(lengths.values()), float("inf")):
        return None
    rows = {other: measures(then(before, other), attacker) for other in lengths}
    best = [rows[other] for other in lengths if lengths[other] == longest]
    rest = [rows[other] for other in lengths if lengths[other] < longest and shorter in (None, other)]
    for name in rows[move]:
        if name not in OF_ALL and before.piece_type_at(move.from_square) != chess.KING:
            continue
        if not all(name in row for row in rows.values()):
            continue
        least, most = min(row[name] for row in best), max(row[name] for row in rest)  # type: ignore[type-var]
        was = measures(before, attacker).get(name)
        smaller = was is not None and rows[move][name] < was  # type: ignore[operator]
        off_the_edge = name == "centre" and most[0] == 0 < least[0]  # type: ignore[index]
        if name in ("together", "apart", "centre", "away") and smaller and not off_the_edge:
            continue
        if name in ("centre", "corner") and not (off_the_edge or to_the_edge(then(before, move), attacker)):
            continue
        corners = [[row["corner"] for row in some] for some in (best, rest)]
        if name == "promotion" and min(corners[0]) > max(corners[1]):  # type: ignore[type-var,operator]
            continue
        close = rows[move]["close"] == -2 and not men_of(before, not attacker)
        wanted = {
            "corner": most == 0,
            "away": least in (3, 4, 5, 6, 7),
            "close": close,
            "room": least not in (0, 1),
            "loose": least in (-1, -2, -3),
        }.get(name, True)
        if least > most and wanted:  # type: ignore[operator]
            return name, least, most
    return None


def number(value: object) -> object:
    """Return a measure as one number: of the centre's two the first counts most."""
    return int(100 * value[0] + 20 * value[1]) if isinstance(value, tuple) else value


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) < 1:
        return None
    found = separating(before, move, attacker, told)
    if found is None:
        return None
    own = men_of(after, not attacker)
    if found[0] == "loose":
        king = king_of(after, not attacker)
        own = [min(loose_men(after, attacker), key=lambda s: (far(king, s), s))]
    man = chess.piece_name(after.piece_type_at(own[0]) or 0) if len(own) == 1 else None
    name, least, most = found
    pawns = after.pieces(chess.PAWN, attacker)
    goal = chess.square_name(min(pawns) % 8 + (56 if attacker else 0)) if name == "promotion" else None
    goal = chess.square_name(own[0]) if name == "loose" else goal
    return {
        "kind": "stands_out",
        "trait": name,
        "least": number(least),
        "most": number(most),
        "man": man,
        "goal": goal,
    }
