"""All facts about one move, each of which can be checked on the board; no words and no opinion.

`MoveFacts.as_data` is the documented form for other programs: squares as names, moves in long algebraic form and as
SAN, distances in plies or moves as the names say. A new fact is a file with a record made by its `of`, and two
lines here, which import and name it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field, fields, is_dataclass
from typing import TYPE_CHECKING, Any, Self, get_type_hints

import chess

from matebot.facts.alternatives import Alternatives
from matebot.facts.alternatives_named import AlternativesNamed
from matebot.facts.barred_squares import BarredSquares
from matebot.facts.best_instead import BestInstead
from matebot.facts.bishops import Bishops
from matebot.facts.box_left import BoxLeft
from matebot.facts.cost import Cost
from matebot.facts.counts import Counts
from matebot.facts.gives import Gives
from matebot.facts.kings import Kings
from matebot.facts.kings_room import KingsRoom
from matebot.facts.lone_queen import LoneQueen
from matebot.facts.looked_ahead import LookedAhead
from matebot.facts.loose_men import LooseMen
from matebot.facts.man_moved import ManMoved
from matebot.facts.men_left import MenLeft
from matebot.facts.other_stalemates import OtherStalemates
from matebot.facts.passing import Passing
from matebot.facts.pawn_keys import PawnKeys
from matebot.facts.pawn_race import PawnRace
from matebot.facts.pawn_ways import PawnWays
from matebot.facts.places import Places
from matebot.facts.played import Played
from matebot.facts.reply_comparison import ReplyComparison
from matebot.facts.reply_count import ReplyCount
from matebot.facts.reproach import Reproach
from matebot.facts.right_corner import RightCorner
from matebot.facts.standard import colour_name
from matebot.facts.time_given import TimeGiven
from matebot.facts.way_shut import WayShut
from matebot.facts.worth import MoveWorth
from matebot.ideas.seeing import Seen
from matebot.method.standing import Standing
from matebot.records import dataclass
from matebot.terms import Outcome, moves_left


@dataclass(frozen=True)
class MoveFacts:
    """What a legal move does; each record is made when it is first asked for, since a sentence needs a few of them.

    Attributes
    ----------
    fen, move, san : the position before, the move in long algebraic form and in SAN
    turn : "white" or "black", the side that moved
    attacker : the side that wins, or has the stronger men; None when the men are equal and it is drawn
    seen : the ideas of the move and the conditions of its stage
    held_against : the facts of the moves that `reproach` calls clearly better
    no_better : the facts of other moves of the same man that come to no more, and leave no man loose
    as_quick : the facts of the other moves after which a win takes exactly as long
    answer : the facts of the move after the best reply, None where none is told
    """

    fen: str
    move: str
    san: str
    turn: str
    attacker: str | None
    worth: MoveWorth
    cost: Cost
    places: Places
    gives: Gives
    man: ManMoved
    men: MenLeft
    room: KingsRoom
    beside: Alternatives
    beside_named: AlternativesNamed
    reproach: Reproach
    kings: Kings
    replies: ReplyCount
    passing: Passing
    stalemates: OtherStalemates
    loose_men: LooseMen
    bars: BarredSquares
    way: WayShut
    bishops: Bishops
    queen: LoneQueen
    race: PawnRace
    ways: PawnWays
    corner: RightCorner
    box: BoxLeft
    keys: PawnKeys
    counts: Counts
    instead: BestInstead
    then: LookedAhead
    compared: ReplyComparison
    given: TimeGiven
    seen: Seen = field(compare=False)
    held_against: tuple[MoveFacts, ...] = field(default_factory=tuple, compare=False, repr=False)
    no_better: tuple[MoveFacts, ...] = field(default_factory=tuple, compare=False, repr=False)
    as_quick: tuple[MoveFacts, ...] = field(default_factory=tuple, compare=False, repr=False)
    answer: MoveFacts | None = field(default_factory=lambda: None, compare=False, repr=False)

    @classmethod
    def of(cls, played: Played) -> Self:
        """Return the facts of a move."""
        facts = cls.__new__(cls)
        vars(facts).update(
            _played=played,
            move=played.move.uci(),
            san=played.judged.name(played.move),
            turn=chess.COLOR_NAMES[played.before.turn],
            attacker=colour_name(played.attacker),
        )
        return facts

    if not TYPE_CHECKING:  # for whoever reads the types, all there is stands above

        def __getattr__(self, name: str) -> object:
            """Make what has not been asked for yet."""
            played = vars(self).get("_played")
            if played is None or name not in _WHEN_ASKED:
                raise AttributeError(f"expected a fact, got {name!r}")
            made = vars(self)[name] = _WHEN_ASKED[name](played)
            return made

    @property
    def by_attacker(self) -> bool:
        """Whether the attacker made the move."""
        return self.attacker == self.turn

    @property
    def moves_left(self) -> int:
        """Moves of the attacker left under the fifty-move rule, counted from before a move that goes on with it."""
        return moves_left(max(0, self.counts.clock_plies - 1), self.by_attacker)

    def as_data(self) -> dict[str, object]:
        """Return the facts as plain data for JSON, all in one level."""
        data: dict[str, object] = {}
        for item in fields(self):
            value = getattr(self, item.name)
            if item.name in _RECORDS:
                data |= _plain(value)
            elif item.name not in _BESIDE:
                data[item.name] = value
        return data | {"exact": self.worth.exact}


_RECORDS: dict[str, Any] = {name: kind for name, kind in get_type_hints(MoveFacts).items() if hasattr(kind, "of")}
#: What is no plain data.
_BESIDE = ("seen", "held_against", "no_better", "as_quick", "answer")
_WHEN_ASKED: dict[str, Callable[[Played], object]] = {
    "seen": lambda played: played.seen,
    "fen": lambda played: played.before.fen(),
    "held_against": lambda played: tuple(MoveFacts.of(played.beside(move)) for move in played.clearly_better),
    "answer": lambda played: None if (answer := played.answer) is None else MoveFacts.of(answer),
    "as_quick": lambda played: tuple(MoveFacts.of(played.beside(move)) for move in played.as_quick),
    "no_better": lambda played: tuple(MoveFacts.of(played.beside(move)) for move in played.no_better),
    **{name: record.of for name, record in _RECORDS.items()},
}


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Outcome):
        return value.word
    if isinstance(value, Standing):
        return value.as_data()
    if is_dataclass(value) and not isinstance(value, type):
        return {item.name: _plain(getattr(value, item.name)) for item in fields(value)}
    return value
