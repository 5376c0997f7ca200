"""What is told of a king's ways and of what it comes for, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.idea import Idea
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.wording import close_kings, king_lessons, kings, maxims, minors, room_left, rooms
from matebot.wording.coming import _takes_back
from tests.wording.bare import facts_of

_FAR = 20


@pytest.mark.parametrize(
    ("aim", "shut", "target", "last", "text"),
    [
        (Aim.CENTRE, "d4", None, True, "d4, its way back to the centre"),
        (Aim.CENTRE, "d4", None, False, "d4, one of its ways back to the centre"),
        (Aim.CENTRE, "d4 d3", None, False, "d4 d3, two of its ways back to the centre"),
        (Aim.CENTRE, "d4 d3", None, True, "d4 d3, its way back to the centre"),
        (Aim.CENTRE, "d4 d3 d2", None, True, ""),  # all of them are named
        (Aim.CENTRE, "e5", None, True, ""),  # that is told of no square named
        (Aim.CENTRE, "e5 d4", None, True, "d4, its way back to the centre"),
        (Aim.WRONG_CORNER, "b2", "a1", True, "b2, its way to a1, the wrong corner"),
        (Aim.WRONG_CORNER, "b2", "a1", False, ""),  # it runs there another way
        (Aim.OUT_OF_CORNER, "d4", "a1", True, "d4, by which it could get away from the corner a1"),
        (Aim.OUT_OF_CORNER, "d4", "a1", False, ""),
    ],
)
def test_squares_taken_are_told_with_where_they_lead(
    aim: Aim, shut: str, target: str | None, last: bool, text: str
) -> None:
    goal = None if target is None else chess.parse_square(target)
    idea = ShutsWay(aim, tuple(map(chess.parse_square, shut.split())), goal, last)
    facts = facts_of(
        "8/8/8/8/8/2k5/8/K3B1N1 w - - 0 1",
        "e1f2",
        by_winner=True,
        seen=SimpleNamespace(idea={ShutsWay: idea}.get),
        worth=SimpleNamespace(mate_moves=_FAR),
    )
    there, leads = room_left._leads(("d4", "d3", "d2", "b2"), facts)
    assert f"{' '.join(there)}{leads}" == text


@pytest.mark.parametrize(
    ("runs", "mate_moves", "ahead", "text", "rule"),
    [
        (True, 3, ("Kb4", "Kb2"), " for the mate: if Kb4, Kb2", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, ("Kb4", "Rd4#"), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, ("Kb4",), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (True, 3, (), " for the mate", maxims.NOT_ALONE.format(man="rook")),
        (False, 9, ("Kb4", "Kb2"), "", maxims.NOT_ALONE.format(man="rook")),  # the pawn needs five moves, and more
        (False, 10, ("Kb4", "Kb2"), ": it guards a3 and a4 on the pawn's way", maxims.ESCORT),
        (True, _FAR, ("Kb4", "Kb2"), ": it guards a3 and a4 on the pawn's way", maxims.ATTACK_TOGETHER),
    ],
)
def test_where_mate_comes_before_the_pawn_is_a_queen_the_king_comes_for_the_mate(
    runs: bool, mate_moves: int, ahead: tuple[str, ...], text: str, rule: str
) -> None:
    facts = facts_of(
        "8/8/8/8/2k5/8/P2R4/K7 w - - 0 1",
        "a1b1",
        by_winner=True,
        ahead=ahead,
        race=SimpleNamespace(runs_alone=runs),
        worth=SimpleNamespace(mate_moves=mate_moves, outcome_after=1),
        ways=SimpleNamespace(way_guarded=("a4", "a3")),
        as_quick=(),
    )
    assert kings._to_help(facts) == text
    assert king_lessons.help_maxim(facts) == rule


@pytest.mark.parametrize(
    ("uci", "square", "kind", "text"),
    [
        ("d2d5", "d5", "rook", "offers to exchange rooks"),
        ("d2d5", "d5", "knight", "offers the rook for the knight"),
        ("d2d5", "e5", "rook", "lets the rook take only at its own cost"),
    ],
)
def test_a_man_that_is_taken_back_is_exchanged_or_takes_at_its_own_cost(
    uci: str, square: str, kind: str, text: str
) -> None:
    facts = facts_of("8/8/8/8/2k5/8/3R4/K7 w - - 0 1", uci, by_winner=True)
    assert _takes_back(chess.parse_square(square), kind, facts) == text


GUARDED = "8/8/3k4/8/4K3/2N5/8/5B2 w - - 0 1"


@pytest.mark.parametrize(
    ("placed", "idea", "told", "text"),
    [
        (
            GUARDED,
            {"freed": (chess.E4,), "held": (chess.D5,)},
            {},
            "takes over d5 from White's king, which may now move",
        ),
        (GUARDED, {"freed": (chess.C3,), "held": (chess.D5,)}, {}, "takes over d5 from the knight, which may now move"),
        (GUARDED, {"tied": (chess.C3,)}, {}, "moves the free man: the knight holds a square alone"),
        (
            GUARDED,
            {"tied": (chess.C3, chess.E4)},
            {},
            "moves the free man: the knight and White's king each hold squares alone",
        ),
        (GUARDED, {"tied": (chess.C3,)}, {"as_soon": "f1g2 c3b1"}, ""),
        (
            GUARDED,
            {"tied": (chess.C3,)},
            {"as_soon": "f1g2 e4e3"},
            "moves the free man: the knight holds a square alone",
        ),
        (GUARDED, {"tied": (chess.C3,), "let_go": (chess.E4,)}, {}, ""),
        (GUARDED, {"tied": (chess.C3,)}, {"taken": "takes d5"}, ""),
        (GUARDED, {"tied": (chess.C3,)}, {"taken": "takes d5", "check": True}, "moves the free man"),
        (GUARDED.replace("N", "R"), {"tied": (chess.C3,)}, {}, ""),  # men of such a kind shut lines
    ],
)
def test_a_free_man_moves_where_minor_men_hold_squares_and_one_that_is_freed_is_named(
    monkeypatch: pytest.MonkeyPatch, placed: str, idea: dict[str, Any], told: dict[str, Any], text: str
) -> None:
    monkeypatch.setattr(room_left, "taken", lambda _: told.get("taken", ""))
    soon = [chess.Move.from_uci(uci) for uci in told.get("as_soon", "f1g2").split()]
    facts = facts_of(
        placed,
        "f1g2",
        by_winner=True,
        gives=SimpleNamespace(check=told.get("check", False)),
        seen=SimpleNamespace(slower_moves=SimpleNamespace(as_soon=soon)),
    )
    guards = {"tied": (), "let_go": (), "freed": (), "held": (), **idea}
    found = minors.free_man(SimpleNamespace(**guards), facts)  # type: ignore[arg-type]
    assert found.startswith(text) if text else not found


def stepped(
    placed: str, uci: str, *ideas: Idea, flights: tuple[str, ...] = ("h1",), taken: tuple[str, ...] = (), **told: Any
) -> MoveFacts:
    """Return facts of a step of the king of the side that wins: the ideas named, and what is left to the other king."""
    king = chess.Board(f"{placed} - - 0 1").king(placed.endswith(" b"))
    assert king is not None
    seen = SimpleNamespace(idea={type(idea): idea for idea in ideas}.get, answers_check=False)
    given: dict[str, Any] = {
        "seen": seen,
        "gives": SimpleNamespace(check=False),
        "room": SimpleNamespace(
            king=chess.square_name(king),
            flights=flights,
            squares_taken=taken,
            squares_given=told.pop("squares_given", ()),
        ),
        "race": SimpleNamespace(runs_alone=told.pop("runs", False)),
        "worth": SimpleNamespace(outcome_after=1, mate_moves=told.pop("mate", _FAR)),
        "kings": SimpleNamespace(
            opposition=told.pop("opposition", None), kings_before=4, kings_after=told.pop("apart", 3)
        ),
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


def step(*purposes: Purpose, **squares: tuple[int, ...]) -> KingNearer:
    held = {name: squares.get(name, ()) for name in ("shut", "freed", "held", "guarded", "stopped")}
    return KingNearer(purposes, **held)


#: Two minor pieces against a bare king, a rook against a pawn or a knight, and a rook and its pawn.
_MINORS, _TO_PAWN = "8/8/8/8/8/2B1N3/8/K5k1 w", "8/8/8/8/8/4R3/p7/K5k1 w"
_TO_KNIGHT, _OWN_PAWN = "8/8/8/8/8/4R3/n7/K5k1 w", "8/8/8/8/P7/4R3/8/K5k1 w"
_FREES = step(Purpose.FREES, held=(chess.H2,), freed=(chess.C3,))
_GUARDS = step(Purpose.GUARDS, guarded=(chess.E3,))


@pytest.mark.parametrize(
    ("placed", "idea", "others", "told", "text", "rule"),
    [
        (_TO_PAWN, _GUARDS, (), {"flights": ("f2",)}, "guards the rook on e3 from Black's king", maxims.TOGETHER),
        (_TO_PAWN, _GUARDS, (), {}, "", maxims.TOGETHER),
        (_TO_KNIGHT, _GUARDS, (), {}, "guards the rook on e3", maxims.TOGETHER),
        (
            _MINORS,
            step(Purpose.GUARDS, guarded=(chess.C3, chess.E3)),
            (),
            {"flights": ("f2",)},
            "guards the bishop on c3 and the knight on e3",
            maxims.TOGETHER,
        ),
        (
            _MINORS,
            _FREES,
            (Cage(CageChange.HOLDS, 6, 6),),
            {},
            "holds h2, and the bishop is free to move",
            "the king holds, so that the men can move",
        ),
        (_MINORS, _FREES, (), {}, "", ""),
        (_MINORS, step(Purpose.FREES), (Cage(CageChange.HOLDS, 6, 6),), {}, "", kings._MAXIMS[Purpose.FREES]),
        (_TO_KNIGHT, step(Purpose.SHUTS, held=(chess.H2,)), (), {}, "", maxims.KING_TAKES),
        (
            _MINORS,
            step(Purpose.SHUTS, shut=(chess.F2,)),
            (),
            {"taken": ("f2",)},
            "comes nearer and leaves Black's king only h1",
            maxims.KING_TAKES,
        ),
        (
            _MINORS,
            step(Purpose.SHUTS, shut=(chess.F2,)),
            (),
            {"taken": ("f2",), "apart": 4},
            "leaves Black's king only h1",
            maxims.KING_TAKES,
        ),
        (_TO_KNIGHT, step(Purpose.SHUTS, shut=(chess.A2,)), (), {"taken": ("f2",)}, "", maxims.KING_TAKES),
        (
            _MINORS,
            step(Purpose.SHUTS, shut=(chess.F2,)),
            (),
            {"taken": ("f2",), "squares_given": ("g2",)},
            "",
            maxims.KING_TAKES,
        ),
        (
            _OWN_PAWN,
            step(Purpose.SHUTS, shut=(chess.A5, chess.F2)),
            (),
            {"taken": ("f2",)},
            "guards a5, where the pawn goes next",
            maxims.FROM_THE_PAWN,
        ),
    ],
)
def test_a_step_of_the_king_is_told_by_what_it_guards_frees_or_shuts(
    placed: str, idea: KingNearer, others: tuple[Idea, ...], told: dict[str, Any], text: str, rule: str
) -> None:
    facts = stepped(placed, "a1b2", idea, *others, **told)
    assert kings.king(idea, facts) == text
    assert kings.king_maxim(facts) == rule


@pytest.mark.parametrize(
    ("placed", "pieces"),
    [
        ("8/8/8/8/8/4R3/8/K5k1 w", "the rook needs its king"),
        ("8/8/8/8/8/2B1B3/8/K5k1 w", "the bishops need their king"),
        ("8/8/8/8/8/2B1N3/8/K5k1 w", "bishop and knight need their king"),
    ],
)
def test_men_that_cannot_mate_without_their_king_need_it(placed: str, pieces: str) -> None:
    assert kings._to_help(stepped(placed, "a1b2")) == f": {pieces}"


@pytest.mark.parametrize(
    ("placed", "ahead", "rule"),
    [
        ("8/8/8/8/8/4R3/8/K5k1 w", ("Kg2", "Re1+"), maxims.SIDE_CHECK),
        ("8/8/8/8/8/4R3/8/K5k1 w", ("Kg2", "Re1#"), maxims.SIDE_CHECK),
        ("8/8/8/8/8/4R3/8/K5k1 w", ("Kg2", "Re1"), maxims.OPPOSED_BAR),
        ("8/8/8/8/8/4R3/8/K5k1 w", ("Kg2",), maxims.OPPOSED_BAR),
        (_TO_KNIGHT, ("Kg2", "Re1+"), maxims.OPPOSED_BAR),
        ("8/8/8/8/8/4Q3/8/K5k1 w", ("Kg2", "Qe1+"), maxims.OPPOSED_BAR),
    ],
)
def test_the_opposition_teaches_the_check_from_the_side_where_a_rook_gives_one_next(
    placed: str, ahead: tuple[str, ...], rule: str
) -> None:
    assert kings.opposes_maxim(stepped(placed, "a1b2", ahead=ahead)) == rule


@pytest.mark.parametrize(
    ("king", "flights", "edge"),
    [("g1", ("h1", "f1"), True), ("g1", ("h1", "f2"), False), ("g2", ("h1",), False), ("g1", (), True)],
)
def test_a_king_that_stays_on_the_edge_is_kept_there(king: str, flights: tuple[str, ...], edge: bool) -> None:
    facts = stepped(f"8/8/8/8/8/4R3/{'6k1/K7' if king == 'g2' else '8/K5k1'} w", "a1b2", flights=flights)
    assert close_kings.close_maxim(facts) == (maxims.STAY_THERE if edge else maxims.KING_TAKES)


def test_a_king_that_keeps_close_in_opposition_bars_three_squares() -> None:
    facts = stepped("8/8/8/8/8/4R3/8/K5k1 w", "a1b2", flights=("h1", "f2"), opposition="direct")
    assert close_kings.close_maxim(facts) == maxims.OPPOSED_BAR


@pytest.mark.parametrize(
    ("placed", "up", "alone"),
    [
        (_TO_PAWN, HeldBy.LINE, True),
        (_TO_PAWN, HeldBy.BOX, False),
        (_TO_PAWN, None, False),
        (_TO_KNIGHT, HeldBy.LINE, False),
        ("8/8/8/8/8/4Q3/p7/K5k1 w", HeldBy.LINE, False),
    ],
)
def test_a_rook_that_holds_the_king_off_its_pawn_along_a_line_needs_no_help(
    placed: str, up: HeldBy | None, alone: bool
) -> None:
    assert kings._rook_alone(stepped(placed, "a1b2", *(() if up is None else (KingUp(3, up),)))) == alone


@pytest.mark.parametrize(
    ("change", "loose", "given", "same", "kept"),
    [
        (CageChange.HOLDS, (), (), False, True),
        (CageChange.HOLDS, (chess.C3,), (), False, False),
        (CageChange.WIDENS, (), (), False, False),
        (CageChange.HOLDS, (), ("h2",), False, False),
        (CageChange.HOLDS, (), ("h2",), True, True),
    ],
)
def test_a_cage_is_kept_shut_that_holds_and_in_which_no_man_stands_nor_another_square_is_given(
    change: CageChange, loose: tuple[int, ...], given: tuple[str, ...], same: bool, kept: bool
) -> None:
    idea = Cage(change, 6, 6, same=same, loose=loose)
    text = rooms.cage_held(idea, stepped(_MINORS, "a1b2", idea, squares_given=given))
    assert text == ("keeps the cage shut" if kept else "")
