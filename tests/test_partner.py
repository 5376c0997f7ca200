"""The partner over a whole game: what it says once, and what it keeps."""

from __future__ import annotations

import gc
import re
import sys
from pathlib import Path
from threading import Event
from typing import Any
from weakref import ref

import chess
import pytest

from matebot import commentary
from matebot.partner import MatePartner
from matebot.solver.retrograde import Solution, Solver
from matebot.solver.tables import Stopped, Tables
from matebot.uci.partnership import Question, Report, Watch
from tests.five_men import five, put_mates_at_hand

DEVELOPERS = Path(__file__).parent.parent / "DEVELOPERS.md"
START = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
THERE_AND_BACK = ["a1a2", "e4d4", "a2a1", "d4e4"]


def partner_with(tables: Tables, level: str = "off") -> MatePartner:
    partner = MatePartner({"Explanations": level})
    partner.tables._endings = tables._endings  # solved once for all tests
    return partner


def notices(partner: MatePartner, fen: str, moves: list[str]) -> list[str]:
    """Return what is said beside the lines."""
    told: list[Report] = []
    assert partner.set_position(fen, moves) is None
    answer = partner.go(Question(), told.append, Watch())
    return [text for report in (*told, answer.report) for text in report.notices]


def test_why_the_shortest_mate_is_not_played_is_told_once_a_game(tables: Tables) -> None:
    partner, late = partner_with(tables), "2Q5/6r1/8/8/8/6K1/8/1k6 w - - 81 1"
    tables.value(chess.Board(late))  # that it is being solved would be told too, where it takes long
    (said,) = notices(partner, late, [])
    assert "rules out the shortest mate" in said
    assert notices(partner, late, ["g3f4", "g7f7"]) == []
    assert notices(partner, late, []) == []  # moves taken back are no other game
    partner.new_game()
    assert notices(partner, late, []) == [said]


def test_another_reason_and_another_game_are_told(tables: Tables) -> None:
    partner = partner_with(tables)
    late = chess.Board(START)
    late.halfmove_clock = 70
    third = THERE_AND_BACK * 2
    (clock,) = notices(partner, late.fen(), [])
    repeated = notices(partner, START, third)
    assert "fifty-move rule" in clock
    drawn, claim = repeated
    assert drawn.startswith("drawn:")
    assert "third" in claim
    assert "claimed" in claim
    assert notices(partner, late.fen(), []) == [clock]
    late.halfmove_clock, late.fullmove_number = 100, 90
    partner.new_game()
    assert "fifty" in notices(partner, late.fen(), [])[-1]


def test_with_five_men_the_moves_after_each_quiet_reply_are_ranked_between_two_questions(
    tables: Tables, judgements: dict[str, list[object]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matebot.partner.is_large", lambda material: True)
    partner, asked = partner_with(tables), iter(range(200))
    assert notices(partner, START, []) == []
    board = chess.Board(START)
    best = partner.go(Question(), lambda report: None, Watch()).best
    assert best is not None
    board.push_uci(best)
    replies = [move.uci() for move in board.legal_moves if not board.is_capture(move)]
    for made in judgements.values():
        made.clear()
    partner.rest(lambda: next(asked) > 3)
    assert not judgements["rankings"]
    assert 0 < len(judgements["verdicts"]) <= 4  # it is broken off between two moves
    partner.rest(lambda: next(asked) > 80)
    assert 0 < len(judgements["rankings"]) < len(replies) > 3
    partner.rest(lambda: False)
    assert len(judgements["rankings"]) == len(replies)
    judgements["rankings"].clear()
    board.push_uci(replies[0])
    assert partner.set_position(START, [best, replies[0]]) is None
    assert partner.go(Question(), lambda report: None, Watch()).best is not None
    assert board.fen() not in judgements["rankings"]


@pytest.mark.parametrize("fen", [START, "8/8/8/8/8/1k6/8/K1BN4 b - - 0 1", "8/8/8/3k4/8/8/8/K6R w - - 0 1"])
@pytest.mark.parametrize("attack", ["shortest", "method"])
def test_one_answer_with_full_explanations_makes_each_judgement_once(
    tables: Tables, judgements: dict[str, list[object]], fen: str, attack: str
) -> None:
    partner = partner_with(tables, "full")
    partner.set_option("Attack", attack)
    assert notices(partner, fen, [])
    for kind, most in (("checks", 2), ("referees", 1)):  # one check more when the position is placed
        assert judgements[kind] == [fen] * most
    for kind in ("verdicts", "rankings"):
        assert len(set(judgements[kind])) == len(judgements[kind]) > 0, kind


@pytest.mark.parametrize("attack", ["shortest", "method"])
def test_what_was_judged_for_the_last_answer_is_not_judged_again_for_the_next(
    tables: Tables, judgements: dict[str, list[object]], attack: str
) -> None:
    partner, moves, board = partner_with(tables, "full"), list[str](), chess.Board(START)
    partner.set_option("Attack", attack)
    for _ in range(4):
        assert partner.set_position(START, moves) is None
        best = partner.go(Question(), lambda report: None, Watch()).best
        assert best is not None
        board.push_uci(best)
        reply = next(iter(board.legal_moves))
        board.push(reply)
        moves = [*moves, best, reply.uci()]
    assert judgements["referees"] == [START]
    assert len(set(judgements["rankings"])) == len(judgements["rankings"])


@pytest.mark.parametrize("next_fen", [START, "8/8/8/4k3/8/8/8/K1BN4 w - - 0 1"])
def test_what_the_last_answer_needed_is_let_go_of_while_nothing_is_asked(tables: Tables, next_fen: str) -> None:
    """Letting go of a position, with all that was judged after it, would take a good part of the time of an answer."""
    partner = partner_with(tables)
    partner.set_position(START, [])
    partner.go(Question(), lambda report: None, Watch())
    assert partner._judged is not None
    last = ref(partner._judged)
    partner.set_position(next_fen, ["a1a2", "e4d4"] if next_fen == START else [])
    partner.go(Question(), lambda report: None, Watch())
    assert last() is not None
    partner.rest(lambda: False)
    gc.collect()
    assert last() is None


def test_a_game_that_goes_on_is_answered_like_one_that_is_shown_at_once(tables: Tables) -> None:
    moves, level = ["a1a2", "e4d4", "a2a1", "d4e4", "a1b2", "e4d4", "d1c3", "d4d3", "c1d2", "d3d2"], "full"
    partner, said = partner_with(tables, level), list[list[str]]()
    for length in range(0, len(moves) + 1, 2):
        said.append(notices(partner, START, moves[:length]))
    for number, length in enumerate(range(0, len(moves) + 1, 2)):
        fresh = partner_with(tables, level)
        for shown in range(0, length, 2):  # what was said before is not said again
            fresh._judged = None
            notices(fresh, START, moves[:shown])
        fresh._judged = None
        assert notices(fresh, START, moves[:length]) == said[number]


#: Makes classes in the standard library's place, whose methods are in no room.
_AS_THE_LIBRARY = "matebot.records"


def test_an_answer_goes_at_most_seven_steps_from_room_to_room(tables: Tables) -> None:
    """From the streams to the farthest call of an answer with full explanations, rooms as in `tests.test_imports`."""
    partner, walks = partner_with(tables, "full"), set[tuple[str, ...]]()

    def look(frame: Any, event: str, argument: object) -> None:
        walk: list[str] = []
        while event == "call" and frame is not None:
            room = ".".join(frame.f_globals.get("__name__", "").split(".")[:2])
            if room.startswith("matebot.") and room not in (*walk[-1:], _AS_THE_LIBRARY):
                walk.append(room)
            frame = frame.f_back
        walks.add(tuple(walk[::-1]))

    notices(partner, START, [])
    sys.setprofile(look)
    try:
        notices(partner, START, ["a1b2", "e4d4"])
    finally:
        sys.setprofile(None)
    steps = max(map(len, walks))
    farthest = {walk for walk in walks if len(walk) == steps}
    assert {walk[0] for walk in farthest} == {"matebot.partner"}
    # The first step is from the streams to the partner.
    assert 4 < steps <= 7, farthest
    drawn = re.search(r"The farthest walk goes from `uci/stdio` to (.+?): seven steps", DEVELOPERS.read_text("utf-8"))
    assert drawn is not None
    rooms = [name.partition("/")[0] for name in re.findall("`(.+?)`", drawn[1])]
    assert tuple(f"matebot.{room}" for room in rooms) in farthest  # there are others as far


def test_what_moves_have_cost_is_remembered_within_bounds(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    rook, moves = "8/8/8/3k4/8/8/8/K6R w - - 0 1", ["a1b2", "d5d4", "h1h3", "d4e4", "h3h1", "e4f3"]
    whole = notices(partner_with(tables, "full"), rook, moves)
    monkeypatch.setattr(commentary, "_COSTS_KEPT", 2)
    partner = partner_with(tables, "full")
    assert notices(partner, rook, moves) == whole
    assert any("So far" in text for text in whole)
    assert len(partner.commentator._costs) == 2


THREE_ROOKS = "8/8/8/8/8/2k5/7R/K5RR w - - 0 1"
MATE_IN_TWO = "k7/8/8/8/8/7R/6R1/K5R1 w - - 0 1"


def test_five_men_are_refused_with_an_offer_and_answered_with_nothing(tmp_path: Path) -> None:
    partner = MatePartner({"Table Folder": str(tmp_path)})
    told = partner.set_position(THREE_ROOKS, [])
    assert told is not None
    assert told.startswith("five men: solve KRRRK first with `matebot solve KRRRK")
    assert partner.go(Question(), lambda report: None, Watch()).best is None


def test_five_men_that_are_to_be_solved_are_searched_as_long_as_they_are_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The solver waits for a word that comes with the end of the session only."""
    begun, over = Event(), Event()

    def solve(self: Solver) -> Solution:
        begun.set()
        while not over.wait(0.001):
            self.heartbeat(0)
        raise Stopped

    monkeypatch.setattr(Solver, "solve", solve)
    partner = MatePartner({"Table Folder": str(tmp_path), "Largest Ending": 5, "Explanations": "full"})
    assert partner.set_position(THREE_ROOKS, []) is None
    reports: list[Report] = []
    answer = partner.go(Question(infinite=True), reports.append, Watch(begun.is_set))
    over.set()
    assert answer.best is not None
    assert any("not solved yet" in text for text in answer.report.notices)
    (line,) = answer.report.lines
    assert (line.score_kind, line.tbhits) == ("cp", 0)
    (progress,) = [text for report in reports for text in report.notices if text.startswith("solving")]
    assert "for KRRRK: 0%" in progress
    partner.finish(0.0)


def test_five_men_that_are_kept_are_played_whatever_may_be_solved(tables: Tables) -> None:
    partner = partner_with(tables, "full")
    partner.tables._endings = {**tables._endings}
    put_mates_at_hand(partner.tables, five("KRRRK"))
    reports: list[Report] = []
    assert partner.set_position(MATE_IN_TWO, []) is None
    answer = partner.go(Question(), reports.append, Watch())
    board = chess.Board(MATE_IN_TWO)
    for move in answer.report.lines[0].pv:
        board.push_uci(move)
    assert answer.report.lines[0].score_value == 2
    assert answer.report.lines[0].bound is None
    assert board.is_checkmate()
    assert len(board.move_stack) == 3
    partner.set_option("Largest Ending", 5)
    assert partner.go(Question(), reports.append, Watch()).best == answer.best


def test_answers_leave_nothing_that_garbage_must_be_looked_for(tables: Tables) -> None:
    """What they were made of goes when nobody holds it: looking for it takes longer than many an answer."""
    partner = partner_with(tables, "full")
    slips = {START: ["d1b2", "e4d4"], "8/8/8/8/1K3p2/8/R7/3k4 w - - 0 1": ["a2a1", "d1e2"]}
    for _ in range(2):  # what is compiled or read for the first time is not looked at
        gc.collect()
        gc.disable()
        gc.set_debug(gc.DEBUG_SAVEALL)
        try:
            for fen, moves in slips.items():
                assert len(notices(partner, fen, moves)) > 1
            partner.rest(lambda: False)
            gc.collect()
            rooms = {type(item).__module__.partition(".")[0] for item in gc.garbage}
        finally:
            gc.set_debug(0)
            gc.garbage.clear()
            gc.enable()
    assert not rooms & {"matebot", "chess"}
