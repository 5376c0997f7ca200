"""Plans of lessons are read, refused where they say what cannot be, and followed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from matebot.errors import UserError
from matebot.lessons.ending import lesson, lesson_sheet
from matebot.lessons.exercises import exercises
from matebot.lessons.html import page
from matebot.lessons.lesson_plans import LessonPlan, changed, plan_for, read_plan
from matebot.lessons.model_game import ByLadder
from matebot.lessons.taught import Taught
from matebot.method.library import Library
from matebot.settings import setting_names
from matebot.solver.tables import Tables
from tests.counting import every_day
from tests.lessons.conftest import Ladder
from tests.lessons.reading import document, pictures

pytestmark = pytest.mark.usefixtures("lessons_taught_once")


#: One of another's letters, and one of some stages of the board turned left to right.
_EVERY_DAY = ("german-letters", "second-evening")


@every_day(_EVERY_DAY, tuple(name for name in setting_names("lessons") if name not in _EVERY_DAY), "name")
def test_every_plan_that_ships_makes_a_page_with_its_exercises(tables: Tables, name: str) -> None:
    plan = read_plan(name)
    root = document(page(lesson(Library(tables), plan_for(plan), plan)))
    solved = [item for item in root.iter("li") if (item.text or "").startswith("Exercise ")]
    assert len(solved) == plan.exercises > 0
    stages = list(root.iter("section"))[1]
    assert len(pictures(stages)) == len(plan.chosen(plan_for(plan)))


def test_plans_ship() -> None:
    assert len(setting_names("lessons")) >= 3


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("exercises = 3", "expected the key 'ending', got none"),
        ('ending = "KRKR"', "expected an ending with a ladder"),
        ('ending = "cheese"', "expected"),
        ("ending = 7", "expected a text for 'ending', got 7"),
        ('ending = "KRK"\nladder = "stairs"', "expected a ladder of KRK ('box'), got 'stairs'"),
        ('ending = "KRK"\nstages = [5]', "expected stages from 1 to 4"),
        ('ending = "KRK"\nstages = []', "expected a list of stages, got []"),
        ('ending = "KRK"\nstages = [true]', "expected stages from 1 to 4"),
        ('ending = "KRK"\nexercises = 61', "expected a number of exercises from 0 to 60, got 61"),
        ('ending = "KRK"\nexercises = true', "expected a number of exercises from 0 to 60, got True"),
        ('ending = "KRK"\nseed = -1', "expected a seed from 0 to 2147483647, got -1"),
        ('ending = "KRK"\nmirror = "yes"', "expected true or false for 'mirror', got 'yes'"),
        ('ending = "KRK"\nletters = "KKTLSB"', "expected six different letters of the men"),
        ('ending = "KRK"\nletters = "<b>abc"', "expected six different letters of the men"),
        ('ending = "KRK"\ncolour = "red"', "expected only the keys description, ending"),
    ],
)
def test_a_plan_that_cannot_be_followed_is_refused_with_its_file(tmp_path: Path, text: str, fault: str) -> None:
    place = tmp_path / "mine.toml"
    place.write_text(text, encoding="utf-8")
    with pytest.raises(UserError) as caught:
        read_plan(str(place))
    assert str(caught.value).startswith(f"{place}: {fault}")


def test_what_is_given_beside_a_plan_counts_more() -> None:
    plan = LessonPlan("KBNK", "shrinking triangles", (1,), 3, 5, True, "KDTLSB")
    assert changed(plan, {"exercises": "9"}) == LessonPlan("KBNK", "shrinking triangles", (1,), 9, 5, True, "KDTLSB")
    assert changed(plan, {"ending": "KRK"}) == LessonPlan("KRK", None, (), 3, 5, True, "KDTLSB")


def test_letters_of_the_men_are_used_in_pictures_moves_and_words(
    tables: Tables, taught: Callable[[Ladder], Taught]
) -> None:
    wanted = changed(None, {"ending": "KBNK", "letters": "German", "exercises": 2})
    plan = plan_for(wanted)
    tasks = exercises(ByLadder(Library(tables), plan), 2, wanted.seed, False, wanted.chosen(plan))
    root = document(page(lesson_sheet(taught((plan.ending, plan.name)), tasks, wanted)))
    # From memory: German writes K, D, T, L, S for king, queen, rook, bishop, knight.
    text = " ".join(root.itertext())
    assert "After Se5, if Kd8, then Ke6." in text
    assert "Ld3 shuts the cage" in text
    guards = {mark.text for mark in root.iter("text") if mark.get("data-square")}
    assert guards
    assert set("".join(filter(None, guards))) <= set("KLS")
    moves = [item.text or "" for item in root.iter("li")]
    assert not [move for move in moves if " B" in move or " N" in move]
