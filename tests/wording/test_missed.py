"""Which chance passed with a slip, and which cage or line it opened, asked of boards and of the better move alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.guards import Guards
from matebot.ideas.idea import Idea
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.saved import Saved
from matebot.terms import Mistake
from matebot.wording import maxims
from matebot.wording.causes import _opens, _widens
from matebot.wording.missed import _face_to_face, mate_in_two, passed
from tests.wording.bare import facts_of

N, B, R, Q = chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN
FAR, OUTCOME, SLOWER = 20, Mistake.OUTCOME, Mistake.MAN


def facts(placed: str, uci: str, *ideas: Idea, **told: Any) -> MoveFacts:
    """Return facts of a move of the side that wins or could: the ideas named, and as told."""
    board = chess.Board(f"{placed} - - 0 1")
    after = board.copy()
    after.push_uci(uci)
    king = after.king(after.turn)
    assert king is not None
    flights = tuple(chess.square_name(m.to_square) for m in after.legal_moves if m.from_square == king)
    seen = SimpleNamespace(
        idea={type(idea): idea for idea in ideas}.get,
        name_after=lambda *line: after.variation_san(line).split()[-1].rpartition(".")[2],
        blame=told.pop("blame", None),
        answers_check=False,
    )
    given: dict[str, Any] = {
        "seen": seen,
        "san": board.san(chess.Move.from_uci(uci)),
        "gives": SimpleNamespace(check=after.is_check(), mate=after.is_checkmate()),
        "cost": SimpleNamespace(mistake=told.pop("mistake", OUTCOME), moves_lost=told.pop("lost", None), loses=None),
        "worth": SimpleNamespace(
            outcome_before=1,
            outcome_after=told.pop("outcome", 0),
            best_moves=told.pop("best", FAR),
            exact_before=True,
            mate_moves=FAR,
        ),
        "room": SimpleNamespace(
            king=chess.square_name(king), flights=flights, squares_given=told.pop("given", ()), squares_taken=()
        ),
        "reproach": SimpleNamespace(new_replies=told.pop("new", ())),
        "held_against": [],
        "no_better": [],
        **told,
    }
    found = facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)
    promoted = chess.Move.from_uci(uci).promotion
    vars(found.man)["promoted"] = None if promoted is None else chess.piece_name(promoted)
    return found


def prepared(line: str, does: Next, man: int | None = None, **more: bool) -> Prepares:
    reply, move = map(chess.Move.from_uci, line.split())
    return Prepares(reply, move, does, man, more.pop("forced", False), more.pop("forks", False), **more)


#: A bishop that may be taken; a rook or a knight may go elsewhere.
LOOSE = "8/8/8/3bn3/7k/8/8/K2R4 w"
FORK = "8/8/8/3r4/8/1k6/8/2Q1K3 w"


@pytest.mark.parametrize(
    ("placed", "slip", "better", "idea", "told", "text"),
    [
        ("7k/8/6K1/8/8/8/8/R7 w", "a1b1", "a1a8", None, {}, "overlooks mate in one: Ra8#"),
        (LOOSE, "d1e1", "d1d5", None, {}, "overlooks the loose bishop: Rxd5 takes it"),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3", "Rxd5"), "mistake": SLOWER, "lost": 2}, "loses time"),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3", "Rxd5"), "mistake": SLOWER, "lost": 4}, ""),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3", "Rxd5"), "mistake": OUTCOME}, "overlooks the loose bishop"),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3", "Rd5"), "mistake": SLOWER, "lost": 2}, "overlooks the loose"),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3", "Rxe5"), "mistake": SLOWER, "lost": 2}, "overlooks the loose"),
        (LOOSE, "d1e1", "d1d5", None, {"ahead": ("Kg3",), "mistake": SLOWER, "lost": 2}, "overlooks the loose"),
        ("8/8/2k5/3b4/8/8/8/K2R4 w", "d1e1", "d1d5", None, {}, "misses Rxd5, which takes the bishop"),
        ("8/8/8/3bn3/7k/8/8/K2RR3 w", "e1e5", "d1d5", None, {}, ""),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R, forks=True), {}, "misses the fork Qb1+"),
        (
            FORK,
            "c1d1",
            "c1b1",
            prepared("b3c4 b1c2", Next.CAPTURE, R, forks=True, sure=False),
            {},
            "misses Qb1+, which hits king and rook",
        ),
        (FORK, "c1d1", "e1e2", prepared("b3a4 c1c2", Next.CAPTURE, R, forks=True), {}, ""),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R, skewers=True), {}, "misses the skewer Qb1+"),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R), {}, ""),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.MATE), {"best": 2, "ahead": ()}, "misses mate in two"),
        ("8/P7/8/8/7k/8/8/K7 w", "a1b1", "a7a8q", None, {"ahead": ("Kg3", "a8=Q")}, "gives Black time for Kg3"),
        ("8/P7/8/8/7k/8/8/K7 w", "a1b1", "a7a8q", None, {"ahead": (), "mistake": SLOWER}, "puts off the queen"),
    ],
)
def test_a_chance_that_passed_is_told_by_what_the_better_move_does(
    placed: str, slip: str, better: str, idea: Prepares | None, told: dict[str, Any], text: str
) -> None:
    best = facts(placed, better, *(() if idea is None else (idea,)), lost=0)
    said = passed(facts(placed, slip, **told), best)
    assert said.startswith(text)
    assert bool(said) == bool(text)


@pytest.mark.parametrize(("moved", "lead"), [(True, "saves the queen, but "), (False, ""), (None, "")])
def test_beside_a_fork_missed_it_is_told_that_the_man_that_moved_was_saved(moved: bool | None, lead: str) -> None:
    saved = () if moved is None else (Saved(Q, chess.C1, moved, R),)
    best = facts(FORK, "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R, forks=True), lost=0)
    told = passed(facts(FORK, "c1d1", *saved), best)
    assert told == f"{lead}misses the fork Qb1+, which hits king and rook"


RUNS = "8/8/8/P7/8/8/7k/K7 w"


@pytest.mark.parametrize(
    ("placed", "mistake", "outcome", "text"),
    [
        (RUNS, OUTCOME, 0, "gives Black's king time to catch the pawn: a6 at once outruns it"),
        (RUNS, OUTCOME, 1, "lets the pawn wait: a6 at once outruns the king"),
        (RUNS, SLOWER, 0, "lets the pawn wait: a6 at once outruns the king"),
        ("8/8/8/P7/8/8/6nk/K7 w", OUTCOME, 0, "lets the pawn wait: a6 at once outruns the king"),
        ("8/8/8/P7/8/8/7k/K6N w", OUTCOME, 0, "lets the pawn wait: a6 at once outruns the king"),
    ],
)
def test_a_pawn_that_could_have_run_is_told_by_whether_the_king_now_catches_it(
    placed: str, mistake: Mistake, outcome: int, text: str
) -> None:
    runs = PawnRuns.__new__(PawnRuns)
    assert passed(facts(placed, "a1b1", mistake=mistake, outcome=outcome), facts(placed, "a5a6", runs)) == text


@pytest.mark.parametrize(
    ("does", "forced", "text"),
    [
        (Next.MATE, True, ": Kf7 leaves only Kh7, then Rh1"),
        (Next.MATE, False, ""),
        (Next.SHRINKS, True, ""),
    ],
)
def test_a_mate_in_two_is_told_by_its_moves_where_they_are_forced(does: Next, forced: bool, text: str) -> None:
    idea = prepared("h8h7 a1h1", does, forced=forced)
    assert mate_in_two(idea, facts("7k/8/4K3/8/8/8/8/R7 w", "e6f7", idea)).rstrip("#+") == text


@pytest.mark.parametrize(
    ("placed", "uci", "line", "forced", "faces"),
    [
        ("7k/8/6K1/8/8/8/8/R7 w", "a1b1", "h8g8 b1b8", True, True),
        ("7k/8/6K1/8/8/8/8/R7 w", "a1b1", "h8g8 b1b8", False, False),
        ("7k/8/6K1/8/8/8/8/R7 w", "a1b1", "h8g8 b1b7", True, False),
        ("8/7k/5K2/8/8/8/8/R7 w", "f6f7", "h7h6 a1h1", True, False),
        ("7k/8/5K2/8/8/8/8/R7 w", "f6f7", "h8h7 a1h1", True, True),
        ("7k/8/5K2/8/8/8/8/6R1 w", "f6f7", "h8h7 f7f6", True, False),
    ],
)
def test_kings_stand_face_to_face_across_the_edge_along_which_it_is_mate(
    placed: str, uci: str, line: str, forced: bool, faces: bool
) -> None:
    idea = prepared(line, Next.MATE, forced=forced)
    assert _face_to_face(idea, facts(placed, uci, idea)) == (maxims.FACE_TO_FACE if faces else "")


CAGED = "7k/8/5K2/8/2B5/3N4/8/8 w"
GUARDS_LEFT = "takes the guard from the bishop on c4, which shut the cage"


def opened(change: CageChange = CageChange.OPENS, was: int = 6, now: int = 20) -> Cage:
    return Cage(change, was, now)


def ran(reply: str, *squares: int, leads: Any = None) -> Refutation:
    return Refutation(Means.RUN, chess.Move.from_uci(reply), (), squares, False, leads)


def let_go(*squares: int) -> Guards:
    return Guards(N, squares, (), (), ())


@pytest.mark.parametrize(
    ("ideas", "told", "better", "text"),
    [
        ((opened(),), {}, None, "opens the cage"),
        ((opened(),), {}, opened(), ""),
        ((opened(CageChange.WIDENS),), {}, None, ""),
        ((opened(), let_go(chess.C4)), {}, None, GUARDS_LEFT),
        ((opened(), let_go(chess.D3)), {}, None, "opens the cage"),
        ((opened(), let_go(chess.E1)), {}, None, "opens the cage"),
        ((opened(), ran("h8h7", chess.H7)), {"new": ("h8h7",), "given": ("h7",)}, None, "opens the cage: Kh7 gets out"),
        ((opened(), ran("h8h7", chess.H7)), {"new": ("h8h7",)}, None, ""),
        ((opened(), ran("h8h7", chess.H7)), {"given": ("h7",)}, None, "opens the cage"),
        ((opened(), ran("h8h7")), {"new": ("h8h7",)}, None, "opens the cage"),
        ((opened(), ran("h8h7")), {"blame": SimpleNamespace(leads=None)}, None, ""),
        ((opened(), ran("h8h7")), {"blame": SimpleNamespace(leads="somewhere")}, None, "opens the cage"),
    ],
)
def test_a_cage_is_opened_by_the_guard_given_up_or_by_the_step_out_that_was_not_there_before(
    ideas: tuple[Idea, ...], told: dict[str, Any], better: Cage | None, text: str
) -> None:
    best = facts(CAGED, "d3e5", *(() if better is None else (better,)))
    assert _opens(facts(CAGED, "d3e1", *ideas, **told), best) == text


@pytest.mark.parametrize(
    ("change", "other", "told"),
    [
        (CageChange.WIDENS, None, True),
        (CageChange.WIDENS, 11, True),
        (CageChange.WIDENS, 12, False),
        (CageChange.WIDENS, 13, False),
        (CageChange.OPENS, None, False),
    ],
)
def test_a_cage_grows_where_the_better_move_leaves_a_smaller_one(
    change: CageChange, other: int | None, told: bool
) -> None:
    better = () if other is None else (opened(CageChange.WIDENS, 6, other),)
    text = _widens(facts(CAGED, "d3e1", opened(change, 6, 12)), facts(CAGED, "d3e5", *better))
    assert text == ("lets the cage grow from 6 to 12 squares" if told else "")
