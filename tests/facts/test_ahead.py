"""What is expected after a move is a best reply and a best move after it, by the values of all of them."""

from __future__ import annotations

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.judged import Judged
from tests.witness.positions import random_positions
from tests.witness.slip_kinds import played

#: Equal replies that are compared.
LOOKED_AT = 4


def places(library: Library, board: chess.Board) -> dict[chess.Move, tuple[int, int]]:
    """Return for each move how good it is: the better one is greater."""
    found = {}
    for move in board.legal_moves:
        value = library.tables.value(played(board, move))
        found[move] = -value.outcome, value.outcome * (value.dtm_plies or 0)
    return found


def best(found: dict[chess.Move, tuple[int, int]]) -> list[chess.Move]:
    """Return the best moves in the order of squares."""
    equal = [move for move in found if found[move] == max(found.values())]
    return sorted(equal, key=lambda move: (move.from_square, move.to_square))


@pytest.mark.parametrize("ending", ["KRK", "KBNK", "KQK"])
def test_the_reply_expected_leaves_least_choice_and_the_better_move_is_told_where_it_still_is_best(
    library: Library, ending: str
) -> None:
    still, fewer = 0, 0
    for board in random_positions(ending, 16, seed=41):
        if library.tables.value(board).outcome != 1:
            continue
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking[:: 1 + len(maker.ranking) // 6]:
            facts, after = maker.facts(item.move), played(board, item.move)
            if item.outcome != 1 or not any(after.legal_moves):
                continue
            replies = best(places(library, after))[:LOOKED_AT]
            keeping = {
                reply: sum(outcome == 1 for outcome, _ in places(library, played(after, reply)).values())
                for reply in replies
            }
            reply = after.parse_san(facts.then.ahead[0])
            assert keeping[reply] == min(keeping.values()), facts.fen
            fewer += len(set(keeping.values())) > 1
            replied = played(after, reply)
            follow, wanted = replied.parse_san(facts.then.ahead[1]), best(places(library, replied))
            assert follow in wanted, facts.fen
            better = facts.instead.best
            if better and chess.Move.from_uci(better) in wanted:
                assert follow.uci() == better, facts.fen
                still += follow != wanted[0]
            assert facts.then.only_holder == (len(list(after.legal_moves)) == 1), facts.fen
    assert fewer > 3
    assert still or ending == "KQK"
