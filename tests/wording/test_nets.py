"""What is told of the net in which mate comes, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.mating_net import MatingNet
from matebot.wording import maxims, nets
from tests.wording.bare import facts_of

_BOARD = "8/8/8/8/8/2K5/R6R/1k6 w - - 0 1"


def net(told: str, man: int = chess.ROOK, guarded: tuple[int, ...] = ()) -> MatingNet:
    """Return a net: told is which of its attributes hold, in words."""
    held = {word: word in told.split() for word in ("at_once", "forced", "by_king", "opposed", "whatever")}
    reply, move = chess.Move.from_uci("b1c1"), chess.Move.from_uci("h2h1")
    return MatingNet(reply=reply, move=move, man=man, square=chess.H1, guarded=guarded, along=(), **held)


def after(
    uci: str,
    check: bool = False,
    taken: tuple[str, ...] = (),
    mate: int = 3,
    exact: bool = True,
    method: int | None = None,
    replies: int = 1,
) -> MoveFacts:
    """Return facts of a move of White's, behind which the moves of the net are named by their squares."""
    seen = SimpleNamespace(
        name_after=lambda *line: line[-1].uci(),
        is_written_alike=lambda move: False,
        idea=lambda kind: None,
        answers_check=False,
    )
    return facts_of(
        _BOARD,
        uci,
        by_winner=True,
        seen=seen,
        gives=SimpleNamespace(check=check),
        places=SimpleNamespace(method_moves=method),
        replies=SimpleNamespace(replies=replies),
        room=SimpleNamespace(king="b1", squares_taken=taken, flights=("c1",), squares_given=()),
        worth=SimpleNamespace(mate_moves=mate, exact_after=exact, outcome_after=1),
    )


@pytest.mark.parametrize(
    ("told", "what", "check", "text"),
    [
        ("at_once", "waits", False, "if b1c1, h2h1 mates"),
        ("", "waits", False, "if b1c1, h2h1"),
        ("at_once", "guards h1, where the rook can mate", False, "if b1c1, h2h1"),
        ("at_once forced", "waits", False, "b1c1 is forced, and h2h1 mates"),
        ("forced", "waits", False, "b1c1 is forced, then h2h1"),
        ("forced by_king at_once", "waits", False, "b1c1 is forced, and h2h1 mates"),
        ("forced by_king at_once", "checks", True, "then h2h1 mates"),
        ("forced at_once", "checks", True, "b1c1 is forced, and h2h1 mates"),
        ("forced by_king", "leaves the king only c1", False, "then h2h1"),
        ("whatever at_once", "waits", False, "whatever Black plays, the rook mates on h1"),
        ("whatever", "waits", False, "whatever Black plays, the rook goes to h1"),
    ],
)
def test_what_comes_behind_a_move_is_told_by_whether_it_is_forced_and_mates(
    told: str, what: str, check: bool, text: str
) -> None:
    assert nets._then(what, net(told), after("c3b3", check)) == text


@pytest.mark.parametrize(
    ("told", "mate", "exact", "text"),
    [
        ("at_once", 2, True, "if b1c1, h2h1 mates"),
        ("at_once", 3, False, "if b1c1, h2h1 mates"),
        ("", 3, True, "if b1c1, h2h1 and mate next"),
        ("", 3, False, ""),
        ("", 4, True, ""),
    ],
)
def test_mate_is_told_of_with_the_next_move_or_where_it_is_known_to_come_with_the_next_but_one(
    told: str, mate: int, exact: bool, text: str
) -> None:
    assert nets.follows(net(told), after("c3b3", mate=mate, exact=exact)) == text


@pytest.mark.parametrize(
    ("uci", "told", "man", "guarded", "check", "rule"),
    [
        ("c3b3", "at_once", chess.ROOK, (chess.C2,), False, maxims.KING_HOLDS.format(man="rook")),
        ("c3b3", "at_once", chess.KING, (chess.C2,), False, maxims.SQUARES_FIRST),
        ("h2g2", "at_once", chess.ROOK, (chess.C2,), False, maxims.SQUARES_FIRST),
        ("h2h1", "by_king", chess.ROOK, (), True, maxims.CHECK_INTO_NET),
        ("h2h1", "", chess.ROOK, (), True, ""),
        ("c3b3", "opposed forced by_king at_once", chess.ROOK, (), False, maxims.CHECK_OPPOSED),
        ("c3b3", "opposed by_king at_once", chess.ROOK, (), False, maxims.SQUARES_FIRST),
        ("h2g2", "forced by_king at_once", chess.ROOK, (), False, maxims.LEAVE_ONE_MOVE),
        ("h2g2", "forced at_once", chess.ROOK, (), False, maxims.SQUARES_FIRST),
        ("h2g2", "forced by_king", chess.ROOK, (), False, maxims.SQUARES_FIRST),
        ("h2g2", "by_king at_once", chess.ROOK, (), False, maxims.SQUARES_FIRST),
    ],
)
def test_a_net_teaches_by_what_the_move_guards_and_by_what_is_left_to_the_king(
    uci: str, told: str, man: int, guarded: tuple[int, ...], check: bool, rule: str
) -> None:
    assert nets._maxim(net(told, man, guarded), after(uci, check, taken=("c2",))) == rule


@pytest.mark.parametrize(
    ("told", "method", "mate", "exact", "text"),
    [
        ("", None, 3, True, "closes in: if b1c1, h2h1 and mate next"),
        ("", 3, 3, True, "closes in: if b1c1, h2h1 and mate next"),
        ("forced", None, 3, True, "closes in: b1c1 is forced, then h2h1 and mate next"),
        ("at_once", None, 3, True, ""),
        ("", 5, 3, True, ""),
        ("", None, 4, True, ""),
        ("", None, 3, False, ""),
    ],
)
def test_mate_with_the_next_move_but_one_is_told_where_the_method_is_as_quick_and_it_is_certain(
    told: str, method: int | None, mate: int, exact: bool, text: str
) -> None:
    assert nets.next_but_one(net(told), after("c3b3", mate=mate, exact=exact, method=method)) == text


@pytest.mark.parametrize(
    ("told", "taken", "check", "replies", "text"),
    [
        ("at_once forced by_king", ("c2",), False, 1, "leaves the king only c1, where h2h1 mates"),
        ("at_once forced by_king", (), False, 1, "waits: b1c1 is forced, and h2h1 mates"),
        ("at_once forced", ("c2",), False, 1, "leaves Black's king only c1: b1c1 is forced, and h2h1 mates"),
        ("at_once by_king", ("c2",), False, 1, "leaves Black's king only c1: if b1c1, h2h1 mates"),
        ("forced by_king", ("c2",), False, 1, ""),
        (
            "at_once forced by_king opposed",
            ("c2",),
            False,
            1,
            "forces the king into the opposition: after b1c1 comes h2h1",
        ),
        ("at_once by_king opposed", (), False, 2, "waits: if b1c1, h2h1 mates"),
        ("at_once forced by_king", ("c2",), True, 1, "drives the king to c1: then h2h1 mates"),
        ("at_once by_king", (), True, 2, "drives the king into the mate: if b1c1, h2h1 mates"),
        ("at_once", (), True, 2, "waits: if b1c1, h2h1 mates"),
    ],
)
def test_mate_with_the_next_move_is_told_by_what_drives_the_king_there(
    told: str, taken: tuple[str, ...], check: bool, replies: int, text: str
) -> None:
    assert nets.next_move(net(told), after("h2g2", check, taken, replies=replies)) == text
