"""Explanations as an interface shows them: on the opponent's last move, on the engine's own, and on what comes next.

Puts facts and wording together for a game in progress; the text itself is made in `matebot.wording`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import chess

from matebot.laws import Referee
from matebot.method.facts import MoveFacts, Standing, moves_left_in_count
from matebot.method.library import Library
from matebot.method.making import FactMaker
from matebot.play.line import shortest_line
from matebot.play.ranking import rank_with
from matebot.solver.coverage import Refusal
from matebot.wording import outlook
from matebot.wording.moves import is_slip, told

LEVELS = ("off", "brief", "full")
_EXPECTED_PLIES = 4


@dataclass(slots=True)
class Commentator:
    """Explains one game; `forget` when a new one begins.

    Attributes
    ----------
    level : one of `LEVELS`
    """

    library: Library
    level: str = "off"
    _without: set[str] = field(default_factory=set)
    _costs: dict[tuple[str, str], int | None] = field(default_factory=dict)

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
        if is_slip(facts):
            said.append(f"opponent: {_joined(told(facts, maker.better(facts)))}")
        elif self.level == "full":
            said.append(f"opponent: {outlook.good_word([facts.san])}")
        if self.level == "full":
            costs = list(self._moves_lost(board, not board.turn))
            left = moves_left_in_count(board.halfmove_clock)
            said.append(f"opponent: {outlook.tally(sum(cost or 0 for cost in costs), left, None in costs)}")
        return said

    def own(self, maker: FactMaker, move: chess.Move) -> list[str]:
        """Return what there is to say of the engine's own move."""
        if self.level == "off":
            return []
        facts = maker.facts(move, ahead=True)
        said = self._no_ladder(maker)
        said.append(f"engine: {_joined(told(facts, maker.better(facts)))}")
        if self.level == "full":
            said += [f"engine: {text}" for text in self._outlook(maker, move, facts)]
        return said

    def maker(self, board: chess.Board) -> FactMaker | None:
        """Return a maker of facts for a position, None where it is not covered."""
        try:
            self.library.tables.check(board)
        except Refusal:
            return None
        referee = Referee(board, self.library.tables)
        ranking = rank_with(referee)
        return FactMaker(self.library, referee, ranking) if ranking else None

    def _no_ladder(self, maker: FactMaker) -> list[str]:
        material = self.library.tables.stand(maker.board)[0].material
        if material is None or self.library.plans(material) or material.name in self._without:
            return []
        self._without.add(material.name)
        return [f"engine: {outlook.without_ladder(material.name)}"]

    def _outlook(self, maker: FactMaker, move: chess.Move, facts: MoveFacts) -> list[str]:
        standing = _first(facts.standings_after)
        if standing is None or facts.mate_plies_after is None or facts.mate:
            return []
        after = maker.board.copy(stack=False)
        after.push(move)
        line = shortest_line(self.library.tables, *self.library.tables.stand(after))[:_EXPECTED_PLIES]
        names = []
        for reply in line:
            names.append(after.san(reply))
            after.push(reply)
        return [
            _joined(
                [
                    outlook.aim(standing),
                    outlook.by_method(standing, facts.mate_plies_after, not facts.by_attacker),
                ]
            ),
            _joined([outlook.expected(names), outlook.trap(standing)]),
        ]

    def _moves_lost(self, board: chess.Board, side: chess.Color) -> Iterator[int | None]:
        """Yield what each move of a side has lost in the game so far, the outcome apart; None where it is not known."""
        past = board.copy()
        while past.move_stack:
            move = past.pop()
            if past.turn != side:
                continue
            key = (past.fen(), move.uci())
            if key not in self._costs:
                maker = self.maker(past)
                if maker is None:
                    return
                self._costs[key] = maker.moves_lost(move)
            yield self._costs[key]


def _first(standings: tuple[Standing, ...]) -> Standing | None:
    return standings[0] if standings else None


def _joined(sentences: list[str]) -> str:
    return " ".join(sentences)
