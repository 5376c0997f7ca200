"""With a capture en passant pending the next capture or pawn move is as far off as the best legal move makes it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import islice
from random import Random

import chess

from matebot.solver.tables import Tables


def after_double_steps(random: Random) -> Iterator[chess.Board]:
    """Yield positions of king and pawn against king and pawn in which the pawn that stands beside may be taken."""
    while True:
        file = random.randrange(7)
        board = chess.Board(None)
        taker, stepped = random.sample([chess.square(file, 4), chess.square(file + 1, 4)], 2)
        board.set_piece_at(taker, chess.Piece(chess.PAWN, chess.WHITE))
        board.set_piece_at(stepped, chess.Piece(chess.PAWN, chess.BLACK))
        free = [s for s in chess.SQUARES if s not in (taker, stepped, stepped + 8, stepped + 16)]
        for square, colour in zip(random.sample(free, 2), chess.COLORS, strict=True):
            board.set_piece_at(square, chess.Piece(chess.KING, colour))
        board.ep_square = stepped + 8
        if board.is_valid() and board.has_legal_en_passant():
            yield board


def test_the_leg_of_a_win_is_that_of_the_shortest_move_that_wins(tables: Tables) -> None:
    """Who may take so loses no game: the other side is left with its king. A mate ends a leg as well."""
    found = Counter[tuple[int, bool]]()
    for board in islice(after_double_steps(Random(5)), 300):
        value, legs = tables.value(board), list[int]()
        for move in board.legal_moves:
            after = board.copy(stack=False)
            after.push(move)
            child = tables.value(after)
            if child.outcome == -value.outcome:
                ends = board.is_zeroing(move) or after.is_checkmate()
                legs.append(1 if ends else 1 + (child.dtz_plies or 0))
        if value.outcome:
            assert (value.outcome, value.dtz_plies) == (1, min(legs)), board.fen()
        found[value.outcome, value.dtz_plies == 1] += 1
    assert found[1, True]
    assert found[1, False]
