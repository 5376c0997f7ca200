"""Lines of moves drawn by seed, and their claims held against the board."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import chess

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.wording.moves import line, told
from tests.ideas.claims import near_positions
from tests.witness.positions import random_positions
from tests.witness.spoken import Fault, Spoken, claims, sentences, then
from tests.wording.sampling import WITH_LADDER, WITHOUT, maker_for

#: Claims read by default and in the exhaustive run, over all endings.
BY_DEFAULT, MANY = 5_000, 100_000
#: Moves of a position beside the best.
_OTHERS = 4
Line = tuple[list[str], Spoken]


def spoken(library: Library, ending: str, seed: int) -> Iterator[Line]:
    """Yield what is said of moves without end: in each position the best one and some others."""
    random = Random(f"spoken {ending} {seed}")
    truths = {attack: TableTruth(library, attack) for attack in ("method", "shortest")}
    number = 0
    while True:
        number += 1
        for board in [*near_positions(ending, 4, seed + number), *random_positions(ending, 4, seed + number)]:
            if any(board.legal_moves):
                attack = random.choice(sorted(truths))
                yield from _of(maker_for(library, board, attack), truths[attack], board, random)


def _of(maker: FactMaker, truth: TableTruth, board: chess.Board, random: Random) -> Iterator[Line]:
    moves = [item.move for item in maker.ranking]
    attacker = board.turn if maker.attacker is None else maker.attacker
    for move in dict.fromkeys([moves[0], *random.sample(moves, min(_OTHERS, len(moves)))]):
        yield _said(maker, truth, move, attacker, in_a_line=random.random() < 0.25)


def said_of(library: Library, fen: str, san: str, attack: str, in_a_line: bool) -> Line:
    """Return what is said of one move, all or what has room in a line."""
    board = chess.Board(fen)
    maker = maker_for(library, board, attack)
    attacker = board.turn if maker.attacker is None else maker.attacker
    return _said(maker, TableTruth(library, attack), board.parse_san(san), attacker, in_a_line)


def _said(maker: FactMaker, truth: TableTruth, move: chess.Move, attacker: chess.Color, in_a_line: bool) -> Line:
    facts = maker.facts(move)
    better, board = maker.better(facts), maker.judged.board
    best = None if facts.instead.best is None else chess.Move.from_uci(facts.instead.best)
    text = sentences(line(facts, better).partition(": ")[2]) if in_a_line else told(facts, better)
    return [part.rstrip(".") for part in text], Spoken(board, move, then(board, move), best, attacker, truth)


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
