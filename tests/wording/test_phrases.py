"""The small pieces of which sentences are made: what goes in can be read out again."""

from __future__ import annotations

import re

import pytest

from matebot.terms import Cause
from matebot.wording import outlook
from matebot.wording.moves import cut
from matebot.wording.phrases import (
    bounded,
    counted,
    line_name,
    listed,
    mate_in,
    other,
    rule_leaves,
    sentence,
    side,
    takes_clause,
)


@pytest.mark.parametrize("word", ["and", "or"])
def test_a_list_holds_its_items_in_order_the_last_two_joined_by_a_word(word: str) -> None:
    items = [f"item{number}" for number in range(6)]
    assert listed([], word) == ""
    for count in range(1, 6):
        text = listed(items[:count], word)
        assert re.split(rf", | {word} ", text) == items[:count]
        assert text.count(f" {word} ") == (count > 1)
    assert listed(items[:2]) == listed(items[:2], "and")


def test_only_one_is_singular() -> None:
    assert [counted(number, "move").endswith("moves") for number in range(4)] == [True, False, True, True]
    assert [int(counted(number, "move").split()[0]) for number in range(40)] == list(range(40))


@pytest.mark.parametrize("exact", [True, False])
def test_a_bound_is_never_given_as_the_number(exact: bool) -> None:
    for text in (bounded(30, exact), mate_in(30, exact)):
        assert text.endswith("30")
        assert ("at most" in text) == (not exact)
    assert mate_in(30, exact).startswith("mate in ")


def test_a_sentence_begins_with_a_capital_and_ends_once() -> None:
    for text in ("the king waits", " the king waits ", "the king waits.", "the king waits!", "what now?"):
        told = sentence(text)
        assert told[0].isupper()
        assert told[-1] in ".!?"
        assert told[-2].isalpha()
        assert told[1:].rstrip(".!?") == text.strip()[1:].rstrip(".!?")
        assert sentence(told) == told
    for text in ("a2 is guarded.", "bxc3 takes the pawn."):
        assert sentence(text) == sentence(text[:-1]) == text
    assert [sentence(text)[0] for text in ("box it in", "extra", "x1", "a9", "exit c3")] == ["B", "E", "x", "A", "E"]


def test_sides_and_lines_have_names() -> None:
    assert [other("white"), other("black")] == ["black", "white"]
    assert side("white") == "White"
    assert line_name("rank 5") == "rank 5"
    assert line_name("file e") == "the e-file"
    assert line_name("diagonal a2-g8") == "the diagonal a2-g8"


def test_a_guarded_man_is_not_called_loose() -> None:
    assert "loose" in takes_clause("rook", False)
    assert "loose" not in takes_clause("rook", True)
    assert all(takes_clause("rook", guarded).endswith("rook") for guarded in (True, False))


def test_what_the_rule_leaves_is_a_number_or_none() -> None:
    assert [re.findall(r"(\d+) moves?$", rule_leaves(left)) for left in (0, 1, 7)] == [[], ["1"], ["7"]]
    assert rule_leaves(0).endswith("no move")


@pytest.mark.parametrize("turn", ["white", "black"])
@pytest.mark.parametrize(("outcome", "plies"), [(1, 5), (1, 1), (-1, 4), (-1, 2)])
def test_who_mates_whom_in_how_many_moves(turn: str, outcome: int, plies: int) -> None:
    text = outlook.position(turn, outcome, Cause.FORCED, plies, True, ("rook",))
    winner = turn if outcome > 0 else {"white": "black", "black": "white"}[turn]
    assert text.startswith(winner.capitalize())
    assert f"{turn.capitalize()} to move" in text
    assert re.findall(r"\d+", text) == [str((plies + 1) // 2)]
    assert "at most" in outlook.position(turn, outcome, Cause.FORCED, plies, False, ("rook",))


@pytest.mark.parametrize("turn", ["white", "black"])
def test_why_nobody_wins(turn: str) -> None:
    mated = outlook.position(turn, -1, Cause.CHECKMATE, 0, True, ("rook",))
    assert mated.startswith(turn.capitalize())
    assert "checkmate" in mated
    told = {cause: outlook.position(turn, 0, cause, None, True, ("bishop",)) for cause in Cause}
    drawn = {text for cause, text in told.items() if cause is not Cause.CHECKMATE}
    assert all(text.startswith("Drawn") for text in drawn)
    assert len(drawn) == len(told) - 1
    assert "fifty" in told[Cause.FIFTY_MOVES]
    assert "king and bishop" in told[Cause.DEAD_POSITION]
    assert len({outlook.dead(men) for men in ((), ("knight",), ("bishop", "bishop"))}) == 3


def test_the_count_of_a_side_tells_its_numbers() -> None:
    text = outlook.tally(3, True, 0, 0, 41)
    assert re.findall(r"\d+", text) == ["3", "41"]
    assert "at least" not in text
    assert "given away" not in text
    text = outlook.tally(1, False, 1, 3, 0)
    assert "at least 1 move lost" in text
    assert "win given away once" in text
    assert "draw given away 3 times" in text
    assert "twice" in outlook.tally(0, True, 2, 0, 9)
    assert outlook.tally(0, True, 0, 2, 9).count("given away") == 1


def test_what_is_said_of_ladders_names_them() -> None:
    assert "the W" in outlook.outside("the W")
    assert all(word in outlook.unsolved("the W", "KRPKR") for word in ("the W", "KRPKR"))
    assert "KQKR" in outlook.without_ladder("KQKR")
    assert outlook.repeatable(17).endswith("17")
    assert outlook.expected(("Kb2", "Kd4")) == "Expect Kb2 Kd4."


def test_a_sentence_is_cut_at_its_last_break_as_often_as_need_be_and_nowhere_else() -> None:
    assert cut("takes the rook, and wins the knight: if Kd4, Kxe4.", 50) == (
        "takes the rook, and wins the knight: if Kd4, Kxe4."
    )
    assert cut("takes the rook, and the knight; mate follows.", 31) == "takes the rook, and the knight."
    assert cut("takes the rook, and the knight; mate follows.", 30) == "takes the rook."
    assert cut("takes the rook and the knight.", 10) == "takes the rook and the knight."
