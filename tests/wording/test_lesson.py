"""The words of lessons: numbers, moves and squares that go in are there again, and each part where it belongs."""

from __future__ import annotations

import re

import pytest

from matebot.method.condition import Condition
from matebot.wording import lesson
from matebot.wording.practice import SLIPS, slip_name


def numbers(text: str) -> list[str]:
    return re.findall(r"\d+(?:[.,]\d+)?", text)


def in_order(text: str, *parts: str) -> bool:
    places = [text.find(part) for part in parts]
    return -1 not in places and places == sorted(places)


def test_every_condition_can_be_ticked_off_by_words_of_its_own() -> None:
    assert set(lesson.CONDITIONS) == set(Condition)
    assert len(set(lesson.CONDITIONS.values())) == len(Condition)


def test_only_what_is_used_is_explained_and_always_in_one_order() -> None:
    assert [lesson.legend({name})[1:-1] for name in lesson.LEGEND] == [text[1:] for text in lesson.LEGEND.values()]
    assert in_order(lesson.legend({"replies", "reach", "cage"}), "atched", "ramed", "ashed arrow")
    assert lesson.legend(set()) == ""
    assert [lesson.signs({sign}).split(": ", 1)[1] for sign in lesson.SIGNS] == [
        f"{sign} {text}." for sign, text in lesson.SIGNS.items()
    ]
    assert in_order(lesson.signs({":", "+", "*"}), "+ ", "* ", ": from")


@pytest.mark.parametrize("won", [True, False])
def test_an_example_tells_whose_move_it_is_and_what_comes_out(won: bool) -> None:
    text = lesson.example_caption("the pawn runs", "black", won)
    assert in_order(text, "The pawn runs.", "Black to move", "wins" if won else "drawn")
    assert ("wins" in text, "drawn" in text) == (won, not won)
    assert in_order(lesson.near_enough_caption("near enough"), "Near enough.", "wins", "draw")


def test_an_exercise_ends_with_mate_in_the_last_stage_and_with_a_number_of_moves_before() -> None:
    last, before = (lesson.task_caption(3, "drive the king", 1, last) for last in (True, False))
    assert last.startswith("3. Drive the king. Mate in 1")
    assert before.startswith("3. Drive the king. ")
    assert ("1 move." in before, "Mate" in before) == (True, False)
    assert lesson.stage_caption(2, "the box") == "2. The box"
    assert numbers(lesson.solution(4, "Kb2", 0)) == ["4", "2"]
    assert in_order(lesson.solution(4, "Ka1", 12), "4", "Ka1", "mate in 12")


def test_a_picture_in_words_names_the_men_then_whose_move_it_is_then_what_is_shown() -> None:
    text = lesson.alternative({"White": ["king a1", "rook b2"], "Black": ["king h8"]}, "white", "The box.")
    assert in_order(text, "White: king a1 and rook b2", "Black: king h8", "white to move", "The box.")


def test_the_budget_and_the_figures_are_told_by_their_numbers() -> None:
    assert numbers(lesson.budget_foot(40, 33, 20.26)) == ["40", "33", "20.3", "50"]
    assert numbers(lesson.start_words(33)) == ["33"]
    assert numbers(lesson.proved("0.1", 12_345)) == ["0.1", "12,345"]
    assert [numbers(lesson.stage_heading(2, 5, "x", most)) for most in (1, 9)] == [["2", "5", "1"], ["2", "5", "9"]]
    assert "1 move)" in lesson.stage_heading(2, 5, "x", 1)
    assert "9 moves)" in lesson.stage_heading(2, 5, "x", 9)
    for told in (lesson.cage_caption, lesson.box_caption):
        assert "1 square " in told("Kc2", 1)
        assert "Kc2" in told("Kc2", 7)
        assert "7 squares " in told("Kc2", 7)
    assert "; 1 more game " in lesson.left_out(1)
    assert "; 2 more games " in lesson.left_out(2)


def test_captions_name_moves_and_squares_where_they_belong() -> None:
    assert in_order(lesson.answer_caption("Nf7", "Kd8", "Ke6"), "Nf7", "Kd8", "Ke6")
    assert in_order(lesson.ready_caption("f7", "e4", "f6"), "knight f7", "bishop e4", "king f6")
    assert in_order(lesson.key_caption(["b6", "c6", "d6"]), "b6, c6 and d6")
    assert in_order(lesson.square_of_pawn("b3", "g8"), "b3", "g8")
    for told in (lesson.stalemate_caption, lesson.mate_caption, lesson.waiting_caption):
        assert "Qb6" in told("Qb6")
    assert lesson.mate_caption("Qb6") != lesson.stalemate_caption("Qb6")


@pytest.mark.parametrize("stage", [None, "the box"])
def test_a_position_of_a_game_stands_after_its_move_or_before_the_first(stage: str | None) -> None:
    after, before = lesson.position_caption(stage, 7, "6... Kd4"), lesson.position_caption(stage, 7, None)
    assert after.startswith("After 6... Kd4")
    assert before.startswith("Before move 7")
    assert all(text.endswith(": the box." if stage else f"{text[-2]}.") for text in (after, before))
    assert ("the box" in after) == (stage is not None)


def test_headings_of_slips_have_their_kind_and_stage() -> None:
    for kind in SLIPS:
        caption = lesson.slip_caption(kind)
        assert caption[1:-1] == slip_name(kind)[1:]
        heading = lesson.slip_heading(caption, 3)
        assert heading == f"{caption[:-1]} (stage 3):"
    assert in_order(lesson.trap(3, "stalemate"), "3", "stalemate.")
    assert in_order(lesson.beware("stalemate"), lesson.BEWARE, "stalemate.")
    assert lesson.to_move("black").startswith("Black ")


def test_commands_can_be_typed_as_they_stand() -> None:
    assert lesson.practise_command("KBNK", None, "attack") == "matebot practise --ending KBNK --as attack"
    assert "--stage 2 --as defence" in lesson.practise_command("KBNK", 2, "defence")
    assert lesson.practise_it("matebot x").endswith(": matebot x")
    assert lesson.another_ladder("KBNK", "the W").endswith("matebot method KBNK --ladder 'the W'")
    assert in_order(lesson.ladder_heading("The method", "the W"), "The method", "the W")


def test_titles_and_marks_belong_to_what_they_are_for() -> None:
    assert lesson.BUDGET_HEAD[0] == "stage"
    titles = (lesson.COACH_TITLE, lesson.DEMONSTRATION, lesson.ANNOTATED, lesson.LADDERS)
    assert all(word in title for word, title in zip(("lesson", "demon", "nnotated", "method"), titles, strict=True))
    assert ("x" in lesson.TICKED, "x" in lesson.UNTICKED) == (True, False)
    assert ("Tick" in lesson.TICK_OFF, "Know" in lesson.KNOW, "Beware" in lesson.BEWARE) == (True, True, True)


def test_who_made_a_sheet_and_how_to_have_it_again_is_told() -> None:
    text = lesson.source("0.1", "the W", 17)
    assert in_order(text, "0.1", "'the W'", "17")
    assert all("0.1" in told("0.1") for told in (lesson.made_by, lesson.annotated_source, lesson.coach_source))
