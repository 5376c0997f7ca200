"""What is played where the men draw, held against its own text with python-chess's moves."""

from __future__ import annotations

import chess
import pytest

from matebot.laws.history import position_key
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play import in_a_draw
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, is_weaker, rank_with
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.tables import Tables
from tests.play.test_choice import positions
from tests.witness.positions import random_positions

#: Causes of a draw that ends the game.
ENDS = ("stalemate", "dead position", "fifty moves", "repetition")


def after_move(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def problem(library: Library, board: chess.Board, move: chess.Move) -> tuple[float, int]:
    """Return which part of the replies to a move lose, none if a capture does not; and how many replies there are."""
    after = after_move(board, move)
    lost = {reply: library.tables.value(after_move(after, reply)).outcome == 1 for reply in after.legal_moves}
    if not lost or any(after.is_capture(reply) and not loses for reply, loses in lost.items()):
        return 0.0, len(lost)
    return sum(lost.values()) / len(lost), len(lost)


def may_be_taken(library: Library, board: chess.Board, move: chess.Move) -> bool:
    """Whether a capture after a move does not lose."""
    after = after_move(board, move)
    captures = [reply for reply in after.legal_moves if after.is_capture(reply)]
    return any(library.tables.value(after_move(after, reply)).outcome <= 0 for reply in captures)


def drawn_by_the_men(referee: Referee, ranking: list[Ranked]) -> list[Ranked]:
    return [item for item in ranking if item.outcome == 0 == item.verdict.value.outcome]


def play(library: Library, referee: Referee) -> Ranked:
    return choose(Judged(library, referee), Style())


def steps(a: int, b: int) -> int:
    return max(abs(a % 8 - b % 8), abs(a // 8 - b // 8))


def rim(square: int) -> int:
    return min(square % 8, 7 - square % 8, square // 8, 7 - square // 8)


def place(board: chess.Board, move: chess.Move) -> tuple[int, ...]:
    """Return the order of places of the weaker side as its text has it, for the endings tried here."""
    side, after = board.turn, after_move(board, move)
    men = {p.symbol().lower() + ("+" if p.color == side else "-"): s for s, p in after.piece_map().items()}
    king, rival = men["k+"], men["k-"]
    if "n+" in men and "r-" in men:
        knight = men["n+"]
        return steps(king, knight) > 2, rim(king) == 0, rim(knight) == 0, steps(king, knight), -rim(king)
    if "b+" in men and "r-" in men:
        bishop, far = men["b+"], -min(3, steps(rival, men["b+"]))
        if rim(king):
            return 0, -min(2, rim(king)), far
        light = (bishop % 8 + bishop // 8) % 2
        corners = [s for s in (0, 7, 56, 63) if (s % 8 + s // 8) % 2 != light]
        return 1, min(steps(king, corner) for corner in corners), far
    pawn, up = (men["p+"], side) if "p+" in men else (men.get("p-"), not side)
    if pawn is None or (len(men) > 3 and "p-" in men):
        return ()
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn if up else s < pawn)]
    if "p-" in men:
        return steps(king, way[0 if up else -1]), steps(king, way[-1 if up else 0])
    loose = any(
        reply.to_square == pawn
        and not any(after_move(after, reply).is_capture(m) for m in after_move(after, reply).legal_moves)
        for reply in after.legal_moves
    )
    return loose, min(steps(king, square) for square in way), len(way)


@pytest.mark.parametrize("ending", ["KRKN", "KRKB", "KRKP", "KPK"])
def test_the_weaker_side_of_a_draw_sets_problems_then_ends_the_game_then_goes_to_its_place(
    library: Library, ending: str
) -> None:
    differ = 0
    for referee, ranking in positions(library, ending, 0, 24):
        board, drawn = referee.board, drawn_by_the_men(referee, ranking)
        if not is_weaker(board, board.turn) or board.legal_moves.count() < 2:
            continue

        def order(item: Ranked, board: chess.Board = board) -> tuple[float, ...]:
            ends = 0 if item.cause in ENDS else 1 if board.is_capture(item.move) else 2
            return -problem(library, board, item.move)[0] if ends else 0, ends, *place(board, item.move)

        best = min(drawn, key=order)
        assert play(library, referee) == best, board.fen()
        differ += best != ranking[0]
    assert differ > 1


def test_a_pawn_against_a_minor_piece_goes_on_playing_and_sets_problems(library: Library) -> None:
    """Nothing can mate its king but by its own help, so it neither ends the game nor gives the pawn away."""
    hard = 0
    for referee, ranking in positions(library, "KBKP", 0, 40):
        board, drawn = referee.board, drawn_by_the_men(referee, ranking)
        if not is_weaker(board, board.turn):
            continue
        chosen = play(library, referee)
        problems = {item.move: problem(library, board, item.move)[0] for item in drawn if item.cause not in ENDS}
        assert not problems or problems[chosen.move] == max(problems.values())
        equal = [move for move, hardness in problems.items() if hardness == max(problems.values())]
        assert not problems or place(board, chosen.move) == min(place(board, move) for move in equal)
        hard += bool(problems) and problems[chosen.move] > 0.5
    assert hard > 3


@pytest.mark.parametrize("ending", ["KRKN", "KRKB", "KQKQ", "KPK"])
def test_the_side_that_has_not_the_weaker_men_sets_the_hardest_problem(library: Library, ending: str) -> None:
    hard = 0
    for referee, ranking in positions(library, ending, 0, 40):
        board = referee.board
        if is_weaker(board, board.turn):
            continue
        problems = {item.move: problem(library, board, item.move)[0] for item in drawn_by_the_men(referee, ranking)}
        chosen = play(library, referee)
        assert problems[chosen.move] == max(problems.values())
        hard += problems[chosen.move] > min(problems.values())
        equal = [move for move, hardness in problems.items() if hardness == problems[chosen.move]]
        given = [may_be_taken(library, board, move) for move in equal]
        assert may_be_taken(library, board, chosen.move) == min(given)
    assert hard > 3


@pytest.mark.parametrize(
    ("men", "danger"), [("", 0), ("B", 0), ("N", 0), ("P", 1), ("R", 1), ("Q", 1), ("BB", 1), ("BN", 1), ("NN", 1)]
)
@pytest.mark.parametrize("side", chess.COLORS)
def test_a_side_is_in_danger_from_all_but_a_lone_minor_piece(men: str, danger: int, side: chess.Color) -> None:
    board = chess.Board("4k3/8/8/8/8/8/8/4K3 w - - 0 1")
    for square, sign in zip((chess.B4, chess.D4), men, strict=False):
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(sign.lower()), not side))
    board.set_piece_at(chess.G4, chess.Piece(chess.ROOK, side))
    assert in_a_draw.in_danger(board, side) == bool(danger)


@pytest.mark.parametrize("ending", ["KRKR", "KQKR", "KNNK"])
def test_men_of_which_the_trade_teaches_no_place_have_none(ending: str) -> None:
    """A rook against a rook, a rook against a queen, a bare king against two knights."""
    for board in random_positions(ending, 8, 3):
        assert {in_a_draw.place(board, move) for move in board.legal_moves} <= {()}


@pytest.mark.parametrize("men", ["4P3/4P3", "4B3/4P3", "4N3/4P3"])
def test_a_side_with_two_men_has_no_place(men: str) -> None:
    board = chess.Board(f"8/8/8/1k6/{men}/K7/8 w - - 0 1")
    assert {in_a_draw.place(board, move) for move in board.legal_moves} == {()}


def test_the_weaker_side_in_danger_leaves_fewer_men_where_no_move_sets_a_problem(library: Library) -> None:
    """A king that holds against a rook's pawn takes the bishop rather than go to the corner at once."""
    board = chess.Board("3K4/5k2/4B3/7P/8/8/8/8 b - - 0 1")
    referee = Referee(board, library.tables)
    drawn = [item.move for item in rank_with(referee) if item.outcome == 0]
    assert [problem(library, board, move)[0] for move in drawn] == [0] * 4
    assert play(library, referee).move.uci() == "f7e6"
    assert sum(map(board.is_capture, drawn)) == 1


@pytest.mark.parametrize(
    ("placed", "move"),
    [
        ("2K5/1B6/5r2/8/8/3k4/8/8 w", "c8c7"),  # off the edge
        ("8/3K4/8/8/R7/8/n7/k7 b", "a1b2"),  # off the edge
        ("2K5/6bP/8/8/8/8/7k/8 w", "c8d7"),  # no promotion that only loses the pawn
    ],
)
def test_a_place_of_the_trade_is_taken(library: Library, placed: str, move: str) -> None:
    board = chess.Board(placed)
    assert choose(Judged.of(library, board), Style()).move.uci() == move


def test_of_equal_problems_of_the_stronger_side_the_position_seen_least_often_is_set(library: Library) -> None:
    """The positions after its first choice are made to have been seen before."""
    changed = 0
    for referee, ranking in positions(library, "KRKN", 0, 20):
        board = referee.board
        if is_weaker(board, board.turn) or ranking[0].cause != "balance":
            continue
        first = choose(Judged(library, referee), Style())
        after = board.copy(stack=False)
        after.push(first.move)
        referee.seen[position_key(after)] += 1
        second = choose(Judged(library, referee), Style())
        if second != first:
            after = board.copy(stack=False)
            after.push(second.move)
            referee.seen[position_key(after)] += 2
            assert choose(Judged(library, referee), Style()) != second
            changed += 1
    assert changed


def test_a_third_repetition_is_avoided_by_whoever_can_still_win(library: Library) -> None:
    """A pawn against a bishop: the move played when nothing has occurred yet would end the game."""
    referee, _ = next(
        found for found in positions(library, "KBKP", 0, 9) if is_weaker(found[0].board, found[0].board.turn)
    )
    first = play(library, referee)
    referee.seen[position_key(after_move(referee.board, first.move))] += 2
    again = Judged(library, referee)
    assert again.item(first.move).cause == "repetition" or referee.steps[first.move].zeroing
    assert choose(again, Style()).cause != "repetition"


@pytest.mark.parametrize(("ending", "most"), [("KRKN", 24), ("KQKR", 24), ("KRKN", 1), ("KRKN", 8)])
def test_where_a_reply_is_dear_the_hardest_problem_is_set_of_those_that_leave_fewest(
    library: Library, monkeypatch: pytest.MonkeyPatch, ending: str, most: int
) -> None:
    """As with five men: so many replies are looked at, or those to one move."""
    monkeypatch.setattr(in_a_draw, "is_large", lambda material: True)
    if most != 24:
        monkeypatch.setattr(in_a_draw, "_REPLIES", most)
    looked_at, hardness = list[CanonicalPosition](), in_a_draw._problem

    def noted(tables: Tables, stand: CanonicalPosition) -> tuple[float, bool]:
        looked_at.append(stand)
        return hardness(tables, stand)

    monkeypatch.setattr(in_a_draw, "_problem", noted)
    few = 0
    for referee, ranking in positions(library, ending, 0, 24):
        board = referee.board
        if is_weaker(board, board.turn) or ranking[0].cause != "balance":
            continue
        lost = {item.move: problem(library, board, item.move) for item in ranking if item.outcome == 0}
        looked = sorted(lost, key=lambda move: lost[move][1])
        while len(looked) > 1 and sum(lost[move][1] for move in looked) > most:
            looked.pop()
        few += len(looked) < len(lost)
        order = {move: (-lost[move][0], may_be_taken(library, board, move)) for move in looked}
        looked_at.clear()
        chosen = choose(Judged(library, referee), Style())
        assert chosen.move == min(looked, key=lambda move: order[move])
        assert len(looked_at) == len(looked)
    assert few


@pytest.mark.parametrize("ending", ["KPK", "KRKN", "KRKB", "KRKP"])
def test_the_places_after_a_move_are_as_good_with_colours_exchanged(ending: str) -> None:
    for board in random_positions(ending, 12, seed=62):
        for move in list(board.legal_moves):
            mirrored = chess.Move(move.from_square ^ 56, move.to_square ^ 56, move.promotion)
            assert in_a_draw.place(board, move) == in_a_draw.place(board.mirror(), mirrored), (board.fen(), move)


def test_a_knight_alone_has_its_place_against_a_rook_only() -> None:
    for other, has_place in (("r", True), ("q", False), ("b", False)):
        board = chess.Board(f"8/8/3k4/3{other}4/8/8/2N5/K7 w - - 0 1")
        assert [bool(in_a_draw.place(board, move)) for move in board.legal_moves] == [
            has_place for move in board.legal_moves
        ]


def test_no_stalemate_is_set_as_a_problem(library: Library) -> None:
    """The king's step behind its pawn is stalemate, and nothing else wins either (common practice, no source)."""
    board = chess.Board("4k3/4P3/8/4K3/8/8/8/8 w - - 0 1")
    chosen = choose(Judged.of(library, board), Style())
    board.push(chosen.move)
    assert not board.is_stalemate()
