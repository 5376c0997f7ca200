"""Games looked over: nothing of them is lost, every slip is found with what it cost, and the counts are right."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

import chess
import chess.pgn
import pytest

from matebot.games.annotate import Annotated, annotated
from matebot.games.review import Reviewer
from matebot.games.tally import Tally
from matebot.laws.referee import Referee
from matebot.laws.verdict import Verdict
from matebot.method.library import Library
from matebot.solver.material import COVERED
from matebot.wording import stages
from tests.counting import counts
from tests.games.game_maker import as_text, noted, ordinary_game, practice_game
from tests.witness.ideas.cage import cage
from tests.witness.positions import random_positions

BOTH = frozenset((chess.WHITE, chess.BLACK))
_PRACTICE, _ALL_PRACTICE, _ORDINARY, _ALL_ORDINARY = 48, 64, 10, 2_000
QUEEN_MATE = '[Event "Queen"]\n[FEN "7k/8/6K1/8/8/8/8/1Q6 w - - 0 1"]\n[SetUp "1"]\n\n'

BROKEN = [
    '[Event "Broken move"]\n\n1. e4 e5 2. Ke3 Nc6 {kept} *\n\n',
    '[Event "Broken ending"]\n[FEN "7k/8/5K2/8/8/8/8/Q7 w - - 0 1"]\n\n1. Qb2 Kg8 2. Qz9 Kf8 3. Qb8# 1-0\n\n',
    '[Event "Broken position"]\n[FEN "no position"]\n\n1. e4 *\n\n',
    '[Event "Broken variation"]\n\n1. e4 (1. d5 d6 (1... e5 2. x)) 1... e5 *\n\n',
    '[Event "No end"]\n\n1. e4 e5 ( 1... c5\n\n',
]
#: How a move is told that is one move slower and no slip.
SLOWER = ("one move s", "loses a move", "a move longer")
#: What a report of each must name.
PLACES = ("at move 2.", "at move 2.", "'no position'", "at move 1.", "at move 2.")


@pytest.fixture(scope="module", params=[_PRACTICE, pytest.param(_ALL_PRACTICE, marks=pytest.mark.exhaustive)])
def practised(library: Library, request: pytest.FixtureRequest) -> list[chess.pgn.Game]:
    return [practice_game(library, number) for number in range(request.param)]


def annotate(
    library: Library, text: str, sides: frozenset[chess.Color] = BOTH, tally: Tally | None = None
) -> list[Annotated]:
    reviewer = Reviewer(library, sides, Tally() if tally is None else tally)
    return list(annotated(io.BytesIO(text.encode()), reviewer))


def joined(games: list[Annotated]) -> str:
    return "".join(game.text for game in games)


@counts(5, 8)
@pytest.mark.parametrize("ending", [material.name for material in COVERED])
def test_a_random_game_from_every_ending_is_looked_over(library: Library, ending: str, count: int) -> None:
    """Captures and promotions, good and bad, lead from endings with a ladder to those without and back."""
    random = Random(ending)
    for board in random_positions(ending, 1, seed=51):
        game = chess.pgn.Game()
        game.setup(board)
        node: chess.pgn.GameNode = game
        for _ in range(count):
            moves = sorted(board.legal_moves, key=lambda move: (not board.is_zeroing(move), move.uci()))
            if not moves:
                break
            move = moves[0] if random.random() < 0.5 else random.choice(moves)
            node = node.add_variation(move)
            board.push(move)
        (found,) = annotate(library, f"{game}\n\n")
        (read,) = games_of(found.text)
        assert [move.uci() for move in read.mainline_moves()] == [move.uci() for move in game.mainline_moves()]


@pytest.mark.parametrize("written", ["exd6ep", "exd6 e.p.", "exd6"])
def test_a_remark_stands_behind_all_that_belongs_to_the_move(library: Library, written: str) -> None:
    start = '[Event "Odd \u2028 line"]\n[FEN "4k3/3p4/8/4P3/8/8/8/4K3 b - - 0 1"]\n\n'
    (found,) = annotate(library, f"{start}1... d5 2. {written} Kd7 3. Kd2 *\n\n")
    assert not found.faults
    assert re.search(rf"2\. {re.escape(written)}\s(\$\d\s)?(\{{|Kd7)", found.text), found.text
    assert "{" in found.text


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_new_lines_end_as_those_of_the_game_do(library: Library, end: str) -> None:
    plain = QUEEN_MATE + "1. Qb2 Kg8 2. Qg7# *\n"
    (game,) = annotate(library, plain)
    assert game.text.count("\n") > plain.count("\n")
    (other,) = annotate(library, plain.replace("\n", end))
    assert other.text == game.text.replace("\n", end)


def games_of(text: str) -> list[chess.pgn.Game]:
    """Read games with python-chess."""
    handle = io.StringIO(text)
    return list(iter(lambda: chess.pgn.read_game(handle), None))


def mixed(practised: list[chess.pgn.Game], ordinary: int) -> str:
    """Return practice games and ordinary games in turn, full of notes, some of them broken."""
    parts: list[str] = []
    every = max(1, ordinary // len(practised))
    for number in range(max(len(practised), ordinary)):
        if number < ordinary:
            parts.append(as_text([noted(ordinary_game(number), number)]))
        if number % every == 0 and number // every < len(practised):
            copy = games_of(str(practised[number // every]))[0]
            parts.append(as_text([noted(copy, number)]))
        if number % 5 == 0:
            parts.append(BROKEN[number // 5 % 4])
    return "".join(parts)


def check_nothing_is_lost(old_text: str, new_text: str) -> int:
    """Check by python-chess's reading and word by word; return how many moves have got something new."""
    words = iter(new_text.split())
    assert all(word in words for word in old_text.split()), "a word is gone, or stands elsewhere"
    old_games, new_games = games_of(old_text), games_of(new_text)
    assert len(old_games) == len(new_games)
    changed = 0
    for old, new in zip(old_games, new_games, strict=True):
        assert dict(old.headers) == dict(new.headers)
        assert len(old.errors) == len(new.errors)
        old_nodes, new_nodes = [old, *old.mainline()], [new, *new.mainline()]
        assert [n.move for n in old_nodes[1:]] == [n.move for n in new_nodes[1:]]
        for before, after in zip(old_nodes, new_nodes, strict=True):
            assert after.comment.startswith(before.comment)
            assert after.nags >= before.nags
            variations = list(map(str, before.variations[1:]))
            there = list(map(str, after.variations[1:]))
            assert there[: len(variations)] == variations
            assert len(there) <= len(variations) + 1
            changed += (before.comment, before.nags, variations) != (after.comment, after.nags, there)
    return changed


def test_nothing_is_lost_of_many_games_of_every_kind(
    library: Library, practised: list[chess.pgn.Game], caplog: pytest.LogCaptureFixture
) -> None:
    check_mixed(library, practised[:8], _ORDINARY)
    assert caplog.records  # python-chess too finds moves it cannot read in the broken games


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
@pytest.mark.parametrize("practised", [_ALL_PRACTICE], indirect=True)
def test_nothing_is_lost_of_two_thousand_ordinary_games(library: Library, practised: list[chess.pgn.Game]) -> None:
    check_mixed(library, practised, _ALL_ORDINARY)


def check_mixed(library: Library, practised: list[chess.pgn.Game], ordinary: int) -> None:
    text = mixed(practised, ordinary)
    games = annotate(library, text)
    new = joined(games)
    assert check_nothing_is_lost(text, new) > 6 * len(practised)
    broken = [game.number for game, read in zip(games, games_of(text), strict=True) if read.errors]
    assert [game.number for game in games if game.faults] == broken


@dataclass(frozen=True)
class LookedOver:
    games: list[chess.pgn.Game]
    tally: Tally


@pytest.fixture(scope="module")
def looked_over(library: Library, practised: list[chess.pgn.Game]) -> LookedOver:
    tally = Tally()
    return LookedOver(games_of(joined(annotate(library, as_text(practised), tally=tally))), tally)


def test_what_has_been_remarked_once_is_not_remarked_again(library: Library, practised: list[chess.pgn.Game]) -> None:
    once = joined(annotate(library, mixed(practised[:8], 8)))
    assert joined(annotate(library, once)) == once


def test_a_good_move_that_is_told_of_already_gets_no_second_remark(library: Library) -> None:
    begun = '[FEN "7k/8/8/6K1/8/8/8/1Q6 w - - 0 1"]\n[SetUp "1"]\n\n1. Kg6 {%s the king up.} Kg8 2. Qb8# 1-0\n\n'
    (told,), (other,) = (annotate(library, begun % words) for words in ("Kg6 brings", "Bring"))
    assert told.text.count("Kg6 ") == 2  # the move and the comment that stood there
    assert re.search(r"\{Kg6 (?!brings the king up)", other.text) is not None


def test_a_slip_is_remarked_on_whatever_is_told_of_it_already(library: Library) -> None:
    text = '[FEN "7k/8/8/6K1/8/8/8/1Q6 w - - 0 1"]\n[SetUp "1"]\n\n1. Qf5 {Qf5 cuts it off.} Kg8 1/2-1/2\n\n'
    (told,) = annotate(library, text)
    assert re.search(r"\$\d", told.text) is not None
    assert told.text.count("Qf5 ") == 3


def steps(game: chess.pgn.Game) -> Iterator[tuple[chess.Board, chess.pgn.ChildNode, chess.Board]]:
    """Yield each move with the boards before and after it; a node would play the whole game again for its board."""
    before = game.board()
    for node in game.mainline():
        after = before.copy()
        after.push(node.move)
        yield before, node, after
        before = after


def cost(library: Library, board: chess.Board, move: chess.Move) -> tuple[bool, int]:
    """Return whether a move changed the outcome and how many moves it lost, from the two positions alone."""
    before = library.tables.value(board)
    after_board = board.copy(stack=False)
    after_board.push(move)
    after = library.tables.value(after_board)
    if -after.outcome != before.outcome:
        return True, 0
    if before.dtm_plies is None or after.dtm_plies is None:
        return False, 0
    return False, abs(after.dtm_plies + 1 - before.dtm_plies) // 2


def winner_of(library: Library, board: chess.Board) -> chess.Color | None:
    outcome = library.tables.value(board).outcome
    return None if not outcome else board.turn if outcome > 0 else not board.turn


def stage_lost(library: Library, before: chess.Board, after: chess.Board) -> bool:
    stood, stands = library.standings(before)[:1], library.standings(after)[:1]
    return any(a.ladder == b.ladder and b.stage < a.stage for a, b in zip(stood, stands, strict=False))


def cage_opened(before: chess.Board, after: chess.Board) -> bool:
    return cage(before, before.turn) is not None and cage(after, before.turn) is None


def test_every_slip_has_its_glyph_its_cost_and_a_better_line(library: Library, looked_over: LookedOver) -> None:
    glyphs: Counter[int] = Counter()
    for game in looked_over.games:
        for board, node, after in steps(game):
            changed, lost = cost(library, board, node.move)
            mine = board.turn == winner_of(library, board)
            back = lost == 1 and mine and (cage_opened(board, after) or stage_lost(library, board, after))
            expected = {4} if changed else {2} if lost > 1 else {6} if back else set()
            slower = lost == 1 and not back
            assert any(words in node.comment.replace("\n", " ") for words in SLOWER) == slower
            assert node.nags == expected, f"{board.fen()} {node.move}"
            glyphs.update(expected)
            assert len(node.parent.variations) == 1 + bool(expected)
            if not expected:
                continue
            assert node.comment.startswith(board.san(node.move))
            if not changed:
                assert f"{lost} move" in node.comment.replace("\n", " ")
            better = node.parent.variations[1]
            assert cost(library, board, better.move) == (False, 0)
            assert 1 <= len(list(better.mainline())) + 1 <= 4
    assert min(glyphs[number] for number in (2, 4)) >= 12
    assert glyphs[6] >= 2  # rarer: one move alone is no slip, only with a man, a stage or the cage


def test_the_table_is_at_most_a_hundred_columns_wide_and_loses_no_word(looked_over: LookedOver) -> None:
    lines = looked_over.tally.table()
    assert max(map(len, lines)) <= 100
    words = " ".join(lines).split()
    assert all(word in words for row in looked_over.tally.rows() for cell in row for word in cell.split())
    assert len(lines) > 2 + len(looked_over.tally.rows())


def test_stages_are_told_where_they_change_and_nowhere_else(library: Library, looked_over: LookedOver) -> None:
    told = 0
    for game in looked_over.games:
        first = game.comment.replace("\n", " ")
        standing = library.standings(game.board())
        assert "to move." in first
        assert not standing or first.endswith(" ".join(stages.change(standing[0])))
        known = {standing[0].title} if standing else set()
        for board, node, there in steps(game):
            before, after = library.standings(board), library.standings(there)
            comment = node.comment.replace("\n", " ")
            if before and after and before[0].ladder == after[0].ladder:
                change = " ".join(stages.change(after[0])), stages.again(after[0])
                mates_next = library.tables.value(there).dtm_plies == 1
                if before[0].stage != after[0].stage and not mates_next:
                    told += 1
                    assert comment.endswith(change[after[0].title in known])
                    assert not re.search(r"[Ss]tage \d", comment)
                else:
                    assert not comment.endswith(change)
            if after and " ".join(stages.change(after[0])) in comment:
                assert after[0].title not in known
                known.add(after[0].title)
            if there.is_checkmate():
                assert "is checkmate" in comment
    assert told > 100


def test_good_moves_are_told_in_one_line_of_what_was_not_told_of_the_last_four(looked_over: LookedOver) -> None:
    told, silent = Counter[bool](), Counter[bool]()
    for game in looked_over.games:
        lately: list[str] = []
        for board, node, there in steps(game):
            comment = node.comment.replace("\n", " ")
            plain = not node.nags and not any(text in comment for text in (*SLOWER, "Mate in", "Next:", "Again:"))
            idea = comment.partition(". ")[0].partition(" ")[2].rstrip(".")
            if plain and comment:
                assert comment.startswith(f"{board.san(node.move)} ")
                assert len(comment) + len("White: ") <= 120
                assert idea not in lately[-8:], f"{board.fen()} {comment}"
                told[board.turn] += 1
            silent[board.turn] += plain and not comment
            if plain and board.legal_moves.count() == 1 and not board.is_capture(node.move):
                assert not comment or there.is_checkmate()
            lately.append(idea if plain else "")
    assert min(told.values()) > 100  # either side's
    assert min(silent.values()) > 10


def test_at_the_level_brief_no_stage_is_told_and_at_hints_the_next_moves_are(library: Library) -> None:
    text = '[FEN "8/8/7N/8/8/8/8/K1k1B3 w - - 0 1"]\n\n1. Ng4 Kd1 2. Bb4 *\n'
    remarks = {}
    for level in ("brief", "full", "hints"):
        (found,) = annotated(io.BytesIO(text.encode()), Reviewer(library, BOTH, Tally(), level))
        game = games_of(found.text)[0]
        remarks[level] = [node.comment.replace("\n", " ") for node in (game, *game.mainline())]
    assert remarks["brief"][0] == "White mates in 33, White to move."
    assert "You are there when" in remarks["full"][0]
    assert remarks["brief"][1] == remarks["full"][1]
    assert remarks["full"][1].startswith("Ng4 brings the knight ")
    assert ["If Kd1, Bb4; if Kc2, Ne5." in told[1] for told in remarks.values()] == [False, False, True]


def test_a_game_looked_over_judges_each_position_once(library: Library, judgements: dict[str, list[object]]) -> None:
    """With slips too, whose better lines and replies are looked at: one referee a game, one check, nothing twice."""
    start, moves = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", "1. Kb2 Kd3 2. Nf2+ Ke2 3. Ne4 Kd3 4. Nc5+ Kc4 5. Na4 Kb4 6. Ka1"
    (found,) = annotate(library, f'[FEN "{start}"]\n\n{moves} *\n')
    assert "$2" in found.text
    assert judgements["checks"] == judgements["referees"] == [start]
    for kind in ("verdicts", "rankings"):
        assert len(set(judgements[kind])) == len(judgements[kind]) > 0, kind


def test_why_a_drawn_ending_is_drawn_is_told_once(library: Library) -> None:
    """Source: a rook cannot win against a bishop whose king is off the edge, handbooks."""
    moves = "1. Bd4 Kc1 2. Bf2 Kd1 3. Bg3 Kd2 4. Bd6 Ke1 5. Ba3 Kf1 6. Bb2 Ke2"
    (found,) = annotate(library, f'[FEN "8/2K5/8/7r/8/4B3/2k5/8 w - - 0 1"]\n\n{moves} *\n')
    comments = [node.comment.replace("\n", " ") for node in games_of(found.text)[0].mainline()]
    assert comments[0].startswith("Bd4 keeps the draw: ")
    assert not any(comments[1:])


def test_the_counts_agree_with_a_recount(
    library: Library, practised: list[chess.pgn.Game], looked_over: LookedOver
) -> None:
    tally = looked_over.tally
    moves: Counter[tuple[str, bool]] = Counter()
    lost: Counter[tuple[str, bool]] = Counter()
    longest: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    for game in practised:
        stay, before = 0, ""
        for board, node, _ in steps(game):
            place = place_of(library, board)
            value = library.tables.value(board)
            attacking = value.outcome > 0
            stay, before = (stay + 1 if place == before else 1), place
            longest[place] = max(longest[place], (stay + 1) // 2)
            if value.outcome:
                moves[place, attacking] += 1
                lost[place, attacking] += cost(library, board, node.move)[1]
        last = game.end().board()
        ends["mate"] += last.is_checkmate()
        ends["stalemate"] += last.is_stalemate()
    for position, count in tally.counts.items():
        name = f"{position.ending} {position.title}"
        assert count.longest == longest[name], name
        if position.won:
            assert {side: count.moves[side] for side in (True, False)} == {s: moves[name, s] for s in (True, False)}
            assert {side: count.lost[side] for side in (True, False)} == {s: lost[name, s] for s in (True, False)}
    for how, number in ends.items():
        assert sum(count.left[how] for count in tally.counts.values()) == number
    assert sum(count.moves.total() for count in tally.counts.values()) == sum(
        len(list(g.mainline())) for g in practised
    )


def place_of(library: Library, board: chess.Board) -> str:
    men = {
        c: sorted((p.symbol().upper() for p in board.piece_map().values() if p.color == c), key="KQRBNP".index)
        for c in BOTH
    }
    sides = sorted(men.values(), key=lambda side: (-len(side), ["KQRBNP".index(man) for man in side]))
    name = "".join(sides[0] + sides[1])
    standings = library.standings(board) if library.tables.value(board).outcome else ()
    title = standings[0].title if standings else "won" if library.tables.value(board).outcome else "drawn"
    return f"{name} {title}"


def test_only_the_side_asked_for_is_remarked_on(library: Library, practised: list[chess.pgn.Game]) -> None:
    """Of one game of each beginning."""
    check_sides(library, practised[:8])


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
def test_only_the_side_asked_for_is_remarked_on_in_all_games(library: Library, practised: list[chess.pgn.Game]) -> None:
    check_sides(library, practised)


def check_sides(library: Library, practised: list[chess.pgn.Game]) -> None:
    for side in (chess.WHITE, chess.BLACK):
        tally, marked = Tally(), 0
        for game in games_of(joined(annotate(library, as_text(practised), frozenset((side,)), tally))):
            assert not any(node.nags for board, node, _ in steps(game) if board.turn != side)
            marked += sum(bool(node.nags) for _, node, _ in steps(game))
        assert marked
        played = sum(board.turn == side for game in practised for board, _, _ in steps(game))
        assert sum(count.moves.total() for count in tally.counts.values()) == played


def test_a_missed_stalemate_is_named(library: Library) -> None:
    """Source: the rook's pawn with its king shut in before it, common practice."""
    text = '[FEN "K7/P2k4/8/8/8/8/8/8 b - - 0 1"]\n\n1... Ke6 2. Kb7 *\n'
    node = games_of(joined(annotate(library, text)))[0].next()
    assert node is not None
    assert node.nags == {4}
    assert "Kc7 or Kc8 would have been stalemate" in node.comment.replace("\n", " ")
    assert "the draw is gone" in node.comment.replace("\n", " ")


def test_a_missed_capture_that_draws_is_named(library: Library) -> None:
    text = '[FEN "8/8/8/3k4/3R4/8/8/K7 b - - 0 1"]\n\n1... Kc5 2. Rd1 *\n'
    node = games_of(joined(annotate(library, text)))[0].next()
    assert node is not None
    assert node.nags == {4}
    assert "overlooks the loose rook: Kxd4 takes it; the draw is gone" in node.comment.replace("\n", " ")
    assert node.parent.variations[1].san() == "Kxd4"


def test_a_stalemate_given_is_called_one(library: Library) -> None:
    node = games_of(joined(annotate(library, QUEEN_MATE + "1. Qb2 Kh7 2. Qb6 Kh8 3. Kf7 Kh7 4. Qg6+ Kh8 5. Qa6 *\n")))[
        0
    ]
    assert not any(n.nags & {4} for n in node.mainline())
    stalemated = games_of(joined(annotate(library, '[FEN "7k/8/8/6Q1/8/8/8/K7 w - - 0 1"]\n\n1. Qg6 1/2-1/2\n')))[0]
    only = stalemated.next()
    assert only is not None
    assert only.board().is_stalemate()
    assert only.nags == {4}
    assert "is stalemate" in only.comment


def test_the_fifty_move_rule_is_minded(library: Library) -> None:
    """Source: FIDE Laws of Chess, 9.3; a rook's mate from the middle takes more than five moves (handbooks)."""
    start = '[FEN "8/8/8/3k4/8/8/8/K6R w - - {clock} 80"]\n\n1. Kb2 Kd4 *\n'
    late = games_of(joined(annotate(library, start.format(clock=90))))[0]
    assert "but the fifty-move rule leaves only 5 moves" in late.comment.replace("\n", " ")
    assert not any(node.nags for node in late.mainline())  # nothing was thrown away by these moves
    early = games_of(joined(annotate(library, start.format(clock=0))))[0]
    assert "fifty" not in early.comment
    near = games_of(joined(annotate(library, start.format(clock=60))))[0]
    assert "the fifty-move rule leaves 20 moves; mate takes" in near.comment.replace("\n", " ").lower()
    assert not any("mate takes" in node.comment.replace("\n", " ") for node in near.mainline())  # told once
    reached = games_of(joined(annotate(library, '[FEN "8/8/8/3k4/8/8/8/K6R w - - 99 80"]\n\n1. Kb2 Kd4 *\n')))[0]
    assert "fifty" in reached.comment


def test_a_move_too_slow_for_the_count_has_given_the_win_away(library: Library) -> None:
    """Source: FIDE Laws of Chess, 9.3 and 9.6.2: mate on the hundredth ply counts, after it there is none."""
    text = '[FEN "7k/8/6K1/8/8/8/8/R7 w - - 99 90"]\n\n1. {move} *\n'
    mate = games_of(joined(annotate(library, text.format(move="Ra8#"))))[0].next()
    late = games_of(joined(annotate(library, text.format(move="Ra7"))))[0].next()
    assert mate is not None
    assert late is not None
    assert mate.nags == set()
    assert late.nags == {4}
    assert "too slow for the fifty-move rule" in late.comment


def test_the_third_repetition_is_minded_once(library: Library) -> None:
    """Source: FIDE Laws of Chess, 9.2. The position after the ninth ply occurs three times as well."""
    start = '[FEN "7k/8/5K2/8/8/8/8/Q7 w - - 0 1"]\n\n'
    game = games_of(joined(annotate(library, start + "1. Qa2 Kh7 2. Qa1 Kh8 3. Qa2 Kh7 4. Qa1 Kh8 5. Qa2 *\n")))[0]
    comments = [node.comment.replace("\n", " ") for node in game.mainline()]
    told = [number for number, comment in enumerate(comments, start=1) if "third time and a draw" in comment]
    assert told == [8]  # where it may be claimed
    # White let Black repeat; when no draw was claimed, nothing is marked any more.
    assert [number for number, node in enumerate(game.mainline(), start=1) if node.nags] == [7]
    assert "repeated a third time" in comments[6]


def test_an_ending_that_comes_about_in_a_game_is_introduced_once(library: Library) -> None:
    text = '[FEN "8/8/8/8/8/1k6/1rr5/K2Q4 w - - 0 1"]\n\n1. Qxc2+ Rxc2 2. Kb1 Rc8 3. Ka1 Rc1# 0-1\n'
    game = games_of(joined(annotate(library, text)))[0]
    comments = [node.comment.replace("\n", " ") for node in game.mainline()]
    assert game.comment == ""
    introduced = [number for number, comment in enumerate(comments) if "to move." in comment]
    assert len(introduced) == 1


def test_games_without_covered_positions_are_the_same_byte_for_byte(library: Library) -> None:
    text = "\ufeff" + as_text([noted(ordinary_game(number), number) for number in range(20)])
    text += '% an escape line\n[Event "Empty"]\n\n*\n\n\n[Event "No moves at all"]\n\n; a remark\n\n'
    text += "1. e4 ; to the end\n e5 *"
    assert joined(annotate(library, text)) == text
    assert joined(annotate(library, text.replace("\n", "\r\n"))) == text.replace("\n", "\r\n")
    assert annotate(library, "") == []


def test_other_kinds_of_chess_pass_through(library: Library) -> None:
    text = '[Event "Other"]\n[Variant "Atomic"]\n[FEN "7k/8/5K2/8/8/8/8/Q7 w - - 0 1"]\n\n1. Qb2 *\n\n'
    games = annotate(library, text)
    assert joined(games) == text
    assert games[0].faults == ()


@pytest.mark.parametrize(("text", "where"), list(zip(BROKEN, PLACES, strict=True)))
def test_a_broken_game_is_kept_and_reported_and_the_next_is_annotated(library: Library, text: str, where: str) -> None:
    games = annotate(library, text + QUEEN_MATE + "1. Qb8# 1-0\n")
    assert [game.number for game in games] == [1, 2]
    assert where in games[0].faults[0]
    assert "expected" in games[0].faults[0]
    words = iter(games[0].text.split())
    assert all(word in words for word in text.split())
    assert "checkmate" in games[1].text
    assert games[1].faults == ()


def test_what_can_be_read_of_a_broken_ending_is_annotated(library: Library) -> None:
    game = annotate(library, BROKEN[1])[0]
    assert "White mates in" in game.text
    assert "got 'Qz9'" in game.faults[0]


def test_a_comment_that_is_never_closed_does_not_swallow_the_next_game(library: Library) -> None:
    games = annotate(library, '[Event "Open"]\n\n1. e4 {oh\n\n' + QUEEN_MATE + "1. Qb8# {over} 1-0\n")
    assert len(games) == 2
    assert "comment to be closed" in games[0].faults[0]
    assert "checkmate" in games[1].text


def test_line_ends_and_bytes_of_other_encodings_stay(library: Library) -> None:
    raw = (QUEEN_MATE + "1. Qb3 {na\xefve} *\n\n").replace("\n", "\r\n").encode("latin-1")
    reviewer = Reviewer(library, BOTH, Tally())
    new = "".join(game.text for game in annotated(raw.splitlines(keepends=True), reviewer))
    data = new.encode("utf-8", "surrogateescape")
    assert b"{na\xefve}" in data
    assert data.count(b"\n") == data.count(b"\r\n")
    assert b"White mates in" in data


@pytest.mark.parametrize("glyph", ["$" + "5" * 5_000, "$", "$1000"])
def test_a_glyph_no_standard_knows_is_told_and_the_game_read_on(library: Library, glyph: str) -> None:
    """Source: PGN standard, 8.2.4: a glyph is "$" and a number from 0 to 255."""
    (found,) = annotate(library, f"{QUEEN_MATE}1. Qb2 {glyph} Kg8 2. Qg7# *\n")
    assert len(found.faults) == 1
    assert found.faults[0].startswith("at move 1... expected a move, got '$")
    assert len(found.faults[0]) < 100
    assert glyph in found.text
    assert "is checkmate" in found.text


def test_after_fifty_moves_nothing_more_is_worked_out(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    """However long a game goes on, as many positions are judged, each with no more history than may come back."""
    looked: list[int] = []
    follow = Referee.follow

    def counting(referee: Referee, move: chess.Move, verdict: Verdict) -> None:
        looked.append(len(referee.board.move_stack))
        follow(referee, move, verdict)

    monkeypatch.setattr(Referee, "follow", counting)
    start, lengths = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", []
    for plies in (150, 600):
        board, random, words = chess.Board(start), Random(1), []
        for _ in range(plies):
            move = random.choice([move for move in board.legal_moves if not board.is_capture(move)])
            words.append(board.san(move))
            board.push(move)
        looked.clear()
        annotate(library, f'[FEN "{start}"]\n\n{" ".join(words)} *\n')
        lengths.append(len(looked))
        assert 0 < max(looked) <= 101  # and a reply that is looked at
    assert lengths[0] == lengths[1]
