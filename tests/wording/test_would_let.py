"""What a slower move would let in, and what is wrong with a step of a bare king: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.blame import Lapse
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.prepares import Next
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import beside, hunting, room_left, shortcomings
from matebot.wording.counsel import OFF_THE_EDGE
from tests.wording.bare import facts_of

ROOK, TO_KNIGHT, OWN_PAWN = "8/8/8/4k3/8/8/8/K6R w", "8/8/8/4k1n1/8/8/8/K6R w", "8/8/8/4k3/8/8/2P5/K6R w"
FAR = 20


def facts(placed: str, uci: str, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins: the ideas by their kinds, and as told."""
    ideas = told.pop("ideas", {})
    board = chess.Board(f"{placed} - - 0 1")
    king = board.king(not board.turn)
    assert king is not None
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        name=lambda *moves: ("Kb3", "Kd6", told.get("check_name", "Qf4+"))[len(moves) - 1],
        move=chess.Move.from_uci(uci),
        slower_moves=SimpleNamespace(hunts=lambda square: told.get("hunts", False)),
        answers_check=False,
    )
    return facts_of(
        f"{placed} - - 0 1",
        uci,
        by_winner=True,
        seen=seen,
        room=SimpleNamespace(king=told.get("king", chess.square_name(king)), flights=told.get("flights", ())),
        race=SimpleNamespace(runs_alone=told.get("runs", False)),
        gives=SimpleNamespace(check=told.get("check", False)),
        ways=SimpleNamespace(held_from=told.get("held_from", ())),
        worth=SimpleNamespace(mate_moves=told.get("mate", FAR), outcome_after=1),
    )


@pytest.mark.parametrize(
    ("placed", "uci", "blame", "told", "text"),
    [
        (ROOK, "a1b2", {"attacks": True}, {}, "Kf4 attack the rook"),
        (ROOK, "a1b2", {"lapse": Lapse.HIT}, {}, "Kf4 attack the rook"),
        (ROOK, "a1b2", {"lapse": Lapse.UNGUARDED}, {}, "Kf4 go for the rook"),
        (ROOK, "a1b2", {"lapse": Lapse.MAN_OUT}, {}, "the rook out by Kf4"),
        (OWN_PAWN, "a1b2", {"attacks": True, "man": chess.PAWN}, {}, "Kf4 attack the pawn"),
        (OWN_PAWN, "a1b2", {"attacks": True, "man": chess.PAWN}, {"runs": True}, ""),
        (OWN_PAWN, "a1b2", {"attacks": True}, {"runs": True}, "Kf4 attack the rook"),
        (ROOK, "a1b2", {"lapse": Lapse.TIME, "leads": Aim.CENTRE}, {}, ""),
        (ROOK, "a1b2", {"leads": Aim.CENTRE}, {}, "Black's king back to the centre by Kf4"),
        (ROOK, "h1h2", {"leads": Aim.CENTRE}, {}, "the king back to the centre by Kf4"),
        (ROOK, "h1h2", {"leads": Aim.CENTRE, "lapse": Lapse.LEFT_OPEN}, {}, "the king back to the centre by Kf4"),
        (ROOK, "h1h2", {"leads": Aim.CENTRE}, {"king": "h5"}, "the king off the edge by Kf4"),
        (ROOK, "h1h2", {}, {}, ""),
        (OWN_PAWN, "h1h2", {"leads": Aim.PAWN, "target": chess.C2}, {}, "the king go for the pawn on c2 by Kf4"),
        (OWN_PAWN, "h1h2", {"leads": Aim.PAWN, "target": chess.C2}, {"runs": True}, ""),
        (OWN_PAWN, "h1h2", {"leads": Aim.CENTRE}, {"runs": True}, "the king back to the centre by Kf4"),
        (TO_KNIGHT, "h1h2", {"leads": Aim.OWN_MAN, "target": chess.G5}, {}, "the king come to its knight by Kf4"),
        (TO_KNIGHT, "h1h2", {"leads": Aim.OWN_MAN, "target": chess.H7}, {}, "the king come nearer to its knight by"),
        (TO_KNIGHT, "h1h2", {"leads": Aim.OWN_MAN, "target": chess.H6}, {}, "the king come nearer to its knight by"),
        (TO_KNIGHT, "h1h2", {"leads": Aim.OWN_MAN}, {}, "the king come to its knight by Kf4"),
        (ROOK, "h1h2", {"leads": Aim.OWN_MAN, "target": chess.G5}, {}, "the king come to its man by Kf4"),
        (ROOK, "h1h2", {"leads": Aim.WRONG_CORNER, "target": chess.H8}, {}, "the king head for the wrong corner h8"),
        (ROOK, "h1h2", {"leads": Aim.OUT_OF_CORNER, "target": chess.H8}, {}, "the king away from the corner h8 by"),
        (ROOK, "h1h2", {"leads": Aim.OUT_OF_CORNER, "target": chess.H8}, {"king": "h8"}, "the king out of the corner"),
    ],
)
def test_what_a_slower_move_would_let_in_is_told_by_the_reply_and_where_it_leads(
    placed: str, uci: str, blame: dict[str, Any], told: dict[str, Any], text: str
) -> None:
    given = {"man": chess.ROOK, "attacks": False, "lapse": Lapse.LET_GO, "leads": None, "target": None, **blame}
    found: Any = SimpleNamespace(move=None, blame=SimpleNamespace(reply="Kf4", **given))
    assert beside.would_let(found, facts(placed, uci, **told)).startswith(f"Kb3 would let {text}" if text else "")
    assert bool(beside.would_let(found, facts(placed, uci, **told))) == bool(text)


KNIGHT = "8/8/8/4k3/8/6n1/8/K6R w"
LINE = tuple(map(chess.Move.from_uci, ("e5d6", "h1h3", "d6e7", "h3g3")))
FALLS: dict[str, Any] = {"does": Next.CAPTURE, "line": LINE}
CHECKED = {LeadsTo: FALLS}


@pytest.mark.parametrize(
    ("placed", "uci", "idea", "told", "text"),
    [
        (KNIGHT, "a1b2", {"covered": True}, {}, ""),
        ("8/8/8/4k3/8/6n1/8/4K2R w", "e1f2", {}, {}, "attacks the knight on g3, which is away from its king"),
        ("8/8/8/4k3/8/6n1/8/4K2R w", "e1d2", {}, {}, "leaves the knight on g3 away from its king, where it is lost"),
        (KNIGHT, "a1b2", {"corner": chess.H8}, {}, "keeps the king by h8, a corner of the bishop's colour"),
        (KNIGHT, "h1h5", {}, {"check": True, "edge": True}, "is held, away from its knight on g3"),
        (KNIGHT, "h1h5", {}, {"check": True}, "leaves the knight on g3 away from its king, where"),
        (KNIGHT, "h1h4", {}, {"edge": True}, "leaves the knight on g3 away from its king, where"),
        (KNIGHT, "h1h2", {}, {"ideas": CHECKED}, "leaves the knight on g3 away from its king: if Kd6, Qf4+ forks king"),
        (
            KNIGHT,
            "h1h2",
            {},
            {"ideas": {LeadsTo: {**FALLS, "does": Next.MATE}}},
            "leaves the knight on g3 away from its king, where",
        ),
        (
            KNIGHT,
            "h1h2",
            {},
            {"ideas": {LeadsTo: {**FALLS, "line": LINE[:2]}}},
            "leaves the knight on g3 away from its king, where",
        ),
        (
            KNIGHT,
            "h1h2",
            {"square": chess.F3},
            {"ideas": CHECKED},
            "leaves the knight on f3 away from its king, where",
        ),
        (
            KNIGHT,
            "h1h2",
            {},
            {"ideas": CHECKED, "check_name": "Qf4"},
            "leaves the knight on g3 away from its king, where",
        ),
        (KNIGHT, "h1g1", {}, {"ideas": {Threatens: {"threat": Threat.CAPTURE}}}, "attacks the knight on g3, which is"),
        (KNIGHT, "h1g1", {}, {"ideas": {Threatens: {"threat": Threat.MATE}}}, "leaves the knight on g3 away"),
        (
            KNIGHT,
            "h1h4",
            {},
            {"ideas": {ShutsWay: {"aim": Aim.OWN_MAN, "last": True}}},
            "keeps the king from its knight on g3: away from its king it is lost",
        ),
        (KNIGHT, "h1h4", {}, {"ideas": {ShutsWay: {"aim": Aim.OWN_MAN, "last": False}}}, "leaves the knight on g3"),
        (KNIGHT, "h1h4", {}, {"ideas": {ShutsWay: {"aim": Aim.CENTRE, "last": True}}}, "leaves the knight on g3"),
        (KNIGHT, "a1b2", {}, {"ideas": {NearsMan: {"square": chess.G3}}, "hunts": True}, "goes after the knight on g3"),
        (KNIGHT, "a1b2", {}, {"ideas": {NearsMan: {"square": chess.G3}}}, "leaves the knight on g3 away"),
        (KNIGHT, "a1b2", {}, {"hunts": True}, "leaves the knight on g3 away"),
        (KNIGHT, "h1h4", {}, {"flights": ("e5", "f4")}, ""),  # its king comes to it
        (KNIGHT, "h1h4", {}, {"flights": ("d6", "c6")}, "leaves the knight on g3 away"),
    ],
)
def test_a_knight_away_from_its_king_is_lost_by_what_the_move_does_to_it(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, idea: dict[str, Any], told: dict[str, Any], text: str
) -> None:
    edge = told.get("edge", False)
    monkeypatch.setattr(room_left, "held_on_edge", lambda _: edge)
    monkeypatch.setattr(room_left, "holds", lambda _: "is held")
    shown: Any = SimpleNamespace(**{"covered": False, "corner": None, "square": chess.G3, **idea})
    found = hunting.minor_lost(shown, facts(placed, uci, **told))
    assert found.startswith(text) if text else not found
    assert bool(hunting.dominated(shown, facts(placed, uci, **told))) == bool(shown.covered)


TO_PAWN = "8/8/8/4k1p1/8/8/8/K6R w"
UP = {"held_by": HeldBy.CAGE}


@pytest.mark.parametrize(
    ("inside", "told", "text"),
    [
        (True, {}, "goes for the pawn on g5: the king is inside its square"),
        (True, {"held_from": ("h1", "a1")}, "goes for the pawn on g5, which the rook holds from h1"),
        (True, {"ideas": {LeadsTo: FALLS}}, "goes for the pawn on g5: the king is inside its square"),
        (False, {"ideas": {LeadsTo: FALLS}}, ""),
        (False, {"ideas": {LeadsTo: {**FALLS, "does": Next.MATE}}}, "comes to help the rook against the pawn on g5"),
        (True, {"ideas": {KingUp: UP}}, "goes for the pawn on g5"),
        (True, {"ideas": {KingUp: UP}, "mate": 6}, ""),
        (True, {"ideas": {KingUp: UP}, "mate": 7}, "goes for the pawn on g5"),
        (True, {"ideas": {KingUp: {"held_by": HeldBy.LINE}}, "mate": 6}, "goes for the pawn on g5"),
        (True, {"mate": 6}, "goes for the pawn on g5"),
    ],
)
def test_a_king_goes_for_a_pawn_but_where_mate_or_the_rook_comes_first(
    inside: bool, told: dict[str, Any], text: str
) -> None:
    idea = NearsMan(chess.PAWN, chess.G5, 5, 6, inside)
    found = hunting.nears_man(idea, facts(TO_PAWN, "a1b2", hunts=True, **told))
    assert found.startswith(text) if text else not found


BARE = "8/8/8/3k4/8/8/8/K5Q1 b"


@pytest.mark.parametrize(
    ("placed", "uci", "best", "as_long", "text", "lesson"),
    [
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a8", ["Kc6"], "", "goes into the corner; Kc6 lasts a move longer", ""),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6"], "", "goes to the edge; Kc6 lasts a move longer", OFF_THE_EDGE),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6", "Kb6"], "", "goes to the edge; Kc6 and Kb6 last", OFF_THE_EDGE),
        (
            "8/1k6/8/8/8/2K5/8/7R b",
            "b7a7",
            ["Kc6", "Kb6", "Kc7"],
            "",
            "goes to the edge; Kc6, Kb6 and Kc7 last",
            OFF_THE_EDGE,
        ),
        (
            "8/1k6/8/8/8/2K5/8/7R b",
            "b7a7",
            ["Kc6", "Kb6", "Kc7", "Kd6"],
            "",
            "goes to the edge; Kc6 lasts",
            OFF_THE_EDGE,
        ),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6", "Ka6"], "", "goes away from the centre; Kc6 and Ka6", ""),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6"], "b7c7", "", ""),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6"], "b7b8", "goes to the edge; Kc6 lasts", OFF_THE_EDGE),
        ("8/1k6/8/8/8/2K5/8/7R b", "b7a7", ["Kc6", "Rb6"], "", "", ""),
        ("8/1k6/8/8/8/2K5/8/r6R b", "b7a7", ["Kc6"], "", "", ""),
        ("k7/8/8/8/8/2K5/8/7R b", "a8b8", ["Kb7"], "", "stays on the edge; Kb7 lasts a move longer", ""),
        ("k7/8/8/8/8/2K5/7P/7R b", "a8b8", ["Kb7"], "", "", ""),
        (BARE, "d5c6", ["Kd4"], "", "goes away from the centre; Kd4 lasts a move longer", ""),
        (BARE, "d5e5", ["Ke4"], "", "", ""),
        ("8/8/4B3/3k4/8/8/8/K6N b", "d5d4", ["Ke5"], "", "goes away from the bishop; Ke5 lasts a move longer", ""),
        ("8/8/8/3k4/6N1/8/8/K6B b", "d5d4", ["Kd6"], "", "", ""),
        ("8/8/4N3/3k4/8/8/8/K6B b", "d5c4", ["Kd6"], "", "goes away from the knight; Kd6 lasts a move longer", ""),
        ("8/8/4B3/3k4/8/8/8/K6B b", "d5d4", ["Ke5"], "", "", ""),
        ("4K3/8/4B3/3k4/8/8/8/7N b", "d5d4", ["Ke5"], "", "goes away from the bishop; Ke5 lasts", ""),
        ("8/4K3/4B3/3k4/8/8/8/7N b", "d5d4", ["Ke5"], "", "", ""),
        ("8/8/4R3/3k4/8/8/8/K6N b", "d5d4", ["Ke5"], "", "", ""),
        ("8/8/4B3/3k4/8/8/7P/K7 b", "d5d4", ["Ke5"], "", "", ""),
        ("3B4/8/8/3k4/8/8/8/K6N b", "d5d4", ["Ke5"], "", "goes away from the bishop; Ke5 lasts", ""),
        ("3B4/8/8/8/3k4/8/8/K6N b", "d4e4", ["Ke5"], "", "", ""),
        ("3B4/8/8/8/4k3/8/8/K6N b", "e4d3", ["Ke5"], "", "goes away from the centre", ""),
    ],
)
def test_what_is_wrong_with_a_step_is_told_where_no_best_one_and_none_as_short_goes_without(
    placed: str, uci: str, best: list[str], as_long: str, text: str, lesson: str
) -> None:
    steps = [chess.parse_square(name[2:]) for name in as_long.split()]
    seen = SimpleNamespace(contrast=SimpleNamespace(equal_kings=steps), answers_check=False)
    slip = facts_of(f"{placed} - - 0 1", uci, san="Kx", seen=seen)
    better: Any = SimpleNamespace(san=best[0], beside_named=SimpleNamespace(others_as_good=tuple(best[1:])))
    found = shortcomings.shortcoming(slip, better)
    assert found.text.startswith(f"Kx {text}") if text else not found
    assert found.lesson == lesson
