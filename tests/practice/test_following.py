"""Games are followed from positions and questions alone, as interfaces send them."""

from __future__ import annotations

import chess

from matebot.practice.following import Answered, Follower, GameBegins, Placed
from matebot.practice.notebook import Notebook
from matebot.practice.notes import Result

ROOK = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"
#: 1.Kc7 Ka7 2.Qb7 mate or 2.Qa5 mate (worked out by hand).
QUEEN = "k7/8/2K5/8/8/8/8/1Q6 w - - 0 1"


class Interface:
    """Sends what an interface sends; the engine answers what it is told to."""

    def __init__(self) -> None:
        self.follower = Follower("Mia")
        self.time = 0.0

    def place(self, fen: str, moves: str = "") -> chess.Board:
        board = chess.Board(fen)
        for move in moves.split():
            board.push_uci(move)
        self.time += 2.0
        self.follower.take(Placed(board, self.time))
        return board

    def ask(self, fen: str, moves: str, best: str | None, *, ponder: bool = False, infinite: bool = False) -> None:
        self.place(fen, moves)
        self.time += 0.5
        self.follower.take(Answered(best, self.time, ponder, infinite))

    @property
    def notebook(self) -> Notebook:
        assert self.follower.notebook is not None
        return self.follower.notebook

    def end(self) -> list[Notebook]:
        self.follower.end_game()
        return self.follower.closed


def line(notebook: Notebook) -> str:
    return notebook.game().line


def pupils(notebook: Notebook) -> list[tuple[str, bool]]:
    """Return the pupil's moves and whether each was taken back."""
    return [(entry.move.uci(), entry.taken_back) for entry in notebook.entries]


def test_a_game_sent_with_all_its_moves_is_followed_move_for_move() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b7", "c2c3")
    (notebook,) = interface.end()
    assert line(notebook) == "b1b8 c3c2 b8b7 c2c3"
    assert pupils(notebook) == [("b1b8", False), ("b8b7", False)]
    assert notebook.fen == ROOK
    assert notebook.result() is Result.OPEN
    assert [entry.seconds for entry in notebook.entries] == [None, 2.0]


def test_a_game_sent_as_one_fen_after_another_is_the_same_game() -> None:
    interface, board = Interface(), chess.Board(ROOK)
    for mine, answer in (("b1b8", "c3c2"), ("b8b7", "c2c3"), ("b7b8", "c3c2")):
        board.push_uci(mine)
        interface.ask(board.fen(), "", answer)
        board.push_uci(answer)
    (notebook,) = interface.end()
    assert line(notebook).split()[-4:] == ["b8b7", "c2c3", "b7b8", "c3c2"]
    assert [move for move, _ in pupils(notebook)][-2:] == ["b8b7", "b7b8"]


def test_where_the_engine_moves_first_its_move_is_not_the_pupils() -> None:
    interface = Interface()
    interface.ask(ROOK, "", "b1b8")
    interface.ask(ROOK, "b1b8 c3c2", "b8b7")
    (notebook,) = interface.end()
    assert pupils(notebook) == [("c3c2", False)]
    assert line(notebook) == "b1b8 c3c2 b8b7"


def test_fewer_moves_are_a_takeback() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b3", "c2b3")
    interface.place(ROOK, "b1b8 c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b7", "c2c3")
    (notebook,) = interface.end()
    assert pupils(notebook) == [("b1b8", False), ("b8b3", True), ("b8b7", False)]
    assert line(notebook) == "b1b8 c3c2 b8b7 c2c3"
    assert notebook.takebacks == 1


def test_another_move_in_place_of_the_last_is_a_takeback_too() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b6", "c2c3")
    interface.ask(ROOK, "b1b8 c3c2 b8b7", "c2c3")
    (notebook,) = interface.end()
    assert pupils(notebook) == [("b1b8", False), ("b8b6", True), ("b8b7", False)]


def test_several_moves_may_be_taken_back_at_once_and_the_first_one_too() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b7", "c3c2")
    interface.ask(ROOK, "b1b7 c3c2 b7b6", "c2c3")
    interface.ask(ROOK, "b1b7 c3c2 b7b6 c2c3 b6b7", "c3c2")
    interface.ask(ROOK, "b1b7 c3c2 b7b5", "c2c3")
    (notebook,) = interface.end()
    assert [taken for _, taken in pupils(notebook)] == [True, False, True, True, False]
    assert notebook.takebacks == 2
    assert line(notebook) == "b1b7 c3c2 b7b5 c2c3"


def test_the_same_beginning_without_a_move_of_the_pupil_is_a_new_game() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b7", "c2c3")
    interface.ask(ROOK, "b1b6", "c3c2")
    first, second = interface.end()
    assert line(first) == "b1b8 c3c2 b8b7 c2c3"
    assert line(second) == "b1b6 c3c2"
    assert first.takebacks == second.takebacks == 0


def test_a_new_game_may_be_told_or_shown_by_another_position() -> None:
    for told in (True, False):
        interface = Interface()
        interface.ask(ROOK, "b1b8", "c3c2")
        if told:
            interface.follower.take(GameBegins())
        interface.ask(QUEEN, "c6c7", "a8a7")
        first, second = interface.end()
        assert (first.fen, second.fen) == (ROOK, QUEEN)


def test_the_same_game_told_to_be_new_is_another_one() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.follower.take(GameBegins())
    interface.ask(ROOK, "b1b8", "c3c2")
    assert len({notebook.key for notebook in interface.end()}) == 2


def test_the_move_that_mates_is_not_seen_so_mate_in_one_reached_counts() -> None:
    interface = Interface()
    interface.ask(QUEEN, "c6c7", "a8a7")
    (notebook,) = interface.end()
    assert notebook.result() is Result.NEARLY
    assert notebook.game().finished


def test_the_move_that_mates_counts_where_it_is_shown() -> None:
    interface = Interface()
    interface.ask(QUEEN, "c6c7", "a8a7")
    interface.place(QUEEN, "c6c7 a8a7 b1b7")
    (notebook,) = interface.end()
    assert notebook.result() is Result.WON
    assert [move for move, _ in pupils(notebook)] == ["c6c7", "b1b7"]


def test_a_stalemate_is_shown_when_the_engine_is_asked_and_has_no_move() -> None:
    interface = Interface()
    interface.ask(QUEEN, "b1b6", None)
    (notebook,) = interface.end()
    assert notebook.result() is Result.DRAWN


def test_a_position_pondered_on_counts_only_if_it_comes_about() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3c2 b8b6", "c2c3", ponder=True)
    interface.ask(ROOK, "b1b8 c3c2 b8b7", "c2c3")
    assert pupils(interface.notebook) == [("b1b8", False), ("b8b7", False)]
    interface.ask(ROOK, "b1b8 c3c2 b8b7 c2c3 b7b8", "c3c2", ponder=True)
    interface.ask(ROOK, "b1b8 c3c2 b8b7 c2c3 b7b8 c3c2 b8b7", "c2c3")
    (notebook,) = interface.end()
    assert [taken for _, taken in pupils(notebook)] == [False] * 4
    assert notebook.takebacks == 0


def test_analysis_without_end_is_no_game() -> None:
    interface = Interface()
    for moves in ("", "b1b8", "b1b8 c3c2"):
        interface.ask(ROOK, moves, "b1b8" if not moves else None, infinite=True)
    assert interface.end() == []


def test_an_engine_asked_for_both_sides_has_no_pupil() -> None:
    interface, moves = Interface(), ["b1b8", "c3c2", "b8b7", "c2c3"]
    for number, best in enumerate(moves):
        interface.ask(ROOK, " ".join(moves[:number]), best)
    assert interface.end() == []


def test_a_question_asked_again_takes_nothing_back() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.follower.take(Answered("c3d3", 9.0))
    interface.ask(ROOK, "b1b8", "c3d4")
    interface.ask(ROOK, "b1b8 c3d4 b8b7", "d4d5")
    (notebook,) = interface.end()
    assert line(notebook) == "b1b8 c3d4 b8b7 d4d5"
    assert notebook.takebacks == 0


def test_another_move_than_the_engines_answer_may_have_been_played_for_it() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8", "c3c2")
    interface.ask(ROOK, "b1b8 c3d4 b8b7", "d4d5")
    (notebook,) = interface.end()
    assert line(notebook) == "b1b8 c3d4 b8b7 d4d5"
    assert pupils(notebook) == [("b1b8", False), ("b8b7", False)]


def test_a_game_counts_from_where_the_engine_is_first_asked() -> None:
    interface = Interface()
    interface.ask(ROOK, "b1b8 c3c2 b8b7 c2c3 b7b6", "c3c2")
    (notebook,) = interface.end()
    assert pupils(notebook) == [("b7b6", False)]


def test_moves_before_there_are_few_enough_men_are_not_noted() -> None:
    interface = Interface()
    start = "4k3/8/8/8/8/8/3pQ3/R3K3 w - - 0 1"
    interface.ask(start, "e1d2", "e8d8")
    interface.ask(start, "e1d2 e8d8 a1a8", "d8c7")
    (notebook,) = interface.end()
    assert chess.popcount(chess.Board(notebook.fen).occupied) == 4
    assert pupils(notebook) == [("a1a8", False)]


def test_an_answer_without_a_position_harms_nothing() -> None:
    interface = Interface()
    interface.follower.take(Answered(None, 1.0))
    interface.follower.take(GameBegins())
    interface.place(ROOK)
    assert interface.end() == []
