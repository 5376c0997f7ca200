"""A defence is held against others by what is cheap to see first, and each of them is asked once."""

from __future__ import annotations

import chess

from matebot.ideas.contrast import Contrast
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move
from matebot.ideas.threatens import Threat, Threatens
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from tests.witness.positions import random_positions


def test_only_defences_that_attack_such_a_man_are_asked_what_they_threaten_and_each_once(library: Library) -> None:
    before, truth = chess.Board("8/3r4/8/8/2Q5/K7/7k/8 b - - 0 1"), TableTruth(library)
    worth = truth.after(before)
    longest = max(worth, key=lambda move: worth[move].mate_plies or 0)
    asked: list[tuple[chess.Move, chess.Board]] = []

    def seen(kind: str, move: chess.Move, there: chess.Board) -> Idea | None:
        asked.append((move, there))
        return None

    contrast = Contrast(before, longest, after_move(before, longest), chess.WHITE, truth, seen)
    mine = Threatens(Threat.CAPTURE, chess.Move.from_uci("c7c4"), chess.C4, chess.QUEEN)
    assert not contrast.shares(mine)
    assert not contrast.shares(mine)
    moves = [move for move, _ in asked]
    assert 0 < len(moves) < len(worth) // 2
    assert len(set(moves)) == len(moves)
    assert all(there.is_attacked_by(chess.BLACK, chess.C4) for _, there in asked)


def test_a_rook_leaves_squares_where_a_best_reply_of_it_guards_them_no_more(library: Library) -> None:
    truth, found = TableTruth(library), set[bool]()
    for before in random_positions("KRK", 30, seed=73):
        (rook,), attacker = chess.SquareSet(before.rooks), not before.turn
        if before.color_at(rook) != attacker or truth.outcome(before) >= 0:
            continue
        for move in before.legal_moves:
            after = after_move(before, move)
            worth = truth.after(after)
            if not after.rooks or not worth:
                continue
            least = min(value.mate_plies or 0 for value in worth.values() if value.outcome < 0)
            best = [reply for reply, value in worth.items() if value == (-1, least) and reply.from_square == rook]
            reached = [after_move(after, reply).attacks(reply.to_square) for reply in best]
            contrast = Contrast(before, move, after, attacker, truth, lambda *_: None)
            for square in after.attacks(rook):
                leaves = any(square not in squares for squares in reached)
                assert contrast.leaves(rook, chess.BB_SQUARES[square]) == leaves, f"{before.fen()} {move}"
                found.add(leaves)
    assert found == {False, True}
