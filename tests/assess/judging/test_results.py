"""Results as plain data and back, and what is counted of them, worked out here by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from matebot.assess.judging.measures import MEASURES, Measured, measured
from matebot.assess.judging.results import (
    AGAINST,
    ENGINE,
    FAULTS,
    OWN,
    PARTS,
    FalseMate,
    Fault,
    GameResult,
    ProbeResult,
    QuestionResult,
    Result,
    Slip,
    ends,
)

CRASH, LATE = Fault("crash", ENGINE, 2, "expected one"), Fault("time overrun", AGAINST, 1, "expected two")
GAME = GameResult(
    *("attack 1", "attack", "KRK", "4k3/8/4K3/8/8/8/8/R7 w - - 0 1", "win", ENGINE, AGAINST, "white"),
    *(("a1b1", "e8d8"), "won", "checkmate", True, 1, 3, 2),
    (Slip(1, "Rb1", "Ra8#", "the box", 1, 1, 2, ""),),
    (CRASH, LATE),
    (FalseMate(AGAINST, 1, "mate 3", "drawn"), FalseMate(ENGINE, 2, "mate 1", "mate 5")),
    0.5,
)
QUESTION = QuestionResult(
    *("analysis 1", "KRK", GAME.fen, ENGINE, 1, 1, True, "mate 1", 1, "a1a8", "a1a8"),
    *(False, False, False, False, (), 0.25),
)
PROBE = ProbeResult("conduct 1", "stop", ENGINE, "bestmove a1a8", (LATE,), 1.0)


@pytest.mark.parametrize("result", [GAME, QUESTION, replace(QUESTION, faults=(CRASH,)), PROBE])
def test_a_result_comes_back_from_its_json(result: Result) -> None:
    data = json.loads(json.dumps(result.as_data()))
    again = type(result).from_data(data)
    assert again == result
    assert isinstance(again.faults, tuple)


@pytest.mark.parametrize("flaw", ["wrong_outcome", "false_mate", "late_mate", "thrown"])
def test_an_answer_is_a_success_where_nothing_is_to_be_said_against_it(flaw: str) -> None:
    assert QUESTION.success
    flawed: dict[str, Any] = {flaw: True}
    assert not replace(QUESTION, **flawed).success
    assert not replace(QUESTION, faults=(CRASH,)).success
    assert replace(QUESTION, faults=(LATE,)).success
    assert not PROBE.success
    assert replace(PROBE, faults=()).success


def test_the_faults_that_leave_no_valid_move_end_a_game() -> None:
    """Without a process, a move or time on the clock there is nothing to play on with."""
    fatal = {kind for kind in FAULTS if ends((Fault(kind, ENGINE, 1, ""),))}
    assert fatal == {"crash", "hang", "illegal move", "no move", "flag fall"}
    assert ends((LATE, CRASH))
    assert not ends(())


def games(*results: tuple[str, str, str, str, int | None]) -> list[Result]:
    """Return games by player, goal, result, cause and moves given away, without slips and faults."""
    plain = replace(GAME, faults=(), false_mates=(), slips=())
    success = {("win", "won"), ("hold", "drawn"), ("last", "lost")}
    return [
        replace(
            plain,
            player=player,
            goal=goal,
            result=result,
            cause=cause,
            success=(goal, result) in success,
            excess_moves=excess,
        )
        for player, goal, result, cause, excess in results
    ]


RESULTS: list[Result] = [
    *games(
        (ENGINE, "win", "won", "checkmate", 0),
        (ENGINE, "win", "won", "checkmate", 3),
        (ENGINE, "win", "drawn", "stalemate", None),
        (ENGINE, "win", "drawn", "repetition", None),
        (ENGINE, "win", "drawn", "repetition", None),
        (ENGINE, "win", "drawn", "fifty moves", None),
        (ENGINE, "win", "drawn", "lost piece", None),
        (ENGINE, "win", "drawn", "dead position", None),
        (ENGINE, "win", "lost", "crash", None),
        (ENGINE, "win", "lost", "stalemate", None),
        (ENGINE, "hold", "drawn", "fifty moves", None),
        (ENGINE, "hold", "lost", "checkmate", None),
        (ENGINE, "last", "lost", "checkmate", 0),
        (ENGINE, "last", "lost", "checkmate", 5),
        (ENGINE, "last", "drawn", "stalemate", None),
        (AGAINST, "win", "won", "checkmate", 7),
        (AGAINST, "hold", "drawn", "repetition", None),
        (OWN, "win", "lost", "checkmate", None),
    ),
    replace(GAME, player=OWN, goal="win"),
    replace(QUESTION, wrong_outcome=True, late_mate=True),
    replace(QUESTION, false_mate=True),
    replace(QUESTION, thrown=True, faults=(Fault("rubbish", ENGINE, 1, ""), Fault("rubbish", ENGINE, 1, ""))),
    QUESTION,
    replace(QUESTION, player=AGAINST, thrown=True),
    PROBE,
]
#: Counted by hand: measure -> value, and over how many; of faults those that occur.
BY_HAND = {
    "games": (10, 10),
    "wins": (0.2, 10),
    "excess_moves_mean": (1.5, 2),
    "excess_moves_max": (3, 2),
    "draws_fifty_moves": (1, 6),
    "draws_stalemate": (1, 6),
    "draws_repetition": (2, 6),
    "draws_lost_piece": (1, 6),
    "draws_other": (1, 6),
    "losses": (2, 10),
    "defences": (5, 5),
    "held": (0.5, 2),
    "shortfall_moves_mean": (2.5, 2),
    "shortfall_moves_max": (5, 2),
    "questions": (4, 4),
    "right_answers": (0.25, 4),
    "wrong_outcomes": (1, 4),
    "false_mates": (2, 5),
    "late_mates": (1, 4),
    "thrown_moves": (1, 4),
    "faults": (3, 3),
    **{kind.replace(" ", "_") + "_faults": (0, 3) for kind in FAULTS},
    "crash_faults": (1, 3),
    "rubbish_faults": (2, 3),
}
AGAINST_BY_HAND = {"games": 1, "wins": 1, "excess_moves_max": 7, "held": 1, "thrown_moves": 1, "time_overrun_faults": 2}


def test_every_measure_is_what_is_counted_by_hand() -> None:
    assert measured(RESULTS, PARTS, against=False) == {name: Measured(*told) for name, told in BY_HAND.items()}
    assert set(BY_HAND) == set(MEASURES)


def test_a_second_engine_has_measures_of_its_own() -> None:
    both = measured(RESULTS, PARTS, against=True)
    assert set(both) == {prefix + name for name in BY_HAND for prefix in ("", "against_")}
    assert {name: both[f"against_{name}"].value for name in AGAINST_BY_HAND} == AGAINST_BY_HAND
    assert both["wins"] == Measured(0.2, 10)


@pytest.mark.parametrize("part", PARTS)
def test_a_part_shows_its_own_measures_and_the_faults(part: str) -> None:
    attack = {"games", "wins", "excess_moves_mean", "excess_moves_max", "losses", "false_mates"}
    attack |= {name for name in BY_HAND if name.startswith("draws_")}
    defence = {"defences", "held", "shortfall_moves_mean", "shortfall_moves_max", "false_mates"}
    analysis = {"questions", "right_answers", "wrong_outcomes", "false_mates", "late_mates", "thrown_moves"}
    faults = {name for name in BY_HAND if name.endswith("faults")}
    own = {"attack": attack, "defence": defence, "analysis": analysis, "conduct": set[str]()}[part]
    assert set(measured(RESULTS, (part,), against=False)) == own | faults
    assert attack | defence | analysis | faults == set(BY_HAND)


def test_of_nothing_there_is_no_share_and_no_mean_and_a_count_of_none() -> None:
    found = measured([], PARTS, against=False)
    assert found["wins"] == found["excess_moves_mean"] == found["shortfall_moves_max"] == Measured(None, 0)
    assert found["games"] == found["faults"] == found["false_mates"] == Measured(0, 0)
