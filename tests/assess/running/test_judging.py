"""Scores, moves and games are judged by what is true on the board; the engines are functions of the test.

Sources: FIDE Laws of Chess, articles 5 and 9, for how games end; the positions are from memory, and what is said of
them can be counted on the board.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import chess
import chess.engine
import pytest

from matebot.assess.engines.client import Allowance, Client, Reply
from matebot.assess.judging.measures import measured
from matebot.assess.judging.results import AGAINST, ENGINE, OWN, GameResult, Result
from matebot.assess.judging.truth import CHANGING_PLIES, SharedTruth
from matebot.assess.plans.plan import AssessmentPlan, make_plan
from matebot.assess.plans.tasks import Task
from matebot.assess.running.analysis import Score, mate_faults, question, read_score
from matebot.assess.running.limits import allowance
from matebot.assess.running.match import play_game
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

ROOK = "4k3/8/4K3/8/8/8/8/R7 w - - 0 1"  # Ra8 mates
QUEEN = "7k/8/6K1/8/8/8/8/5Q2 w - - 0 1"  # Qf8 mates, Qf7 is stalemate
LOOSE = "8/8/8/8/3k4/8/8/K3R3 w - - 0 1"  # Re3 loses the rook, and no other man is there to mate with
PAWN = "4k3/8/3K4/4P3/8/8/8/8 w - - 0 1"  # e6 gives up the key squares and the win, but not the pawn


class Scripted:
    """An engine that plays given moves and then the best ones, and tells given scores; keeps what it was allowed.

    Parameters
    ----------
    faults : by the number of the move; those that are no rubbish leave it without one, as does a fault without a name
    """

    def __init__(
        self,
        truth: SharedTruth,
        moves: Sequence[str] = (),
        scores: Sequence[chess.engine.Score | None] = (),
        player: str = ENGINE,
        seconds: float = 0.5,
        faults: dict[int, tuple[str, str]] | None = None,
    ) -> None:
        self.truth, self.player, self.seconds, self.faults = truth, player, seconds, faults or {}
        self.moves, self.scores = list(moves), list(scores)
        self.allowed: list[Allowance] = []

    def ask(self, board: chess.Board, allowed: Allowance, task: str, ending: str = "") -> Reply:
        first = not self.allowed
        self.allowed.append(allowed)
        move = chess.Move.from_uci(self.moves.pop(0)) if self.moves else self.truth.ranked(board)[0].move
        score = self.scores.pop(0) if self.scores else None
        info = chess.engine.InfoDict() if score is None else {"score": chess.engine.PovScore(score, board.turn)}
        fault = self.faults.get(len(self.allowed))
        ended = fault is not None and fault[0] not in ("rubbish", "")
        given = (fault,) if fault is not None and fault[0] else ()
        return Reply(None if ended or fault == ("", "") else move, info, given, self.seconds, first)


@pytest.fixture
def truth(tables: Tables) -> SharedTruth:
    return SharedTruth(tables)


def as_client(engine: Scripted) -> Client:
    return cast("Client", engine)


def played(
    truth: SharedTruth,
    fen: str,
    engine: Scripted,
    goal: str = "win",
    plan: AssessmentPlan | None = None,
    against: Scripted | None = None,
) -> GameResult:
    """Let an engine play from a position in which it is to move, unless it defends against the side to move."""
    white = chess.Board(fen).turn == (goal == "win" or chess.WHITE)
    opponent = OWN if against is None else AGAINST
    task = Task("attack 1", "attack", "KRK", fen, goal, ENGINE, opponent, white)
    clients = {ENGINE: as_client(engine), **({} if against is None else {AGAINST: as_client(against)})}
    return play_game(task, plan or make_plan({"engine": "x"}), truth, clients)


CP, MATE = chess.engine.Cp, chess.engine.Mate


@pytest.mark.parametrize(
    ("score", "claim"),
    [
        *[(CP(199), 0), (CP(200), 1), (CP(-199), 0), (CP(-200), -1), (CP(0), 0)],
        *[(MATE(1), 1), (MATE(9), 1), (MATE(-1), -1), (MATE(0), -1)],
    ],
)
def test_two_pawns_claim_a_win_and_so_does_a_mate(score: chess.engine.Score, claim: int) -> None:
    for turn in chess.COLORS:
        told = read_score({"score": chess.engine.PovScore(score, turn)}, turn)
        assert told is not None
        assert (told.claim, told.bound) == (claim, False)
        other = read_score({"score": chess.engine.PovScore(score, turn)}, not turn)
        assert other is not None
        assert other.claim == -claim or score.mate() == 0  # no engine says that the other side is mated


def test_bounds_and_no_score_are_told_apart() -> None:
    score = chess.engine.PovScore(MATE(3), chess.WHITE)
    for info in ({"score": score, "lowerbound": True}, {"score": score, "upperbound": True}):
        told = read_score(cast("chess.engine.InfoDict", info), chess.WHITE)
        assert told is not None
        assert (told.mate_moves, told.centipawns, told.bound) == (3, None, True)
    assert read_score({}, chess.WHITE) is None


@pytest.mark.parametrize(
    ("announced", "truly", "fault"),
    [
        ((3, False), (1, 3, True), (False, False)),
        ((2, False), (1, 3, True), (True, False)),
        ((4, False), (1, 3, True), (False, True)),
        ((-3, False), (-1, 3, True), (False, False)),
        ((-2, False), (-1, 3, True), (True, False)),
        ((-4, False), (-1, 3, True), (False, True)),
        ((-3, False), (1, 3, True), (True, False)),
        ((3, False), (0, None, True), (True, False)),
        ((2, True), (1, 3, True), (False, False)),
        ((4, True), (1, 3, True), (False, False)),
        ((3, True), (0, None, True), (True, False)),
        ((2, False), (1, 3, False), (False, False)),
        ((4, False), (1, 3, False), (False, False)),
        ((None, False), (1, 3, True), (False, False)),
    ],
)
def test_a_mate_is_false_if_it_is_not_there_or_comes_later_and_late_if_it_comes_sooner(
    announced: tuple[int | None, bool], truly: tuple[int, int | None, bool], fault: tuple[bool, bool]
) -> None:
    number, bound = announced
    assert mate_faults(Score("", 100 if number is None else None, number, bound), *truly) == fault
    assert mate_faults(None, *truly) == (False, False)


@pytest.mark.parametrize(
    ("fen", "move", "score", "faults"),
    [
        (ROOK, "a1a8", MATE(1), []),
        (ROOK, "a1a8", MATE(2), ["late_mate"]),
        (ROOK, "a1b1", CP(500), []),
        (ROOK, "a1a8", CP(10), ["wrong_outcome"]),
        (LOOSE, "e1e3", CP(500), ["thrown"]),
        (LOOSE, "e1e3", MATE(1), ["false_mate", "thrown"]),
        (ROOK.replace(" w ", " b "), "e8d8", MATE(1), ["wrong_outcome", "false_mate"]),
    ],
)
def test_of_an_answer_is_said_what_is_wrong_with_it(
    truth: SharedTruth, fen: str, move: str, score: chess.engine.Score, faults: list[str]
) -> None:
    task = Task("analysis 1", "analysis", "KRK", fen, "", ENGINE, "", True)
    engine = Scripted(truth, [move], [score])
    found = question(task, make_plan({"engine": "x"}), truth, as_client(engine))
    names = ("wrong_outcome", "false_mate", "late_mate", "thrown")
    assert [name for name in names if getattr(found, name)] == faults
    assert found.success == (not faults)
    assert (found.score, found.claim) == (
        (f"mate {n}", 1) if (n := score.mate()) else (f"cp {score.score()}", claim_of(score))
    )
    assert found.move == move
    assert found.best == truth.ranked(chess.Board(fen))[0].move.uci()
    assert (found.outcome == 1) == (" w " in fen)


def claim_of(score: chess.engine.Score) -> int:
    return int((score.score() or 0) >= 200)


def test_an_answer_without_a_move_or_score_throws_nothing_and_is_no_success(truth: SharedTruth) -> None:
    task = Task("analysis 1", "analysis", "KRK", ROOK, "", ENGINE, "", True)
    engine = Scripted(truth, faults={1: ("no move", "x")})
    found = question(task, make_plan({"engine": "x"}), truth, as_client(engine))
    assert (found.move, found.score, found.claim, found.thrown, found.wrong_outcome) == ("", "", None, False, False)
    assert [(fault.kind, fault.player, fault.move) for fault in found.faults] == [("no move", ENGINE, 1)]
    assert not found.success


def test_a_game_won_by_the_shortest_way_costs_nothing(truth: SharedTruth) -> None:
    game = played(truth, ROOK, Scripted(truth))
    assert (game.result, game.cause, game.success, game.moves) == ("won", "checkmate", True, ("a1a8",))
    assert (game.shortest_moves, game.played_moves, game.excess_moves) == (1, 1, 0)
    assert game.slips == ()
    assert 0 <= game.seconds < 100


def test_moves_given_away_are_counted_and_add_up(truth: SharedTruth) -> None:
    """Two moves that wait, then the best: each is a slip of what mate came later by."""
    game = played(truth, ROOK, Scripted(truth, ["a1b1"]))
    board, lost = chess.Board(ROOK), 0
    for number, move in enumerate(game.moves):
        before = truth.judge(board).mate_plies
        board.push_uci(move)
        after = truth.judge(board).mate_plies
        assert before is not None
        assert after is not None
        if number % 2 == 0:
            lost += (after + 1 - before) // 2
    assert board.is_checkmate()
    assert game.excess_moves == lost == sum(slip.moves_lost or 0 for slip in game.slips) > 0
    assert game.played_moves == (len(game.moves) + 1) // 2 == 1 + lost
    (slip,) = game.slips
    assert (slip.ply, slip.san, slip.best, slip.before, slip.after, slip.cause) == (1, "Rb1", "Ra8#", 1, 1, "")
    assert slip.stage


def test_a_game_with_slips_judges_each_position_once(truth: SharedTruth, judgements: dict[str, list[object]]) -> None:
    """The moves of either side, the truth after them, what a slip cost and the best move instead; and traps."""
    start = "8/8/8/3k4/8/8/8/K6R w - - 0 1"
    game = played(truth, start, Scripted(truth, ["a1b1", "b1a1", "h1h2", "h2h1"]), plan=make_plan({"engine": "x"}))
    assert len(game.slips) > 1
    assert judgements["referees"] == judgements["checks"] == [start]
    for kind in ("verdicts", "rankings"):
        assert len(set(judgements[kind])) == len(judgements[kind]) > 0, kind
    drawn = chess.Board("8/8/8/3k4/8/2n5/8/K6R b - - 0 1")
    for _ in range(2):
        truth.reply(drawn, "")
    assert judgements["referees"] == [start, drawn.fen()]


def test_what_is_kept_is_the_same_as_what_is_made_anew(truth: SharedTruth) -> None:
    """A history of repetitions changes nothing but a third one on the board itself."""
    board = chess.Board("8/8/8/3k4/8/8/8/K6R w - - 0 1")
    for move in ["h1h2", "d5d4", "h2h1", "d4d5"] * 2 + ["h1h2"]:
        board.push_uci(move)
        fresh = SharedTruth(truth.tables)
        assert truth.ranked(board) == fresh.ranked(board)
        assert truth.judge(board) == fresh.judge(board)
        assert truth.stage(board) == fresh.stage(board)


def test_a_single_move_given_away_is_counted(truth: SharedTruth) -> None:
    fen = "8/8/8/3k4/8/8/8/R3K3 w - - 0 1"
    best, *others = truth.ranked(chess.Board(fen))
    assert best.mate_plies is not None
    slower = next(item for item in others if item.mate_plies == best.mate_plies + 2)
    game = played(truth, fen, Scripted(truth, [slower.move.uci()]))
    assert [slip.moves_lost for slip in game.slips] == [1]
    assert (game.result, game.excess_moves) == ("won", 1)


@pytest.mark.parametrize(
    ("fen", "moves", "cause"),
    [
        (QUEEN, ["f1f7"], "stalemate"),
        (LOOSE, ["e1e3"], "lost piece"),
        (PAWN, ["e5e6"], "drawn position"),
        (ROOK.replace("0 1", "99 1"), ["a1b1"], "fifty moves"),
    ],
)
def test_a_win_thrown_away_ends_the_game_with_the_reason(
    truth: SharedTruth, fen: str, moves: list[str], cause: str
) -> None:
    game = played(truth, fen, Scripted(truth, moves))
    assert (game.result, game.cause, game.success) == ("drawn", cause, False)
    assert game.moves == tuple(moves)
    (slip,) = game.slips
    assert (slip.before, slip.after, slip.moves_lost, slip.cause) == (1, 0, None, cause)
    assert (game.excess_moves, game.played_moves) == (None, None)
    assert game.shortest_moves is not None
    key = {"drawn position": "other"}.get(cause, cause).replace(" ", "_")
    counts = {name: number.value for name, number in measured((game,), ("attack",), False).items()}
    assert {name for name, number in counts.items() if name.startswith("draws_") and number} == {f"draws_{key}"}
    assert (counts["games"], counts["wins"], counts["losses"], counts["excess_moves_mean"]) == (1, 0, 0, None)


def test_a_win_repeated_away_is_a_slip_of_the_move_that_let_it_happen(truth: SharedTruth) -> None:
    """The rook goes there and back; matebot repeats as soon as it can."""
    game = played(truth, "8/8/8/3k4/8/8/8/R3K3 w - - 0 1", Scripted(truth, ["a1b1", "b1a1"] * 20))
    board = chess.Board(game.fen)
    for move in game.moves:
        board.push_uci(move)
    assert board.is_repetition(3)
    assert (game.result, game.cause) == ("drawn", "repetition")
    thrown = [slip for slip in game.slips if slip.moves_lost is None]
    assert [slip.cause for slip in thrown] == ["repetition"]
    assert thrown[0].ply in (len(game.moves), len(game.moves) - 1)
    assert thrown[0].ply % 2 == 1
    before = board_after(game, thrown[0].ply - 1)
    best = truth.ranked(before)[0].move
    assert (thrown[0].before, thrown[0].after, thrown[0].moves_lost) == (1, 0, None)
    assert (thrown[0].san, thrown[0].best) == (before.san(chess.Move.from_uci(game.moves[-2])), before.san(best))
    assert thrown[0].stage == truth.stage(before) != ""


def board_after(game: GameResult, plies: int) -> chess.Board:
    board = chess.Board(game.fen)
    for move in game.moves[:plies]:
        board.push_uci(move)
    return board


def test_a_win_that_the_attacker_repeats_away_itself_is_one_slip(truth: SharedTruth) -> None:
    engine = Scripted(truth, ["e1d1", "a1b1", "b1a1", "a1b1", "b1a1"])
    other = Scripted(truth, ["d5d6", "d6d5"] * 4, player=AGAINST)
    game = played(truth, "8/8/8/3k4/8/8/8/R3K3 w - - 0 1", engine, against=other)
    assert (game.result, game.cause, len(game.moves)) == ("drawn", "repetition", 9)
    assert [slip.ply for slip in game.slips if slip.moves_lost is None] == [9]


def test_a_drawn_game_that_is_repeated_costs_the_defender_nothing(truth: SharedTruth) -> None:
    """Matebot has the rook and no win: bishop and king stand in the safe corner (common practice, no source)."""
    task = Task("defence 1", "defence", "KRKB", "7k/7b/8/8/8/8/8/KR6 b - - 80 1", "hold", ENGINE, OWN, False)
    game = play_game(task, make_plan({"engine": "x"}), truth, {ENGINE: as_client(Scripted(truth))})
    assert (game.result, game.success, game.slips, game.excess_moves) == ("drawn", True, (), None)
    assert game.shortest_moves is None
    shown = {name: number.value for name, number in measured((game,), ("defence",), False).items()}
    assert (shown["defences"], shown["held"], shown["shortfall_moves_mean"]) == (1, 1, None)


def test_a_drawn_game_that_matebot_repeats_costs_the_player_nothing(truth: SharedTruth) -> None:
    """The rook's side moves its king there and back; matebot has the bishop, and plays the same move each time."""
    engine = Scripted(truth, ["a1a2", "a2a1"] * 20)
    task = Task("defence 1", "defence", "KRKB", "7k/7b/8/8/8/8/8/K1R5 w - - 0 1", "hold", ENGINE, OWN, True)
    game = play_game(task, make_plan({"engine": "x"}), truth, {ENGINE: as_client(engine)})
    assert (game.result, game.cause, game.success, game.slips) == ("drawn", "repetition", True, ())


def test_a_win_thrown_away_is_the_reason_of_the_draw_that_follows(truth: SharedTruth) -> None:
    game = played(truth, LOOSE, Scripted(truth, ["e1e3"]), against=Scripted(truth, player=AGAINST))
    assert (game.result, game.cause, game.moves) == ("drawn", "lost piece", ("e1e3", "d4e3"))


def test_a_win_given_back_costs_only_the_moves_that_were_lost(truth: SharedTruth) -> None:
    """The rook is not taken; the thrown win is a slip all the same, but no number of moves."""
    engine, other = Scripted(truth, ["e1e3"]), Scripted(truth, ["d4d5"], player=AGAINST)
    game = played(truth, LOOSE, engine, against=other)
    assert (game.result, game.success) == ("won", True)
    assert [slip.moves_lost for slip in game.slips] == [None]
    assert game.excess_moves == 0


def test_a_fault_after_a_win_thrown_away_is_the_reason_of_the_loss(truth: SharedTruth) -> None:
    engine = Scripted(truth, ["e5e6"], faults={2: ("crash", "x")})
    game = played(truth, PAWN, engine, against=Scripted(truth, player=AGAINST))
    assert (game.result, game.cause) == ("lost", "crash")
    assert [slip.cause for slip in game.slips] == ["drawn position"]


def test_a_win_that_ends_in_ones_own_mate_is_a_loss_and_no_number_of_moves(truth: SharedTruth) -> None:
    """The king steps onto the rank on which the rook takes the queen and mates."""
    engine, other = Scripted(truth, ["h1g1"]), Scripted(truth, ["a2a1"], player=AGAINST)
    game = played(truth, "8/8/8/8/8/6k1/r7/Q6K w - - 0 1", engine, against=other)
    assert (game.result, game.cause, game.success) == ("lost", "checkmate", False)
    assert (game.excess_moves, game.played_moves) == (None, 1)
    (slip,) = game.slips
    assert (slip.before, slip.after, slip.moves_lost, slip.cause) == (1, -1, None, "mate")
    assert measured((game,), ("attack",), False)["losses"].value == 1
    assert game.seconds == round(game.seconds, 3)


@pytest.mark.parametrize(
    ("white_fault", "black_fault", "result", "cause"),
    [
        (("illegal move", "x"), None, "lost", "illegal move"),
        (None, ("flag fall", "x"), "won", "flag fall"),
        (("", ""), None, "lost", "no move"),
        (None, ("", ""), "won", "no move"),
    ],
)
def test_who_gives_no_move_loses_whoever_is_judged(
    truth: SharedTruth,
    white_fault: tuple[str, str] | None,
    black_fault: tuple[str, str] | None,
    result: str,
    cause: str,
) -> None:
    engine = Scripted(truth, ["a1b1", "b1a1"], faults={} if white_fault is None else {2: white_fault})
    other = Scripted(truth, player=AGAINST, faults={} if black_fault is None else {2: black_fault})
    game = played(truth, ROOK, engine, against=other)
    assert (game.result, game.cause, game.success) == (result, cause, result == "won")
    assert len(game.moves) == (2 if white_fault else 3)
    told = [] if cause == "no move" else [(cause, ENGINE if white_fault else AGAINST, 2)]
    assert [(fault.kind, fault.player, fault.move) for fault in game.faults] == told
    assert (game.played_moves, game.excess_moves) == (None, None)
    counts = {name: number.value for name, number in measured((game,), ("attack",), True).items()}
    assert (counts["losses"], counts["faults"], counts["against_faults"]) == (
        result == "lost", len(told) * bool(white_fault), len(told) * bool(black_fault)
    )  # fmt: skip


def test_faults_that_end_nothing_are_kept_with_the_number_of_the_move(truth: SharedTruth) -> None:
    engine = Scripted(truth, ["a1b1"], faults={1: ("rubbish", "one"), 2: ("rubbish", "two")})
    other = Scripted(truth, player=AGAINST, faults={1: ("rubbish", "three")})
    game = played(truth, ROOK, engine, against=other)
    assert game.result == "won"
    told = [(fault.player, fault.move, fault.text) for fault in game.faults]
    assert told == [(ENGINE, 1, "one"), (AGAINST, 1, "three"), (ENGINE, 2, "two")]


def test_the_slips_of_the_other_side_are_not_the_players(truth: SharedTruth) -> None:
    fen = "8/8/8/8/3k4/8/4R3/K7 b - - 0 1"  # a rook that the king may go towards or away from
    board = chess.Board(fen)
    worst = truth.ranked(board)[-1].move
    assert len({item.mate_plies for item in truth.ranked(board)}) > 1
    white = board.copy()
    white.push(worst)
    task = Task("attack 1", "attack", "KRK", fen, "win", ENGINE, AGAINST, True)
    other = Scripted(truth, [worst.uci()], player=AGAINST)
    clients = {ENGINE: as_client(Scripted(truth)), AGAINST: as_client(other)}
    game = play_game(task, make_plan({"engine": "x"}), truth, clients)
    assert (game.result, game.slips, game.excess_moves) == ("won", (), 0)
    assert game.shortest_moves is not None
    assert game.played_moves is not None
    assert game.played_moves < game.shortest_moves


@pytest.mark.parametrize("defence", ["changing", "longest"])
def test_matebots_replies_are_those_of_the_defence_that_was_asked_for(truth: SharedTruth, defence: str) -> None:
    plan = make_plan({"engine": "x", "defence": defence, "seed": 4})
    game = played(truth, "8/8/8/3k4/8/8/8/R3K3 w - - 0 1", Scripted(truth), plan=plan)
    assert game.cause == "checkmate"
    seed, differ = ("4 attack 1" if defence == "changing" else ""), 0
    for ply in range(1, len(game.moves), 2):
        before = board_after(game, ply)
        assert game.moves[ply] == truth.reply(before, seed).uci()
        differ += game.moves[ply] != truth.reply(before, "").uci()
    assert bool(differ) == (defence == "changing")


def test_a_defender_who_is_mated_sooner_than_need_be_misses_the_goal_by_so_much(truth: SharedTruth) -> None:
    fen = next(
        board.fen()
        for board in random_positions("KRK", 500, seed=9)
        if board.turn == chess.BLACK and (truth.judge(board).mate_plies or 0) >= 8 and not board.is_check()
    )
    moves = truth.ranked(chess.Board(fen))
    worst = moves[-1]
    assert moves[0].mate_plies is not None
    assert worst.mate_plies is not None
    short = (moves[0].mate_plies - worst.mate_plies) // 2
    assert short > 0
    task = Task("defence 1", "defence", "KRK", fen, "last", ENGINE, OWN, False)
    plan = make_plan({"engine": "x"})
    best = play_game(task, plan, truth, {ENGINE: as_client(Scripted(truth))})
    assert (best.result, best.success, best.excess_moves) == ("lost", True, 0)
    assert best.shortest_moves == best.played_moves == moves[0].mate_plies // 2
    game = play_game(task, plan, truth, {ENGINE: as_client(Scripted(truth, [worst.move.uci()]))})
    assert (game.result, game.success, game.excess_moves) == ("lost", False, short)
    assert game.slips[0].moves_lost == short
    shown = {name: number.value for name, number in measured((best, game), ("defence",), False).items()}
    assert (shown["defences"], shown["held"]) == (2, None)
    assert (shown["shortfall_moves_mean"], shown["shortfall_moves_max"]) == (short / 2, short)


def test_a_mate_announced_that_is_not_there_is_told_with_its_move_and_the_truth(truth: SharedTruth) -> None:
    engine = Scripted(truth, ["a1b1"], [MATE(3), MATE(1)])
    game = played(truth, ROOK, engine)
    after = chess.Board(ROOK)
    for move in game.moves[:2]:
        after.push_uci(move)
    truly = ((truth.judge(after).mate_plies or 0) + 1) // 2
    assert truly > 1
    told = [(one.player, one.move, one.truth) for one in game.false_mates]
    assert told == [(ENGINE, 2, f"mate {truly}")]
    counts = measured((game,), ("attack",), False)
    assert counts["false_mates"].value == 1


def test_what_is_true_of_a_false_mate_is_told_to_the_side_that_announced_it(truth: SharedTruth) -> None:
    """The defender, who is mated in so many; and a side that has only a draw."""
    other = Scripted(truth, scores=[MATE(-1)], player=AGAINST)
    game = played(truth, ROOK, Scripted(truth, ["a1b1"]), against=other)
    plies_left = truth.judge(board_after(game, 1)).mate_plies
    assert plies_left is not None
    assert plies_left > 2
    told = [(one.player, one.move, one.score, one.truth) for one in game.false_mates]
    assert told == [(AGAINST, 1, "mate -1", f"mate -{plies_left // 2}")]
    assert measured((game,), ("attack",), True)["against_false_mates"].value == 1
    task = Task("defence 1", "defence", "KRK", "8/8/8/8/8/3k4/4R3/K7 b - - 0 1", "hold", ENGINE, OWN, False)
    engine = Scripted(truth, scores=[MATE(2)])
    game = play_game(task, make_plan({"engine": "x"}), truth, {ENGINE: as_client(engine)})
    assert [(one.player, one.move, one.truth) for one in game.false_mates] == [(ENGINE, 1, "drawn")]
    assert (game.result, game.cause, game.success) == ("drawn", "dead position", True)


def test_the_clock_of_each_side_loses_what_it_took_and_gains_the_increment(truth: SharedTruth) -> None:
    """The first answer of a process costs nothing, since it may solve the ending first."""
    plan = make_plan({"engine": "x", "clock": "10+2"})
    engine, other = Scripted(truth, ["a1b1"], seconds=3), Scripted(truth, seconds=0.5, player=AGAINST)
    game = played(truth, ROOK, engine, plan=plan, against=other)
    assert game.result == "won"
    white = [allowed.limit.white_clock for allowed in engine.allowed]
    assert white == [10, 12, 11, 10, 9, 8, 7, 6][: len(white)]
    black = [allowed.limit.black_clock for allowed in other.allowed]
    assert black == [10, 12, 13.5, 15, 16.5, 18][: len(black)]
    assert len(white) > 2
    for side, allowed in ((chess.WHITE, engine.allowed), (chess.BLACK, other.allowed)):
        for one in allowed:
            assert (one.limit.white_inc, one.limit.black_inc, one.flag) == (2, 2, True)
            assert one.seconds == (one.limit.white_clock if side else one.limit.black_clock)


def test_a_question_is_allowed_what_the_plan_says() -> None:
    plan = make_plan({"engine": "x", "movetime": 250, "lateness": 1500, "patience": 7})
    found = allowance(plan)
    assert (found.limit.time, found.seconds, found.lateness_seconds, found.patience_seconds) == (0.25, 0.25, 1.5, 7)
    assert not found.flag
    found = allowance(make_plan({"engine": "x", "nodes": 500}))
    assert (found.limit.nodes, found.limit.time, found.seconds) == (500, None, None)
    for turn, seconds in ((chess.WHITE, 0.001), (chess.BLACK, 3.0)):
        found = allowance(make_plan({"engine": "x", "clock": "10+1"}), (-1.0, 3.0), turn)
        assert (found.limit.white_clock, found.limit.black_clock, found.seconds) == (0.001, 3.0, seconds)


def test_a_changing_defence_keeps_within_its_plies_and_the_other_plays_the_longest(truth: SharedTruth) -> None:
    seen, shorter = set[chess.Move](), 0
    lost = (board for board in random_positions("KQK", 300, seed=3) if truth.judge(board).outcome == -1)
    board = next(board for board in lost if len(set(plies(truth, board).values())) > 2)
    longest = max(plies(truth, board).values())
    assert truth.reply(board, "") == truth.ranked(board)[0].move
    for seed in range(60):
        move = truth.reply(board, f"{seed}")
        assert plies(truth, board)[move] >= longest - CHANGING_PLIES
        seen.add(move)
        shorter += plies(truth, board)[move] == longest - CHANGING_PLIES
    assert seen == {move for move, count in plies(truth, board).items() if count >= longest - CHANGING_PLIES}
    assert shorter


def plies(truth: SharedTruth, board: chess.Board) -> dict[chess.Move, int]:
    return {item.move: item.mate_plies or 0 for item in truth.ranked(board)}


def test_a_third_repetition_is_a_draw_and_the_second_is_not(truth: SharedTruth) -> None:
    """FIDE Laws of Chess, article 9.2."""
    board = chess.Board("8/8/8/3k4/8/8/8/R3K3 w - - 0 1")
    there_and_back = ("a1b1", "d5d6", "b1a1", "d6d5")
    for move in there_and_back:
        board.push_uci(move)
    assert truth.judge(board).outcome == 1
    for move in there_and_back:
        board.push_uci(move)
    assert (truth.judge(board).outcome, truth.judge(board).cause) == (0, "repetition")


def test_the_measures_of_two_engines_are_told_apart(truth: SharedTruth) -> None:
    results: list[Result] = [played(truth, ROOK, Scripted(truth)), played(truth, QUEEN, Scripted(truth, ["f1f7"]))]
    counts = {name: number.value for name, number in measured(results, ("attack",), True).items()}
    assert (counts["games"], counts["wins"], counts["draws_stalemate"]) == (2, 0.5, 1)
    assert (counts["against_games"], counts["against_wins"]) == (0, None)
    assert "held" not in counts
