"""Moves drawn by seed, with what is said of them: the samples that are counted, held against the board and read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count, islice
from random import Random

import chess

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.choice import DEFENCES, Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import rank_with
from matebot.wording.moves import joined, lines
from tests.witness.positions import random_positions

WITH_LADDER = ("KBNK", "KBBK", "KRK", "KQK", "KPK", "KBPK", "KQKP", "KRKP", "KQKR")
WITHOUT = ("KRKB", "KRKN", "KRPK", "KQKB", "KBKP")
SIDES = ("attack", "slips", "defence")
#: So long are the games from which positions are taken at most.
_MOST_PLIES = 70
_SHARED_SEED = 1


@dataclass(frozen=True)
class Said:
    """A move and what is said of it.

    Attributes
    ----------
    facts, better : of the move, and of the best one where it loses something
    text : what is said of a move at level `full`, its lines joined
    """

    ending: str
    facts: MoveFacts
    better: MoveFacts | None
    text: str


#: The samples that tests share, as far as they have been drawn, and what goes on with them.
_shared: dict[tuple[int, str, str], tuple[list[Said], Iterator[Said]]] = {}
#: The positions from which the sides' samples of an ending are taken, likewise: half of them are from games.
_drawn: dict[tuple[int, str, int], tuple[list[chess.Board], Iterator[chess.Board]]] = {}


def maker_for(library: Library, board: chess.Board, attack: str = "method") -> FactMaker:
    """Return a maker of facts for a position without a history."""
    return FactMaker(Judged.of(library, board), attack)


def positions(library: Library, ending: str, seed: int) -> Iterator[chess.Board]:
    """Yield positions without end: in turn one at random and one from a game, by the method or the shortest way."""
    number = 0
    while True:
        number += 1
        for board in random_positions(ending, 8, seed * 10_000 + number):
            yield board
            played = _from_a_game(library, board, Random(f"{seed} {number} {board.fen()}"))
            if played is not None:
                yield played


def _positions_once(library: Library, ending: str, seed: int) -> Iterator[chess.Board]:
    """Yield the same as `positions`, drawn once for the samples of all sides."""
    key = id(library.tables), ending, seed
    if key not in _drawn:
        _drawn[key] = [], positions(library, ending, seed)
    found, more = _drawn[key]
    for number in count():
        if number == len(found):
            found.append(next(more))
        yield found[number].copy(stack=False)


def _from_a_game(library: Library, board: chess.Board, random: Random) -> chess.Board | None:
    """Return a position from the play after a won one, None where it is not won."""
    if not library.tables.value(board).outcome:
        return None
    style = Style(attack=random.choice(("method", "shortest")), defence=random.choice(DEFENCES), margin_plies=4, seed=1)
    board, kept = board.copy(stack=False), list[chess.Board]()
    # A game is not played on behind the position wanted of it; one that ends before gives any of its own.
    wanted = random.randrange(random.randrange(2, _MOST_PLIES))
    while True:
        board.halfmove_clock = 0
        referee = Referee(board, library.tables)
        ranking = rank_with(referee)
        if not ranking:
            return random.choice(kept) if kept else None
        kept.append(board.copy(stack=False))
        if len(kept) > wanted:
            return kept[wanted]
        board.push(choose(Judged(library, referee), style).move)
        board.clear_stack()


def taken(library: Library, ending: str, side: str, count: int) -> list[Said]:
    """Return so many moves of the sample that tests share: to draw them takes longer than what is asked of them."""
    key = id(library.tables), ending, side
    if key not in _shared:
        _shared[key] = [], sample(library, ending, side, _SHARED_SEED)
    found, more = _shared[key]
    found += islice(more, max(count - len(found), 0))
    return found[:count]


def said_of(ending: str, maker: FactMaker, move: chess.Move, hints: bool = False) -> Said:
    """Return what is said of a move."""
    facts = maker.facts(move)
    better = maker.better(facts)
    return Said(ending, facts, better, joined(lines(facts, better, hints)))


def text_of(library: Library, fen: str, san: str) -> str:
    """Return what is told at full of a move, given by the position and its name."""
    board = chess.Board(fen)
    return said_of("", maker_for(library, board), board.parse_san(san)).text


def sample(library: Library, ending: str, side: str, seed: int, free: bool = True) -> Iterator[Said]:
    """Yield moves of a side without end: good moves of the attacker that wins, his slips, or defences.

    Parameters
    ----------
    free : leave out defences that are forced; with men on one side only, drawn positions are left out as well
    """
    random = Random(f"{ending} {side} {seed}")
    for board in _positions_once(library, ending, seed):
        if not any(board.legal_moves):
            continue
        outcome = library.tables.value(board).outcome
        # The style follows from the position, so that a good move and a slip in it are held to the same advice.
        attack = Random(f"style {seed} {board.fen()}").choice(("method", "shortest"))
        maker = maker_for(library, board, attack)
        if (outcome > 0) != (side != "defence") or (outcome == 0 and ending.endswith("K")):
            continue
        if side == "slips":
            moves = [item.move for item in maker.ranking]
            random.shuffle(moves)
            slips = (said for move in moves if (said := said_of(ending, maker, move)).facts.cost.mistake.is_slip)
            found = next(slips, None)
            if found is not None:
                yield found
            continue
        if side == "defence" and free and len(maker.ranking) == 1:
            continue
        if outcome == 0 and maker.attacker == board.turn:
            continue
        style = Style(attack=attack, defence=random.choice(DEFENCES), margin_plies=2, seed=seed)
        yield said_of(ending, maker, choose(maker.judged, style).move)
