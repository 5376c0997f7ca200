"""Lines become commands as the UCI protocol description (April 2006) says; nothing else does."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.uci import messages as m
from matebot.uci.parser import parse
from matebot.uci.partnership import Question
from tests.uci.ways import CHARACTERS

FEN = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"

LINES: list[tuple[str, m.Command | None]] = [
    ("uci", m.Uci()),
    ("  uci\t", m.Uci()),
    ("joho debug on", m.Debug(True)),
    ("debug off", m.Debug(False)),
    ("debug", None),
    ("isready", m.IsReady()),
    ("setoption name MultiPV value 3", m.SetOption("MultiPV", "3")),
    ("setoption name Table Folder value a folder", m.SetOption("Table Folder", "a folder")),
    ("setoption name Clear All", m.SetOption("Clear All", None)),
    ("setoption name Table Folder value", m.SetOption("Table Folder", "")),
    ("setoption value 3", m.SetOption("", None)),
    ("setoption", m.SetOption("", None)),
    ("register later", m.Register()),
    ("register name A B code 12", m.Register()),
    ("ucinewgame", m.NewGame()),
    ("position startpos", m.Position(None)),
    ("position startpos moves e2e4 e7e5", m.Position(None, ("e2e4", "e7e5"))),
    (f"position fen {FEN}", m.Position(FEN)),
    (f"position fen {FEN} moves a1b1", m.Position(FEN, ("a1b1",))),
    ("position fen 8/8/8/8/4k3/8/8/K1BN4 w - -", m.Position("8/8/8/8/4k3/8/8/K1BN4 w - -")),
    ("position", m.Position("")),
    ("go", m.Go(Question())),
    ("go infinite", m.Go(Question(infinite=True))),
    ("go ponder wtime 1 btime 2", m.Go(Question(ponder=True, white_ms=1, black_ms=2))),
    (
        "go movestogo 3 binc 4 winc 5 btime 6 wtime 7",
        m.Go(
            Question(moves_to_go=3, black_increment_ms=4, white_increment_ms=5, black_ms=6, white_ms=7),
        ),
    ),
    ("go depth 5 nodes 6 mate 7 movetime 8", m.Go(Question(depth=5, nodes=6, mate=7, movetime_ms=8))),
    ("go searchmoves a1b1 a1a2 infinite", m.Go(Question(search_moves=("a1b1", "a1a2"), infinite=True))),
    ("go searchmoves a1b1 ponder", m.Go(Question(search_moves=("a1b1",), ponder=True))),
    ("go searchmoves a1b1 depth 3", m.Go(Question(search_moves=("a1b1",), depth=3))),
    ("go depth", m.Go(Question())),
    ("go depth x", m.Go(Question())),
    ("go wtime -5", m.Go(Question(white_ms=-5))),
    ("stop", m.Stop()),
    ("ponderhit", m.PonderHit()),
    ("quit", m.Quit()),
    ("", None),
    ("nonsense and more of it", None),
]


@pytest.mark.parametrize(("line", "command"), LINES)
def test_a_line_becomes_its_command(line: str, command: m.Command | None) -> None:
    assert parse(line) == command


@pytest.mark.parametrize(("line", "command"), LINES)
def test_unknown_words_in_front_change_nothing(line: str, command: m.Command | None) -> None:
    assert parse(f"joho  \t {line} ") == command


@pytest.mark.parametrize(("line", "command"), [entry for entry in LINES if "value a folder" not in entry[0]])
def test_odd_white_space_changes_nothing(line: str, command: m.Command | None) -> None:
    assert parse(line.replace(" ", " \t  ")) == command


def test_white_space_inside_a_value_is_part_of_it() -> None:
    assert parse("setoption name Table  Folder value  a  b ") == m.SetOption("Table Folder", "a  b")


def test_a_known_word_with_an_unusable_rest_does_not_let_a_later_word_command() -> None:
    """The protocol leaves ``debug joho on`` undefined; nothing is the safe reading."""
    assert parse("debug joho on") is None
    assert parse("debug quit") is None


@given(st.text(CHARACTERS))
def test_no_text_makes_the_parser_raise(line: str) -> None:
    parse(line)


WORDS = [*sorted({word for line, _ in LINES for word in line.split()}), "value", "name", "-1", "9" * 30]


@given(st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join))
def test_no_mixture_of_known_words_makes_the_parser_raise(line: str) -> None:
    parse(line)


def test_a_hundred_thousand_moves_are_one_command() -> None:
    command = parse("position startpos moves " + "g1f3 " * 100_000)
    assert isinstance(command, m.Position)
    assert len(command.moves) == 100_000
