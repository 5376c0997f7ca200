"""The commonest slips of an ending with their refutations: drawn by lot from every stage, counted by kind."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from random import Random

import chess

from matebot.games.positions import Wish, practice
from matebot.ideas.cage import cage
from matebot.laws import Referee
from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.sheet import Gallery, Shown, Words
from matebot.method.facts import MoveFacts
from matebot.method.making import FactMaker
from matebot.play.ranking import rank_with
from matebot.practice.kinds import kind_of_slip
from matebot.practice.notes import Slip
from matebot.wording.moves import told

_POSITIONS_A_STAGE, _MOVES_A_POSITION = 12, 4
_SHOWN = 5


@dataclass(frozen=True)
class _Example:
    kind: Slip
    facts: MoveFacts
    better: MoveFacts | None
    board: chess.Board


def slip_pictures(library: ByLadder, seed: int, mirror: bool) -> Gallery:
    """Return the commonest kinds of slips, the commonest first, each by the example that costs most."""
    examples = list(_examples(library, seed, mirror))
    counts = Counter(example.kind for example in examples)
    shown = []
    for kind, _ in counts.most_common(_SHOWN):
        best = max((e for e in examples if e.kind == kind), key=lambda e: (e.facts.moves_lost or 0, e.facts.fen))
        shown.append(_shown(best))
    return Gallery(tuple(shown))


def _examples(library: ByLadder, seed: int, mirror: bool) -> list[_Example]:
    random, found = Random(seed), []
    for stage in library.plan.stages:
        wish = Wish(library.material, stage=stage.title, strong=chess.WHITE)
        for drawn in practice(library, wish, _POSITIONS_A_STAGE, seed + 2_000):
            board = turned(drawn.board, mirror)
            referee = Referee(board, library.tables)
            maker = FactMaker(library, referee, rank_with(referee))
            moves = [item.move for item in maker.ranking]
            for move in random.sample(moves, min(len(moves), _MOVES_A_POSITION)):
                facts = maker.facts(move, ahead=True)
                kind = kind_of_slip(facts, _opened(board, move))
                if kind is not None:
                    found.append(_Example(kind, facts, maker.better(facts), board))
    return found


def _opened(board: chess.Board, move: chess.Move) -> bool:
    after = board.copy(stack=False)
    after.push(move)
    return cage(board, chess.WHITE) is not None and cage(after, chess.WHITE) is None


def _shown(example: _Example) -> Shown:
    after = example.board.copy(stack=False)
    move = chess.Move.from_uci(example.facts.move)
    after.push(move)
    reply = after.parse_san(example.facts.ahead[0]) if example.facts.ahead else None
    caption = f"{example.kind.value}: {example.facts.san}"
    text = " ".join(told(example.facts, example.better))
    return Shown(marked(after, f"{caption[:1].upper()}{caption[1:]}", played=move, reply=reply), (Words(text),))
