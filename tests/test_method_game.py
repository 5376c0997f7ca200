"""A game of the method with bishop and knight through the commentary: what is reached is seen and said in its order."""

from __future__ import annotations

import chess
import pytest

from matebot.commentary import Commentator
from matebot.facts.making import FactMaker
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.idea import Idea
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.mates import Mates
from matebot.ideas.waiting_move import WaitingMove
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.line import line_of
from matebot.solver.tables import Tables

#: The king on its way to the wrong corner, against a defence that varies.
START, STYLE = "8/2k5/1N3B2/3K4/8/8/8/8 w - - 0 1", Style(attack="method", defence="changing", seed=6)


def told_of(idea: Idea) -> str | None:
    """Return what a pupil has to see in an idea, None for another one."""
    if isinstance(idea, KnightsW):
        if idea.state is WState.STEP:
            return f"step {idea.step}"
        return {WState.READY: "ready", WState.MAY_STOP: "may stop"}.get(idea.state)
    if isinstance(idea, Cage):
        return "cage" if idea.change is CageChange.SHUTS else None
    return "waits" if isinstance(idea, WaitingMove) else "mate" if isinstance(idea, Mates) else None


@pytest.fixture(scope="module")
def game(tables: Tables) -> list[tuple[str, list[str], list[str]]]:
    """Each move of the attacker: its name, what is to be seen in it, and the lines of the commentary on it."""
    library, board, found = Library(tables), chess.Board(START), []
    commentator = Commentator(library, "full", STYLE.attack)
    while any(board.generate_legal_moves()):
        judged = Judged.of(library, board.copy())
        chosen = choose(judged, STYLE)
        if board.turn == chess.WHITE:
            maker = FactMaker(judged, STYLE.attack)
            ideas = [kind for idea in maker.facts(chosen.move).seen.ideas if (kind := told_of(idea))]
            commentator.before_own(board)
            said = commentator.own(maker, line_of(judged, chosen, STYLE.attack))
            found.append((board.san(chosen.move), ideas, said))
        board.push(chosen.move)
    assert board.is_checkmate()
    return found


def test_the_w_its_steps_the_cage_the_waiting_move_and_the_mate_come_in_this_order(
    game: list[tuple[str, list[str], list[str]]],
) -> None:
    seen = iter([idea for _, ideas, _ in game for idea in ideas])
    for wanted in ("ready", "step 1", "step 2", "cage", "may stop", "waits", "mate"):
        assert wanted in seen, wanted  # each after the one before


@pytest.mark.parametrize(
    ("idea", "word"),
    [("ready", "W"), ("step 1", "W"), ("cage", "cage"), ("waits", "wait|zugzwang"), ("mate", "checkmate")],
)
def test_an_idea_is_said_of_the_move_in_which_it_first_matters(
    game: list[tuple[str, list[str], list[str]]], idea: str, word: str
) -> None:
    san, _, said = next(move for move in game if idea in move[1])
    assert said[0].startswith(f"White: {san} ")
    assert any(one in said[0] for one in word.split("|"))


def test_each_stage_is_told_once(game: list[tuple[str, list[str], list[str]]]) -> None:
    changes = [line for _, _, said in game for line in said if " Next: " in line]
    assert len(changes) == len(set(changes)) >= 2
