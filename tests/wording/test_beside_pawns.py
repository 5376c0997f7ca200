"""What is told of pawns and of kings beside them, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.wording import lasting, posture
from matebot.wording.defence_men import _beside_king, _squares_off
from matebot.wording.denials import mate_after, shut_in
from matebot.wording.leads import _is_between, _uncaught
from matebot.wording.pawn_comes import at_man, comes_at_man, from_behind, pawn_on
from matebot.wording.said import before, mated_within, moves_lost, pawn_runs, promotion_square
from tests.wording.bare import facts_of


@pytest.mark.parametrize(
    ("fen", "uci", "reply", "text"),
    [
        ("8/8/3k4/8/8/2K1P3/8/8 b - - 0 1", "d6e6", "e4", ""),
        ("8/8/8/8/k7/8/4P3/4K3 b - - 0 1", "a4b4", "e3", ", and White's king escorts it"),
        ("8/8/8/k3P3/8/8/8/4K3 b - - 0 1", "a5a4", "e6", ", and the king is not in front of it"),
        ("8/8/8/1k2P3/8/8/8/K7 b - - 0 1", "b5c5", "e6", ""),
        ("8/5K2/2k5/8/8/4P3/8/8 b - - 0 1", "c6d6", "e4", ", and White's king guards its way"),
        ("8/5K2/2k5/8/8/4P3/7R/8 b - - 0 1", "c6d6", "e4", ""),
        ("8/8/2k5/8/8/4P1K1/8/8 b - - 0 1", "c6d6", "e4", ", and White's king escorts it"),
        ("8/8/2k5/8/8/4P1K1/7R/8 b - - 0 1", "c6d6", "e4", ""),
        ("8/8/2k5/5K2/8/4P3/7R/8 b - - 0 1", "c6d6", "e4", ", and White's king escorts it"),
        ("8/8/4p3/8/3K4/5k2/8/8 w - - 0 1", "d4d3", "e5", ", and Black's king escorts it"),
        ("8/8/4p3/3K4/8/8/5k2/8 w - - 0 1", "d5c4", "e5", ", and Black's king guards its way"),
        ("4k3/8/8/8/K3p3/8/8/8 w - - 0 1", "a4a5", "e3", ", and the king is not in front of it"),
        ("8/7r/2k1p3/8/3K4/8/8/8 w - - 0 1", "d4e3", "e5", ""),
    ],
)
def test_of_a_pawn_that_comes_it_is_told_why_the_king_does_not_catch_it(
    fen: str, uci: str, reply: str, text: str
) -> None:
    assert pawn_on(reply, facts_of(fen, uci)) == f"the pawn: {reply} comes{text}"


@pytest.mark.parametrize(
    ("fen", "was", "now", "told"),
    [
        ("4k3/8/8/8/2P5/8/7R/4K3 b - - 0 1", "h2", "c2", True),
        ("4k3/8/8/8/2P5/8/7R/4K3 b - - 0 1", "h2", "d2", False),
        ("7R/4k3/8/8/2P5/8/8/4K3 b - - 0 1", "h8", "c8", False),
        ("4k3/8/8/8/2P5/8/2R5/4K3 b - - 0 1", "c2", "c1", False),
        ("4k3/8/8/8/1PP5/8/7R/4K3 b - - 0 1", "h2", "c2", False),
        ("4k3/8/8/8/2P5/8/7B/4K3 b - - 0 1", "h2", "c2", False),
        ("4k2r/8/8/8/2p5/8/8/4K3 w - - 0 1", "h8", "c8", True),
        ("4k3/8/8/8/2p5/8/4K3/7r w - - 0 1", "h1", "c1", False),
    ],
)
def test_a_rook_guards_its_only_pawn_from_behind_where_it_comes_to_the_file_before_it(
    fen: str, was: str, now: str, told: bool
) -> None:
    board = chess.Board(fen)
    king = board.king(board.turn)
    assert king is not None
    uci = next(move.uci() for move in board.legal_moves if move.from_square == king)
    text = from_behind(chess.parse_square(was), chess.parse_square(now), facts_of(fen, uci))
    assert text == ("guards the pawn from behind" if told else "")


@pytest.mark.parametrize(
    ("fen", "uci", "way", "hanging", "text"),
    [
        ("8/8/8/3r4/8/1K6/8/7k b - - 0 1", "h1g2", "b3c4", [], "attacks the rook"),
        ("8/8/8/3r4/8/1K6/8/7k b - - 0 1", "h1g2", "b3c4", [chess.D5], ""),
        ("8/8/8/3r4/8/1K6/8/7k b - - 0 1", "h1g2", "b3c4", [chess.E5], "attacks the rook"),
        ("8/8/8/3r4/8/1K6/8/7k b - - 0 1", "d5d2", "b3c3", [], "attacks the rook"),
        ("8/8/8/3r4/8/1K6/8/7k b - - 0 1", "d5d8", "b3c4", [], ""),
        ("8/8/8/3n1q2/8/1K6/8/7k b - - 0 1", "h1g1", "b3c4", [], "attacks the knight"),
        ("8/8/4K3/4P3/8/8/8/5k2 b - - 0 1", "f1g1", "e6d6", [], "clears the pawn's way"),
        ("8/8/4K3/4P3/8/8/8/5k2 b - - 0 1", "f1g1", "e6e7", [], ""),
        ("8/8/8/4P3/4K3/8/8/5k2 b - - 0 1", "f1g1", "e4d4", [], ""),
        ("8/8/8/8/4p3/4k3/8/6K1 w - - 0 1", "g1h1", "e3d3", [], "clears the pawn's way"),
        ("8/8/8/4k3/4p3/8/8/6K1 w - - 0 1", "g1h1", "e5d5", [], ""),
    ],
)
def test_a_king_that_comes_attacks_a_man_or_clears_the_way_of_its_pawn(
    fen: str, uci: str, way: str, hanging: list[int], text: str
) -> None:
    step = chess.Move.from_uci(way)
    assert at_man(step.from_square, step.to_square, facts_of(fen, uci, *hanging)) == text


@pytest.mark.parametrize(
    ("uci", "reply", "told"),
    [
        ("h2g2", "Qd1", True),
        ("h2g2", "Qa5", True),
        ("h2g2", "Qf1+", False),
        ("d5e5", "Qd1", False),
        ("d5e5", "Qe1", True),
    ],
)
def test_a_reply_comes_at_a_man_on_its_file_or_rank(uci: str, reply: str, told: bool) -> None:
    assert comes_at_man(reply, facts_of("8/8/8/3r4/8/1K6/7k/Q7 b - - 0 1", uci)) == told


@pytest.mark.parametrize(
    ("fen", "uci", "text"),
    [
        ("8/8/3k4/8/8/2K1P3/8/8 b - - 0 1", "d6e6", "gets in front of the pawn"),
        ("8/4k3/8/8/8/2K1P3/8/8 b - - 0 1", "e7e6", "stays in front of the pawn"),
        ("8/8/8/3k4/8/2K1P3/8/8 b - - 0 1", "d5c5", ""),
        ("8/8/2k5/8/8/2K1P3/8/8 b - - 0 1", "c6d5", "comes nearer to the pawn"),
        ("8/8/8/8/8/2K1P3/8/5k2 b - - 0 1", "f1e1", ""),
        ("8/8/4p3/2k5/8/8/3K4/8 w - - 0 1", "d2e2", "gets in front of the pawn"),
        ("8/4K3/8/2k1p3/8/8/8/8 w - - 0 1", "e7e6", "comes nearer to the pawn"),
    ],
)
def test_a_bare_king_is_told_by_how_it_stands_to_the_pawn(fen: str, uci: str, text: str) -> None:
    assert posture._by_their_pawn(facts_of(fen, uci)).text == text


@pytest.mark.parametrize(
    ("fen", "uci", "text"),
    [
        ("8/8/8/8/8/pk6/8/2R1K3 b - - 0 1", "a3a2", "brings the pawn to within one square of promotion"),
        ("8/8/8/8/p7/1k6/8/2R1K3 b - - 0 1", "a4a3", "brings the pawn to within two squares of promotion"),
        ("8/8/p7/8/8/1k6/8/2R1K3 b - - 0 1", "a6a5", ""),
        ("4k2r/8/1P6/1K6/8/8/8/8 w - - 0 1", "b6b7", "brings the pawn to within one square of promotion"),
        ("4k2r/8/8/8/1P6/2K5/8/8 w - - 0 1", "b4b5", "brings the pawn to within three squares of promotion"),
        ("8/8/p7/k7/8/8/8/2R1K3 b - - 0 1", "a5b5", "stays beside its pawn"),
        ("8/8/p7/8/2k5/8/8/2R1K3 b - - 0 1", "c4b5", "comes beside its pawn"),
        ("8/8/p7/8/3k4/8/8/3RK3 b - - 0 1", "d4c4", "comes nearer to its pawn"),
        ("8/8/p7/8/3k4/8/8/2R1K3 b - - 0 1", "d4e4", ""),
    ],
)
def test_a_pawns_side_is_told_by_how_far_the_pawn_is_or_its_king_from_it(fen: str, uci: str, text: str) -> None:
    assert posture._by_own_pawn(facts_of(fen, uci)) == text


@pytest.mark.parametrize(
    ("fen", "uci", "moves_to_go"),
    [
        ("5K2/1P6/3P4/8/8/8/8/5k2 w - - 0 1", "b7b8r", 2),  # the other pawn
        ("5K2/8/3P4/8/8/8/8/5k2 w - - 0 1", "d6d7", 1),
        ("8/5k2/8/8/8/3p4/1p6/5K2 b - - 0 1", "b2b1n", 2),
        ("8/5K2/8/8/8/8/1P6/6k1 w - - 0 1", "f7e7", 5),
    ],
)
def test_a_pawn_runs_where_no_mate_comes_before_it_is_a_queen_though_another_has_just_promoted(
    fen: str, uci: str, moves_to_go: int
) -> None:
    for mate_moves, runs in ((None, True), (moves_to_go + 2, True), (moves_to_go + 1, False)):
        race, worth = SimpleNamespace(runs_alone=True), SimpleNamespace(mate_moves=mate_moves)
        assert pawn_runs(facts_of(fen, uci, by_winner=True, race=race, worth=worth)) == runs


@pytest.mark.parametrize(
    ("fen", "uci", "text"),
    [
        ("8/8/8/4P3/8/8/8/K6k w - - 0 1", "e5e6", "Black's king is outside its square"),
        ("8/8/8/4P1k1/8/8/8/K7 w - - 0 1", "e5e6", ""),
        ("8/5K2/7k/4P3/8/8/8/8 w - - 0 1", "e5e6", "the king keeps Black's king away"),
        ("8/3K4/7k/4P3/8/8/8/8 w - - 0 1", "e5e6", ""),
        ("8/3K4/4P3/6k1/8/8/8/8 w - - 0 1", "e6e7", "Black's king is outside its square"),
        ("8/3K4/4P1k1/8/8/8/8/8 w - - 0 1", "e6e7", ""),
        ("k7/8/8/8/8/4p3/8/K7 b - - 0 1", "e3e2", "White's king is outside its square"),
    ],
)
def test_it_is_told_why_a_pawn_is_not_caught(fen: str, uci: str, text: str) -> None:
    board, move = chess.Board(fen), chess.Move.from_uci(uci)
    facts, rival = facts_of(fen, uci), board.king(not board.turn)
    facts = cast("MoveFacts", SimpleNamespace(**{**vars(facts), "attacker": facts.turn}))
    assert rival is not None
    assert _uncaught(move.to_square, rival, facts) == text


def test_places_are_told_apart_by_files_and_sides() -> None:
    assert _is_between(chess.A1, chess.B7, chess.C3)
    assert _is_between(chess.C1, chess.B7, chess.A3)
    assert not any(_is_between(chess.A1, square, chess.C3) for square in (chess.A2, chess.C7, chess.D1))
    assert [promotion_square(chess.E2, turn) for turn in ("white", "black")] == [chess.E8, chess.E1]
    assert [before(chess.E4, turn) for turn in ("white", "black")] == [chess.E5, chess.E3]


def test_what_is_not_known_is_no_number() -> None:
    for moves, within, lost in ((None, False, 0), (5, True, 5), (6, False, 6)):
        facts = SimpleNamespace(worth=SimpleNamespace(mate_moves=moves), cost=SimpleNamespace(moves_lost=moves))
        assert mated_within(cast("MoveFacts", facts), 5) == within
        assert moves_lost(cast("MoveFacts", facts)) == lost


def test_small_numbers_are_told_in_words() -> None:
    assert [_squares_off(steps) for steps in (0, 1, 2, 6)] == ["no squares", "one square", "two squares", "six squares"]
    assert [_beside_king(steps) for steps in (1, 2, 3, 4)] == [
        ": it stands next to its king",
        "",
        "",
        ", though it stands far from its king",
    ]
    lines = [["a"], ["a", "b", "c"], ["a", "b", "c", "d", "e"]]
    assert list(map(mate_after, lines)) == ["a", "a, with mate next move", "a, with mate two moves later"]


@pytest.mark.parametrize(
    ("choices", "most", "text"),
    [
        (2, 3, "the other move is mated 3 moves sooner"),
        (3, 3, "every other move is mated 3 moves sooner"),
        (4, 5, "every other move is mated at least 3 moves sooner"),
    ],
)
def test_other_defences_are_told_by_how_much_sooner_they_are_mated(choices: int, most: int, text: str) -> None:
    critical = SimpleNamespace(longer_by=3, most=most)
    facts = SimpleNamespace(beside=SimpleNamespace(choices=choices))
    assert lasting.any_other(critical, facts) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("left", "text"),
    [
        ("a4 a5", "shut its king in on the a-file"),
        ("c8 d8", "shut its king in on rank 8"),
        ("a7 a8 b8", "hold its king on the edge"),
        ("a1 b2 d1", "shut its king in on the first two ranks"),
        ("a7 b8 d7", "shut its king in on the last two ranks"),
        ("a3 b4 b6", "shut its king in on the a- and b-files"),
        ("h3 g4 g6", "shut its king in on the g- and h-files"),
        ("h1 g3 f2", "shut its king in near the corner h1"),
        ("h1 g3 e2", "pen its king in"),
        ("a1 c3 e3", "pen its king in"),
    ],
)
def test_the_part_of_the_board_that_is_left_to_a_king_is_named(left: str, text: str) -> None:
    assert shut_in(tuple(map(chess.parse_square, left.split())), "its king", chess.A1) == text


def test_a_king_off_the_edge_is_driven_there_not_held() -> None:
    assert shut_in((chess.A7, chess.A8, chess.B8), "its king", chess.B7) == "drive its king to the edge"
