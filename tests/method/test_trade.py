"""What every handbook says of bishop and knight, held against the solver, the ladders and the facts.

Sources: common practice of the trade and the handbooks' model line, both from memory; no copy at hand.
"""

from __future__ import annotations

import chess
import numpy as np

from matebot.facts.making import FactMaker
from matebot.facts.move_facts import MoveFacts
from matebot.ideas.barrier import Barrier
from matebot.ideas.knights_w import KnightsW
from matebot.laws.referee import Referee
from matebot.method.batch import Layout
from matebot.method.library import Library
from matebot.method.squares import from_edge, right_corners
from matebot.method.zones import Zones
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.line import shortest_line
from matebot.play.ranking import rank_with
from matebot.solver.codes import DRAW, unpack
from matebot.solver.material import Material
from matebot.solver.reach import Game
from matebot.solver.tables import Tables
from matebot.wording.moves import told

WHITE_KING, BLACK_KING, WHITE_QUEEN = map(chess.Piece.from_symbol, "KkQ")
MODEL_START = "7k/8/5K2/6N1/4B3/8/8/8 w - - 0 1"
MODEL_LINE = [
    "Nf7+",
    "Kg8",
    "Bf5",
    "Kf8",
    "Bh7",
    "Ke8",
    "Ne5",
    "Kf8",
    "Nd7+",
    "Ke8",
    "Ke6",
    "Kd8",
    "Kd6",
    "Ke8",
    "Bg6+",
    "Kd8",
    "Nc5",
    "Kc8",
    "Bf7",
    "Kd8",
    "Nb7+",
    "Kc8",
    "Kc6",
    "Kb8",
    "Kb6",
    "Kc8",
    "Be6+",
    "Kb8",
    "Bd7",
    "Ka8",
    "Nc5",
    "Kb8",
    "Na6+",
    "Ka8",
    "Bc6#",
]
KBNK = Material.parse("KBNK")


def facts_of(library: Library, board: chess.Board, move: chess.Move) -> MoveFacts:
    return FactMaker(Judged.of(library, board.copy())).facts(move)


def told_line(library: Library) -> list[MoveFacts]:
    board, found = chess.Board(MODEL_START), []
    for san in MODEL_LINE:
        move = board.parse_san(san)
        found.append(facts_of(library, board, move))
        board.push(move)
    assert board.is_checkmate()
    return found


def test_mates_in_the_wrong_corner_exist_but_are_never_forced(tables: Tables) -> None:
    """The only positions from which mate in a wrong corner is forced are those a move before it, White to move."""
    tables.prepare(KBNK)
    game = Game(KBNK, {side: tables.codes(KBNK, side) for side in (True, False)}, tables.codes)
    zones = Zones(game.placement)
    wrong = zones.black_king_by_man(
        0, lambda bishop, king: king in (0, 7, 56, 63) and king not in right_corners(bishop)
    )
    right = zones.black_king_by_man(0, lambda bishop, king: king in right_corners(bishop))
    helped = {True: game.placement.empty(), False: game.mated & wrong}
    assert helped[False].any()
    forced = game.region(helped, zones.everywhere)
    assert np.array_equal(forced[False], helped[False])
    wanted = {True: game.placement.empty(), False: game.mated & right}
    missed = game.won & ~game.region(wanted, zones.everywhere)[True]
    assert unpack(missed).sum() < 1e-5 * unpack(game.won).sum()


def test_a_longest_win_ends_in_a_corner_of_the_bishops_colour(library: Library) -> None:
    tables = library.tables
    codes, layout = tables.codes(KBNK, True), Layout(KBNK)
    longest = layout.positions(np.flatnonzero(codes[codes < DRAW].max() == codes))
    places = np.array([longest.white_king, longest.black_king, *longest.men]).T.tolist()
    assert len(places) > 20
    for place in places[:: len(places) // 20]:
        board = chess.Board(None)
        for square, man in zip(place, "KkBN", strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(man))
        for move in shortest_line(tables, *tables.stand(board)):
            board.push(move)
        assert board.is_checkmate()
        king, dark = board.king(chess.BLACK), board.pieces(chess.BISHOP, chess.WHITE) & chess.BB_DARK_SQUARES
        assert king in ((chess.A1, chess.H8) if dark else (chess.A8, chess.H1)), board.fen()


def test_bishop_and_knight_on_one_colour_guard_squares_of_both(library: Library) -> None:
    barriers = [idea for facts in told_line(library) if (idea := facts.seen.idea(Barrier)) is not None]
    assert barriers
    for idea in barriers:
        (bishop,), (knight,) = (
            {bool(chess.BB_DARK_SQUARES & chess.BB_SQUARES[square]) for square in squares}
            for squares in (idea.by_bishop, idea.by_knight)
        )
        assert bishop != knight


def test_the_model_line_walks_the_w(library: Library) -> None:
    found = [(facts.san, facts.seen.idea(KnightsW)) for facts in told_line(library)]
    steps = {san: idea.step for san, idea in found if idea is not None and idea.step}
    assert steps == {"Ne5": 1, "Nd7+": 2, "Nc5": 3, "Nb7+": 4}


def test_the_model_line_names_the_w_its_answers_and_the_waiting_moves(library: Library) -> None:
    best = [facts for facts in told_line(library) if not facts.cost.moves_lost]
    words = {facts.san: " ".join(told(facts)) for facts in best}
    assert "makes the W ready: it shuts g8" in words["Bh7"]
    assert "begins the W: d7 is shut" in words["Ne5"]
    assert "If Kd8, Ke6; if Kf8, Nd7+" in words["Ne5"]
    assert "zugzwang" in words["Bf5"]
    assert "waits: every square stays guarded" in words["Bd7"]
    assert "checkmate" in words["Bc6#"]


def test_the_model_lines_edge_stage_falls_with_every_move_of_the_attacker(library: Library) -> None:
    attacks = [f for f in told_line(library) if f.by_attacker and not f.gives.mate]
    for facts in attacks:
        before, after = facts.places.standings_before[0], facts.places.standings_after[0]
        assert after.stage >= before.stage
        if before.stage == 3:
            assert after.rung.plies < before.rung.plies
    # The handbooks' waiting move Bf7 is one move slower than the best.
    assert {f.san for f in attacks if f.cost.moves_lost} == {"Bf7"}


def test_the_waiting_move_is_needed_or_the_defender_is_stalemated(library: Library) -> None:
    board = chess.Board(MODEL_START)
    for san in MODEL_LINE[: MODEL_LINE.index("Bd7")]:
        board.push_san(san)
    facts = facts_of(library, board, board.parse_san("Bd7"))
    assert facts.passing.waiting
    hasty = board.copy()
    hasty.push_san("Na5")
    stalemates = [m for m in board.legal_moves if facts_of(library, board, m).gives.stalemate]
    assert hasty.is_valid()
    assert facts.cost.moves_lost == 0
    assert all(library.tables.value(_after(board, m)).outcome == 0 for m in stalemates)


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy()
    after.push(move)
    return after


def test_the_king_that_runs_out_at_the_second_step_is_caught(library: Library) -> None:
    """After Kd8, Ke6, Kc7 the knight goes to d7, and a bishop move on f1-a6 is among the best against b7."""
    board = chess.Board("4k3/7B/5K2/4N3/8/8/8/8 b - - 0 1")
    for san in ("Kd8", "Ke6", "Kc7", "Nd7", "Kb7"):
        board.push_san(san)
    best = rank_with(Referee(board, library.tables))[0]
    diagonal = {chess.parse_square(s) for s in ("f1", "e2", "d3", "c4", "b5", "a6")}
    assert board.piece_type_at(best.move.from_square) == chess.BISHOP
    assert best.move.to_square in diagonal


def test_the_king_that_ran_out_never_gets_back_to_the_wrong_corner(library: Library) -> None:
    """Every defence is tried; the attacker follows the method."""
    board = chess.Board("8/2kN3B/4K3/8/8/8/8/8 b - - 0 1")
    seen: set[str] = set()
    todo = [board]
    while todo:
        at = todo.pop()
        for move in list(at.legal_moves):
            reply = _after(at, move)
            king = reply.king(chess.BLACK)
            assert king not in (chess.A1, chess.H8)
            answer = choose(Judged.of(library, reply), Style(attack="method")).move
            reached = _after(reply, answer)
            if not reached.is_game_over() and reached.epd() not in seen:
                seen.add(reached.epd())
                reached.halfmove_clock = 0
                todo.append(reached.copy(stack=False))
    assert len(seen) > 20


def test_with_the_queen_on_the_board_the_draw_is_stalemate_on_the_edge(tables: Tables) -> None:
    """Where the queen cannot be taken; "the commonest draw": common practice, no source."""
    codes = tables.whole(Material.parse("KQK"), white_to_move=False)
    stalemates = 0
    for queen, white, black in np.argwhere(codes == DRAW).tolist():
        board = chess.Board(None)
        board.set_piece_map({white: WHITE_KING, black: BLACK_KING, queen: WHITE_QUEEN})
        board.turn = chess.BLACK
        if not any(board.generate_legal_captures()):
            stalemates += 1
            assert board.is_stalemate()
            assert from_edge(black) == 0
    assert stalemates > 500
