"""Short texts by themselves: notices of a session, what is told beside a claim, threats met, parts of a board."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.refutation import Means
from matebot.terms import Cause
from matebot.wording import claims, notices, onward, parts, threats_met
from matebot.wording.reason import Deed

FIFTY, THIRD, BALANCE = Cause.FIFTY_MOVES, Cause.REPETITION, Cause.BALANCE


@pytest.mark.parametrize(
    ("cause", "outcome", "plies", "value", "delays", "kind", "text"),
    [
        (FIFTY, 0, None, (1, 5), None, FIFTY, "drawn: the side to move would mate in 3, but the fifty-move rule comes"),
        (FIFTY, 0, None, (-1, 4), None, FIFTY, "drawn: the other side would mate in 2, but the fifty-move rule comes"),
        (THIRD, 0, None, (1, 5), None, THIRD, "drawn: the side to move would mate in 3, but the third repetition"),
        (THIRD, 0, None, (0, None), None, THIRD, f"drawn: {THIRD}"),
        (BALANCE, 0, None, (0, None), None, "", ""),
        (FIFTY, 1, 7, (1, 5), FIFTY, "longer", "the fifty-move rule rules out the shortest mate"),
        (FIFTY, 1, 7, (1, 5), THIRD, "longer", "a third repetition rules out the shortest mate"),
        (FIFTY, -1, 8, (-1, 6), None, "longer", "the fifty-move rule or a repetition rules out the shortest mate"),
        (Cause.CHECKMATE, 1, 5, (1, 5), None, "", ""),
    ],
)
def test_a_notice_says_why_the_men_alone_are_worth_more(
    cause: Cause,
    outcome: int,
    plies: int | None,
    value: tuple[int, int | None],
    delays: Cause | None,
    kind: str,
    text: str,
) -> None:
    found = notices.reason(cause, outcome, plies, value, delays)
    assert (found is None) == (not text)
    if found is not None:
        assert found.kind == kind
        assert found.text.startswith(text)


@pytest.mark.parametrize(
    ("depth", "proved", "text"),
    [
        (1, False, "the ending is not solved yet: an estimate, 1 ply ahead"),
        (2, False, "the ending is not solved yet: an estimate, 2 plies ahead"),
        (2, True, "the ending is not solved yet: this mate was found by looking ahead"),
    ],
)
def test_a_move_looked_for_is_told_with_how_far_it_can_be_trusted(depth: int, proved: bool, text: str) -> None:
    assert notices.unsolved(depth, proved) == text


@pytest.mark.parametrize(
    ("others", "keeps", "outcome", "denied", "text"),
    [
        (["Kb2"], True, 1, False, '"only Ka1" does not hold: Kb2 would keep the win too.'),
        (["Kb2"], False, 1, False, '"only Ka1" does not hold: Ka1 gives the win away, Kb2 would keep it.'),
        (["Kb2", "Kb1"], True, 0, False, '"only Ka1" does not hold: Kb2 and Kb1 would keep the draw too.'),
        (["a", "b", "c"], True, 0, False, '"only Ka1" does not hold: a, b and c would keep the draw too.'),
        (["a", "b", "c", "d", "e"], True, 0, False, '"only Ka1" does not hold: a, b, c and 2 more would keep the'),
        (["Kb2"], True, -1, False, '"only Ka1" does not hold: the position is lost whatever is played.'),
        ([], True, 1, True, '"only Ka1": Ka1 is the only one.'),
    ],
)
def test_beside_a_claim_of_an_only_move_stands_what_is_so(
    others: list[str], keeps: bool, outcome: int, denied: bool, text: str
) -> None:
    assert claims.not_only("only Ka1", "Ka1", others, keeps, outcome, denied).startswith(text)


def test_beside_a_claim_stands_what_the_position_is_worth_and_where() -> None:
    assert claims.here(None, None) == "the position is drawn"
    assert claims.here("white", 0) == "White has mated"
    assert claims.here("black", 1) == "Black mates in 1"
    assert claims.not_so("wins", [], "it is drawn") == '"wins" does not hold: it is drawn.'
    assert claims.not_so("wins", ["Ka1", "Kb8"], "it is drawn") == '"wins" does not hold after Ka1 Kb8: it is drawn.'
    assert claims.not_checked("wins", ["Ka1", "Kb8"]) == '"wins" is not checked: Ka1 Kb8 cannot be played there.'
    assert claims.not_checked("wins", []) == '"wins" is not checked: no move cannot be played there.'


def test_claims_are_counted_with_those_that_are_not_true() -> None:
    assert claims.count(0, 0).startswith("The remarks claim no outcome")
    assert claims.count(2, 1) == "2 claims of the remarks checked, 1 not true or not to be checked."
    assert claims.count(1, 0) == "1 claim of the remarks checked, none not true or not to be checked."


@pytest.mark.parametrize(
    ("squares", "place"),
    [
        ("a1 h1 h8 a5", "on the edge"),
        ("a1 b2 d4", "around the a1 corner"),
        ("g7 e5 h8", "around the h8 corner"),
        ("a1 b2 e2 h1", "on ranks 1 and 2"),
        ("a8 b7 e7 h8", "on ranks 7 and 8"),
        ("a1 b2 b5 a8", "on the a- and b-files"),
        ("h1 g2 g5 h8", "on the g- and h-files"),
        ("b2 g3", ""),
        ("b2 g2 e3", ""),
        ("b2 b7 c5", ""),
        ("c2 c7", ""),
        ("g2 g7 f5", ""),
        ("b7 g7 c6", ""),
        ("b2 e2 e5", ""),
    ],
)
def test_a_part_of_the_board_has_a_name_where_all_squares_lie_in_it(squares: str, place: str) -> None:
    assert parts.part(tuple(map(chess.parse_square, squares.split()))) == place


@pytest.mark.parametrize(
    ("means", "still", "guarded", "text"),
    [
        (None, False, False, "it avoids Rb2+, which pins the rook and knight"),
        (Means.CAPTURE, True, True, "it guards the rook and knight against Rb2+"),
        (Means.CAPTURE, True, False, "it strikes back after Rb2+"),
        (Means.CAPTURE, False, True, "it saves the rook and knight from Rb2+"),
        (Means.MATE, True, True, "it avoids the mate Rb2+"),
        (Means.PROMOTION, False, False, "it stops Rb2+"),
        (Means.FORK, True, False, "it avoids the fork Rb2+"),
        (Means.SKEWER, False, False, "it avoids the skewer Rb2+"),
    ],
)
def test_a_threat_that_is_met_is_told_by_its_means(means: Means | None, still: bool, guarded: bool, text: str) -> None:
    idea: Any = SimpleNamespace(means=means, still=still, guarded=guarded, reply=None, men=(chess.ROOK, chess.KNIGHT))
    given = cast("MoveFacts", SimpleNamespace(seen=SimpleNamespace(name=lambda _: "Rb2+")))
    assert threats_met.met_threat(idea, given) == text


@pytest.mark.parametrize(
    ("means", "men", "shut", "reply", "text"),
    [
        (Means.CAPTURE, (chess.ROOK,), False, "Rb3+", ""),
        (None, (chess.ROOK,), False, "Rb3+", "not Kb2: Rb3+ pins the rook"),
        (Means.FORK, (chess.KNIGHT, chess.KING), False, "Rb3+", "not Kb2: Rb3+ forks king and knight"),
        (Means.SKEWER, (chess.KNIGHT, chess.KING), True, "Rb3+", "not Kb2: Rb3+ skewers king and knight"),
        (Means.NONE, (chess.KNIGHT,), True, "Rb3+", "not Kb2: Rb3+ leaves the knight no safe square"),
        (Means.NONE, (chess.KNIGHT,), False, "Rb3+", "not Kb2: Rb3+ wins the knight"),
        (Means.NONE, (), False, "Rb3+", ""),
        (Means.PROMOTION, (chess.PAWN,), False, "b8=Q", ""),
        (Means.MATE, (), False, "Rb3#", "not Kb2: Rb3#"),
    ],
)
def test_a_pitfall_is_told_with_the_reply_that_wins(
    means: Means | None, men: tuple[int, ...], shut: bool, reply: str, text: str
) -> None:
    idea: Any = SimpleNamespace(means=means, men=men, shut=shut, other=None, reply=None)
    given = cast("MoveFacts", SimpleNamespace(seen=SimpleNamespace(name=lambda *moves: ("Kb2", reply)[len(moves) - 1])))
    assert threats_met.pitfall(idea, given) == text


PAIR = ("Kd6", "Rd1+")


@pytest.mark.parametrize(
    ("deed", "ahead", "end", "only", "text"),
    [
        ("takes d4: if Kd6, Rd1+", PAIR, "drives the king to e6", None, "takes d4: if Kd6, Rd1+ drives the king to e6"),
        ("takes d4: if Kd6, Rd1+", PAIR, "drives it off: if Kd5, Ra1", None, "takes d4: if Kd6, Rd1+ drives it off"),
        ("takes d4: if Kd6, Rd1+", (*PAIR, "Ke6"), "drives it off", None, "takes d4: if Kd6, Rd1+ drives it off"),
        ("takes d4: if Kd6, Rd1+", PAIR, "drives it off", "Kd6", "takes d4: Kd6 is forced, then Rd1+ drives it off"),
        ("leaves d6: if Kd6, Rd1+", PAIR, "drives it off", "Kd6", "leaves d6: then Rd1+ drives it off"),
        ("leaves e6: if Re6, Rd1+", ("Re6", "Rd1+"), "ends", "Re6", "leaves e6: Re6 is forced, then Rd1+ ends"),
        ("takes d4: if Kd6, Rd1+", PAIR, None, None, "takes d4: if Kd6, Rd1+"),
        ("takes d4: if Kd6, Rxd1", ("Kd6", "Rxd1"), "drives it off", None, "takes d4: if Kd6, Rxd1"),
        ("takes d4: if Kd6, Rd1#", ("Kd6", "Rd1#"), "drives it off", None, "takes d4: if Kd6, Rd1#"),
        ("takes d4: if Kd6, b1=Q", ("Kd6", "b1=Q"), "drives it off", None, "takes d4: if Kd6, b1=Q"),
        ("takes d4", PAIR, "drives it off", None, "takes d4"),
        ("takes d4: if Kd6, Rd1+", ("Kd6",), "drives it off", None, "takes d4: if Kd6, Rd1+"),
        ("takes d4: if Ke6, Rd1+", PAIR, "drives it off", None, "takes d4: if Ke6, Rd1+"),
        ("prepares d4: if Kd6, Rd1+", PAIR, "drives it off", None, "prepares d4: if Kd6, Rd1+"),
        ("takes d4: if Kd6, Rd1+", PAIR, "keeps the box shut", None, "takes d4: if Kd6, Rd1+"),
        ("takes d4: if Kd6, Rd1+", PAIR, "takes d4", None, "takes d4: if Kd6, Rd1+"),
        (
            "shuts it in along rank 4: if Kd6, Rd1+",
            PAIR,
            "cuts it off along rank 4",
            None,
            "shuts it in along rank 4: if Kd6, Rd1+",
        ),
        (
            "shuts it in along rank 5: if Kd6, Rd1+",
            PAIR,
            "cuts it off along rank 4",
            None,
            "shuts it in along rank 5: if Kd6, Rd1+ cuts it off",
        ),
        (f"takes {'d4 ' * 40}: if Kd6, Rd1+", PAIR, "drives it off", None, "takes d4 d4"),
    ],
)
def test_behind_a_line_of_two_moves_it_is_told_what_the_second_does_where_that_is_new_and_has_room(
    monkeypatch: pytest.MonkeyPatch, deed: str, ahead: tuple[str, ...], end: str | None, only: str | None, text: str
) -> None:
    monkeypatch.setattr(onward, "deeds", lambda _: iter([Deed(end or "")]))
    given = SimpleNamespace(
        turn="white",
        san="Rd4",
        then=SimpleNamespace(ahead=ahead),
        answer=None if end is None else SimpleNamespace(),
        replies=SimpleNamespace(only_reply=only),
    )
    found = onward.with_end(deed, cast("MoveFacts", given))
    assert found.startswith(text)
    assert len(found) <= len(deed) or text.endswith(("to e6", " off", " ends"))
