"""Which of the ranked moves each style plays, held against its own text with python-chess's distances."""

from __future__ import annotations

from collections.abc import Iterator

import chess
import pytest

from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.choice import ATTACKS, DEFENCES, Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, is_weaker, rank_with
from matebot.terms import CLAIM_PLIES
from tests.witness.positions import random_positions

MARGIN = 2


def positions(library: Library, ending: str, outcome: int, count: int) -> Iterator[tuple[Referee, list[Ranked]]]:
    """Yield positions of one outcome with their moves."""
    for board in random_positions(ending, 50 * count, seed=61):
        if library.tables.value(board).outcome == outcome and any(board.legal_moves):
            referee = Referee(board, library.tables)
            yield referee, rank_with(referee)
            count -= 1
        if not count:
            return


def king_after(board: chess.Board, move: chess.Move) -> chess.Square:
    after = board.copy(stack=False)
    after.push(move)
    king = after.king(board.turn)
    assert king is not None
    return king


def from_rim(square: chess.Square) -> int:
    """Count the steps from a square to the nearest edge of the board."""
    file, rank = chess.square_file(square), chess.square_rank(square)
    return min(file, rank, 7 - file, 7 - rank)


def test_the_centre_defence_keeps_its_king_as_far_from_the_edge_as_the_margin_allows(library: Library) -> None:
    """Among equals the longest mate, then the order of the squares; the margin is used to its last ply."""
    nearer, used = 0, 0
    for referee, ranking in positions(library, "KBNK", -1, 40):
        board, longest = referee.board, ranking[0].mate_plies or 0
        item = choose(Judged(library, referee), Style(defence="centre", margin_plies=MARGIN))
        allowed = [other for other in ranking if (other.mate_plies or 0) >= longest - MARGIN]
        assert item in allowed
        away = {other.move: from_rim(king_after(board, other.move)) for other in allowed}
        assert away[item.move] == max(away.values())
        equal = [other for other in allowed if away[other.move] == away[item.move]]
        assert item == equal[0]  # the ranking has the longest first, then the order of the squares
        nearer += away[item.move] > away[allowed[0].move]
        used = max(used, longest - (item.mate_plies or 0))
    assert nearer > 5
    assert used == MARGIN


def test_what_is_played_unless_something_else_is_asked_for_stands_first() -> None:
    """The words and the number are those of the options in the README."""
    assert Style().margin_plies == 4
    assert (Style().attack, Style().defence) == (ATTACKS[0], DEFENCES[0]) == ("shortest", "longest")
    assert (set(ATTACKS), set(DEFENCES)) == ({"shortest", "method"}, {"longest", "corner", "centre", "changing"})


@pytest.mark.parametrize("defence", DEFENCES)
def test_every_defence_takes_a_draw_where_there_is_one(library: Library, defence: str) -> None:
    found = 0
    for referee, ranking in positions(library, "KRKN", 0, 16):
        if is_weaker(referee.board, referee.board.turn):
            chosen = choose(Judged(library, referee), Style(defence=defence))
            assert chosen.outcome == 0
            assert chosen == choose(Judged(library, referee), Style())
            found += ranking[-1].outcome < 0
    assert found > 2


def test_of_the_moves_of_the_method_the_one_that_mates_soonest_is_played(library: Library) -> None:
    differ = 0
    for referee, ranking in positions(library, "KBNK", 1, 15):
        plies = {
            item.move: item.mate_plies for item in ranking if on_ladder(Judged(library, referee), item) is not None
        }
        assert plies
        chosen = choose(Judged(library, referee), Style(attack="method"))
        assert chosen.mate_plies == plies[chosen.move] == min(number or 0 for number in plies.values())
        differ += len(set(plies.values())) > 1
    assert differ


def test_the_longest_defence_plays_the_first_of_the_ranking(library: Library) -> None:
    for referee, ranking in positions(library, "KRK", -1, 10):
        assert choose(Judged(library, referee), Style(defence="longest")) == ranking[0]


def test_the_changing_defence_plays_every_move_within_the_margin_and_none_beyond(library: Library) -> None:
    referee, ranking = next(positions(library, "KQKR", -1, 1))
    longest = ranking[0].mate_plies or 0
    allowed = {item.move for item in ranking if (item.mate_plies or 0) >= longest - MARGIN}
    styles = [Style(defence="changing", margin_plies=MARGIN, seed=seed) for seed in range(80)]
    chosen = [choose(Judged(library, referee), style).move for style in styles]
    assert set(chosen) == allowed
    assert len(allowed) > 1
    assert chosen == [choose(Judged(library, referee), style).move for style in styles]


def test_of_equally_short_mates_the_one_furthest_by_the_method_is_played(library: Library) -> None:
    told = 0
    for referee, ranking in positions(library, "KBNK", 1, 25):
        chosen = choose(Judged(library, referee), Style())
        equal = [item for item in ranking if (item.outcome, item.mate_plies) == (1, ranking[0].mate_plies)]
        rungs = {}
        for item in equal:
            after = referee.board.copy(stack=False)
            after.push(item.move)
            rung = library.rung(library.tables.stand(after)[0])
            assert rung is not None
            rungs[item.move] = (-rung.stage, rung.plies)
        assert rungs[chosen.move] == min(rungs.values())
        told += min(rungs.values()) != max(rungs.values())
    assert told > 2


def test_a_promotion_comes_before_other_mates_as_short(library: Library) -> None:
    promoted = 0
    for referee, ranking in positions(library, "KPK", 1, 60):
        equal = [item for item in ranking if (item.outcome, item.mate_plies) == (1, ranking[0].mate_plies)]
        kinds = {bool(item.move.promotion) for item in equal}
        assert bool(choose(Judged(library, referee), Style()).move.promotion) == max(kinds)
        promoted += len(kinds) == 2
    assert promoted


@pytest.mark.parametrize("spare", [0, -1])
def test_the_method_is_followed_as_long_as_its_mate_comes_by_the_last_ply_of_the_clock(
    library: Library, spare: int
) -> None:
    referee, _ = next(positions(library, "KBNK", 1, 1))
    rung = library.rung(library.tables.stand(referee.board)[0])
    assert rung is not None
    board = referee.board.copy(stack=False)
    board.halfmove_clock = CLAIM_PLIES - rung.plies - spare
    timed = Referee(board, library.tables)
    followed = [item for item in rank_with(timed) if on_ladder(Judged(library, timed), item) is not None]
    assert bool(followed) == (spare == 0)


@pytest.mark.parametrize("spare", [0, -1])
def test_the_method_is_followed_as_long_as_it_mates_within_what_was_announced(library: Library, spare: int) -> None:
    referee, ranking = next(positions(library, "KBNK", 1, 1))
    rung = library.rung(library.tables.stand(referee.board)[0])
    assert rung is not None
    referee.promised_plies = rung.plies + spare
    followed = [item for item in ranking if on_ladder(Judged(library, referee), item) is not None]
    assert bool(followed) == (spare == 0)
    for item in followed:
        after = on_ladder(Judged(library, referee), item)
        assert after is not None
        assert after.plies == rung.plies - 1
        assert after.stage >= rung.stage


def test_the_method_is_not_followed_where_a_position_has_occurred_twice(library: Library) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    for move in ("a1a2", "e4d4", "a2a1", "d4e4"):
        board.push_uci(move)
    referee = Referee(board, library.tables)
    assert not [item for item in rank_with(referee) if on_ladder(Judged(library, referee), item) is not None]


@pytest.mark.parametrize("ending", ["KRNK", "KRBK"])
def test_the_corner_defence_lasts_longest_where_no_corner_is_safer(library: Library, ending: str) -> None:
    for referee, ranking in positions(library, ending, -1, 12):
        assert choose(Judged(library, referee), Style(defence="corner")) == ranking[0]


def test_the_method_promotes_where_that_mates_as_soon(library: Library) -> None:
    promoted = 0
    for referee, ranking in positions(library, "KPK", 1, 60):
        judged = Judged(library, referee)
        followed = [item for item in ranking if on_ladder(judged, item) is not None]
        assert followed, referee.board.fen()
        soonest = min(item.mate_plies or 0 for item in followed)
        kinds = {bool(item.move.promotion) for item in followed if item.mate_plies == soonest}
        assert bool(choose(judged, Style(attack="method")).move.promotion) == max(kinds)
        promoted += len(kinds) == 2
    assert promoted
