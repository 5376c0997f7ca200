"""What a step of the defending king is told by: rooms, edges, corners and the other king's way; of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.critical import Critical
from matebot.ideas.makes_for import Goal, MakesFor
from matebot.ideas.wrong_corner import CornerDeed
from matebot.wording import counsel, defence_king
from tests.wording.bare import facts_of

ROOK, BISHOPS, QUEENS = "8/8/8/3k4/8/8/8/K6R b", "8/8/8/3k4/8/8/8/K5BB b", "8/8/8/3k4/8/8/8/K5QQ b"
PAWN, ROOK_PAWN, AGAINST = "8/8/8/3k4/8/8/7P/K7 b", "8/8/8/3k4/8/8/7P/K6R b", "8/8/8/3k2n1/8/8/8/K6R b"
STEP, FAR = "d5d6", 20


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a defence: the ideas by their kinds, what parts it from others, and as told."""
    ideas, parts = told.pop("ideas", {}), told.pop("parts", {})
    contrast = {
        "opposes": lambda kind: False,
        "bars": lambda mask: False,
        "keeps_out": lambda square: True,
        "off_edge": lambda off: False,
        "edge_tells": lambda off: off == 1,
        "farther": lambda corner, steps: False,
        "shuts_off": lambda target, squares: False,
        "shorter_kings": (),
        "equal_kings": (),
        "leaves_man": None,
        **parts,
    }
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        contrast=SimpleNamespace(**contrast),
        name=lambda *moves: told.get("mate_name", "Ra8#") if len(moves) > 1 else "Kd8",
    )
    given = {name: value for name, value in told.items() if name not in ("mate", "mate_name", "opposition", "barred")}
    return facts_of(
        f"{placed} - - 0 1",
        uci,
        seen=seen,
        worth=SimpleNamespace(mate_moves=told.get("mate", FAR), outcome_after=-1),
        kings=SimpleNamespace(opposition=told.get("opposition")),
        bars=SimpleNamespace(barred=told.get("barred", ())),
        race=SimpleNamespace(steps_short=given.pop("short", None)),
        corner=SimpleNamespace(**given.pop("corner", {})),
        **given,
    )


@pytest.mark.parametrize(
    ("placed", "reached", "mate", "text"),
    [
        (BISHOPS, True, FAR, "steps through the hole e6"),
        (BISHOPS, True, 6, "steps through the hole e6"),
        (BISHOPS, True, 5, ""),
        (BISHOPS, False, 5, "heads for the hole e6"),
        (ROOK, True, FAR, ""),
    ],
)
def test_a_hole_counts_where_minor_men_shut_the_king_in(placed: str, reached: bool, mate: int, text: str) -> None:
    idea: Any = SimpleNamespace(reached=reached, hole=chess.E6)
    assert defence_king.hole(idea, facts(placed, STEP, mate=mate)) == text


TO_A1 = "8/8/8/8/3k4/8/6K1/6BN b"


@pytest.mark.parametrize(
    ("placed", "deed", "steps", "text"),
    [
        (TO_A1, CornerDeed.RUNS, 2, "runs for a1, the corner where no mate can be forced"),
        (TO_A1, CornerDeed.DRIVES_OUT, 2, ""),
        (TO_A1, CornerDeed.RUNS, 0, "goes into the corner where no mate can be forced"),
        (TO_A1, CornerDeed.RUNS, 5, "runs for a1, the corner where no mate can be forced"),
        (TO_A1, CornerDeed.RUNS, 6, ""),  # the other king comes as soon
        ("8/8/8/8/3k4/8/6K1/N5B1 b", CornerDeed.RUNS, 2, "runs for the knight on a1, the corner where no mate"),
    ],
)
def test_a_king_runs_for_a_corner_to_which_it_comes_first(placed: str, deed: CornerDeed, steps: int, text: str) -> None:
    idea: Any = SimpleNamespace(deed=deed, steps=steps, corner=chess.A1)
    found = defence_king.wrong_corner(idea, facts(placed, "d4c3"))
    assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("placed", "uci", "kind", "told", "text"),
    [
        (PAWN, STEP, "direct", {}, "takes the direct opposition"),
        (PAWN, STEP, "distant", {}, "takes the distant opposition"),
        (PAWN, STEP, "direct", {"barred": ("d4", "e4")}, "takes the direct opposition and bars d4 and e4"),
        (PAWN, STEP, None, {}, ""),
        (PAWN, STEP, "direct", {"parts": {"opposes": lambda kind: kind == "direct"}}, ""),
        (PAWN, STEP, "distant", {"parts": {"opposes": lambda kind: kind == "direct"}}, "takes the distant opposition"),
        (AGAINST, STEP, "direct", {}, "takes the direct opposition"),
        (AGAINST, STEP, "distant", {}, ""),
        (AGAINST, "g5e4", "direct", {}, ""),
        (ROOK_PAWN, STEP, "direct", {}, ""),
        (ROOK, STEP, "direct", {}, ""),
    ],
)
def test_the_opposition_is_told_with_a_lone_pawn_or_a_lone_man_straight_before_the_king(
    placed: str, uci: str, kind: str | None, told: dict[str, Any], text: str
) -> None:
    assert defence_king.opposition(facts(placed, uci, opposition=kind, **told)) == text


ANSWER = {Critical: {"answer": chess.Move.from_uci("a1b2"), "off_edge": True}}


@pytest.mark.parametrize(
    ("placed", "told", "text"),
    [
        (ROOK, {"ideas": ANSWER}, "keeps White's king out of b2"),
        (ROOK, {"ideas": ANSWER, "mate": 3}, "keeps White's king out of b2"),
        (ROOK, {"ideas": ANSWER, "mate": 2}, ""),
        (ROOK, {}, ""),
        (ROOK, {"ideas": {Critical: {"answer": None}}}, ""),
        (ROOK, {"ideas": {Critical: {"answer": chess.Move.from_uci("h1h2")}}}, ""),
        (ROOK, {"ideas": ANSWER, "parts": {"keeps_out": lambda square: square != chess.B2}}, ""),
        (ROOK, {"ideas": ANSWER, "parts": {"bars": lambda mask: mask == chess.BB_B2 | chess.BB_B3}}, ""),
        (PAWN, {"ideas": ANSWER}, "bars White's king from b2 or b3"),
        (PAWN, {}, "bars White's king from b2 or b3"),
        (ROOK_PAWN, {}, ""),
    ],
)
def test_the_other_king_is_kept_from_where_it_would_go_or_from_all_squares_with_a_lone_pawn(
    placed: str, told: dict[str, Any], text: str
) -> None:
    given = facts(placed, STEP, barred=("b2", "b3"), **told)
    idea: Any = SimpleNamespace(squares=(chess.B2, chess.B3))
    assert defence_king.bars(idea, given) == defence_king.barred(given) == text
    vars(given.bars)["barred"] = ()
    assert defence_king.barred(given) == ""
    kept = defence_king.keeps_out(given)
    assert kept == ("keeps White's king out of b2" if "out of" in text or "bars" in told.get("parts", {}) else "")


@pytest.mark.parametrize(
    ("placed", "idea", "told", "text"),
    [
        (ROOK, {}, {}, "heads for the centre, since {alone} only on the edge"),
        (ROOK, {"before": 0}, {}, "leaves the edge, since {alone} only there"),
        (ROOK, {"before": 0, "only": True, "after": 1}, {}, "is the one step off the edge, and {alone} only there"),
        (ROOK, {"before": 0, "only": True, "after": 2}, {}, "leaves the edge, since {alone} only there"),
        (ROOK, {"stays_out": True}, {}, "keeps off the edge, since {alone} only there"),
        (ROOK, {"stays_out": True, "only": True, "after": 1}, {}, "is the one step that keeps off the edge, and"),
        (ROOK, {"stays_out": True, "after": 0}, {}, ""),
        (AGAINST, {}, {}, "heads for the centre, where it is hardest to drive"),
        (AGAINST, {"before": 0}, {}, "leaves the edge, where it can be mated"),
        (PAWN, {}, {}, ""),
        ("8/8/8/3k2p1/8/8/8/K6R b", {}, {}, ""),
        (ROOK, {}, {"off_edge": lambda off: off == 2}, ""),
        (ROOK, {}, {"off_edge": lambda off: off == 1}, "heads for the centre"),
        (ROOK, {"before": 0}, {"off_edge": lambda off: off == 1}, ""),
        (ROOK, {"stays_out": True}, {"off_edge": lambda off: off == 1}, ""),
    ],
)
def test_a_king_keeps_from_the_edge_where_that_tells_and_no_pawn_matters_more(
    placed: str, idea: dict[str, Any], told: dict[str, Any], text: str
) -> None:
    shown: Any = SimpleNamespace(**{"before": 1, "after": 2, "stays_out": False, "only": False, **idea})
    given, alike = facts(placed, STEP, ideas=ANSWER, parts=told), facts(placed, STEP, parts=told)
    found, text = defence_king.telling_edge(shown, given), text.format(alone="a rook mates")
    assert found.startswith(text) if text else not found
    assert defence_king.equal_edge(shown, alike) == found
    assert defence_king.telling_edge(shown, alike) == defence_king.equal_edge(shown, given) == ""


@pytest.mark.parametrize(
    ("corner", "told", "gets"),
    [
        ((2, 3, "h8"), {}, True),
        ((3, 4, "h8"), {}, True),
        ((4, 5, "h8"), {}, False),
        ((2, 2, "h8"), {}, False),
        ((None, 3, "h8"), {}, False),
        ((2, None, "h8"), {}, False),
        ((2, 3, None), {}, False),
        ((2, 3, "h8"), {"parts": {"farther": lambda corner, steps: (corner, steps) == (chess.H8, 2)}}, False),
        ((2, 3, "h8"), {"uci": "g5e4"}, False),
    ],
)
def test_a_king_gets_away_from_the_right_corner_while_it_is_near(
    corner: tuple[int | None, int | None, str | None], told: dict[str, Any], gets: bool
) -> None:
    names = ("corner_steps_before", "corner_steps_after", "right_corner")
    uci = told.pop("uci", STEP)
    given = facts(AGAINST, uci, corner=dict(zip(names, corner, strict=True)), **told)
    assert defence_king.from_corner(given) == ("gets away from h8, where mate is forced" if gets else "")


@pytest.mark.parametrize(
    ("placed", "uci", "goal", "told", "text"),
    [
        (ROOK, STEP, Goal.MAN, {}, "makes for e5 or f5, to attack the rook on h1"),
        (ROOK, STEP, Goal.MAN, {"mate": 6}, "makes for e5 or f5, to attack the rook on h1"),
        (ROOK, STEP, Goal.MAN, {"mate": 5}, ""),
        (ROOK, STEP, Goal.MAN, {"target": None}, ""),
        (ROOK, STEP, Goal.MAN, {"parts": {"shorter_kings": (chess.G2,)}}, ""),
        (ROOK, STEP, Goal.MAN, {"parts": {"shorter_kings": (chess.F2,)}}, "makes for e5 or f5, to attack the rook"),
        (ROOK, STEP, Goal.MAN, {"parts": {"shuts_off": lambda *_: True}}, ""),
        (AGAINST, STEP, Goal.OWN_MAN, {"target": chess.G5}, "makes for e5 or f5, nearer to its rook"),
        (AGAINST, STEP, Goal.OWN_MAN, {"target": chess.H5}, "makes for e5 or f5, nearer to its rook"),
        (AGAINST, STEP, Goal.OWN_MAN, {"target": chess.A8}, ""),
        (AGAINST, STEP, Goal.OWN_MAN, {"target": chess.G8}, ""),
        (AGAINST, STEP, Goal.PAWN, {"target": chess.A8}, "makes for e5 or f5, nearer to the pawn on a8"),
        (ROOK, STEP, Goal.PAWN, {"short": 1}, ""),
        (ROOK, STEP, Goal.PAWN, {"short": 0}, "makes for e5 or f5, nearer to the pawn on h1"),
        (ROOK, STEP, Goal.WRONG_CORNER, {}, "makes for e5 or f5, on the way to h1, the wrong corner"),
        (ROOK, STEP, Goal.OUT_OF_CORNER, {}, "makes for e5 or f5, out of the corner h1"),
        (ROOK, STEP, Goal.CENTRE, {"target": None}, "makes for e5 or f5, nearer to the centre"),
        ("3k4/8/8/8/8/8/8/K6R b", "d8c8", Goal.CENTRE, {}, "makes for e5 or f5, since off the edge"),
        ("3k2n1/8/8/8/8/8/8/K6R b", "d8c8", Goal.CENTRE, {}, "makes for e5 or f5, off the edge"),
        (PAWN, STEP, Goal.CENTRE, {}, ""),
        ("8/8/8/3k2p1/8/8/8/K6R b", STEP, Goal.CENTRE, {}, ""),
        (PAWN, STEP, Goal.WRONG_CORNER, {}, "makes for e5 or f5, on the way to h1, the wrong corner"),
    ],
)
def test_a_king_makes_for_squares_that_lead_to_what_matters(
    placed: str, uci: str, goal: Goal, told: dict[str, Any], text: str
) -> None:
    target = told.pop("target", chess.H1)
    idea = MakesFor(goal, (chess.E5, chess.F5), target, chess.ROOK)
    given = facts(placed, uci, **told)
    found = defence_king.makes_for(idea, given)
    assert found.startswith(text) if text else not found
    assert defence_king.telling_way(idea, given) == (found if goal is Goal.MAN else "")


def test_a_way_is_told_of_what_minor_men_have_shut() -> None:
    idea = MakesFor(Goal.WRONG_CORNER, (chess.E5, chess.F5), chess.H1, None)
    assert defence_king.telling_way(idea, facts(BISHOPS, STEP)).startswith("makes for e5 or f5, on the way to h1")


@pytest.mark.parametrize(
    ("placed", "uci", "other", "opposed"),
    [
        ("3k4/8/2K5/8/8/8/8/7R b", "d8e8", chess.C8, True),
        ("3k4/8/2K5/8/8/8/8/7R b", "d8e8", chess.C7, False),
        ("3k4/8/2K5/8/8/8/8/7R b", "d8e8", chess.D8, False),
        ("8/8/8/K7/3k4/8/8/7R b", "d4d5", chess.C5, True),
        ("8/8/8/K7/3k4/8/8/7R b", "d4d5", chess.C4, False),
        ("8/8/8/K7/3k4/8/8/7R b", "d4d5", chess.D5, False),
        ("3k4/8/2K5/8/8/8/8/7Q b", "d8e8", chess.C8, False),
        ("3k4/8/1nK5/8/8/8/8/7R b", "b6a8", chess.C8, False),
    ],
)
def test_a_mate_is_avoided_by_staying_out_of_the_opposition_with_a_rook(
    placed: str, uci: str, other: int, opposed: bool
) -> None:
    idea: Any = SimpleNamespace(other=SimpleNamespace(to_square=other), mate=chess.Move.null())
    given = facts(placed, uci)
    text = "stays out of the opposition: Kd8 would allow Ra8#" if opposed else "avoids mate on the next move, since Kd8"
    assert defence_king.escapes(idea, given).startswith(text)
    assert defence_king.escape_lesson(idea, given) == (counsel.FACED if opposed else counsel.SEE_MATES)


@pytest.mark.parametrize(
    ("placed", "mate", "told"), [(ROOK, FAR, True), (ROOK, 3, True), (ROOK, 2, False), (AGAINST, FAR, False)]
)
def test_a_king_keeps_farthest_from_one_without_which_no_mate_is(placed: str, mate: int, told: bool) -> None:
    idea: Any = SimpleNamespace()
    assert bool(defence_king.from_king(idea, facts(placed, STEP, mate=mate))) == told


def test_a_king_keeps_the_most_room_in_a_cage() -> None:
    for caged, text in ((True, "keeps the most room in its cage"), (False, "")):
        idea: Any = SimpleNamespace(caged=caged)
        assert defence_king.room(idea, facts(ROOK, STEP)) == text
