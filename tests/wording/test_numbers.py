"""Every number of moves that is told is the board's, and a bound is never told as a number."""

from __future__ import annotations

import re
from random import Random

import chess
import pytest

from matebot.answers import score
from matebot.commands import explain
from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.play.ranking import Ranked, rank_with
from matebot.solver.tables import Tables
from matebot.wording import clock, outlook
from matebot.wording.moves import distance, told
from tests.counting import counts
from tests.witness.positions import random_positions

ENDINGS = ("KBNK", "KBBK", "KRK", "KQK", "KPK", "KQKR", "KRKN", "KRKP", "KQKP", "KPKP")
#: Words that compare distances; none of them may stand where one is only a bound.
COMPARING = ("sooner", "longest", "equally", "slower", "costs", "shortens", "as good", "prepares", "way back")


def moves_to_mate(tables: Tables, board: chess.Board, move: chess.Move) -> int:
    """Return the winner's moves to mate from before a move, counted ply by ply."""
    after = board.copy(stack=False)
    after.push(move)
    value = tables.value(after)
    assert value.dtm_plies is not None
    winner = after.turn if value.outcome > 0 else not after.turn
    movers = [board.turn, *(after.turn if ply % 2 == 0 else not after.turn for ply in range(value.dtm_plies))]
    return sum(mover == winner for mover in movers)


def pairs(ending: str, count: int, seed: int) -> list[tuple[chess.Board, chess.Move]]:
    random = Random(f"{ending} {seed}")
    found = []
    for board in random_positions(ending, count, seed=seed):
        if moves := list(board.legal_moves):
            found.append((board, random.choice(moves)))
    return found


@counts(8, 20)
@pytest.mark.parametrize("ending", ENDINGS)
def test_every_mate_in_n_of_a_sentence_is_the_boards(library: Library, ending: str, count: int) -> None:
    told_of = 0
    for number, (board, move) in enumerate(pairs(ending, count, seed=71)):
        maker = FactMaker(Judged.of(library, board))
        move = move if number % 2 else maker.ranking[0].move
        facts = maker.facts(move)
        text = " ".join(told(facts, maker.better(facts)))
        assert "at most" not in text
        for number in re.findall(r"(?<!keeps the win, )[Mm]ate in (\d+)", text):
            told_of += 1
            assert int(number) == moves_to_mate(library.tables, board, move), f"{board.fen()} {text}"
        for number in re.findall(r"keeps the win, mate in (\d+)| in (\d+) (?:by|after) ", text):
            best = chess.Move.from_uci(facts.instead.best or "")
            assert int("".join(number)) == moves_to_mate(library.tables, board, best), f"{board.fen()} {text}"
    assert told_of


def test_score_sentence_and_list_give_one_number_for_a_move(library: Library) -> None:
    """The list is that of the moves that `explain` prints."""
    said = 0
    for ending in ENDINGS:
        for board, move in pairs(ending, 6, seed=72):
            maker = FactMaker(Judged.of(library, board))
            item, facts = maker.judged.item(move), maker.facts(move)
            kind, value = score(item.outcome, item.mate_plies)
            numbers = {abs(value)} if kind == "mate" else set[int]()
            listed = {int(number) for number in re.findall(r"mate in (\d+)", explain._outcome(item))}
            sentence = {int(number) for number in re.findall(r"mate in (\d+)", distance(facts))}
            assert listed == numbers == {facts.worth.mate_moves} - {None}
            assert sentence == (set() if facts.gives.mate else numbers), (board.fen(), move)
            said += bool(sentence)
    assert said > 10


def only_bounds(library: Library, board: chess.Board, exact: bool) -> FactMaker | None:
    """Return a maker that knows distances as bounds only; with `exact` every other one is exact."""
    referee = Referee(board, library.tables)
    here = referee.here()
    if not here.outcome:
        return None
    referee._here = here._replace(exact=False)
    ranking: list[Ranked] = [
        item._replace(exact=(exact and number % 2 == 0) or item.outcome == 0 or (item.mate_plies or 0) <= 1)
        for number, item in enumerate(rank_with(referee))
    ]
    judged = Judged(library, referee)
    judged.ranking = ranking
    return FactMaker(judged) if ranking else None


@pytest.mark.parametrize("mixed", [False, True])
@pytest.mark.parametrize("ending", ["KQKR", "KRKN", "KBNK", "KRKP"])
def test_a_bound_is_told_as_one_and_never_compared(library: Library, ending: str, mixed: bool) -> None:
    looked_at = 0
    for board, move in pairs(ending, 24, seed=73):
        maker = only_bounds(library, board, mixed)
        if maker is None:
            continue
        facts = maker.facts(move)
        if facts.worth.outcome_after and not facts.worth.exact_after:
            looked_at += 1
            check_bound(facts, [*told(facts, maker.better(facts)), outlook.by_method(facts)])
        elif facts.worth.outcome_before and facts.worth.outcome_after != facts.worth.outcome_before:
            looked_at += 1
            assert not re.search(r"mate in \d", " ".join(told(facts, maker.better(facts)))), facts.fen
    assert looked_at > 6


def check_bound(facts: MoveFacts, sentences: list[str]) -> None:
    for text in filter(None, sentences):
        assert not re.search(r"\bin \d", text), f"{facts.fen} {text}"
        assert not [words for words in COMPARING if words in text], f"{facts.fen} {text}"


def test_positions_and_clocks_tell_a_bound_as_one() -> None:
    from matebot.terms import Cause

    assert "at most 30" in outlook.position("white", 1, Cause.FORCED, 59, False, ("queen", "rook"))
    assert "at most" not in outlook.position("white", 1, Cause.FORCED, 59, True, ("queen", "rook"))
    assert "at most 30" in clock.tight(31, 30, False)
    assert "at least 2 moves lost" in outlook.tally(2, False, 0, 0, 40)
