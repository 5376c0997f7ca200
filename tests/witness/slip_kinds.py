"""What a kind of slip claims, said again with python-chess only; values and stages are told."""

from __future__ import annotations

from collections.abc import Callable

import chess

from tests.witness.ideas import cage, chasing_check, knights_w, out_of_corner
from tests.witness.ideas.king_range import king_of

#: Outcome for the side to move and plies to mate, None where it is drawn.
Worth = Callable[[chess.Board], tuple[int, int | None]]


def stronger(board: chess.Board, worth: Worth) -> bool | None:
    """Return the side that wins, else the one with more or better men, None where they are alike."""
    outcome, _ = worth(board)
    if outcome:
        return board.turn == (outcome > 0)
    men = {side: [board.piece_type_at(s) or 0 for s in chess.SquareSet(board.occupied_co[side])] for side in (0, 1)}
    ranked = [(len(men[side]), sorted(men[side], reverse=True)) for side in (0, 1)]
    return None if ranked[0] == ranked[1] else ranked[1] > ranked[0]


def played(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def price(board: chess.Board, move: chess.Move, worth: Worth) -> tuple[int, int, int]:
    """Return the outcome before and after a move for the side that makes it, and the moves it lost."""
    values = {other: worth(played(board, other)) for other in board.legal_moves}
    before = max(-outcome for outcome, _ in values.values())
    outcome, plies = values[move]
    if -outcome != before or not before:
        return before, -outcome, 0
    best = [p for o, p in values.values() if -o == before and p is not None]
    assert plies is not None
    return before, -outcome, (plies - min(best) if before > 0 else max(best) - plies) // 2


def opens_cage(before: chess.Board, after: chess.Board, attacker: bool) -> bool:
    return cage.cage(before, attacker) is not None and cage.cage(after, attacker) is None


def claims(before: chess.Board, move: chess.Move, worth: Worth, stage_falls: bool) -> set[str]:
    """Return every kind of slip that can be claimed of a move, none where it is no slip.

    A man may be lost where a best reply takes one; whether the best move would have kept it is not looked at here.

    Parameters
    ----------
    stage_falls : whether the position after the move is at an earlier stage of the same ladder
    """
    attacker, after = stronger(before, worth), played(before, move)
    was, now, lost = price(before, move, worth)
    by_attacker = attacker == before.turn
    if now < was:
        return set(_outcome_lost(after, now, by_attacker or attacker is None, worth))
    if not lost:
        return set()
    man = {"man lost"} if _takes(after, worth) else set()
    if attacker is None or not by_attacker:
        return man | ({"mated sooner"} if lost > 1 else set())
    found = {"cage opened"} if opens_cage(before, after, attacker) else set()
    if stage_falls:
        found.add("stage lost")
    if lost == 1 and not found:
        return man
    found |= man
    w = [claim for claim in knights_w.claims(before, move, after, attacker) if claim["state"] == "leaves"]
    for name, holds in (
        ("W left", bool(w)),
        ("driven out of the corner", out_of_corner.claim(before, move, after, attacker) is not None),
        ("chased out by a check", chasing_check.claim(before, move, after, attacker) is not None),
        ("king left the corner", _leaves_corner(before, after, attacker)),
        ("way out left", lost > 1 and _way_out(before, move, after, worth)),
        ("slow", lost > 1),
    ):
        if holds:
            found.add(name)
    return found


def _outcome_lost(after: chess.Board, now: int, by_stronger: bool, worth: Worth) -> list[str]:
    if now < 0:
        return ["lost" if by_stronger else "draw missed"]
    if after.is_stalemate():
        return ["stalemate"]
    return ["man and outcome lost"] * (_takes(after, worth) or after.is_insufficient_material()) + ["outcome lost"]


def _best_replies(after: chess.Board, worth: Worth) -> list[chess.Move]:
    """Return the replies as good as any: the outcome first, then the shortest win or the longest defence."""

    def value(reply: chess.Move) -> tuple[int, int]:
        outcome, plies = worth(played(after, reply))
        return -outcome, outcome * (plies or 0)

    values = {reply: value(reply) for reply in after.legal_moves}
    return [reply for reply, worth_ in values.items() if worth_ == max(values.values())]


def _takes(after: chess.Board, worth: Worth) -> bool:
    return any(after.is_capture(reply) for reply in _best_replies(after, worth))


def _leaves_corner(before: chess.Board, after: chess.Board, attacker: bool) -> bool:
    """Whether the king was at most two steps from the mating corner nearest to the other king, and is not now."""

    def near(board: chess.Board) -> bool:
        corners = [chess.parse_square(name) for name in cage.mating_corners(board, attacker)]
        steps = {corner: chess.square_distance(corner, king_of(board, not attacker)) for corner in corners}
        close = [corner for corner in corners if steps[corner] == min(steps.values())]
        return any(chess.square_distance(king_of(board, attacker), corner) <= 2 for corner in close)

    return king_of(before, attacker) != king_of(after, attacker) and near(before) and not near(after)


def _free(board: chess.Board, colour: bool) -> set[int]:
    """Return the squares a king may go to, whoever is to move."""
    turned = board.copy(stack=False)
    turned.turn, turned.ep_square = colour, None
    king = king_of(board, colour)
    return {move.to_square for move in turned.legal_moves if move.from_square == king}


def _way_out(before: chess.Board, move: chess.Move, after: chess.Board, worth: Worth) -> bool:
    """Whether after a best reply of the king it has a square it has not after a best move and the same reply."""
    values = {other: worth(played(before, other)) for other in before.legal_moves}
    shortest = min(plies for outcome, plies in values.values() if outcome < 0 and plies is not None)
    best = [other for other, value in values.items() if value == (-1, shortest)]
    for reply in _best_replies(after, worth):
        for wanted in best:
            instead = played(before, wanted)
            if after.piece_type_at(reply.from_square) == chess.KING and reply in instead.legal_moves:
                more = _free(played(after, reply), after.turn) - _free(played(instead, reply), after.turn)
                if more:
                    return True
    return False
