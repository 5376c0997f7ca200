"""What is told of boxes, of lines that cut a king off, of checks and of what stays shut: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from matebot.ideas.box import BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.holes import Holes
from matebot.wording import maxims, rooms
from tests.wording.test_rooms import AGAINST, MINORS, ROOK, cage, facts, found

BOXED, BEHIND = "8/8/8/3k4/8/8/8/K4R2 w", "8/8/8/3k4/8/7K/8/5R2 w"
M, K, G = CutChange.SETS, CutChange.KEEPS, CutChange.GIVES_UP


@pytest.mark.parametrize(
    ("placed", "uci", "change", "told", "text"),
    [
        (BOXED, "f1f4", BoxChange.MAKES, {}, "shuts the king in a box"),
        (BOXED, "f1f4", BoxChange.MAKES, {"after_box": None}, ""),
        (BOXED, "f1f4", BoxChange.MAKES, {"bars": ("rank 4",)}, ""),
        (BOXED, "f1f4", BoxChange.HOLDS, {}, ""),
        (BOXED, "f1f4", BoxChange.SHRINKS, {}, "shrinks the box: rank 4 is now barred"),
        (BOXED, "f1f4", BoxChange.SHRINKS, {"takes": False}, ""),
        (BOXED, "f1f4", BoxChange.SHRINKS, {"bars": ("file f",)}, ""),  # the king walks round that line
        ("8/8/8/3k4/8/8/8/5R1K w", "f1e1", BoxChange.SHRINKS, {}, "shrinks the box: the e-file"),
        (BOXED, "f1f4", BoxChange.SHRINKS, {"before_box": None}, ""),
        (BOXED, "a1b1", BoxChange.SHRINKS, {}, "shrinks the box"),
        (BEHIND, "f1c1", BoxChange.SHRINKS, {}, "shrinks the box"),  # the line lies behind both kings
        (BEHIND, "f1f4", BoxChange.SHRINKS, {}, "shrinks the box: rank 4 is now barred"),
        (BOXED, "f1f4", BoxChange.SHRINKS, {"knights_move": True}, "shrinks the box, a knight's move from the king"),
        (BOXED.replace("R", "Q"), "f1f4", BoxChange.SHRINKS, {}, ""),
        (BOXED.replace("R", "Q"), "f1f4", BoxChange.SHRINKS, {"knights_move": True}, "shrinks the box, a knight's"),
        (BOXED.replace("R", "Q"), "f1e2", BoxChange.SHRINKS, {"knights_move": True}, "shrinks the box, a knight's"),
        (BEHIND, "f1c1", BoxChange.SHRINKS, {"ahead": ("Kc2",)}, ""),
        (BEHIND, "f1c1", BoxChange.SHRINKS, {"ahead": ("Kc3",)}, "shrinks the box"),
        (BEHIND, "f1c1", BoxChange.SHRINKS, {"ahead": ("Rc2",)}, "shrinks the box"),
        ("8/8/8/3k4/8/8/1K6/5R2 w", "b2b3", BoxChange.SHRINKS, {"ahead": ("Kc4",)}, "shrinks the box"),
        ("8/8/8/8/3k4/8/7K/6R1 w", "g1h1", BoxChange.SHRINKS, {"ahead": ("Kg2",)}, "shrinks the box"),
        (BEHIND, "f1f4", BoxChange.SHRINKS, {"ahead": ("Ke5",)}, "shrinks the box: rank 4 is now barred"),
    ],
)
def test_a_box_is_told_by_the_line_that_is_barred_and_not_where_the_piece_is_driven_off(
    placed: str, uci: str, change: BoxChange, told: dict[str, Any], text: str
) -> None:
    given = {"takes": told.get("takes", True), "bars": told.get("bars", (f"rank {uci[3]}", f"file {uci[2]}"))}
    idea = SimpleNamespace(change=change, before=told.get("before_box", 20), after=told.get("after_box", 12), **given)
    told_of = rooms.box(idea, facts(placed, uci, **{"king": "d5", **told}))  # type: ignore[arg-type]
    assert told_of.startswith(text) if text else not told_of


@pytest.mark.parametrize(
    ("placed", "uci", "change", "line", "text"),
    [
        ("8/8/8/3k4/8/8/8/KR6 w", "b1b4", M, "rank 4", "cuts the king off along rank 4 and the b-file"),
        ("8/8/8/3k4/8/8/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/8/3k4/8/8/K4R2 w", "f1f3", M, "rank 3", "cuts the king off along rank 3"),
        ("8/8/8/3k4/8/8/8/K4R2 w", "f1e1", M, "file e", "cuts the king off along the e-file"),
        ("8/8/8/3k4/8/8/8/K4R2 w", "f1f4", K, "rank 4", ""),
        ("8/8/8/3k4/8/8/8/K4R2 w", "a1b1", M, "rank 4", ""),
        ("8/8/8/3k4/8/7n/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off from its knight along rank 4"),
        ("8/8/8/3k4/8/7b/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/3k4/7n/8/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/7n/3k4/8/8/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/3k4/8/6pn/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/3k4/8/6p1/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off from its pawn along rank 4"),
        ("8/8/8/3k4/8/7p/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),  # it is too far off
        ("8/8/8/3k4/5n2/7n/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/3k4/5p2/7n/8/K4R2 w", "f1f4", M, "rank 4", "cuts the king off along rank 4"),
        ("8/8/8/2k5/8/5n2/8/K3R3 w", "e1e4", M, "file e", "cuts the king off from its knight along the e-file"),
    ],
)
def test_a_king_is_cut_off_along_both_lines_between_the_kings_or_from_its_only_man(
    placed: str, uci: str, change: CutChange, line: str, text: str
) -> None:
    idea = SimpleNamespace(change=change, line=line)
    given = facts(placed, uci, ideas={CutOff: idea})
    assert rooms.cuts(idea, given).startswith(text)  # type: ignore[arg-type]
    assert bool(rooms.cuts(idea, given)) == bool(text)  # type: ignore[arg-type]
    if "from its" in text:
        assert rooms.cut_maxim(given) == maxims.PART.format(man=given.men.defender_men[0])


@pytest.mark.parametrize(
    ("uci", "change", "ahead", "still", "kept"),
    [
        ("f1f4", K, (), True, "keeps the king cut off along rank 4"),
        ("f1f4", K, ("Kc5", "Kb2"), True, "keeps the king cut off along rank 4: if Kc5, Kb2"),
        ("f1f4", K, ("Kc5", "Rg4"), True, "keeps the king cut off along rank 4: if Kc5, Rg4"),
        ("f1f4", K, ("Kc5", "Rf3"), True, ""),
        ("f1f4", G, (), False, ""),
        ("a1b1", K, ("Kc5", "Rf3"), False, "keeps the king cut off along rank 4: if Kc5, Rf3"),
    ],
)
def test_a_king_stays_cut_off_where_the_piece_does_not_leave_the_line_next(
    uci: str, change: CutChange, ahead: tuple[str, ...], still: bool, kept: str
) -> None:
    idea, given = SimpleNamespace(change=change, line="rank 4"), facts(BOXED, uci, ahead=ahead)
    assert rooms.cuts_still(idea, given) == ("keeps the king cut off along rank 4" if still else "")  # type: ignore[arg-type]
    assert rooms.cut_kept(idea, given) == kept  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("told", "text"),
    [
        ({"flights": ("c6", "d6")}, "drives the king to c6 or d6"),
        ({"flights": ("c6",), "ahead": ("Kc6", "Rf1")}, "drives the king to c6: if Kc6, Rf1"),
        ({"flights": ("c6",), "ahead": ("Kc6",)}, "drives the king to c6"),
        ({"flights": ("c6", "d6", "e6")}, "drives the king to c6, d6 or e6"),
        ({"flights": ("c6", "d6", "e6", "c4")}, ""),
        ({"flights": ()}, ""),
        ({"flights": ("c6",), "check": False}, ""),
        ({"flights": ("c6",), "ideas": {ChasingCheck: object()}}, ""),
        (
            {"flights": ("c6", "d6", "e6", "c4"), "ideas": {Cage: SimpleNamespace(change=CageChange.HOLDS)}},
            "drives the king on inside the cage, to c6, d6, e6 or c4",
        ),
        ({"flights": ("c6",), "ideas": {Cage: SimpleNamespace(change=CageChange.WIDENS)}}, "drives the king to c6"),
    ],
)
def test_a_check_drives_the_king_to_three_squares_at_most_or_on_inside_its_cage(
    told: dict[str, Any], text: str
) -> None:
    assert rooms.checks(facts(BOXED, "f1f5", **{"check": True, **told})) == text


@pytest.mark.parametrize(
    ("placed", "uci", "along", "sizes", "check", "text"),
    [
        (MINORS, "c1e3", ("diagonal a7-g1",), (30, 20), False, "shuts the diagonal a7-g1 to Black's king"),
        (MINORS, "c1e3", ("diagonal c1-e3",), (30, 20), False, ""),
        (MINORS, "c1e3", ("diagonal c1-f4",), (30, 20), False, "shuts the diagonal c1-f4 to Black's king"),
        (MINORS, "c1e3", ("diagonal c1-e3",), (30, 15), False, "takes a good part of the board from Black's king"),
        (MINORS, "c1e3", (), (30, 16), False, ""),
        (MINORS, "c1e3", (), (30, 16), True, "takes a good part of the board from Black's king"),
        (ROOK, "f1f7", (), (30, 10), False, ""),
        (ROOK, "f1f8", ("rank 8",), (30, 10), True, "takes a good part of the board from Black's king"),
        (ROOK, "f1f8", ("rank 8",), (30, 10), False, "shuts rank 8 to Black's king"),
        (ROOK, "f1f7", ("file f",), (30, 10), True, "shuts the f-file to Black's king"),
    ],
)
def test_a_long_line_is_shut_on_which_no_king_in_check_stands_or_a_good_part_of_the_board(
    placed: str, uci: str, along: tuple[str, ...], sizes: tuple[int, int], check: bool, text: str
) -> None:
    idea = SimpleNamespace(along=along, size_before=sizes[0], size_after=sizes[1])
    assert rooms.narrows(idea, facts(placed, uci, check=check)) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("placed", "uci", "told", "cage_text", "box_text", "rule"),
    [
        (ROOK, "f1f2", {"same": True}, "keeps the cage shut and passes the move", "keeps the box shut and passes", "W"),
        (ROOK, "a1b1", {"same": True}, "keeps the cage shut", "keeps the box shut", "K"),
        (AGAINST, "f1f2", {"same": True}, "keeps the cage shut", "keeps the box shut", "K"),
        (ROOK, "f1f2", {"same": True, "taken": ("e4",)}, "keeps the cage shut", "keeps the box shut", "K"),
        (ROOK, "f1f2", {"same": True, "given": ("e4",)}, "keeps the cage shut", "keeps the box shut", "K"),
        (ROOK, "f1f2", {"given": ("e4",)}, "", "keeps the box shut", "K"),
        (ROOK, "f1f2", {"same": True, "check": True}, "keeps the cage shut", "keeps the box shut", "K"),
        (ROOK, "f1f2", {"loose": "c8"}, "", "keeps the box shut and passes the move", "W"),
        (ROOK, "a1b1", {"ahead": ("Kc8", "Kb2")}, "keeps the cage shut: if Kc8, Kb2", "keeps the box shut: if", "K"),
        (ROOK, "a1b1", {"changes": True}, "", "", "K"),
        (ROOK, "a1b1", {"caged": False}, "keeps the cage shut", "keeps the box shut", ""),
    ],
)
def test_what_stays_shut_is_told_with_a_move_passed_where_nothing_else_changes(
    placed: str, uci: str, told: dict[str, Any], cage_text: str, box_text: str, rule: str
) -> None:
    changed = told.get("changes", False)
    held = cage(CageChange.TIGHTENS if changed else CageChange.HOLDS, told)
    given = facts(placed, uci, ideas={Cage: held} if told.get("caged", True) else {}, **told)
    box = SimpleNamespace(change=BoxChange.SHRINKS if changed else BoxChange.HOLDS, bars=("rank 4", "file f"))
    half = SimpleNamespace(change=BoxChange.HOLDS, bars=("file f",))
    assert not rooms.box_held(half, given)  # type: ignore[arg-type]
    for text, wanted in ((rooms.cage_held(held, given), cage_text), (rooms.box_held(box, given), box_text)):  # type: ignore[arg-type]
        assert text.startswith(wanted) if wanted else not text
        assert ("passes the move" in text) == ("passes" in wanted)
    assert rooms.held_maxim(given) == {"W": maxims.WAITING, "K": maxims.KEEP_IT_SHUT, "": ""}[rule]


@pytest.mark.parametrize(
    ("placed", "uci", "made", "before", "text"),
    [
        (MINORS, "c1e3", "d6", "", "shuts the king in but for one hole, d6"),
        (MINORS, "c1e3", "", "d6", "shuts the king in but for one hole, d6"),
        (MINORS, "c1e3", "e6", "d6", ""),
        (MINORS, "c1e3", "", "", ""),
        (ROOK, "f1f7", "d6", "", ""),
    ],
)
def test_one_hole_is_named_that_minor_men_leave(placed: str, uci: str, made: str, before: str, text: str) -> None:
    assert rooms.holes(Holes(closed=(), left=found(before), made=found(made)), facts(placed, uci)) == text
