"""The order of what is said of a move: what it is for or what it broke, then how far it is, then the rest."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.play.ranking import rank_with
from matebot.terms import Mistake
from matebot.wording.as_good import names_as_good
from matebot.wording.attack import deeds
from matebot.wording.moves import line, told
from matebot.wording.reason import NO_DEED
from matebot.wording.slips import slipped
from tests.witness.positions import random_positions


def facts_of(library: Library, ending: str, count: int) -> Iterator[tuple[MoveFacts, MoveFacts | None]]:
    """Yield the facts of the best and of the last moves of positions, with those of the move that was better."""
    for board in random_positions(ending, count, seed=81):
        referee = Referee(board, library.tables)
        ranking = rank_with(referee)
        for item in (*ranking[:1], *ranking[1:][-2:]):
            maker = FactMaker(Judged(library, referee))
            facts = maker.facts(item.move)
            yield facts, maker.better(facts)


def at(sentences: list[str], words: str) -> int:
    """Return the number of the sentence that holds some words, as many as there are where none does."""
    return next((number for number, text in enumerate(sentences) if words in text), len(sentences))


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KPK"])
def test_a_good_move_is_told_by_its_first_deed_then_the_distance_then_what_stands_beside(
    library: Library, ending: str
) -> None:
    looked_at = beside = 0
    for facts, better in facts_of(library, ending, 16):
        if (
            facts.cost.mistake is not Mistake.NONE
            or facts.gives.mate
            or facts.worth.outcome_after < 1
            or not (deed := next(deeds(facts), NO_DEED).text)
        ):
            continue
        sentences = told(facts, better)
        assert sentences[0].startswith(f"{facts.san} {deed[:20]}")
        number = facts.places.method_moves or facts.worth.mate_moves
        assert at(sentences, f"ate in {number}") == 1
        assert at(sentences, "only move that wins") in (*range(2, 4), len(sentences))
        looked_at += 1
        beside += len(sentences) > 2
    assert looked_at > 3
    assert beside or ending == "KPK"


@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KPK"])
def test_a_slip_is_told_by_its_price_first_and_the_way_back_last(library: Library, ending: str) -> None:
    looked_at = punished = 0
    for facts, better in facts_of(library, ending, 12):
        if not facts.cost.mistake.is_slip:
            continue
        assert better is not None
        sentences = slipped(facts, better)
        assert sentences[0].startswith(facts.san)
        price = (
            f"{facts.cost.moves_lost} move" if facts.worth.outcome_after == facts.worth.outcome_before else "is gone"
        )
        assert (
            price in sentences[0]
            or facts.cost.moves_lost is None
            or facts.worth.cause_after.value in ("stalemate", "checkmate")
        )
        assert at(sentences, "he way back") in (len(sentences) - 1, len(sentences))
        short = told(facts, better)  # moves as good are left out where there is more to tell
        assert short == [text for text in sentences if text in short or not names_as_good(text)][: len(short)]
        assert line(facts, better).startswith(("White:", "Black:"))
        looked_at += 1
        punished += len(sentences) > 1
    assert looked_at > 5
    assert punished
