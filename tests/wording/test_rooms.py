"""What is told of the room that a king is left: cages, boxes and lines, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.holes import Holes
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.knights_w import KnightsW, WState
from matebot.wording import cages
from tests.wording.bare import facts_of
from tests.wording.telling import marks


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas it shows, and as told."""
    ideas: dict[type, object] = dict(told.get("ideas", {}))
    if told.get("up"):
        ideas[KingUp] = KingUp(3, HeldBy.NOTHING)
    if "closed" in told:
        ideas[Holes] = Holes(closed=found(told["closed"]), left=(), made=())
    if told.get("w"):
        ideas[KnightsW] = SimpleNamespace(state=WState.MAY_STOP)
    given = facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=True,
        ahead=told.get("ahead", ()),
        seen=SimpleNamespace(idea=ideas.get, answers_check=False),
        gives=SimpleNamespace(check=told.get("check", False)),
        kings=SimpleNamespace(
            kings_before=told.get("before", 4),
            kings_after=told.get("after", 2),
            opposition="direct" if told.get("opposed") else None,
        ),
        corner=SimpleNamespace(right_corner="h8", corner_steps_after=told.get("corner")),
        queen=SimpleNamespace(knights_move_off=told.get("knights_move", False)),
    )
    king = told.get("king", given.room.king)
    vars(given)["room"] = SimpleNamespace(
        king=king,
        flights=told.get("flights", ("c8", "e8", "c7", "e7")),
        squares_taken=told.get("taken", ()),
        squares_given=told.get("given", ()),
    )
    return given


def cage(change: CageChange, told: dict[str, Any]) -> Cage:
    """Return what a move does to the cage, its squares by their names."""
    gate, room, loose = (found(told.get(name, "")) for name in ("gate", "room", "loose"))
    same = told.get("same", False)
    return Cage(change, 20, told.get("size", 9), gate, told.get("along", ()), same=same, loose=loose, room=room)


def found(names: str) -> tuple[int, ...]:
    return tuple(map(chess.parse_square, names.split()))


ROOK, QUEEN = "3k4/8/8/8/8/8/8/K4R2 w", "3k4/8/8/8/8/8/8/K4Q2 w"
MINORS, WITH_PAWN = "8/3k4/8/8/8/8/8/K1B1N3 w", "8/3k4/8/8/8/8/P7/K4Q2 w"
AGAINST = "3k3n/8/8/8/8/8/8/K4R2 w"
DIAGONAL = ("diagonal d8-h4",)
CHECKED, CHECKED_FOUR = ({"check": True, "flights": flights} for flights in (("c7", "d7"), ("c7", "d7", "e7", "c6")))
S, T, H = CageChange.SHUTS, CageChange.TIGHTENS, CageChange.HOLDS


@pytest.mark.parametrize(
    ("placed", "uci", "change", "gate", "room", "size", "told", "text"),
    [
        (ROOK, "f1f7", H, "", "", 9, {}, ""),
        (ROOK, "f1f7", S, "", "", 9, {"loose": "c8"}, ""),
        (ROOK, "f1f7", S, "f7 e7 d7 c7", "c8 d8 e8 f8 g8", 7, {"along": ("rank 7",)}, "shuts king behind rank 7"),
        (
            ROOK,
            "f1f7",
            S,
            "f7 e7 d7 c7",
            "c8 d8",
            2,
            {"along": ("rank 7",)},
            "shuts king behind rank 7 only between c8 d8",
        ),
        (ROOK, "f1f7", S, "f7 e7 d7 c7", "c8 d8 e8 f8 g8", 7, {}, "shuts king behind rank 7"),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8 f8 g8", 7, {}, "shuts c7 way king caged edge"),
        (ROOK, "f1f7", S, "c7 e7", "c8 d8 e8 f8 g8", 7, {}, "shuts king behind rank 7"),
        (ROOK, "f1f7", S, "b8", "c8 d8 e8 f8 g8", 7, {}, "shuts way b8 king caged edge"),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8 f8 g8", 7, {"after": 5}, "shuts c7 way king caged edge"),
        (
            ROOK,
            "f1f7",
            S,
            "c7",
            "c8 d8 e8 f8 g8",
            7,
            {"after": 5, "ahead": ("Kc8", "Kb2")},
            "shuts c7 way now white's king",
        ),
        (
            ROOK,
            "f1f7",
            S,
            "c7",
            "c8 d8 e8 f8 g8",
            7,
            {"after": 5, "ahead": ("Kc8", "Rf6")},
            "shuts c7 way king caged edge",
        ),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8", 3, {}, "shuts c7 way king c8 d8 e8"),
        (ROOK, "f1f7", S, "c7", "c8 d8", 2, {}, "shuts c7 way king only between c8 d8"),
        (ROOK, "f1f7", S, "c7", "d8", 1, {}, "shuts c7 way king cannot"),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8 f8", 4, {}, "shuts c7 way king c8 d8 e8 f8"),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8 f8 e5", 5, {}, "shuts c7 way king caged"),
        (
            ROOK,
            "f1f8",
            S,
            "c8",
            "c7 d7 e7",
            3,
            {"check": True, "flights": ("c7", "d7")},
            "shuts way c8 king only c7 d7",
        ),
        (ROOK, "f1f8", S, "c8", "c7 d7 e7", 4, {"check": True, "flights": ()}, "shuts king ranks 7 8 no square"),
        (
            ROOK,
            "f1f8",
            S,
            "c8",
            "c7 d7 e7",
            9,
            {"check": True, "flights": ("c7", "d7", "e7", "c6")},
            "shuts way c8 king caged ranks 7 8",
        ),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {}, "shuts d6 way king caged ranks 7 8"),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {"closed": "d6"}, "shuts hole d6 way king caged ranks 7 8"),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {"closed": "e6"}, "shuts d6 way king caged ranks 7 8"),
        (MINORS, "e1f3", S, "d6 e6", "d7 d8 e8 c8 b8", 8, {"closed": "d6"}, "shuts way d6 e6 king caged ranks 7 8"),
        (MINORS, "e1f3", S, "d8", "d7 d8 e8 c8 b8", 8, {}, "shuts d8 way king caged ranks 7 8"),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {"w": True}, "shuts d6 way king caged ranks 7 8 w stop"),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {"corner": 3}, "shuts d6 way king caged right corner h8"),
        (MINORS, "e1f3", S, "d6", "d7 d8 e8 c8 b8", 8, {"corner": 4}, "shuts d6 way king caged ranks 7 8"),
        (MINORS, "a1b1", S, "c1 d6", "d7 d8 e8 c8 b8", 8, {}, "guards bishop shuts king ranks 7 8"),
        (
            QUEEN,
            "f1f6",
            S,
            "e7 d6 c7",
            "c8 d8 e8 f8 g8",
            7,
            {"check": True, "flights": ("c8", "d7", "c7", "e8")},
            "shuts way e7 d6 c7 king caged edge",
        ),
        (QUEEN, "f1f6", S, "e7 f7 d6 e6", "c8 d8 e8 f8 e5", 9, {}, "shuts king 9 squares"),
        (QUEEN, "f1f6", S, "e7 f7 d8 b6", "c8 d8 e8 f8 e5", 9, {}, "shuts king 9 squares"),
        (QUEEN, "f1f6", S, "e7 f7 h1 b6", "c8 d8 e8 f8 e5", 9, {}, "shuts king 9 squares"),
        (WITH_PAWN, "f1f6", S, "d8", "d8 a8 c5", 6, {"king": "d8"}, "shuts d8 king caged a8 corner"),
        (WITH_PAWN, "f1f6", S, "d8", "d8 a8 c5", 6, {"king": "d7"}, "shuts way d8 king caged a8 corner"),
        (WITH_PAWN, "f1f6", S, "d6", "d8 a8 c5", 6, {"king": "d8"}, "shuts d6 way king caged a8 corner"),
        (ROOK, "f1f7", T, "c7", "c8 d8 e8 c7", 4, {}, "cage king c8 d8 e8 c7"),
        (ROOK, "f1f7", T, "c7", "c8 d8 e8 c7", 7, {}, "cage rank 7 shut 7 squares"),
        (ROOK, "f1f7", T, "c7 e7", "c8 d8 e8 f4", 7, {}, "cage rank 7 shut 7 squares"),
        (ROOK, "f1f7", T, "c7 c6", "c8 d8 e8 f4", 7, {}, "cage c7 c6 shut 7 squares"),
        (ROOK, "f1f7", T, "c7 e7 d7 b7", "c8 d8 e8 f4", 7, {"along": ("rank 7",)}, "cage rank 7 shut 7 squares"),
        (ROOK, "f1f7", T, "c7 e7 d7 b7", "c8 d8 e8 f8", 7, {"along": ("rank 7",)}, "king edge"),
        (ROOK, "f1f7", T, "c7 e7 d7 b7", "c8 d8 e8 f8", 4, {"along": ("rank 7",)}, "king edge c8 d8 e8 f8"),
        (ROOK, "f1f7", T, "c7 e7 d7 b7", "c8 d8 e8 f4", 7, {"along": ("rank 7", "file f")}, "cage smaller 7 squares"),
        (
            ROOK,
            "f1f7",
            T,
            "c7 e7 d7 b7",
            "c8 d8 e8 f4",
            4,
            {"along": ("rank 7", "file f")},
            "cage smaller king c8 d8 e8 f4",
        ),
        (
            ROOK,
            "f1f8",
            T,
            "c7 e7 d7 b7",
            "c8 d8 e8 f4",
            7,
            {"along": ("rank 7", "file f"), "check": True, "flights": ("c7", "d7", "e7", "c6")},
            "cage smaller 6 squares",
        ),
        (AGAINST, "f1f7", T, "c7", "c8 d8 e8 c7", 7, {}, ""),
        (AGAINST, "f1f7", S, "c7", "c8 d8 e8 c7", 7, {}, ""),
        (ROOK, "a1b2", T, "c7", "c8 d8 e8 c7", 7, {}, "cage c7 shut 7 squares"),
        (ROOK, "a1b2", T, "c3", "c8 d8 e8 c7", 7, {}, ""),
        (ROOK, "a1b2", T, "c3", "c8 d8 e8 c7", 7, {"up": True}, "king shuts c3"),
        (ROOK, "a1b2", T, "c3", "c8 d8 e8 c7", 4, {"up": True}, "king black's king c8 d8 e8 c7"),
        (ROOK, "a1b2", T, "c3", "c8 d8 e8 c7", 7, {"up": True, "before": 2, "after": 2}, ""),
        (ROOK, "a1b2", T, "f1 c7", "c8 d8 e8 c7", 7, {"up": True}, "guards rook king ranks 7 8"),
        (ROOK, "a1b2", T, "f1 c7", "c8 d8 e8 c7", 4, {"up": True}, "guards rook king ranks 7 8 c8 d8 e8 c7"),
        (ROOK, "a1b2", T, "c7 d7 e7 f7", "c8 d8 e8 c7", 7, {"along": ("rank 7",), "up": True}, "king ranks 7 8"),
        (ROOK, "a1b2", S, "c7", "c8 d8 e8 c7", 7, {"opposed": True}, ""),
        (ROOK, "a1b2", T, "c7", "c8 d8 e8 c7", 7, {"opposed": True}, "cage c7 shut 7 squares"),
        (MINORS, "a1b2", S, "d6", "d7 d8 e8 c8 b8", 8, {"opposed": True}, "shuts d6 way king caged ranks 7 8"),
        (ROOK, "f1f7", S, "c7", "c8 d8 e8 c7", 7, {"opposed": True}, "shuts c7 way king caged ranks 7 8"),
        (QUEEN, "f1f4", S, "f7 f8 d4 e4", "c8 d8 e5 a7 b6", 9, {}, "shuts king behind rank 4 f-file"),
        # From d5 the king steps to either side of rank 6, from d8 to either side of the diagonal d8-h4.
        (QUEEN, "f1f6", S, "f7 f8 d6 e6", "c8 d8 e8 d5 a1", 9, {}, "shuts king 9 squares"),
        (ROOK, "f1f7", S, "f8 d7 e7 c7", "c8 d8 e8 e5 a1", 9, {}, "shuts king 9 squares"),
        (QUEEN, "f1f6", S, "f7 f8 f5 f4", "c8 d8 e8 e5 a1", 9, {}, "shuts king behind f-file"),
        (QUEEN, "f1f6", S, "f7 f8 f5 f4", "c8 d8 e8 h5 a1", 9, {}, "shuts king edge"),
        (QUEEN, "f1f6", S, "f7 f8 f5 f4", "c8 d8 e8 f3 a1", 9, {}, "shuts king 9 squares"),
        (QUEEN, "f1f6", S, "e7 d8 g5 h4", "c8 b8 a1", 9, {}, "shuts king edge"),
        (QUEEN, "f1f6", S, "e7 d8 g5 h4", "e8 c7 b6 h6", 9, {"along": DIAGONAL}, "shuts king 9 squares"),
        (QUEEN, "f1f6", S, "e7 d8 g5 h4", "c8 b8 a7 c5", 9, {"along": DIAGONAL}, "shuts king behind diagonal d8 h4"),
        # Both lines of the queen hold the king: one of them tells half, and the squares or the part of the board more.
        (QUEEN, "f1f6", S, "f7 f8", "e8 d8 e7 a7", 9, {}, "shuts way f7 f8 king caged ranks 7 8"),
        (QUEEN, "f1f4", S, "f7 f8", "e8 d8 e5 a7", 9, {}, "shuts king behind rank 4 f-file"),
        (ROOK, "f1f4", S, "f7 f8", "e8 d8 e5 a7", 9, {}, "shuts king behind f-file"),
        # It is the king that moved.
        (QUEEN, "a1b2", S, "b3 b4 c2 d2", "c3 d3 c4 h3", 9, {}, "shuts king 9 squares"),
        (ROOK, "f1f8", S, "c8", "c7 d7 e7", 9, CHECKED, "shuts way c8 king caged ranks 7 8"),
        (ROOK, "f1f8", S, "c8", "c7 d7 e7", 5, CHECKED_FOUR, "shuts way c8 king caged ranks 7 8"),
    ],
)
def test_a_cage_is_told_by_what_is_shut_by_what_is_left_to_the_king_and_where(
    placed: str, uci: str, change: CageChange, gate: str, room: str, size: int, told: dict[str, Any], text: str
) -> None:
    idea = cage(change, {"gate": gate, "room": room, "size": size, **told})
    assert marks(cages.bare_king_caged(idea, facts(placed, uci, **told))) == text


@pytest.mark.parametrize(
    ("room", "size", "text"),
    [
        ("c8 d8", 2, "shuts c7, the last way out: the king has only c8 or d8 left"),
        ("d8", 1, "shuts c7, the last way out: the king cannot move"),
    ],
)
def test_a_king_that_has_a_man_is_told_what_it_has_left_for_now(room: str, size: int, text: str) -> None:
    assert cages.cage_first(cage(S, {"gate": "c7", "room": room, "size": size}), facts(AGAINST, "f1f7")) == text


@pytest.mark.parametrize(
    ("placed", "gate", "text"),
    [
        (ROOK, "c7", "tightens the cage: rank 7 is shut, 7 squares are left"),
        (ROOK, "c7 e7", "tightens the cage: rank 7 is shut, 7 squares are left"),
        (QUEEN, "c7 e6", "tightens the cage: c7 and e6 are shut, 7 squares are left"),
        (QUEEN, "c7", "tightens the cage: c7 is shut, 7 squares are left"),
    ],
)
def test_one_line_or_square_is_shut_and_two_squares_are(placed: str, gate: str, text: str) -> None:
    smaller = cage(T, {"gate": gate, "room": "c8 d8 e8 f4", "size": 7})
    assert cages.bare_king_caged(smaller, facts(placed, "f1f7")) == text


@pytest.mark.parametrize(
    ("change", "told", "text"),
    [
        (CageChange.SHUTS, {"room": "c8 d8"}, "shuts the king in on the edge"),
        (CageChange.TIGHTENS, {"room": "c8 d8"}, ""),
        (CageChange.SHUTS, {"room": "c8 d8", "loose": "c8"}, ""),
        (CageChange.SHUTS, {"room": "c8 d5 h1"}, ""),
        (CageChange.SHUTS, {"room": "b8 f8 d7", "check": True}, "shuts the king in on ranks 7 and 8"),
        (CageChange.SHUTS, {"room": "d8 b7 f7", "king": "d8", "check": True}, "shuts the king in on ranks 7 and 8"),
        (CageChange.SHUTS, {"room": "d7 c8 b8", "king": "d7", "check": True}, ""),
    ],
)
def test_it_is_told_where_a_king_is_shut_in_but_where_it_has_to_leave_that_part(
    change: CageChange, told: dict[str, Any], text: str
) -> None:
    assert cages.shuts_in(cage(change, told), facts(ROOK, "f1f7", **told)) == text
