"""Explanations as an interface shows them: on the opponent's last move, on the engine's own, and on what comes next.

Puts facts and wording together for a game in progress; the text itself is made in `matebot.wording`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import chess

from matebot.laws import Referee
from matebot.method.facts import MoveFacts
from matebot.method.library import Library
from matebot.method.making import FactMaker
from matebot.play.ranking import rank_with
from matebot.solver.coverage import Refusal
from matebot.terms import Cause, Mistake, moves_left
from matebot.wording import outlook
from matebot.wording.moves import told

LEVELS = ("off", "brief", "full")
_EXPECTED_PLIES = 4


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
    _costs: dict[tuple[str, str], _Cost] = field(default_factory=dict)

    def forget(self) -> None:
        """Begin a new game."""
        self._without.clear()
        self._costs.clear()

    def before_own(self, board: chess.Board) -> list[str]:
        """Return what there is to say of the opponent's last move."""
        if self.level == "off" or not board.move_stack:
            return []
        previous = board.copy()
        move = previous.pop()
        maker = self.maker(previous)
        if maker is None:
            return []
        facts = maker.facts(move, ahead=True)
        said = []
        if facts.mistake is not Mistake.NONE:
            said.append(f"opponent: {_joined(told(facts, maker.better(facts)))}")
        elif self.level == "full":
            said.append(f"opponent: {outlook.good_word([facts.san])}")
        if self.level == "full":
            left = moves_left(board.halfmove_clock, maker.attacker == board.turn)
            said.append(f"opponent: {self._tally(board, left)}")
        return said

    def own(self, maker: FactMaker, line: Sequence[chess.Move]) -> list[str]:
        """Return what there is to say of the engine's own move.

        Parameters
        ----------
        maker : of the facts of the position before it, by the style in force
        line : the line that is shown, beginning with the move
        """
        if self.level == "off":
            return []
        facts = maker.facts(line[0], ahead=True)
        said = self._no_ladder(maker)
        said.append(f"engine: {_joined(told(facts, maker.better(facts)))}")
        if self.level == "full":
            said += [f"engine: {text}" for text in _outlook(maker.board, line, facts)]
        return said

    def maker(self, board: chess.Board) -> FactMaker | None:
        """Return a maker of facts for a position, None where it is not covered."""
        try:
            self.library.tables.check(board)
        except Refusal:
            return None
        referee = Referee(board, self.library.tables)
        ranking = rank_with(referee)
        return FactMaker(self.library, referee, ranking, self.attack) if ranking else None

    def _no_ladder(self, maker: FactMaker) -> list[str]:
        material = self.library.tables.stand(maker.board)[0].material
        told = material is None or maker.verdict.cause == Cause.DEAD_POSITION or material.name in self._without
        if material is None or told or self.library.plans(material):
            return []
        self._without.add(material.name)
        return [f"engine: {outlook.without_ladder(material.name)}"]

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
        key = (board.fen(), move.uci())
        if key not in self._costs:
            maker = self.maker(board)
            if maker is None:
                return None
            self._costs[key] = _Cost(maker.given_away(move), maker.moves_lost(move))
        return self._costs[key]


def _outlook(board: chess.Board, line: Sequence[chess.Move], facts: MoveFacts) -> list[str]:
    """Return the aim and trap of the stage, and the moves to expect: those of the line that is shown."""
    if not facts.standings_after or facts.mate_plies_after is None or facts.mate:
        return []
    standing, after = facts.standings_after[0], board.copy(stack=False)
    after.push(line[0])
    names = [after.san_and_push(reply) for reply in line[1 : 1 + _EXPECTED_PLIES]]
    expected = [outlook.expected(names)] if names else []
    return [
        _joined([text for text in (outlook.aim(standing), outlook.by_method(facts)) if text]),
        _joined([*expected, outlook.trap(standing)]),
    ]


def _joined(sentences: list[str]) -> str:
    return " ".join(sentences)
