"""The commonest slips of an ending with their refutations: drawn by lot from every stage, counted by kind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import zip_longest
from random import Random

import chess

from matebot.facts.making import FactMaker
from matebot.facts.slip_kind import kind_of
from matebot.games.positions import Wish, practice
from matebot.ideas.slip_kinds import SlipKind
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned, turned_move
from matebot.lessons.taught import SlipTaught
from matebot.play.judged import Judged
from matebot.records import dataclass
from matebot.wording.lesson import slip_caption
from matebot.wording.slips import slipped, telling

_POSITIONS_A_STAGE, _MOVES_A_POSITION = 12, 4
_SHOWN = 5


@dataclass(frozen=True)
class _Example:
    """A slip; `told` says how well its words name what makes it one of its kind."""

    kind: SlipKind
    stage: int
    told: int
    lost: int
    board: chess.Board
    move: chess.Move


def slips_taught(library: ByLadder, seed: int, mirror: bool) -> tuple[SlipTaught, ...]:
    """Return the commonest kinds of slips that can be told as such, each by the example of it that costs most."""
    examples = list(_examples(library, seed))
    counts = Counter(example.kind for example in examples)
    by_kind = [
        sorted((e for e in examples if e.kind == kind), key=lambda e: (-e.told, -e.lost, e.board.fen(), e.move.uci()))
        for kind, _ in counts.most_common()
    ]
    by_kind.sort(key=lambda examples: examples[0].told == 0)
    # One of each kind, and where there are fewer kinds another of the commonest.
    ordered = [e for turn in zip_longest(*by_kind) for e in turn if e is not None]
    return tuple(_taught(library, example, mirror) for example in ordered[:_SHOWN])


def _examples(library: ByLadder, seed: int) -> Iterator[_Example]:
    random = Random(seed)
    for number, stage in enumerate(library.plan.stages, start=1):
        wish = Wish(library.material, stage=stage.title, strong=chess.WHITE)
        for drawn in practice(library, wish, _POSITIONS_A_STAGE, seed + 2_000):
            maker = _maker(library, drawn.board)
            moves = [item.move for item in maker.ranking]
            for move in random.sample(moves, min(len(moves), _MOVES_A_POSITION)):
                facts = maker.facts(move)
                kind, better = kind_of(facts), maker.better(facts)
                if kind is not None and better is not None:
                    told = telling(kind, facts, better)
                    yield _Example(kind, number, told, facts.cost.moves_lost or 0, drawn.board, move)


def _maker(library: ByLadder, board: chess.Board) -> FactMaker:
    """Return a maker of facts by which a move of the method is no slip."""
    return FactMaker(Judged.of(library, board), "method")


def _taught(library: ByLadder, example: _Example, mirror: bool) -> SlipTaught:
    board, move = turned(example.board, mirror), turned_move(example.move, mirror)
    maker = _maker(library, board)
    facts = maker.facts(move)
    better = maker.better(facts)
    assert better is not None
    after = board.copy(stack=False)
    after.push(move)
    reply = after.parse_san(facts.then.ahead[0]) if facts.then.ahead else None
    picture = marked(after, slip_caption(example.kind.value), played=move, reply=reply)
    return SlipTaught(example.kind, example.stage, facts.san, picture, tuple(slipped(facts, better, whole=True)))
