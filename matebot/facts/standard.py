"""What the moves of a position are held against: the best ones, by the style of attack in force."""

from __future__ import annotations

from functools import cached_property

import chess

from matebot.ideas.quick_board import quick
from matebot.laws.verdict import Verdict
from matebot.play.choice import Style, choose, on_ladder
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, as_good, comparable, is_weaker
from matebot.play.truth import TableTruth
from matebot.terms import CLAIM_PLIES, attacker_moves


def colour_name(colour: chess.Color | None) -> str | None:
    """Return "white" or "black"."""
    return None if colour is None else chess.COLOR_NAMES[colour]


def attacker_of(board: chess.Board, verdict: Verdict) -> chess.Color | None:
    """Return the side that wins by the men, else the side with the stronger men, None when they are equal."""
    if verdict.value.outcome:
        return board.turn if verdict.value.outcome > 0 else not board.turn
    for colour in (chess.WHITE, chess.BLACK):
        if is_weaker(board, colour):
            return not colour
    return None


class Standard:
    """The best moves of one position.

    Parameters
    ----------
    judged : the position
    attack : style of attack in force; with "method" a move of the method is never a mistake
    """

    def __init__(self, judged: Judged, attack: str = "shortest") -> None:
        self.judged, self.board, self.ranking = judged, quick(judged.board), judged.ranking
        self.verdict = judged.referee.here()
        self.attacker = attacker_of(self.board, self.verdict)
        self.by_method = attack == "method"

    @property
    def attacks(self) -> bool:
        """Whether the attacker is to move."""
        return self.attacker == self.board.turn

    @cached_property
    def best_known(self) -> bool:
        """Whether the number of the first move is exact, and so is that of the position: it is no worse than any."""
        return self.ranking[0].exact and self.verdict.exact

    @cached_property
    def ranked_exactly(self) -> bool:
        """Whether the numbers of all moves that keep the best outcome are exact."""
        return self.best_known and comparable(self.ranking)

    @cached_property
    def keepers(self) -> tuple[str, ...]:
        """The moves that keep the best outcome (SAN)."""
        top = self.ranking[0].outcome
        return tuple(sorted(self.judged.name(item.move) for item in self.ranking if item.outcome == top))

    @cached_property
    def equals(self) -> dict[str, chess.Move]:
        """The moves as good as the best, by their names in SAN, in the order of these."""
        best = [item.move for item in self.ranking if as_good(item, self.ranking[0])]
        return dict(sorted(((self.judged.name(move), move) for move in best), key=lambda pair: pair[0]))

    def lost(self, played: Ranked) -> int | None:
        """Return by how many moves a win got longer or a defence shorter, 0 where the outcome changed.

        None where either is only a bound: the difference of bounds says nothing.
        """
        best = self.ranking[0]
        if best.outcome != played.outcome or best.mate_plies is None or played.mate_plies is None:
            return 0
        if not (played.exact and self.best_known):
            return None
        return attacker_moves(abs(played.mate_plies - best.mate_plies), False)

    def method_moves(self, played: Ranked) -> int | None:
        """Return the moves to mate by the method, where that is the style in force and the move follows it."""
        if not self.by_method or played.outcome <= 0:
            return None
        rung = on_ladder(self.judged, played)
        return None if rung is None else attacker_moves(rung.plies + 1, True)

    def recommended(self, played: Ranked) -> Ranked | None:
        """Return the move recommended instead of a worse one: what would be played, as far as that is clearly better.

        By the method a longer mate may be played than the shortest; what loses no more than twice as much as that, or
        follows the method as well, is held against the shortest.
        """
        if played.outcome == self.ranking[0].outcome and not self.lost(played):
            return None
        taught = self._taught
        behind, lost = (abs((item.mate_plies or 0) - (self.ranking[0].mate_plies or 0)) for item in (taught, played))
        better = played.outcome < taught.outcome or 2 * behind < lost
        follows = self.method_moves(played) is not None
        return taught if better and not follows else self._shortest

    @cached_property
    def _taught(self) -> Ranked:
        """The move that is played in the style in force; the longest defence where the other side attacks."""
        return self._chosen("method" if self.by_method else "shortest")

    @cached_property
    def _shortest(self) -> Ranked:
        return self._chosen("shortest")

    def _chosen(self, attack: str) -> Ranked:
        if self.ranking[0].outcome < 0:
            return self.ranking[0]
        return choose(self.judged, Style(attack=attack))

    @cached_property
    def truth(self) -> TableTruth:
        """What is exact without the clock, and the move taught: by the method only while that is in time.

        Against a defence it is the quickest, by which it is told how long the defence lasts.
        """
        standings = self.judged.standings if self.attacks else ()
        in_time = bool(standings) and self.board.halfmove_clock + standings[0].rung.plies <= CLAIM_PLIES
        return TableTruth(self.judged.library, "method" if self.by_method and in_time else "shortest")
