"""Ladders for pawns on the seventh rank: over what their zones win, kept in a file; rook and pawn against rook."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import chess
import numpy as np
import pytest

from matebot.cli import main
from matebot.commands import method
from matebot.method import kept
from matebot.method.batch import Layout
from matebot.method.ladder import Ladder
from matebot.method.library import Library
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans import LARGE_PLANS, PLANS
from matebot.method.proof import Proof
from matebot.method.proved import proved_figures
from matebot.method.squares import rank
from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material
from matebot.solver.store import path_of
from matebot.solver.tables import Tables
from tests.ideas.test_bridging import near_the_bridge
from tests.method.test_ladders import PUBLISHED, _follow, rounded

BRIDGE = LARGE_PLANS["KRPKR"][0]
KRPK = Material.parse("KRPK")
EVERYWHERE = Plan("anywhere", "KRPK", (Stage("mate", "mate", "none", lambda field: field.everywhere),), ranks=1)
#: The king may not leave its eighth rank.
ON_THE_EIGHTH = Plan(
    "eighth",
    "KRPK",
    (Stage("mate", "mate", "none", lambda field: field.everywhere & field.white_king(lambda king: rank(king) == 7)),),
    ranks=1,
)


def seventh_of(codes: Codes) -> Codes:
    """Return the codes of pawns on the seventh rank from those of king, rook and pawn against king."""
    return codes[:, :, :, 40:48]


@pytest.fixture(scope="module")
def anywhere(tables: Tables) -> Ladder:
    tables.prepare(KRPK)
    return Ladder(EVERYWHERE, tables, tables.codes)


@pytest.fixture(scope="module")
def eighth(tables: Tables) -> Ladder:
    tables.prepare(KRPK)
    return Ladder(ON_THE_EIGHTH, tables, tables.codes)


@pytest.mark.parametrize(("ending", "ranks", "squares"), [("KRPK", 1, slice(40, 48)), ("KRPK", 2, slice(32, 48))])
def test_a_ladder_for_the_last_ranks_without_bounds_is_the_shortest_mate(
    tables: Tables, ending: str, ranks: int, squares: slice
) -> None:
    """Though it does not know which positions are won: the tables do, which were solved for all ranks together."""
    tables.prepare(Material.parse(ending))
    ladder = Ladder(replace(EVERYWHERE, ending=ending, ranks=ranks), tables, tables.codes)
    for side in (True, False):
        codes = tables.codes(Material.parse(ending), side)[..., squares]
        won = codes < DRAW
        assert won.any()
        assert np.array_equal(ladder.moves[side] < DRAW, won)
        assert np.array_equal(ladder.moves[side][won], codes[won])
        assert np.array_equal(ladder.stages[side] == 0, won)


def test_a_ladder_for_some_ranks_lets_no_pawn_of_the_other_side_promote(tables: Tables) -> None:
    """It is sound, and wherever it teaches something with Black to move his pawn cannot go on to the last rank."""
    krkp = Material.parse("KRKP")
    tables.prepare(krkp)
    ladder = Ladder(replace(EVERYWHERE, ending="KRKP", ranks=2), tables, tables.codes)
    for side in (True, False):
        on_it, codes = ladder.moves[side] < DRAW, tables.codes(krkp, side)[..., :16]
        assert (codes[on_it] <= ladder.moves[side][on_it]).all()
        assert 0 < on_it.sum() < (codes < DRAW).sum()
    batch = Layout(krkp, ranks=2).positions(np.flatnonzero(ladder.moves[False] < DRAW))
    seventh = batch.men[1] // 8 == 1
    before = np.uint64(1) << (batch.men[1] - 8).astype(np.uint64)
    assert seventh.any()
    assert (batch.occupied[seventh] & before[seventh] != 0).all()


def test_such_a_ladder_is_proved_as_the_others_are(tables: Tables, anywhere: Ladder) -> None:
    figures = Proof(anywhere, tables, tables.codes, every=7).figures()
    won = seventh_of(tables.codes(KRPK, True)) < DRAW
    assert figures.positions == 2 * won.sum()  # the king is kept to four files
    assert figures.longest_moves == figures.shortest_longest_moves


def test_positions_that_leave_the_zones_are_on_no_stage(tables: Tables, anywhere: Ladder, eighth: Ladder) -> None:
    ladder = eighth
    for side in (True, False):
        inside = ladder.stages[side] < DRAW
        assert inside.any()
        assert np.array_equal(inside, ladder.moves[side] < DRAW)
        assert (ladder.moves[side][inside] >= anywhere.moves[side][inside]).all()
        kings = Layout(KRPK, ranks=1).positions(np.flatnonzero(inside)).white_king
        assert set((kings // 8).tolist()) == {7}
    Proof(ladder, tables, tables.codes, every=5)


def test_a_ladder_read_from_its_file_is_the_one_that_was_kept(tmp_path: Path, anywhere: Ladder) -> None:
    kept.keep(anywhere, tmp_path)
    again = kept.read(EVERYWHERE, tmp_path)
    assert again is not None
    layout, random = Layout(KRPK, ranks=1), Random("kept")
    for side in (True, False):
        places = np.array(random.sample(range(anywhere.moves[side].size), 400))
        batch = layout.positions(places)
        for number, place in enumerate(places.tolist()):
            men = tuple(int(squares[number]) for squares in batch.men)
            stand = CanonicalPosition(KRPK, side, int(batch.white_king[number]), int(batch.black_king[number]), men)
            rung = again.rung(stand)
            code = int(anywhere.moves[side].flat[place])
            assert (rung is None) == (code >= DRAW)
            assert rung is None or ((rung.plies + 1) // 2, rung.stage) == (code, 0)
        row = again.stages_in(side, 7 * 64 + 3, 64 * 48).reshape(64, 48)
        assert np.array_equal(row[:, 40:][row[:, 40:] != ILLEGAL], anywhere.stages[side][7, 3][row[:, 40:] != ILLEGAL])
        assert (row[:, :40] >= DRAW).all()


def test_two_ladders_of_one_ending_are_kept_beside_each_other(tmp_path: Path, anywhere: Ladder, eighth: Ladder) -> None:
    stand = CanonicalPosition(KRPK, True, 43, 59, (5, 51))  # the king is not on its eighth rank
    kept.keep(anywhere, tmp_path)
    kept.keep(eighth, tmp_path)
    for plan, there in ((EVERYWHERE, True), (ON_THE_EIGHTH, False)):
        again = kept.read(plan, tmp_path)
        assert again is not None
        assert (again.rung(stand) is not None) == there


def test_a_ladder_whose_file_is_spoilt_has_no_positions(tmp_path: Path, anywhere: Ladder) -> None:
    assert kept.read(EVERYWHERE, tmp_path) is None
    kept.keep(anywhere, tmp_path)
    again = kept.read(EVERYWHERE, tmp_path)
    assert again is not None
    (file,) = (path for folder in tmp_path.iterdir() for path in folder.iterdir())
    assert file.name == path_of(tmp_path, KRPK).name
    size = file.stat().st_size
    with file.open("r+b") as opened:
        opened.truncate(size // 2)
    assert kept.read(EVERYWHERE, tmp_path) is None
    assert again.rung(CanonicalPosition(KRPK, True, 3, 60, (0, 55))) is None


def test_a_ladder_that_is_not_kept_is_looked_for_again_only_where_its_folder_has_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, anywhere: Ladder
) -> None:
    read = list[Plan]()

    def noted(plan: Plan, folder: Path | None) -> kept.KeptLadder | None:
        read.append(plan)
        return kept.read(plan, folder)

    monkeypatch.setitem(LARGE_PLANS, "KRPK", (EVERYWHERE,))
    monkeypatch.setattr("matebot.method.library.read", noted)
    library = Library(Tables(tmp_path))
    library._ladders = {}
    assert [library.plans(KRPK) for _ in range(3)] == [()] * 3
    assert read == []
    kept._path(tmp_path, EVERYWHERE).mkdir()
    assert [library.plans(KRPK) for _ in range(3)] == [()] * 3
    assert read == [EVERYWHERE]
    kept.keep(anywhere, tmp_path)
    assert [library.plans(KRPK) for _ in range(3)] == [(EVERYWHERE,)] * 3
    assert read == [EVERYWHERE] * 2


def test_solving_an_ending_of_five_men_solves_its_ladder_as_well(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Here one of three men stands in for it."""
    asked = list[Plan]()
    monkeypatch.setitem(LARGE_PLANS, "KRK", (EVERYWHERE,))
    monkeypatch.setattr(Library, "ladder", lambda library, plan: asked.append(plan))
    assert main(["solve", "KRK"]) == 0
    assert "ladder: anywhere" in capsys.readouterr().out
    assert asked == [EVERYWHERE]


def test_a_position_in_no_zone_is_said_to_be_in_none_and_explained_without_the_ladder(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tables: Tables, eighth: Ladder
) -> None:
    """The king's zone is the eighth rank: the first position is in it, the second is not."""
    monkeypatch.setitem(LARGE_PLANS, "KRPK", (ON_THE_EIGHTH,))
    inside, outside = "3K4/3P2k1/8/8/8/8/8/5R2 w", "3k4/3P4/3K4/8/8/8/8/5R2 w"
    assert main(["explain", "--fen", f"{inside} - - 0 1"]) == 0
    assert "By eighth: not solved yet; `matebot method KRPK` solves and keeps it." in capsys.readouterr().out
    ladders = Library(tables)._ladders
    monkeypatch.setitem(ladders, "eighth", kept.keep(eighth, None))
    said = []
    for fen in (inside, outside):
        assert main(["explain", "--fen", f"{fen} - - 0 1"]) == 0
        said.append(capsys.readouterr().out)
    assert "By eighth: Stage 1 of 1" in said[0]
    assert "By eighth: in none of its zones; explained without it." in said[1]
    assert "To play:" in said[1]


@pytest.mark.parametrize("command", ["method KRPKR", "method KRPKR --prove", "lesson KRPKR --out {}"])
def test_five_men_are_not_solved_for_a_lesson_that_does_not_ask_for_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    monkeypatch.setattr(Library, "solved", lambda library, plan: pytest.fail("solved"))
    assert main(command.format(tmp_path / "page.html").split()) == 2
    assert "five men: solve KRPKR first" in capsys.readouterr().err


def test_all_ladders_are_listed_and_those_of_four_men_proved(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["method", "--brief"]) == 0
    assert "KRPKR: bridge" in capsys.readouterr().out
    proved = list[Plan]()

    def prove(library: Library, plans: list[Plan]) -> dict[str, Figures]:
        proved.extend(plans)
        return {plan.name: proved_figures(plan) for plan in plans}

    monkeypatch.setattr(method, "_prove", prove)
    assert main(["method", "--prove"]) == 0
    assert {plan.ending for plan in proved} == set(PLANS)
    assert BRIDGE not in proved


def test_a_ladder_of_five_men_is_solved_when_asked_for_and_used_from_then_on_where_it_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, tables: Tables
) -> None:
    """Here one of four men stands in for it."""
    monkeypatch.setitem(LARGE_PLANS, "KRPK", (EVERYWHERE,))
    monkeypatch.setattr(tables, "folder", tmp_path)
    first, later = Library(tables), Library(tables)
    first._ladders, later._ladders = {**first._ladders}, {}
    assert later.plans(KRPK) == ()
    assert isinstance(first.ladder(EVERYWHERE), kept.KeptLadder)
    assert later.plans(KRPK) == (EVERYWHERE,)
    board = chess.Board("3K4/3P2k1/8/8/8/8/8/5R2 w - - 0 1")
    assert later.standings(board) == first.standings(board) != ()


def test_without_its_file_the_bridge_is_no_plan_of_its_ending(tables: Tables) -> None:
    library = Library(tables)
    library._ladders = {}
    assert library.plans(Material.parse("KRPKR", largest=5)) == ()


def near_the_blockade(random: Random) -> chess.Board:
    """Return a placement with a man before the pawn on the seventh, valid or not."""
    board = chess.Board(None)
    pawn = random.randrange(8, 16)
    squares = [pawn - 8, *random.sample(chess.SQUARES, k=3)]
    for square, symbol in zip(squares, [*random.sample("KBN", k=3), "k"], strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    board.set_piece_at(pawn, chess.Piece.from_symbol("p"))
    board.turn = chess.WHITE
    return board


#: The ladders of five men, and placements that are often in their zones.
LARGE = [(BRIDGE, near_the_bridge), (LARGE_PLANS["KBNKP"][0], near_the_blockade)]
large = pytest.mark.parametrize(("plan", "near"), LARGE, ids=[plan.name for plan, _ in LARGE])


@pytest.mark.parametrize("plan", [plan for plan, _ in LARGE], ids=lambda plan: plan.name)
def test_the_figures_of_a_ladder_of_five_men_are_as_published(plan: Plan) -> None:
    shown = proved_figures(plan)
    by_method = f"{shown.longest_moves}, {shown.mean_moves:.2f}"
    assert PUBLISHED[plan.name] == (by_method, f"{shown.shortest_longest_moves}, {shown.shortest_mean_moves:.2f}")


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
@large
def test_a_ladder_of_five_men_is_proved_over_every_position_of_its_zones(
    five_men: Tables, plan: Plan, near: Callable[[Random], chess.Board]
) -> None:
    library = Library(five_men)
    figures = Proof(library.solved(plan), five_men, library.worth).figures()
    assert rounded(figures) == proved_figures(plan)
    assert figures.longest_moves <= 50


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
@large
def test_a_ladder_of_five_men_played_out_from_two_thousand_positions_of_its_zones(
    five_men: Tables, plan: Plan, near: Callable[[Random], chess.Board]
) -> None:
    library, random = Library(five_men), Random(plan.name)
    library.ladder(plan)
    played = 0
    while played < 2_000:
        board = near(random)
        if len(board.piece_map()) == 5 and board.is_valid() and library.standings(board):
            for stubborn in (True, False):
                _follow(library, board.copy(), stubborn, random)
            played += 1
