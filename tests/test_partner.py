"""The partner over a whole game: what it says once, and what it keeps."""

from __future__ import annotations

import chess
import pytest

from matebot import commentary
from matebot.partner import MatePartner
from matebot.solver.tables import Tables
from matebot.uci.partnership import Question, Report, Watch

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
    assert [text.split(":")[0] for text in repeated] == [
        "drawn",
        "a draw may be claimed; what follows holds if it is not",
    ]
    assert notices(partner, late.fen(), []) == [clock]


def test_what_moves_have_cost_is_remembered_within_bounds(tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    rook, moves = "8/8/8/3k4/8/8/8/K6R w - - 0 1", ["a1b2", "d5d4", "h1h3", "d4e4", "h3h1", "e4d4"]
    whole = notices(partner_with(tables, "full"), rook, moves)
    monkeypatch.setattr(commentary, "_COSTS_KEPT", 2)
    partner = partner_with(tables, "full")
    assert notices(partner, rook, moves) == whole
    assert any("So far" in text for text in whole)
    assert len(partner.commentator._costs) == 2
