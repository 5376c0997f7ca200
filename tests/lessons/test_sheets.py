"""A sheet is a sound page that needs nothing else; what it shows, and what the terminal tells, holds on the board."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import chess
import pytest

from matebot.errors import UserError
from matebot.ideas.slip_kinds import SOMETHING_LOST
from matebot.lessons.ending import lesson_sheet
from matebot.lessons.exercises import exercises
from matebot.lessons.html import page
from matebot.lessons.lesson_plans import LessonPlan, ladder_named
from matebot.lessons.model_game import ByLadder
from matebot.lessons.picture import Picture
from matebot.lessons.screen import told
from matebot.lessons.sheet import Section, Sheet, Shown, Words
from matebot.lessons.taught import ExampleKind, Taught
from matebot.lessons.teaching import teach
from matebot.method.library import Library
from matebot.solver.tables import Tables
from tests.lessons.conftest import LADDERS, Ladder
from tests.lessons.reading import Seen, document, pictures, placed
from tests.witness.ideas import cage as cage_witness
from tests.witness.ideas import holes as holes_witness
from tests.witness.ideas import king_range as range_witness

#: The bar for the sheet of bishop and knight.
MOST_BYTES = 600 * 1024
BROWSER = shutil.which("chromium")


class Sheets(dict[Ladder, str]):
    """The page of every ladder, made when first asked for."""

    def __init__(self, tables: Tables, taught: Callable[[Ladder], Taught]) -> None:
        super().__init__()
        self._library, self._taught = Library(tables), taught

    def __missing__(self, ladder: Ladder) -> str:
        plan, wanted = ladder_named(*ladder), LessonPlan()
        tasks = exercises(ByLadder(self._library, plan), wanted.exercises, wanted.seed, False, wanted.chosen(plan))
        self[ladder] = page(lesson_sheet(self._taught(ladder), tasks, wanted))
        return self[ladder]


@pytest.fixture(scope="module")
def sheets(tables: Tables, taught: Callable[[Ladder], Taught]) -> dict[Ladder, str]:
    return Sheets(tables, taught)


@pytest.mark.parametrize("ladder", LADDERS)
def test_every_ladder_makes_a_page_that_a_strict_parser_takes(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    root = document(sheets[ladder])
    assert len(pictures(root)) > 12
    assert len(sheets[ladder].encode()) <= MOST_BYTES
    headings = [element.text for element in root.iter("h2")]
    assert len(headings) == len(set(headings)) >= 7
    identifiers = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(identifiers) == len(set(identifiers))


@pytest.mark.parametrize("ladder", LADDERS)
def test_a_page_needs_no_script_and_no_other_address(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    root = document(sheets[ladder])
    assert not list(root.iter("script"))
    assert not list(root.iter("link"))
    outward = re.findall(r"(?:src|href|url\()\s*=?\s*[\"']?([^\"')\s>]+)", sheets[ladder])
    assert outward
    assert all(address.startswith("#") for address in outward)


@pytest.mark.parametrize("ladder", LADDERS)
def test_every_picture_shows_the_men_of_its_position_and_says_so_in_words(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    for seen in pictures(document(sheets[ladder])):
        assert seen.men == placed(seen.fen)
        assert chess.Board(seen.fen).is_valid()
        for square in seen.men:
            assert chess.square_name(square) in seen.text


@pytest.mark.parametrize("ladder", LADDERS)
def test_ranges_cages_and_holes_are_drawn_where_the_witnesses_see_them(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    marked = set[str]()
    for seen in pictures(document(sheets[ladder])):
        board = chess.Board(seen.fen)
        reach = range_witness.walk(range_witness.king_of(board, chess.BLACK), range_witness.shut(board, chess.WHITE))
        shut = cage_witness.cage(board, chess.WHITE)
        for name in ("reach", "cage"):
            assert seen.marks.get(name, reach) == reach
        assert ("cage" in seen.marks) <= bool(shut)
        if "holes" in seen.marks:
            assert seen.marks["holes"] == set(holes_witness.holes(board, chess.WHITE))
        for square in seen.marks.get("guards", ()):
            assert square in range_witness.shut(board, chess.WHITE)
        marked |= seen.marks.keys()
    assert marked


@pytest.mark.parametrize("ladder", LADDERS)
def test_arrows_are_moves_that_led_to_the_position_or_may_follow(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    arrows = 0
    for seen in pictures(document(sheets[ladder])):
        board = chess.Board(seen.fen)
        legal = {move.uci()[:4] for move in board.legal_moves}
        for move in seen.moves.get("replies", ()):
            assert move in legal
        shown = seen.moves.get("arrows", ())
        for move in shown:
            tail, head = (chess.parse_square(name) for name in (move[:2], move[2:]))
            led_here = board.color_at(head) == (not board.turn) and board.piece_at(tail) is None
            goes_on = any(other[2:] == move[:2] for other in shown)
            assert led_here or goes_on or board.piece_at(tail) is not None, (seen.fen, move)
            arrows += 1
    assert arrows


def test_bishop_and_knight_show_the_w_with_both_replies_the_cage_and_the_mate(
    sheets: dict[tuple[str, str], str],
) -> None:
    shown = pictures(document(sheets["KBNK", "edge and corner"]))
    text = " ".join(seen.text for seen in shown)
    for words in ("The W:", "if Kd8, then", "if Kf8, then", "shuts the cage", "waits", "mate. No square"):
        assert words in text
    assert any(chess.Board(seen.fen).is_checkmate() for seen in shown)
    assert "cage" in {name for seen in shown for name in seen.marks}


def test_the_mirror_turns_the_pictures_of_stages_and_slips(tables: Tables, taught: Callable[[Ladder], Taught]) -> None:
    plain = taught(("KQK", "edge"))
    turned = teach(Library(tables), ladder_named("KQK", None), mirror=True)
    for one, other in zip(_fixed(plain), _fixed(turned), strict=True):
        assert one.board.transform(chess.flip_horizontal).board_fen() == other.board.board_fen()


def _fixed(taught: Taught) -> list[Picture]:
    """Return the pictures whose choice does not go by the names of squares."""
    stages = [stage.picture for stage in taught.stages if stage.picture is not None]
    return [*stages, *(slip.picture for slip in taught.slips)]


def test_as_many_exercises_as_asked_for_stand_there_with_their_solutions(
    tables: Tables, taught: Callable[[Ladder], Taught]
) -> None:
    plan = ladder_named("KQK", None)
    for count in (0, 1, 9):
        wanted = LessonPlan(exercises=count, seed=3)
        tasks = exercises(ByLadder(Library(tables), plan), count, wanted.seed, False, {0, 1, 2})
        root = document(page(lesson_sheet(taught(("KQK", "edge")), tasks, wanted)))
        solved = [item.text for item in root.iter("li") if (item.text or "").startswith("Exercise ")]
        assert len(solved) == count


def test_words_from_outside_bring_in_no_markup() -> None:
    evil = "</title></style><script>alert(1)</script><img src=x onerror=y>&amp;\x00\x1b\ud800"
    board = chess.Board()
    sheet = Sheet(evil, evil, (Section(evil, (Words(evil), Shown(Picture(board, evil, evil)))),), evil)
    root = document(page(sheet))
    assert not list(root.iter("script"))
    assert not list(root.iter("img"))
    (heading,) = root.iter("h1")
    assert heading.text == evil.replace("\x00", "\ufffd").replace("\x1b", "\ufffd").replace("\ud800", "\ufffd")


@pytest.mark.parametrize(
    ("ending", "ladder", "fault"),
    [
        ("KRKR", None, "expected an ending with a ladder"),
        ("KBNK", "staircase", "expected a ladder of KBNK ('edge and corner', 'shrinking triangles'), got 'staircase'"),
    ],
)
def test_an_ending_without_such_a_ladder_is_refused(ending: str, ladder: str | None, fault: str) -> None:
    with pytest.raises(UserError, match=re.escape(fault)):
        ladder_named(ending, ladder)


@pytest.mark.skipif(BROWSER is None, reason="expected chromium on the path to look at a page in a browser, got none")
def test_a_browser_builds_the_same_pictures(sheets: dict[tuple[str, str], str], tmp_path: Path) -> None:
    place = tmp_path / "sheet.html"
    place.write_text(sheets["KBNK", "edge and corner"], encoding="utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
    flags += ["--disable-component-update", "--disable-sync", f"--user-data-dir={tmp_path / 'profile'}"]
    run = subprocess.run(
        [str(BROWSER), *flags, "--dump-dom", place.as_uri()], capture_output=True, timeout=100, check=True
    )
    built: tuple[Seen, ...] = pictures(document(run.stdout.decode()))
    assert [seen.fen for seen in built] == [s.fen for s in pictures(document(place.read_text(encoding="utf-8")))]
    for seen in built:
        assert seen.men == placed(seen.fen)


@pytest.mark.parametrize("ladder", LADDERS)
def test_every_stage_has_a_picture_of_its_own_in_the_gallery_of_stages(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    plan = ladder_named(*ladder)
    stages = list(document(sheets[ladder]).iter("section"))[1]
    shown = [chess.Board(seen.fen).board_fen() for seen in pictures(stages)]
    assert len(shown) == len(set(shown)) == len(plan.stages)
    assert any(item.get("class") == "done" for item in stages.iter("li"))


@pytest.mark.parametrize("ladder", LADDERS)
def test_what_is_called_a_stalemate_or_a_mate_is_one(
    sheets: dict[tuple[str, str], str], ladder: tuple[str, str]
) -> None:
    called = pictures(list(document(sheets[ladder]).iter("section"))[2])
    stalemates = [chess.Board(seen.fen) for seen in called if "stalemate." in seen.text and "Not " in seen.text]
    assert stalemates
    assert all(board.is_stalemate() for board in stalemates)
    assert chess.Board(called[-1].fen).is_checkmate()


def test_the_examples_of_pawn_play_come_out_as_every_textbook_says(sheets: dict[tuple[str, str], str]) -> None:
    # From memory: with the king in front of the pawn and the opposition White wins, without it the game is drawn; with
    # the king on the sixth rank White always wins; a rook's pawn with the king in its corner draws.
    text = " ".join(seen.text for seen in pictures(document(sheets["KPK", "key squares"])))
    for words in (
        "king in front of the pawn. Black to move: White wins.",
        "king in front of the pawn. White to move: drawn.",
        "sixth rank in front of its pawn. White to move: White wins.",
        "stalemate. Black to move: drawn.",
        "corner. White to move: drawn.",
    ):
        assert words in text


def test_the_legend_tells_only_of_marks_that_are_on_the_page(sheets: dict[tuple[str, str], str]) -> None:
    for ending, text in (("KRK", sheets["KRK", "box"]), ("KPK", sheets["KPK", "key squares"])):
        root = document(text)
        legend = next(item.text for item in root.iter("p") if "hatched" in (item.text or "").casefold())
        assert (
            ("iamond" in (legend or "")) == any("stars" in seen.marks for seen in pictures(root)) == (ending == "KPK")
        )


def pictures_taught(taught: Taught) -> list[Picture]:
    """Return every picture of what is taught, in the order of the terminal."""
    found = []
    for stage in taught.stages:
        found += [] if stage.picture is None else [stage.picture]
        found += [example.picture for example in taught.examples_of(stage.number)]
    return [*found, *(slip.picture for slip in taught.slips)]


def boards_in(lines: list[str]) -> list[str]:
    """Return the placements printed in lines as the board part of a FEN, read by their columns, in reading order."""
    found = []
    for number, line in enumerate(lines):
        for at in (match.start() for match in re.finditer(r"(?<!\S)8  (?=[^ ] [^ ])", line)):
            rows = [lines[number + down][at + 3 : at + 18 : 2] for down in range(8)]
            found.append("/".join(re.sub(r"[.+o*:]+", lambda empty: str(len(empty[0])), row) for row in rows))
    return found


@pytest.mark.parametrize("ladder", LADDERS)
def test_the_terminal_shows_every_position_of_the_page_in_eighty_columns(
    ladder: Ladder, taught: Callable[[Ladder], Taught]
) -> None:
    lines = list(told(taught(ladder), "1"))
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in "".join(lines)
    assert boards_in(lines) == [picture.board.board_fen() for picture in pictures_taught(taught(ladder))]


@pytest.mark.parametrize("ladder", LADDERS)
def test_the_terminal_tells_each_stage_in_a_screenful_with_its_conditions_and_its_trap(
    ladder: Ladder, taught: Callable[[Ladder], Taught]
) -> None:
    shown, text = taught(ladder), "\n".join(told(taught(ladder), "1"))
    parts = re.split(r"^Stage \d of \d: ", text, flags=re.MULTILINE)[1:]
    assert len(parts) == len(shown.stages)
    for part, stage in zip(parts, shown.stages, strict=True):
        first = part.partition("Know by heart")[0]
        assert len(first.splitlines()) <= 24  # common practice, no source: the lines of a terminal
        assert part.startswith(f"{stage.title} (at most {stage.most_moves} move")
        assert first.count("[x]") == sum(there for _, there in stage.ticks)
        assert first.count("[ ]") == sum(not there for _, there in stage.ticks)
        assert " ".join(stage.trap.split()[:4]) in " ".join(first.split())


@pytest.mark.parametrize("ladder", LADDERS)
def test_the_terminal_says_what_those_words_of_the_trade_mean_that_a_lesson_uses_and_no_others(
    ladder: Ladder, taught: Callable[[Ladder], Taught]
) -> None:
    head, _, body = " ".join(" ".join(told(taught(ladder), "1")).split()).partition(" Stage 1 of ")
    _, _, meanings = head.partition("Words: ")
    for word in ("W", "cage", "triangle", "box", "opposition", "key square"):
        used = re.search(rf"\b{word}s?\b", body) is not None
        assert used == (re.search(rf"\b{word}: ", meanings) is not None), word


def test_a_stage_is_shown_where_all_there_is_to_tick_off_holds_if_any_game_comes_there(
    taught: Callable[[Ladder], Taught],
) -> None:
    """The box of the rook: its first game does not cut the king off before it is smaller."""
    assert all(there for stage in taught(("KRK", "box")).stages for _, there in stage.ticks)


@pytest.mark.parametrize("ladder", LADDERS)
def test_a_slip_is_told_with_a_legal_way_back_or_with_what_it_cost(
    ladder: Ladder, taught: Callable[[Ladder], Taught]
) -> None:
    slips = taught(ladder).slips
    assert len(slips) == 5
    backs = 0
    for slip in slips:
        assert slip.said[0].startswith(f"{slip.san} ")
        back = re.search(r"The way back: after (\S+), (\S+?)(?: .*)?\.$", slip.said[-1])
        if back is not None:
            board = slip.picture.board.copy(stack=False)
            board.push_san(back[1])
            board.push_san(back[2])
            backs += 1
        else:
            assert re.search(r"the win is gone|the game is lost|\d+ moves lost", slip.said[0])
    assert backs


def test_both_replies_to_the_first_step_of_the_w_are_all_there_are(taught: Callable[[Ladder], Taught]) -> None:
    shown = taught(("KBNK", "edge and corner"))
    (ready,) = (e.picture.board for e in shown.examples if e.kind is ExampleKind.W_READY)
    told_of = [re.match(r"After (\S+), if (\S+), then (\S+)\.", e.picture.caption) for e in shown.examples]
    found = [match.groups() for match in told_of if match is not None]
    after = ready.copy(stack=False)
    after.push_san(found[0][0])
    assert {reply for _, reply, _ in found} == {after.san(move) for move in after.legal_moves}
    for _, reply, answer in found:
        board = after.copy(stack=False)
        board.push_san(reply)
        board.push_san(answer)


#: What every ladder of an ending shows, beside a mate.
KINDS = {
    "KBNK": {ExampleKind.W_READY, ExampleKind.W_REPLY, ExampleKind.CAGE, ExampleKind.WAITING},
    "KBBK": {ExampleKind.CAGE, ExampleKind.WAITING},
    "KRRK": {ExampleKind.CAGE, ExampleKind.STALEMATE},
    "KRK": {ExampleKind.BOX, ExampleKind.CAGE, ExampleKind.WAITING},
    "KQK": {ExampleKind.CAGE},
    "KPK": {ExampleKind.KEY_SQUARES, ExampleKind.PAWN_PLAY, ExampleKind.SQUARE},
}


@pytest.mark.parametrize("ladder", LADDERS)
def test_every_ladder_shows_what_belongs_to_its_ending(ladder: Ladder, taught: Callable[[Ladder], Taught]) -> None:
    shown = {example.kind for example in taught(ladder).examples}
    assert shown >= KINDS.get(ladder[0], set()) | {ExampleKind.MATE}


def test_the_square_of_the_pawn_decides_by_whose_move_it_is(taught: Callable[[Ladder], Taught]) -> None:
    # From memory: a king that can step into the square of a running pawn catches it, another does not.
    found = set[bool]()
    for example in taught(("KPK", "key squares")).examples:
        if example.kind is ExampleKind.SQUARE:
            board = example.picture.board
            corners = [chess.square_name(square) for square in example.picture.stars]
            files, ranks = ({name[i] for name in corners} for i in (0, 1))
            king = chess.square_name(board.king(chess.BLACK) or 0)
            steps = [king] if board.turn else [chess.square_name(move.to_square) for move in board.legal_moves]
            inside = any(min(files) <= name[0] <= max(files) and min(ranks) <= name[1] <= max(ranks) for name in steps)
            assert ("drawn" in example.picture.caption) == inside
            found.add(inside)
    assert found == {True, False}


@pytest.mark.parametrize("ladder", LADDERS)
def test_every_position_to_know_by_heart_belongs_to_a_stage(ladder: Ladder, taught: Callable[[Ladder], Taught]) -> None:
    shown = taught(ladder)
    assert {example.stage for example in shown.examples} <= set(range(1, len(shown.stages) + 1))


@pytest.mark.parametrize("ladder", LADDERS)
def test_the_first_slips_shown_are_told_by_what_they_broke_or_lost_and_others_only_where_there_are_no_more_kinds(
    ladder: Ladder, taught: Callable[[Ladder], Taught]
) -> None:
    missed = [" misses " in slip.said[0] or " time" in slip.said[0] for slip in taught(ladder).slips]
    kinds = {slip.kind for slip in taught(ladder).slips}
    broke = [not only for only, slip in zip(missed, taught(ladder).slips, strict=True) if slip.kind in SOMETHING_LOST]
    if ladder[0] in ("KBNK", "KBBK", "KRK"):
        assert not any(missed)
        assert len(kinds) == 5
    assert sum(broke) * 2 >= len(broke)
