"""The moves that a move is compared with are those that the values one move later, and python-chess, name."""

from __future__ import annotations

from collections import Counter

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.played import Played
from matebot.ideas.prepares import Next
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked
from matebot.play.truth import TableTruth
from tests.facts.measured import Measured, moves_played
from tests.witness import slip_kinds as witness

ENDINGS = ("KRK", "KQKR", "KBBK", "KRKB")


@pytest.mark.parametrize("ending", ENDINGS)
def test_moves_that_are_better_equal_or_no_better_are_those_of_the_values(library: Library, ending: str) -> None:
    seen = Counter[str]()
    for played, measured in moves_played(library, ending):
        about, mine = f"{played.before.fen()} {played.move}", played.move
        best = measured.best()
        assert set(played.best_moves) == set(best), about
        given = None if measured.worth[mine][0] == measured.outcome else measured.outcome
        assert FactMaker(played.judged).given_away(mine) == given, about
        assert len(played.best_moves) == len(best)
        alike = {move for move, worth in measured.worth.items() if worth == measured.worth[mine]} - {mine}
        assert set(played.as_quick) == (alike if measured.worth[mine][0] > 0 else set()), about
        if played.better is None:
            assert measured.lag(mine) in (0, 1), about
            assert (played.clearly_better, played.no_better) == ((), ()), about
            assert (played.blame, played.back) == (None, None), about
            continue
        seen["worse"] += 1
        assert played.clearly_better[0] == played.best_moves[0] == played.better.move
        assert set(played.clearly_better) == measured.clearly_better(mine), about
        assert len(set(played.clearly_better)) == len(played.clearly_better)
        wanted = measured.no_better(mine) if played.by_attacker else set()
        assert set(played.no_better) == wanted, about
        seen["no better"] += bool(wanted)
    assert seen["worse"] > 3
    assert seen["no better"] > 1 or ending == "KRKB"


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_line_is_a_best_reply_and_a_best_move_after_it_and_boards_stay_as_they_are(
    library: Library, ending: str
) -> None:
    told = Counter[int]()
    for played, measured in moves_played(library, ending):
        before, after = measured.board.fen(), witness.played(measured.board, played.move)
        line, replies = played.line, Measured(library, after) if any(after.legal_moves) else None
        assert set(played.replies) == set(after.legal_moves)
        assert played.piece == measured.board.piece_type_at(played.move.from_square)
        assert played.standings == (tuple(library.standings(after)) if measured.worth[played.move][0] else ())
        told[len(line)] += 1
        if replies is None:
            assert line == ()
            continue
        assert replies.lag(line[0]) == 0
        there = witness.played(after, line[0])
        ended = not any(there.legal_moves) or there.is_insufficient_material()
        assert len(line) == (1 if ended else 2)
        if not ended:
            follow = Measured(library, there)
            assert follow.lag(line[1]) == 0
            wished = None if played.better is None else played.better.move
            assert wished not in follow.worth or follow.lag(wished) or line[1] == wished
        assert (played.before.fen(), played.after.fen()) == (before, after.fen())
        assert (played.answer is None) == (len(line) < 2)
        if played.answer is not None:
            assert (played.answer.before, played.answer.move) == (there, line[1])
            assert not played.answer.standard.by_method
    assert told[2] > 7


@pytest.mark.parametrize(("clock", "told"), [(0, True), (99, False)])
def test_the_truth_is_told_to_the_ideas_as_long_as_the_clock_changes_nothing(
    library: Library, clock: int, told: bool
) -> None:
    board = chess.Board(f"8/8/8/8/4k3/8/R7/K7 w - - {clock} 80")
    maker = FactMaker(Judged.of(library, board))
    kept = [item.move for item in maker.ranking if library.tables.value(witness.played(board, item.move)).outcome]
    assert kept
    assert all((Played(maker, move).seen._truth is not None) == told for move in kept)


def test_of_equal_replies_the_line_takes_the_one_that_leaves_least_choice(library: Library) -> None:
    """Counted are the moves that keep the outcome, of the four replies that come first."""
    compared = 0
    for ending in ("KRK", "KQKR"):
        for played, _ in moves_played(library, ending):
            if len(played.line) < 2:
                continue
            ranking = played.judged.after(played.move).ranking
            if not ranking[0].outcome:
                continue
            best = [item.move for item in ranking if (item.outcome, item.mate_plies) == _worth(ranking[0])][:4]
            choice = {}
            for reply in best:
                there = Measured(library, witness.played(played.after, reply))
                choice[reply] = sum(outcome == there.outcome for outcome, _ in there.worth.values())
            assert choice[played.line[0]] == min(choice.values()), f"{played.after.fen()} {choice}"
            compared += len(set(choice.values())) > 1
    assert compared > 1


def _worth(item: Ranked) -> tuple[int, int | None]:
    return item.outcome, item.mate_plies


def test_a_way_back_is_seen_after_a_slip_of_the_attacker_with_a_move_after_the_reply(library: Library) -> None:
    seen = Counter[bool]()
    for ending in ("KRK", "KBBK"):
        for played, _ in moves_played(library, ending):
            slip = played.better is not None and played.by_attacker and len(played.line) == 2
            assert slip or played.back is None
            seen[slip and played.back is not None] += 1
    assert min(seen[True], seen[False]) > 5


def test_in_a_draw_replies_after_which_a_man_may_be_taken_come_last(library: Library) -> None:
    both = 0
    for played, _ in moves_played(library, "KRKB"):
        there = played.judged.after(played.move)
        if not there.ranking or there.ranking[0].outcome:
            continue
        gives = [
            any(map(witness.played(played.after, reply).is_capture, witness.played(played.after, reply).legal_moves))
            for reply in played._best_replies(there)
        ]
        assert gives == sorted(gives)
        both += len(set(gives)) == 2
    assert both > 2


def test_what_loses_up_to_twice_as_much_as_the_method_is_held_against_the_shortest_mate_and_what_loses_more_is_not(
    library: Library,
) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("8/4K3/8/7B/8/8/k4N2/8 w - - 0 1")), "method")
    best, taught = maker.ranking[0].mate_plies, maker._taught.mate_plies
    as_fast = [item for item in maker.ranking if item.mate_plies == taught and not maker.method_moves(item)]
    assert as_fast
    assert best is not None
    assert taught is not None
    assert best < taught
    for item in as_fast:
        recommended = maker.recommended(item)
        assert recommended is not None
        assert recommended.mate_plies == best
    won = [item for item in maker.ranking if item.outcome == 1 and not maker.method_moves(item)]
    nearly = [item for item in won if best < (item.mate_plies or 0) <= 2 * taught - best]
    assert len(nearly) > len(as_fast)
    assert all((maker.recommended(item) or maker._taught).mate_plies == best for item in nearly)
    slower = [item for item in won if (item.mate_plies or 0) > 2 * taught - best]
    assert slower
    assert all(maker.recommended(item) is maker._taught for item in slower)


def test_where_the_number_of_the_position_is_a_bound_no_move_is_known_to_be_best(library: Library) -> None:
    judged = Judged.of(library, chess.Board("8/8/8/3k4/8/8/8/K6R w - - 0 1"))
    judged.referee._here = judged.referee.here()._replace(exact=False)
    maker = FactMaker(judged)
    assert maker.ranking[0].exact
    assert (maker.best_known, maker.ranked_exactly) == (False, False)
    assert {maker.lost(item) for item in maker.ranking if item.outcome == 1} == {None}


@pytest.mark.parametrize("move", ["c7b7", "c7g3", "c7c5", "c7d6"])
def test_only_a_reply_of_the_king_leaves_squares_open(library: Library, move: str) -> None:
    """The knight's fork is the best reply, and after the best move the king would have fewer squares."""
    maker = FactMaker(Judged.of(library, chess.Board("4K3/2q5/8/3k4/7N/8/8/8 b - - 0 1")))
    facts = maker.facts(chess.Move.from_uci(move))
    assert facts.then.ahead[0].startswith("N")
    assert facts.compared.left_open == ()


def test_no_line_is_told_where_a_distance_on_it_is_only_a_bound(library: Library) -> None:
    board, move = chess.Board("8/8/8/3k4/8/8/8/K6R w - - 0 1"), chess.Move.from_uci("h1h4")

    def line_with(bounds: str) -> tuple[chess.Move, ...]:
        judged = Judged.of(library, board)
        there = judged.after(move)
        best = Played(FactMaker(judged), move).line[0]
        for judged_there, name in ((there, "replies"), (there.after(best), "answers")):
            if name == bounds:
                judged_there.best = ()
        if bounds == "the move":
            judged.ranking = [item._replace(exact=item.move != move) for item in judged.ranking]
        return Played(FactMaker(judged), move).line

    whole = line_with("")
    assert len(whole) == 2
    assert [line_with(bounds) for bounds in ("the move", "replies", "answers")] == [(), (), whole[:1]]


def test_what_the_way_back_does_is_seen_on_the_board_after_the_reply(library: Library) -> None:
    seen = Counter[Next | None]()
    for fen in ("1k6/8/1K6/8/8/8/8/7R w - - 0 1", "8/8/P7/8/8/1k6/8/K7 w - - 0 1", "3k4/8/3K4/8/1r6/8/8/Q7 w - - 0 1"):
        maker = FactMaker(Judged.of(library, chess.Board(fen)))
        for played in (Played(maker, item.move) for item in maker.ranking):
            if played.better is None or not played.by_attacker or len(played.line) < 2:
                continue
            there, move = witness.played(played.after, played.line[0]), played.line[1]
            mates = witness.played(there, move).is_checkmate()
            assert (played.back is Next.MATE) == mates
            assert (played.back is Next.PROMOTION) == (move.promotion is not None and not mates)
            assert mates or move.promotion or (played.back is Next.CAPTURE) == there.is_capture(move)
            seen[played.back] += 1
    assert seen[Next.MATE]
    assert seen[Next.PROMOTION] or seen[Next.CAPTURE]
    assert len(seen) > 3


def test_why_a_move_draws_is_looked_for_after_moves_that_draw_alone(library: Library) -> None:
    known = Counter[int]()
    for fen in (
        "8/5K2/8/2R1b3/8/k7/8/8 b - - 0 1",
        "8/5K2/8/2R1b3/8/k7/8/8 w - - 0 1",
        "8/8/8/4k3/8/8/4P3/4K3 w - - 0 1",
    ):
        maker = FactMaker(Judged.of(library, chess.Board(fen)))
        for item in maker.ranking:
            why = maker.facts(item.move).seen.why_drawn
            assert why is None or item.outcome == 0
            known[item.outcome] += why is not None
    assert known[0] > 5


def test_the_move_taught_is_that_of_the_method_as_long_as_it_mates_in_time(library: Library) -> None:
    fen = "8/4K3/8/7B/8/8/k4N2/8 w - - {} 60"
    plies = library.standings(chess.Board(fen.format(0)))[0].rung.plies
    late = 100 - plies
    methods, shortest = (
        TableTruth(library, style).answer(chess.Board(fen.format(0))) for style in ("method", "shortest")
    )
    assert methods != shortest
    taught = {}
    for clock in (late, late + 1):
        board = chess.Board(fen.format(clock))
        taught[clock - late] = FactMaker(Judged.of(library, board), "method").truth.answer(board)
    assert taught == {0: methods, 1: shortest}


def test_after_a_win_thrown_away_the_move_of_the_method_is_recommended(library: Library) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("8/6K1/8/8/8/4k3/6R1/8 w - - 0 1")), "method")
    thrown = [maker.recommended(item) for item in maker.ranking if item.outcome < 1]
    assert maker._taught is not maker._shortest
    assert thrown
    assert all(item is maker._taught for item in thrown)


def test_a_move_that_only_loses_time_is_blamed_for_what_the_better_one_keeps_out(library: Library) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("7K/8/6k1/8/8/2p5/8/8 b - - 0 1")))
    played = Played(maker, chess.Move.from_uci("g6h5"))
    assert played.blame is not None
    assert played.blame.reply == "Kg7"
    assert played.better is not None
    assert chess.Move.from_uci("h8g7") not in played.beside(played.better.move).replies


def test_a_slip_of_the_defender_is_blamed_for_nothing_it_lets_in(library: Library) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("8/2k5/8/2K5/8/1p6/7R/8 b - - 0 1")))
    slips = [played for item in maker.ranking if (played := Played(maker, item.move)).better is not None]
    assert maker.attacker == chess.WHITE
    assert all(played.line for played in slips)
    assert {played.blame for played in slips} == {None}


def test_in_a_draw_the_move_that_would_be_played_is_held_against_one_that_loses(library: Library) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("7R/8/2K5/8/4p3/8/8/3k4 b - - 0 1")))
    wanted, losing = (
        choose(maker.judged, Style(attack="shortest")),
        [item for item in maker.ranking if item.outcome < 0],
    )
    assert losing
    assert wanted is not maker.ranking[0]
    assert all(maker.recommended(item) is wanted for item in losing)


def test_time_lost_is_not_blamed_on_what_other_moves_of_the_man_let_in_as_well(library: Library) -> None:
    """The king steps beside the queen, which most moves of hers let it do, though a single reply is best."""
    maker = FactMaker(Judged.of(library, chess.Board("4K3/2k5/8/2q5/8/8/8/8 b - - 0 1")))
    played = Played(maker, chess.Move.from_uci("c5g5"))
    (reply,) = Measured(library, played.after).best()
    assert played.better is not None
    assert played.better.outcome == played.ranked.outcome
    assert reply not in played.beside(played.better.move).replies
    assert any(reply in played.beside(move).replies for move in played.no_better)
    assert played.blame is None


def test_a_win_thrown_away_is_blamed_on_the_one_reply_that_saves_the_game_whatever_else_lets_it_in(
    library: Library,
) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("8/8/8/8/1K3p2/8/R7/3k4 w - - 0 1")))
    played = Played(maker, chess.Move.from_uci("a2a1"))
    (reply,) = Measured(library, played.after).best()
    assert played.ranked.outcome < maker.ranking[0].outcome
    assert any(reply in played.beside(move).replies for move in played.no_better)
    assert played.blame is not None
    assert played.blame.reply == played.after.san(reply)


def test_where_several_replies_save_the_game_none_is_blamed_that_other_moves_of_the_man_let_in(
    library: Library,
) -> None:
    maker = FactMaker(Judged.of(library, chess.Board("8/k1p5/8/3K4/8/8/8/8 b - - 0 1")))
    played = Played(maker, chess.Move.from_uci("a7b8"))
    replies = Measured(library, played.after).best()
    assert played.better is not None
    assert played.ranked.outcome < played.better.outcome
    kept_out = set(replies).difference(played.beside(played.better.move).replies)
    assert len(replies) > len(kept_out) > 0
    assert all(any(reply in played.beside(move).replies for move in played.no_better) for reply in kept_out)
    assert played.blame is None


@pytest.mark.parametrize(
    ("fen", "move"),
    [
        ("7K/4q3/8/8/5k2/8/8/8 b - - 0 1", "e7g7"),
        ("k7/5K2/8/8/3Q4/8/8/8 w - - 0 1", "d4a7"),
        ("8/8/K2k4/2q5/8/8/8/8 b - - 0 1", "d6c6"),
    ],
)
def test_a_stalemate_is_none_of_the_other_moves_that_come_to_no_more(library: Library, fen: str, move: str) -> None:
    board, mine = chess.Board(fen), chess.Move.from_uci(move)
    measured, played = Measured(library, board), Played(FactMaker(Judged.of(library, board)), mine)
    drawn = [
        other for other in measured.worth if other.from_square == mine.from_square and not measured.worth[other][0]
    ]
    assert any(witness.played(board, other).is_stalemate() for other in drawn if other != mine)
    assert set(played.no_better) == measured.no_better(mine)


@pytest.mark.parametrize(("clock", "told"), [(0, True), (90, False)])
def test_no_truth_is_told_to_the_ideas_where_a_win_depends_on_a_pawn_move_in_time(
    library: Library, clock: int, told: bool
) -> None:
    maker = FactMaker(Judged.of(library, chess.Board(f"2K5/8/1k3P2/8/8/8/8/8 w - - {clock} 120")))
    played = Played(maker, chess.Move.from_uci("f6f7"))
    plies = played.ranked.mate_plies
    assert played.better is None
    assert plies is not None
    assert (clock + plies <= 100) == told
    assert (played.seen._truth is not None) == told
