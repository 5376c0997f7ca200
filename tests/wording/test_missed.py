"""Which chance passed with a slip, and which cage or line it opened, asked of boards and of the better move alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.cut_off import CutChange, CutOff
from matebot.ideas.guards import Guards
from matebot.ideas.holes import Holes
from matebot.ideas.idea import Idea
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.out_of_corner import OutOfCorner
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.prepares import Next, Prepares
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.saved import Saved
from matebot.ideas.threatens import Threat, Threatens
from matebot.terms import Mistake
from matebot.wording import maxims, missed
from matebot.wording.causes import _chases, _from_pawn, _hunts, _leaves_w, _out_of_corner, _widens, cut, opens
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
        "reproach": SimpleNamespace(new_replies=told.pop("new", ()), as_good_as_best=()),
        "held_against": [],
        "no_better": [],
        **told,
    }
    return facts_of(f"{placed} - - 0 1", uci, by_winner=True, **given)


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
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R, skewers=True), {}, "misses the skewer Qb1+"),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.CAPTURE, R), {}, ""),
        (FORK, "c1d1", "c1b1", prepared("b3c4 b1c2", Next.MATE), {"best": 2, "ahead": ()}, "misses mate in two"),
        ("8/P7/8/8/7k/8/8/K7 w", "a1b1", "a7a8q", None, {"ahead": ("Kg3", "a8=Q")}, "gives Black time for Kg3"),
        ("8/P7/8/8/7k/8/8/K7 w", "a1b1", "a7a8q", None, {"ahead": ("Kg3",), "mistake": SLOWER}, "puts off a8=Q"),
        ("8/P7/8/8/7k/8/8/K7 w", "a1b1", "a7a8q", None, {"ahead": ()}, "puts off a8=Q"),
        ("r7/1P6/8/8/7k/8/8/K7 w", "b7a8n", "b7a8q", None, {"outcome": 1}, "makes only a knight"),
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
        (RUNS, OUTCOME, 1, "loses time: a6 at once outruns the king"),
        (RUNS, SLOWER, 0, "loses time: a6 at once outruns the king"),
        ("8/8/8/P7/8/8/6nk/K7 w", OUTCOME, 0, "loses time: a6 at once outruns the king"),
        ("8/8/8/P7/8/8/7k/K6N w", OUTCOME, 0, "loses time: a6 at once outruns the king"),
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


def ran(reply: str | None, *squares: int) -> Refutation:
    return Refutation(Means.RUN, None if reply is None else chess.Move.from_uci(reply), (), squares, False)


def let_go(*squares: int) -> Guards:
    return Guards(N, squares, (), (), ())


@pytest.mark.parametrize(
    ("ideas", "told", "better", "text"),
    [
        ((opened(),), {}, None, "opens the cage"),
        ((opened(),), {}, opened(), ""),
        ((opened(CageChange.WIDENS),), {}, None, ""),
        ((opened(), ran(None)), {}, None, "opens the cage"),
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
    assert opens(facts(CAGED, "d3e1", *ideas, **told), best) == text


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


@pytest.mark.parametrize(
    ("placed", "better", "text"),
    [
        ("8/8/8/8/4B3/5N1k/8/5K2 w", False, "drives the king out of h1, where it should be mated"),
        ("8/8/8/8/4B3/5N1k/8/5K2 w", True, ""),
        ("8/8/8/8/4B3/5N1k/p7/5K2 w", False, ""),
        ("8/8/8/8/4B3/5R1k/8/5K2 w", False, ""),
    ],
)
def test_a_king_is_driven_out_of_the_corner_where_bishop_and_knight_should_mate_it(
    placed: str, better: bool, text: str
) -> None:
    out = OutOfCorner(chess.H1)
    assert _out_of_corner(facts(placed, "f1f2", out), facts(placed, "f1e1", *((out,) if better else ()))) == text


@pytest.mark.parametrize(
    ("placed", "size", "way_out", "left", "better", "text"),
    [
        (CAGED, 32, (chess.H7,), (), False, "checks too soon: it only chases the king out, to h7"),
        (CAGED, 32, (chess.G8,), (), False, "checks too soon: it only chases the king out"),
        (CAGED, 33, (chess.H7,), (), False, ""),
        (CAGED, 32, (chess.H7,), (), True, ""),
        (f"{CAGED[:-2].replace('/8/8', '/p7/8')} w", 32, (chess.H7,), (), False, ""),
        (CAGED, 9, (chess.H7,), (chess.H7,), False, "checks while the king has a way out: h7 is open"),
    ],
)
def test_a_check_that_only_chases_a_caged_king_out_is_told_by_where_it_goes(
    placed: str, size: int, way_out: tuple[int, ...], left: tuple[int, ...], better: bool, text: str
) -> None:
    chases, holes = ChasingCheck(size, 40, way_out), SimpleNamespace(left=left)
    slip: Any = facts(placed, "d3e5")
    slip.seen.idea = {ChasingCheck: chases, Holes: holes}.get
    assert slip.room.flights == ("h7",)
    assert _chases(slip, facts(placed, "d3e1", *((chases,) if better else ()))) == text


@pytest.mark.parametrize(
    ("uci", "better", "runs", "told"),
    [
        ("d3c4", "d3e3", False, True),
        ("d3c4", "d3d4", False, False),
        ("d3c4", "e2e4", False, True),
        ("d3c4", "e2e4", True, False),
        ("d3e3", "d3d2", False, False),
        ("e2e4", "d3e3", False, False),
    ],
)
def test_a_king_goes_away_from_its_pawn_where_no_better_step_does(
    uci: str, better: str, runs: bool, told: bool
) -> None:
    placed, race = "8/8/4k3/8/8/3K4/4P3/8 w", SimpleNamespace(runs_alone=runs)
    wanted = facts(placed, better, race=race)
    vars(wanted.seen)["slower_moves"] = SimpleNamespace(half_as_bad=lambda slip: iter(()))
    slip = facts(placed, uci)
    vars(slip.seen)["move"] = chess.Move.from_uci(uci)
    text = _from_pawn(slip, wanted)
    assert text == ("takes the king away from its pawn" if told else "")


@pytest.mark.parametrize(("other", "told"), [(None, False), (CutChange.KEEPS, True), (CutChange.GIVES_UP, False)])
def test_a_line_that_cut_the_king_off_is_given_up_where_the_better_move_keeps_it(
    other: CutChange | None, told: bool
) -> None:
    placed, gone = "8/8/8/4k3/R7/8/3K4/8 w", CutOff(CutChange.GIVES_UP, "rank 4")
    better = facts(placed, "d2d3", *(() if other is None else (CutOff(other, "rank 4"),)))
    text = "gives up rank 4, which cut the king off"
    assert cut(facts(placed, "a4a1", gone), better) == (text if told else "")
    assert cut(facts(placed, "a4a1", CutOff(CutChange.KEEPS, "rank 4")), better) == ""


@pytest.mark.parametrize(
    ("placed", "near", "attacks", "from_king", "inside", "told"),
    [
        ("8/8/8/4n3/8/8/k2K4/7R w", False, None, 3, None, True),
        ("8/8/8/4n3/8/8/k2K4/7R w", True, None, 3, None, False),
        ("8/8/8/4n3/8/8/k2K4/7R w", False, Threat.CAPTURE, 3, None, False),
        ("8/8/8/4n3/8/8/k2K4/7R w", False, Threat.MATE, 3, None, True),
        ("8/8/8/4n3/8/8/k2K4/7R w", False, None, 2, None, False),
        ("8/8/8/4n3/8/8/k2K4/7R w", False, None, 3, True, False),
        ("8/8/8/4n3/8/8/k2K4/7Q w", False, None, 3, None, False),
    ],
)
def test_a_man_far_from_its_king_is_left_in_peace_where_the_better_move_goes_after_it(
    placed: str, near: bool, attacks: Threat | None, from_king: int, inside: bool | None, told: bool
) -> None:
    hunt = NearsMan(N, chess.E5, 2, from_king, inside)
    threat = () if attacks is None else (Threatens(attacks, chess.Move.from_uci("h1h5"), chess.E5, N),)
    slip = facts(placed, "d2c2", *((hunt,) if near else ()), *threat)
    text = "leaves the knight in peace: Ke3 goes after it, far from its king"
    assert _hunts(slip, facts(placed, "d2e3", hunt)) == (text if told else "")


@pytest.mark.parametrize(
    ("slip", "better", "state", "other", "text"),
    [
        ("f7g5", "f7e5", WState.LEAVES, WState.STEP, "breaks off the W: the knight's next square is e5"),
        ("f7g5", "f7e5", WState.LEAVES, WState.LEAVES, ""),
        ("f7g5", "f7e5", WState.STEP, None, ""),
        ("f7g5", "f7e5", WState.LEAVES, None, ""),
        ("f6e6", "f7e5", WState.LEAVES, WState.STEP, "breaks off the W: the king leaves its square"),
        ("f7g5", "f6e6", WState.LEAVES, None, "breaks off the W: the knight belongs on f7 for now"),
    ],
)
def test_the_w_is_broken_off_by_the_man_that_leaves_it_where_the_better_move_goes_on(
    slip: str, better: str, state: WState, other: WState | None, text: str
) -> None:
    placed = "4k3/5N2/5K2/8/4B3/8/8/8 w"
    best = () if other is None else (KnightsW(other, 2, N, chess.H8, ()),)
    told = _leaves_w(facts(placed, slip, KnightsW(state, 0, N, chess.H8, ())), facts(placed, better, *best))
    assert told == text


MADE = "8/1P6/8/8/8/8/7k/K7 w"


@pytest.mark.parametrize(
    ("made", "told", "text"),
    [
        ("q", {"mistake": Mistake.MOVES}, ""),
        ("q", {}, "makes a queen where a rook is needed"),
        ("r", {"mistake": Mistake.MOVES, "outcome": 1}, "makes only a rook"),
        ("n", {"mistake": Mistake.MOVES, "outcome": 1}, "makes only a knight"),
        ("n", {}, "makes a knight where a rook is needed: a knight alone cannot mate"),
    ],
)
def test_another_man_is_needed_where_the_win_is_gone_or_less_was_made_than_a_queen(
    monkeypatch: pytest.MonkeyPatch, made: str, told: dict[str, Any], text: str
) -> None:
    better = facts(MADE, "b7b8r")
    monkeypatch.setattr(missed, "best_ones", lambda _: [better])
    assert missed._makes(facts(MADE, f"b7b8{made}", **told), better) == text
