"""Ideas by hand: what a coach would say of single moves. Each holds for both colours and on the board turned round."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial

import chess
import pytest

from matebot.ideas.order import idea_of
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables

Data = dict[str, object]
Turn = Callable[[chess.Square], chess.Square]


@pytest.fixture(scope="module")
def truth(tables: Tables) -> TableTruth:
    return TableTruth(Library(tables))


def seen(truth: TableTruth, kind: str, board: chess.Board, move: chess.Move, attacker: chess.Color) -> Data | None:
    """Return the idea of a kind as data; the others are not asked for, since some need the endings solved."""
    after = board.copy(stack=False)
    after.push(move)
    idea = idea_of(kind, board, move, after, attacker, truth)
    return None if idea is None else idea.as_data()


#: Position (White attacks), move, kind of idea, and what it says among other things; None: it is not seen.
EXAMPLES: list[tuple[str, str, str, Data | None]] = [
    # The knight's W, from memory of the handbooks' model line.
    ("5k2/5N2/5K2/5B2/8/8/8/8 w", "Bh7", "knights_w", {"state": "ready", "corner": "a8"}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Ne5", "knights_w", {"state": "step", "step": 1}),
    ("5k2/7B/5K2/4N3/8/8/8/8 w", "Nd7+", "knights_w", {"state": "step", "step": 2}),
    ("2k5/3N3B/3K4/8/8/8/8/8 w", "Nc5", "knights_w", {"state": "step", "step": 3}),
    ("3k4/7B/3K4/2N5/8/8/8/8 w", "Nb7+", "knights_w", {"state": "step", "step": 4}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Nd6+", "knights_w", {"state": "leaves", "man": "knight"}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Bg6", "knights_w", {"state": "leaves", "man": "bishop"}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Kg6", "knights_w", {"state": "leaves", "man": "king"}),
    ("8/1k1N3B/4K3/8/8/8/8/8 w", "Bd3", "knights_w", {"state": "may stop", "man": "bishop"}),
    ("8/1k1N3B/4K3/8/8/8/8/8 w", "Nc5+", "knights_w", {"state": "leaves", "man": "knight"}),
    ("3k4/7B/5K2/4N3/8/8/8/8 w", "Ke6", "knights_w", None),
    # The net: squares guarded for the mate, a file shut for it, the kings made to face each other, the move passed.
    ("k7/4Q3/8/2K5/8/8/8/8 w", "Kb6", "mating_net", {"guarded": ["b7"], "man": "queen", "at_once": True}),
    ("K7/8/2Q5/3R4/8/1k6/8/8 w", "Rb5+", "mating_net", {"along": ["file b"], "forced": False, "man": "queen"}),
    ("8/8/8/R7/8/7k/5K2/8 w", "Ra4", "mating_net", {"opposed": True, "guarded": [], "square": "h4"}),
    ("3k4/4R2R/8/8/8/8/8/K7 w", "Ka2", "mating_net", {"guarded": [], "forced": True, "opposed": False}),
    ("8/k7/8/1K6/2R5/8/8/8 w", "Kb4", "mating_net", None),
    # A line to a goal: checks that win the rook; a pawn guarded before the king comes for it.
    ("3k4/8/8/8/8/6Q1/4r3/3K4 w", "Qd6+", "leads_to", {"does": "capture", "man": "rook"}),
    ("8/8/8/R7/8/7k/5K2/8 w", "Ra4", "leads_to", {"does": "mate", "line": ["h3h2", "a4h4"]}),
    ("4R3/3K1k2/8/8/8/8/2p5/8 w", "Re1", "stops_pawn", {"how": "guards", "pawn": "c2", "square": "c1"}),
    ("8/8/8/8/6B1/P1k5/8/5K2 w", "Bd1", "guards_man", None),
    ("8/8/8/6B1/P7/2k5/5K2/8 w", "Bd8", "guards_man", None),
    ("8/8/8/6B1/P7/2k5/5K2/8 w", "Bd2+", "guards_man", None),
    ("8/8/6B1/8/P7/2k5/5K2/8 w", "Be8", "guards_man", {"man": "pawn", "square": "a4"}),
    # With a pawn that has its way to go no move only passes the turn.
    ("8/1K6/3P4/8/8/8/R7/6k1 w", "Kc6", "waiting_move", None),
    # The squares of a box are counted where the king gets to them all; a line that a rook has come to.
    ("8/8/8/8/5k2/8/8/R3K3 w", "Rd1", "box", {"change": "shrinks", "after": 28, "free": True}),
    ("8/8/8/5k2/8/5K2/8/R7 w", "Rd1", "box", {"change": "shrinks", "after": 28, "free": False}),
    ("8/8/3K4/5k2/8/8/8/4R3 w", "Re5+", "narrows", {"along": ["rank 5"]}),
    ("8/8/3B4/8/2k2P2/8/8/4K3 w", "f5", "pawn_step", {"guard": None, "goal": "f8", "escort": "bishop"}),
    # The bridge: rook up, king out, down towards it, in between; no bridge where nobody checks.
    ("3K4/3P2k1/8/8/8/8/2r5/5R2 w", "Rf4", "bridging", {"step": "lifts", "rook": "f4"}),
    ("3K4/3P2k1/8/8/8/8/2r5/5R2 w", "Rf3", "bridging", None),
    ("4K3/8/k2P4/1R6/8/8/2r5/8 w", "d7", "bridging", None),
    ("3K4/3P1k2/8/8/8/8/2r5/4R3 w", "Re4", "bridging", {"step": "lifts", "rook": "e4"}),
    ("3K4/3P2k1/8/8/5R2/8/8/2r5 w", "Ke7", "bridging", {"step": "comes out", "rook": "f4"}),
    ("8/3PK1k1/8/8/5R2/8/8/4r3 w", "Kd6", "bridging", {"step": "comes down", "rook": "f4"}),
    ("8/3P2k1/8/3K4/5R2/8/8/3r4 w", "Rd4", "bridging", {"step": "builds", "rook": "d4"}),
    ("8/3P2k1/8/3K4/5R2/8/8/2r5 w", "Rd4", "bridging", None),
    ("8/3PK3/8/6k1/5R2/8/8/2r5 w", "Rf8", "bridging", {"step": "backs", "rook": "f8"}),
    # The pawn stopped with bishop and knight: blocked, the next square guarded, the man that blocks it guarded.
    ("8/8/8/8/3B4/1K6/p6k/2N5 w", "Ba1", "stops_pawn", {"how": "blocks", "man": "bishop", "square": "a1"}),
    ("8/8/8/8/4N3/8/p1K4k/2B5 w", "Bb2", "stops_pawn", {"how": "guards", "man": "bishop", "pawn": "a2"}),
    ("8/8/8/7B/8/8/pk2K3/N7 w", "Bf7", "stops_pawn", None),
    ("8/8/8/8/8/8/pk1K4/N1B5 w", "Kd1", "stops_pawn", None),
    ("8/8/7B/8/8/8/p3K3/Nk6 w", "Bg7", "stops_pawn", {"how": "backs", "man": "bishop", "square": "a1"}),
    # Cage, hole, guards.
    ("8/1k1N3B/4K3/8/8/8/8/8 w", "Bd3", "cage", {"change": "shuts", "size_after": 8}),
    ("8/1k1N3B/4K3/8/8/8/8/8 w", "Be4+", "holes", {"made": ["a6"]}),
    ("8/1k1N3B/4K3/8/8/8/8/8 w", "Be4+", "refutation", {"means": "run", "reply": "b7a6", "squares": ["a6"]}),
    ("1k6/3K4/8/1B1N4/8/8/8/8 w", "Nb4", "cage", {"change": "opens"}),
    ("1k6/3K4/8/1B1N4/8/8/8/8 w", "Nb4", "guards", {"man": "knight", "let_go": ["b6"]}),
    ("1k6/3K4/8/1B1N4/8/8/8/8 w", "Nb4", "refutation", {"means": "run", "squares": ["b6"], "outcome_falls": False}),
    ("3k4/8/4K3/1B1N4/8/8/8/8 w", "Kd6", "king_nearer", {"purposes": ["opposition", "frees"], "freed": ["d5"]}),
    ("3k4/8/4K3/1B1N4/8/8/8/8 w", "Kd6", "cage", {"change": "holds"}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Nd6+", "refutation", {"means": "attack", "men": ["knight"]}),
    ("4k3/5N1B/5K2/8/8/8/8/8 w", "Nd6+", "chasing_check", {"way_out": ["d8"]}),
    # Ways shut, kings brought up and driven, men on their way, threats.
    ("8/k4B2/8/8/3K4/8/2N5/8 w", "Kc5", "shuts_way", {"aim": "centre", "squares": ["b6"], "last": False}),
    ("7n/8/8/8/5K2/8/5k2/R7 w", "Ra2+", "drives", {"where": "to the edge"}),
    ("k7/8/5Q2/8/2K5/8/8/8 w", "Kb5", "king_up", {"held_by": "cage", "steps": 3}),
    ("8/5K2/1N6/8/7k/8/8/2B5 w", "Nd5", "towards_w", {"man": "knight", "post": "g3", "moves": 3}),
    ("8/8/2K5/8/p7/8/5Q2/2k5 w", "Qa2", "threatens", {"threat": "capture", "man": "pawn"}),
    # Answers: if Kd8, Ke6; if Kf8, Nd7+.
    (
        "4k3/5N1B/5K2/8/8/8/8/8 w",
        "Ne5",
        "answers",
        {
            "answers": [{"replies": ["e8d8"], "move": "f6e6"}, {"replies": ["e8f8"], "move": "e5d7"}],
            "critical": "e8d8",
            "longer_by": 3,
        },
    ),
    # Waiting so that the king must step into the mate, and where a move stalemates.
    ("1k6/1N6/1K2B3/8/8/8/8/8 w", "Bd7", "waiting_move", {"man": "bishop", "replies": 1, "nothing_changes": True}),
    ("7k/5K2/8/6Q1/8/8/8/8 w", "Qg6", "stalemate_trap", {"deed": "gives"}),
    ("7k/5K2/8/6Q1/8/8/8/8 w", "Qg6", "refutation", {"means": "stalemate", "outcome_falls": True}),
    ("7k/5K2/8/6Q1/8/8/8/8 w", "Qg7#", "mates", {"king": "h8", "man": "queen", "in_corner": True}),
    ("3k4/8/4K3/1B1N4/8/8/8/8 w", "Kd6", "stalemate_trap", {"deed": "avoids", "moves": ["b5d7"]}),
    # Men lost, forked, skewered, trapped, saved.
    ("1k6/1r6/2K5/Q7/8/8/8/8 w", "Qb4", "hanging", {"squares": ["b4"], "men": ["queen"], "moved": True}),
    ("1k6/1r6/2K5/Q7/8/8/8/8 w", "Qb4", "refutation", {"means": "capture", "men": ["queen"], "reply": "b7b4"}),
    ("8/8/8/4k3/4B3/8/7K/4N3 w", "Bc2", "saved", {"man": "bishop", "moved": True}),
    ("8/8/8/4k3/4B3/6K1/8/4N3 w", "Kf3", "saved", {"man": "bishop", "moved": False}),
    ("8/8/8/4k3/4B3/6K1/8/4N3 w", "Kf3", "king_nearer", {"purposes": ["guards", "centre"]}),
    ("6r1/8/8/1K6/7k/8/1Q6/8 w", "Kb6", "refutation", {"means": "skewer", "reply": "g8b8", "squares": ["b2", "b6"]}),
    ("Q7/7k/8/8/3n4/8/8/4K3 w", "Qa3", "refutation", {"means": "fork", "men": ["king", "queen"], "reply": "d4c2"}),
    ("8/8/8/1Q6/8/8/1p1k4/6K1 w", "Qh5", "refutation", {"means": "promotion", "men": ["queen"]}),
    ("6r1/8/8/8/5k1K/8/8/5N2 w", "Nh2", "refutation", {"means": "mate", "reply": "g8h8"}),
    # A man held fast by its king: guarded it is pinned, unguarded it is trapped; one that the king leaves is taken.
    ("7k/4Q1r1/8/8/8/8/8/1K6 w", "Qe5", "pins", {"square": "g7", "man": "rook"}),
    ("8/8/8/k5n1/8/7R/1K6/8 w", "Rh5", "pins", None),
    ("8/8/8/k5n1/8/7R/1K6/8 w", "Rh5", "trapped", {"square": "g5", "pinned": True}),
    # A second man attacks what the king guards.
    ("8/6k1/3Q1b2/8/6K1/8/8/8 w", "Kf5", "threatens", {"threat": "capture", "square": "f6", "again": True}),
    ("8/6k1/3Q1b2/8/6K1/8/8/8 w", "Kg3", "threatens", None),
    ("7n/8/5K2/8/8/8/R7/7k w", "Ra8", "trapped", {"square": "h8", "man": "knight"}),
    ("7n/8/4K3/8/8/8/R7/7k w", "Ra8", "trapped", None),
    # Corners.
    ("5k2/5N2/5K2/5B2/8/8/8/8 w", "Bh7", "wrong_corner", {"deed": "drives out", "corner": "h8"}),
    ("8/8/8/8/2k5/8/B3N3/6K1 b", "Kd3", "attacks_man", {"squares": ["e2"], "men": ["knight"], "loose": ["e2"]}),
    ("3k4/8/2KNB3/8/8/8/8/8 b", "Ke7", "through_hole", {"hole": "e7", "reached": True}),
    ("3k4/8/2KNB3/8/8/8/8/8 b", "Ke7", "forced", {}),
    # Defence in the W: Kd8 heads for c7; Kf8 loses three moves sooner.
    ("4k3/7B/5K2/4N3/8/8/8/8 b", "Kd8", "critical", {"alone": True, "longer_by": 3, "as_long": 0}),
    ("4k3/7B/5K2/4N3/8/8/8/8 b", "Kf8", "sooner", {"by": 3}),
    ("4k3/7B/5K2/4N3/8/8/8/8 b", "Kd8", "makes_for", {"goal": "centre", "squares": ["c7"], "target": None}),
    ("8/8/K7/6B1/4B3/8/8/5k2 b", "Ke1", "ties_man", {"man": "bishop", "holds": ["d2"]}),
    ("8/8/8/8/8/8/2KP2k1/8 w", "d4", "pawn_runs", {"moves": 4, "king_steps": 6}),
    ("8/8/8/8/8/8/2KP2k1/8 w", "d4", "pawn_step", {"guard": None}),
    ("8/8/8/8/8/8/2KP2k1/8 w", "d3", "pawn_step", {"guard": "king"}),
    # The king stays shut in by the corner it is not to be mated in.
    ("6B1/8/8/1N6/8/4K3/8/k7 w", "Kd2", "wrong_corner", None),
    # The rook stands where the king comes to: it walks out over its square. Where the rook stood nothing was open.
    ("8/6R1/8/4K3/8/8/7k/8 w", "Rg5", "cage", {"change": "tightens"}),
    ("8/8/8/8/8/3k4/2KP4/8 w", "Kd1", "pawn_runs", None),
    # What a defence denies, what comes of another, what comes next; forks of the defender and what he must not do.
    ("8/1K6/8/8/7R/8/6k1/8 b", "Kf2", "denies", {"what": "edge", "other": "g2f1", "answer": "h4h2"}),
    # The king comes up by Kc6 after Kf2 as well.
    ("8/1K6/8/8/7R/8/6k1/8 b", "Kf3", "concedes", None),
    # The better step guards where the quickest reply goes; the reply is slower after it; it is as quick after it.
    ("8/5k2/8/8/1K6/8/6Q1/8 b", "Ke6", "prevents", {"prevented": True, "guarded": True}),
    ("8/8/3k4/3N1K2/8/1B6/8/8 b", "Kc5", "prevents", {"prevented": False, "guarded": False}),
    ("8/8/1R1k4/8/8/8/2K5/8 b", "Ke5", "prevents", {"prevented": True, "guarded": False}),
    ("2B3K1/6B1/8/7k/8/8/8/8 b", "Kg6", "prevents", None),
    # What a reply does; after Kf2, as long as Ke2, Kd3 takes the same squares.
    ("8/8/2K1k3/3R4/8/8/8/8 b", "Kf6", "counters", {"does": "takes", "squares": ["e6", "e7"], "apart": False}),
    ("8/8/3k4/3N1K2/8/1B6/8/8 b", "Kc5", "counters", {"does": "takes", "squares": ["d4", "d6"], "apart": False}),
    # After Ke6 the same move takes squares, after Kd6 the same check.
    ("8/5k2/1K6/8/8/8/2R5/8 b", "Ke6", "outlasts", None),
    ("8/Q1k3K1/8/8/8/8/8/8 b", "Kd6", "outlasts", None),
    # Rg7 would hold Kh3 on the edge, but Rc4 mates sooner.
    ("8/2R5/8/8/8/8/7k/1K6 b", "Kg3", "denies", {"what": "edge", "other": "h2g1"}),
    ("8/7b/8/8/3Q1K2/8/4k3/8 b", "Bg6", "counters", {"does": "drives"}),
    ("2N4K/4k3/8/8/8/8/1B6/8 b", "Kd7", "counters", {"does": "saves", "man": "knight"}),
    ("8/8/5k2/8/8/4K2b/3Q4/8 b", "Bg4", "counters", {"does": "hits", "man": "bishop"}),
    ("8/4Q3/2kr4/8/2K5/8/8/8 b", "Rd7", "counters", {"does": "parts", "man": "rook"}),
    ("8/8/1k6/1b6/5K2/2Q5/8/8 b", "Kb7", "counters", {"does": "nears", "apart": False}),
    ("6B1/8/8/8/k7/8/1N6/K7 b", "Kb4", "outlasts", None),
    ("8/8/2K1k3/3R4/8/8/8/8 b", "Ke7", "outlasts", None),
    ("8/8/8/8/4k3/8/P6K/8 b", "Kd5", "outruns", None),
    ("8/8/8/8/P7/3K4/8/6k1 b", "Kf2", "outruns", {"pawn": "a4", "goal": "a8", "moves": 4, "steps": 6}),
    # The rook stands in the pawn's way.
    ("8/R7/8/8/P7/3K4/8/6k1 b", "Kf2", "outruns", None),
    ("8/8/K7/8/8/2b5/6Q1/4k3 b", "Bd4", "ends_in", {"does": "capture", "man": "bishop"}),
    ("5Q2/8/1r6/8/8/K7/5k2/8 b", "Kg3", "denies", {"what": "fork", "answer": "f8c5", "man": "rook"}),
    # After Kg6, Qg3+ hits king and rook, but Kh5 guards the rook.
    ("1Q6/3K1k2/8/8/7r/8/8/8 b", "Rd4+", "denies", {"what": "room", "answer": "b8e5", "man": None}),
    ("8/8/8/3K4/8/8/2Q5/5k2 b", "Ke1", "expects", {"does": "king up", "man": None}),
    ("8/8/4K3/5R1n/8/8/7k/8 b", "Ng7+", "strikes", {"means": "fork", "men": ["rook", "king"]}),
    ("8/3K4/4R1b1/8/6k1/8/8/8 b", "Kf5", "pitfall", {"means": "capture", "men": ["bishop"]}),
    # With colours exchanged 1 Ka3: a pass would let the rook pin the bishop from h5.
    ("8/8/8/k3b3/8/7R/8/4K3 b", "Ka6", "meets", {"means": None, "men": ["bishop"], "reply": "h3h5"}),
    # Rook and queen.
    ("8/8/8/3k4/8/8/8/R3K3 w", "Ra4", "cut_off", {"change": "sets", "line": "rank 4"}),
    ("8/8/8/8/3k4/8/3K4/4R3 w", "Re2", "box", {"change": "shrinks", "before": 28, "after": 24}),
    ("8/8/8/8/3k2p1/8/3K4/4R3 w", "Re2", "box", None),
    # A pawn is held: common practice, no source.
    ("8/8/6K1/8/8/2Q5/4p3/3k4 w", "Qd3+", "holds_pawn", {"how": "forces", "pawn": "e2"}),
    ("8/8/6K1/8/8/3Q4/4p3/4k3 w", "Kf5", "holds_pawn", {"how": "free step", "pawn": "e2"}),
    ("8/8/6K1/8/7Q/8/3kp3/8 w", "Qh2", "holds_pawn", {"how": "pins", "pawn": "e2"}),
    ("8/8/6K1/8/1Q6/8/4p2k/8 w", "Qe1", "holds_pawn", {"how": "blocks", "pawn": "e2"}),
    ("8/8/6K1/8/8/8/2k1p3/4Q3 w", "Kf5", "holds_pawn", None),
]


@pytest.mark.parametrize(("fen", "san", "kind", "says"), EXAMPLES)
def test_a_coach_would_say_so(truth: TableTruth, fen: str, san: str, kind: str, says: Data | None) -> None:
    board = chess.Board(f"{fen} - - 0 1")
    move = board.parse_san(san)
    idea = seen(truth, kind, board, move, chess.WHITE)
    assert (idea is None) == (says is None), idea
    assert idea is None or idea | (says or {}) == idea, idea


#: Ideas that follow one of several lines as good, chosen by its squares: the lists they hold are not the same.
ONE_OF_SEVERAL = ("mating_net", "answers")


@pytest.mark.parametrize(("fen", "san", "kind", "says"), EXAMPLES)
def test_it_is_so_for_black_and_on_the_board_turned_round(
    truth: TableTruth, fen: str, san: str, kind: str, says: Data | None
) -> None:
    """Eight ways to turn the board, where no pawn stands on it, and colours exchanged."""
    board = chess.Board(f"{fen} - - 0 1")
    move = board.parse_san(san)
    lines: list[Turn] = [lambda s: s, lambda s: s ^ 7, lambda s: s ^ 56, lambda s: s ^ 63]
    turns: list[Turn] = [*lines, *(partial(_by_diagonal, line) for line in lines)]
    for turn in turns:
        for swap in (False, True):
            if board.pawns and (turn not in lines or (turn(0) >= 56) != swap):
                continue
            placed = chess.Board(None)
            for square, piece in board.piece_map().items():
                placed.set_piece_at(turn(square), chess.Piece(piece.piece_type, piece.color != swap))
            placed.turn = board.turn != swap
            turned = chess.Move(turn(move.from_square), turn(move.to_square))
            idea = seen(truth, kind, placed, turned, not swap)
            assert (idea is None) == (says is None), (placed.fen(), turned)
            for name, value in (says or {}).items():
                assert idea is not None
                if kind not in ONE_OF_SEVERAL or not isinstance(value, list):
                    assert _sorted(idea[name]) == _turned(value, turn), (placed.fen(), turned, name)


def _turned(value: object, turn: Turn) -> object:
    """Return what is said of a turned board: squares, moves and lines are turned, lists sorted; all else stays."""
    if isinstance(value, list):
        return _sorted([_turned(part, turn) for part in value])
    if isinstance(value, str) and re.fullmatch("([a-h][1-8]){1,2}", value):
        return "".join(chess.square_name(turn(chess.parse_square(name))) for name in re.findall("..", value))
    if isinstance(value, str) and re.fullmatch("rank [1-8]|file [a-h]", value):
        on = [s for s in chess.SQUARES if value[5:] in chess.square_name(s)]
        ranks = {turn(square) // 8 for square in on}
        return f"rank {ranks.pop() + 1}" if len(ranks) == 1 else f"file {chess.FILE_NAMES[turn(on[0]) % 8]}"
    return value


def _sorted(value: object) -> object:
    return sorted(value, key=str) if isinstance(value, list) else value


def _by_diagonal(turn: Turn, square: chess.Square) -> chess.Square:
    return turn(square) % 8 * 8 + turn(square) // 8
