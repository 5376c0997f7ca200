"""What is told beside the first sentence is there wherever it is so and has room: how far, and how many moves do."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from random import Random

import chess
import pytest

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.method.library import Library
from matebot.terms import Mistake
from matebot.wording.moves import line, told, worth_knowing
from matebot.wording.reason import NO_DEED
from tests.ideas.claims import near_positions
from tests.witness.positions import random_positions
from tests.wording.sampling import maker_for

#: So many sentences are told at most; with fewer nothing was left out for want of room.
_MOST = 3
Told = tuple[chess.Board, FactMaker, MoveFacts, list[str]]


def good_moves(library: Library, endings: tuple[str, ...], count: int) -> Iterator[Told]:
    """Yield moves that lose nothing, with what is said of them where something may be added."""
    for ending in endings:
        random = Random(f"beside {ending}")
        for board in (*near_positions(ending, count, seed=91), *random_positions(ending, count, seed=91)):
            if board.legal_moves.count() < 2:
                continue
            maker = maker_for(library, board, "shortest")
            for move in {maker.ranking[0].move, random.choice([item.move for item in maker.ranking])}:
                facts = maker.facts(move)
                if facts.cost.mistake is Mistake.NONE and not facts.gives.mate:
                    yield board, maker, facts, told(facts)


def outcomes(library: Library, board: chess.Board) -> list[int]:
    """Return the outcome of each move for the side that makes it."""
    found = []
    for move in list(board.legal_moves):
        board.push(move)
        found.append(-library.tables.value(board).outcome)
        board.pop()
    return found


def test_how_many_moves_win_is_told_where_they_are_few_and_not_all(library: Library) -> None:
    seen = Counter[str]()
    for board, maker, facts, _ in good_moves(library, ("KPK", "KQKP", "KQKR", "KRKP"), 6):
        if maker.ranking[0].outcome < 1:
            continue
        text, winning = " ".join(worth_knowing(facts, False, NO_DEED)), outcomes(library, board).count(1)
        few = winning < board.legal_moves.count()
        assert ("only move that wins" in text) == (few and winning == 1), (board.fen(), facts.san, text)
        assert (" win too" in text or " wins too" in text) == (few and winning in (2, 3)), (
            board.fen(),
            facts.san,
            text,
        )
        seen["one" if winning == 1 else "few" if winning < 4 else "many"] += 1
    assert min(seen[name] for name in ("one", "few", "many")) > 1, seen


def test_how_far_it_is_to_mate_is_told_of_every_move_of_a_decided_game(library: Library) -> None:
    seen = Counter[int]()
    for board, maker, facts, sentences in good_moves(library, ("KBNK", "KRK", "KQKR", "KPK"), 12):
        outcome = maker.ranking[0].outcome
        if not outcome or (outcome < 0 and len(sentences) == _MOST) or any(text.endswith("#.") for text in sentences):
            continue
        after = board.copy(stack=False)
        after.push_uci(facts.move)
        plies = library.tables.value(after).dtm_plies
        assert plies is not None
        number = (plies + 1) // 2 + (outcome > 0)
        assert any(f"ate in {number}" in text for text in sentences), (board.fen(), facts.san, sentences)
        seen[outcome] += 1
    assert min(seen[1], seen[-1]) > 5, seen


@pytest.mark.parametrize("ending", ["KRKB", "KRKN"])
def test_that_every_move_draws_is_told_where_it_is_so(library: Library, ending: str) -> None:
    seen = Counter[bool]()
    for board, maker, facts, sentences in good_moves(library, (ending,), 8):
        if maker.ranking[0].outcome or maker.attacker == board.turn or len(sentences) == _MOST:
            continue
        every = not any(outcomes(library, board))
        assert ("very move d" in " ".join(sentences)) == every, (board.fen(), facts.san, sentences)
        seen[every] += 1
    assert seen[True]


def test_what_comes_after_each_reply_is_told_in_a_line_only_where_hints_are_wanted(
    library: Library,
) -> None:
    answers = re.compile(r"(?<=\. )(?:If|After) \S+")
    told_at_length = hinted = 0
    for _, maker, facts, sentences in good_moves(library, ("KRK", "KQK"), 4):
        if maker.ranking[0].outcome < 1:
            continue
        assert not answers.search(line(facts))
        told_at_length += bool(answers.search(" ".join(sentences)))
        hinted += bool(answers.search(line(facts, hints=True)))
    assert min(told_at_length, hinted) > 2
