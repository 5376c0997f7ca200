"""A defence is held against others by what is cheap to see first, and each of them is asked once."""

from __future__ import annotations

import chess

from matebot.ideas.contrast import Contrast
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move
from matebot.ideas.threatens import Threat, Threatens
from matebot.method.library import Library
from matebot.play.truth import TableTruth


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
