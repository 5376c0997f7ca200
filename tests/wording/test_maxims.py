"""What a rule is taught by: the men, where the kings stand and what holds them, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.drives import Drives, Where
from matebot.ideas.holes import Holes
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.wording import maxims
from tests.wording.bare import facts_of

BARE = "8/8/8/3k4/8/8/8/K7 w"
BISHOPS, MINORS, QUEEN, ROOK = (f"8/8/8/3k4/8/8/8/K4{men} w" for men in ("BB1", "BN1", "Q2", "R2"))
AGAINST = "8/8/8/3k3{man}/8/8/8/K4{men} w"
STEP = "a1b1"


def facts(placed: str, uci: str, *shown: object, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, and as told."""
    ideas = {type(idea): idea for idea in shown}
    given = facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=True,
        seen=SimpleNamespace(idea=ideas.get, answers_check=told.get("in_check", False)),
        kings=SimpleNamespace(kings_before=told.get("before", 4), kings_after=told.get("after", 3)),
        gives=SimpleNamespace(check=told.get("check", False)),
        worth=SimpleNamespace(mate_moves=told.get("mate", 20), outcome_after=1),
        as_quick=told.get("as_quick", ()),
    )
    vars(given.room)["king"] = told.get("king", "d5")
    return given


@pytest.mark.parametrize(
    ("placed", "uci", "held", "told", "rule"),
    [
        (BISHOPS, STEP, HeldBy.CAGE, {}, "first the cage, then the king"),
        (BISHOPS, STEP, HeldBy.NOTHING, {}, maxims.ALL_IN_PLAY),
        (BISHOPS, STEP, None, {}, maxims.ALL_IN_PLAY),
        (BISHOPS, "f1e2", None, {}, ""),
        (MINORS, STEP, HeldBy.CAGE, {}, ""),
        (MINORS, STEP, HeldBy.LINE, {}, maxims.ALL_IN_PLAY),
        (AGAINST.format(man="p", men="BB1"), STEP, HeldBy.LINE, {}, ""),
        (AGAINST.format(man="p", men="B2"), STEP, HeldBy.LINE, {}, ""),
        (ROOK, STEP, HeldBy.CAGE, {}, "first the cage, then the king"),
        (QUEEN, STEP, HeldBy.CAGE, {}, "first the cage, then the king"),
        (ROOK, STEP, HeldBy.LINE, {}, "king and rook mate only together"),
        (AGAINST.format(man="p", men="Q2"), STEP, HeldBy.LINE, {}, "king and queen mate only together"),
        (AGAINST.format(man="p", men="RR1"), STEP, HeldBy.CAGE, {}, ""),
        (ROOK, STEP, HeldBy.CAGE, {"in_check": True}, maxims.STEP_NEARER),
        (ROOK, STEP, HeldBy.CAGE, {"in_check": True, "before": 3}, ""),
        (BARE, STEP, None, {}, ""),
    ],
)
def test_a_king_comes_up_while_the_men_stay_in_a_cage_or_for_the_cage_or_since_no_man_mates_alone(
    placed: str, uci: str, held: HeldBy | None, told: dict[str, Any], rule: str
) -> None:
    shown = () if held is None else (KingUp(3, held),)
    assert maxims.king_up(facts(placed, uci, *shown, **told)) == rule


@pytest.mark.parametrize(
    ("placed", "apart", "rule"),
    [
        (AGAINST.format(man="p", men="R2"), 3, maxims.CUT_OFF),
        ("8/8/8/3k4/8/8/P7/K4R2 w", 3, maxims.CUT_KING),
        (ROOK, 3, maxims.FIRST_LINE),
        (ROOK, 2, "king and rook mate only together"),
    ],
)
def test_a_king_is_cut_off_for_the_pawn_that_is_there_or_for_the_king_that_comes(
    placed: str, apart: int, rule: str
) -> None:
    assert maxims.cut_off(facts(placed, "f1f2", after=apart)) == rule


HOLES = Holes(closed=(chess.D4,), left=(), made=())
ROOM = (chess.D5, chess.E6)


@pytest.mark.parametrize(
    ("placed", "uci", "change", "told", "rule"),
    [
        (ROOK, "f1f4", CageChange.SHUTS, {}, maxims.CAGE_FIRST),
        (ROOK, STEP, CageChange.SHUTS, {}, "king and rook mate only together"),
        (ROOK, "f1f4", CageChange.HOLDS, {}, ""),
        (ROOK, "f1f4", CageChange.SHUTS, {"check": True}, maxims.CHECK_INTO_NET),
        (ROOK, "f1f4", CageChange.SHUTS, {"after": 2}, maxims.FIRST_CAGE),
        (MINORS, "f1e2", CageChange.SHUTS, {"after": 2}, "a cage must only get smaller"),
        (MINORS, "f1e2", CageChange.SHUTS, {"after": 2, "mate": 6}, maxims.FIRST_CAGE),
        (MINORS, "f1e2", CageChange.SHUTS, {"after": 2, "closed": True}, "shut the last hole, then check"),
        (MINORS, "f1e2", CageChange.SHUTS, {"after": 2, "closed": True, "gate": (chess.D4, chess.E4)}, "a cage"),
        (MINORS, "f1e2", CageChange.SHUTS, {"after": 2, "closed": True, "gate": (chess.E4,)}, "a cage"),
        (ROOK, "f1f4", CageChange.SHUTS, {"after": 2, "closed": True}, maxims.FIRST_CAGE),
        (AGAINST.format(man="n", men="R2"), "f1f4", CageChange.SHUTS, {}, "part the king from its knight"),
        (AGAINST.format(man="n", men="Q2"), "f1f4", CageChange.SHUTS, {"room": (chess.G6,)}, maxims.CAGE_FIRST),
        (AGAINST.format(man="n", men="Q2"), "f1f4", CageChange.SHUTS, {"room": (chess.G6,), "after": 2}, ""),
        (AGAINST.format(man="r", men="Q2"), "f1f4", CageChange.SHUTS, {"room": (chess.G6,)}, ""),
        (AGAINST.format(man="n", men="R2"), "f1f4", CageChange.SHUTS, {"room": (chess.G6,)}, ""),
        ("8/8/8/3k3n/7n/8/8/K4Q2 w", "f1f4", CageChange.SHUTS, {}, maxims.CAGE_FIRST),
        (ROOK, STEP, CageChange.TIGHTENS, {}, maxims.KING_TAKES),
        (QUEEN, "f1f4", CageChange.TIGHTENS, {}, maxims.LEAVE_A_SQUARE),
        (ROOK, "f1f4", CageChange.TIGHTENS, {"along": ("rank 4",)}, maxims.LINE_BY_LINE),
        (ROOK, "f1f4", CageChange.TIGHTENS, {"along": ("rank 4", "file f")}, maxims.TAKE_SQUARES),
    ],
)
def test_a_cage_teaches_what_comes_next_by_the_kings_the_men_and_the_holes(
    placed: str, uci: str, change: CageChange, told: dict[str, Any], rule: str
) -> None:
    gate, room = told.get("gate", (chess.D4,)), told.get("room", ROOM)
    shut = Cage(change, 20, 9, gate, told.get("along", ()), room=room)
    shown = (shut, HOLES) if told.get("closed") else (shut,)
    found = maxims.cage(facts(placed, uci, *shown, **told))
    assert found.startswith(rule) if rule else not found


@pytest.mark.parametrize(
    ("uci", "by", "moved", "told", "rule"),
    [
        (STEP, chess.ROOK, False, {}, maxims.SAVE_THE_MAN),
        (STEP, chess.ROOK, True, {}, maxims.SAVE_THE_MAN),
        (STEP, chess.ROOK, True, {"another": True}, ""),
        (STEP, chess.KING, False, {}, maxims.TOGETHER),
        ("f1f4", chess.KING, False, {}, maxims.MOVE_OR_GUARD),
        ("f1f8", chess.KING, True, {}, "a rook works best from afar"),
        ("f1f6", chess.KING, True, {}, maxims.SAVE_THE_MAN),
        ("g1h2", chess.KING, True, {"placed": BISHOPS}, maxims.SAVE_THE_MAN),
        ("f1f8", chess.KING, True, {"placed": QUEEN}, "a queen works best from afar"),
    ],
)
def test_a_man_saved_teaches_by_who_attacked_it_and_how_far_it_goes(
    uci: str, by: int, moved: bool, told: dict[str, Any], rule: str
) -> None:
    idea = Saved(chess.ROOK, chess.F1, moved, by)
    other = SimpleNamespace(seen=SimpleNamespace(idea={Saved: None if told.get("another") else idea}.get))
    assert maxims.saved(facts(told.get("placed", ROOK), uci, idea, as_quick=(other,))) == rule


NULL = chess.Move.null()


@pytest.mark.parametrize(
    ("placed", "does", "told", "rule"),
    [
        (ROOK, Next.CAPTURE, {"forks": True}, maxims.SECOND_MAN),
        (AGAINST.format(man="n", men="R2"), Next.CAPTURE, {}, "first win the knight, then mate"),
        ("8/8/8/3k3n/7n/8/8/K4R2 w", Next.CAPTURE, {}, ""),
        (AGAINST.format(man="n", men="R2"), Next.CAPTURE, {"sure": False}, ""),
        (AGAINST.format(man="n", men="R2"), Next.CAPTURE, {"sure": False, "forks": True}, ""),
        (AGAINST.format(man="n", men="R2"), Next.CAPTURE, {"skewers": True}, maxims.LOOK_BEHIND),
        (AGAINST.format(man="n", men="R2"), Next.BOX, {}, ""),
    ],
)
def test_what_is_prepared_teaches_the_double_hit_what_stands_behind_or_the_last_man(
    placed: str, does: Next, told: dict[str, bool], rule: str
) -> None:
    idea = SimpleNamespace(does=does, **{"forks": False, "skewers": False, "sure": True, **told})
    given = facts(placed, "f1f4")
    vars(given.seen)["idea"] = {Prepares: idea}.get
    assert maxims.forks(given) == rule


@pytest.mark.parametrize(
    ("placed", "aim", "king", "rule"),
    [
        (ROOK, Aim.CENTRE, "a5", maxims.STAY_THERE),
        (ROOK, Aim.CENTRE, "d5", maxims.NOT_IN_THE_MIDDLE),
        (AGAINST.format(man="n", men="R2"), Aim.CENTRE, "d5", maxims.TO_THE_EDGE),
        (AGAINST.format(man="n", men="R2"), Aim.OWN_MAN, "d5", "part the king from its knight"),
        (ROOK, Aim.OWN_MAN, "d5", ""),
        (ROOK, Aim.PAWN, "d5", maxims.FROM_THE_PAWN),
        (ROOK, Aim.WRONG_CORNER, "d5", maxims.NOT_THAT_CORNER),
        (ROOK, Aim.OUT_OF_CORNER, "a8", "a king in the corner must stay there"),
        (ROOK, Aim.OUT_OF_CORNER, "b8", "a king by the corner must stay there"),
    ],
)
def test_a_way_is_shut_since_the_king_must_stay_on_the_edge_or_apart(
    placed: str, aim: Aim, king: str, rule: str
) -> None:
    assert maxims.shuts_way(facts(placed, "f1f4", ShutsWay(aim, (), chess.A8, True), king=king)) == rule


@pytest.mark.parametrize(
    ("placed", "where", "corner", "rule"),
    [
        (BISHOPS, Where.TO_EDGE, chess.A8, maxims.TWO_BISHOPS),
        (BISHOPS, Where.TO_EDGE, None, maxims.ONLY_ON_EDGE),
        (MINORS, Where.TO_EDGE, chess.A8, maxims.RIGHT_CORNER),
        (MINORS, Where.ALONG_EDGE, None, maxims.STAY_THERE),
        (ROOK, Where.ALONG_EDGE, chess.A8, maxims.STAY_THERE),
        (ROOK, Where.TO_EDGE, chess.A8, maxims.ONLY_ON_EDGE),
        (AGAINST.format(man="n", men="R2"), Where.TO_EDGE, None, ""),
        (ROOK, Where.TO_CORNER, chess.A8, ""),
    ],
)
def test_a_king_is_driven_to_the_edge_and_the_corner_where_it_is_mated(
    placed: str, where: Where, corner: int | None, rule: str
) -> None:
    idea = SimpleNamespace(where=where, corner=corner)
    given = facts(placed, STEP)
    vars(given.seen)["idea"] = {Drives: idea}.get
    assert maxims.drives(given) == rule
