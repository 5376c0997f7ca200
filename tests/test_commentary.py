"""What the session says of a game in progress is what happened in it, no more and no less."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

import chess
import pytest

from matebot.commentary import Commentator
from matebot.facts.making import FactMaker
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.partner import MatePartner
from matebot.play.choice import DEFENCES, Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import rank_with
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from matebot.terms import Mistake
from matebot.uci import pace
from matebot.uci.partnership import Answer, Question, Report, Watch
from matebot.wording.moves import told
from tests.witness.positions import random_positions

#: How a move that lost something is told.
_WORSE = re.compile(r"is gone|game is lost|moves? lost|slower than")
KBNK = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"


def recount(board: chess.Board, move: chess.Move, tables: Tables) -> tuple[bool, int]:
    """Whether a move changed the outcome, and the moves it lost, from the plain values before and after."""
    before = tables.value(board)
    after = board.copy(stack=False)
    after.push(move)
    value = tables.value(after)
    if -value.outcome != before.outcome:
        return True, 0
    if before.dtm_plies is None or value.dtm_plies is None:
        return False, 0
    return False, abs(value.dtm_plies + 1 - before.dtm_plies) // 2


def check_games(library: Library, games: int, seed: int) -> None:
    """Let a pupil attack who errs in one move of five, and hold every word on his moves against a recount."""
    random = Random(f"pupil {seed}")
    commentator = Commentator(library, "brief")
    reported = played = offered = 0
    for board in random_positions("KBNK", 12 * games, seed):
        if played == games:
            break
        if library.tables.value(board).outcome != 1:
            continue
        played += 1
        commentator.forget()
        while not board.is_game_over() and board.halfmove_clock < 30:
            referee = Referee(board, library.tables)
            ranking = rank_with(referee)
            move = random.choice(ranking).move if random.random() < 0.2 else ranking[0].move
            changed, lost = recount(board, move, library.tables)
            plain = not referee.has_repeated  # else the plain values are not what counts
            board.push(move)
            if board.is_game_over() or board.is_repetition(2):
                break
            said = commentator.before_own(board)
            if plain:
                assert bool(_WORSE.search(said[0])) == (changed or lost > 0), (board.fen(), said)
            reported += bool(said)
            if changed:
                assert "the win is gone" in said[0]
                _draw_is_taken(library, board, DEFENCES[played % len(DEFENCES)])
                offered += 1
                break
            board.push(rank_with(Referee(board, library.tables))[0].move)
    assert played == games
    assert reported
    assert offered


def _draw_is_taken(library: Library, board: chess.Board, defence: str) -> None:
    """Whatever the style of the defence, it takes the draw that a slip offers."""
    chosen = choose(Judged.of(library, board), Style(defence=defence, seed=7))
    assert chosen.outcome >= 0


def test_every_slip_is_told_and_none_that_did_not_happen(library: Library) -> None:
    check_games(library, 6, seed=51)


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
def test_five_hundred_games_with_slips(library: Library) -> None:
    check_games(library, 500, seed=52)


def asked(partner: MatePartner, fen: str, question: Question, stopped: Callable[[], bool]) -> Answer:
    assert partner.set_position(fen, ()) is None
    return partner.go(question, lambda report: None, Watch(stopped))


def test_a_question_that_is_stopped_gets_a_line_and_no_more() -> None:
    partner = MatePartner({"MultiPV": 500})
    fen = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
    assert len(asked(partner, fen, Question(), lambda: False).report.lines) > 10
    for question, stopped in ((Question(), True), (Question(movetime_ms=0), False)):
        answer = asked(partner, fen, question, lambda stopped=stopped: stopped)  # type: ignore[misc]
        assert len(answer.report.lines) == 1
        assert answer.best == answer.report.lines[0].pv[0]


@pytest.mark.parametrize("looks", [0, 1, 5, 10])
def test_once_it_is_stopped_no_other_line_is_begun(looks: int) -> None:
    """Counted by how often it looks for a stop: after every line, and once more when it has been told."""
    seen: list[bool] = []

    def stopped() -> bool:
        seen.append(len(seen) >= looks)
        return seen[-1]

    partner = MatePartner({"MultiPV": 500})
    everything = asked(partner, KBNK, Question(), lambda: False).report.lines
    answer = asked(partner, KBNK, Question(infinite=True), stopped)
    assert seen.count(True) in (1, 2)
    assert len(answer.report.lines) <= looks + 1 < len(everything)


def test_stopped_before_the_ending_is_solved_it_gives_an_estimate_and_says_so() -> None:
    partner = MatePartner()
    partner._keep_tables(None)
    answer = asked(partner, "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", Question(infinite=True), lambda: True)
    (notice,) = answer.report.notices
    assert notice.startswith("the ending is not solved yet: an estimate, ")
    (line,) = answer.report.lines
    assert line.score_kind == "cp"
    assert line.depth >= 1
    assert answer.best is not None
    assert chess.Move.from_uci(answer.best) in chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1").legal_moves


@pytest.mark.parametrize("grace_seconds", [0.0, 600.0])
def test_stopped_once_the_ending_is_solved_it_answers_exactly_and_explains_without_a_ladder_if_there_is_time(
    monkeypatch: pytest.MonkeyPatch, grace_seconds: float
) -> None:
    """The ladder is solved behind meanwhile, for the next question."""
    monkeypatch.setattr(pace, "_GRACE_SECONDS", grace_seconds)
    partner = MatePartner({"Explanations": "full", "Attack": "method", "MultiPV": 3})
    partner.tables.prepare(Material.parse("KBNK"))
    partner.library._ladders = {}
    answer = asked(partner, KBNK, Question(infinite=True), lambda: True)
    assert (answer.report.lines[0].score_kind, answer.report.lines[0].score_value) == ("mate", 30)
    assert answer.report.lines[0].bound is None
    said = " ".join(answer.report.notices)
    assert ("explanations shortened: the answer was wanted at once" in said) == (not grace_seconds)
    assert ("stages of KBNK are still being worked out" in said) == ("White: " in said) == bool(grace_seconds)
    assert "Next: " not in said
    later = " ".join(asked(partner, KBNK, Question(), lambda: False).report.notices)
    assert "shortened" not in later
    assert "worked out" not in later
    assert "Next: " in later


def answered(partner: MatePartner, fen: str, *moves: str) -> list[str]:
    assert partner.set_position(fen, moves) is None
    reports: list[Report] = []
    answer = partner.go(Question(), reports.append, Watch())
    return list(answer.report.notices)


def test_more_than_brief_tells_the_stage_once_and_the_count_and_only_hints_tell_what_to_expect() -> None:
    for level in ("full", "hints"):
        partner = MatePartner({"Explanations": level})
        said = "\n".join(answered(partner, KBNK, "a1a2", "e4d3"))
        for words in ("White: Next: ", "You are there when ", "so far 0 moves lost", "fifty-move rule leaves 49 moves"):
            assert words.lower() in said.lower(), (words, said)
        assert ("xpect " in said) == (level == "hints")
        again = "\n".join(answered(partner, KBNK, "a1a2", "e4d3", "a2b2", "d3d4"))
        assert "Next: " not in again
        assert "so far" not in again.lower()


def test_brief_explanations_are_a_line_on_either_move_that_begins_with_the_side() -> None:
    partner = MatePartner({"Explanations": "brief"})
    good = answered(partner, KBNK, "a1b2", "e4d4")
    assert [line.split(":")[0] for line in good] == ["Black", "White"]
    slip = answered(partner, KBNK, "a1a2")
    assert [line.split(":")[0] for line in slip] == ["White", "Black"]
    assert all(len(line) <= 120 for line in (*good, *slip))
    assert "is one move slower than" in slip[0]


def test_the_running_count_adds_up_what_was_lost() -> None:
    partner = MatePartner({"Explanations": "full"})
    line = ("d1b2", "e4d4", "b2d1", "d4e4")
    board, lost = chess.Board(KBNK), 0
    for text in line:
        move = chess.Move.from_uci(text)
        if board.turn == chess.BLACK:
            lost += recount(board, move, partner.tables)[1]
        board.push(move)
    said = " ".join(answered(partner, KBNK, *line))
    assert f"So far {lost} move" in said


def test_an_ending_without_a_ladder_says_so_once_a_game() -> None:
    partner = MatePartner({"Explanations": "brief"})
    fen = "8/8/8/3k4/8/8/4b3/KQ6 w - - 0 1"
    assert any("no ladder" in line for line in answered(partner, fen))
    assert not any("no ladder" in line for line in answered(partner, fen))
    partner.new_game()
    assert any("no ladder" in line for line in answered(partner, fen))


def test_a_drawn_position_is_explained_without_stages() -> None:
    partner = MatePartner({"Explanations": "full"})
    said = " ".join(answered(partner, "8/8/8/4k3/4P3/4K3/8/8 w - - 0 1"))
    assert "drawn" in said
    assert "Stage" not in said


def test_by_the_method_the_announced_mate_is_the_methods() -> None:
    partner = MatePartner({"Attack": "method"})
    assert partner.set_position(KBNK, ()) is None
    answer = partner.go(Question(), lambda report: None, Watch())
    (line,) = answer.report.lines
    promised = partner.library.standings(chess.Board(KBNK))[0].moves
    assert (line.score_kind, line.score_value) == ("mate", promised)
    board = chess.Board(KBNK)
    for move in line.pv:
        board.push_uci(move)
    assert board.is_checkmate()
    assert len(line.pv) == 2 * promised - 1


def test_near_the_fifty_move_rule_the_method_gives_way_to_the_shortest_mate() -> None:
    partner = MatePartner({"Attack": "method"})
    plies = partner.library.standings(chess.Board(KBNK))[0].rung.plies
    shortest = partner.tables.value(chess.Board(KBNK)).dtm_plies
    assert shortest is not None
    assert shortest < plies
    assert partner.set_position(KBNK.replace(" 0 1", f" {100 - shortest} 60"), ()) is None
    (line,) = partner.go(Question(), lambda report: None, Watch()).report.lines
    assert line.score_value == (shortest + 1) // 2


@pytest.mark.parametrize(
    ("ending", "games"),
    [
        *(("KBNK", 6), ("KBBK", 6)),
        *(pytest.param(ending, 50, marks=pytest.mark.exhaustive) for ending in ("KBNK", "KBBK")),
    ],
)
def test_no_move_of_the_method_is_told_as_a_slip_where_the_method_is_the_style(
    library: Library, ending: str, games: int
) -> None:
    slower = played = 0
    style = Style(attack="method", defence="changing", margin_plies=6, seed=3)
    for board in random_positions(ending, 6 * games, seed=61):
        if played == games:
            break
        if library.tables.value(board).outcome != 1:
            continue
        played += 1
        while not board.is_game_over():
            judged = Judged.of(library, board)
            move = choose(judged, style).move
            maker = FactMaker(judged, style.attack)
            if maker.attacker == board.turn:
                facts = maker.facts(move)
                assert facts.cost.mistake is Mistake.NONE, f"{board.fen()} {facts.san}"
                slower += bool(facts.cost.moves_lost)
                assert maker.moves_lost(move) == 0
                if facts.cost.moves_lost:
                    said = " ".join(told(facts, maker.better(facts)))
                    assert "It follows the method" in said
                    assert f"Mate in {facts.worth.mate_moves}." in said
            board.push(move)
        assert board.is_checkmate()
    assert played == games
    assert slower


def test_the_running_count_comes_with_a_remark_of_two_lines_as_with_one(library: Library) -> None:
    """A rook that gives up six moves for a fork missed, and a rule that has no room beside it."""
    board = chess.Board("8/1n6/8/2R5/3K4/8/8/1k6 w - - 0 1")
    board.push_san("Rc7")
    said = Commentator(library, "full").before_own(board)
    assert len(said) == 3
    assert "misses the fork Rb5+" in said[0]
    assert said[2].startswith("White: So far 6 moves lost")


def test_a_win_given_away_is_in_the_running_count() -> None:
    partner = MatePartner({"Explanations": "full"})
    said = " ".join(answered(partner, KBNK, "c1f4"))
    assert "So far 0 moves lost and the win given away once" in said


def test_there_is_no_running_count_where_the_game_is_over(tables: Tables) -> None:
    """Only kings are left (FIDE Laws of Chess, article 5.2.2): there are no moves to lose, and none to count."""
    partner = MatePartner({"Explanations": "full"})
    said = " ".join(answered(partner, "8/8/8/8/2k5/1R6/8/K7 b - - 0 1", "c4b3"))
    assert "rook" in said
    assert "So far" not in said


@pytest.mark.parametrize("attack", ["shortest", "method"])
def test_the_line_to_expect_is_the_line_that_is_shown(attack: str) -> None:
    partner = MatePartner({"Explanations": "hints", "Attack": attack})
    told_of = 0
    for board in random_positions("KBNK", 12, seed=62):
        assert partner.set_position(board.fen(), ()) is None
        answer = partner.go(Question(), lambda report: None, Watch())
        line = answer.report.lines[0].pv
        expected = [re.sub(r".*Expect (.*?)\.$", r"\1", text) for text in answer.report.notices if "Expect" in text]
        if not expected:
            continue
        told_of += 1
        after = board.copy()
        names = [after.san_and_push(chess.Move.from_uci(text)) for text in line]
        assert expected[0].split() == names[1:5]
    assert told_of


def test_no_ladder_is_missed_where_nobody_can_mate() -> None:
    partner = MatePartner({"Explanations": "full"})
    said = " ".join(answered(partner, "8/8/8/8/K1k5/8/8/6N1 w - - 0 1"))
    assert "ladder" not in said
    assert "king and knight alone cannot mate" in said
