"""The mating net, said again; distances and the moves taught are asked of the same tables."""

from __future__ import annotations

import re

import chess

from tests.witness.ideas.king_range import beside, king_of, shut
from tests.witness.ideas.waiting_move import Told, opposition


def longest(board: chess.Board, told: Told) -> chess.Move:
    """Return the reply that lasts longest, of several the most natural."""
    rows = []
    for reply in board.legal_moves:
        then = board.copy()
        then.push(reply)
        rows.append((-(told.mate_plies(then) or 0), natural(board, reply), reply))
    return min(rows, key=lambda row: row[:2])[2]


def all_longest(board: chess.Board, told: Told) -> list[chess.Move]:
    """Return the replies that last longest, the most natural first."""
    rows = []
    for reply in board.legal_moves:
        then = board.copy()
        then.push(reply)
        rows.append((-(told.mate_plies(then) or 0), natural(board, reply), reply))
    return [row[2] for row in sorted(rows, key=lambda row: row[:2]) if row[0] == min(r[0] for r in rows)]


def natural(board: chess.Board, reply: chess.Move) -> tuple[int, str]:
    """Return the less the more natural a move is, and its name."""
    quiet = board.piece_at(reply.to_square) is None and not board.is_en_passant(reply)
    given = quiet and bool(board.attackers(not board.turn, reply.to_square))
    least = given + 2 * (reply.promotion not in (None, chess.QUEEN)) + 4 * (not hits(board, reply))
    return least, reply.uci()


def hits(board: chess.Board, step: chess.Move) -> bool:
    """Whether a step of the king comes next to a man, not the other king, that nobody guards."""
    there = board.copy()
    there.push(step)
    near = beside(step.to_square) if board.piece_type_at(step.from_square) == chess.KING else []
    men = [s for s in near if there.color_at(s) == (not board.turn) and there.piece_type_at(s) != chess.KING]
    return any(s not in shut(there, not board.turn) for s in men)


def needed(last: chess.Board, move: chess.Move, attacker: bool) -> list[int]:
    """Return the squares by the mated king, open to it, that the man would not guard from where it came."""
    man = last.piece_at(move.to_square)
    if man is None or man.color != attacker or last.piece_at(move.from_square):
        return []
    back = last.copy()
    back.set_piece_at(move.from_square, back.remove_piece_at(move.to_square))
    free = [s for s in beside(king_of(last, not attacker)) if last.color_at(s) != (not attacker)]
    return [s for s in free if s in shut(last, attacker) and s not in shut(back, attacker)]


def line_of(man: int, squares: list[int]) -> list[str]:
    """Return the one rank, file or diagonal of a square on which three squares or more lie."""
    if len(squares) < 3:
        return []
    at = (man // 8, man % 8)
    if all(s // 8 == at[0] for s in squares):
        return [f"rank {at[0] + 1}"]
    if all(s % 8 == at[1] for s in squares):
        return [f"file {chess.FILE_NAMES[at[1]]}"]
    for sign in (1, -1):
        line = [s for s in chess.SQUARES if s // 8 - at[0] == sign * (s % 8 - at[1])]
        if set(squares) <= set(line):
            ends = sorted(line, key=lambda s: s % 8)
            return [f"diagonal {chess.square_name(ends[0])}-{chess.square_name(ends[-1])}"]
    return []


def whatever(after: chess.Board, answer: chess.Move, plies: int, told: Told) -> bool:
    """Whether an answer mates in so many plies after every reply: two or more, no king's step and no capture."""
    replies = [*after.legal_moves]
    if len(replies) < 2 or any(after.is_capture(r) or after.piece_type_at(r.from_square) == 6 for r in replies):
        return False
    for reply in replies:
        board = after.copy()
        board.push(reply)
        if answer not in board.legal_moves:
            return False
        board.push(answer)
        if not board.is_checkmate() and (plies == 0 or told.outcome(board) != -1 or (told.mate_plies(board) or 9) > 2):
            return False
    return True


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn != attacker or after.is_game_over() or told.outcome(after) != -1:
        return None
    if told.mate_plies(after) not in (2, 4):
        return None
    chosen: tuple[list[chess.Move], chess.Board, list[int]] | None = None
    for first in all_longest(after, told):
        board, line = after.copy(), [first]
        while len(line) < 5 and not board.is_game_over():
            board.push(line[-1])
            answer = told.answer(board)
            assert answer is not None
            line.append(answer)
            board.push(answer)
            line += [] if board.is_game_over() else [longest(board, told)]
        if board.is_checkmate():
            again = any(played.from_square == move.to_square for played in line[1::2])
            found = [] if again else needed(board, move, attacker)
            if chosen is None or (found and not chosen[2]):
                chosen = line, board, found
        elif chosen is None:
            return None
    assert chosen is not None
    line, board, squares = chosen
    there = after.copy()
    there.push(line[0])
    slides = re.match("[BRQ]", after.piece_at(move.to_square).symbol().upper())  # type: ignore[union-attr]
    kings = [opposition(after), opposition(there)]
    return {
        "kind": "mating_net",
        "reply": line[0].uci(),
        "move": line[1].uci(),
        "at_once": len(line) == 2,
        "forced": after.legal_moves.count() == 1,
        "by_king": after.piece_type_at(line[0].from_square) == chess.KING,
        "man": chess.piece_name(board.piece_type_at(line[-1].to_square) or 0),
        "square": chess.square_name(line[-1].to_square),
        "guarded": [*map(chess.square_name, squares)],
        "along": line_of(move.to_square, squares) if slides else [],
        "opposed": len(line) == 2 and kings[1] == "direct" != kings[0],
        "whatever": whatever(after, line[1], 0 if len(line) == 2 else 2, told),
    }
