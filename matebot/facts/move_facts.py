"""All facts about one move, each of which can be checked on the board; no words and no opinion.

`MoveFacts.as_data` is the documented form for other programs: squares as names, moves in long algebraic form and as
SAN, distances in plies or moves as the names say. A new fact is a file with a record made by its `of`, and the line
that names it here.
"""

from __future__ import annotations

from dataclasses import MISSING, dataclass, field, fields, is_dataclass, replace
from typing import Any, Self, get_type_hints

import chess

from matebot.facts.alternatives import Alternatives
from matebot.facts.barred_squares import BarredSquares
from matebot.facts.best_instead import BestInstead
from matebot.facts.bishops import Bishops
from matebot.facts.box_left import BoxLeft
from matebot.facts.cost import Cost
from matebot.facts.counts import Counts
from matebot.facts.gives import Gives
from matebot.facts.kings import Kings
from matebot.facts.kings_attack import KingsAttack
from matebot.facts.kings_room import KingsRoom
from matebot.facts.knights_route import KnightsRoute
from matebot.facts.line_between import LineBetween
from matebot.facts.lone_queen import LoneQueen
from matebot.facts.looked_ahead import LookedAhead
from matebot.facts.loose_men import LooseMen
from matebot.facts.man_moved import ManMoved
from matebot.facts.men_left import MenLeft
from matebot.facts.other_stalemates import OtherStalemates
from matebot.facts.passing import Passing
from matebot.facts.pawn_keys import PawnKeys
from matebot.facts.pawn_race import PawnRace
from matebot.facts.places import Places
from matebot.facts.played import Played
from matebot.facts.reply_comparison import ReplyComparison
from matebot.facts.reply_count import ReplyCount
from matebot.facts.rescue import Rescue
from matebot.facts.right_corner import RightCorner
from matebot.facts.seeing import Seen
from matebot.facts.standard import colour_name
from matebot.facts.wall import Wall
from matebot.facts.way_shut import WayShut
from matebot.facts.worth import MoveWorth
from matebot.terms import Outcome, moves_left


@dataclass(frozen=True, slots=True)
class MoveFacts:
    """What a legal move does.

    Attributes
    ----------
    fen, move, san : the position before, the move in long algebraic form and in SAN
    turn : "white" or "black", the side that moved
    attacker : the side that wins, or has the stronger men; None when the men are equal and it is drawn
    seen : the ideas of the move and the conditions of its stage
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
    rescue: Rescue
    kings: Kings
    replies: ReplyCount
    passing: Passing
    stalemates: OtherStalemates
    loose_men: LooseMen
    kings_attack: KingsAttack
    bars: BarredSquares
    way: WayShut
    bishops: Bishops
    queen: LoneQueen
    wall: Wall
    race: PawnRace
    route: KnightsRoute
    corner: RightCorner
    box: BoxLeft
    line: LineBetween
    keys: PawnKeys
    counts: Counts
    instead: BestInstead
    # What has a default is made only when it is asked to look ahead.
    then: LookedAhead = field(default_factory=LookedAhead)
    compared: ReplyComparison = field(default_factory=ReplyComparison)
    seen: Seen = field(default_factory=Seen, compare=False)

    @classmethod
    def of(cls, played: Played) -> Self:
        """Return the facts of a move."""
        made = {name: record.of(played) for name, record in _AT_ONCE.items()}
        return cls(
            played.before.fen(),
            played.move.uci(),
            played.judged.name(played.move),
            chess.COLOR_NAMES[played.before.turn],
            colour_name(played.attacker),
            seen=played.seen,
            **made,
        )

    def looked_ahead(self, played: Played) -> Self:
        """Return the facts with what a best reply and the best move after it show."""
        made = {name: record.of(played) for name, record in _AHEAD.items()}
        return replace(self, seen=replace(self.seen, blame=played.blame, back=played.back), **made)

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
            elif item.name != "seen":
                data[item.name] = value
        return data | {"exact": self.worth.exact}


_RECORDS: dict[str, Any] = {name: kind for name, kind in get_type_hints(MoveFacts).items() if hasattr(kind, "of")}
_DEFAULT = {item.name for item in fields(MoveFacts) if item.default_factory is not MISSING}
_AHEAD = {name: record for name, record in _RECORDS.items() if name in _DEFAULT}
_AT_ONCE = {name: record for name, record in _RECORDS.items() if name not in _AHEAD}


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Outcome):
        return value.word
    if is_dataclass(value) and not isinstance(value, type):
        return {item.name: _plain(getattr(value, item.name)) for item in fields(value) if item.name != "rung"}
    return value
