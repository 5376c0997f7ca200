"""Reasons for good moves of the attacker name what the board shows, counted here with python-chess alone."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.ideas.cage import Cage
from matebot.method.library import Library
from matebot.wording import captures, coming, king_and_pawn, leads, maxims
from matebot.wording.attack import deeds
from matebot.wording.reason import NO_DEED
from tests.counting import counts
from tests.wording.sampling import Said, maker_for, said_of, taken


def said(library: Library, fen: str, san: str) -> Said:
    board = chess.Board(fen)
    return said_of("", maker_for(library, board), board.parse_san(san))


def deed(library: Library, fen: str, san: str) -> str:
    return next(deeds(said(library, fen, san).facts)).text


@counts(30, 40)
@pytest.mark.parametrize("ending", ["KQKP", "KRKB", "KRKN", "KQKR"])
def test_why_a_man_could_be_taken_is_counted_on_the_board(library: Library, ending: str, count: int) -> None:
    told = 0
    for item in taken(library, ending, "attack", count):
        if item.facts.man.captured is None or item.facts.man.promoted:
            continue
        board, move = chess.Board(item.facts.fen), chess.Move.from_uci(item.facts.move)
        text, king = captures.captures(item.facts), board.king(not board.turn)
        assert king is not None
        apart = chess.square_distance(king, move.to_square)
        after = board.copy()
        after.push(move)
        reasons = {
            "which nothing guards": not after.attackers(after.turn, move.to_square),
            "far from its king": apart > 3,
            "left alone by its king": apart == 3,
            "one step out of its king's reach": apart == 2,
            "under the guard of the king": apart == 1
            and chess.square_distance(after.king(not after.turn) or 0, move.to_square) == 1,
        }
        for words, holds in reasons.items():
            if words in text:
                told += 1
                assert holds, (item.facts.fen, item.facts.san)
    assert told > 4


@pytest.mark.parametrize(
    ("fen", "san", "points"),
    [
        ("8/8/8/5k2/2K5/5p2/8/8 b - - 0 1", "Ke4", {"e2", "f2", "g2"}),
        ("8/8/6k1/4P3/1K6/8/8/8 w - - 0 1", "Kc5", {"d6"}),
    ],
)
def test_the_key_squares_named_are_those_the_king_comes_to_first(
    library: Library, fen: str, san: str, points: set[str]
) -> None:
    facts = said(library, fen, san).facts
    text = king_and_pawn.to_key_squares(facts)
    assert set(re.findall(r"\b[a-h][1-8]\b", text)) == points < set(facts.keys.key_squares)


@pytest.mark.parametrize(
    ("fen", "san", "holder"),
    [
        ("8/3k4/6P1/8/8/8/6K1/q7 b - - 0 1", "Ke6", "a1"),  # the queen guards g7
        ("2k5/8/8/2P5/4K3/8/8/q7 b - - 0 1", "Kb7", None),  # she guards no square from c6 to c8
        ("8/6r1/2K5/k7/8/8/1P6/8 b - - 0 1", "Kb4", None),  # of the pawn's way the rook guards b7, but so does the king
    ],
)
def test_who_holds_a_pawn_is_told_where_its_king_hunter_needs_not_stop_it(
    library: Library, fen: str, san: str, holder: str | None
) -> None:
    facts = said(library, fen, san).facts
    assert facts.ways.held_from == (() if holder is None else (holder,))
    text = next(deed.text for deed in deeds(facts) if "the pawn on " in deed.text)
    assert (f"holds from {holder}" in text) if holder else ("inside its square" in text or "in the way of" in text)


def test_a_pawn_that_runs_by_itself_is_not_helped_on(library: Library) -> None:
    for fen, san in (
        ("7K/8/8/8/8/1p2r3/8/4k3 b - - 0 1", "Re7"),
        ("5K2/8/8/r7/5p2/8/8/3k4 b - - 0 1", "Ra7"),
        ("5K2/8/P3k3/8/8/8/8/7R w - - 0 1", "Rh5"),
    ):
        text = deed(library, fen, san)
        assert "the pawn runs by itself" in text
        assert "helps" not in text


def test_a_mating_net_is_told_by_the_reply_for_which_the_man_is_needed(library: Library) -> None:
    # From e8 the bishop guards f7 too, but not h7.
    assert "guards h7, where the queen can mate: if Kh8" in deed(library, "4b1K1/3q4/8/8/k7/8/8/8 b - - 0 1", "Bg6")


def test_a_man_is_won_or_mate_comes_where_not_every_reply_loses_it(library: Library) -> None:
    # After Be8 it is mate on the next move but one, and the bishop is not taken.
    assert "wins the bishop, or mates" in deed(library, "K7/2k5/8/1B6/6r1/8/8/8 b - - 0 1", "Kb6")


def test_a_rook_goes_behind_its_own_pawn_only_with_nothing_between(library: Library) -> None:
    assert "behind its pawn" in deed(library, "6k1/8/8/5P2/2R5/8/8/2K5 w - - 0 1", "Rf4")
    assert all(
        "behind its pawn" not in one.text for one in deeds(said(library, "6k1/8/8/5P2/5K2/8/8/2R5 w", "Rf1").facts)
    )


def test_a_king_that_goes_for_a_pawn_says_so_before_it_comes_nearer_to_the_other_king(library: Library) -> None:
    assert deed(library, "2k5/8/8/6R1/8/1p6/8/4K3 w - - 0 1", "Kd2").startswith("goes for the pawn on b3")


def test_a_way_of_the_king_is_one_of_several_where_another_stays_open(library: Library) -> None:
    text = deed(library, "8/8/3b2n1/6k1/8/8/4K3/8 b - - 0 1", "Nf4+")
    assert "takes d3 from White's king, one of its ways back to the centre" in text


def test_a_king_two_steps_off_its_man_does_not_get_to_it(library: Library) -> None:
    text = said(library, "3K1Q2/8/8/8/6b1/8/8/7k w - - 0 1", "Qf7").text
    assert "come nearer to its bishop" in text
    assert "get to its bishop" not in text


def test_no_cage_is_opened_where_the_king_could_go_before(library: Library) -> None:
    assert "opens the cage" not in said(library, "8/8/5B2/7K/4B3/8/5k2/8 w - - 0 1", "Bh7").text


def test_where_the_checks_end_no_rook_checks_any_more_without_being_taken(library: Library) -> None:
    item = said(library, "8/6QK/k7/8/7r/8/8/8 w - - 0 1", "Kg8")
    assert "where the checks end: after Kg6 would come Rg4+" in item.text
    board = chess.Board(item.facts.fen)
    board.push_san("Kg8")
    for reply in [move for move in board.legal_moves if board.gives_check(move)]:
        board.push(reply)
        assert any(answer.to_square == reply.to_square for answer in board.legal_moves)
        board.pop()


@pytest.mark.parametrize(
    ("fen", "san", "end"),
    [
        ("2Q5/7b/3k4/8/5K2/8/8/8 w - - 0 1", "Ke3", "Qb7+ forks king and bishop"),
        ("8/3k4/8/3K4/3P4/8/r7/8 b - - 0 1", "Ra5+", "Kc6 takes the opposition"),
    ],
)
def test_a_line_of_two_moves_is_told_with_what_the_second_one_does(
    library: Library, fen: str, san: str, end: str
) -> None:
    item = said(library, fen, san)
    assert end in item.text
    answer = item.facts.answer
    assert answer is not None
    assert answer.san == item.facts.then.ahead[1]


def test_a_capture_at_the_end_of_a_line_speaks_for_itself(library: Library) -> None:
    text = said(library, "8/7P/q7/8/8/8/3K1k2/8 b - - 0 1", "Qh6+").text
    assert "if Kc3, Qxh7. " in text


@pytest.mark.parametrize(
    ("fen", "san", "line"),
    [
        ("8/8/2K5/8/8/k7/2Q5/8 w - - 0 1", "Qb1", "the b-file"),
        ("8/4K3/8/6k1/8/P7/5R2/8 w - - 0 1", "Rf7", "rank 7"),
    ],
)
def test_a_king_is_shut_in_behind_the_line_of_a_piece_with_its_whole_cage_on_one_side(
    library: Library, fen: str, san: str, line: str
) -> None:
    item = said(library, fen, san)
    assert f"shuts the king in behind {line}" in item.text
    cage = item.facts.seen.idea(Cage)
    assert cage is not None
    at = chess.parse_square(item.facts.move[2:4])
    apart = {chess.square_rank(s) - chess.square_rank(at) for s in cage.room}
    if line.startswith("the"):
        apart = {chess.square_file(s) - chess.square_file(at) for s in cage.room}
    assert len({step > 0 for step in apart}) == 1
    assert 0 not in apart


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("K7/8/k5N1/8/8/8/5r2/8 b - - 0 1", "Kb6", "leaves the knight on g6 away from its king"),
        ("8/5N2/8/K7/8/8/6k1/3r4 b - - 0 1", "Rd7", "attacks the knight on f7"),
        ("8/8/8/3k1K2/8/8/r7/2N5 b - - 0 1", "Rf2+", "keeps the king from its knight on c1"),
    ],
)
def test_a_knight_is_lost_by_what_the_move_does_to_it(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san).text


def test_no_pawn_that_runs_by_itself_could_be_attacked(library: Library) -> None:
    assert "attack the pawn" not in said(library, "8/8/K3R3/2P5/8/1k6/8/8 w - - 0 1", "Kb5").text


def test_the_opposition_counts_for_nothing_while_the_other_side_has_a_man(library: Library) -> None:
    facts = said(library, "8/6P1/2K5/8/8/5b2/3k4/8 w - - 0 1", "Kd6").facts
    assert facts.kings.opposition is not None
    assert king_and_pawn.far_opposition(facts) == ""


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/8/3B4/3N1K2/7k/8 w - - 0 1", "Nf2", "shuts h1, the wrong corner"),
        ("8/8/6B1/8/7K/3k4/8/2q5 b - - 0 1", "Kd4", "steps out of the check and comes nearer: the queen needs it"),
    ],
)
def test_a_step_or_square_is_told_with_what_it_is_for(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san).text


def test_a_pawn_is_brought_on_to_where_the_next_square_is_guarded(library: Library) -> None:
    facts = said(library, "8/8/3b4/p3k3/8/8/3K4/8 b - - 0 1", "a4").facts
    after = chess.Board(facts.fen)
    after.push_san("a4")
    assert [after.piece_type_at(square) for square in after.attackers(chess.BLACK, chess.A3)] == [chess.BISHOP]
    assert leads.pawn_on(facts) == "brings the pawn on: the bishop guards a3 before it"


def test_a_better_move_that_takes_and_promotes_is_told_with_both(library: Library) -> None:
    text = said(library, "8/8/5K2/8/8/3k4/5p2/4R3 b - - 0 1", "f1=B").text
    assert "fxe1=Q takes the rook and makes a queen" in text


def test_no_short_diagonal_in_a_corner_is_said_to_be_shut(library: Library) -> None:
    facts = said(library, "8/8/8/8/1K6/1N6/1kB5/8 w - - 0 1", "Bh7").facts
    assert not any("g8-h7" in one.text for one in deeds(facts))


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("5R2/4K3/8/8/8/8/8/b2k4 w - - 0 1", "Rf1+", "skewers king and bishop"),
        ("8/8/8/2K5/8/7k/2p5/6B1 b - - 0 1", "c1=Q+", "makes a queen and forks king and bishop"),
        ("3k4/5K2/4n3/8/8/8/2R5/8 w - - 0 1", "Kxe6", "Ke8 is forced, and Rc8# mates"),
        ("8/8/2k1K3/8/8/8/3P4/8 w - - 0 5", "d4", "its king stands on the key square e6"),
    ],
)
def test_the_blow_the_mate_and_the_key_square_are_named(library: Library, fen: str, san: str, words: str) -> None:
    assert words in deed(library, fen, san)


def test_both_lines_are_named_where_both_lie_between_the_kings(library: Library) -> None:
    # b4 and g7: the rank 6 and the file d are both between them.
    text = deed(library, "3Q4/6K1/b7/8/1k6/8/8/8 w - - 0 1", "Qd6+")
    assert "along rank 6 and the d-file" in text


@counts(40, 60)
@pytest.mark.parametrize("ending", ["KBNK", "KRK", "KQK", "KQKP"])
def test_a_king_is_brought_up_only_where_it_does_not_step_down_the_board(
    library: Library, ending: str, count: int
) -> None:
    told = 0
    for item in taken(library, ending, "attack", count):
        found = re.match("brings the king (up|nearer)", next(deeds(item.facts), NO_DEED).text)
        if found is not None:
            told += 1
            ranks = int(item.facts.move[3]) - int(item.facts.move[1])
            assert (found[1] == "nearer") == ((ranks < 0) == (item.facts.turn == "white") and ranks != 0)
    assert told > 2


@pytest.mark.parametrize(
    ("fen", "san", "told"),
    [
        ("5K2/8/7r/8/k7/8/8/8 b - - 0 2", "Rh7", False),  # Kg8 comes to the rook, as Kf7 does after Re6
        ("5B2/6K1/8/7k/8/8/8/2q5 b - - 0 1", "Qc6", True),
    ],
)
def test_a_slower_move_is_not_told_to_let_in_what_the_quicker_one_lets_in_too(
    library: Library, fen: str, san: str, told: bool
) -> None:
    assert ("would let" in deed(library, fen, san)) == told


def test_a_king_without_pieces_does_not_hunt_one(library: Library) -> None:
    assert "after the bishop" not in deed(library, "3k4/K7/8/8/8/p6B/8/8 b - - 0 1", "Ke7")


@pytest.mark.parametrize(
    ("fen", "san", "hunts"),
    [
        ("8/8/8/2K2p2/8/7R/4k3/8 w - - 0 1", "Kd5", True),  # and takes the pawn itself
        ("3B4/8/8/8/8/8/1k4q1/3K4 b - - 0 3", "Kc3", False),  # mate in 4, the bishop is never taken
        ("1K6/3k4/4r3/8/8/5P2/8/8 b - - 0 4", "Kc6", False),  # the rook takes the pawn, far from the king
    ],
)
def test_a_king_goes_for_a_man_only_where_it_helps_to_take_it(
    library: Library, fen: str, san: str, hunts: bool
) -> None:
    assert deed(library, fen, san).startswith(("goes for", "goes after")) == hunts


def test_a_step_that_leaves_the_capture_to_another_man_is_not_after_the_pawn(library: Library) -> None:
    assert "after the pawn" not in deed(library, "3K4/q7/8/8/2P5/8/8/k7 b - - 0 1", "Kb2")


@counts(25, 80)
@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK"])
def test_that_few_squares_are_left_is_taught_of_a_plan_only_where_few_are(
    library: Library, ending: str, count: int
) -> None:
    told = 0
    for item in taken(library, ending, "attack", count):
        if coming.lead_maxim(item.facts) != maxims.TAKE_SQUARES or leads.driven(item.facts):
            continue
        told += 1
        after = chess.Board(item.facts.fen)
        after.push(chess.Move.from_uci(item.facts.move))
        steps = [move for move in after.legal_moves if after.piece_type_at(move.from_square) == chess.KING]
        assert len(steps) <= 3, (item.facts.fen, item.facts.san)
    assert told > 3


@pytest.mark.parametrize(
    ("fen", "san", "says"),
    [
        # The knight is held by its king: that the rook is saved and attacks it is half of the reason.
        ("8/8/8/K5N1/8/7r/1k6/8 b - - 0 1", "Rh5", "saves the rook and pins the knight on g5"),
        ("7K/4q1R1/8/8/8/8/8/1k6 b - - 0 1", "Qe5", "saves the queen and pins the rook on g7"),
        # A second man comes to attack what the king guards.
        ("8/6K1/3q1B2/8/6k1/8/8/8 b - - 0 1", "Kf5", "attacks the bishop on f6 a second time"),
        ("8/8/4k3/3R4/2K5/6q1/8/8 b - - 0 1", "Qg2", "attacks the rook on d5 a second time"),
        # The king goes to the other king, not to its pawn; the squares it takes are why it goes to the centre.
        ("8/2p5/3k4/7K/r7/8/8/8 b - - 0 1", "Ke7", "comes nearer to White's king"),
        ("4B3/8/8/8/8/k2K4/7q/8 b - - 0 1", "Kb4", "the centre and leaves White's king only e3, d4 and e4"),
        # The line parts the king from its pawn.
        ("8/6K1/8/5r2/8/P7/8/3k4 b - - 0 1", "Kc2", "while the rook cuts White's king off from it along rank 5"),
        # White's king goes with its pawn, so the square of the pawn matters little.
        ("8/8/8/8/4K1P1/1k6/8/2r5 b - - 0 1", "Kc4", "comes to help the rook against the pawn on g4"),
        # The bishop guards what the knight held alone.
        ("2K5/8/8/6B1/8/7N/8/7k w - - 0 1", "Be3", "takes over g1 from the knight"),
        # The check wins the bishop: that the rook is saved is the least of it.
        ("8/8/8/4K3/k5b1/8/8/3R4 w - - 0 1", "Rd4+", "Rd4+ forks king and bishop"),
        ("8/8/3b4/8/2Q5/8/K2k4/8 w - - 0 1", "Qd4+", "forks king and bishop: if Ke1, Qxd6"),
        # The king stands in check on one of the four squares.
        ("8/5k2/2Q5/5K2/8/8/8/8 w - - 0 1", "Qd7+", "3 squares are left"),
        # The bishop could have guarded c8.
        ("8/2P4b/K7/8/8/8/3k4/8 w - - 0 1", "c8=Q", "before Bf5 stops the pawn"),
        ("8/8/8/8/6B1/2k4K/6p1/8 b - - 0 1", "g1=Q", "before Kxg2 takes the pawn"),
        # The king mates with the rook before the pawn is through.
        ("8/2r5/p7/8/8/3k4/7K/8 b - - 0 1", "Ke2", "brings the king up for the mate. Mate in 6. King and rook"),
        # The only reply is no condition.
        ("K7/8/k7/2Q5/8/8/8/8 w - - 0 1", "Qd5", "Kb6 is forced, then Kb8"),
        ("8/8/8/3k4/4bK2/8/8/7q b - - 0 1", "Qf3+", "drives the king to g5: then Ke5"),
        # Rooks elsewhere are as safe: they let the knight out, or are hit by it.
        ("7K/7N/8/6r1/4k3/8/8/8 b - - 0 1", "Rg2", "holds king and knight behind the g-file; Rg4 allows the fork Nf6+"),
        ("1k6/1p6/R7/8/8/8/7K/8 w - - 0 1", "Rh6", "behind rank 6; Rb6 would let Kc7 attack it again"),
        ("8/8/8/K3P3/4k3/8/8/8 w - - 0 1", "e6", "saves the pawn and runs home"),
        # The check comes again after the king's step, and hits the knight.
        ("8/8/8/1K6/8/3R4/4n3/k7 w - - 0 1", "Rd1+", "away from its king: if Kb2, Rd2+ forks king and knight"),
        # What could be taken at once, and is not.
        ("8/8/4R3/1pK5/8/8/1k6/8 w - - 0 1", "Rd6", "waits, for the pawn cannot be saved: if Kb3, Kxb5"),
        ("8/8/4R3/1pK5/8/8/1k6/8 w - - 0 1", "Rd6", "Kxb5 and Kb4 are as quick"),
        ("3k4/8/8/p6R/8/8/K7/8 w - - 0 1", "Rh7", "Rxa5 takes 2 moves longer"),
        # The line hits the bishop as well.
        ("5k2/8/2b5/8/8/3K4/8/4Q3 w - - 0 1", "Qe6", "attacks the bishop on c6 and shuts the king in"),
        ("8/6r1/2K5/k7/8/8/1P6/8 b - - 0 1", "Kb4", "stands in the way of the pawn on b2"),
        ("R7/8/8/8/8/3K3P/7k/8 w - - 0 1", "Ke2", "A quick mate is worth more than a man"),
        ("8/6K1/8/6k1/8/P7/8/5r2 b - - 0 1", "Rf4", "bars the pawn's way: if a4, Rxa4"),
        # The bishop holds what the queen and her king do not.
        ("8/8/8/7Q/4k3/2B5/5K2/8 w - - 0 1", "Qf3#", "guarded by her king, and the bishop holds d4 and e5"),
    ],
)
def test_the_whole_reason_is_told(library: Library, fen: str, san: str, says: str) -> None:
    assert says in said(library, fen, san).text


@pytest.mark.parametrize(
    ("fen", "san", "not_said"),
    [
        # A slower move brings the bishop to where it guards more.
        ("8/8/8/8/2p5/b6k/K7/8 b - - 0 1", "Be7", "off the edge"),
        ("8/2B5/8/8/3K4/8/3k4/7B w - - 0 1", "Bf3", "off the edge"),
        # The king could walk to the bishop and take it; the bishop stands on the line, so the queen does not hold it.
        ("K7/1B6/8/8/8/2k5/5B2/8 w - - 0 1", "Ba6", "shuts the king in"),
        ("8/2K5/3Q4/8/8/8/8/2r3k1 w - - 0 1", "Kb6", "d-file"),
        # The bishop's colour is that of c8.
        ("8/2P4b/K7/8/8/8/3k4/8 w - - 0 1", "c8=Q", "one colour only"),
        ("8/2r5/p7/8/8/3k4/7K/8 b - - 0 1", "Ke2", "runs by itself"),
    ],
)
def test_half_a_reason_is_not_told(library: Library, fen: str, san: str, not_said: str) -> None:
    assert not_said not in deed(library, fen, san)
