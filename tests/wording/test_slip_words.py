"""What a slip leaves the king, and when it goes the wrong way, in place of what it missed: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.nears_man import NearsMan
from matebot.terms import Mistake
from matebot.wording import slip_words
from tests.wording.test_slip_reasons import ONE, TWO, facts

EDGE, OPEN = "8/8/8/k7/8/8/8/K1R5 w", "8/8/8/3k4/8/8/8/K1R5 w"


def left(placed: str, uci: str, *shown: type, san: str = "Rd3", **told: Any) -> MoveFacts:
    """Return facts of a slip or a better move with what is left to the king: its room, and the ideas as told."""
    room = {name: told.pop(name, ()) for name in ("squares_taken", "squares_given", "flights")}
    given = {"gains": None, "by_king": True, "gains_now": True, "range_after": 60, "range_shrinks": False}
    given = {name: told.pop(name, value) for name, value in given.items()}
    changes, caged, attacked = told.pop("changes", None), told.pop("caged", False), told.pop("attacked", False)
    check = told.pop("check", None)
    goals = told.pop("goals", ("b5",))
    kings = SimpleNamespace(kings_before=told.pop("before", 4), kings_after=told.pop("after", 4))
    found = facts(placed, uci, san=san, kings=kings, **told)
    found_room = {**vars(found.room), **{name: squares for name, squares in room.items() if squares}}
    vars(found)["room"] = SimpleNamespace(**{"squares_taken": (), "squares_given": (), **found_room})
    vars(found)["given"] = SimpleNamespace(**given)
    vars(found)["then"] = SimpleNamespace(**{**vars(found.then), "goals": goals})
    ideas = {kind: SimpleNamespace(change=changes, from_king=told.get("from_king", 2)) for kind in shown}
    vars(found.seen).update(
        idea=ideas.get, contrast=SimpleNamespace(caged=caged), attacked=lambda square: attacked, answers_check=False
    )
    if check is not None:
        vars(found)["gives"] = SimpleNamespace(check=check, mate=False)
    return found


KEPT, SHUT, DRIVEN, BOXED = (
    "keeps the king on the edge",
    "shuts the king in on two ranks",
    "drives the king to the edge",
    "shrinks the box",
)


@pytest.mark.parametrize(
    ("placed", "deed", "slip", "better", "text"),
    [
        (EDGE, KEPT, {}, {}, "lets Black's king off the edge: Rd3 keeps it there"),
        (EDGE, KEPT, {}, {"san": "Kb2"}, "lets Black's king off the edge: Kb2 keeps it there"),
        (EDGE, KEPT, {"san": "Kb1"}, {}, "lets Black's king off the edge: Rd3 keeps it there"),
        (EDGE, KEPT, {"ahead": ("Kb5", "")}, {}, "lets Black's king off the edge: Rd3 keeps it there"),
        (EDGE, KEPT, {"ahead": ("Kb5", ""), "gains": Gain.CENTRE}, {}, "lets Black's king off the edge by Kb5: Rd3"),
        (EDGE, KEPT, {"gains": Gain.CENTRE}, {}, "lets Black's king off the edge: Rd3"),
        (EDGE, KEPT, {"flights": ("a4",)}, {}, ""),
        (EDGE, KEPT, {"goals": ("a4", "b5")}, {}, "lets Black's king off the edge: Rd3 keeps it there"),
        (EDGE, KEPT, {"goals": ("a4",)}, {}, ""),  # the best replies stay on the edge
        (OPEN, KEPT, {}, {}, ""),
        (EDGE, f"{KEPT} for long", {}, {}, ""),
        (EDGE, SHUT, {}, {}, "leaves Black's king free: Rd3 shuts it in on two ranks"),
        (EDGE, SHUT, {"caged": True}, {}, ""),
        (EDGE, SHUT, {"range_after": 30}, {}, "leaves Black's king free: Rd3 shuts it in on two ranks"),
        (EDGE, SHUT, {"range_after": 29}, {}, ""),
        (EDGE, SHUT, {"squares_taken": ("b4",)}, {}, ""),
        (EDGE, SHUT, {"range_shrinks": True}, {}, ""),
        (EDGE, SHUT, {"shown": Cage, "changes": CageChange.SHUTS}, {}, ""),
        (EDGE, SHUT, {"shown": Cage, "changes": CageChange.TIGHTENS}, {}, ""),
        (EDGE, SHUT, {"shown": Cage, "changes": CageChange.WIDENS}, {}, "leaves Black's king free"),
        (EDGE, SHUT, {"shown": Box, "changes": BoxChange.MAKES}, {}, ""),
        (EDGE, SHUT, {"shown": Box, "changes": BoxChange.SHRINKS}, {}, ""),
        (EDGE, SHUT, {"shown": Box, "changes": BoxChange.WIDENS}, {}, "leaves Black's king free"),
        (EDGE, SHUT, {"shown": CutOff, "changes": CutChange.SETS}, {}, ""),
        (EDGE, SHUT, {"shown": CutOff, "changes": CutChange.GIVES_UP}, {}, "leaves Black's king free"),
        (OPEN, DRIVEN, {}, {}, "leaves Black's king in the open: Rd3 drives it to the edge"),
        (EDGE, DRIVEN, {}, {}, ""),
        (OPEN, DRIVEN, {"squares_taken": ("d4",)}, {}, ""),
        (OPEN, "drives the king back", {}, {}, ""),
        (OPEN, BOXED, {}, {}, "leaves Black's king its room: Rd3 shrinks the box"),
        (OPEN, BOXED, {"squares_taken": ("d4",)}, {}, ""),
        (
            OPEN,
            BOXED,
            {"squares_given": ("d4", "e4"), "ahead": ("Ke4", "")},
            {"flights": ("e5",)},
            "gives Black's king d4 and e4: Rd3 shrinks the box",
        ),
        (
            OPEN,
            BOXED,
            {"squares_given": ("d4", "e4"), "ahead": ("Kd4", "")},
            {"flights": ("e4",)},
            "gives Black's king d4: Rd3 shrinks the box",
        ),
        (OPEN, BOXED, {"squares_given": ("d4",)}, {"flights": ("d4",)}, "leaves Black's king its room"),
        (
            OPEN,
            BOXED,
            {"squares_given": ("d4", "e4", "c4"), "ahead": ("Kc4", "")},
            {"flights": ("e5",)},
            "gives Black's king d4, e4 and c4",
        ),
        # The reply uses none of them.
        (
            OPEN,
            BOXED,
            {"squares_given": ("d4", "e4"), "ahead": ("Kc4", "")},
            {"flights": ("e5",)},
            "leaves Black's king its room",
        ),
        (
            OPEN,
            BOXED,
            {"squares_given": ("d4", "e4", "c4", "c5")},
            {"flights": ("e5",)},
            "leaves Black's king its room",
        ),
        (OPEN, BOXED, {"squares_given": ("d4",), "check": True}, {"flights": ("e5",)}, "leaves Black's king its room"),
        (OPEN, "takes d4 from Black's king", {}, {}, "leaves Black's king its room: Rd3 takes d4 from it"),
        (OPEN, "shuts rank 4 to Black's king", {}, {}, "leaves Black's king its room: Rd3 shuts rank 4 to it"),
        (OPEN, "cuts the king off along rank 4", {}, {}, "leaves Black's king its room: Rd3 cuts it off along rank 4"),
        (OPEN, "takes d4", {}, {}, ""),
        (OPEN, "takes the knight from Black's king", {}, {}, ""),
        (OPEN, "takes d4 from Black's king by the opposition", {}, {}, ""),
    ],
)
def test_what_the_king_is_left_is_told_where_the_better_move_takes_it_and_the_slip_takes_nothing(
    placed: str, deed: str, slip: dict[str, Any], better: dict[str, Any], text: str
) -> None:
    shown = (slip.pop("shown"),) if "shown" in slip else ()
    given = left(placed, "c1c2", *shown, **{"san": "Rc2", **slip}), left(placed, "c1c3", **better)
    said = next(filter(None, (way(*given, deed) for way in slip_words._ABOUT_ROOM)), "")
    assert said.startswith(text) if text else not said


@pytest.mark.parametrize(
    ("used", "others", "told"),
    [
        ({}, [], True),
        ({"by_king": False}, [], False),
        ({"gains_now": False}, [], True),
        ({"gains_now": False}, ["takes d4 from the king"], True),
        ({"gains_now": False}, ["keeps the king on the edge for long"], False),
    ],
)
def test_what_the_king_is_left_is_told_where_it_uses_that_at_once_or_all_of_the_best_moves_take_it(
    monkeypatch: pytest.MonkeyPatch, used: dict[str, bool], others: list[str], told: bool
) -> None:
    better = left(EDGE, "c1c3", by_attacker=True)
    slip = left(EDGE, "c1c2", san="Rc2", held_against=[better], by_attacker=True, **used)
    monkeypatch.setattr(slip_words, "best_ones", lambda _: [better, *others])
    monkeypatch.setattr(
        slip_words, "deeds", lambda one: iter([SimpleNamespace(text=one if isinstance(one, str) else KEPT)])
    )
    first = f"Rc2 misses Rd3, which {KEPT}; mate in 9"
    assert slip_words.plainly(slip, first) == (
        "Rc2 lets Black's king off the edge: better Rd3, which keeps it there; mate in 9" if told else first
    )
    assert slip_words.plainly(slip, first.replace("Rd3", "Rd4")) == first.replace("Rd3", "Rd4")
    assert slip_words.plainly(slip, first.replace("misses", "loses")) == first.replace("misses", "loses")
    long = first + " with this and that" * 5
    assert slip_words.plainly(slip, long) == long
    vars(slip)["by_attacker"] = False
    assert slip_words.plainly(slip, first) == first


PAWNS, CUT = "8/8/8/8/4k3/8/7P/K1Q5 w", "cuts the king off from its rook along rank 4"


@pytest.mark.parametrize(
    ("placed", "deed", "told", "text"),
    [
        (ONE, CUT, {}, "leaves Black's king the way to its rook: Rd3 cuts it off along rank 4"),
        (
            ONE,
            CUT,
            {"ahead": ("Kf4", ""), "gains": Gain.MAN},
            "lets Black's king nearer to its rook by Kf4: Rd3 cuts it",
        ),
        (
            ONE,
            CUT,
            {"ahead": ("Kf4", ""), "gains": Gain.PAWN},
            "lets Black's king nearer to its rook by Kf4: Rd3 cuts it",
        ),
        (ONE, CUT, {"ahead": ("Kf4", ""), "gains": Gain.CENTRE}, "leaves Black's king the way to its rook"),
        (ONE, CUT, {"gains": Gain.MAN}, "leaves Black's king the way to its rook"),
        (ONE, CUT, {"flights": ("d5",)}, ""),
        (TWO, CUT, {}, ""),
        (ONE, "cuts the king off along rank 4", {}, ""),
        (PAWNS, CUT.replace("its rook", "the pawn"), {}, "leaves Black's king the way to the pawn: Rd3"),
        (PAWNS, CUT.replace("its rook", "the pawn"), {"flights": ("d5",)}, ""),
        (
            PAWNS,
            CUT.replace("its rook", "the pawn"),
            {"uci": "h2h3", "flights": ("f4",)},
            "leaves Black's king the way",
        ),
        (ONE, CUT.replace("its rook", "the pawn"), {}, ""),
    ],
)
def test_a_king_is_left_the_way_to_the_only_man_or_pawn_where_a_step_brings_it_nearer(
    placed: str, deed: str, told: dict[str, Any], text: str
) -> None:
    slip = left(placed, told.pop("uci", "a1a2"), san="Qb1", **told)
    said = slip_words._apart(slip, left(placed, "a1a2"), deed)
    assert said.startswith(text) if text else not said


UP, ON, TO_CENTRE = "brings the king up", "brings the pawn on", "heads for the centre"
BACK = {"after": 5, "before": 4}


@pytest.mark.parametrize(
    ("uci", "slip", "better", "deed", "text"),
    [
        ("b2a1", BACK, {}, UP, "goes the wrong way: Kc3 brings the king up"),
        ("b2a2", {}, {}, UP, "goes the wrong way: Kc3 brings the king up"),
        ("b2b1", {"after": 3}, {}, UP, ""),
        ("b2b3", {}, {}, UP, ""),
        ("b2c2", {}, {}, UP, ""),
        ("b2a1", BACK, {"others": 5}, UP, ""),
        ("b2a1", BACK, {"others": 6}, UP, ""),
        ("b2a1", BACK, {"others": 4}, UP, "goes the wrong way: Kc3 brings the king up"),
        ("b2a1", BACK, {"san": "Rd3"}, UP, ""),
        ("b2a1", BACK, {}, BOXED, ""),
        ("b2a1", BACK, {}, TO_CENTRE, "goes the wrong way: Kc3 heads for the centre"),
        ("f1f2", {}, {}, UP, "leaves White's king behind: Kc3 brings it up"),
        ("f1f2", {}, {"best": False}, UP, ""),
        ("f1f2", {"check": True}, {}, UP, "gives a check that gains nothing: Kc3 brings the king up"),
        ("f1f2", {"check": True, "mistake": Mistake.OUTCOME}, {}, UP, ""),
        ("f1f5", {"placed": "8/8/8/3k1n2/8/8/1K6/5R2 w", "check": True}, {}, UP, ""),
        ("g2g3", {"placed": "8/8/8/3k4/8/8/1K4P1/5R2 w"}, {}, UP, ""),
        ("f1f2", {"check": True}, {"san": "g3"}, ON, "gives a check that gains nothing: g3 brings the pawn on"),
        ("f1f2", {}, {"san": "g3"}, ON, ""),
        ("f1f2", {"check": True}, {}, ON, ""),
        ("b2a1", BACK, {"san": "g3"}, ON, ""),
    ],
)
def test_a_move_goes_the_wrong_way_or_leaves_the_king_behind_where_the_king_should_come_up(
    monkeypatch: pytest.MonkeyPatch, uci: str, slip: dict[str, Any], better: dict[str, Any], deed: str, text: str
) -> None:
    placed = slip.pop("placed", "8/8/8/3k4/8/8/1K6/5R2 w")
    good = left(placed, "b2c3", san=better.get("san", "Kc3"), after=3)
    others = [left(placed, "b2b3", after=better["others"])] if "others" in better else []
    best = [good] if better.get("best", True) else [good, left(placed, "f1f3")]
    monkeypatch.setattr(slip_words, "best_ones", lambda _: best)
    given = left(placed, uci, san="Rf2", held_against=others, **{"mistake": Mistake.MOVES, **slip})
    assert slip_words._time(given, good, deed) == text


@pytest.mark.parametrize(
    ("placed", "shown", "told", "slip", "deed", "text"),
    [
        ("8/8/8/3k4/8/1n6/K7/5R2 w", (NearsMan,), {}, {}, UP, UP),  # it was beside it
        ("8/8/8/3k4/1n6/8/K7/5R2 w", (NearsMan,), {}, {}, UP, "attacks the knight"),
        ("8/8/8/3k4/1n6/8/K7/5R2 w", (), {}, {}, UP, "brings the king to the knight"),
        ("8/8/8/3k4/1n6/8/K7/5R2 w", (NearsMan,), {"from_king": 1}, {}, UP, "brings the king to the knight"),
        ("8/8/8/3k4/1n6/8/K7/5R2 w", (NearsMan,), {}, {"attacked": True}, UP, "brings the king to the knight"),
        ("8/8/8/3k3n/1n6/8/K7/5R2 w", (NearsMan,), {}, {}, UP, UP),
        ("8/8/8/3k3n/8/8/K7/5R2 w", (), {"squares_taken": ("c4",)}, {}, UP, UP),
        ("8/8/8/3k4/8/8/K7/5R2 w", (), {"squares_taken": ("c4",)}, {}, UP, f"{UP} and shuts c4"),
        ("8/8/8/3k4/8/8/K7/5R2 w", (), {"squares_taken": ("c4",) * 4}, {}, UP, UP),
        ("8/8/8/3k4/8/8/K7/5R2 w", (), {}, {}, UP, UP),
        ("8/8/8/3k4/8/8/K7/5R2 w", (), {}, {}, "brings the king nearer", "brings the king nearer to Black's"),
        ("8/8/8/3k4/8/8/K7/5R2 w", (), {"squares_taken": ("c4",)}, {}, TO_CENTRE, TO_CENTRE),
    ],
)
def test_a_king_comes_to_the_only_man_for_the_squares_it_shuts_or_to_the_other_king(
    placed: str,
    shown: tuple[type, ...],
    told: dict[str, Any],
    slip: dict[str, Any],
    deed: str,
    text: str,
) -> None:
    better = left(placed, "a2a3", *shown, san="Ka3", **told)
    assert slip_words._comes_to(better, deed, left("8/8/8/3k4/8/8/K7/5R2 w", "f1f2", **slip)) == text
