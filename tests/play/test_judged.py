"""A judged position: what it hands on is what python-chess, or judging anew, says."""

from __future__ import annotations

import re
from random import Random
from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.play.ranking import as_good, comparable, ranked
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KNNK", "KRRK", "KQQK", "KPKP", "KRKP", "KPPK"])
def test_moves_have_the_names_that_the_library_gives_them(tables: Tables, ending: str) -> None:
    names = set()
    for board in random_positions(ending, 50, 7):
        judged = Judged.of(Library(tables), board)
        for move in list(board.legal_moves):
            assert judged.name(move) == board.san(move), board.fen()
            names.add(judged.name(move))
    assert len(names) > 20


def test_a_move_is_told_apart_by_file_by_rank_or_by_both(tables: Tables) -> None:
    by_file = Judged.of(Library(tables), chess.Board("8/8/8/8/8/2k5/8/R3K2R w - - 0 1"))
    by_rank = Judged.of(Library(tables), chess.Board("R7/8/8/7k/8/8/4K3/R7 w - - 0 1"))
    assert by_file.name(chess.Move.from_uci("a1d1")) == "Rd1"
    assert by_rank.name(chess.Move.from_uci("a1a4")) == "R1a4"
    apart = Judged.of(Library(tables), chess.Board("8/8/8/7k/8/8/8/R2R2K1 w - - 0 1"))
    assert apart.name(chess.Move.from_uci("a1b1")) == "Rab1"
    first_two = Judged.of(Library(tables), chess.Board("8/8/8/7k/8/8/8/QQ4K1 w - - 0 1"))
    assert first_two.name(chess.Move.from_uci("a1b2")) == "Qab2"


@pytest.mark.parametrize("ending", ["KQQQK", "KRRRK", "KNNNK"])
def test_of_three_of_a_kind_each_is_told_apart_as_the_library_does(tables: Tables, ending: str) -> None:
    """Without a solution of the ending: a name needs the legal moves alone, but for what gives check."""
    telling = {"Qa": 0, "Qa1": 0, "Q1": 0} if ending == "KQQQK" else {}
    for board in random_positions(ending, 250, 7):
        referee = cast("Referee", SimpleNamespace(board=board, steps=dict.fromkeys(board.legal_moves)))
        judged = Judged(Library(tables), referee)
        for move in board.legal_moves:
            if board.gives_check(move):
                continue
            name = board.san(move)
            assert judged.name(move) == name, board.fen()
            shape = re.sub("[a-h]", "a", re.sub("[1-8]", "1", name[:-2].rstrip("x")))
            telling = {kind: count + (kind == shape) for kind, count in telling.items()}
    assert all(count > 5 for count in telling.values()), telling


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP"])
def test_a_position_gone_on_to_is_judged_as_it_is_anew(tables: Tables, ending: str) -> None:
    for board in random_positions(ending, 6, 8):
        judged = Judged.of(Library(tables), board)
        for move in list(board.legal_moves)[:3]:
            after = board.copy()
            after.push(move)
            gone_on = judged.after(move)
            assert gone_on.ranking == ranked(after, tables)
            assert gone_on.board.fen() == after.fen()
            assert gone_on.referee.here() == Judged.of(Library(tables), after).referee.here()
            assert judged.board.fen() == board.fen()


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP", "KRKN"])
def test_the_best_moves_are_those_that_stand_first_when_all_are_ranked(tables: Tables, ending: str) -> None:
    random, unranked = Random(ending), 0
    for board in random_positions(ending, 60, 9):
        board.halfmove_clock = random.choice((0, 0, 40, 70, 90, 97))
        judged = Judged.of(Library(tables), board)
        found, unranked = judged.best, unranked + ("ranking" not in vars(judged))
        best = [item.move for item in judged.ranking if as_good(item, judged.ranking[0])]
        assert list(found) == (best if comparable(judged.ranking) else []), board.fen()
    assert unranked > 5


def test_the_best_moves_are_those_that_a_repetition_leaves(tables: Tables) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    for text in ("a1b1", "e4d5", "b1a1", "d5e4", "a1b1", "e4d5", "b1a1", "d5e4"):
        board.push_uci(text)
    judged = Judged.of(Library(tables), board)
    assert not judged.referee.plainly_best()
    assert judged.best[0] == judged.ranking[0].move
