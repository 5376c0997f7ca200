"""Practice positions: legal, as far from mate and in the stage asked for, no two alike, the same for the same seed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import chess
import chess.pgn
import pytest

from matebot.errors import UserError
from matebot.games import positions as module
from matebot.games.positions import Practice, Wish, practice, shuffled
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.solver.material import COVERED, Material
from tests.counting import counts

STAGES = [(ending, number) for ending, plans in PLANS.items() for number in range(1, len(plans[0].stages) + 1)]
#: Positions asked for every day, and where all is tested.
COUNTS = (4, pytest.param(40, marks=pytest.mark.exhaustive))
WON_BY_NOBODY = ("KNK", "KBK")
#: Endings in which hardly a position is won.
_FEW = {"KBKN": 2, "KNKN": 2}


def chosen(library: Library, ending: str, count: int, seed: int = 1, **wish: object) -> list[Practice]:
    return practice(library, Wish(Material.parse(ending), **wish), count, seed)  # type: ignore[arg-type]


def men(board: chess.Board, colour: chess.Color) -> str:
    return "".join(sorted(p.symbol().upper() for p in board.piece_map().values() if p.color == colour))


def one_of_its_images(board: chess.Board) -> tuple[int, ...]:
    """Return the same for every mirror image of a position in both colours, as python-chess turns sets of squares.

    What is returned: the squares of the side to move, of the other side, and of each kind of man, of the least image.
    """
    sides = [board.occupied_co[board.turn], board.occupied_co[not board.turn]]
    image = (*sides, board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    found = {image if board.turn else _turned(image, chess.flip_vertical)}
    for turn in (
        [chess.flip_horizontal] if board.pawns else [chess.flip_horizontal, chess.flip_vertical, chess.flip_diagonal]
    ):
        found |= {_turned(other, turn) for other in found}
    return min(found)


def _turned(image: tuple[int, ...], turn: Callable[[int], int]) -> tuple[int, ...]:
    return tuple(map(turn, image))


def mates_within(board: chess.Board, moves: int) -> bool:
    """Whether the side to move can force mate, found by trying every move; python-chess alone."""
    for move in list(board.legal_moves):
        board.push(move)
        mated = board.is_checkmate() or (
            moves > 1
            and any(board.legal_moves)
            and all(_answered(board, reply, moves - 1) for reply in board.legal_moves)
        )
        board.pop()
        if mated:
            return True
    return False


def _answered(board: chess.Board, reply: chess.Move, moves: int) -> bool:
    after = board.copy(stack=False)
    after.push(reply)
    return mates_within(after, moves)


@pytest.mark.parametrize(("ending", "number"), STAGES)
@pytest.mark.parametrize("count", COUNTS)
def test_every_stage_gives_legal_positions_that_stand_in_it(
    library: Library, ending: str, number: int, count: int
) -> None:
    found = chosen(library, ending, count, stage=str(number))
    for position in found:
        board = position.board
        assert board.is_valid()
        assert position.attacker_to_move
        standing = library.standings(board)[0]
        assert standing.stage == number == position.stage
        value = library.tables.value(board)
        assert value.outcome == 1
        assert value.dtm_plies == 2 * position.moves - 1
        # The stronger side is to move, and it has the men written first.
        white, black = ending[1:].split("K")
        assert men(board, board.turn) == "".join(sorted("K" + white))
        assert men(board, not board.turn) == "".join(sorted("K" + black))
    assert len({one_of_its_images(position.board) for position in found}) == len(found)


@counts(80, 300)
def test_the_stage_along_the_edge_begins_with_one_king_at_it_and_the_other_off_it(library: Library, count: int) -> None:
    """Source: the stage's own words (seen on the board)."""
    found = chosen(library, "KBNK", count, seed=2, stage="3")
    assert len(found) == count
    for position in found:
        board = position.board
        defender, attacker = board.king(not board.turn), board.king(board.turn)
        assert defender is not None
        assert attacker is not None
        rim = [min(f, 7 - f, r, 7 - r) for s in (defender, attacker) for f, r in [(s % 8, s // 8)]]
        assert rim[0] <= 1
        assert rim[1] >= 1


@pytest.mark.parametrize("ending", [m.name for m in COVERED if m.name not in WON_BY_NOBODY])
@pytest.mark.parametrize("count", COUNTS)
def test_every_ending_with_wins_gives_positions_of_either_side_and_colour(
    library: Library, ending: str, count: int
) -> None:
    found = chosen(library, ending, _FEW.get(ending, count), seed=3, turn=chess.BLACK)
    assert all(position.board.is_valid() and position.board.turn == chess.BLACK for position in found)
    for position in found:
        value = library.tables.value(position.board)
        assert value.outcome == (1 if position.attacker_to_move else -1)
        assert value.dtm_plies == 2 * position.moves - position.attacker_to_move
        assert any(position.board.legal_moves)
    if ending in PLANS:  # elsewhere wins with the defender to move may be rare
        assert {position.attacker_to_move for position in found} == {True, False}


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KBNK", "KQKR", "KPK", "KRKP"])
def test_a_mate_in_two_is_one_and_no_shorter(library: Library, ending: str) -> None:
    """Source: every move tried with python-chess."""
    for position in chosen(library, ending, 12, seed=4, mate_in=(2, 2)):
        assert mates_within(position.board, 2)
        assert not mates_within(position.board, 1)


def test_distances_stay_in_the_range_asked_for_and_fill_it(library: Library) -> None:
    found = Counter(position.moves for position in chosen(library, "KBNK", 400, mate_in=(8, 12)))
    assert set(found) == set(range(8, 13))


def test_the_longest_mates_are_those_of_the_handbooks(library: Library) -> None:
    """Source: endgame handbooks' tables, from memory: KQK 10, KRK 16, KBBK 19, KBNK 33, KPK 28, KQKR 35."""
    for ending, longest in {"KQK": 10, "KRK": 16, "KBBK": 19, "KBNK": 33, "KPK": 28, "KQKR": 35}.items():
        assert chosen(library, ending, 1, mate_in=(longest, longest))
        with pytest.raises(UserError, match=rf"mate in 1\.\.{longest}\)"):
            chosen(library, ending, 1, mate_in=(longest + 1, 99))


def test_colours_corners_and_sides_are_mixed_unless_fixed(library: Library) -> None:
    found = chosen(library, "KBNK", 200)
    assert {position.board.turn for position in found} == {chess.WHITE, chess.BLACK}
    quarters = Counter((k % 8 > 3, k // 8 > 3) for p in found if (k := p.board.king(p.board.turn)) is not None)
    assert len(quarters) == 4
    assert min(quarters.values()) > 20
    white = chosen(library, "KBNK", 50, strong=chess.WHITE)
    assert all(position.board.turn == chess.WHITE for position in white)
    defending = chosen(library, "KBNK", 50, strong=chess.WHITE, turn=chess.BLACK)
    assert all(men(position.board, chess.WHITE) == "BKN" for position in defending)
    assert all(position.board.turn == chess.BLACK and not position.attacker_to_move for position in defending)


def test_no_two_are_alike_even_when_all_there_are_are_taken(library: Library) -> None:
    with pytest.raises(UserError, match="expected a count of at most 77"):
        chosen(library, "KNNK", 1_000)
    every = chosen(library, "KNNK", 77)
    keys = {one_of_its_images(position.board) for position in every}
    assert len(keys) == 77


def test_a_seed_repeats_and_another_does_not(library: Library) -> None:
    first, again, other = (chosen(library, "KRK", 30, seed=seed) for seed in (9, 9, 10))
    fens = [[position.board.fen() for position in part] for part in (first, again, other)]
    assert fens[0] == fens[1]
    assert fens[0] != fens[2]
    # A longer list begins with the shorter one.
    assert [p.board.fen() for p in chosen(library, "KRK", 60, seed=9)][:30] == fens[0]


def test_a_stage_may_be_named_by_its_title_or_a_part_of_it_from_any_ladder(library: Library) -> None:
    assert chosen(library, "KBNK", 1, stage="FROM THE WRONG CORNER")[0].stage == 3
    triangle = chosen(library, "KBNK", 1, stage="shrink to the small triangle")[0]
    assert triangle.ladder is not None
    assert (triangle.ladder.plan.name, triangle.stage) == ("shrinking triangles", 3)
    # One title is part of no other, though "mate" stands in the traps of all.
    assert chosen(library, "KQK", 1, stage="mate")[0].stage == 3


@pytest.mark.parametrize(
    ("ending", "wish", "parts"),
    [
        ("KNK", {}, ("positions the side named first wins", "'KNK'")),
        ("KBNK", {"stage": "5"}, ("4 mate in the right corner", "'5'")),
        ("KBNK", {"stage": "0"}, ("1 gather in the centre", "'0'")),
        ("KBNK", {"stage": "triangle"}, ("shrink to the small triangle", "'triangle'")),
        ("KBNK", {"stage": ""}, ("expected one stage of KBNK", "''")),
        ("KRKR", {"stage": "1"}, (", ".join(PLANS), "'1'")),
        ("KRK", {"mate_in": (17, 20)}, ("mate in 1..16", "'17..20'")),
        ("KBNK", {"stage": "4", "mate_in": (33, 33)}, ("in stage '4'", "'33'")),
    ],
)
def test_what_there_is_not_is_refused_with_what_there_is(
    library: Library, ending: str, wish: dict[str, object], parts: tuple[str, ...]
) -> None:
    with pytest.raises(UserError) as refusal:
        chosen(library, ending, 1, 1, **wish)
    assert all(part in str(refusal.value) for part in parts), str(refusal.value)


def test_numbers_are_shuffled_without_loss() -> None:
    assert sorted(shuffled(1_000, Random(1))) == list(range(1_000))
    assert list(shuffled(0, Random(1))) == []
    firsts = Counter(next(shuffled(6, Random(seed))) for seed in range(6_000))
    assert all(850 < firsts[number] < 1150 for number in range(6))


@pytest.mark.parametrize(
    "wish",
    [
        Wish(Material.parse("KRKN"), mate_in=(5, 12)),
        Wish(Material.parse("KRKN"), turn=chess.WHITE, strong=chess.BLACK),
        Wish(Material.parse("KNKP"), turned=True),
    ],
)
def test_positions_are_the_same_read_row_by_row(library: Library, wish: Wish, monkeypatch: pytest.MonkeyPatch) -> None:
    """As with five men, here for endings of four."""
    at_once = [found.board.fen() for found in practice(library, wish, 20, seed=5)]
    monkeypatch.setattr(module, "is_large", lambda material: True)
    assert [found.board.fen() for found in practice(library, wish, 20, seed=5)] == at_once
