"""The attacking king brought up, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.box import box
from tests.witness.ideas.cage import cage
from tests.witness.ideas.cut_off import line
from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or king_of(before, attacker) == king_of(after, attacker):
        return None
    now = chess.square_distance(king_of(after, True), king_of(after, False))
    if not nearer(before, after):
        return None
    cages, boxes = [cage(b, attacker) for b in (before, after)], [box(b, attacker) for b in (before, after)]
    held = "nothing"
    mine = king_of(after, attacker)
    (piece, *more) = [s for s, p in after.piece_map().items() if p.color == attacker and s != mine] or [mine]
    apart = piece % 8 != mine % 8 and piece // 8 != mine // 8 and not more
    if None not in boxes and boxes[1] <= boxes[0] and apart:  # type: ignore[operator]
        held = "box"
    row = line(after, attacker)
    on = [s for s in after.piece_map() if row is not None and row[5:] in (chess.FILE_NAMES[s % 8], str(s // 8 + 1))]
    if line(before, attacker) is not None and row is not None and on == [piece]:
        held = "line"
    shut = cages[0] is not None and cages[1] is not None and len(cages[1]) <= len(cages[0])
    if shut and all(cage(board, attacker) is not None for board in replied(after)):
        held = "cage"
    return {"kind": "king_up", "steps": now, "held_by": held}


def replied(after: chess.Board) -> list[chess.Board]:
    """Return the boards after every reply of another man than the king."""
    boards = []
    for reply in after.legal_moves:
        if after.piece_type_at(reply.from_square) != chess.KING:
            boards.append(after.copy(stack=False))
            boards[-1].push(reply)
    return boards


def nearer(before: chess.Board, after: chess.Board) -> bool:
    """Whether the kings have come nearer: by king's steps, or else by ranks and files together."""
    gaps = []
    for board in (before, after):
        white, black = king_of(board, True), king_of(board, False)
        ranks, files = abs(white // 8 - black // 8), abs(white % 8 - black % 8)
        gaps.append([max(ranks, files), ranks + files])
    return gaps[1] < gaps[0]


def closer(before: chess.Board, after: chess.Board) -> bool:
    """Whether the kings have come nearer and did not face each other already, two steps apart."""
    gaps = [chess.square_distance(king_of(board, True), king_of(board, False)) for board in (before, after)]
    return nearer(before, after) and gaps != [2, 2]
