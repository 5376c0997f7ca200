"""What is said of practice: which of its parts are there, in which order, and with which numbers."""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import product

import pytest

from matebot.wording import practice
from matebot.wording.practice import SLIPS, WORDS

TODAY = date(2026, 2, 27)
SOON = TODAY + timedelta(days=3)


def numbers(text: str) -> list[str]:
    return re.findall(r"\d+", text)


def in_order(text: str, *parts: str) -> bool:
    places = [text.find(part) for part in parts]
    return -1 not in places and places == sorted(places)


def test_an_ending_is_named_by_its_men_and_what_is_none_as_it_is() -> None:
    named = {code: practice.ending_name(code) for code in ("KQQQK", "KRRK", "KBNK", "KRPKR", "KNNKQ")}
    assert [code for code, name in named.items() if " against " in name] == ["KRPKR", "KNNKQ"]
    assert [name.split()[0] for name in named.values()] == ["three", "two", "bishop", "rook", "two"]
    assert [name.count(" and ") for name in named.values()] == [0, 0, 1, 1, 0]
    assert named["KNNKQ"].endswith("knights against queen")
    assert [practice.ending_name(text) for text in ("KK", "", "krk", "KRK ")] == ["KK", "", "krk", "KRK "]
    assert [practice.plot_title(code)[:4] for code in ("KQK", "KNNK")] == ["Quee", "Two "]
    assert practice.plot_title("KRK")[1:] == practice.ending_name("KRK")[1:]


def test_an_exercise_has_its_stage_and_title_where_there_is_one() -> None:
    assert practice.exercise_name("KRK", 0, "attack", "box").endswith("rook, attack")
    assert practice.exercise_name("KRK", 3, "defence").endswith("rook, stage 3, defence")
    assert practice.exercise_name("KRK", 3, "attack", "box").endswith("rook, stage 3 (box), attack")


def test_slips_have_a_name_for_one_and_one_for_several_and_are_counted_in_their_order() -> None:
    assert all(practice.slip_name(slip) != practice.slip_name(slip, 2) for slip in SLIPS)
    assert len({practice.slip_name(slip, times) for slip in SLIPS for times in (1, 2)}) == 2 * len(SLIPS)
    assert all(len(many) > len(one) or many.startswith("men ") for one, many in SLIPS.values())
    assert practice.slip_name("of another version", 3) == "of another version"
    text = practice.slips_counted([("slow", 3), ("stalemate", 1)])
    assert in_order(text, "3 slow moves", "1 stalemate")
    assert text in practice.slips_line([("slow", 3), ("stalemate", 1)])
    assert "No" in practice.slips_line([])


def test_every_grade_of_either_side_has_words_of_its_own() -> None:
    graded = [practice.grade_name(side, grade) for side, grade in product(("attack", "defence"), range(1, 5))]
    assert len({*graded, practice.grade_name("attack", None)}) == 9
    # What was flawed in an attack may have been left unwon: a stage that the game went back from.
    assert ["won" in text for text in graded[:4]] == [True, False, True, True]
    assert practice.result_text("something new") == "Something new."
    assert "won" in practice.result_text("won")


def test_a_day_is_told_beside_today() -> None:
    told = {days: practice.day_text(TODAY + timedelta(days=days), TODAY) for days in (-9, -2, -1, 0, 1, 2, 9)}
    assert [told[days] for days in (-1, 0, 1)] == ["yesterday", "today", "tomorrow"]
    for days in (-9, -2, 2, 9):
        assert numbers(told[days])[0] == str(abs(days))
        assert (TODAY + timedelta(days=days)).isoformat() in told[days]
        assert told[days].startswith(f"in {days} days" if days > 0 else f"{-days} days ago")


def test_what_is_due_is_told_by_its_day_and_why_it_is_due_at_once() -> None:
    assert (
        practice.due_text(SOON, TODAY, True) == practice.due_text(SOON, TODAY, False) == practice.day_text(SOON, TODAY)
    )
    for day in (TODAY, TODAY - timedelta(days=4)):
        assert practice.due_text(day, TODAY, True) == "now"
        assert "no game" in practice.due_text(day, TODAY, False)
    assert [numbers(practice.reason_due(days, [])) for days in (-1, 0, 1, 12)] == [[], [], ["1"], ["12"]]
    assert practice.reason_due(1, []).endswith("day")
    assert in_order(practice.reason_due(2, [("slow", 4)]), "2 days", "lately", "4 slow moves")
    assert practice.day_text(SOON, TODAY) in practice.reason_early(SOON, TODAY)


def test_the_task_names_colour_and_side_and_help_every_word_with_its_meaning() -> None:
    for colour in ("white", "black"):
        attack, defence = (practice.task(colour, side, colour == "white") for side in ("attack", "defence"))
        assert colour.capitalize() in attack
        assert colour.capitalize() in defence
        assert ("mate" in attack, "hold" in defence, "mate" in defence) == (True, True, False)
        assert {"flip" in text and "Black's side" in text for text in (attack, defence)} == {colour == "black"}
    lines = practice.help_lines()
    assert [line.split()[0] for line in lines] == list(WORDS)
    assert all(line.endswith(meaning) for line, meaning in zip(lines, WORDS.values(), strict=True))
    assert len({line.index(meaning) for line, meaning in zip(lines, WORDS.values(), strict=True)}) == 1
    assert lines[0].startswith("  hint  ")


def test_hints_and_costs_tell_their_numbers() -> None:
    assert [numbers(practice.hint_distance(moves, "attack")) for moves in (1, 9)] == [["1"], ["9"]]
    assert "Mate" in practice.hint_distance(9, "attack")
    assert [practice.hint_distance(moves, "defence").split(" for ")[1] for moves in (1, 9)] == ["1 move.", "9 moves."]
    assert practice.lost_text(None) == "unknown"
    assert [practice.lost_text(2.46), practice.lost_text(2.46, 1)] == ["2", "2.5"]
    assert practice.best_heading("attack") != practice.best_heading("defence")
    assert "method" in practice.best_heading("attack")


@pytest.mark.parametrize("more", range(3))
def test_a_coach_is_told_first_what_is_due_longest_then_what_is_new_then_where_most_is_lost(more: int) -> None:
    due = [("the first", [("slow", 2)], 5), *[(f"number {n}", (), 0) for n in range(more)]]
    said = practice.coach_words(due, "the new one", ("the later one", SOON), ("the worst", 3.14), TODAY)
    assert len(said) == 3
    assert in_order(" ".join(said), "the first", "5 days", "2 slow moves", "the new one", "the worst", "3.1 a game")
    assert not any("number" in text or "the later one" in text for text in said)
    assert re.findall(r"(\d+) more (is|are) due", said[0]) == [[], [("1", "is")], [("2", "are")]][more]
    assert practice.coach_words(due, None, None, None, TODAY) == said[:1]


def test_where_nothing_is_due_a_coach_is_told_what_comes_next() -> None:
    new = practice.coach_words([], "the new one", ("the later one", SOON), None, TODAY)
    later = practice.coach_words([], None, ("the later one", SOON), None, TODAY)
    assert [len(new), len(later)] == [1, 1]
    assert ("the new one" in new[0], "the later one" in new[0]) == (True, False)
    assert ("the later one" in later[0], practice.day_text(SOON, TODAY) in later[0]) == (True, True)
    assert practice.coach_words([], None, None, None, TODAY) == []
    assert practice.nothing_due("the new one", None, TODAY) == new[0]
    assert practice.nothing_due(None, ("the later one", SOON), TODAY) == later[0]
    assert practice.nothing_due(None, None, TODAY) == practice.NOTHING_YET


def test_headings_and_lines_of_lists_tell_their_names_and_numbers() -> None:
    assert in_order(practice.progress_title("Mia", 5, 4), "Mia", "5 games", "4")
    assert in_order(practice.due_heading("Mia", 1), "Mia", "1 exercise due")
    assert in_order(practice.due_line(7, "a", "b"), "7", "a", "b")
    assert len(practice.due_line(7, "a", "b")) == len(practice.due_line(77, "a", "b"))
    assert in_order(practice.clock_behind("Mia", SOON, TODAY), "Mia", TODAY.isoformat(), SOON.isoformat())
    for said in (practice.forgotten("Mia", 1), practice.record_line("Mia", 1)):
        assert "Mia" in said
        assert "1 game" in said
        assert "games" not in said
    assert (practice.PROGRESS_HEAD[0], practice.PROGRESS_HEAD[-1]) == ("exercise", "due")
    assert (practice.COACH_HEAD[0], practice.COACH_HEAD[-1]) == ("pupil", "practise next")
    assert in_order(practice.due_again("a", SOON, TODAY), "a", practice.day_text(SOON, TODAY))


def test_games_taken_in_are_counted_and_so_are_the_others_by_their_reason() -> None:
    assert numbers(practice.taken("Mia", {})) == ["0"]
    assert numbers(practice.taken("Mia", {"kept": 1})) == ["1"]
    text = practice.taken("Mia", {"other": 4, "kept": 9, "known": 2, "empty": 3})
    assert numbers(text) == ["9", "2", "3", "4"]
    assert in_order(text, "9 games of Mia", "2 there already", "3 without a covered move", "4 without the pupil")


@pytest.mark.parametrize("text", ["Kd9", "it's", '"'])
def test_what_was_typed_is_repeated_as_it_was(text: str) -> None:
    assert practice.not_a_move(text).endswith(f"got {text!r}")
    several = practice.several_moves(text, ("Nbd2", "Nfd2"))
    assert several.endswith(f"got {text!r}")
    assert in_order(several, "Nbd2", " or ", "Nfd2")


def test_the_games_of_a_pupil_are_named_by_the_first_and_the_last() -> None:
    told = {numbers: practice.no_game(numbers, "Mia") for numbers in ((), (4,), (4, 7), (1, 2, 9))}
    assert [re.search(r"Mia \((.*?);", text)[1] for text in told.values()] == ["none", "4", "4 to 7", "1 to 9"]  # type: ignore[index]
