"""What meets a defence, where it leaves its side and from what it keeps the king: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters, Does
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.expects import Expects
from matebot.ideas.hanging import Hanging
from matebot.ideas.outlasts import Outlasts
from matebot.ideas.prepares import Next
from matebot.wording import counsel, countering, going_on, kept_out, posture, problems
from matebot.wording.remark import Place, Remark
from tests.wording.bare import facts_of

REPLY = chess.Move.from_uci("e3e4")
ROOK, EDGE = "8/8/3k4/8/8/4R3/8/K7 b", "3k4/8/8/8/8/4R3/8/K7 b"
KNIGHT, PAWN = "8/8/3k4/7n/8/4R3/8/K7 b", "8/8/3k4/8/3P4/8/8/K7 b"
TWO = "8/8/3k4/8/8/4R3/7R/K7 b"


def facts(placed: str, uci: str, *shown: object, **told: Any) -> MoveFacts:
    """Return facts of a defence: the ideas it shows, and as told."""
    contrast: dict[str, Any] = {
        "best_after_longest": lambda _: (False, told.get("else_too", False)),
        "edge_tells": lambda _: told.get("tells", True),
        "stopped": lambda _: told.get("off", []),
        "shorter_kings": (),
        **{name: told.get(name) for name in ("on_edge", "ways_off")},
        "kept": SimpleNamespace(man=told.get("kept_man"), all_else_lose=told.get("piece_tells")),
    }
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in shown}.get,
        contrast=SimpleNamespace(**contrast),
        reply_does=lambda name: None,
        attacked=lambda square: told.get("attacked", True),
        name=lambda *moves: ("Ke6", "Re4")[len(moves) - 1],
        name_after=lambda _: "Re4",
        why_drawn=told.get("drawn"),
        answers_check=False,
    )
    worth = SimpleNamespace(mate_moves=told.get("mate", 20), outcome_after=-1)
    return facts_of(f"{placed} - - 0 1", uci, seen=seen, worth=worth, ahead=("Re4", "Kd6"))


HITS, DRIVES, TAKES, NEARS, PARTS, SAVES = (
    (Does.HITS, (), chess.KNIGHT),
    (Does.DRIVES, (), None),
    (Does.TAKES, (chess.E4, chess.E5), None),
    (Does.NEARS, (), None),
    (Does.PARTS, (), chess.KNIGHT),
    (Does.SAVES, (), chess.ROOK),
)
ONE = (Does.TAKES, (chess.E4,), None)


@pytest.mark.parametrize(
    ("placed", "deed", "told", "met", "lets"),
    [
        (KNIGHT, HITS, {}, " and is met by Re4, which attacks the knight", "Ke6 lets Re4 attack the knight"),
        (KNIGHT, HITS, {"apart": True}, ": it lets Re4 attack the knight", "Ke6 lets Re4 attack the knight"),
        (KNIGHT, HITS, {"else_too": True}, "", "Ke6 lets Re4 attack the knight"),
        (ROOK, DRIVES, {"apart": True}, " and is met by Re4, which drives Black's king to the edge", ""),
        (ROOK, TAKES, {}, " and is met by Re4, which takes e4 and e5 from", "Ke6 lets Re4 take e4 and e5 from"),
        (ROOK, ONE, {}, " and is met by Re4, which takes e4 from Black's king", ""),
        (ROOK, NEARS, {}, " and is met by Re4, which brings White's king", "Ke6 lets Re4 bring White's king nearer"),
        (PAWN, NEARS, {}, "", ""),
        (PAWN, DRIVES, {}, " and is met by Re4, which drives Black's king to the edge", ""),
        (PAWN, SAVES, {}, " and is met by Re4, which saves the rook", "Ke6 lets Re4 save the rook"),
    ],
)
def test_a_reply_is_told_by_what_it_does_where_that_tells_the_move_from_others_and_no_pawn_matters_more(
    placed: str, deed: Any, told: dict[str, Any], met: str, lets: str
) -> None:
    given = facts(placed, "d6d5", **told)
    for found, text in (
        (countering.met_by(Counters(REPLY, deed[0], deed[1], deed[2], told.get("apart", False)), given), met),
        (countering.outlasted(Outlasts(REPLY, REPLY, *deed), given), lets),
    ):
        assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("placed", "uci", "deed", "mate", "rule"),
    [
        (ROOK, "d6d5", DRIVES, 3, "off the edge"),
        (ROOK, "d6d5", TAKES, 20, counsel.FEWER),
        (ROOK, "d6d5", TAKES, 4, ""),
        (ROOK, "d6d5", ONE, 20, "only there"),
        (EDGE, "d8c8", ONE, 20, ""),
        (KNIGHT, "d6d5", ONE, 20, ""),
        (KNIGHT, "d6d5", HITS, 20, counsel.belong_together("knight")),
        (KNIGHT, "d6d5", PARTS, 20, counsel.belong_together("knight")),
        (KNIGHT, "d6d5", (Does.HITS, (), None), 20, ""),
        (KNIGHT, "d6d5", (Does.HITS, (), chess.PAWN), 20, "about the pawn"),
        (KNIGHT, "d6d5", SAVES, 20, ""),
        (ROOK, "d6d5", NEARS, 20, ""),  # it goes towards the other king itself
        (ROOK, "d6d7", NEARS, 20, counsel.KEEP_AWAY),
        (KNIGHT, "h5f4", NEARS, 20, ""),
    ],
)
def test_a_reply_teaches_by_what_it_does_but_near_mate(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, deed: Any, mate: int, rule: str
) -> None:
    monkeypatch.setattr(countering, "off_the_edge", lambda _: "off the edge")
    monkeypatch.setattr(countering, "only_there", lambda _: "only there")
    monkeypatch.setattr(countering, "about_pawn", lambda _: "about the pawn")
    assert countering.taught(Counters(REPLY, deed[0], deed[1], deed[2], False), facts(placed, uci, mate=mate)) == rule


def test_what_a_reply_to_the_move_or_to_the_next_best_attacks_teaches() -> None:
    by_reply, by_other = Counters(REPLY, *HITS, False), Outlasts(REPLY, REPLY, *HITS)
    rule = counsel.belong_together("knight")
    assert countering.hit(facts(KNIGHT, "d6d5", by_reply)) == countering.hit(facts(KNIGHT, "d6d5", by_other)) == rule
    assert countering.hit(facts(KNIGHT, "d6d5", Counters(REPLY, *PARTS, False))) == ""
    assert countering.hit(facts(PAWN, "d6d5", by_reply)) == ""


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text", "place"),
    [
        (ROOK, "d6d5", {}, "comes nearer to the centre", Place.MERIT),
        (ROOK, "d6c6", {}, "stays near the centre", Place.MERIT),
        (ROOK, "d6d5", {"tells": False}, "", Place.NO_MERIT),
        (ROOK, "d6d7", {}, "stays off the edge", Place.MERIT),
        (EDGE, "d8d7", {}, "leaves the edge", Place.MERIT),
        ("8/3k4/8/8/8/4R3/8/K7 b", "d7d8", {}, "goes to the edge", Place.NO_MERIT),
        (EDGE, "d8c8", {}, "stays on the edge", Place.NO_MERIT),
        (EDGE, "d8c8", {"on_edge": True}, "cannot leave the edge", Place.NO_MERIT),
        (EDGE, "d8c8", {"on_edge": True, "ways_off": [1]}, "stays on the edge", Place.NO_MERIT),
        (EDGE, "d8c8", {"on_edge": True, "off": [chess.C7], "comes": True}, "makes for c7, off", Place.HOPE),
        (EDGE, "d8c8", {"off": [chess.C7], "comes": True, "ways_off": [1]}, "stays on the edge", Place.NO_MERIT),
        (EDGE, "d8c8", {"on_edge": True, "off": [chess.C7]}, "cannot leave the edge", Place.NO_MERIT),
        (KNIGHT, "d6d5", {"kept_man": chess.KNIGHT, "piece_tells": True}, "leaves no check that wins", Place.MERIT),
        (KNIGHT, "d6d5", {"kept_man": chess.KNIGHT}, "", Place.NO_MERIT),
        (KNIGHT, "d6d5", {"piece_tells": True}, "", Place.NO_MERIT),
        (KNIGHT, "d6d5", {"kept_man": chess.KNIGHT, "piece_tells": True, "ends": Next.CAPTURE}, "", Place.NO_MERIT),
        (KNIGHT, "d6d5", {"kept_man": chess.KNIGHT, "piece_tells": True, "ends": Next.MATE}, "leaves", Place.MERIT),
        (KNIGHT.replace("R", "B"), "d6d5", {"kept_man": chess.KNIGHT, "piece_tells": True}, "", Place.NO_MERIT),
        ("8/8/3k4/8/3P4/7P/8/K7 b", "d6d5", {}, "", Place.NO_MERIT),
        ("8/8/8/3k4/3P4/8/8/K7 b", "d5d4", {}, "", Place.NO_MERIT),  # it is taken
    ],
)
def test_a_bare_king_stands_off_the_edge_or_on_it_and_a_piece_is_kept_from_the_checks_of_heavy_men(
    placed: str, uci: str, told: dict[str, Any], text: str, place: Place
) -> None:
    kinds = {"comes": Expects, "ends": EndsIn}
    shown = {kinds[key]: SimpleNamespace(reply=REPLY, does=told[key]) for key in kinds if key in told}
    given = facts(placed, uci, **told)
    vars(given.seen)["idea"] = shown.get
    found = posture.posture(given)
    assert found.text.startswith(text)
    assert bool(found.text) == bool(text)
    assert not text or found.place is place


@pytest.mark.parametrize(
    ("uci", "hangs", "text"),
    [
        ("a4a3", None, "brings the pawn to within two squares of promotion"),
        ("a4a3", True, ""),
        ("a4a3", False, "brings the pawn to within two squares of promotion"),
    ],
)
def test_a_pawn_given_away_is_told_to_be_near_nothing(uci: str, hangs: bool | None, text: str) -> None:
    idea = Hanging(squares=(chess.A3,), men=(chess.PAWN,), moved=bool(hangs))
    shown = () if hangs is None else (idea,)
    assert posture._by_own_pawn(facts("8/8/8/8/p7/1k6/8/2R1K3 b", uci, *shown)) == text


@pytest.mark.parametrize(
    ("uci", "place", "counters", "text"),
    [
        ("d6d5", Place.MERIT, True, "stands, but Re4 takes e4 and e5 from Black's king"),
        ("d6d5", Place.MERIT, False, "stands, where a rook cannot mate; White now plays Re4"),
        ("d6c6", Place.MERIT, False, "stands, where a rook cannot mate; White now plays Re4"),
        ("d6d7", Place.MERIT, False, "stands, since a rook mates only there; White now plays Re4"),
        ("d6d5", Place.NO_MERIT, True, "is met by Re4, which takes e4 and e5 from Black's king"),
        ("d6d5", Place.NO_MERIT, False, "stands, where a rook can mate; White now plays Re4"),
    ],
)
def test_a_reply_without_a_name_is_told_with_how_the_move_stands_and_why_it_is_no_mate_there(
    monkeypatch: pytest.MonkeyPatch, uci: str, place: Place, counters: bool, text: str
) -> None:
    monkeypatch.setattr(going_on, "posture", lambda _: Remark("stands", "", place=place))
    monkeypatch.setattr(going_on, "mating", lambda _: "a rook")
    shown = (Counters(REPLY, *TAKES, False),) if counters else ()
    assert going_on._is_met("Re4", facts(ROOK, uci, *shown)).text == text


def test_where_men_stand_on_the_board_no_mate_on_the_edge_is_told_of(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(going_on, "posture", lambda _: Remark("stands", "", place=Place.MERIT))
    assert going_on._is_met("Re4", facts(KNIGHT, "d6d5")).text == "stands; White now plays Re4"
    assert going_on._is_met("Re4", facts(EDGE, "d8c8")).text == "stands; White now plays Re4"


@pytest.mark.parametrize(
    ("uci", "told", "text"),
    [
        ("e1d1", {"taken": ("e4", "e5")}, "guards e5"),
        ("e1e3", {"taken": ("e4", "e5")}, "shuts the e-file to it"),
        ("e1e3", {"taken": ("e5",)}, "guards e5"),
        ("e1e3", {"taken": ("e4", "e5"), "goal": chess.D5}, "guards d5"),
        ("e1e3", {"taken": ("e4", "e5"), "half_as_bad": "e1e2"}, "guards e5"),
        ("e1e3", {"taken": ("e4", "e5"), "half_as_bad": "e1d1"}, "shuts the e-file to it"),
        ("e1e3", {"taken": ("e4", "e5"), "half_as_bad": "a1a2"}, "shuts the e-file to it"),
        ("a1b2", {"taken": ("e4", "e5")}, "guards e5"),
        ("a1b2", {"as_bad": "e1e2"}, "brings the king up and takes e5"),
        ("a1b2", {"as_bad": "a1a2"}, ""),
        ("a1b2", {"as_bad": "e1e2", "after": 3}, ""),
        ("e1f1", {"as_bad": "e1e2"}, ""),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e5",)}, ""),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e5", "e6")}, "guards e5 and e6"),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e5", "e6", "e7")}, "guards e5, e6 and e7"),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e5", "e6", "e7", "e8")}, ""),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e6", "e7")}, ""),
        ("e1f1", {"as_bad": "e1e2", "taken": ("e5", "e6"), "all_as_bad": True}, ""),
    ],
)
def test_a_king_is_kept_from_a_square_by_a_line_a_step_or_with_others_as_no_move_as_bad_does(
    uci: str, told: dict[str, Any], text: str
) -> None:
    move = chess.Move.from_uci

    def as_bad_guards(asked: Any, slip: str) -> list[chess.Move]:
        guards = len(asked) == 1 or told.get("all_as_bad", False)
        return [move(told["as_bad"])] if "as_bad" in told and guards and slip == uci else []

    slower = SimpleNamespace(
        as_bad_guards=as_bad_guards,
        half_as_bad=lambda slip: [(move(told["half_as_bad"]), None)] if "half_as_bad" in told else [],
    )
    better = facts_of(
        "8/8/3k4/8/8/8/8/K3R3 w - - 0 1",
        uci,
        by_winner=True,
        seen=SimpleNamespace(slower_moves=slower, move=uci),
        kings=SimpleNamespace(kings_before=3, kings_after=told.get("after", 2)),
        room=SimpleNamespace(king="d6", squares_taken=told.get("taken", ())),
    )
    assert kept_out.kept_out(better, better, told.get("goal", chess.E5)) == text


N_PAWN = "8/8/8/8/8/p2k4/8/K2N4 b"  # the knight alone stops the pawn


@pytest.mark.parametrize(
    ("placed", "uci", "told", "text"),
    [
        (N_PAWN, "a3a2", {}, "brings the pawn on, but White's knight guards b2 on its way"),
        (N_PAWN, "d3c4", {}, "goes to help the pawn"),
        (N_PAWN, "d3e4", {}, ""),
        ("8/8/8/8/8/p1k5/8/K2N4 b", "c3b3", {}, "goes to help the pawn"),
        ("8/8/8/8/8/p1k5/8/K5N1 b", "c3d2", {}, ""),
        ("8/8/8/8/8/pk6/8/K5N1 b", "b3c2", {}, ""),  # it was beside the pawn
        ("8/8/8/8/p7/p2k4/8/K5N1 b", "d3c3", {}, ""),
        ("8/8/8/8/8/p3k3/8/K2N4 b", "e3e2", {}, "attacks the knight, but it still stops the pawn"),
        ("8/8/8/8/8/p3k3/8/K2N4 b", "e3e2", {"king_alone": True}, "attacks the knight, but White's king"),
        ("8/8/8/8/8/p7/3k4/K2N4 b", "d2c2", {}, "goes to help the pawn"),  # it was beside the knight
        ("8/8/8/8/8/p3k3/8/K2NN3 b", "e3e2", {}, ""),
        (N_PAWN, "a3a2", {"takes": chess.KING}, ""),
        (N_PAWN, "a3a2", {"by_attacker": True}, ""),
        (N_PAWN, "a3a2", {"reason": False}, ""),
    ],
)
def test_against_a_minor_man_a_pawn_goes_on_or_its_king_comes_to_help_or_at_the_man(
    placed: str, uci: str, told: dict[str, Any], text: str
) -> None:
    why = {"held": (chess.B2,), "king_near": False, "takes": None, "gives": False, "comes": (), "king_alone": False}
    reason = MinorStopsPawn(chess.KNIGHT, **{**why, **{key: told[key] for key in why if key in told}})
    given = facts(placed, uci, drawn=reason if told.get("reason", True) else None)
    vars(given)["by_attacker"] = told.get("by_attacker", False)
    found = problems.tried(given)
    assert found.startswith(text) if text else not found
