"""What the clock is about to change is worked out while nobody asks."""

from __future__ import annotations

import chess
import pytest

from matebot.partner import MatePartner
from matebot.solver.layers import Chain
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from matebot.uci.partnership import Question, Watch

#: King and pawn with a clock that leaves a mate after the hundredth ply only; with a pawn the layers are small.
BEFORE, AFTER = "8/8/8/8/8/1P2k3/8/K7 w - - 56 1", "8/8/8/8/5k2/1P6/K7/8 w - - 58 2"


@pytest.fixture
def grown(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Return a list that takes the side that wins, True for White, for each layer worked out."""
    found: list[bool] = []
    plain = Chain._advance

    def counted(self: Chain) -> None:
        found.append(self.ground.winner)
        plain(self)

    monkeypatch.setattr(Chain, "_advance", counted)
    return found


def partner_with(tables: Tables) -> MatePartner:
    partner = MatePartner()
    partner.tables._endings = tables._endings  # solved once for all tests
    return partner


def ask(partner: MatePartner, fen: str) -> list[str]:
    assert partner.set_position(fen, []) is None
    answer = partner.go(Question(), lambda report: None, Watch())
    return [line.pv[0] for line in answer.report.lines]


def test_layers_worked_out_at_rest_are_not_worked_out_within_the_answer(tables: Tables, grown: list[bool]) -> None:
    tables.value(chess.Board(BEFORE))
    unrested, rested = partner_with(tables), partner_with(tables)
    expected = ask(unrested, AFTER)
    assert sum(grown) > 40
    rested.set_position(BEFORE, [])
    rested.rest(lambda: False)
    grown.clear()
    assert ask(rested, AFTER) == expected
    assert True not in grown


def test_rest_ends_when_something_is_wanted(tables: Tables, grown: list[bool]) -> None:
    tables.value(chess.Board(BEFORE))
    partner = partner_with(tables)
    partner.set_position(BEFORE, [])
    partner.rest(lambda: len(grown) >= 3)
    assert len(grown) == 3
    partner.rest(lambda: True)
    assert len(grown) == 3


def test_the_table_is_read_whole_at_most_once_however_often_it_rests(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    tables.value(chess.Board(BEFORE))
    partner, read = partner_with(tables), [0]
    plain = Tables.longest

    def counted(self: Tables, material: Material, metric: str = "dtm") -> tuple[int, str]:
        read[0] += 1
        return plain(self, material, metric)

    monkeypatch.setattr(Tables, "longest", counted)
    for fen in (BEFORE, AFTER, BEFORE):
        partner.set_position(fen.replace(" 56 ", " 0 ").replace(" 58 ", " 0 "), [])
        partner.rest(lambda: False)
    assert read == [1]
