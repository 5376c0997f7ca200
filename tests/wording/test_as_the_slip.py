"""What a better move is not told by, since the slip does the same: asked of boards and of what is seen alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.idea import Idea
from matebot.ideas.king_up import KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.off_the_rim import OffTheRim
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.saved import Saved
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import coming, hunting, remedies
from tests.wording.bare import facts_of

P, N, R = chess.PAWN, chess.KNIGHT, chess.ROOK
TWO = "8/8/7r/3k4/6n1/8/8/K3R3 w"
PIECE, PAWN = "8/8/8/3k4/6n1/8/8/K3R3 w", "8/8/8/3k4/6p1/8/8/K3R3 w"


def facts(
    placed: str, uci: str, ideas: dict[type[Idea], Any], *attacked: int, guards: tuple[int, ...] = (), **told: Any
) -> MoveFacts:
    """Return facts of a move of the side that wins.

    Parameters
    ----------
    attacked : squares of the other side's men that it attacks
    guards : squares that it comes to guard
    """
    seen = SimpleNamespace(
        idea=ideas.get, attacked=attacked.__contains__, comes_to_guard=guards.__contains__, answers_check=False
    )
    told.setdefault("gives", SimpleNamespace(check=False))
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, seen=seen, **told)


def told(**values: Any) -> SimpleNamespace:
    return SimpleNamespace(**values)


def prepares(man: int, sure: bool = False, does: Next = Next.CAPTURE, to: str = "e1e4") -> dict[type[Idea], Any]:
    return {Prepares: told(does=does, man=man, sure=sure, move=chess.Move.from_uci(to))}


def leads_to(man: int, does: Next = Next.CAPTURE) -> dict[type[Idea], Any]:
    return {LeadsTo: told(does=does, man=man)}


def threat(square: int | None, kind: Threat = Threat.CAPTURE) -> dict[type[Idea], Any]:
    return {Threatens: told(threat=kind, square=square)}


@pytest.mark.parametrize(
    ("placed", "better", "slip", "attacked", "more", "same"),
    [
        (PIECE, leads_to(N), leads_to(N), (), {}, True),
        (PIECE, leads_to(N), prepares(N), (), {}, True),
        (PIECE, leads_to(N), leads_to(R), (), {}, False),
        (PIECE, leads_to(N), {}, (), {}, False),
        (PIECE, leads_to(N), {}, (chess.G4,), {}, True),
        (PIECE, leads_to(N), {}, (), {"guards": (chess.G4,)}, False),
        (PIECE, leads_to(N) | threat(chess.G4), {}, (), {"guards": (chess.G4,)}, True),
        (PIECE, leads_to(N, Next.MATE), leads_to(N, Next.MATE), (chess.G4,), {}, False),
        (PIECE, prepares(N, sure=True), prepares(N, sure=True), (), {}, True),
        (PIECE, prepares(N, sure=True), prepares(N), (chess.G4,), {}, False),
        (PIECE, prepares(N, sure=True), leads_to(N), (), {}, False),
        (PIECE, prepares(N), {}, (), {"checks": True}, False),
        (PIECE, prepares(N), {}, (), {"checks": True, "hunts": True}, True),
        (PIECE, prepares(N), {}, (), {"hunts": True}, False),
        (PAWN, prepares(P), prepares(P), (), {}, True),
        (PAWN, leads_to(P), leads_to(P), (), {"behind": True}, True),
        (TWO, leads_to(N), {}, (chess.G4,), {}, False),
        (TWO, leads_to(N), {}, (chess.G4, chess.H6), {}, True),
        (PAWN, prepares(P), prepares(P), (), {"behind": True}, False),
        (PIECE, prepares(N), prepares(N), (), {"behind": True}, True),
    ],
)
def test_the_slip_is_after_the_same_man_where_it_attacks_it_or_it_falls_as_surely(
    monkeypatch: pytest.MonkeyPatch,
    placed: str,
    better: dict[type[Idea], Any],
    slip: dict[type[Idea], Any],
    attacked: tuple[int, ...],
    more: dict[str, Any],
    same: bool,
) -> None:
    monkeypatch.setattr(coming, "hunts", lambda _: more.get("hunts", False))
    monkeypatch.setattr(coming, "is_behind", lambda *_: more.get("behind", False))
    given = facts(
        placed,
        "a1a2",
        slip,
        *attacked,
        guards=more.get("guards", ()),
        gives=SimpleNamespace(check=more.get("checks", False)),
    )
    for kind in (LeadsTo, Prepares):
        assert remedies._SAME[kind](facts(placed, "e1e2", better), given) == same


@pytest.mark.parametrize(
    ("wanted", "guards", "same"),
    [
        ({}, (chess.G4,), False),
        (threat(chess.G4), (chess.G4,), True),
        (threat(chess.G4), (chess.H4,), False),
        (threat(chess.G4, Threat.MATE), (chess.G4,), False),
        (threat(None), (chess.A1,), False),
        (threat(chess.A1), (chess.A1,), True),
    ],
)
def test_the_slip_threatens_as_well_what_it_comes_to_attack(
    wanted: dict[type[Idea], Any], guards: tuple[int, ...], same: bool
) -> None:
    slip = facts(PIECE, "a1a2", {}, guards=guards)
    assert remedies._SAME[Threatens](facts(PIECE, "e1e2", wanted), slip) == same


def nears(square: int, steps: int) -> dict[type[Idea], Any]:
    return {NearsMan: told(square=square, steps=steps)}


BOTH = ("a1b2", "a1b1")


@pytest.mark.parametrize(
    ("better", "slip", "uci", "guards", "before", "same"),
    [
        ({}, nears(chess.G4, 2), "a1b2", (chess.G4,), BOTH, False),
        (nears(chess.G4, 2), nears(chess.G4, 2), "a1b2", (), (), True),
        (nears(chess.G4, 2), nears(chess.G4, 3), "a1b2", (), (), False),
        (nears(chess.G4, 2), nears(chess.H4, 2), "a1b2", (), (), False),
        (nears(chess.G4, 2), {}, "a1b2", (chess.G4,), (), False),
        (nears(chess.G4, 1), {}, "a1b2", (chess.G4,), (), True),
        (nears(chess.G4, 1), {}, "a1b2", (), BOTH, True),
        (nears(chess.G4, 1), {}, "a1b2", (), ("a1b2",), False),
        (nears(chess.G4, 1), {}, "a1b2", (), ("a1b1",), False),
        (nears(chess.G4, 2), {}, "e1e2", (), (*BOTH, "e1e2"), False),
    ],
)
def test_the_slip_comes_as_near_to_the_same_man(
    monkeypatch: pytest.MonkeyPatch,
    better: dict[type[Idea], Any],
    slip: dict[type[Idea], Any],
    uci: str,
    guards: tuple[int, ...],
    before: tuple[str, ...],
    same: bool,
) -> None:
    monkeypatch.setattr(hunting, "before", lambda _, one: one.move in before)
    given = facts(PIECE, uci, slip, guards=guards)
    assert remedies._SAME[NearsMan](facts(PIECE, "a1b1", better), given) == same


def cage(change: CageChange, size: int, *room: int) -> dict[type[Idea], Any]:
    return {Cage: told(change=change, size_after=size, room=room)}


def flights(*squares: str, replies: int | None = None) -> dict[str, Any]:
    count = len(squares) if replies is None else replies
    return {
        "room": SimpleNamespace(king="d5", flights=squares, squares_taken=()),
        "replies": SimpleNamespace(replies=count),
    }


@pytest.mark.parametrize(
    ("better", "slip", "after", "same"),
    [
        ({}, cage(CageChange.SHUTS, 9), ("d6",), False),
        (cage(CageChange.SHUTS, 9), {}, ("d6",), False),
        (cage(CageChange.SHUTS, 9), cage(CageChange.SHUTS, 17), ("d6",), True),
        (cage(CageChange.SHUTS, 9), cage(CageChange.SHUTS, 18), ("d6",), False),
        (cage(CageChange.SHUTS, 9), cage(CageChange.TIGHTENS, 9), ("d6",), False),
        (cage(CageChange.TIGHTENS, 9), cage(CageChange.TIGHTENS, 30), ("d6",), True),
        (cage(CageChange.TIGHTENS, 9), cage(CageChange.SHUTS, 9), ("d6",), False),
        (cage(CageChange.WIDENS, 9), cage(CageChange.WIDENS, 9), ("d6",), False),
        (cage(CageChange.HOLDS, 9), cage(CageChange.WIDENS, 9), ("d6",), True),
        (cage(CageChange.SHUTS, 9, 1, 2), cage(CageChange.WIDENS, 99, 3), ("d6",), True),
        (cage(CageChange.SHUTS, 9, 1, 2), cage(CageChange.WIDENS, 99), ("d6",), False),
        (cage(CageChange.SHUTS, 9, 1, 2), cage(CageChange.WIDENS, 99, 40), ("d6",), False),
        (cage(CageChange.SHUTS, 9, 40), cage(CageChange.WIDENS, 99, 41), ("d6",), False),
        (cage(CageChange.TIGHTENS, 9, 1, 2), cage(CageChange.WIDENS, 99, 3), ("d6",), False),
        (cage(CageChange.HOLDS, 9), cage(CageChange.HOLDS, 9), ("c6",), False),
    ],
)
def test_a_cage_of_the_slip_is_alike_where_it_is_hardly_larger_or_as_tight_or_in_the_same_part_of_the_board(
    monkeypatch: pytest.MonkeyPatch,
    better: dict[type[Idea], Any],
    slip: dict[type[Idea], Any],
    after: tuple[str, ...],
    same: bool,
) -> None:
    monkeypatch.setattr(remedies, "part", lambda room: "below" if room and max(room) < chess.A5 else "")
    given = facts(PIECE, "a1a2", slip, **flights(*after))
    assert remedies._SAME[Cage](facts(PIECE, "e1e2", better, **flights("d6")), given) == same


@pytest.mark.parametrize(
    ("wanted", "given", "replies", "alike"),
    [(("d6",), ("d6",), 1, True), (("d6",), ("d6",), 2, False), (("d6",), ("c6",), 1, False), ((), (), 0, True)],
)
def test_the_king_is_left_the_same_squares_where_nothing_else_can_move(
    wanted: tuple[str, ...], given: tuple[str, ...], replies: int, alike: bool
) -> None:
    better, slip = (
        facts(PIECE, "e1e2", {}, **flights(*wanted)),
        facts(PIECE, "a1a2", {}, **flights(*given, replies=replies)),
    )
    assert remedies.left_alike(better, slip) == alike


def box(change: BoxChange, after: int | None) -> dict[type[Idea], Any]:
    return {Box: told(change=change, after=after)}


@pytest.mark.parametrize(
    ("better", "slip", "same"),
    [
        ({}, box(BoxChange.MAKES, 9), False),
        (box(BoxChange.MAKES, 9), {}, False),
        (box(BoxChange.MAKES, 9), box(BoxChange.MAKES, 17), True),
        (box(BoxChange.MAKES, 9), box(BoxChange.MAKES, 18), False),
        (box(BoxChange.MAKES, 9), box(BoxChange.SHRINKS, 9), False),
        (box(BoxChange.SHRINKS, 9), box(BoxChange.SHRINKS, 30), True),
        (box(BoxChange.HOLDS, 9), box(BoxChange.HOLDS, 9), False),
        (box(BoxChange.OPENS, None), box(BoxChange.OPENS, None), False),
    ],
)
def test_a_box_of_the_slip_is_alike_where_it_is_hardly_larger_or_shrinks_too(
    better: dict[type[Idea], Any], slip: dict[type[Idea], Any], same: bool
) -> None:
    assert remedies._SAME[Box](facts(PIECE, "e1e2", better), facts(PIECE, "a1a2", slip)) == same


@pytest.mark.parametrize(
    ("mine", "wanted", "same"),
    [((R, 4), (R, 4), True), ((R, 4), (R, 5), False), ((R, 4), (N, 4), False), (None, (R, 4), False)],
)
def test_the_slip_saves_the_same_man(mine: tuple[int, int] | None, wanted: tuple[int, int], same: bool) -> None:
    found = [None if one is None else told(man=one[0], square=one[1]) for one in (mine, wanted)]
    slip, better, none = (facts(PIECE, "a1a2", {Saved: one}) for one in (*found, None))
    assert remedies._SAME[Saved](better, slip) == same
    assert not remedies._SAME[Saved](none, better)


@pytest.mark.parametrize(
    ("uci", "before", "after", "same"),
    [("e1e3", 0, 2, True), ("a1b2", 0, 1, False), ("e1d1", 0, 0, False), ("e1e3", 1, 2, False)],
)
def test_the_slip_takes_the_same_man_off_the_edge(uci: str, before: int, after: int, same: bool) -> None:
    slip = facts(PIECE, uci, {})
    vars(slip.man).update(rim_before=before, rim_after=after)
    assert remedies._SAME[OffTheRim](facts(PIECE, "e1e4", {}), slip) == same


@pytest.mark.parametrize(
    ("placed", "better", "slip", "same"),
    [
        (PAWN, "a1b2", "a1b1", True),
        (PAWN, "a1b1", "a1b2", True),
        (PAWN, "a1b2", "a1a2", False),
        (PAWN, "a1b2", "e1e2", False),
        (PIECE, "a1b2", "a1b1", False),
        (PAWN, "a1a2", "a1b2", False),  # the better move does not bring it nearer
    ],
)
def test_the_slip_brings_the_king_as_near_to_the_only_pawn(placed: str, better: str, slip: str, same: bool) -> None:
    assert remedies._SAME[KingUp](facts(placed, better, {}), facts(placed, slip, {})) == same


@pytest.mark.parametrize(
    ("better", "slip", "same"),
    [
        ((N, chess.G4), (N, chess.G4), True),
        ((N, chess.G4), (N, chess.G5), False),
        ((N, chess.G4), (R, chess.G4), False),
        ((N, chess.G4), None, False),
        (None, (N, chess.G4), False),
    ],
)
def test_the_slip_saves_the_same_man_on_the_same_square(
    better: tuple[int, int] | None, slip: tuple[int, int] | None, same: bool
) -> None:
    given, wanted = (
        facts(PIECE, uci, {} if man is None else {Saved: told(man=man[0], square=man[1])})
        for uci, man in (("a1a2", slip), ("e1e2", better))
    )
    assert remedies._saved_too(wanted, given) == same
