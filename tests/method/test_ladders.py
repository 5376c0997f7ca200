"""The ladders cover every won position, and the method goes forward from each of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import copy
from dataclasses import replace
from itertools import islice, product
from pathlib import Path
from random import Random

import chess
import numpy as np
import pytest

from matebot.laws.referee import Referee
from matebot.method.ladder import Ladder
from matebot.method.library import Library
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans import ALL_PLANS, PLANS
from matebot.method.plans.lone_pawn import on_key_square_or_past
from matebot.method.proof import Disproof, Proof
from matebot.method.proved import proved_figures
from matebot.method.squares import file, key_squares, king_steps
from matebot.play.choice import ATTACKS, Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import rank_with
from matebot.solver.codes import DRAW
from matebot.solver.material import Material
from matebot.solver.reach import Game
from matebot.solver.tables import Tables
from tests.counting import every_day
from tests.witness.ladder_steps import Place
from tests.witness.positions import random_positions

EVERY_PLAN = [plan for plans in PLANS.values() for plan in plans]

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
#: Ladder -> longest and mean by the method and by the shortest way, as the README's table has them.
PUBLISHED = {
    name: (by_method, shortest)
    for name, by_method, shortest in re.findall(
        r"^\|[^|]+\| ([^|]+) \| (\d+, \S+) \| (\d+, \S+) \|$", README, re.MULTILINE
    )
}

#: The endings in which the method is played out in every run.
PLAYED = ("KRK", "KQK", "KPK", "KBNK", "KBBK", "KBPK", "KQKP", "KQKR")
#: The endings whose ladders are proved anew in every run; of the others every so many-th position is looked at.
PROVED_ANEW, SHARE = ("KRK", "KQK", "KPK"), 401
WHOLE = [plan for plan in EVERY_PLAN if plan.ending in PROVED_ANEW]
IN_PART = [plan for plan in EVERY_PLAN if plan.ending not in PROVED_ANEW]
#: A ladder of minor pieces, one of their own man's, and one against a man: those of the other endings are much alike.
PROVED = [
    pytest.param(plan, id=f"{plan.ending} {plan.name}", marks=() if daily else pytest.mark.exhaustive)
    for plan in EVERY_PLAN
    for daily in [
        plan in WHOLE or plan.name in ("edge and corner", "guard and lead in with a bishop", "hold and approach")
    ]
]


@pytest.fixture(scope="module", params=PROVED)
def proof(request: pytest.FixtureRequest, library: Library) -> Proof:
    """Go through the won positions; raises where one does not bear the ladder out."""
    return prove(library, request.param, 1 if request.param in WHOLE else SHARE)


@pytest.fixture(scope="module")
def figures(proof: Proof) -> Figures:
    return proof.figures()


def prove(library: Library, plan: Plan, every: int = 1) -> Proof:
    library.tables.prepare(Material.parse(plan.ending))
    ladder = library.ladder(plan)
    assert isinstance(ladder, Ladder)
    return Proof(ladder, library.tables, library.worth, every)


def test_every_won_position_has_exactly_one_stage(proof: Proof, tables: Tables) -> None:
    ladder = proof.ladder
    for side in (True, False):
        won = tables.codes(ladder.material, side) < DRAW
        assert np.array_equal(ladder.stages[side] < DRAW, won)
        assert np.array_equal(ladder.moves[side] < DRAW, won)
        assert ladder.stages[side][won].max() < len(ladder.plan.stages)


def test_the_figures_of_the_proof_are_as_published(proof: Proof, figures: Figures) -> None:
    found = figures
    by_method = f"{found.longest_moves}, {found.mean_moves:.2f}"
    shortest = f"{found.shortest_longest_moves}, {found.shortest_mean_moves:.2f}"
    assert PUBLISHED[proof.ladder.plan.name] == (by_method, shortest)


def test_ladders_of_one_ending_say_each_in_its_own_words_what_is_done() -> None:
    for plans in ALL_PLANS.values():
        for words in ("job", "why"):
            said = [getattr(plan, words) for plan in plans]
            assert all(said)
            assert len(set(said)) == len(said)


def test_every_ladder_is_published() -> None:
    assert set(PUBLISHED) == {plan.name for plans in ALL_PLANS.values() for plan in plans}


def test_the_figures_that_are_shown_without_a_proof_are_those_proved(proof: Proof, figures: Figures) -> None:
    plan, found = proof.ladder.plan, rounded(figures)
    shown = proved_figures(plan)
    if plan in IN_PART:
        assert all(
            part <= whole for part, whole in zip(found.stage_longest_moves, shown.stage_longest_moves, strict=True)
        )
        found = replace(found, stage_longest_moves=shown.stage_longest_moves)
    assert shown == found


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("plan", IN_PART, ids=lambda plan: f"{plan.ending} {plan.name}")
def test_every_other_ladder_is_proved_over_every_won_position(library: Library, plan: Plan) -> None:
    assert rounded(prove(library, plan).figures()) == proved_figures(plan)


def rounded(figures: Figures) -> Figures:
    return replace(
        figures, mean_moves=round(figures.mean_moves, 4), shortest_mean_moves=round(figures.shortest_mean_moves, 4)
    )


def test_the_method_is_safe_under_the_fifty_move_rule(proof: Proof, figures: Figures) -> None:
    """Bars set for the project: 40 moves and 2.0 over the shortest for bishop and knight, 50 for the others."""
    if proof.ladder.plan.ending == "KBNK":
        assert figures.longest_moves <= 40
        assert figures.mean_moves - figures.shortest_mean_moves <= 2.0
    assert figures.longest_moves <= 50


@pytest.mark.parametrize(
    ("side", "moves", "stage", "what", "change", "blamed"),
    [
        (True, 8, 0, "moves", -1, "1 positions, attacker to move"),
        (True, 8, 0, "moves", 1, "defender to move"),
        (False, 7, 0, "moves", -1, "1 positions, defender to move"),
        (False, 7, 0, "moves", 1, "1 positions, defender to move"),
        (False, 7, 0, "stages", 1, "1 positions, defender to move"),
        (True, 4, 1, "stages", -1, "defender to move"),
    ],
)
def test_a_ladder_with_one_false_number_is_disproved(
    library: Library, side: bool, moves: int, stage: int, what: str, change: int, blamed: str
) -> None:
    ladder = library.ladder(PLANS["KQK"][0])
    assert isinstance(ladder, Ladder)
    false = copy(ladder)
    place = tuple(np.argwhere((false.moves[side] == moves) & (false.stages[side] == stage))[0])
    numbers = {either: codes.copy() for either, codes in getattr(false, what).items()}
    numbers[side][place] = int(numbers[side][place]) + change
    setattr(false, what, numbers)
    with pytest.raises(Disproof, match=blamed):
        Proof(false, library.tables, library.worth)


@every_day(PLAYED, tuple(ending for ending in PLANS if ending not in PLAYED))
def test_the_method_played_out_mates_in_time_and_never_goes_back(library: Library, ending: str) -> None:
    _play_out(library, ending, games=4 if ending in (*PROVED_ANEW, "KBNK", "KBBK") else 2, seed=11)


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("ending", list(PLANS))
def test_the_method_played_out_from_two_thousand_positions(library: Library, ending: str) -> None:
    _play_out(library, ending, games=2_000, seed=12)


def _play_out(library: Library, ending: str, games: int, seed: int) -> None:
    random = Random(f"method {ending}")
    played = 0
    for number, board in enumerate(random_positions(ending, 66 * games, seed)):
        # A side with fewer men may win as well, but has no ladder.
        if played < games and library.tables.value(board).outcome == 1 and library.standings(board):
            played += 1
            _follow(library, board, stubborn=number % 2 == 0, random=random)
    assert played == games


def _follow(library: Library, board: chess.Board, stubborn: bool, random: Random) -> None:
    """Play a game; where it passes through an ending without a ladder, what is promised there is kept afterwards."""
    attacker, style = board.turn, Style(attack="method")
    promised = library.standings(board)[0].moves
    before, by_ladder = _rung(library, board), True
    moves = 0
    while not board.is_game_over():
        referee = Referee(board, library.tables)
        ranking = rank_with(referee)
        if board.turn == attacker:
            moves += 1
            referee.promised_plies = before.plies
            board.push(choose(Judged(library, referee), style).move)
        else:
            board.push((ranking[0] if stubborn else random.choice(ranking)).move)
        if board.is_checkmate():
            break
        here = _rung(library, board)
        by_ladder = by_ladder and bool(library.standings(board))
        if by_ladder:
            assert here.plies < before.plies
            assert here.stage >= before.stage or here.ending != before.ending
        else:
            plies = library.tables.value(board).dtm_plies
            assert plies is not None
            assert plies < before.plies
            here = Place(here.ending, 0, min(max(here.plies, plies), before.plies - 1))
        before = here
    assert board.is_checkmate()
    assert board.turn != attacker
    assert moves <= promised


def _rung(library: Library, board: chess.Board) -> Place:
    stand, _ = library.tables.stand(board)
    rung = library.rung(stand)
    assert stand.material is not None
    if rung is None:  # no ladder, or one of the other side's: by the shortest way
        plies = library.tables.value(board).dtm_plies
        assert plies is not None, board.fen()
        return Place(stand.material.name, 0, plies)
    return Place(stand.material.name, rung.stage, rung.plies)


@pytest.mark.parametrize("ending", ["KRRK", "KQRK", "KQPK"])
def test_a_ladder_of_one_stage_is_the_shortest_mate_though_the_defender_may_capture(
    tables: Tables, ending: str
) -> None:
    material = Material.parse(ending)
    tables.prepare(material)
    plan = Plan("anywhere", ending, (Stage("mate", "mate", "none", lambda field: field.everywhere),))
    # What is left after a capture or promotion goes on by the shortest way here, not by a ladder of its own.
    ladder = Ladder(plan, tables, tables.codes)
    for side in (True, False):
        codes = tables.codes(material, side)
        won = codes < DRAW
        assert np.array_equal(ladder.moves[side][won], codes[won])
        assert (ladder.moves[side][~won] >= DRAW).all()
        assert (ladder.stages[side][won] == 0).all()


def test_no_ladder_of_the_defenders_is_solved_with_another(tables: Tables) -> None:
    """A pawn that takes the rook, or becomes a queen, makes the defender the stronger side."""
    library = Library(tables)
    library._ladders = {}  # not those that all tests share
    library.ladder(PLANS["KRKP"][0])
    assert set(library._ladders) == {"cut off and fetch", "box"}


def test_the_captures_the_defender_has_make_a_difference_to_the_one_stage_ladder(tables: Tables) -> None:
    material = Material.parse("KRRK")
    codes = {side: tables.codes(material, side) for side in (True, False)}
    blind = Game(material, codes, lambda child, side: np.full_like(tables.codes(child, side), 0))
    everywhere = {side: blind.won if side else blind.lost for side in (True, False)}
    moves = blind.totals([everywhere])[False].reduced(blind.legal[False])
    assert (moves != codes[False])[codes[False] < DRAW].any()


def test_an_ending_with_pawns_of_both_sides_has_no_ladder(tables: Tables) -> None:
    material = Material.parse("KPKP")
    codes = {side: tables.codes(material, side) for side in (True, False)}
    with pytest.raises(ValueError, match="pawns of one side at most, got 'KPKP'"):
        Game(material, codes, tables.codes)


def king_and_pawn_positions(every: int = 1) -> Iterator[tuple[chess.Board, int, int, int]]:
    """Yield the legal positions of king and pawn against king with White's king on a key square or past it.

    `every` : of the placements only every so many-th is looked at
    """
    for pawn, king, other, turn in islice(product(range(8, 56), range(64), range(64), chess.COLORS), 0, None, every):
        if len({pawn, king, other}) == 3 and on_key_square_or_past(pawn, king):
            board = chess.Board(None)
            board.set_piece_at(pawn, chess.Piece(chess.PAWN, chess.WHITE))
            board.set_piece_at(king, chess.Piece(chess.KING, chess.WHITE))
            board.set_piece_at(other, chess.Piece(chess.KING, chess.BLACK))
            board.turn = turn
            if board.is_valid():
                yield board, pawn, king, other


def test_a_king_on_a_key_square_wins_as_its_rule_says_and_is_past_the_first_stage(library: Library) -> None:
    """Of every eleventh placement; that the key squares win at all is common practice, no source."""
    assert _on_key_squares(library, king_and_pawn_positions(every=11)) > 1_500


@pytest.mark.exhaustive
def test_a_king_on_a_key_square_wins_as_its_rule_says_in_every_position(library: Library) -> None:
    assert _on_key_squares(library, king_and_pawn_positions()) == 19_850


def key_square_wins(pawn: int, white_king: int, black_king: int, white_to_move: bool) -> bool:
    """Whether White's king on a key square wins, whoever is to move, unless Black is stalemated.

    It does unless the pawn is lost: to a king next to it that is to move, White's own king not being near; and a
    rook's pawn to a king that is nearer to it, since the key squares are far from it.
    """
    own, other = king_steps(white_king, pawn), king_steps(black_king, pawn)
    if file(pawn) in (0, 7):
        return other + white_to_move >= own
    return white_to_move or other > 1 or own == 1


def _on_key_squares(library: Library, positions: Iterator[tuple[chess.Board, int, int, int]]) -> int:
    """Check positions, either side to move, and return in how many the king stands on a key square."""
    on_key = held = 0
    for board, pawn, king, other in positions:
        won = library.tables.value(board).outcome == (1 if board.turn else -1)
        if king in key_squares(pawn):
            on_key += 1
            if key_square_wins(pawn, king, other, board.turn) and not board.is_stalemate():
                held += 1
                assert won, board.fen()
        if won:
            assert library.standings(board)[0].stage > 1, board.fen()
    assert held > 0.9 * on_key
    return on_key


@pytest.mark.parametrize("attack", ATTACKS)
def test_a_pawn_that_can_queen_as_well_as_not_does(library: Library, attack: str) -> None:
    board = chess.Board("8/4P3/8/8/8/2k5/8/4K3 w - - 0 1")
    assert board.san(choose(Judged.of(library, board), Style(attack=attack)).move) == "e8=Q"
