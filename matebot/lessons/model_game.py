"""A game by the method to show: from a start of the first stage, White attacking, against the longest defence.

Of several starts the one is taken whose game shows most of what is to be taught.
"""

from __future__ import annotations

from dataclasses import replace

import chess

from matebot.games.positions import Wish, practice
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.holes import Holes
from matebot.ideas.idea import Idea
from matebot.ideas.knights_w import KnightsW
from matebot.ideas.order import ideas
from matebot.method.library import Library
from matebot.method.plan import Plan
from matebot.method.proved import proved_figures
from matebot.play.line import method_line
from matebot.play.truth import TableTruth
from matebot.records import dataclass
from matebot.solver.material import Material

_STARTS = 12


class ByLadder(Library):
    """A library in which a chosen ladder is the one followed in its ending."""

    def __init__(self, library: Library, plan: Plan) -> None:
        super().__init__(library.tables)
        self._ladders, self.standing_in = library._ladders, library.standing_in
        self.plan = plan
        self.material = Material.parse(plan.ending, largest=5)

    def plans(self, material: Material | None) -> tuple[Plan, ...]:
        """Return the plans of an ending, the chosen one first in its own."""
        found = super().plans(material)
        return found if material != self.material else (self.plan, *(plan for plan in found if plan != self.plan))

    def stage_of(self, board: chess.Board) -> int:
        """Return the number of the stage a position stands in, 1 the first; 0 where it is not won or in none."""
        stand, _ = self.tables.stand(board)
        rung = self.rung(stand) if stand.material == self.material else None
        return 0 if rung is None else rung.stage + 1


@dataclass(frozen=True)
class Ply:
    """A move of the game.

    Attributes
    ----------
    before, move, after : the positions around it
    stage : number of the stage it is played in, 0 the first; None after a promotion into another ladder
    ideas : what the move shows, what teaches most first
    """

    before: chess.Board
    move: chess.Move
    after: chess.Board
    stage: int | None
    ideas: tuple[Idea, ...]

    @property
    def san(self) -> str:
        """The move in SAN."""
        return self.before.san(self.move)


def model_games(library: ByLadder, seed: int, mirror: bool) -> list[list[Ply]]:
    """Return games from some starts, the most telling first and with all its ideas; the others without the tables'."""
    wish = Wish(library.material, stage=library.plan.stages[0].title, strong=chess.WHITE)
    games = _games(library, wish, seed)
    if all(_stages(game) < len(library.plan.stages) for game in games):  # where mates are short, from far away
        longest = proved_figures(library.plan).shortest_longest_moves
        games += _games(library, replace(wish, mate_in=(longest // 2, longest)), seed)
    best, *others = sorted(games, key=_worth, reverse=True)
    truth = TableTruth(library)
    told = [_told(ply, mirror, truth) for ply in best]
    return [told, *([_as_wanted(ply, mirror) for ply in game] for game in others)]


def _games(library: ByLadder, wish: Wish, seed: int) -> list[list[Ply]]:
    starts = practice(library, wish, _STARTS, seed)
    return [played(library, start.board, method_line(library, start.board, None)) for start in starts]


def _stages(game: list[Ply]) -> int:
    """Return how many stages a game passes through."""
    return len({ply.stage for ply in game if ply.stage is not None})


def _as_wanted(ply: Ply, mirror: bool) -> Ply:
    if not mirror:
        return ply
    return replace(
        ply, before=turned(ply.before, mirror), move=turned_move(ply.move, mirror), after=turned(ply.after, mirror)
    )


def _told(ply: Ply, mirror: bool, truth: TableTruth) -> Ply:
    """Return a move, mirrored where that is wanted, with all its ideas."""
    before, move, after = turned(ply.before, mirror), turned_move(ply.move, mirror), turned(ply.after, mirror)
    return Ply(before, move, after, ply.stage, ideas(before, move, after, chess.WHITE, truth))


def turned_move(move: chess.Move, mirror: bool) -> chess.Move:
    """Return a move, or its mirror image left to right."""
    if not mirror:
        return move
    return chess.Move(move.from_square ^ 7, move.to_square ^ 7, move.promotion)


def turned(board: chess.Board, mirror: bool) -> chess.Board:
    """Return a position, or its mirror image left to right."""
    return board.transform(chess.flip_horizontal) if mirror else board.copy(stack=False)


def played(library: ByLadder, start: chess.Board, moves: list[chess.Move]) -> list[Ply]:
    """Return moves from a start with what the board shows of each; what needs the tables' word is left out."""
    board, found = start.copy(stack=False), []
    for move in moves:
        rung = library.rung(library.tables.stand(board)[0])
        here = library.tables.stand(board)[0].material == library.material
        before = board.copy(stack=False)
        board.push(move)
        after = board.copy(stack=False)
        stage = rung.stage if rung is not None and here else None
        found.append(Ply(before, move, after, stage, ideas(before, move, after, chess.WHITE)))
    return found


def _worth(game: list[Ply]) -> tuple[int, int, int, int]:
    """Order games: stages passed through, no cage opened again, different things shown, length."""
    opened = sum(isinstance(idea, Cage) and idea.change is CageChange.OPENS for ply in game for idea in ply.ideas)
    shown = {_shown(idea) for ply in game for idea in ply.ideas if ply.before.turn == chess.WHITE}
    return _stages(game), -opened, len(shown), len(game)


def _shown(idea: Idea) -> tuple[str, object]:
    if isinstance(idea, KnightsW):
        return idea.kind, (idea.state, idea.step)
    if isinstance(idea, Cage):
        return idea.kind, idea.change
    return idea.kind, bool(idea.closed) if isinstance(idea, Holes) else None
