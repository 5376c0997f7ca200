"""How a slip may be mended, and what a defence gives up, asked of the facts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.blame import Lapse
from matebot.ideas.hanging import Hanging
from matebot.ideas.prepares import Next
from matebot.ideas.refutation import Means, Refutation
from matebot.terms import Cause, Mistake
from matebot.wording import aftermath, lasting, unlike
from matebot.wording.aftermath import way_back

_TOLD = ("Rd3 loses time", "3 moves lost")
_AHEAD = ("Ke5", "Rd1")


def slip(
    outcome: int = 1,
    ahead: tuple[str, ...] = _AHEAD,
    best: str | None = "Rd2",
    back: Next | None = Next.MATE,
    blamed: str = "",
) -> MoveFacts:
    """Return facts of a slip: what it is worth, what comes then, the best move, what the move back does, the blame."""
    facts = SimpleNamespace(
        worth=SimpleNamespace(outcome_after=outcome),
        then=SimpleNamespace(ahead=ahead),
        instead=SimpleNamespace(best_san=best),
        seen=SimpleNamespace(back=back, blame=SimpleNamespace(reply=blamed) if blamed else None),
    )
    return cast("MoveFacts", facts)


@pytest.mark.parametrize(
    ("facts", "told", "whole", "text"),
    [
        (slip(), _TOLD, True, "mates"),
        (slip(), _TOLD, False, "mates"),
        (slip(back=Next.CUTS_OFF), _TOLD, True, "cuts the king off"),
        (slip(back=Next.CUTS_OFF), _TOLD, False, None),  # that is not worth it where more has been told
        (slip(back=None), _TOLD, True, ""),
        (slip(back=None), _TOLD, False, None),
        (slip(back=Next.KING_UP), _TOLD, True, ""),
        (slip(outcome=0), _TOLD, True, None),
        (slip(outcome=-1), _TOLD, True, None),
        (slip(ahead=("Ke5",)), _TOLD, True, None),
        (slip(ahead=()), _TOLD, True, None),
        (slip(best="d8=Q"), _TOLD, True, None),
        (slip(best=None), _TOLD, True, "mates"),
        (slip(), ("Rd3 misses Rd2", "3 moves lost"), False, None),
        (slip(), ("Rd3 misses Rd2", "3 moves lost"), True, "mates"),
        (slip(), ("Rd3 loses time", "better: Rd2"), False, None),
        (slip(), ("Rd3 loses time: if Ke5, Rd1", "3 moves lost"), True, None),
        (slip(), ("Rd3 loses time: if Ke5, Rd4", "3 moves lost"), True, "mates"),
        (slip(blamed="Kf5"), ("Rd3 allows Kf5", "3 moves lost"), True, None),
        (slip(blamed="Kf5"), ("Rd3 loses time", "now Kf5 gets out"), True, None),
        (slip(blamed="Kf5"), _TOLD, True, "mates"),
        (slip(blamed="Ke5"), ("Rd3 allows Ke5", "3 moves lost"), True, "mates"),
    ],
)
def test_the_way_back_is_told_where_the_win_is_left_and_no_other_reply_has_been_told_of(
    facts: MoveFacts, told: tuple[str, ...], whole: bool, text: str | None
) -> None:
    back = way_back(facts, list(told), whole)
    assert back == ([] if text is None else [f"The way back: after Ke5, Rd1 {text}".rstrip() + "."])


@pytest.mark.parametrize(
    ("moved", "captured", "promoted", "text"),
    [
        (True, None, None, "gives up the pawn, but "),
        (True, None, "queen", "gives up the queen, but "),
        (True, "rook", None, ""),  # it has something for it
        (False, None, None, ""),
        (None, None, None, ""),
    ],
)
def test_a_man_is_given_up_where_it_moved_and_may_be_taken_for_nothing(
    moved: bool | None, captured: str | None, promoted: str | None, text: str
) -> None:
    hangs = None if moved is None else Hanging(squares=(chess.E4,), men=(chess.PAWN,), moved=moved)
    man = SimpleNamespace(piece="pawn", captured=captured, promoted=promoted)
    facts = SimpleNamespace(man=man, seen=SimpleNamespace(idea={Hanging: hangs}.get))
    assert lasting._gives(cast("MoveFacts", facts)) == text


def test_a_reason_with_a_colon_is_joined_without_another() -> None:
    assert lasting._joined("lasts longest", "keeps out") == "lasts longest: it keeps out"
    assert lasting._joined("lasts longest", "threatens: Ra1") == "lasts longest and threatens: Ra1"


def erring(**told: Any) -> MoveFacts:
    """Return facts of a slip whose reply is known: what is blamed, by what it is punished, and as told."""
    blamed = told.get("blamed")
    blame = None if blamed is None else SimpleNamespace(**{**_BLAME, **blamed})
    reply = None if told.get("reply", True) is None else chess.Move.from_uci("d5e5")
    idea = SimpleNamespace(means=told["means"], reply=reply, leads=None, target=None) if "means" in told else None
    facts = SimpleNamespace(
        turn="white",
        by_attacker=told.get("by_attacker", True),
        worth=SimpleNamespace(
            cause_after=told.get("cause", Cause.BALANCE),
            outcome_after=told.get("outcome", 0),
            outcome_before=told.get("before", 1),
        ),
        seen=SimpleNamespace(blame=blame, idea={Refutation: idea}.get),
        reproach=SimpleNamespace(new_replies=("d5e5",) if told.get("fresh", True) else ()),
        cost=SimpleNamespace(loses=told.get("loses"), mistake=told.get("mistake", Mistake.MOVES)),
        room=SimpleNamespace(king="d5", squares_given=told.get("given", ("e5",))),
        instead=SimpleNamespace(best_san="Rd2"),
        then=SimpleNamespace(ahead=told.get("ahead", ("Ke5", "Rd1")), only_holder=False),
        given=SimpleNamespace(gains_now=told.get("gains_now", False)),
        kings=SimpleNamespace(kings_before=4, kings_after=told.get("apart", 4)),
        gives=SimpleNamespace(stalemate=told.get("stalemate", False)),
    )
    return cast("MoveFacts", facts)


_BLAME = {"reply": "Ke5", "leads": None, "target": None, "lapse": Lapse.LEFT_OPEN, "shuts": False, "square": chess.E5}
_LOST = {"mistake": Mistake.OUTCOME}


@pytest.mark.parametrize(
    ("first", "told", "text"),
    [
        ("Rd3 loses time", {"means": Means.FORK}, "Ke5 does so."),
        ("Rd3 misses mate in two", {"means": Means.FORK}, None),
        ("Rd3 puts off a8=Q", {"means": Means.FORK}, None),
        ("Rd3 loses time", {"means": Means.FORK, "cause": Cause.STALEMATE}, None),
        ("Rd3 loses time", {"means": Means.FORK, "fresh": False, "by_attacker": False}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.SKEWER, "fresh": False, "by_attacker": False}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.PIN, "fresh": False, "by_attacker": False}, "Ke5 does so."),
        ("Rd3 loses time", {"means": Means.PIN, "fresh": False}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.PIN, "reply": None, "by_attacker": False}, "Ke5 does so."),
        ("Rd3 loses time", {"means": Means.FORK, "reply": None, "by_attacker": False}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.RUN}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.RUN, "blamed": {}}, "Ke5 does so."),
        ("Rd3 loses time", {"means": Means.RUN, "blamed": {}, "fresh": False}, "Ke5 comes in."),
        ("Rd3 loses time", {"means": Means.RUN, "blamed": {"reply": "Kd4"}, "fresh": False}, "Kd4 comes in."),
        ("Rd3 loses time", {"means": Means.PIN, "blamed": {"reply": "Kd4"}}, "Ke5 does so."),
        ("Rd3 loses time", {"means": Means.PIN, "loses": "rook"}, "meanwhile"),
        ("Rd3 allows Ke5", {"means": Means.PIN}, "meanwhile"),
        ("Rd3 allows Ke5, back", {"blamed": {}}, "meanwhile"),
        ("Rd3 loses time", {"blamed": {}}, "Ke5 comes in."),
        ("Rd3 loses time", {"blamed": {}, "is_new": False}, "meanwhile"),
        ("Rd3 loses time", {"blamed": {}, "led": ""}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.PIN, "now": "Ke5 gets in"}, "Ke5 does so."),
        ("Rd3 misses Rd2, which cuts", {"means": Means.PIN, "now": "Ke5 gets in"}, "Now Ke5 gets in."),
        ("Rd3 loses time", _LOST, "meanwhile"),
        ("Rd3 throws the win away", _LOST, "Ke5 holds."),
        ("Rd3 throws the win away", {**_LOST, "ahead": ()}, "meanwhile"),
        ("Rd3 throws the win away", {"outcome": -1}, "meanwhile"),
        ("Rd3 throws the win away", {**_LOST, "means": Means.PIN}, "Ke5 does so."),
        ("Rd3 loses a man", {**_LOST, "outcome": -1}, "Black wins by Ke5."),
        ("Rd3 loses time", {"blamed": {}, "led": "gets off the edge"}, "meanwhile"),
        ("Rd3 loses time", {"blamed": {}, "led": "gets off the edge", "inwards": True}, "Now Ke5 gets off the edge."),
        ("Rd3: off the edge", {"blamed": {}, "led": "gets off the edge", "inwards": True}, "meanwhile"),
        ("Rd3 loses time", {"means": Means.PIN, "punish": "Ke5 gets out"}, "meanwhile"),
        ("Rd3 opens the cage", {"means": Means.PIN, "punish": "Ke5 gets out"}, "Now Ke5 gets out."),
        ("Rd3 misses Ra1, at last", {**_LOST, "means": Means.PIN}, "Now Ke5 does so."),
        ("Rd3 misses Ra1", {"means": Means.PIN, "punish": "Ke5 comes nearer to it"}, "Now Ke5 comes nearer to it."),
        ("Rd3 misses Ra1", {**_LOST, "means": Means.PIN, "punish": "Ke5 comes nearer to it"}, "meanwhile"),
        ("Rd3 misses Ra1", {**_LOST, "means": Means.PIN, "by_attacker": False}, "Now Ke5 does so."),
        ("Rd3 misses Ra1", {**_LOST, "means": Means.PIN, "by_attacker": False, "ahead": ("Kd4", "")}, "meanwhile"),
        ("Rd3 misses Ra1", {**_LOST, "means": Means.PIN, "ahead": ("Kd4", "")}, "Now Ke5 does so."),
        ("Rd3 loses time", {"blamed": {}, "led": "gets in", "given": ()}, None),
        ("Rd3 loses time", {"blamed": {}, "led": "gets in", "given": (), "by_attacker": False}, "Now Ke5 gets in."),
        ("Rd3 loses time: Rd2", {"blamed": {}, "led": "gets in", "given": ()}, "Now Ke5 gets in."),
        ("Rd3 loses time", {"blamed": {"reply": "Re5"}, "led": "gets in", "given": ()}, "Now Re5 gets in."),
        ("Rd3 loses time", {"blamed": {}, "led": "rests", "given": ()}, "Ke5 rests."),
    ],
)
def test_a_slip_is_punished_by_a_reply_that_is_new_not_told_and_none_after_the_better_move(
    monkeypatch: pytest.MonkeyPatch, first: str, told: dict[str, Any], text: str | None
) -> None:
    for name, found in (
        ("_punish", told.get("punish", "Ke5 does so")),
        ("led", told.get("led", "comes in")),
        ("is_new", told.get("is_new", True)),
        ("all_inwards", told.get("inwards", False)),
        ("_meanwhile", ["meanwhile"]),
        ("_leads_now", told.get("now", "")),
    ):
        monkeypatch.setattr(aftermath, name, lambda *_, found=found: found)
    assert aftermath.punished(erring(**told), first) == ([] if text is None else [text])


@pytest.mark.parametrize(
    ("first", "told", "told_then"),
    [
        ("Rd3 loses", {"gains_now": True}, True),
        ("Rd3 loses", {}, False),
        ("Rd3 loses", {"gains_now": True, **_LOST}, False),
        ("Rd3 loses: Ke5", {"gains_now": True}, False),
        ("Rd3 loses time: Rd1", {"gains_now": True}, False),
        ("Rd3 loses; the pawn runs on", {"gains_now": True}, False),
        ("Rd3 allows Kd4", {"gains_now": True, "blamed": {"reply": "Kd4"}}, False),
        ("Rd3 allows Kd6", {"gains_now": True, "blamed": {"reply": "Kd4"}}, True),
    ],
)
def test_what_is_done_with_the_time_is_told_where_no_reply_and_nothing_ahead_is_named(
    monkeypatch: pytest.MonkeyPatch, first: str, told: dict[str, Any], told_then: bool
) -> None:
    monkeypatch.setattr(aftermath, "gained", lambda _: "Ke5 gets nearer")
    assert aftermath._meanwhile(erring(**told), first) == (["Now Ke5 gets nearer."] if told_then else [])


def best(**told: Any) -> MoveFacts:
    """Return facts of the better move."""
    facts = SimpleNamespace(
        san="Rd2",
        gives=SimpleNamespace(mate=told.get("mate", False)),
        man=SimpleNamespace(
            piece=told.get("piece", "rook"),
            captured=told.get("captured"),
            victim_guarded=False,
            promoted=told.get("promoted"),
        ),
        kings=SimpleNamespace(kings_after=told.get("apart", 3)),
        then=SimpleNamespace(ahead=told.get("ahead", ("Kd6", "Rd1"))),
    )
    return cast("MoveFacts", facts)


_OPEN, _WAY = {"blamed": {"shuts": True}}, "shuts rank 4, the way off the edge"


@pytest.mark.parametrize(
    ("first", "slip_told", "better_told", "praise", "text"),
    [
        ("Rd3 loses time", {}, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3 loses time", {"stalemate": True}, {}, "cuts it off", "Rd2 keeps the win."),
        ("Rd3 loses time", {"stalemate": True}, {"mate": True}, "is checkmate", "Better: Rd2 is checkmate."),
        ("Rd3: the pawn runs on", {}, {}, "cuts it off", ""),
        ("Rd3 loses time: Rd2", {}, {}, "cuts it off", ""),
        ("Rd3 misses Ra1", {}, {}, "cuts it off", ""),
        ("Rd3 overlooks Ra1", {}, {}, "cuts it off", ""),
        ("Rd3 allows Ke5", _OPEN, {}, "cuts it off", "Rd2 guards e5 first."),
        ("Rd3 lets it come in", _OPEN, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3: Ke5 may come to e5", _OPEN, {}, "cuts it off", "Rd2 guards e5 first."),
        ("Rd3 loses time", _OPEN, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3 allows Ke5", {"blamed": {}}, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3 allows Ke5", {"blamed": {}}, {}, "takes e5", "Better is Rd2, and if Kd6, Rd1."),
        ("Rd3 allows Ke5", {"blamed": {"lapse": Lapse.LET_GO, "shuts": True}}, {}, "takes e5", "Better: Rd2 takes e5."),
        ("Rd3 allows Ke5", {"blamed": {"lapse": Lapse.LET_GO, "shuts": True}}, {}, "", "Better: Rd2 guards e5."),
        ("Rd3 allows Ke5", {"blamed": {"lapse": Lapse.MAN_OUT, "shuts": True}}, {}, "", "Better: Rd2 guards e5."),
        ("Rd3 allows Ke5", {"blamed": {"lapse": Lapse.MAN_OUT}}, {}, "takes e5", "Better: Rd2 takes e5."),
        ("Rd3 allows Ke5", {"blamed": {"lapse": Lapse.HIT, "shuts": True}}, {}, "takes e5", "Better: Rd2 takes e5."),
        ("Rd3 gains time for Ke5", {}, {}, "cuts it off", "Rd2 comes first, with check."),
        ("Rd3 gains time for Ke5", {}, {"promoted": "queen"}, "makes a queen", "Rd2 comes first."),
        ("Kd3 takes the king away", {}, {"piece": "king"}, "", "Better: Rd2 brings it up."),
        ("Kd3 takes the king away", {}, {"piece": "king", "apart": 4}, "", ""),
        ("Kd3 takes the king away", {"apart": 5}, {"piece": "king", "apart": 4}, "", "Better: Rd2 keeps it nearer."),
        ("Kd3 takes the king away", {}, {"piece": "king"}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Kd3 takes the king away", {}, {}, "", ""),
        ("Kd3 takes a rook away", {}, {"piece": "king"}, "", ""),
        ("Rd3 loses time", {"before": 0}, {}, "leaves it one square", ""),
        ("Rd3 loses time", {}, {}, "leaves it one square", "Better: Rd2 leaves it one square."),
        ("Rd3 loses time", {"before": 0, "by_attacker": False}, {}, "leaves it one", "Better: Rd2 leaves it one."),
        ("Rd3 loses time", {"before": 0}, {}, "takes e5", ""),
        ("Rd3 loses time", {"before": 0}, {}, "shuts e5", ""),
        ("Rd3 loses time", {"before": 0}, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3 loses time", {"before": 0, "by_attacker": False}, {}, "takes e5", "Better: Rd2 takes e5."),
        ("Rd3 loses", _LOST, {}, "", "Rd2 keeps the win."),
        ("Rd3 loses", {**_LOST, "before": 0}, {}, "", "Rd2 holds the draw."),
        ("Rd3 loses", _LOST, {}, "cuts it off", "Better: Rd2 cuts it off."),
        ("Rd3 loses", {}, {"captured": "rook"}, "cuts it off", "Better: Rd2 takes the loose rook."),
        ("Rd3 loses", {}, {"promoted": "rook"}, "cuts it off", "Better: Rd2 makes a rook."),
        (
            "Rd3 loses",
            {},
            {"promoted": "rook", "captured": "knight"},
            "",
            "Better: Rd2 takes the knight and makes a rook.",
        ),
        ("Rd3 lets it off the edge", {}, {}, _WAY, "Better: Rd2 shuts rank 4."),
        ("Rd3 loses time", {}, {}, _WAY, f"Better: Rd2 {_WAY}."),
        ("Rd3 loses time", {}, {}, "threatens to promote by e7", "Better: Rd2 threatens to promote."),
        ("Rd3 allows Ke5", {"gains_now": True}, {}, "", "Better is Rd2, and if Kd6, Rd1."),
        ("Rd3 may come to e5", {"gains_now": True}, {}, "", "Better is Rd2, and if Kd6, Rd1."),
        ("Rd3 may come to e5", {"gains_now": True}, {"unlike": "bars it"}, "", "Better: Rd2 bars it."),
        ("Rd3 may come to e5", {"gains_now": True}, {"unlike": "bars it, one of two"}, "", "Better: Rd2 bars it."),
        ("Rd3 may come to e5", {"gains_now": True}, {"unlike": "bars e5, f5"}, "", "Better: Rd2 bars e5, f5."),
        ("Rd3 allows Ke5", {}, {}, "", ""),
        ("Rd3 allows Kd4", {"gains_now": True}, {}, "", ""),
        ("Rd3 allows Ke5", {"gains_now": True}, {"ahead": ("Kd6",)}, "", ""),
        ("Rd3 may come to e5", {"gains_now": True, "ahead": ()}, {}, "", ""),
    ],
)
def test_the_better_move_is_told_by_what_it_does_about_the_slip(
    monkeypatch: pytest.MonkeyPatch,
    first: str,
    slip_told: dict[str, Any],
    better_told: dict[str, Any],
    praise: str,
    text: str,
) -> None:
    monkeypatch.setattr(aftermath, "_remedy", lambda *_: praise)
    monkeypatch.setattr(aftermath, "_room_later", lambda _: "")
    monkeypatch.setattr(aftermath, "kept_out", lambda *_: "guards e5")
    does = better_told.pop("unlike", "")
    monkeypatch.setattr(unlike, "deed", lambda *_: does)
    found = aftermath.right(erring(**slip_told), best(**better_told), first)
    assert found == ([text] if text else [])
