"""What is taught of a ladder, made once: stages with their conditions, positions to know by heart, the commonest slips.

The page and the terminal tell the same object; everything in it is computed.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

import chess

from matebot.ideas.idea import names
from matebot.ideas.slip_kinds import SlipKind
from matebot.lessons.model_game import Ply
from matebot.lessons.picture import Picture
from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan
from matebot.records import dataclass
from matebot.wording import lesson as words
from matebot.wording.stages import sign_of


class ExampleKind(StrEnum):
    """Kinds of positions to know by heart."""

    W_READY = "W ready"
    W_REPLY = "W, a reply"
    CAGE = "cage shut"
    BOX = "box made smaller"
    WAITING = "waiting move"
    MATE = "mate"
    STALEMATE = "stalemate"
    KEY_SQUARES = "key squares"
    PAWN_PLAY = "pawn play"
    SQUARE = "square of the pawn"
    AGAINST_MAN = "against a man"
    NEAR_ENOUGH = "near enough"


@dataclass(frozen=True)
class StageTaught:
    """A stage as it is taught.

    Attributes
    ----------
    number : 1 the first
    most_moves : so many moves it lasts at most, as proved
    ticks : its conditions, and whether each holds in the picture
    picture : its work done or nearly done; None where no game shows it
    """

    number: int
    title: str
    aim: str
    trap: str
    most_moves: int
    ticks: tuple[tuple[Condition, bool], ...]
    picture: Picture | None


@dataclass(frozen=True)
class Example:
    """A position to know by heart, and the number of the stage it belongs to, 1 the first."""

    kind: ExampleKind
    stage: int
    picture: Picture


@dataclass(frozen=True)
class SlipTaught:
    """A slip: its kind, its stage (1 the first), the move, the position after it, and what is said of it.

    `said` is the cause first, then the refutation, what was right, and the way back, as far as there are any.
    """

    kind: SlipKind
    stage: int
    san: str
    picture: Picture
    said: tuple[str, ...]


@dataclass(frozen=True)
class Taught:
    """A ladder as it is taught: with the figures that were proved of it, and a game by the method."""

    plan: Plan
    figures: Figures
    stages: tuple[StageTaught, ...]
    examples: tuple[Example, ...]
    slips: tuple[SlipTaught, ...]
    game: tuple[Ply, ...]

    def examples_of(self, stage: int) -> list[Example]:
        """Return the positions to know by heart that belong to a stage."""
        return [example for example in self.examples if example.stage == stage]

    def as_data(self) -> dict[str, object]:
        """Return what is taught as plain data for JSON: positions in FEN, conditions, words."""
        return {
            "job": self.plan.job,
            "where": self.plan.why,
            "stages": [self._stage(stage) for stage in self.stages],
            "slips": [
                {"kind": slip.kind.value, "stage": slip.stage, "move": slip.san, "sentences": list(slip.said)}
                | _position(slip.picture)
                for slip in self.slips
            ],
        }

    def _stage(self, stage: StageTaught) -> dict[str, object]:
        return {
            "title": stage.title,
            "aim": stage.aim,
            "trap": stage.trap,
            "sign": sign_of(self.plan, stage.number) or None,
            "longest_moves": stage.most_moves,
            "conditions": [
                {"condition": words.CONDITIONS[condition], "holds": there} for condition, there in stage.ticks
            ],
            "position": None if stage.picture is None else _position(stage.picture),
            "examples": [
                {"kind": example.kind.value} | _position(example.picture) for example in self.examples_of(stage.number)
            ],
        }


def _position(picture: Picture) -> dict[str, object]:
    """Return a picture as data: the position, its words, and the squares and moves marked, where there are any."""
    marks = {
        "range": names(picture.reach),
        "holes": names(picture.holes),
        "squares": names(picture.stars),
        "moves": _moves(picture.arrows),
        "answers": _moves(picture.replies),
    }
    return {"fen": picture.board.fen(), "caption": picture.caption} | {
        name: found for name, found in marks.items() if found
    }


def _moves(arrows: Iterable[tuple[chess.Square, chess.Square]]) -> list[str]:
    return [chess.square_name(tail) + chess.square_name(head) for tail, head in arrows]
