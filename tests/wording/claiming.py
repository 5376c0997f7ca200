"""Lines of moves drawn by seed, and their claims held against the board."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import chess

from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.wording.moves import line, told
from tests.ideas.claims import near_positions
from tests.witness.positions import random_positions
from tests.witness.spoken import Fault, Spoken, claims, sentences
from tests.wording.sampling import WITH_LADDER, WITHOUT, maker_for

#: Claims read by default and in the exhaustive run, over all endings.
BY_DEFAULT, MANY = 5_000, 100_000
#: Moves of a position beside the best.
_OTHERS = 4
Line = tuple[list[str], Spoken]


def spoken(library: Library, ending: str, seed: int) -> Iterator[Line]:
    """Yield what is said of moves without end: in each position the best one and some others."""
    random, truth = Random(f"spoken {ending} {seed}"), TableTruth(library)
    number = 0
    while True:
        number += 1
        for board in [*near_positions(ending, 4, seed + number), *random_positions(ending, 4, seed + number)]:
            if any(board.legal_moves):
                yield from _of(library, truth, board, random)


def _of(library: Library, truth: TableTruth, board: chess.Board, random: Random) -> Iterator[Line]:
    maker = maker_for(library, board, random.choice(("method", "shortest")))
    moves = [item.move for item in maker.ranking]
    attacker = board.turn if maker.attacker is None else maker.attacker
    for move in dict.fromkeys([moves[0], *random.sample(moves, min(_OTHERS, len(moves)))]):
        facts = maker.facts(move)
        better = maker.better(facts)
        after = board.copy(stack=False)
        after.push(move)
        best = None if facts.instead.best is None else chess.Move.from_uci(facts.instead.best)
        text = told(facts, better)
        if random.random() < 0.25:
            text = sentences(line(facts, better).partition(": ")[2])
        yield [part.rstrip(".") for part in text], Spoken(board, move, after, best, attacker, truth)


def check(library: Library, endings: tuple[str, ...], count: int, seed: int) -> None:
    """Hold the claims of some endings against the board, out of so many spread over all."""
    for ending in endings:
        held = 0
        for text, about in spoken(library, ending, seed):
            try:
                held += claims(text, about)
            except Fault as fault:
                raise AssertionError(f"{about.before.fen()} {about.move.uci()}: {text}: {fault}") from fault
            if held * len((*WITH_LADDER, *WITHOUT)) >= count:
                break
