"""What is said at each level, read in a few games: in a session, in a demonstration and in finished games."""

from __future__ import annotations

import io
import re
from collections import deque
from itertools import takewhile
from random import Random

import chess
import chess.pgn
import pytest

from matebot.commentary import LEVELS, Commentator
from matebot.games.annotate import annotated
from matebot.games.demonstrate import DemonstratedMove, demonstration
from matebot.games.review import REVIEW_LEVELS, Reviewer
from matebot.games.showing import Showing
from matebot.games.tally import Tally
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.wording.moves import beyond_the_first
from matebot.wording.phrases import LINE
from tests.games.game_maker import practice_game

STARTS = ("8/8/8/3k4/8/4R3/8/K7 w - - 0 1", "8/1k1N4/7B/4K3/8/8/8/8 w - - 0 1", "8/8/3k4/8/4P3/4K3/8/8 w - - 0 1")
LONGER = "8/8/8/8/3k4/8/3B4/K5N1 w - - 0 1"
_SIDES = ("White:", "Black:")
_OF_STAGES = ("Next:", "You are there", "Beware:", "Again:")
#: Moves of either side within which nothing is said twice.
_MOVES = 8


def stage(library: Library, board: chess.Board) -> tuple[str, int] | None:
    return next(((standing.ladder, standing.stage) for standing in library.standings(board)), None)


def session(library: Library, level: str, start: str) -> list[tuple[list[str], list[str], bool]]:
    """Return what is said of the pupil's move and of the answer, and whether the stage changed; the pupil errs."""
    random, commentator = Random(f"levels {start}"), Commentator(library, level)
    board, found = chess.Board(start), list[tuple[list[str], list[str], bool]]()
    while len(found) < 12 and not board.is_game_over():
        maker = commentator.maker(board)
        assert maker is not None
        good = choose(maker.judged, Style()).move
        keeping = [item.move for item in maker.ranking if item.outcome == 1 and item.mate_plies is not None]
        stages = [stage(library, board)]
        board.push(random.choice(keeping) if random.random() < 0.3 else good)
        stages.append(stage(library, board))
        of_pupil = commentator.before_own(board)
        maker = commentator.maker(board)
        if maker is None:
            break
        reply = maker.ranking[0].move
        own = commentator.own(maker, [reply])
        board.push(reply)
        stages.append(stage(library, board))
        found.append((of_pupil, own, not found or len(set(stages)) > 1))
    return found


@pytest.mark.parametrize("start", STARTS)
@pytest.mark.parametrize("level", LEVELS)
def test_a_session_says_no_more_than_its_level_allows(library: Library, level: str, start: str) -> None:
    said = deque[str](maxlen=_MOVES)
    for of_pupil, own, changed in session(library, level, start):
        for lines in (of_pupil, own):
            assert len(lines) <= {"off": 0, "brief": 1, "full": 3, "hints": 4}[level]
            assert all(text.startswith(_SIDES) and len(text) <= LINE for text in lines), lines
            assert changed or not any(mark in text for text in lines for mark in _OF_STAGES), lines
            assert level == "hints" or not any("Expect" in text for text in lines)
        for remark in (
            [_of_the_move(of_pupil, changed), _of_the_move(own, changed)] if level in ("brief", "full") else []
        ):
            parts = beyond_the_first(remark)
            assert not [part for part in parts if any(part in other for other in said)], remark
            assert len(parts) == len(set(parts)), remark
            said.append(" ".join(remark))


def _of_the_move(lines: list[str], changed: bool) -> list[str]:
    """Return what is said of the move itself: a line where a stage is told, else all before a count."""
    ends = ("So far", "There is no ladder")
    return lines[:1] if changed else list(takewhile(lambda text: not text.partition(": ")[2].startswith(ends), lines))


@pytest.mark.parametrize("level", LEVELS)
def test_a_demonstration_says_no_more_than_its_level_allows(library: Library, level: str) -> None:
    played = list(demonstration(library, chess.Board(STARTS[0]), Style(attack="method"), level))
    for step in played:
        assert len(step.said) + len(_SIDES[0]) < LINE
        assert bool(step.said) == _is_told(step, level), step.said
    assert any(step.change for step in played) == (level != "off")


def _is_told(step: DemonstratedMove, level: str) -> bool:
    if level == "brief":
        return step.facts.by_attacker or bool(step.facts.cost.moves_lost)
    return level != "off"


@pytest.mark.parametrize(
    ("fen", "attack"),
    [
        ("8/6Q1/8/4k3/6K1/8/8/3r4 b - - 0 1", "shortest"),
        ("8/6K1/8/7R/4k3/8/5q2/8 w - - 4 3", "shortest"),
        ("6r1/5k2/8/8/8/8/7K/8 w - - 0 2", "shortest"),
        ("8/8/8/4p3/8/5Q2/1K6/6k1 b - - 2 2", "method"),
        ("8/8/2p5/2Q5/8/8/4K3/1k6 b - - 7 4", "shortest"),
    ],
)
def test_a_demonstration_plays_a_reply_that_it_has_told_where_that_mates_as_soon(
    library: Library, fen: str, attack: str
) -> None:
    named, waited = list[bool](), ""
    played = list(demonstration(library, chess.Board(fen), Style(attack=attack), "off"))
    for step in played:
        board, san = step.board, step.board.san(step.move)
        names = {board.san(move) for move in board.legal_moves} & set(re.findall(r"[\w+#=-]+", waited))
        if san not in names:
            assert mate_plies(library, board, san) not in {mate_plies(library, board, name) for name in names}, waited
        named.append(san in names)
        waited = "" if step.facts.by_attacker else step.sentences[0]
    assert named[1]
    told = demonstration(library, chess.Board(fen), Style(attack=attack), "full")
    assert [step.move for step in told] == [step.move for step in played]


def mate_plies(library: Library, board: chess.Board, name: str) -> int | None:
    """Return how soon a move mates, None where it does not win."""
    after = board.copy(stack=False)
    after.push_san(name)
    value = library.tables.value(after)
    return value.dtm_plies if value.outcome < 0 else None


def test_a_demonstration_shows_a_board_where_a_stage_begins(library: Library) -> None:
    showing, begun = Showing(), 0
    for step in demonstration(library, chess.Board(LONGER), Style(attack="method"), "brief"):
        lines = list(showing.move(step))
        if step.change:
            begun += 1
            assert any(line.strip().startswith("a b c d e f g h") for line in lines), lines
    assert begun > 1


def finished(library: Library, level: str) -> list[chess.pgn.Game]:
    """Return a few games looked over at a level."""
    text = "".join(f"{practice_game(library, number)}\n\n" for number in range(6))
    reviewer = Reviewer(library, frozenset(chess.COLORS), Tally(), level)
    new = io.StringIO("".join(game.text for game in annotated(io.BytesIO(text.encode()), reviewer)))
    return [game for _ in range(6) if (game := chess.pgn.read_game(new)) is not None]


@pytest.mark.parametrize("level", REVIEW_LEVELS)
def test_looked_over_a_move_gets_one_line_and_a_stage_its_three_parts_from_full_on(
    library: Library, level: str
) -> None:
    lines = stages = slips = 0
    for game in finished(library, level):
        for node in game.mainline():
            comment = " ".join(node.comment.split())
            of_stage = any(mark in comment for mark in _OF_STAGES)
            lines, stages, slips = lines + bool(comment), stages + of_stage, slips + bool(node.nags)
            assert not node.nags or comment.startswith(node.san())
            assert of_stage or len(comment) + len(_SIDES[0]) < LINE, comment
    assert slips > 5
    assert lines > slips
    assert bool(stages) == (level != "brief")
