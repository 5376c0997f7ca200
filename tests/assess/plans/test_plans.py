"""Plans, requirements and suites: what is read, what is refused, and in which words."""

from __future__ import annotations

import re
from argparse import ArgumentParser
from pathlib import Path

import pytest

from matebot.assess.judging.measures import Measured
from matebot.assess.judging.requirements import Requirement
from matebot.assess.judging.results import PARTS
from matebot.assess.judging.truth import SharedTruth
from matebot.assess.plans.plan import (
    AssessmentPlan,
    make_plan,
    merged,
    plan_from_data,
    read_plan,
)
from matebot.assess.plans.tasks import make_tasks
from matebot.assess.reports.report import quantity
from matebot.commands.assess import add_arguments
from matebot.errors import UserError
from matebot.settings import setting_names
from matebot.solver.tables import Tables
from tests.assess.command import Assess, small


@pytest.mark.parametrize("name", setting_names("plans"))
def test_every_plan_that_ships_can_be_copied_and_used(name: str) -> None:
    plan = make_plan(merged(read_plan(name), {"engine": "some-engine"}))
    assert plan.engine == "some-engine"
    assert plan.require


def test_two_plans_ship() -> None:
    assert {"every-build", "bishop-and-knight"} <= set(setting_names("plans"))


def test_a_plan_is_run_and_the_command_line_has_the_last_word(assess: Assess, tmp_path: Path) -> None:
    assess.suite()
    path = tmp_path / "mine.toml"
    path.write_text(
        f"engine = {small('none')!r}\nsuite = 'suite.epd'\nas = 'attack'\nnodes = 5\nrequire = ['wins==1']\n"
        "[option]\nPatience = 3\n"
    )
    run = assess("--plan", str(path), "--movetime", "50", "--seed", "9")
    assert run.status == 0
    plan = run.report["plan"]
    assert (plan["movetime"], plan["nodes"], plan["seed"], plan["count"]) == (50, None, 9, None)
    assert plan["option"] == {"Patience": "3"}
    assert len(run.report["games"]) == 2


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("colour = 'red'", "only the keys description, engine, against, ending"),
        ("count = 'many'", "type int for 'count', got 'many'"),
        ("count = true", "type int for 'count', got True"),
        ("patience = inf", "0.05 to 86400 for 'patience', got inf"),
        ("patience = nan", "0.05 to 86400 for 'patience', got nan"),
        ("movetime = 99999999999999999999", "1 to 86400000 for 'movetime'"),
        ("clock = '999999999999+1'", "at most a day, in seconds"),
        ("count = 0", "1 to 1000000000 for 'count', got 0"),
        ("as = 'spectator'", "for 'as', got 'spectator'"),
        ("ending = ['KQQQQK']", "got 'KQQQQK'"),
        ("ending = []", "at least one ending"),
        ("clock = 'noon'", "a clock such as '10+0.1' (at most a day, in seconds), got 'noon'"),
        ("nodes = 5\ndepth = 3", "one of the limits movetime, nodes, depth, clock, got nodes and depth"),
        ("require = ['wins']", "a requirement such as 'wins>=0.95', got 'wins'"),
        ("defence = 'none'", "longest, changing for 'defence'"),
        ("jobs = 1000", "1 to 64 for 'jobs', got 1000"),
        ("against = 'x'\nas = 'defence'", "with a second engine"),
        ("what is this", "expected TOML"),
        ("suite = ''", "a value for 'suite', or no such key, got ''"),
        ("report = ['a.json', '']", "a value for 'report', or no such key, got ''"),
    ],
)
def test_a_wrong_plan_is_refused_with_its_name(
    text: str, reason: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("mine.toml").write_text(text)
    with pytest.raises(UserError) as caught:
        read_plan("mine.toml")
    assert str(caught.value).startswith("mine.toml: expected")
    assert reason in str(caught.value)


def test_the_former_word_for_a_changing_defence_is_taken_in_files_reports_and_on_the_command_line(
    tmp_path: Path,
) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("defence = 'varied'")
    old = make_plan(read_plan(str(path)))
    assert old.defence == "changing"
    assert plan_from_data({**old.as_data(), "defence": "varied"}) == old
    parser = ArgumentParser()
    add_arguments(parser)
    assert parser.parse_args(["--defence", "varied"]).defence == "changing"


def test_the_default_plan_is_sound() -> None:
    plan = make_plan({})
    assert plan.parts == PARTS
    assert plan.movetime == 100
    assert AssessmentPlan(against="x").parts == ("attack",)


#: Requirement, a measured value (None: nothing to measure), whether it holds. The operators are arithmetic's.
HELD: list[tuple[str, float | None, bool | None]] = [
    ("wins>=0.95", 0.95, True),
    ("wins>=0.95", 0.949, False),
    ("wins > 0.5", 0.5, False),
    ("held>=0.95", None, None),
    ("wins<0.5", 0.4, True),
    ("wins<=0.5", 0.6, False),
    ("wins==1", 1, True),
    ("wins!=1", 1, False),
    ("excess_moves_mean<=3", None, None),
]


@pytest.mark.parametrize(("text", "value", "holds"), HELD)
def test_a_requirement_holds_or_not_or_says_nothing(text: str, value: float | None, holds: bool | None) -> None:
    requirement = Requirement.parse(text, PARTS)
    assert requirement.holds(value) is holds


@pytest.mark.parametrize("text", ["", "wins", "wins>=", "wins=>1", "wins>=one", "import os", "wins>=1;faults==0"])
def test_what_is_no_requirement_is_refused(text: str) -> None:
    with pytest.raises(UserError, match="a requirement such as"):
        Requirement.parse(text, PARTS)


@pytest.mark.parametrize(
    "text",
    [
        *("wins>=95", "wins>1", "wins==-0.1", "held<0", "wins<=1.01", "right_answers!=2"),
        *("faults<0", "faults==-1", "losses==0.5", "excess_moves_mean<0", "excess_moves_max==1.5", "games>=-1"),
    ],
)
def test_a_requirement_on_a_value_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(UserError, match=f"can meet .its values are (whole numbers )?from 0.*, got {text!r}"):
        Requirement.parse(text, PARTS)


@pytest.mark.parametrize(
    "text", ["wins>=1", "wins>0.99", "held<=0", "faults<=0", "faults<0.5", "excess_moves_mean<=2.5"]
)
def test_a_requirement_at_the_edge_of_what_can_be_is_taken(text: str) -> None:
    assert Requirement.parse(text, PARTS).text == text


def test_a_requirement_that_would_never_be_measured_is_refused() -> None:
    with pytest.raises(UserError, match="one of games, wins"):
        Requirement.parse("elegance>=1", PARTS)
    with pytest.raises(UserError, match="on the parts attack"):
        Requirement.parse("late_mates==0", ("attack",))
    with pytest.raises(UserError, match="a second engine"):
        Requirement.parse("against_wins>=1", ("attack",))
    taken = Requirement.parse("against_wins>=1", ("attack",), against=True)
    assert (taken.measure, taken.kind) == ("against_wins", "share")


def test_what_could_not_be_measured_is_said_and_is_no_success(assess: Assess) -> None:
    words = ("--as", "defence", "--ending", "KRK", "--count", "1", "--require", "held>=0.5")
    run = assess(*assess.engine("none"), *words)
    assert run.status == 2
    assert "expected games or questions that count for 'held>=0.5', got none" in run.err
    assert [item["holds"] for item in run.report["requirements"]] == [None]
    assert re.search(r"held>=0.5 +- +not measured", run.out)
    # What failed says more than what was not measured.
    assert assess(*assess.engine("random"), *words, "--require", "shortfall_moves_mean<=0").status == 1


@pytest.mark.parametrize("count", [2, 3, 4, 7])
@pytest.mark.parametrize("endings", [("KRK",), ("KQK", "KRK"), ("KQK", "KRK", "KBNK")])
def test_even_a_few_positions_have_every_outcome(tables: Tables, endings: tuple[str, ...], count: int) -> None:
    plan = make_plan({"ending": list(endings), "count": count})
    tasks = make_tasks(plan, SharedTruth(tables), None)
    assert {task.goal for task in tasks if task.part == "defence"} == {"last", "hold"}
    if count >= 2 * len(endings):
        found = {(task.ending, task.goal) for task in tasks if task.part == "defence"}
        assert found == {(ending, goal) for ending in endings for goal in ("last", "hold")}


def test_shares_and_means_tell_what_they_were_measured_over() -> None:
    assert quantity("share", Measured(0.95, 20)) == "0.950 (19 of 20)"
    assert quantity("share", Measured(1.0, 3)) == "1 (3 of 3)"
    assert quantity("mean", Measured(1.5, 12)) == "1.500 (over 12)"
    assert quantity("count", Measured(7, 7)) == "7"
    assert quantity("share", Measured(None, 0)) == "-"


#: A suite with one usable position, and for each other line what is said about it.
MIXED = """\
7k/8/5K2/8/8/8/6Q1/8 w - - id "usable";

8/8/8/8/8/8/8/8 w - -
nonsense
rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq -
7k/6Q1/6K1/8/8/8/8/8 b - -
"""
LEFT_OUT = {3: "no king", 4: "a position in EPD", 5: "at most five are covered", 6: "not over (checkmate)"}


def test_unusable_positions_are_named_skipped_and_counted_and_the_rest_is_measured(assess: Assess) -> None:
    run = assess(*assess.engine("none"), "--suite", assess.suite(MIXED), "--as", "attack")
    assert run.status == 2
    assert run.measures["wins"] == 1
    assert {item["line"] for item in run.report["skipped"]} == set(LEFT_OUT)
    for item in run.report["skipped"]:
        assert LEFT_OUT[item["line"]] in item["text"]
        assert f"line {item['line']}: {item['text']}" in run.err
    assert "Positions left out" in run.out


def test_a_suite_without_a_usable_position_is_refused(assess: Assess) -> None:
    assert "at least one usable position" in assess.error(*assess.engine("none"), "--suite", assess.suite("nonsense\n"))
    assert "a suite that can be read" in assess.error(*assess.engine("none"), "--suite", "nowhere.epd")


#: Options a build may give from a variable that is not set.
EMPTY = ("suite", "ending", "clock", "option", "against", "against-option", "require", "report", "pgn")


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["--ending", "KNK", "--as", "attack"], "positions for attack, got none in 'KNK'"),
        (["--plan", ""], "a plan (bishop-and-knight, every-build"),
        *((["--" + name, ""], f"a value after '--{name}', got ''") for name in EMPTY),
        (["--plan", "no-such-plan"], "a plan (bishop-and-knight, every-build"),
        (["--report", "run.txt"], "ending in .json or .xml or .md, got 'run.txt'"),
        (["--report", "no/such/folder/run.json"], "a folder that is there"),
        (["--engine", "'"], "a command line"),
        (["--suite", "a\0b"], "a suite that can be read"),
        (["--pgn", "a\0b"], "a file that can be written"),
    ],
)
def test_what_cannot_be_run_is_refused_before_anything_is_measured(
    assess: Assess, arguments: list[str], reason: str
) -> None:
    assert reason in assess.error("--engine", "matebot", *arguments)


def test_a_suite_may_hold_fens_and_begin_with_a_byte_order_mark(assess: Assess) -> None:
    suite = assess.suite('\ufeff7k/8/5K2/8/8/8/6Q1/8 w - - 30 16\nk7/8/2K5/8/8/8/5Q2/8 w - - id "b6";\n')
    run = assess(*assess.engine("none"), "--suite", suite, "--as", "attack")
    assert (run.status, run.report["skipped"]) == (0, [])
    assert [game["fen"].split()[4] for game in run.report["games"]] == ["30", "0"]


def test_a_report_that_could_not_be_written_is_refused_before_the_work(assess: Assess, tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"
    kept.write_text("as it was")
    # The text is swapped in from a file with a longer name, and that one is too long for any system.
    for option, name in (("--report", "a" * 250 + ".json"), ("--pgn", "a" * 251 + ".pgn")):
        words = ("--report", str(kept), option, str(tmp_path / name))
        assert "expected a file that can be written" in assess.error("--engine", "no-such-engine-anywhere", *words)
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [("kept.json", "as it was")]


def test_a_report_that_is_a_folder_is_refused_before_the_work(assess: Assess, tmp_path: Path) -> None:
    folder = tmp_path / "run.json"
    folder.mkdir()
    assert "expected a file in a folder that is there" in assess.error(*assess.engine("none"), "--report", str(folder))
