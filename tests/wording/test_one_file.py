"""A sentence is one file: a rule in its table is said of a move, with its maxim, and where another move misses it."""

from __future__ import annotations

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.wording import attack
from matebot.wording.maxims import always
from matebot.wording.moves import told
from matebot.wording.reason import Reason

BOARD = chess.Board("8/8/8/4k3/8/8/8/K6R w - - 0 1")


def rule(facts: MoveFacts) -> str:
    return "follows a rule of a test" if facts.move == "a1b2" else ""


def test_a_sentence_is_one_rule_in_the_table_of_its_file(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    maker = FactMaker(Judged.of(library, BOARD))
    new, slip, other = (maker.facts(chess.Move.from_uci(move)) for move in ("a1b2", "h1h5", "a1a2"))
    before = told(other, maker.better(other))
    monkeypatch.setattr(attack, "REASONS", (Reason(rule, always("far away is safe")), *attack.REASONS))
    first, *more = told(new)
    assert first == "Kb2 follows a rule of a test."
    assert "Far away is safe." in more
    assert "follows a rule of a test" in " ".join(told(slip, maker.better(slip)))
    assert told(other, maker.better(other)) == before
