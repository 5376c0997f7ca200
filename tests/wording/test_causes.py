"""What is told as the cause of a slip, asked of the facts alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.narrows import Narrows
from matebot.terms import Mistake
from matebot.wording import losses, maxims
from matebot.wording.causes import _box, _edge, _from_keys
from matebot.wording.denials import taken
from matebot.wording.missed import _too_weak, loose_left
from tests.wording.bare import facts_of


def facts(**told: object) -> MoveFacts:
    """Return facts of which a rule asks no more than is told."""
    return cast("MoveFacts", SimpleNamespace(**told))


@pytest.mark.parametrize(
    ("man", "was", "left", "best", "narrows", "told"),
    [
        ("rook", 8, 12, 11, False, True),
        ("rook", 8, 12, 12, False, False),
        ("rook", 8, 12, 14, False, False),
        ("rook", 7, 12, 11, False, False),  # the box has done its work
        ("rook", 8, 12, 11, True, False),
        ("queen", 8, 12, 11, False, False),
        ("rook", 20, 42, 8, False, True),
    ],
)
def test_a_box_grows_where_that_of_a_rook_was_large_and_the_better_move_leaves_less(
    man: str, was: int, left: int, best: int, narrows: bool, told: bool
) -> None:
    for change in (BoxChange.WIDENS, BoxChange.HOLDS):
        ideas = {Box: Box(change, was, left, True), Narrows: SimpleNamespace() if narrows else None}
        slip = facts(
            seen=SimpleNamespace(idea=ideas.get),
            men=SimpleNamespace(attacker_men=(man,)),
            box=SimpleNamespace(box_after=left),
            given=SimpleNamespace(gains=None, by_king=True),
        )
        text = _box(slip, facts(box=SimpleNamespace(box_after=best)))
        assert text == ("lets the box grow" if told and change is BoxChange.WIDENS else "")


@pytest.mark.parametrize(
    ("before", "after", "corner", "text"),
    [
        (3, 2, "a1", "goes nearer to a1, where mate is forced"),
        (3, 2, None, "goes nearer to a right corner, where mate is forced"),
        (1, 0, "h8", "goes nearer to h8, where mate is forced"),
        (4, 3, "a1", ""),  # it is far off still
        (3, 3, "a1", ""),
        (2, 3, "a1", ""),
        (None, None, None, ""),  # there are no bishop and knight
        (2, None, None, ""),  # one of them has been taken
    ],
)
def test_a_king_goes_nearer_to_a_corner_in_which_it_is_mated(
    before: int | None, after: int | None, corner: str | None, text: str
) -> None:
    steps = SimpleNamespace(corner_steps_before=before, corner_steps_after=after, right_corner=corner)
    man = SimpleNamespace(piece="king", rim_before=1, rim_after=1)
    assert _edge(facts(man=man, corner=steps), facts(man=man)) == text


@pytest.mark.parametrize(
    ("was", "now", "best", "told"),
    [
        (1, 2, 1, True),
        (1, 2, 0, True),
        (0, 1, 0, True),
        (1, 2, 2, False),
        (1, 1, 1, False),
        (2, 1, 1, False),
        (None, 2, 1, False),
        (1, None, 1, False),
        (None, None, None, False),
    ],
)
def test_a_king_goes_away_from_the_key_squares_where_the_better_step_does_not(
    was: int | None, now: int | None, best: int | None, told: bool
) -> None:
    keys = SimpleNamespace(key_steps_before=was, key_steps_after=now, key_squares=("d6", "e6", "f6"))
    steps = ("king", "king", False), ("king", "king", True), ("pawn", "king", False), ("king", "pawn", False)
    for piece, other, runs in steps:
        better = facts(
            man=SimpleNamespace(piece=other),
            keys=SimpleNamespace(key_steps_after=best),
            race=SimpleNamespace(runs_alone=runs),
        )
        for pawn in ("8/8/8/8/4P3/8/8/K6k", "8/4P3/8/8/8/8/8/K6k"):
            slip = facts(man=SimpleNamespace(piece=piece), keys=keys, fen=f"{pawn} w - - 0 1", turn="white")
            # A pawn that promotes next needs no king before it.
            away = told and piece == other == "king" and not runs and pawn.startswith("8/8")
            assert _from_keys(slip, better) == (
                "takes the king farther from the key squares d6, e6 and f6" if away else ""
            )


@pytest.mark.parametrize(
    ("line", "man", "text"),
    [
        ("d4d5", chess.ROOK, "rook"),
        ("e2e1q d4e1", chess.QUEEN, "pawn"),
        ("e2e1q d4d5", chess.ROOK, "rook"),
        ("e5e1 d4e1", chess.ROOK, "rook"),
        ("e2e1q d4d5 a7a6 d5e1", chess.QUEEN, "queen"),
        ("d4d5", None, ""),
    ],
)
def test_a_man_that_falls_is_named_a_pawn_where_it_has_just_promoted(line: str, man: int | None, text: str) -> None:
    moves = tuple(map(chess.Move.from_uci, line.split()))
    assert taken(cast("EndsIn", SimpleNamespace(line=moves, man=man))) == text


def losing(fen: str, uci: str, man: str, reply: str, loose: bool, lost: int | None) -> MoveFacts:
    """Return facts of a move that loses a man, of the side that would win; `lost` moves, None where the win is gone."""
    board, move = chess.Board(fen), chess.Move.from_uci(uci)
    return facts_of(
        fen,
        uci,
        by_winner=True,
        cost=SimpleNamespace(
            loses=man,
            loses_to=reply,
            loose_before=loose,
            retaken=None,
            moves_lost=lost,
            mistake=Mistake.OUTCOME if lost is None else Mistake.MAN,
        ),
        gives=SimpleNamespace(check=board.gives_check(move)),
        worth=SimpleNamespace(outcome_after=0 if lost is None else 1),
    )


_KEPT = facts(man=SimpleNamespace(promoted=None))


@pytest.mark.parametrize(
    ("fen", "uci", "man", "reply", "loose", "lost", "rule"),
    [
        ("8/8/8/8/3k4/8/8/KR6 w - - 0 1", "b1d1", "rook", "Kxe4", False, None, maxims.WHAT_CAN_BE_TAKEN),
        ("8/8/8/8/3k4/8/8/KR6 w - - 0 1", "b1c1", "rook", "Rxc1", False, None, maxims.STRIKES["rook"]),
        ("8/8/8/8/3k4/8/8/KR6 w - - 0 1", "b1b4", "rook", "Kxb4", False, None, maxims.NEXT_TO_IT.format(man="rook")),
        ("8/8/8/8/3k4/8/8/KR6 w - - 0 1", "b1b3", "rook", "Kxb3", False, None, maxims.KEEP_AWAY.format(man="rook")),
        ("8/8/8/8/3k4/8/8/KB6 w - - 0 1", "b1e4", "bishop", "Kxe4", False, None, maxims.KEEP_AWAY.format(man="bishop")),
        ("8/8/8/3Rk3/2K5/8/8/8 w - - 0 1", "c4c3", "rook", "Kxd5", False, None, maxims.STAY_ON_GUARD),
        ("8/8/8/3Rk3/8/3K4/8/8 w - - 0 1", "d3c3", "rook", "Kxd5", False, None, maxims.WHAT_CAN_BE_TAKEN),
        ("8/8/8/3Pk3/2K5/8/8/8 w - - 0 1", "c4c3", "pawn", "Kxd5", False, None, maxims.GUARD_THE_PAWN),
        ("8/8/8/3Rk3/8/8/3K4/8 w - - 0 1", "d2c2", "rook", "Kxd5", True, None, maxims.SAVE_FIRST),
        ("8/8/8/3Rk3/8/8/3K4/8 w - - 0 1", "d2c2", "rook", "Kxd5", True, 2, ""),
        ("8/8/8/3Rk3/8/8/3K4/8 w - - 0 1", "d2c2", "rook", "Kxd5", True, 3, maxims.SAVE_FIRST),
    ],
)
def test_a_man_lost_teaches_by_whom_it_is_taken_and_whether_it_moved(
    fen: str, uci: str, man: str, reply: str, loose: bool, lost: int | None, rule: str
) -> None:
    assert losses.maxim(losing(fen, uci, man, reply, loose, lost), _KEPT) == rule


@pytest.mark.parametrize(
    ("fen", "uci", "man", "reply", "lost", "text"),
    [
        (
            "8/8/8/3Nk3/8/2B5/3K4/8 w - - 0 1",
            "d2e1",
            "knight",
            "Kxd5",
            None,
            "leaves the knight hanging: {}, and a bishop alone cannot mate",
        ),
        (
            "8/8/8/3Nk3/8/2R5/3K4/8 w - - 0 1",
            "d2e1",
            "knight",
            "Kxd5",
            4,
            "leaves the knight hanging: {}, but the rook still wins",
        ),
        (
            "8/8/8/3Nk3/8/2P5/3K4/8 w - - 0 1",
            "d2e1",
            "knight",
            "Kxd5",
            None,
            "leaves the knight hanging: {}, and the pawn alone does not win",
        ),
        ("8/8/8/3Nk2p/8/2B5/3K4/8 w - - 0 1", "d2e1", "knight", "Kxd5", None, "leaves the knight hanging: {}"),
        ("8/8/8/3Nk3/8/2BB4/3K4/8 w - - 0 1", "d2e1", "knight", "Kxd5", 4, "leaves the knight hanging: {}"),
        (
            "8/8/8/3Rk3/8/2R5/3K4/8 w - - 0 1",
            "d2e1",
            "rook",
            "Kxd5",
            4,
            "leaves the rook on d5 hanging: {}, but the rook still wins",
        ),
        (
            "8/8/8/4k3/8/2R5/3K4/3R4 w - - 0 1",
            "c3d3",
            "rook",
            "Kxd3",
            4,
            "gives the rook away: {}, but the rook still wins",
        ),
        ("8/8/8/4k3/8/2R5/1p1K4/1R6 w - - 0 1", "c3c4", "rook", "cxb1=Q", None, "leaves the rook hanging: {}"),
    ],
)
def test_a_man_lost_is_named_with_what_is_left(
    fen: str, uci: str, man: str, reply: str, lost: int | None, text: str
) -> None:
    assert losses.lost(losing(fen, uci, man, reply, False, lost), _KEPT) == text.format(reply)


@pytest.mark.parametrize(
    ("takes", "text"),
    [
        ((("Kxd4", "rook", False), ("Kxc4", "queen", False)), "overlooks the loose queen: Kxc4 takes it"),
        ((("Kxd4", "rook", False), ("Kxc4", "queen", True)), "overlooks the loose rook: Kxd4 takes it"),
        ((("Kxd4", "knight", False), ("Kxc4", "bishop", False)), "overlooks the loose bishop: Kxc4 takes it"),
        ((("Kxd4", "rook", False), ("Qxd4", "rook", False)), "overlooks the loose rook: Kxd4 takes it"),
        ((("Kxd4", "pawn", False), ("Kc3", None, False)), ""),
        ((("Kxd4", "rook", False), ("Qb2#", None, False)), ""),
        ((("Qxb2#", "rook", False),), ""),
        ((("Kxd4", "rook", True),), ""),
        ((), ""),
    ],
)
def test_the_strongest_piece_that_was_loose_is_told_where_no_mate_was_missed(
    takes: tuple[tuple[str, str | None, bool], ...], text: str
) -> None:
    good = [
        SimpleNamespace(
            san=san, man=SimpleNamespace(captured=man, victim_guarded=guarded), gives=SimpleNamespace(mate="#" in san)
        )
        for san, man, guarded in takes
    ]
    for captured in (None, "pawn"):
        slip = facts(man=SimpleNamespace(captured=captured), held_against=good)
        assert loose_left(slip) == ("" if captured else text)


@pytest.mark.parametrize(
    ("mine", "theirs", "outcome", "text"),
    [
        (("bishop",), (), 0, ": a bishop alone cannot mate"),
        (("knight",), (), 0, ": a knight alone cannot mate"),
        (("rook",), (), 0, ""),
        (("rook",), ("bishop",), 0, ": rook against bishop only draws"),
        (("rook",), ("bishop",), -1, ""),
        (("rook",), ("bishop",), 1, ""),
        (("bishop", "knight"), (), 0, ""),
        (("rook",), ("bishop", "knight"), 0, ""),
    ],
)
def test_a_man_made_is_too_weak_by_what_is_left_to_either_side(
    mine: tuple[str, ...], theirs: tuple[str, ...], outcome: int, text: str
) -> None:
    men, worth = SimpleNamespace(attacker_men=mine, defender_men=theirs), SimpleNamespace(outcome_after=outcome)
    assert _too_weak(facts(men=men, worth=worth)) == text
