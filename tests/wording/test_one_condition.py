"""Rules that hang on several conditions are not told where one of them alone fails: asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.ideas.ends_in import EndsIn
from matebot.ideas.king_nearer import KingNearer
from matebot.ideas.king_up import KingUp
from matebot.ideas.knights_w import WState, way
from matebot.ideas.narrows import Narrows
from matebot.ideas.prepares import Next
from matebot.ideas.threatens import Threat, Threatens
from matebot.wording import (
    chances,
    coming,
    denials,
    kings,
    maxims,
    minors,
)
from tests.wording.bare import facts_with as facts

ROOK, MINORS, PAWN = "8/8/8/3k4/8/8/8/K6R w", "8/8/8/3k4/8/8/8/K5BN w", "8/8/8/3k4/8/8/4P3/K7 w"


@pytest.mark.parametrize(
    ("does", "reply", "move", "text"),
    [
        ("shuts the cage", "Kb8", "Re7", "shuts the king in on rank 8"),
        ("shuts the cage", "Kb1", "Qe2", "shuts the king in on rank 1"),
        ("shuts the cage", "Ka4", "Rb7", "shuts the king in on the a-file"),
        ("shuts the cage", "Kh4", "Rg7", "shuts the king in on the h-file"),
        ("shuts the cage", "Kb8", "Re6", "shuts the king in"),
        ("shuts the cage", "Kb7", "Re6", "shuts the king in"),
        ("shuts the cage", "Ka4", "Rc7", "shuts the king in"),
        ("shuts the cage", "Rb8", "Re7", "shuts the king in"),
        ("shuts the cage", "Kb8", "Ne7", "shuts the king in"),
        ("tightens the cage", "Kb8", "Re7", "tightens the cage"),
    ],
)
def test_a_king_is_shut_in_on_the_line_of_the_edge_beside_which_a_rook_or_queen_comes(
    does: str, reply: str, move: str, text: str
) -> None:
    assert chances._in(does, reply, move) == text


@pytest.mark.parametrize(
    ("square", "threat", "man", "told"),
    [
        (chess.G5, Threat.CAPTURE, chess.G5, True),
        (chess.G5, Threat.CAPTURE, chess.H5, False),
        (chess.G5, Threat.MATE, chess.G5, False),
        (None, Threat.CAPTURE, chess.G5, False),
    ],
)
def test_a_man_that_moves_is_told_as_hit_where_it_is_the_one_attacked(
    square: int | None, threat: Threat, man: int, told: bool
) -> None:
    shown = {"square": square, "threat": threat, "man": chess.ROOK, "again": False, "move": chess.Move.null()}
    ideas = {} if square is None else {Threatens: {**shown, "sure": False}}
    given = facts(ROOK, "h1h5", ideas=ideas, seen={"name_after": lambda *moves: "Rxg5"})
    assert coming._hits(man, given) == ("attacks the rook on g5" if told else "")


@pytest.mark.parametrize(
    ("check", "last", "does", "does_find"),
    [
        ("Qc2+", "c2d2", Next.CAPTURE, True),
        ("Qc2", "c2d2", Next.CAPTURE, False),
        ("Qc2+", "b2d2", Next.CAPTURE, False),
        ("Qc2+", "c2d2", Next.MATE, False),
    ],
)
def test_a_fork_is_found_by_a_check_of_the_queen_that_takes_then(
    check: str, last: str, does: Next, does_find: bool
) -> None:
    line = tuple(map(chess.Move.from_uci, ("b3c4", "b1c2", "c4d4", last)))
    given = facts("8/8/8/3r4/8/1k6/8/2Q1K3 w", "c1b1", check=True, seen={"name_after": lambda *moves: check})
    idea: Any = SimpleNamespace(line=line, does=does)
    assert coming._finds_fork(idea, given) == does_find


@pytest.mark.parametrize(
    ("does", "man", "comes", "hits", "rule"),
    [
        (Next.CAPTURE, chess.PAWN, True, None, maxims.BAR_IT),
        (Next.CAPTURE, chess.PAWN, False, None, ""),
        (Next.CAPTURE, chess.KNIGHT, True, None, ""),
        (Next.CAPTURE, chess.KNIGHT, True, Threat.CAPTURE, maxims.LOOSE_TARGET),
        (Next.CAPTURE, chess.KNIGHT, True, Threat.MATE, ""),
        (Next.PROMOTION, chess.PAWN, True, Threat.CAPTURE, ""),
    ],
)
def test_a_man_gone_for_teaches_to_bar_a_pawn_or_to_look_for_what_is_loose(
    does: Next, man: int, comes: bool, hits: Threat | None, rule: str
) -> None:
    ideas = {} if hits is None else {Threatens: {"threat": hits}}
    given = facts(ROOK, "h1h5", ideas=ideas, seen={"comes_to_guard": lambda square: comes})
    moves = {"reply": chess.Move.from_uci("e5e4"), "move": chess.Move.from_uci("h5e4")}
    idea: Any = SimpleNamespace(does=does, man=man, **moves)
    assert coming._prey_maxim(idea, given) == rule
    if man == chess.PAWN:
        idea.reply = chess.Move.from_uci("d5d4")  # another man goes
        assert coming._prey_maxim(idea, given) == ("" if does is not Next.CAPTURE or hits is None else rule)


@pytest.mark.parametrize(
    ("does", "plies", "told"),
    [
        (Next.MATE, 1, "cannot stop a1"),
        (Next.MATE, 3, "cannot stop a1, with mate next move"),
        (Next.MATE, 5, "cannot stop a1, with mate two moves later"),
        (Next.MATE, 7, ""),
        (Next.CAPTURE, 3, ""),
    ],
)
def test_a_sentence_says_how_soon_it_is_mate_where_it_names_the_line(does: Next, plies: int, told: str) -> None:
    line = tuple(chess.Move(square, square + 8) for square in range(plies))
    given = facts(
        ROOK.replace(" w", " b"),
        "d5d6",
        by_winner=False,
        ideas={EndsIn: {"does": does, "line": line}},
        seen={"name_after": lambda *moves: chess.square_name(moves[-1].from_square)},
    )
    assert denials.dated(told or "cannot stop a1, with mate two moves later", given) == bool(told)
    assert not denials.dated("cannot stop the rook", given)


@pytest.mark.parametrize(
    ("placed", "does", "reply", "text"),
    [
        ("8/8/8/3k4/8/8/8/K6R b", Next.CUTS_OFF, "Rh4", "cuts Black's king off"),
        ("8/8/8/3k2n1/8/8/8/K6R b", Next.CUTS_OFF, "Rg1", ""),
        ("8/8/8/3k2n1/8/8/8/K6R b", Next.CUTS_OFF, "Rh4", "cuts Black's king off"),
        ("8/8/8/3k2n1/8/8/8/K6R b", Next.BOX, "Rg1", "shuts Black's king in a box"),
        ("8/8/8/3k2n1/8/8/8/K6R b", Next.SHUTS, "Rh4", ""),
        ("8/8/8/3k4/8/8/8/K6R b", Next.CUTS_OFF, "Kb2", "brings its king up"),
        ("8/8/8/3k4/8/8/8/K6R b", Next.CUTS_OFF, "Kb1", ""),
        ("8/8/8/3k4/8/8/8/K5BN b", Next.SHUTS, "Kb2", "shuts the cage"),
    ],
)
def test_what_the_attacker_does_next_has_a_name_but_where_a_man_or_the_king_is_what_matters(
    placed: str, does: Next, reply: str, text: str
) -> None:
    assert denials.deed(does, None, reply, facts(placed, "d5d6", by_winner=False))[1] == text


W = way(chess.H8, True)


@pytest.mark.parametrize(
    ("state", "step", "taken", "text"),
    [
        (WState.READY, 0, ("g8",), "makes the W ready: it shuts g8, and the knight can set out"),
        (WState.READY, 0, (), f"makes the W ready: knight {chess.square_name(W.route[0])}, bishop"),
        (WState.STEP, 1, ("g8",), "begins the W: g8 is shut"),
        (WState.STEP, 2, ("g8", "f8"), "goes on with the W, step 2 of 4: g8 and f8 are shut"),
        (WState.STEP, 2, (), "goes on with the W, step 2 of 4: from f3 the knight guards e5"),
        (WState.LEAVES, 2, ("g8",), ""),
    ],
)
def test_a_step_of_the_w_is_told_by_what_it_shuts_or_guards_by_the_king(
    state: WState, step: int, taken: tuple[str, ...], text: str
) -> None:
    idea: Any = SimpleNamespace(state=state, step=step, corner=chess.H8, route=W.route)
    given = facts("8/8/8/3k4/8/8/8/K5NB w", "g1f3", squares_taken=taken, king="e6", flights=("d6",))
    found = minors.the_w(idea, given)
    assert found.startswith(text) if text else not found


@pytest.mark.parametrize(
    ("man", "moves", "up", "centre", "comes", "text"),
    [
        (6, 2, "comes up", "", True, ""),
        (6, 2, "", "heads for the centre", True, ""),
        (6, 2, "", "", True, "heads for e6, the king's post in the W"),
        (6, 2, "", "", False, ""),
        (6, 1, "comes up", "", True, "heads for e6, the king's post in the W"),
        (3, 2, "comes up", "", True, "heads for e6, the bishop's post in the W"),
        (3, 0, "", "", False, "takes the bishop's post in the W: from e6 it shuts g8"),
        (2, 0, "", "", False, "takes the knight's post in the W: from e6 it shuts the wrong corner g8"),
    ],
)
def test_a_man_heads_for_its_post_in_the_w_but_a_king_that_comes_to_help(
    monkeypatch: pytest.MonkeyPatch, man: int, moves: int, up: str, centre: str, comes: bool, text: str
) -> None:
    monkeypatch.setattr(kings, "king_up", lambda *_: up)
    monkeypatch.setattr(kings, "to_centre", lambda *_: centre)
    idea: Any = SimpleNamespace(man=man, moves=moves, post=chess.E6, shuts=(chess.G8,))
    slower = SimpleNamespace(comes_to=lambda way, more: comes and more == 2)
    given = facts(MINORS, "a1b2", ideas={KingUp: {}, KingNearer: {}}, seen={"slower_moves": slower})
    assert minors.to_w(idea, given) == text


@pytest.mark.parametrize(("new", "narrows", "told"), [(True, True, True), (False, True, False), (True, False, False)])
def test_a_barrier_is_built_that_is_new_and_not_walked_round(new: bool, narrows: bool, told: bool) -> None:
    idea: Any = SimpleNamespace(new=new, by_bishop=(chess.E4,), by_knight=(chess.F4,))
    text = minors.barrier(idea, facts(MINORS, "a1b2", ideas={Narrows: {}} if narrows else {}))
    assert text == ("builds a barrier: the bishop guards e4, the knight f4" if told else "")
