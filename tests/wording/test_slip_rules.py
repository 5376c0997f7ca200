"""What the cause of a slip teaches, by what is blamed and by what the time is used for: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.facts.time_given import Gain
from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.shuts_way import Aim
from matebot.wording import answers, chances, losses, maxims, running_on, slip_rules
from tests.wording.bare import facts_of

TOLD = "does this or that"
ROOK, KNIGHT = "8/8/8/8/8/8/3k4/KR6 w", "8/8/8/8/8/8/3k4/KNB5 w"
QUEEN, ON_EDGE = "8/8/8/8/8/8/3k4/KQ6 w", "8/8/8/8/8/8/8/KR1k4 w"
BY_ROOK, BY_KNIGHT, BY_QUEEN = (ROOK, "b1b8"), (KNIGHT, "b1c3"), (QUEEN, "b1b8")


@pytest.fixture(autouse=True)
def _nothing_else_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("needed_man", "replied", "gives_time", "square_open", "taught"):
        monkeypatch.setattr(slip_rules, name, lambda *_: "")
    monkeypatch.setattr(losses, "lost", lambda *_: "")
    monkeypatch.setattr(running_on, "runs_on", lambda *_: "")
    monkeypatch.setattr(chances, "gives_time_to", lambda *_: "")
    monkeypatch.setattr(answers, "then_does", lambda *_: None)


def facts(placed: str, uci: str, blame: Blame | None = None, **told: Any) -> MoveFacts:
    """Return facts of a slip of the side that wins, or of the better move: what is blamed, and as told."""
    checks = told.pop("check", False)
    given: dict[str, Any] = {
        "seen": SimpleNamespace(blame=blame, idea=lambda kind: None, answers_check=False),
        "gives": SimpleNamespace(stalemate=False, check=checks, mate=False),
        "held_against": [],
        "san": "Ka2",
        "answer": None,
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


def blamed(lapse: Lapse, leads: Aim | None = None, **more: Any) -> Blame:
    return Blame(lapse, "Kc2", chess.ROOK, chess.C2, leads=leads, **more)


@pytest.mark.parametrize(
    ("move", "general", "blame", "rule"),
    [
        (BY_ROOK, maxims.NO_LOOSE_MAN, blamed(Lapse.IN_REACH), maxims.FROM_AFAR.format(man="rook")),
        (BY_QUEEN, maxims.NO_LOOSE_MAN, blamed(Lapse.IN_REACH), maxims.FROM_AFAR.format(man="queen")),
        (BY_KNIGHT, maxims.NO_LOOSE_MAN, blamed(Lapse.IN_REACH), maxims.NO_LOOSE_MAN),
        ((ROOK, "a1a2"), maxims.NO_LOOSE_MAN, blamed(Lapse.IN_REACH), maxims.NO_LOOSE_MAN),
        (BY_ROOK, maxims.NO_LOOSE_MAN, blamed(Lapse.GUARD_TAKEN), maxims.NO_LOOSE_MAN),
        (BY_ROOK, maxims.NO_LOOSE_MAN, blamed(Lapse.LEFT_LOOSE), maxims.NO_LOOSE_MAN),
        (BY_ROOK, maxims.NO_LOOSE_MAN, None, maxims.NO_LOOSE_MAN),
        (BY_ROOK, maxims.KEEP_IT_SHUT, blamed(Lapse.IN_REACH), maxims.KEEP_IT_SHUT),
        (BY_ROOK, maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.WRONG_CORNER), maxims.NOT_THAT_CORNER),
        (BY_ROOK, maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.CENTRE), maxims.NOT_IN_THE_MIDDLE),
        (BY_QUEEN, maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.PAWN), maxims.FROM_THE_PAWN),
        ((ON_EDGE, "a1a2"), maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.CENTRE), maxims.STAY_THERE),
        ((ON_EDGE, "a1a2"), maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.PAWN), maxims.FROM_THE_PAWN),
        (BY_ROOK, maxims.WAY_FIRST, blamed(Lapse.LEFT_OPEN, Aim.OWN_MAN), maxims.WAY_FIRST),
        (BY_ROOK, maxims.WAY_FIRST, None, maxims.WAY_FIRST),
        (BY_ROOK, maxims.KEEP_IT_SHUT, blamed(Lapse.LEFT_OPEN, Aim.WRONG_CORNER), maxims.KEEP_IT_SHUT),
        (BY_KNIGHT, maxims.HOLD_THE_LINE, blamed(Lapse.LET_GO), maxims.FREE_MAN),
        (BY_KNIGHT, maxims.HOLD_THE_LINE, blamed(Lapse.LET_GO, same_man=True), ""),
        (BY_KNIGHT, maxims.HOLD_THE_LINE, blamed(Lapse.LET_GO, line="rank 2"), maxims.HOLD_THE_LINE),
        (BY_KNIGHT, maxims.HOLD_THE_LINE, None, maxims.HOLD_THE_LINE),
        (BY_ROOK, maxims.HOLD_THE_LINE, blamed(Lapse.LET_GO), ""),
        (BY_KNIGHT, maxims.KEEP_IT_SHUT, blamed(Lapse.LET_GO), maxims.KEEP_IT_SHUT),
    ],
)
def test_what_a_cause_teaches_is_narrowed_by_what_is_blamed(
    monkeypatch: pytest.MonkeyPatch, move: tuple[str, str], general: str, blame: Blame | None, rule: str
) -> None:
    monkeypatch.setattr(slip_rules, "caused", lambda *_: (TOLD, general))
    slip, better = facts(*move, blame), facts(ROOK, "a1a2")
    assert slip_rules.rule_of(slip, better, f"Rb8 {TOLD}") == rule
    assert slip_rules.rule_of(slip, better, "Rb8 does something else") == ""  # the cause is not what is told


@pytest.mark.parametrize(
    ("gains", "by_king", "row", "rule"),
    [
        (Gain.HIT, True, "8", maxims.NO_LOOSE_MAN),
        (Gain.HIT, False, "8", maxims.SEE_WHAT_HITS),
        (Gain.MAN, False, "8", ""),
        (Gain.MAN, False, "7r", maxims.PART.format(man="rook")),
        (Gain.PAWN, False, "7r", maxims.FROM_THE_PAWN),
        (Gain.CENTRE, True, "7r", ""),
    ],
)
def test_time_given_away_teaches_by_what_it_is_used_for(
    monkeypatch: pytest.MonkeyPatch, gains: Gain, by_king: bool, row: str, rule: str
) -> None:
    monkeypatch.setattr(slip_rules, "caused", lambda *_: ("", ""))
    monkeypatch.setattr(chances, "gives_time_to", lambda *_: TOLD)
    slip = facts(f"8/8/8/{row}/8/8/3k4/KQ6 w", "b1b8", given=SimpleNamespace(gains=gains, by_king=by_king))
    assert slip_rules.rule_of(slip, facts(ROOK, "a1a2"), f"Qb8 {TOLD}; Ka2") == rule
    assert slip_rules.rule_of(slip, facts(ROOK, "a1a2"), f"Qb8 {TOLD}") == ""


@pytest.mark.parametrize(
    ("rule", "slip", "better", "said"),
    [
        (maxims.CHECK_INTO_NET, False, (ROOK, True), maxims.ONLY_ON_EDGE),
        (maxims.CHECK_INTO_NET, False, (ROOK, False), maxims.TAKE_SQUARES),
        (maxims.CHECK_INTO_NET, True, (ROOK, True), maxims.CHECK_INTO_NET),
        (maxims.ROOM_FIRST, False, (ROOK, True), maxims.TAKE_SQUARES),
        (maxims.ROOM_FIRST, True, (ROOK, True), maxims.ROOM_FIRST),
        (maxims.FIRST_CAGE, False, (ROOK, False), maxims.TAKE_SQUARES),
        (maxims.KEEP_IT_SHUT, False, (ROOK, True), maxims.KEEP_IT_SHUT),
    ],
)
def test_what_is_said_of_checks_is_no_rule_for_a_slip_that_gives_none(
    monkeypatch: pytest.MonkeyPatch, rule: str, slip: bool, better: tuple[str, bool], said: str
) -> None:
    monkeypatch.setattr(slip_rules, "caused", lambda *_: (TOLD, rule))
    placed, checks = better
    given = facts(*BY_ROOK, check=slip), facts(placed, "a1a2", check=checks)
    assert slip_rules.rule_of(*given, f"Rb8 {TOLD}") == said


BARE, WITH_ROOK = "8/8/8/3k4/8/8/8/KR1B4 w", "8/8/8/3k3r/8/8/8/KR1B4 w"
WITH_KNIGHT, MINORS = "8/8/8/3k3n/8/8/8/KR1B4 w", "8/8/8/3k4/8/8/8/KN1B4 w"
TAKES = "8/8/8/1n1k4/8/8/8/KR1B4 w"


@pytest.mark.parametrize(
    ("placed", "uci", "first", "rule"),
    [
        (WITH_ROOK, "a1a2", "Ka2 leaves open e5, the way to its rook", "part the king from its rook"),
        (ROOK, "a1a2", "Ka2 leaves open e5, the way to its rook", ""),
        (WITH_ROOK, "a1a2", "Ka2 leaves it the way off the edge", maxims.STAY_THERE),
        (ROOK, "a1a2", "Ka2 leaves it the way back to the centre", maxims.NOT_IN_THE_MIDDLE),
        (WITH_ROOK, "a1a2", "Ka2 leaves it the way back to the centre", ""),
        (ROOK, "a1a2", "Ka2 misses Rd1, which drives the king to the edge", maxims.ONLY_ON_EDGE),
        (WITH_ROOK, "a1a2", "Ka2 misses Rc5, which drives the king to the edge", maxims.TAKE_SQUARES),
        (WITH_KNIGHT, "a1a2", "Ka2 allows Kc2, which attacks the rook", "first win the knight, then mate"),
        (WITH_KNIGHT, "a1a2", "Ka2 allows Kc2, which covers e3", "first win the knight, then mate"),
        (WITH_KNIGHT, "a1a2", "Ka2 allows Kc2, which leaves e3", ""),
        (TAKES, "b1b5", "Rxb5+ allows Kc2, which attacks the rook", ""),  # a man was won by it
        (MINORS, "a1a2", "Ka2 misses Nc3, which heads for the centre", maxims.ALL_IN_PLAY),
        (MINORS, "a1a2", "Ka2 misses Nc3, which brings the king off the edge", maxims.ALL_IN_PLAY),
        (MINORS, "a1a2", "Ka2 misses Nd2, which heads for the centre", ""),
        (WITH_KNIGHT, "a1a2", "Ka2 misses Nc3, which heads for the centre", ""),
        (BARE, "a1a2", "Ka2 misses Nc3, which heads for the centre", ""),
        (BARE, "a1a2", "b5 at once outruns the pawn", maxims.RUN_FIRST),
        (BARE, "a1a2", "Ka2 leaves c2 unguarded: Kc4", "of a way"),
        (BARE, "a1a2", "Ka2 gives up the square c2", maxims.WHERE_IT_WANTS),
        (BARE, "a1a2", "Ka2 takes time, and a check gains it", maxims.CHECK_GAINS_TIME),
        (BARE, "a1a2", "Ka2 lets the pawn promote by a1", maxims.STOP_THE_PAWN),
        (WITH_ROOK, "a1a2", "Ka2 does not cut the king off from its rook", "part the king from its rook"),
        (BARE, "a1a2", "Ka2 does not cut the king off from its rook", ""),
    ],
)
def test_a_rule_of_a_slip_follows_what_is_told_where_the_men_on_the_board_make_it_one(
    monkeypatch: pytest.MonkeyPatch, placed: str, uci: str, first: str, rule: str
) -> None:
    monkeypatch.setattr(slip_rules, "caused", lambda *_: ("", ""))
    monkeypatch.setattr(slip_rules, "_of_a_way", lambda _: "of a way")
    monkeypatch.setattr(slip_rules, "square_open", lambda _: "the square c2")
    monkeypatch.setattr(slip_rules, "gives_time", lambda _: "a check gains it")
    better = facts(placed, "a1b2", san="Nc3")
    slip = facts(placed, uci, held_against=[better], cost=SimpleNamespace(mistake=None))
    monkeypatch.setattr(slip_rules, "best_ones", lambda _: [better])
    monkeypatch.setattr(slip_rules, "deeds", lambda _: iter(()))
    assert slip_rules.rule_of(slip, better, first) == rule
