"""Every square, man, number and move of a sentence is read back out of it and holds on the board."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice
from random import Random

import chess
import pytest

from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from matebot.wording.moves import line, told
from tests.ideas.claims import near_positions
from tests.witness.positions import random_positions
from tests.witness.spoken import SQUARE, Fault, Spoken, claims, sentences
from tests.wording.sampling import WITH_LADDER, WITHOUT, maker_for

#: Lines made and read cost milliseconds each, so the default run reads fewer claims than the exhaustive one by far.
_BY_DEFAULT, _MANY = 600, 100_000
Line = tuple[list[str], Spoken]


@pytest.fixture(scope="module")
def library(tables: Tables) -> Library:
    return Library(tables)


def spoken(library: Library, ending: str, seed: int) -> Iterator[Line]:
    """Yield what is said of moves without end: in each position the best one and two others."""
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
    for move in dict.fromkeys([moves[0], *random.sample(moves, min(2, len(moves)))]):
        facts = maker.facts(move, ahead=True)
        better = maker.better(facts)
        after = board.copy(stack=False)
        after.push(move)
        best = None if facts.best is None else chess.Move.from_uci(facts.best)
        text = told(facts, better)
        if random.random() < 0.25:
            text = sentences(line(facts, better).partition(": ")[2])
        yield [part.rstrip(".") for part in text], Spoken(board, move, after, best, attacker, truth)


def check(library: Library, count: int, seed: int) -> None:
    """Hold so many claims, spread over the endings, against the board."""
    endings = (*WITH_LADDER, *WITHOUT)
    for ending in endings:
        held = 0
        for text, about in spoken(library, ending, seed):
            try:
                held += claims(text, about)
            except Fault as fault:
                raise AssertionError(f"{about.before.fen()} {about.move.uci()}: {text}: {fault}") from fault
            if held >= count / len(endings):
                break


def test_no_claim_of_a_sentence_is_false(library: Library) -> None:
    check(library, _BY_DEFAULT, seed=41)


def test_a_square_changed_in_a_sentence_is_found(library: Library) -> None:
    found = changed = 0
    for ending in ("KBNK", "KRK", "KPK", "KRKN"):
        for text, about in islice(spoken(library, ending, seed=43), 12):
            for place, part in enumerate(text):
                for match in re.finditer(SQUARE, part):
                    square = chess.square_name(chess.parse_square(match[0]) ^ 27)
                    other = f"{part[: match.start()]}{square}{part[match.end() :]}"
                    changed += 1
                    try:
                        claims([*text[:place], other, *text[place + 1 :]], about)
                    except Fault:
                        found += 1
    assert changed > 100
    assert found > 0.9 * changed


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
def test_no_claim_of_a_hundred_thousand_is_false(library: Library) -> None:
    check(library, _MANY, seed=1_000)
