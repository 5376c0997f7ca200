"""Explanations as an interface shows them: on the opponent's last move, on the engine's own, and on what comes next.

Puts facts and wording together for a game in progress; the text itself is made in `matebot.wording`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Sequence
from dataclasses import field

import chess

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.laws.dead_position import is_dead
from matebot.laws.history import position_key
from matebot.method.library import Library
from matebot.method.standing import Standing
from matebot.play.judged import Judged
from matebot.records import dataclass
from matebot.solver.coverage import Refusal
from matebot.terms import Cause, moves_left
from matebot.wording import moves, outlook, stages
from matebot.wording.phrases import side

LEVELS = ("off", "brief", "full", "hints")
_EXPECTED_PLIES = 4
_MOST_LINES = 3
#: What was said of so many moves, of either side, is not said again: four moves of each.
_REMEMBERED_MOVES = 8
#: What so many moves cost is remembered: of more than a game that is followed has.
_COSTS_KEPT = 1_000
_COUNT, _NOT_YET = "count", "stages not yet"


#: A position and a move made in it; see `_place`.
_Place = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class _Cost:
    """What a move cost: the outcome there was if it changed, else moves, None where one number is only a bound."""

    given_away: int | None
    moves: int | None


@dataclass(slots=True)
class Commentator:
    """Explains one game; `forget` when a new one begins.

    Attributes
    ----------
    level : one of `LEVELS`
    attack : the style of attack in force, by which moves are judged
    """

    library: Library
    level: str = "off"
    attack: str = "shortest"
    _without: set[str] = field(default_factory=set)
    _costs: dict[_Place, _Cost] = field(default_factory=dict)
    _recent: deque[frozenset[str]] = field(default_factory=lambda: deque(maxlen=_REMEMBERED_MOVES))
    _stage: tuple[str, int] | None = None

    def forget(self) -> None:
        """Begin a new game."""
        self._without.clear()
        self._costs.clear()
        self._recent.clear()
        self._stage = None

    def before_own(self, board: chess.Board, before: Judged | None = None) -> list[str]:
        """Return what there is to say of the opponent's last move: a line, and with more than brief the count.

        Parameters
        ----------
        board : the position, with the moves that led to it
        before : the position before the last move where it has been judged
        """
        if self.level == "off" or not board.move_stack:
            return []
        previous = board.copy()
        move = previous.pop()
        maker = self.maker(previous) if before is None else FactMaker(before, self.attack)
        if maker is None:
            return []
        self._remember(_place(previous, move), maker, move)
        facts = maker.facts(move)
        said = self._told(maker, facts, stage=facts.by_attacker)
        if self.level != "brief" and len(said) < _MOST_LINES and not is_dead(self.library.tables.stand(board)[0]):
            left = moves_left(board.halfmove_clock, maker.attacker == board.turn)
            said += self._unless_said(_COUNT, [f"{side(facts.turn)}: {self._tally(board, left)}"])
        return said[:_MOST_LINES]

    def own(self, maker: FactMaker, line: Sequence[chess.Move]) -> list[str]:
        """Return what there is to say of the engine's own move.

        Parameters
        ----------
        maker : of the facts of the position before it, by the style in force
        line : the line that is shown, beginning with the move
        """
        if self.level == "off":
            return []
        facts = maker.facts(line[0])
        said = [*self._no_ladder(maker), *self._told(maker, facts, stage=True)]
        if self.level == "hints" and facts.worth.mate_plies_after is not None and not facts.gives.mate:
            after = maker.board.copy(stack=False)
            after.push(line[0])
            names = [after.san_and_push(reply) for reply in line[1 : 1 + _EXPECTED_PLIES]]
            said += [f"{side(facts.turn)}: {outlook.expected(names)}"] if names else []
        return said

    def _told(self, maker: FactMaker, facts: MoveFacts, stage: bool) -> list[str]:
        """Return a line on a move and, where wanted and more than brief is said, a stage that is new."""
        said = self.lines(maker, facts)
        if stage and self.level != "brief":
            before = self._stage
            begun = (
                self.begun(facts.places.standings_after) if facts.worth.outcome_after and not facts.gives.mate else None
            )
            if begun is not None:
                back = before is not None and before[0] == begun.ladder and before[1] > begun.stage
                said[1:] = stages.told(begun, facts.attacker or facts.turn, back)
        return said[:_MOST_LINES]

    def lines(self, maker: FactMaker, facts: MoveFacts) -> list[str]:
        """Return a line on a move and, where more than brief is said, a second with what had no room in it."""
        if self.level == "brief":
            return [self.line(maker, facts)]
        told = moves.lines(facts, maker.better(facts), self.level == "hints", frozenset[str]().union(*self._recent))
        self._recent.append(frozenset(moves.beyond_the_first(told)))
        return told

    def line(self, maker: FactMaker, facts: MoveFacts, known: Collection[str] = ()) -> str:
        """Return a line on a move, which begins with the side, without what was said in the last moves.

        Parameters
        ----------
        known : sentences that stand beside the line already
        """
        told_before = frozenset(known).union(*self._recent)
        told = moves.line(facts, maker.better(facts), self.level == "hints", told_before)
        self._recent.append(frozenset(moves.sentences_of(told)))
        return told

    def begun(self, standings: Sequence[Standing]) -> Standing | None:
        """Return the stage the game has come to where it is another than the last one, None otherwise.

        It is told once each time: what is reached, what is next, how you will know, the trap.
        """
        if not standings:
            return None
        stage = (standings[0].ladder, standings[0].stage)
        if stage == self._stage:
            return None
        self._stage = stage
        return standings[0]

    def _unless_said(self, kind: str, texts: list[str]) -> list[str]:
        """Return texts of a kind unless something of the kind was said in the last moves, and remember the kind."""
        if any(kind in said for said in self._recent):
            return []
        if self._recent:
            self._recent[-1] |= {kind}
        return texts

    def maker(self, board: chess.Board) -> FactMaker | None:
        """Return a maker of facts for a position, None where it is not covered or five men are yet to be solved."""
        try:
            judged = Judged.of(self.library, board)
        except Refusal:
            return None
        if self.library.tables.would_wait(board):
            return None
        return FactMaker(judged, self.attack) if judged.ranking else None

    def _no_ladder(self, maker: FactMaker) -> list[str]:
        material = maker.judged.referee.stand.material
        told = material is None or maker.verdict.cause == Cause.DEAD_POSITION or material.name in self._without
        if material is None or told or self.library.plans(material):
            return []
        if self.library.is_passed_over(material):
            return self._unless_said(_NOT_YET, [outlook.stages_not_yet(material.name)])
        self._without.add(material.name)
        return [outlook.without_ladder(material.name)]

    def _tally(self, board: chess.Board, left: int) -> str:
        """Return the running count for the side that has just moved: moves lost, and outcomes given away."""
        costs, past = list[_Cost](), board.copy()
        while past.move_stack:
            move = past.pop()
            if past.turn != board.turn:
                cost = self._cost(past, move)
                if cost is None:
                    break
                costs.append(cost)
        known = all(cost.moves is not None for cost in costs)
        given = [cost.given_away for cost in costs]
        return outlook.tally(sum(cost.moves or 0 for cost in costs), known, given.count(1), given.count(0), left)

    def _cost(self, board: chess.Board, move: chess.Move) -> _Cost | None:
        """Return what a move cost, None where the position is not covered."""
        place = _place(board, move)
        if place not in self._costs:
            maker = self.maker(board)
            if maker is None:
                return None
            self._remember(place, maker, move)
        return self._costs[place]

    def _remember(self, place: _Place, maker: FactMaker, move: chess.Move) -> None:
        if place not in self._costs:
            if len(self._costs) >= _COSTS_KEPT:
                del self._costs[next(iter(self._costs))]
            self._costs[place] = _Cost(maker.given_away(move), maker.moves_lost(move))


def _place(board: chess.Board, move: chess.Move) -> _Place:
    """Return what tells apart the places in a game at which a move was made."""
    return *position_key(board), board.halfmove_clock, board.fullmove_number, move
