"""What is expected after a move is a best reply and a best move after it, by the values of all of them."""

from __future__ import annotations

from collections import Counter
from itertools import islice

import chess
import pytest

from matebot.facts import played as module
from matebot.facts.making import FactMaker
from matebot.facts.played import Played
from matebot.ideas.squares import after_move
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play import judged
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, rank_with
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


def test_of_many_replies_to_a_drawing_move_no_more_are_ranked_than_the_one_that_is_told(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ranked are the position, that after the move and that after the reply; of the replies four are looked at."""
    ranked, looked = list[str](), list[chess.Move]()

    def noted(referee: Referee) -> list[Ranked]:
        ranked.append(referee.board.fen())
        return rank_with(referee)

    def made(board: chess.Board, move: chess.Move) -> chess.Board:
        looked.append(move)
        return after_move(board, move)

    board = chess.Board("8/8/3k4/3n4/8/8/1K6/7R b - - 0 1")
    maker = FactMaker(Judged.of(library, board))
    move = board.parse_san("Ke5")
    monkeypatch.setattr(judged, "rank_with", noted)
    drawn = Played(maker, move)
    monkeypatch.setattr(module, "after_move", made)
    assert drawn.ranked.outcome == 0
    assert len(drawn.line) == 2
    assert len(ranked) == 2
    assert LOOKED_AT <= len(looked) < len(list(drawn.after.legal_moves)) // 2


def way_of(pawn: chess.Square, side: chess.Color) -> set[chess.Square]:
    ahead, rank = (1, 8) if side else (-1, -1)
    return {chess.square(chess.square_file(pawn), on) for on in range(chess.square_rank(pawn) + ahead, rank, ahead)}


def hold(board: chess.Board, man: chess.Square) -> set[chess.Square]:
    return {man, *board.attacks(man)}


@pytest.mark.parametrize("ending", ["KPKB", "KPKR"])
def test_a_pawn_is_stopped_by_a_man_that_comes_to_guard_or_block_its_way(library: Library, ending: str) -> None:
    stopped = Counter[bool]()
    won = (board for board in random_positions(ending, 600, seed=5) if board.pieces(chess.PAWN, board.turn))
    for board in islice((board for board in won if library.tables.value(board).outcome > 0), 10):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking:
            then, after = maker.facts(item.move).then, played(board, item.move)
            if not then.ahead or not after.pieces(chess.PAWN, board.turn):
                assert not then.stops_pawn
                continue
            reply, (pawn,) = after.parse_san(then.ahead[0]), after.pieces(chess.PAWN, board.turn)
            way, man = way_of(pawn, board.turn), after.piece_type_at(reply.from_square) != chess.KING
            was, now = hold(after, reply.from_square), hold(played(after, reply), reply.to_square)
            comes = man and not way & was and bool(way & now)
            assert then.stops_pawn == comes, f"{board.fen()} {item.move}"
            stopped[comes] += 1
    assert stopped[True]
    assert stopped[False]
