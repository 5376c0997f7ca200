"""A practice game line by line: what may be typed, what is said, what is noted."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import chess
import pytest

from matebot.ideas.slip_kinds import SlipKind
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.play.choice import Style
from matebot.play.ranking import ranked
from matebot.practice.choosing import Asked, choose_exercise, position_for
from matebot.practice.completing import complete
from matebot.practice.grading import passages
from matebot.practice.judging import Judge
from matebot.practice.moves_typed import Unclear, completions, typed_move
from matebot.practice.notebook import Notebook
from matebot.practice.notes import UNJUDGED, Exercise, GameNote, Grade, MoveNote, Result
from matebot.practice.reading import everything
from matebot.practice.record import Record
from matebot.practice.sitting import Sitting
from matebot.practice.summary import summary
from matebot.solver.tables import Tables
from matebot.wording.practice import WORDS
from tests.practice.games import save

#: Queen and king against king, mate in two: 1.Qb7 gives the king one square (worked out by hand).
QUEEN = "k7/8/1K6/8/8/8/2Q5/8 w - - 0 1"
ROOK = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"
BOX = "2k5/8/2K5/8/8/8/8/3R4 w - - 0 1"
DEFENCE = "8/8/8/4k3/8/8/8/KQ6 b - - 0 1"

FIRST = date(2026, 1, 1)
Line = str | Callable[[chess.Board], str] | None


class Table:
    """A game with what was typed and said."""

    def __init__(self, library: Library, fen: str, level: str = "brief") -> None:
        self.board = chess.Board(fen)
        self.notebook = Notebook("Mia", "practise", self.board, self.board.turn)
        self.said: list[str] = []
        self.kept: list[GameNote] = []
        self.lines: Iterator[Line] = iter(())
        self.time = 0.0
        self.sitting = Sitting(
            library, self.notebook, Style(), level, self._read, self.said.append, self._keep, self._clock
        )

    def _clock(self) -> float:
        self.time += 1.5
        return self.time

    def _read(self, board: chess.Board) -> str | None:
        line = next(self.lines, None)
        return line(board) if callable(line) else line

    def _keep(self, notebook: Notebook) -> None:
        self.kept.append(notebook.game())

    def play(self, *lines: Line) -> GameNote:
        self.lines = iter(lines)
        self.sitting.play()
        return self.kept[-1]

    @property
    def text(self) -> str:
        return "\n".join(self.said)


@pytest.fixture(scope="module")
def library() -> Library:
    return Library(Tables(None))


@pytest.fixture
def best(library: Library) -> Callable[[chess.Board], str]:
    return lambda board: board.san(ranked(board, library.tables)[0].move)


@pytest.fixture
def worst_but_winning(library: Library) -> Callable[[chess.Board], str]:
    def move(board: chess.Board) -> str:
        won = [item for item in ranked(board, library.tables) if item.outcome > 0]
        return won[-1].move.uci()

    return move


def test_a_game_played_well_is_won_and_graded_as_close_to_the_method(library: Library, best: Line) -> None:
    table = Table(library, ROOK)
    game = table.play(*[best] * 20)
    assert game.result is Result.WON
    assert game.finished
    assert {part.grade for part in game.passages} == {Grade.CLOSE}
    assert game.moves_lost == 0
    assert chess.Board(ROOK).fen() == game.fen
    assert [note.seconds for note in game.moves] == [1.5] * len(game.moves)


@pytest.mark.parametrize(
    ("ending", "stage"),
    [
        pytest.param(
            ending, stage, marks=[pytest.mark.exhaustive] * ((ending, stage) not in (("KQKP", 1), ("KQKR", last)))
        )
        for ending in ("KQKP", "KRKP", "KQKR")
        for last in [len(PLANS[ending][0].stages)]
        for stage in range(1, last + 1)
    ],
)
def test_practice_at_a_stage_against_a_man_begins_there_and_is_graded(tables: Tables, ending: str, stage: int) -> None:
    library = Library(tables)
    choice = choose_exercise(Asked(ending, str(stage)), None, FIRST, seed=2)
    board = position_for(library, choice, seed=2).board
    table = Table(library, board.fen())
    game = table.play(*[lambda board: board.san(ranked(board, tables)[0].move)] * 50)
    assert game.result is Result.WON
    assert game.passages[0].exercise == Exercise(ending, stage, "attack")
    assert all(part.grade is not None for part in game.passages)


def solved_by_a_move(board: chess.Board, tables: Tables) -> bool:
    """Whether some capture, promotion or mate wins at once."""
    found = [item.move for item in ranked(board, tables) if item.outcome > 0]
    return any(board.is_capture(move) or move.promotion or after(board, move).is_checkmate() for move in found)


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    board = board.copy()
    board.push(move)
    return board


@pytest.mark.parametrize(("ending", "stage"), [("KPK", 3), ("KQKP", 3), ("KQKR", 4), ("KQK", 3)])
def test_practice_at_a_stage_begins_where_its_work_is_still_to_be_done(tables: Tables, ending: str, stage: int) -> None:
    choice = choose_exercise(Asked(ending, str(stage)), None, FIRST, seed=0)
    boards = [position_for(Library(tables), choice, seed).board for seed in range(8)]
    assert not [board.fen() for board in boards if solved_by_a_move(board, tables)]


def test_the_noted_line_is_the_game_move_for_move(library: Library, best: Line) -> None:
    table = Table(library, ROOK)
    game = table.play(*[best] * 20)
    board = chess.Board(game.fen)
    pupils = []
    for text in game.line.split():
        if board.turn == chess.WHITE:
            pupils.append((board.fen(), text))
        board.push_uci(text)
    assert board.is_checkmate()
    assert [(note.fen, note.move) for note in game.moves] == pupils


def test_stalemate_is_noted_as_the_slip_it_is_and_fails_the_exercise(library: Library) -> None:
    game = Table(library, QUEEN).play("Qc7")
    assert game.result is Result.DRAWN
    assert [note.slip for note in game.moves] == [SlipKind.STALEMATE]
    assert [part.grade for part in game.passages] == [Grade.FAILED]


def test_a_queen_given_away_is_a_man_and_the_result_lost(library: Library) -> None:
    game = Table(library, QUEEN).play("Qb1", "quit")
    assert game.moves[0].slip != SlipKind.GIVEN
    game = Table(library, "k7/8/8/8/8/8/1Q6/7K w - - 0 1").play("Qb7+")
    assert game.moves[0].slip == SlipKind.GIVEN
    assert game.result is Result.DRAWN


def setback(library: Library, fen: str) -> str:
    """Return a move by which something reached is lost, but not the win."""
    board, judge = chess.Board(fen), Judge(library)
    for move in board.legal_moves:
        note = judge.note(board, move, 1, None)
        if note is not None and note.slip in (SlipKind.STAGE, SlipKind.CAGE):
            return move.uci()
    raise AssertionError(fen)


def test_a_move_taken_back_stays_in_the_notes_and_counts_against_the_grade(library: Library, best: Line) -> None:
    slip = setback(library, BOX)
    game = Table(library, BOX).play(slip, "back", *[best] * 20)
    assert game.result is Result.WON
    assert game.takebacks == 1
    assert game.moves[0].taken_back
    assert game.moves[0].slip in (SlipKind.STAGE, SlipKind.CAGE)
    assert game.moves[0].exercise == game.passages[0].exercise
    assert game.passages[0].grade == Grade.FLAWED
    assert game.moves[1].fen == game.moves[0].fen
    assert game.line.split()[0] == game.moves[1].move


def test_back_takes_back_the_answer_too_and_not_more_than_there_is(library: Library) -> None:
    table = Table(library, QUEEN)
    game = table.play("back", "Qc6+", "back", "back", "quit")
    assert table.text.count("expected a move to take back") == 2
    assert table.notebook.board == chess.Board(QUEEN)
    assert game.takebacks == 1
    assert game.result is Result.OPEN


def test_the_first_hint_is_the_aim_the_second_the_move_and_only_that_counts_as_help(
    library: Library, best: Line
) -> None:
    table = Table(library, ROOK)
    game = table.play("hint", best, "hint", "hint", best, "quit")
    assert "Aim:" in table.text
    assert "Play " in table.text
    assert game.hints == 3
    assert [note.helped for note in game.moves] == [False, True]


def test_what_is_no_legal_move_is_answered_without_a_move_that_could_be_taken_for_advice(library: Library) -> None:
    table = Table(library, ROOK)
    table.play("Rb9", "a1a8", "quit")
    refusals = [line for line in table.said if line.startswith("expected")]
    assert len(refusals) == 2
    for line in refusals:
        assert not [move for move in table.board.legal_moves if re.search(rf"\b{table.board.san(move)}\b", line)]


def test_resigning_fails_and_breaking_off_is_not_graded(library: Library, best: Line) -> None:
    for moves in ([best], [best, "back"]):
        assert [part.grade for part in Table(library, ROOK).play(*moves, "resign").passages] == [Grade.FAILED]
    assert [part.grade for part in Table(library, ROOK).play(best, "back", "quit").passages] == [None]
    for end in (["quit"], [None], ["QUIT"]):
        game = Table(library, ROOK).play(best, *end)
        assert [part.grade for part in game.passages] == [None]
        assert game.result is Result.OPEN
        assert game.finished


def test_a_slow_win_is_told_from_one_close_to_the_method(library: Library, best: Line) -> None:
    slow = Table(library, QUEEN).play("Qd2", "Qc2", "Qd2", *[best] * 12)
    assert slow.result is Result.WON
    assert slow.passages[-1].grade in (Grade.SLOW, Grade.FLAWED)
    assert (slow.passages[-1].moves_lost or 0) > 2


def test_a_defence_that_holds_out_longest_is_close_and_one_that_runs_into_mate_is_not(
    library: Library, best: Line, worst_but_winning: Line
) -> None:
    held = Table(library, DEFENCE).play(*[best] * 20)
    assert held.result is Result.LOST
    assert {part.exercise.side for part in held.passages} == {"defence"}
    assert {part.grade for part in held.passages} == {Grade.CLOSE}
    assert all(part.by_method == part.moves for part in held.passages)

    def worst(board: chess.Board) -> str:
        return ranked(board, library.tables)[-1].move.uci()

    fled = Table(library, DEFENCE).play(*[worst] * 20)
    assert len(fled.moves) < len(held.moves)
    assert (fled.moves_lost or 0) > 0


def test_a_win_away_from_the_method_is_measured_by_the_method(library: Library, best: Line) -> None:
    game = Table(library, ROOK).play(*[best] * 20)
    moves = sum(part.moves for part in game.passages)
    by_method = sum(part.by_method or 0 for part in game.passages)
    first = game.moves[0].method_moves
    assert moves == len(game.moves)
    assert by_method == first  # the longest defence of the shortest mate may take fewer moves, never more


@pytest.mark.parametrize("word", [word for word in WORDS if word not in ("quit", "resign", "back")])
def test_a_word_is_understood_in_any_case_and_changes_nothing_on_the_board(library: Library, word: str) -> None:
    table = Table(library, ROOK)
    table.play(word, word.upper(), f"  {word} ", "quit")
    assert "expected a legal move" not in table.text
    assert table.notebook.board == chess.Board(ROOK)


def test_why_explains_both_last_moves_and_says_when_there_is_nothing_to_explain(library: Library, best: Line) -> None:
    table = Table(library, ROOK, level="off")
    table.play("why", best, "why", "quit")
    assert "expected a move to explain, got none yet" in table.said
    after = table.said[table.said.index("expected a move to explain, got none yet") :]
    assert any("ate in" in line for line in after)


def test_flip_turns_the_board_round(library: Library) -> None:
    table = Table(library, ROOK)
    table.play("flip", "quit")
    assert "a b c d e f g h" in table.said[1]
    assert "h g f e d c b a" in table.said[2]
    assert table.said[2].strip().splitlines()[0].strip().startswith("1")


def test_a_pupil_with_black_sees_black_below(library: Library) -> None:
    table = Table(library, DEFENCE)
    table.play("quit")
    assert "h g f e d c b a" in table.said[1]


@pytest.mark.parametrize("level", ["off", "brief", "full"])
def test_the_level_decides_how_much_is_said(library: Library, level: str, best: Line) -> None:
    table = Table(library, ROOK, level)
    table.play(best, "quit")
    comments = [line for line in table.said if line.startswith("    ")]
    # Briefly one line a move, the pupil's and the answer.
    assert {"off": 0, "brief": 2}.get(level, len(comments)) == len(comments)
    assert (len(comments) > 2) == (level == "full")


@pytest.mark.parametrize(
    "text", ["", " ", "e4", "Kz9", "0000", "--", "\x1b[A", "Ka1", "a1a1", "é" * 500, "O-O", "1. Ka2"]
)
def test_any_other_line_is_answered_in_one_line_and_nothing_moves(library: Library, text: str) -> None:
    table = Table(library, ROOK)
    game = table.play(text, "quit")
    assert game.moves == ()
    assert len(table.said) <= 3
    assert "\n" not in table.said[-1] or not text.strip()


@pytest.mark.parametrize(
    ("fen", "text", "words"),
    [
        ("8/8/8/4k3/8/8/8/R3K3 w - - 0 1", "Ra9", "expected a legal move, written like"),
        ("8/8/8/4k3/8/8/8/R3K3 w - - 0 1", "nonsense", "expected a legal move, written like"),
        ("8/8/8/4k3/8/8/8/R3K3 w - - 0 1", "Ke3", "expected a move that can be played here, got 'Ke3'"),
        ("8/8/8/4k3/8/8/8/R3K3 w - - 0 1", "rb2", "expected a move that can be played here, got 'rb2'"),
        ("8/8/8/4k3/8/8/8/R3K3 w - - 0 1", "e1e3", "expected a move that can be played here, got 'e1e3'"),
        ("4r3/8/8/7k/8/8/8/R3K3 w - - 0 1", "Ra2", "expected a move that gets out of check, got 'Ra2'"),
    ],
)
def test_a_move_that_cannot_be_played_is_told_from_what_is_no_move(fen: str, text: str, words: str) -> None:
    with pytest.raises(Unclear) as caught:
        typed_move(chess.Board(fen), text)
    assert str(caught.value).startswith(words)


def test_a_move_may_be_typed_in_either_form_and_a_man_in_small_letters() -> None:
    board = chess.Board("4k3/8/8/8/8/8/1N3N2/4K3 w - - 0 1")
    for text in ("Nh3", "nh3", "Nh3+", "f2h3", "F2H3", "Nf2h3"):
        assert typed_move(board, text).uci() == "f2h3", text
    with pytest.raises(Unclear, match=r"expected one move, N[bf]d1 or N[bf]d1, got 'Nd1'"):
        typed_move(board, "Nd1")


def test_completions_are_legal_moves_and_words() -> None:
    board = chess.Board(ROOK)
    assert completions(board, ["back", "board"], "b") == ["back", "board", *sorted(
        move.uci() for move in board.legal_moves if move.uci().startswith("b")
    )]  # fmt: skip
    assert set(completions(board, [], "K")) == {board.san(m) for m in board.legal_moves if board.san(m)[0] == "K"}


def test_the_summary_shows_every_stage_beside_the_method_and_the_slips(library: Library, best: Line) -> None:
    game = Table(library, BOX).play(setback(library, BOX), "back", *[best] * 20)
    lines = summary(game)
    assert lines[0] == "You have won."
    assert lines[2].split() == ["stage", "moves", "by", "the", "method", "lost", "result"]
    assert game.passages
    for part in game.passages:
        assert any(line.startswith(f"{part.exercise.stage} ") for line in lines)
    assert "1 stage lost" in lines[-1] or "1 cage opened" in lines[-1]


def test_moves_not_judged_yet_are_judged_later_to_the_same_end(library: Library, best: Line, tmp_path: Path) -> None:
    whole = Table(library, BOX).play(setback(library, BOX), "back", *[best] * 20)
    bare = replace(
        whole,
        moves=tuple(
            MoveNote(n.number, n.fen, n.move, UNJUDGED, None, None, 0, None, n.seconds, n.taken_back, n.helped)
            for n in whole.moves
        ),
        passages=passages([replace(whole.moves[0], exercise=UNJUDGED)], whole.result),
    )
    assert bare.passages == ()
    record = Record(tmp_path / "record.sqlite", lambda text: None)
    save(record, bare)
    assert complete(record, lambda: Judge(library)) == 1
    assert complete(record, lambda: Judge(library)) == 0
    save(other := Record(tmp_path / "other.sqlite", lambda text: None), whole)
    assert list(everything(record)) == list(everything(other))
