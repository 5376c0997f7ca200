"""What a slip lets the other side do is what all its best replies bring, counted on the board."""

from __future__ import annotations

from collections import Counter

import chess
import pytest

from matebot.facts import time_given
from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from tests.facts.measured import Measured, moves_played
from tests.witness.ideas.king_range import king_range
from tests.witness.positions import random_positions
from tests.witness.slip_kinds import played

GAINS = ("man", "pawn", "push", "centre")
STRENGTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9}


def rim(square: chess.Square) -> int:
    file, rank = chess.square_file(square), chess.square_rank(square)
    return min(file, 7 - file, rank, 7 - rank)


def brings(board: chess.Board, reply: chess.Move) -> set[str]:
    kind = board.piece_type_at(reply.from_square)
    if reply.promotion or board.is_capture(reply) or kind not in (chess.PAWN, chess.KING):
        return set()
    if kind == chess.PAWN:
        return {"push"}
    own = [square for square, man in board.piece_map().items() if man.color == board.turn and man.symbol() not in "kK"]
    pawns = list(board.pieces(chess.PAWN, not board.turn))

    def nearer(goals: list[chess.Square]) -> bool:
        steps = [[chess.square_distance(end, goal) for goal in goals] for end in (reply.from_square, reply.to_square)]
        return len(goals) == 1 and steps[1] < steps[0]

    there = board.copy(stack=False)
    there.push(reply)
    lost = any(there.is_attacked_by(there.turn, s) and not there.is_attacked_by(board.turn, s) for s in own)
    waits = any(board.piece_type_at(s) == chess.PAWN or chess.square_distance(s, reply.to_square) < 4 for s in own)
    to_man = waits and not lost  # a piece far off is not what a king comes for, a pawn is
    found = {name for name, goals in (("man", own), ("pawn", pawns)) if nearer(goals) and (name != "man" or to_man)}
    inwards = not own and not pawns and rim(reply.to_square) > rim(reply.from_square)
    return found | ({"centre"} if inwards else set())


def hit(board: chess.Board, reply: chess.Move) -> set[int]:
    """Return the kinds of men that a reply comes to attack: loose ones by the king, stronger ones by a man not hit."""
    there, kind = board.copy(stack=False), board.piece_type_at(reply.from_square)
    there.push(reply)
    fresh = [square for square in there.attacks(reply.to_square) if there.color_at(square) == there.turn]
    if kind == chess.KING:
        bare = there.copy(stack=False)
        bare.remove_piece_at(reply.to_square)
        near = [square for square in fresh if chess.square_distance(square, reply.from_square) > 1]
        loose = [square for square in fresh if not bare.is_attacked_by(there.turn, square)]
        was = board.copy(stack=False)
        was.remove_piece_at(reply.from_square)
        return {
            there.piece_type_at(s) or 0
            for s in loose
            if s in near or (was.is_attacked_by(there.turn, s) and there.piece_type_at(s) != chess.KING)
        }
    if there.is_attacked_by(there.turn, reply.to_square):
        return set()
    kinds = [there.piece_type_at(s) or 0 for s in fresh if s not in board.attacks(reply.from_square)]
    least = STRENGTH[there.piece_type_at(reply.to_square) or chess.PAWN]
    return {kind for kind in kinds if STRENGTH.get(kind, 0) > least}


def all_hit(library: Library, after: chess.Board) -> list[set[int]]:
    replies = Measured(library, after).best() if any(after.legal_moves) else []
    board = after
    return [
        set()
        if board.is_capture(reply) or reply.promotion or board.piece_type_at(reply.from_square) == chess.PAWN
        else hit(board, reply)
        for reply in replies
    ]


def best_bring(library: Library, after: chess.Board) -> list[set[str]]:
    """Return what each best reply brings."""
    return [brings(after, reply) for reply in Measured(library, after).best()] if any(after.legal_moves) else []


@pytest.mark.parametrize("ending", ["KPKN", "KPKP", "KRKP", "KPPK"])
def test_every_reply_brings_what_is_counted_on_the_board(ending: str) -> None:
    found = Counter[str]()
    for board in random_positions(ending, 30, seed=92):
        for reply in board.legal_moves:
            gains = {str(gain) for gain in time_given._brings(board, reply)} - {"hit"}
            assert gains == brings(board, reply), f"{board.fen()} {reply}"
            found.update(gains)
    assert min(found["man"], found["pawn"], found["push"]) > 5 or ending in ("KPKN", "KPPK")


@pytest.mark.parametrize(("ending", "gain"), [("KRK", "centre"), ("KPK", "pawn"), ("KRKP", "push"), ("KQKR", "man")])
def test_the_time_given_is_what_all_best_replies_to_the_slip_bring_and_none_to_the_best_moves(
    library: Library, ending: str, gain: str
) -> None:
    told = Counter[object]()
    for mine, measured in moves_played(library, ending, 8, seed=17):
        given, about = MoveFacts.of(mine).given, f"{mine.before.fen()} {mine.move}"
        if mine.better is None or not mine.by_attacker:
            assert (given.gains, given.gains_now, given.range_shrinks) == (None, False, False), about
            continue
        brought = best_bring(library, mine.after)
        shared = next((gain for gain in GAINS if brought and all(gain in found for found in brought)), None)
        instead = [best_bring(library, played(measured.board, move)) for move in measured.best()]
        hits = all_hit(library, mine.after)
        never = not any(one for move in measured.best() for one in all_hit(library, played(measured.board, move)))
        if hits and all(hits) and never and len({kind for one in hits for kind in one}) == 1:
            assert given.hit == chess.piece_name(next(iter(hits[0]))), about
            shared = "hit"
        assert given.gains == shared, about
        others = [played(measured.board, move) for move in measured.no_better(mine.move)]
        alike = given.gains_now and (
            (shared == "push" and all("push" in found for there in others for found in best_bring(library, there)))
            or (shared == "hit" and all(kinds for there in others for kinds in all_hit(library, there)))
        )
        assert given.alike == alike, about
        assert given.gains_now == (shared is not None and all(shared not in one for found in instead for one in found))
        was, now = (len(king_range(board, measured.board.turn)) for board in (mine.before, mine.after))
        assert given.range_shrinks == (5 * (was - now) >= was), about
        told.update((shared, given.gains_now, given.range_shrinks and "shrinks", given.alike and "alike"))
    assert told[gain]
    assert told["alike"] or ending != "KRKP"
    assert told[None]
    assert told[True] or ending == "KPK"
