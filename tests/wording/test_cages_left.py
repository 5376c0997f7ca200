"""That a king gets out of a cage is said where it leaves one, not where it enters one."""

from __future__ import annotations

from collections import Counter

import chess

from matebot.facts.making import FactMaker
from matebot.ideas.cage import Cage, CageChange
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.wording.defence_king import leaves_cage
from tests.ideas.claims import near_positions


def test_a_king_gets_out_of_the_cage_where_it_leaves_one_itself(library: Library) -> None:
    seen = Counter[tuple[CageChange, bool]]()
    for board in near_positions("KBNK", 120, seed=6):
        maker = FactMaker(Judged.of(library, board))
        for item in maker.ranking if maker.attacker != board.turn else ():
            facts = maker.facts(item.move)
            idea = facts.seen.idea(Cage)
            if idea is not None:
                by_king = board.piece_type_at(item.move.from_square) == chess.KING
                said = "out of the cage" in leaves_cage(idea, facts)
                assert said == (by_king and idea.change is CageChange.LEAVES)
                seen[idea.change, said] += 1
    assert seen[CageChange.LEAVES, True]
    assert seen[CageChange.ENTERS, False]
