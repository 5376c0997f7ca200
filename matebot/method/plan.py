"""A ladder as it is written down: everything about it stands in one file of `plans`. Knows no squares and no sets."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.records import dataclass

if TYPE_CHECKING:  # a list of what is due is there at once: it needs the names of the stages, not the solver
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

#: All ranks of a pawn, as in `solver.codes`, which takes numpy along.
_PAWN_RANKS = 6


@dataclass(frozen=True, slots=True)
class Figures:
    """What a proof found, in attacker's moves, over all won positions with the attacker to move.

    Attributes
    ----------
    stage_longest_moves : for each stage, the most moves the method stays in it
    longest_moves, mean_moves : to mate by the method against the longest defence
    shortest_longest_moves, shortest_mean_moves : to mate by the shortest way
    positions : placements of the whole board that were covered
    """

    stage_longest_moves: tuple[int, ...]
    longest_moves: int
    mean_moves: float
    shortest_longest_moves: int
    shortest_mean_moves: float
    positions: int


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage as it is taught.

    Attributes
    ----------
    title : its name, for example "drive the king to the edge"
    aim : what the attacker wants in it, one sentence
    trap : what goes wrong most often in it, one sentence
    zone : the placements within which it is played
    conditions : what a pupil can tick off that together is the zone, nothing more and nothing less; none: the board
    marks : what else tells that the work of the stage is done or nearly done
    after_move : whether only the attacker's moves must keep within the zone: the defender's may lead out of it
    by_king : whether its title is about steps of the attacker's king
    """

    title: str
    aim: str
    trap: str
    zone: Callable[[Zones], Words]
    conditions: tuple[Condition, ...] = ()
    marks: tuple[Condition, ...] = ()
    after_move: bool = False
    by_king: bool = False


@dataclass(frozen=True, slots=True)
class Textbook:
    """A position that every textbook shows (common practice, no source).

    Attributes
    ----------
    text, fen : what it is, and the position; what it is worth comes from the tables
    stage : to which stage it belongs, 1 the first; 0 where its place on the ladder tells, the second if it has none
    """

    text: str
    fen: str
    stage: int = 0


@dataclass(frozen=True, slots=True)
class Plan:
    """A ladder: stages in the order of play; a capture or promotion that wins ends any.

    Attributes
    ----------
    ranks : where given, it is for pawns on the last so many ranks before promotion; then it is only about the positions
        of its zones, from which what it teaches wins, and about none of the others that are won
    heading, job, why : what the pupil learns, how it is done in one sentence, and why it is done there
    place : its place in lists, and in the course, of which it is a part with `in_course`; the lowest first. The engine
        follows the first ladder of an ending
    figures : as they were proved, so that nobody waits for a proof to read them; the tests prove them again. None
        while it is being written: `matebot method ENDING --prove --brief` tells them
    pictures : what every textbook shows
    near_enough : what it is and the position, White to move, in which all squares are marked from which its king wins
    well_known : positions, White to move, that may show more of a stage than a game does
    """

    name: str
    ending: str
    stages: tuple[Stage, ...]
    ranks: int | None = None
    heading: str = ""
    job: str = ""
    why: str = ""
    place: int = 1_000
    in_course: bool = False
    figures: Figures | None = None
    pictures: tuple[Textbook, ...] = ()
    near_enough: tuple[tuple[str, str], ...] = ()
    well_known: tuple[str, ...] = ()

    @property
    def pawn_ranks(self) -> int:
        """The ranks on which its pawns may stand."""
        return self.ranks or _PAWN_RANKS
