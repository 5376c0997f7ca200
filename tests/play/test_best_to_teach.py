"""Of equally good moves the one that teaches most is played, and the same one is recommended and taught."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.ideas.order import ORDER
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.best_to_teach import FOR, best_to_teach
from matebot.play.choice import ATTACKS, Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.line import line_of, method_line
from matebot.play.ranking import Ranked, rank_with
from matebot.play.truth import TableTruth
from tests.witness.positions import random_positions

ENDINGS = ("KBNK", "KBBK", "KRK", "KQK", "KPK")
_RECOMMENDED = 6


def won(library: Library, ending: str, count: int) -> Iterator[tuple[Referee, list[Ranked]]]:
    """Yield positions that the side to move wins, of either colour."""
    for board in random_positions(ending, count, seed=77):
        if library.tables.value(board).outcome > 0:
            referee = Referee(board, library.tables)
            yield referee, rank_with(referee)


@pytest.mark.parametrize("attack", ATTACKS)
@pytest.mark.parametrize("ending", ENDINGS)
def test_the_move_played_is_the_one_recommended_taught_and_first_in_the_line(
    library: Library, ending: str, attack: str
) -> None:
    truth, seen, recommended = TableTruth(library, attack), set[chess.Color](), 0
    for referee, ranking in won(library, ending, 60):
        board = referee.board
        seen.add(board.turn)
        played = choose(Judged(library, referee), Style(attack=attack))
        assert truth.answer(board) == played.move, board.fen()
        line = method_line(library, board) if attack == "method" else line_of(Judged(library, referee), played, attack)
        assert line[0] == played.move, board.fen()
        slower = [item for item in ranking if item.outcome < 1 or (item.mate_plies or 0) > (played.mate_plies or 0)]
        if slower and recommended < _RECOMMENDED:
            recommended += 1
            facts = FactMaker(Judged(library, referee), attack).facts(slower[-1].move)
            assert facts.instead.best == played.move.uci(), board.fen()
    assert seen == {chess.WHITE, chess.BLACK}
    assert recommended == _RECOMMENDED


def test_a_line_of_the_method_is_broken_off_where_no_more_time_is_to_be_spent_on_it(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    whole, asked = method_line(library, board), iter([False, False, True])
    monkeypatch.setattr(library.tables, "cut", lambda: next(asked))
    assert method_line(library, board) == whole[:3]


def test_the_line_of_the_method_ends_with_the_mate_promised_though_it_leads_where_no_ladder_is(
    library: Library,
) -> None:
    """A pawn of the defender's that becomes a queen leaves all ladders."""
    for board in random_positions("KQKP", 40, seed=78):
        stand, _ = library.tables.stand(board)
        rung = library.rung(stand)
        if rung is not None and rung.plies:
            line = method_line(library, board)
            assert len(line) == rung.plies, board.fen()
            for move in line:
                board.push(move)
            assert board.is_checkmate()


@pytest.mark.parametrize("ending", ENDINGS)
def test_what_teaches_most_is_no_slower_and_the_same_each_time(library: Library, ending: str) -> None:
    for referee, ranking in won(library, ending, 40):
        played = choose(Judged(library, referee), Style())
        assert played.mate_plies == ranking[0].mate_plies
        again = choose(Judged(library, referee), Style(), sorted(ranking, key=lambda item: item.mate_plies or 999))
        assert again.move == played.move


def test_the_ideas_that_decide_stand_in_the_order_of_all() -> None:
    kinds = [entry.kind for entry in ORDER]
    assert [kinds.index(kind) for kind in FOR] == sorted(kinds.index(kind) for kind in FOR)


def test_a_line_is_as_long_as_the_ladder_tells_where_a_move_follows_it_and_else_as_the_shortest_mate(
    library: Library,
) -> None:
    judged = Judged.of(library, chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"))
    followed = choose(judged, Style(attack="method"))
    left = next(item for item in judged.ranking if item.outcome > 0 and on_ladder(judged, item) is None)
    assert judged.rung is not None
    assert len(line_of(judged, followed, "method")) == judged.rung.plies > (followed.mate_plies or 0)
    assert len(line_of(judged, followed, "shortest")) == followed.mate_plies
    assert len(line_of(judged, left, "method")) == left.mate_plies


@pytest.mark.parametrize("taught", [0, 1, 3])
def test_so_many_moves_of_a_line_are_chosen_by_what_teaches_most(
    library: Library, monkeypatch: pytest.MonkeyPatch, taught: int
) -> None:
    chosen = list[chess.Move]()

    def best(board: chess.Board, moves: Iterable[chess.Move]) -> chess.Move:
        chosen.append(best_to_teach(board, moves))
        return chosen[-1]

    monkeypatch.setattr("matebot.play.line.best_to_teach", best)
    line = method_line(library, chess.Board("8/8/8/8/4k3/8/8/K2R4 w - - 0 1"), taught)
    assert chosen == line[::2][:taught]
    assert len(line) > 2 * taught
    chosen.clear()
    unsaid = method_line(library, chess.Board("8/8/8/8/4k3/8/8/K2R4 w - - 0 1"))
    assert chosen == unsaid[:1]


@pytest.mark.parametrize("ending", ["KBNK", "KQK", "KRRK"])
def test_what_teaches_most_is_the_same_with_colours_exchanged(ending: str) -> None:
    for board in random_positions(ending, 12, seed=78):
        moves = list(board.legal_moves)
        if not moves or board.occupied_co[board.turn].bit_count() == 1:
            continue
        found = best_to_teach(board, moves)
        mirrored = [chess.Move(move.from_square ^ 56, move.to_square ^ 56) for move in moves]
        again = best_to_teach(board.mirror(), mirrored)
        assert (again.from_square ^ 56, again.to_square ^ 56) == (found.from_square, found.to_square), board.fen()


def test_the_king_walks_up_where_the_queen_would_only_shuffle(library: Library) -> None:
    """A queen moves only where no king's step is as good, unless she shuts the king in more closely by it."""
    steps = 0
    for referee, ranking in won(library, "KQK", 150):
        board = referee.board
        played = choose(Judged(library, referee), Style()).move
        if board.piece_type_at(played.from_square) == chess.KING:
            steps += 1
            continue
        equal = [item for item in ranking if item.mate_plies == ranking[0].mate_plies]
        stage = {item.move: _stage(library, board, item.move) for item in equal}
        kings = [move for move in stage if board.piece_type_at(move.from_square) == chess.KING]
        as_good = [move for move in kings if stage[move] == stage[played]]
        assert not as_good or _room(board, played) < _room(board, None), board.fen()
    assert steps > 8


def _stage(library: Library, board: chess.Board, move: chess.Move) -> tuple[int, int]:
    after = board.copy(stack=False)
    after.push(move)
    rung = library.rung(library.tables.stand(after)[0])
    assert rung is not None
    return rung.stage, rung.plies


def _room(board: chess.Board, move: chess.Move | None) -> tuple[int, int]:
    """Return what the queen leaves the other king: squares he walks to without being taken, and of his box."""
    board = board.copy(stack=False)
    side = board.turn
    if move is not None:
        board.push(move)
    king, queen = board.king(not side), next(iter(board.pieces(chess.QUEEN, side)))
    assert king is not None
    bare = board.copy(stack=False)
    bare.remove_piece_at(king)
    reached, new = {king}, [king]
    while new:
        near = chess.SquareSet(chess.BB_KING_ATTACKS[new.pop()])
        for square in near:
            if square not in reached and not bare.is_attacked_by(side, square):
                reached.add(square)
                new.append(square)
    box = 1
    for line in (chess.square_file, chess.square_rank):
        box *= line(queen) if line(king) < line(queen) else 7 - line(queen) if line(king) > line(queen) else 8
    return min(len(reached), box), box


def test_a_mate_comes_before_every_other_move() -> None:
    """Nothing else speaks for it, and a king's move would come before a queen's."""
    board, mate = chess.Board("8/8/8/6q1/8/7K/5k2/8 b - - 0 1"), chess.Move.from_uci("g5h5")
    assert {best_to_teach(board, [mate, move]) for move in board.legal_moves if move.uci() != "g5g3"} == {mate}
