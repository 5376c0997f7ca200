"""How a lost defence is told beside the others: what falls, what is given up, what else lasts as long; facts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters
from matebot.ideas.critical import Critical
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.hanging import Hanging
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.outlasts import Outlasts
from matebot.ideas.prepares import Next
from matebot.ideas.prevents import Prevents
from matebot.wording import lasting
from matebot.wording.remark import NOTHING, Fate, Place, Remark
from tests.wording.bare import facts_of

KNIGHT = "8/8/2k5/8/8/5n2/8/K3R3 b"
MOVES = tuple(map(chess.Move.from_uci, ("a1b2", "c6c7", "b2c3")))
LOST, PROMOTED = (
    Remark("cannot save it", fate=Fate.MAN_LOST, lost="knight"),
    Remark("it goes on", fate=Fate.PAWN_PROMOTED),
)


def facts(placed: str = KNIGHT, uci: str = "c6c7", **told: Any) -> MoveFacts:
    """Return facts of a defence: the ideas it shows, by their kinds, what parts it from others, and as told."""
    ideas = told.get("ideas", {})
    contrast: dict[str, Any] = {"fork": None, "guards_else": (), "one_reply": True}
    contrast |= {name: told[name] for name in contrast if name in told}
    contrast["kept"] = SimpleNamespace(telling_man=told.get("safe_man"), lost_to=told.get("lost_to"))
    seen = SimpleNamespace(
        idea=lambda kind: None if kind not in ideas else SimpleNamespace(**ideas[kind]),
        contrast=SimpleNamespace(
            **contrast,
            shorter_kings=told.get("shorter", (chess.C6,)),
            best_after_longest=lambda _: (told.get("either", False), False),
            is_forced=lambda does, plies: told.get("forced", True) and does is Next.CAPTURE,
        ),
        move=chess.Move.from_uci(uci),
        name=lambda move, *more: chess.square_name(move.to_square),
        name_after=lambda _: "Re4",
    )
    return facts_of(
        f"{placed} - - 0 1",
        uci,
        seen=seen,
        san="Kc7",
        worth=SimpleNamespace(mate_moves=told.get("mate", 20), outcome_after=-1),
        beside=SimpleNamespace(choices=told.get("choices", 3)),
        beside_named=SimpleNamespace(others_as_good=told.get("others", ())),
        kept="cannot" in told,
    )


def ends(does: Next = Next.CAPTURE, plies: int = 1, man: int = chess.KNIGHT) -> dict[type, dict[str, Any]]:
    return {EndsIn: {"does": does, "line": MOVES[:plies] if plies <= len(MOVES) else MOVES * 2, "man": man}}


@pytest.mark.parametrize(
    ("told", "said", "text"),
    [
        ({"ideas": ends()}, LOST, "cannot save it"),
        ({"ideas": ends()}, PROMOTED, "forked"),
        ({"ideas": ends(), "uci": "f3e1"}, LOST, ""),  # it has taken something
        ({"ideas": ends(), "soon": True}, LOST, ""),
        ({}, LOST, "forked"),
        ({"ideas": ends(Next.MATE)}, LOST, "forked"),
        ({"ideas": ends(plies=4)}, LOST, "forked"),
        ({"ideas": ends(plies=3)}, LOST, "cannot save it"),
        ({"mate": 4}, LOST, ""),
        ({"mate": 5}, LOST, "forked"),
        ({"ideas": ends(man=chess.PAWN)}, LOST, "cannot save it"),
        ({"ideas": ends(man=chess.PAWN, plies=2)}, LOST, ""),
        ({"ideas": {**ends(), Hanging: {"moved": True}}, "uci": "f3d4", "at": chess.D4}, LOST, ""),
        ({"ideas": {**ends(), Hanging: {"moved": False}}, "uci": "f3d4", "at": chess.D4}, LOST, "cannot save it"),
        ({"ideas": {**ends(), Hanging: {"moved": True}}, "uci": "f3d4"}, LOST, "cannot save it"),
        ({"ideas": ends(), "uci": "f3d4", "at": chess.D4}, LOST, "cannot save it"),
    ],
)
def test_a_man_that_falls_is_told_but_where_mate_is_near_or_it_is_given_for_something(
    monkeypatch: pytest.MonkeyPatch, told: dict[str, Any], said: Remark, text: str
) -> None:
    monkeypatch.setattr(lasting, "is_mated_soon", lambda _: told.get("soon", False))
    monkeypatch.setattr(lasting, "cannot", lambda _: said)
    monkeypatch.setattr(lasting, "_forked", lambda _: Remark("forked"))
    ideas = dict(told.get("ideas", {}))
    if "at" in told:
        ideas[EndsIn] = {**ideas[EndsIn], "line": (chess.Move(chess.E1, told["at"]),)}
    assert lasting._falls(facts(**{**told, "ideas": ideas})).text == text


@pytest.mark.parametrize(
    ("text", "choices", "like_it", "told"),
    [
        ("Kb2 lets Rd3 cut it off", 3, False, "Kb2 would let Rd3 cut it off"),
        ("Kb2 lets Rd3 cut it off", 3, True, "Kb2, for one, would let Rd3 cut it off"),
        ("Kb2 loses the rook", 2, False, "Kb2 would lose the rook"),
        ("Kb2 loses the rook", 3, False, "Kb2, for one, would lose the rook"),
        ("Kb2 allows Rd3 at once", 2, False, "Kb2 would allow Rd3 at once"),
        ("Kb2 gives it up", 3, True, "Kb2 gives it up"),
    ],
)
def test_of_another_move_it_is_told_what_it_would_do(text: str, choices: int, like_it: bool, told: str) -> None:
    critical = SimpleNamespace(like_it=like_it)
    assert lasting._would(text, critical, facts(choices=choices)) == told  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("placed", "uci", "others", "text"),
    [
        (KNIGHT, "c6c7", (MOVES[0],), "gives up the knight: b2 guards it, but is mated sooner"),
        (KNIGHT, "c6c7", MOVES[:2], "gives up the knight: b2 and c7 guard it, but are mated sooner"),
        (KNIGHT, "c6c7", (), ""),
        (KNIGHT, "f3d2", MOVES[:1], ""),
        ("8/8/8/8/4k3/6n1/8/K5R1 b", "e4f3", MOVES[:1], ""),
        ("8/8/8/8/4k3/6n1/8/K5R1 b", "e4e3", MOVES[:1], "gives up the knight: b2 guards it, but is mated sooner"),
    ],
)
def test_a_man_is_given_up_that_steps_mated_sooner_would_guard(
    placed: str, uci: str, others: tuple[chess.Move, ...], text: str
) -> None:
    assert lasting._gives_up(facts(placed, uci, guards_else=others)) == text


@pytest.mark.parametrize(
    ("told", "text"),
    [
        ({}, []),
        ({"others": ("Kb7",)}, ["Every move lasts as long."]),
        ({"others": ("Kb7",), "mate": 1}, []),
        ({"others": ("Kb7",), "critical": True}, ["Kb7 lasts as long."]),
        ({"others": ("Kb7", "Kb6", "Kd6"), "critical": True}, ["Kb7, Kb6 and Kd6 last as long."]),
        ({"others": ("Kb7", "Kb6", "Kd6", "Kd7"), "critical": True}, ["Four other moves last as long."]),
        ({"others": ("Kb7",) * 9, "critical": True}, ["Many other moves last as long."]),
    ],
)
def test_moves_that_last_as_long_are_named_or_counted(told: dict[str, Any], text: list[str]) -> None:
    ideas = {Critical: {"alone": False}} if told.get("critical") else {}
    assert lasting._equals(facts(**{**told, "ideas": ideas})) == text


@pytest.mark.parametrize(
    ("longer_by", "captured", "test"), [(2, False, True), (1, False, False), (3, False, True), (2, True, False)]
)
def test_a_defence_that_lasts_two_moves_longer_and_takes_nothing_is_a_test(
    longer_by: int, captured: bool, test: bool
) -> None:
    given = facts(KNIGHT, "f3e1" if captured else "f3d4")
    critical = SimpleNamespace(longer_by=longer_by, most=3)
    assert lasting.is_test(critical, given) == test  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("choices", "most", "text"),
    [
        (2, 2, "the other move is mated 2 moves sooner"),
        (3, 2, "every other move is mated 2 moves sooner"),
        (3, 3, "every other move is mated at least 2 moves sooner"),
    ],
)
def test_the_other_moves_are_mated_sooner_by_so_many_moves_at_least(choices: int, most: int, text: str) -> None:
    critical = SimpleNamespace(longer_by=2, most=most)
    assert lasting.any_other(critical, facts(choices=choices)) == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("others", "text"),
    [
        ((), "Kc7 holds out longer"),
        (("Kb7",), "Kc7 and Kb7 hold out longer"),
        (("Kb7", "Kb6"), "Kc7, Kb7 and Kb6 hold out longer"),
        (("Kb7", "Kb6", "Kd6"), "Kc7 and three other moves hold out longer"),
    ],
)
def test_the_moves_that_hold_out_longest_are_named_where_they_are_few(others: tuple[str, ...], text: str) -> None:
    assert lasting._longer(facts(), facts(others=others)) == text


ENTERS, FAR, BY_ROOK = (chess.Move.from_uci(uci) for uci in ("a1b2", "a1b1", "e1e2"))
BESIDE = "8/8/8/8/k7/8/8/K3R3 b"


@pytest.mark.parametrize(
    ("better", "told", "text"),
    [
        ("a4a3", {Prevents: {"better": "a4a3", "guarded": True, "reply": ENTERS}}, "keeps White's king out of b2"),
        ("a4a3", {Prevents: {"better": "a4b3", "guarded": True, "reply": ENTERS}}, ""),
        ("a4a3", {Prevents: {"better": "a4a3", "guarded": False, "reply": ENTERS}}, ""),
        ("a4a3", {Prevents: {"better": "a4a3", "guarded": True, "reply": BY_ROOK}}, ""),
        ("a4a3", {Counters: {"reply": ENTERS}}, "keeps White's king out of b2"),
        ("a4a3", {Counters: {"reply": ENTERS}, "others": ("Kb3",)}, ""),
        ("a4a3", {Counters: {"reply": FAR}}, ""),
        ("a4b4", {Counters: {"reply": ENTERS}}, ""),
        ("a4a3", {}, ""),
    ],
)
def test_a_better_step_keeps_the_other_king_out_of_where_it_goes_now(
    better: str, told: dict[Any, Any], text: str
) -> None:
    others = told.pop("others", ())
    if Prevents in told:
        told[Prevents]["better"] = chess.Move.from_uci(told[Prevents]["better"])
    slip, best = facts(BESIDE, "a4a5", ideas=told), facts(BESIDE, better, others=others)
    assert lasting._kept_out(slip, best) == text


@pytest.mark.parametrize(
    ("told", "text", "beside"),
    [
        (None, None, None),
        ({"better": "c6c5", "prevented": True, "guarded": True}, None, None),
        ({"prevented": True, "guarded": True}, "loses a move: it allows Re4, which Kc7 prevents by guarding b2", False),
        ({"prevented": True, "guarded": False}, "loses a move: it allows Re4, which Kc7 prevents", False),
        ({"prevented": False, "guarded": False}, "loses a move to Re4", True),
    ],
)
def test_the_reply_to_which_a_move_is_lost_is_told_with_what_prevents_it(
    told: dict[str, Any] | None, text: str | None, beside: bool | None
) -> None:
    ideas: dict[type, Any] = {}
    if told is not None:
        better = chess.Move.from_uci(told.get("better", "c6c7"))
        ideas = {Prevents: {"reply": MOVES[0], **told, "better": better}}
    found = lasting._prevented("loses a move", facts(ideas=ideas), facts())
    assert (found and (found[0].text, found[1])) == (text and (text, beside))


COUNTERS = {Counters: {"reply": MOVES[0]}}
OWN = {LetsAtOnce: {"other": chess.Move.from_uci("c6d6")}}


@pytest.mark.parametrize(
    ("told", "better", "what", "later", "text"),
    [
        ({"fork": (1, 2)}, {}, NOTHING, NOTHING, "loses a move and forks it"),
        ({"fork": (1, 2)}, {"fork": (1, 2)}, NOTHING, NOTHING, "loses a move: Kc7 holds out longer"),
        ({}, {}, LOST, NOTHING, "loses a move and cannot save it"),
        ({"one_reply": False}, {}, LOST, NOTHING, "loses a move: Kc7 holds out longer"),
        ({"one_reply": False}, {}, PROMOTED, NOTHING, "loses a move and it goes on"),
        ({}, {}, LOST, PROMOTED, "loses a move and cannot save it"),
        ({"ideas": ends()}, {"ideas": ends()}, LOST, LOST, "loses a move: the knight falls either way, but Kc7 holds"),
        ({"ideas": ends()}, {}, LOST, LOST, "loses a move: Kc7 holds out longer"),
        ({}, {"ideas": ends()}, LOST, LOST, "loses a move: Kc7 holds out longer"),
        ({"ideas": ends(), "forced": False}, {"ideas": ends()}, LOST, LOST, "loses a move: Kc7 holds out longer"),
        ({}, {}, PROMOTED, PROMOTED, "loses a move: the pawn promotes either way, but Kc7 holds out longer"),
        (
            {},
            {"shorter": (chess.C8,)},
            PROMOTED,
            PROMOTED,
            "loses a move: the pawn promotes either way, but Kc7, nearer the",
        ),
        (
            {},
            {"shorter": (chess.C8, chess.C7)},
            PROMOTED,
            PROMOTED,
            "loses a move: the pawn promotes either way, but Kc7 h",
        ),
        (
            {},
            {"shorter": (chess.C8,), "others": ("Rd6",)},
            PROMOTED,
            PROMOTED,
            "loses a move: the pawn promotes either way, but Kc7 h",
        ),
        ({"uci": "c6d6"}, {"ideas": OWN}, NOTHING, NOTHING, "loses a move: it comes"),
        ({"uci": "c6c5"}, {"ideas": OWN}, NOTHING, NOTHING, "loses a move: Kc7 holds out longer"),
        ({"ideas": COUNTERS, "either": True}, {}, NOTHING, NOTHING, "loses a move: White's Re4 comes in any case"),
        ({"ideas": COUNTERS}, {}, NOTHING, NOTHING, "loses a move and is met"),
        ({}, {}, Remark("so"), NOTHING, "loses a move: Kc7 holds out longer"),
    ],
)
def test_what_comes_against_a_shorter_defence_is_told_by_whether_it_comes_against_the_better_one_too(
    monkeypatch: pytest.MonkeyPatch,
    told: dict[str, Any],
    better: dict[str, Any],
    what: Remark,
    later: Remark,
    text: str,
) -> None:
    slip, best = facts(**{"uci": "c6c5", **told}), facts(**better)
    monkeypatch.setattr(lasting, "cannot", lambda one: what if one is slip else later)
    monkeypatch.setattr(lasting, "_forked", lambda one: Remark("forks it") if one.seen.contrast.fork else NOTHING)
    monkeypatch.setattr(lasting, "comes", lambda _: Remark("it comes"))
    monkeypatch.setattr(lasting, "met_by", lambda *_: " and is met")
    monkeypatch.setattr(lasting, "taught", lambda *_: "")
    assert lasting._falls_short("loses a move", slip, best)[0].text.startswith(text)


SAFE = Remark("keeps the knight")


@pytest.mark.parametrize(
    ("what", "alone", "told", "text"),
    [
        (NOTHING, True, {}, "holds out longest"),
        (Remark("it goes"), True, {}, "holds out longest, but it goes"),
        (Remark("it goes"), True, {"longer_by": 2}, "holds out longest, but it goes"),
        (Remark("it goes"), False, {}, "it goes"),
        (Remark("it goes on and on" * 5), True, {}, "it goes on and on" * 5),
        (Remark("stays", place=Place.MERIT), True, {}, "holds out longest and stays"),
        (Remark("stays", place=Place.MERIT), True, {"longer_by": 2}, "is the best defence and stays"),
        (Remark("stays", place=Place.MERIT, bare=Remark("goes")), True, {}, "holds out longest, but goes"),
        (Remark("it goes"), True, {"safe": True}, "holds out longest: it keeps the knight"),
        (Remark("it goes"), False, {"safe": True}, "keeps the knight"),
        (Remark("it goes"), True, {"safe": True, "mate": 5}, "holds out longest, but it goes"),
        (Remark("it goes"), True, {"safe": True, "mate": 6}, "holds out longest: it keeps the knight"),
        (LOST, True, {"safe": True}, "holds out longest, but cannot save it"),
        (Remark("mated", fate=Fate.KING_MATED), True, {"safe": True}, "holds out longest, but mated"),
        (PROMOTED, True, {"safe": True}, "holds out longest: it keeps the knight"),
        (LOST, True, {"gives": "gives up the knight"}, "holds out longest, though it gives up the knight"),
        (LOST, False, {"gives": "gives up the knight"}, "cannot save it"),
        (PROMOTED, True, {"gives": "gives up the knight"}, "holds out longest, but it goes on"),
    ],
)
def test_a_longest_defence_is_told_with_what_comes_or_with_the_man_that_it_keeps(
    monkeypatch: pytest.MonkeyPatch, what: Remark, alone: bool, told: dict[str, Any], text: str
) -> None:
    monkeypatch.setattr(lasting, "_safe", lambda _: SAFE if told.get("safe") else NOTHING)
    monkeypatch.setattr(lasting, "_gives_up", lambda _: told.get("gives", ""))
    critical = SimpleNamespace(alone=alone, longer_by=told.get("longer_by", 1), most=3)
    assert lasting._but(critical, what, facts(mate=told.get("mate", 20))).text == text  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("what", "other", "told", "text"),
    [
        (Remark("it goes"), "Kb7 lets Re4 in", {}, "holds out longer than Kb7, which lets Re4 in"),
        (Remark("it goes"), "", {}, "holds out longest, but it goes"),
        (Remark("it goes"), "Kb7 lets Re4 in", {"safe": True}, "holds out longest: it keeps the knight"),
        (LOST, "Kb7 lets Re4 in", {}, "holds out longest, but cannot save it"),
        (PROMOTED, "Kb7 lets Re4 in", {}, "holds out longest, but it goes on"),
        (Remark("stays", place=Place.MERIT), "Kb7 lets Re4 in", {}, "holds out longest and stays"),
        (Remark("stays", place=Place.HOPE), "Kb7 lets Re4 in", {}, "holds out longer than Kb7, which lets Re4 in"),
        (Remark("it goes"), "Kb7 lets Re4 in", {"mated": "is mated"}, "holds out longest, but it goes"),
    ],
)
def test_the_next_best_defence_is_told_where_nothing_more_is_known_of_this_one(
    monkeypatch: pytest.MonkeyPatch, what: Remark, other: str, told: dict[str, Any], text: str
) -> None:
    for name, found in (("cannot", what), ("mated", told.get("mated", "")), ("taught", "")):
        monkeypatch.setattr(lasting, name, lambda *_, found=found: found)
    monkeypatch.setattr(lasting, "outlasted", lambda *_: other)
    monkeypatch.setattr(lasting, "_safe", lambda _: SAFE if told.get("safe") else NOTHING)
    critical = SimpleNamespace(alone=True, longer_by=1, most=3)
    given = facts(ideas={Outlasts: {}})
    assert lasting._what_comes(critical, given).text == text  # type: ignore[arg-type]
