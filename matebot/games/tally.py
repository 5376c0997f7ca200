"""Counts what the moves of reviewed games cost and their slips, by ending and stage, and writes them as a table."""

from __future__ import annotations

from collections import Counter
from dataclasses import field

import chess

from matebot.facts.move_facts import MoveFacts
from matebot.facts.slip_kind import kind_of
from matebot.games.showing import slip_lines, table
from matebot.games.summary import ATTACK, DEFENCE, Slips, most_moves, slips_data
from matebot.ideas.slip_kinds import SlipKind, hardness
from matebot.records import dataclass
from matebot.solver.material import COVERED, FIVE_MEN
from matebot.terms import Mistake, moves_begun
from matebot.wording import games as words
from matebot.wording.lesson import practise_command

#: Characters of a line of the table at most.
_TABLE_WIDTH = 100
_ORDER = {material.name: number for number, material in enumerate(COVERED + FIVE_MEN)}


@dataclass(frozen=True, slots=True)
class TallyPlace:
    """Where a position is counted.

    Attributes
    ----------
    ending : its signature, ``KK`` for the bare kings
    stage : number of the stage; 0 without a ladder, or when it is drawn
    title : of the stage; otherwise "won" or "drawn"
    """

    ending: str
    stage: int
    title: str
    won: bool


@dataclass(slots=True)
class Count:
    """What is counted in one stage of an ending.

    Attributes
    ----------
    moves, lost : moves made and moves lost by attack (True) and defence (False); without an attacker all are defence
    unsure : moves of which it is not known what they lost
    slips : slips of both sides by kind
    longest : longest stay in one game, in moves begun
    left : how stays ended
    given : how often attack (True) and defence (False) gave the outcome away
    """

    moves: Counter[bool] = field(default_factory=Counter)
    lost: Counter[bool] = field(default_factory=Counter)
    unsure: Counter[bool] = field(default_factory=Counter)
    slips: Counter[SlipKind] = field(default_factory=Counter)
    longest: int = 0
    left: Counter[str] = field(default_factory=Counter)
    given: Counter[bool] = field(default_factory=Counter)


class Tally:
    """Counts over all games of a file."""

    def __init__(self) -> None:
        self.counts: dict[TallyPlace, Count] = {}
        self.slips: Slips = Counter()
        self._now: TallyPlace | None = None
        self._plies = 0

    def move(self, position: TallyPlace, facts: MoveFacts) -> None:
        """Count a move from a position, and what it lost."""
        self.kept(position, facts.by_attacker, True)
        count, slip = self.counts[position], kind_of(facts)
        count.lost[facts.by_attacker] += facts.cost.moves_lost or 0
        count.unsure[facts.by_attacker] += facts.cost.moves_lost is None
        count.given[facts.by_attacker] += facts.cost.mistake is Mistake.OUTCOME
        if slip is not None:
            count.slips[slip] += 1
            self.slips[ATTACK if facts.by_attacker else DEFENCE, slip] += 1

    def kept(self, position: TallyPlace, by_attacker: bool, counted: bool) -> None:
        """Count a move that loses nothing; `counted` tells whether the side that made it is looked at."""
        self.stand(position)
        if counted:
            self.counts[position].moves[by_attacker] += 1
        self.stay()

    def stay(self) -> None:
        """Stay for a move in the position entered last; the move is not counted."""
        if self._now is not None:
            self._plies += 1
            count = self.counts[self._now]
            count.longest = max(count.longest, moves_begun(self._plies))

    def stand(self, position: TallyPlace) -> None:
        """Enter a position: a stay in another stage ends here."""
        if position != self._now:
            if self._now is not None:
                self._leave(_passage(self._now, position))
            self._now, self._plies = position, 0
            self.counts.setdefault(position, Count())

    def leave(self) -> None:
        """Come to a position that is not covered."""
        if self._now is not None:
            self._leave(words.NOT_COVERED)

    def end_game(self, board: chess.Board) -> None:
        """End the game in a position."""
        if self._now is not None:
            self._leave(_ending(board, self._now))

    def _leave(self, how: str) -> None:
        assert self._now is not None
        self.counts[self._now].left[how] += 1
        self._now, self._plies = None, 0

    def hardest(self) -> tuple[TallyPlace, bool] | None:
        """Return where most was given away or lost, and whether by the attack; None where nothing was."""
        found = [
            ((count.given[side], count.lost[side]), position, side)
            for position, count in self.counts.items()
            for side in (True, False)
        ]
        worst, position, side = max(found, key=lambda item: item[0], default=((0, 0), None, True))
        return (position, side) if position is not None and any(worst) else None

    def as_data(self) -> dict[str, object]:
        """Return the counts as plain data for JSON, stages in the order of the table."""
        stages = [
            {
                "ending": position.ending,
                "stage": position.stage or None,
                "title": position.title,
                "attack_moves": count.moves[True],
                "attack_moves_lost": count.lost[True],
                "defence_moves": count.moves[False],
                "defence_moves_lost": count.lost[False],
                "moves_not_measured": count.unsure.total(),
                "longest_stay_moves": count.longest,
                "slips": {
                    kind.value: number
                    for kind, number in sorted(count.slips.items(), key=lambda item: hardness(item[0]))
                },
                "by_the_method_at_most": most_moves(position.ending, position.stage),
                "left": dict(count.left),
            }
            for position, count in sorted(self.counts.items(), key=lambda item: _order(item[0]))
        ]
        return {"stages": stages, "slips": slips_data(self.slips)}

    def rows(self) -> list[tuple[str, ...]]:
        """Return the counts as rows of a table, one an ending and stage, without its heading."""
        return [_row(position, self.counts[position]) for position in sorted(self.counts, key=_order)]

    def table(self) -> list[str]:
        """Return the counts as lines of a table under a heading of two lines; none where there is nothing to count."""
        if not self.counts:
            return []
        heads = [tuple(head[line] for head in words.TABLE_HEAD) for line in (0, 1)]
        return table([*heads, *self.rows()], texts=(0, 1, len(words.TABLE_HEAD) - 1), most=_TABLE_WIDTH)

    def below(self) -> list[str]:
        """Return what stands below the table: the slips by kind, and what to practise."""
        hardest = self.hardest()
        if not self.counts:
            return []
        if hardest is None:
            return slip_lines(self.slips)
        (position, attacks), side = hardest, ATTACK if hardest[1] else DEFENCE
        command = practise_command(position.ending, position.stage or None, side)
        why = words.MOST_GIVEN if self.counts[position].given[attacks] else words.MOST_LOST
        return [*slip_lines(self.slips), *words.practise(command, position.title if position.stage else "", why)]


def _passage(before: TallyPlace, after: TallyPlace) -> str:
    """Return how one stage is left for another."""
    if before.won != after.won:
        return words.WIN_GONE if before.won else words.DRAW_GONE
    if before.ending != after.ending:
        return words.OTHER_ENDING
    return words.NEXT_STAGE if after.stage > before.stage else words.BACK


def _ending(board: chess.Board, last: TallyPlace) -> str:
    if board.is_checkmate():
        return words.MATE
    if board.is_stalemate():
        return words.STALEMATE
    return words.MOVES_END if last.won else words.DRAWN


def _order(position: TallyPlace) -> tuple[int, int, str]:
    return _ORDER.get(position.ending, -1), position.stage or 9, position.title


def _row(position: TallyPlace, count: Count) -> tuple[str, ...]:
    stage = f"{position.stage} {position.title}" if position.stage else position.title
    attack, defence = (
        (str(count.moves[side]), words.lost(count.lost[side], count.unsure[side])) for side in (True, False)
    )
    most = words.most(most_moves(position.ending, position.stage))
    left = words.left(count.left.most_common())
    return position.ending, stage, *attack, *defence, str(count.longest), most, left
