"""What a defence tries for a man of its own or against one of the other side's, asked of boards alone."""

from __future__ import annotations

from functools import partial
from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import Idea
from matebot.ideas.makes_for import Goal
from matebot.ideas.prepares import Next
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.stands_out import Trait
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.ties_man import TiesMan
from matebot.wording import counsel, defence_lessons, defence_men
from tests.wording.bare import facts_of

P, N, B, R, Q = chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN
FAR = 20
KEPT = {"kept": SimpleNamespace(telling_man=1, lost_to=1)}
BESIDE = {
    "is_attacked": True,
    "falls": False,
    "forked": False,
    "leaves": False,
    "kept": SimpleNamespace(man=None, all_else_lose=False),
    "only_win": None,
    "caged": True,
    "hang_else": True,
}


def facts(placed: str, uci: str, *ideas: Idea, mate: int = FAR, short: int | None = None, **beside: Any) -> MoveFacts:
    """Return facts of a defence: the ideas named, and what tells it from others.

    Parameters
    ----------
    mate : moves to mate
    short : steps that the king is short of the square of the pawn, None where none runs
    """
    told_apart = {**BESIDE, **beside}
    asked = {name: partial(_always, told_apart[name]) for name in ("falls", "forked", "is_attacked", "leaves")}
    contrast = SimpleNamespace(**{**told_apart, **asked})
    board = chess.Board(f"{placed} - - 0 1")
    board.push_uci(uci)
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get, contrast=contrast, name_after=board.san, answers_check=False
    )
    told: dict[str, Any] = {
        "seen": seen,
        "worth": SimpleNamespace(outcome_after=-1, mate_moves=mate),
        "race": SimpleNamespace(steps_short=short, pawn_moves=None if short is None else 4, runs_alone=False),
    }
    return facts_of(f"{placed} - - 0 1", uci, **told)


def _always(answer: object, *asked: object) -> object:
    return answer


BY_PAWN, BY_MEN = "8/8/3k4/8/3P4/8/8/K7 b", "8/8/3k4/8/3P4/4R3/8/K7 b"


@pytest.mark.parametrize(
    ("men", "loose", "mate", "short", "text"),
    [
        ((P,), True, FAR, 0, "attacks the unguarded pawn on d4"),
        ((P,), True, FAR, 1, ""),
        ((R,), True, FAR, 1, "attacks the unguarded rook on d4"),
        ((R,), True, FAR, None, "attacks the unguarded rook on d4"),
        ((R,), False, FAR, None, ""),
        ((R,), True, 1, None, ""),
    ],
)
def test_what_is_attacked_is_named_where_nobody_guards_it_and_no_pawn_runs(
    men: tuple[int, ...], loose: bool, mate: int, short: int | None, text: str
) -> None:
    idea = AttacksMan((chess.D4,), men, (chess.D4,) if loose else (), ())
    assert defence_men.attacks(idea, facts(BY_MEN, "d6d5", idea, mate=mate, short=short)) == text
    threat = Threatens(Threat.CAPTURE, chess.Move.from_uci("d5d4"), chess.D4, men[0])
    threatened = text.replace("attacks the unguarded", "threatens the")
    if loose:
        assert defence_men.threatens(threat, facts(BY_MEN, "d6d5", threat, mate=mate, short=short)) == threatened


@pytest.mark.parametrize(
    ("placed", "uci", "attacked", "only", "mate", "text"),
    [
        (
            "8/8/3k4/8/1R6/8/8/1K3n2 b",
            "d6c5",
            (R,),
            "b4b2",
            FAR,
            "attacks the rook and leaves White one winning move, Rb2",
        ),
        ("8/8/3k4/8/1R6/8/8/1K3n2 b", "d6c5", (R, B), "b4b2", FAR, "leaves White one winning move, Rb2"),
        ("8/8/3k4/8/1R6/8/8/1K3n2 b", "d6e5", (), "b4b2", FAR, "leaves White one winning move, Rb2"),
        ("8/8/3k4/8/1R6/8/8/1K3n2 b", "d6e5", (), None, FAR, ""),
        ("8/8/3k4/8/1R6/8/8/1K3n2 b", "d6e5", (), "b4b2", 5, "leaves White one winning move, Rb2"),
        ("8/8/3k4/8/1R6/8/8/1K3n2 b", "d6e5", (), "b4b2", 4, ""),
        ("8/8/3k4/8/1R3n2/8/8/1K6 b", "d6e5", (), "b4f4", FAR, ""),
        ("8/1P6/3k4/8/1R3n2/8/8/1K6 b", "d6e5", (), "b7b8q", FAR, ""),
        ("8/8/3k4/8/1R6/8/8/1K6 b", "d6e5", (), "b4b2", FAR, ""),
        (
            "8/8/3k4/8/1R6/8/8/1K6 b",
            "d6c5",
            (R,),
            "b4b2",
            FAR,
            "attacks the rook and leaves White one winning move, Rb2",
        ),
        ("8/8/3k4/8/1P6/8/8/1K6 b", "d6e5", (), "b4b5", FAR, "leaves White one winning move, b5"),
    ],
)
def test_the_one_move_that_wins_is_named_where_it_neither_takes_nor_promotes_and_mate_is_far(
    placed: str, uci: str, attacked: tuple[int, ...], only: str | None, mate: int, text: str
) -> None:
    squares = (chess.B4, chess.C4)[: len(attacked)]
    ideas = (AttacksMan(squares, attacked, squares, ()),) if attacked else ()
    given = facts(placed, uci, *ideas, mate=mate, only_win=None if only is None else chess.Move.from_uci(only))
    assert defence_men.one_winning(given) == text


LONE_KNIGHT, TWO_MEN = "8/8/3k4/8/8/8/3n4/K4R2 b", "8/8/3k4/6p1/8/8/3n4/K4R2 b"


@pytest.mark.parametrize(
    ("placed", "help_", "man", "steps", "beside", "ideas", "text"),
    [
        (TWO_MEN, Help.SAVES, N, 1, {}, (), "saves the knight: it stands next to its king"),
        (TWO_MEN, Help.SAVES, N, 2, {}, (), "saves the knight"),
        (TWO_MEN, Help.SAVES, N, 3, {}, (), "saves the knight"),
        (TWO_MEN, Help.SAVES, N, 4, {}, (), "saves the knight, though it stands far from its king"),
        (TWO_MEN, Help.SAVES, N, 2, {"falls": True}, (), ""),
        (TWO_MEN, Help.SAVES, N, 2, {"forked": True}, (), ""),
        (LONE_KNIGHT, Help.SAVES, N, 2, {}, (), ""),
        (LONE_KNIGHT, Help.SAVES, N, 2, {"kept": SimpleNamespace(man=N)}, (), "saves the knight"),
        (TWO_MEN, Help.GUARDS, N, 2, {}, (), "guards its knight on d2"),
        (
            TWO_MEN,
            Help.NEARER,
            N,
            2,
            {},
            (),
            "comes to the help of its knight on d2, since king and knight must stay together",
        ),
        (LONE_KNIGHT, Help.NEARER, P, 2, {}, (), "comes to the help of its pawn on d2"),
        (LONE_KNIGHT, Help.SAVES, P, 1, {}, (), "gets the pawn away for now, one square from promotion"),
        (LONE_KNIGHT, Help.SAVES, P, 5, {}, (), "gets the pawn away for now, five squares from promotion"),
        (LONE_KNIGHT, Help.SAVES, P, 5, {"hang_else": False}, (), ""),  # a shorter one keeps it too
        (LONE_KNIGHT, Help.RUNS, P, 2, {}, (), "runs, two squares from promotion"),
        (LONE_KNIGHT, Help.RUNS, P, 6, {}, (), "runs, six squares from promotion"),
        (LONE_KNIGHT, Help.RUNS, P, 0, {}, (), "promotes"),
        (LONE_KNIGHT, Help.RUNS, P, 2, {}, (Hanging((chess.D2,), (P,), True),), ""),
        (LONE_KNIGHT, Help.RUNS, P, 2, {}, (Hanging((chess.F1,), (P,), True),), "runs, two squares from promotion"),
        (TWO_MEN, Help.SAVES, N, 2, {}, (EndsIn((), Next.CAPTURE, N),), ""),
        (TWO_MEN, Help.SAVES, N, 2, {}, (EndsIn((), Next.CAPTURE, B),), "saves the knight"),
        (TWO_MEN, Help.SAVES, N, 2, {}, (EndsIn((), Next.PROMOTION, N),), "saves the knight"),
        (TWO_MEN, Help.NEARER, P, 2, {}, (EndsIn((), Next.CAPTURE, P),), "comes to the help of its pawn on d2"),
    ],
)
def test_what_is_done_for_a_man_is_told_where_it_lasts_and_by_where_its_king_stands(
    placed: str, help_: Help, man: int, steps: int, beside: dict[str, Any], ideas: tuple[Idea, ...], text: str
) -> None:
    idea = StandsBy(help_, man, chess.D2, steps)
    given = facts(placed, "d6d5", idea, *ideas, **beside)
    assert defence_men.stands_by(idea, given) == text
    assert defence_men.saves(idea, given) == ("" if help_ is Help.NEARER else text)
    assert defence_men.keeps_man(idea, given) == ("" if help_ in (Help.NEARER, Help.RUNS) else text)


GOES = "goes for the pawn on d4"


@pytest.mark.parametrize(
    ("placed", "reach", "steps", "to_go", "mate", "short", "text"),
    [
        (BY_PAWN, Reach.IN_FRONT, 1, 4, FAR, 0, "gets in front of the pawn on d4, where it is hardest to pass"),
        (BY_PAWN, Reach.IN_FRONT, 1, 4, 1, 0, ""),
        (
            BY_PAWN,
            Reach.SQUARE,
            1,
            4,
            FAR,
            0,
            "steps into the square of the pawn on d4: left alone the pawn would be caught",
        ),
        (BY_PAWN, Reach.SQUARE, 1, 4, FAR, 1, "steps into the square of the pawn on d4"),
        (BY_MEN, Reach.SQUARE, 1, 4, FAR, 0, ""),
        (BY_PAWN, Reach.NEARER, 1, 4, FAR, 0, f"{GOES}, inside its square: White's king must help it"),
        (BY_PAWN, Reach.NEARER, 1, 4, FAR, 1, ""),
        (BY_MEN, Reach.NEARER, 1, 4, FAR, 0, f"{GOES}: the king belongs in front of it"),
        (BY_PAWN, Reach.NEARER, 2, 4, FAR, None, GOES),
        (BY_PAWN, Reach.NEARER, 3, 4, FAR, None, GOES),
        (BY_PAWN, Reach.NEARER, 5, 4, FAR, None, ""),
        (BY_MEN, Reach.NEARER, 2, 4, FAR, None, GOES),
        (BY_MEN, Reach.NEARER, 2, 1, FAR, None, ""),
        (BY_MEN, Reach.NEARER, 3, 4, FAR, None, ""),
    ],
)
def test_a_king_goes_for_a_pawn_where_it_comes_in_time(
    placed: str, reach: Reach, steps: int, to_go: int, mate: int, short: int | None, text: str
) -> None:
    idea = AtPawn(reach, chess.D4, steps, to_go)
    assert defence_men.at_pawn(idea, facts(placed, "d6d5", idea, mate=mate, short=short)) == text


MINORS = "8/8/3k4/8/1B6/4N3/8/K7 b"


@pytest.mark.parametrize(
    ("placed", "holds", "caged", "leaves", "text"),
    [
        (MINORS, (chess.C4,), True, False, "ties the knight down: it alone holds c4"),
        (MINORS, (chess.C4, chess.D4, chess.E4), True, False, "ties the knight down: it alone holds c4, d4 and e4"),
        (MINORS, (chess.C4, chess.D4, chess.E4, chess.C6), True, False, ""),
        (MINORS, (chess.C4,), False, False, ""),
        (MINORS, (chess.C4,), True, True, ""),
        (BY_MEN, (chess.C4,), True, False, ""),
    ],
)
def test_a_man_is_tied_down_that_alone_holds_a_caged_king(
    placed: str, holds: tuple[int, ...], caged: bool, leaves: bool, text: str
) -> None:
    idea, asked = TiesMan(N, chess.E3, holds), list[tuple[int, int]]()

    def left(man: int, squares: int) -> bool:
        asked.append((man, squares))
        return leaves

    given: Any = facts(placed, "d6d5" if placed == BY_MEN else "d6d7", idea, caged=caged)
    given.seen.contrast.leaves = left
    assert defence_men.ties(idea, given) == text
    assert asked in ([], [(chess.E3, sum(chess.BB_SQUARES[square] for square in holds))])


ROOK, BARE = "8/8/3k4/8/8/4R3/8/K7 b", "8/8/3k4/8/8/4BB2/8/K7 b"
WITH_PAWN, WITH_MAN = "8/8/3k4/7p/8/4R3/8/K7 b", "8/8/3k4/7n/8/4R3/8/K7 b"
OF_PAWN = ("about_pawn", "in_front", "out_of_square", "needed", "only_there", "fewer", "off_the_edge", "little_room")


@pytest.mark.parametrize(
    ("taught", "placed", "idea", "told", "rule"),
    [
        ("of_capture", ROOK, None, {"guarded": True}, ""),
        ("of_capture", ROOK, None, {"takes_else": True}, ""),
        ("of_capture", ROOK, None, {}, "look at every capture first"),
        ("of_loose_man", ROOK, None, {}, ""),
        ("of_loose_man", WITH_MAN, None, {}, counsel.LOOSE),
        ("of_hole", ROOK, {"reached": ()}, {}, ""),
        ("of_hole", ROOK, {"reached": (1,)}, {}, counsel.A_HOLE),
        ("of_threat", WITH_PAWN, {"threat": Threat.CAPTURE}, {}, ""),
        ("of_threat", WITH_PAWN, {"threat": Threat.MATE}, {}, ""),
        ("of_threat", WITH_PAWN, {"threat": Threat.PROMOTION}, {}, "about_pawn"),
        ("of_race", BY_PAWN, {"moves": 2}, {}, f"out_of_square {counsel.IN_THE_SQUARE}"),
        ("of_race", BY_PAWN, {"moves": 1}, {}, "out_of_square "),
        ("of_race", BY_MEN, {"moves": 2}, {}, ""),
        ("of_own_man", WITH_PAWN, {"man": P, "help": Help.GUARDS}, {}, "about_pawn"),
        ("of_own_man", WITH_PAWN, {"man": P, "help": Help.NEARER}, {}, "about_pawn"),
        ("of_own_man", WITH_PAWN, {"man": P, "help": Help.SAVES}, {}, ""),
        ("of_own_man", WITH_MAN, {"man": N, "help": Help.GUARDS}, {}, counsel.belong_together("knight")),
        ("of_own_man", WITH_MAN, {"man": N, "help": Help.NEARER}, {}, ""),
        ("of_their_pawn", BY_PAWN, {"reach": Reach.NEARER}, {"pawn_moves": 3}, "in_front"),
        ("of_their_pawn", BY_MEN, {"reach": Reach.NEARER}, {"pawn_moves": 3}, ""),
        ("of_their_pawn", BY_MEN, {"reach": Reach.NEARER}, {}, "in_front"),
        ("of_their_pawn", BY_PAWN, {"reach": Reach.SQUARE}, {}, ""),
        ("of_guarded", WITH_PAWN, None, {"leaves_man": True}, "about_pawn"),
        ("of_guarded", WITH_PAWN, None, {}, ""),
        ("of_guarded", WITH_MAN, None, {"leaves_man": True}, ""),
        ("of_way", WITH_PAWN, {"goal": Goal.MAN, "man": P}, {}, counsel.LOOSE),
        ("of_way", WITH_PAWN, {"goal": Goal.OWN_MAN, "man": P}, {}, "about_pawn"),
        ("of_way", WITH_MAN, {"goal": Goal.OWN_MAN, "man": N}, {}, ""),
        ("of_way", WITH_PAWN, {"goal": Goal.CENTRE, "man": P}, {}, ""),
        ("of_opposition", ROOK, None, {}, "needed"),
        ("of_opposition", WITH_PAWN, None, {}, ""),
        ("of_opposition", "8/8/3k4/8/8/4P3/8/K7 b", None, {}, counsel.OPPOSITION),
        (
            "of_trait",
            WITH_MAN,
            {"trait": Trait.TOGETHER, "least": -2},
            KEPT,
            counsel.SECOND_MAN,
        ),
        ("of_trait", WITH_MAN, {"trait": Trait.TOGETHER, "least": -3}, KEPT, ""),
        (
            "of_trait",
            WITH_MAN,
            {"trait": Trait.TOGETHER, "least": -2},
            {"kept": SimpleNamespace(telling_man=None, lost_to=1)},
            "",
        ),
        (
            "of_trait",
            WITH_MAN,
            {"trait": Trait.TOGETHER, "least": -2},
            {"kept": SimpleNamespace(telling_man=1, lost_to=None)},
            "",
        ),
        ("of_trait", WITH_MAN, {"trait": Trait.APART}, {}, counsel.KEEP_AWAY),
        ("of_trait", ROOK, {"trait": Trait.APART}, {}, ""),
        ("of_trait", WITH_PAWN, {"trait": Trait.CENTRE}, {"leaves_man": True}, "about_pawn"),
        ("of_trait", WITH_PAWN, {"trait": Trait.CLOSE}, {}, counsel.BAR_THE_WAY),
        ("of_trait", WITH_PAWN, {"trait": Trait.PROMOTION}, {}, "in_front"),
        ("of_trait", WITH_PAWN, {"trait": Trait.AWAY}, {}, counsel.FAR_ROOK),
        ("of_trait", WITH_PAWN, {"trait": Trait.ROOM}, {}, ""),
        ("of_little", ROOK, {"trait": Trait.ROOM}, {}, "only_there"),
        ("of_little", ROOK, {"trait": Trait.CLOSE}, {}, "needed"),
        ("of_little", ROOK, {"trait": Trait.LOOSE}, {}, counsel.LOOSE),
        ("of_little", ROOK, {"trait": Trait.APART}, {}, ""),
        ("of_at_once", ROOK, {"man": R, "does": Next.BOX}, {}, counsel.NO_GIFTS),
        ("of_at_once", ROOK, {"man": None, "does": Next.BOX}, {}, "fewer"),
        ("of_at_once", ROOK, {"man": None, "does": Next.SHRINKS}, {}, "fewer"),
        ("of_at_once", ROOK, {"man": None, "does": Next.OPPOSITION}, {}, counsel.OPPOSITION),
        ("of_at_once", ROOK, {"man": None, "does": Next.SHUTS}, {}, ""),
        ("of_worse", ROOK, {"does": Next.MATE, "line": (1, 2)}, {}, "little_room"),
        ("of_worse", ROOK, {"does": Next.MATE, "line": (1,)}, {}, ""),
        ("of_worse", ROOK, {"does": Next.CAPTURE, "line": (1,)}, {}, counsel.NO_GIFTS),
        ("of_worse", ROOK, {"does": Next.CAPTURE, "line": (1, 2)}, {}, ""),
        ("of_worse", ROOK, {"does": Next.BOX, "line": (1,)}, {}, ""),
        ("of_mate", ROOK, None, {"leads": (1, 2)}, "little_room"),
        ("of_mate", ROOK, None, {"leads": (1,)}, ""),
        ("of_mate", ROOK, None, {}, ""),
    ],
)
def test_a_defence_teaches_by_what_it_does_and_where_that_is_the_whole_reason(
    monkeypatch: pytest.MonkeyPatch,
    taught: str,
    placed: str,
    idea: dict[str, Any] | None,
    told: dict[str, Any],
    rule: str,
) -> None:
    for name in OF_PAWN:
        monkeypatch.setattr(counsel, name, lambda *asked, name=name: " ".join([name, *asked[1:]]))
    contrast: dict[str, Any] = {name: told.get(name) for name in ("takes_else", "leaves_man")}
    contrast["kept"] = told.get("kept", SimpleNamespace(telling_man=None, lost_to=None))
    given = facts(placed, "d6d5", **contrast)
    vars(given.man)["victim_guarded"] = told.get("guarded", False)
    vars(given.race)["pawn_moves"] = told.get("pawn_moves")
    leads = SimpleNamespace(line=told["leads"]) if "leads" in told else None
    vars(given.seen)["idea"] = {EndsIn: leads}.get
    shown = () if idea is None else (SimpleNamespace(**idea),)
    assert getattr(defence_lessons, taught)(*shown, given) == rule
