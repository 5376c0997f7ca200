"""Options are declared, accepted and refused as the protocol and their table say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from matebot.commentary import LEVELS
from matebot.play.choice import ATTACKS, DEFENCES
from matebot.settings import setting_names
from matebot.uci.options import OPTIONS, Option, accept

README = Path(__file__).parents[2] / "README.md"


def option(name: str) -> Option:
    return next(o for o in OPTIONS if o.name == name)


@pytest.mark.parametrize(
    ("given_option", "line"),
    [
        (Option("A B", "check", True), "option name A B type check default true"),
        (Option("N", "spin", 2, 1, 3), "option name N type spin default 2 min 1 max 3"),
        (Option("C", "combo", "x", choices=("x", "y z")), "option name C type combo default x var x var y z"),
        (Option("S", "string", ""), "option name S type string default <empty>"),
        (Option("B", "button"), "option name B type button"),
    ],
)
def test_each_kind_is_declared_in_the_words_of_the_protocol(given_option: Option, line: str) -> None:
    assert given_option.declaration() == line


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("multipv", "3", 3),
        ("MULTIPV", "1", 1),
        ("defence margin", "0", 0),
        ("Ponder", "TRUE", True),
        ("attack", "METHOD", "method"),
        ("table  folder", "a b", "a b"),
        ("Table Folder", "<empty>", ""),
        ("Defence", "Varied", "changing"),
    ],
)
def test_names_and_choices_have_no_case_and_former_words_are_taken(name: str, text: str, value: object) -> None:
    assert accept(name, text)[1] == value


@pytest.mark.parametrize(
    ("name", "text", "complaint"),
    [
        ("MultiPV", "0", "expected a whole number from 1 to 500 for MultiPV, got '0'"),
        ("MultiPV", None, "expected a whole number from 1 to 500 for MultiPV, got None"),
        ("MultiPV", "9" * 40, "expected a whole number"),
        ("MultiPV", "\N{ARABIC-INDIC DIGIT THREE}", "expected a whole number"),
        ("Ponder", "yes", "expected true or false for Ponder, got 'yes'"),
        ("Attack", "wild", "expected one of shortest, method for Attack, got 'wild'"),
        ("Nothing", "1", "expected one of the options Attack, "),
    ],
)
def test_a_bad_value_is_refused_with_what_is_allowed(name: str, text: str | None, complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint.replace("(", r"\(")):
        accept(name, text)


def test_a_button_takes_no_value() -> None:
    button = Option("B", "button")
    assert button.accept(None) is True
    with pytest.raises(ValueError, match="expected no value for B, got 'x'"):
        button.accept("x")


def test_the_table_offers_what_the_program_knows() -> None:
    assert option("Attack").choices == ATTACKS
    assert option("Defence").choices == DEFENCES
    assert option("Explanations").choices == LEVELS
    assert option("Profile").choices == ("none", *setting_names("profiles"))


def test_the_readme_lists_every_option_with_what_it_allows_and_begins_with() -> None:
    rows = re.findall(r"^\| `([^`]+)` \| (.*?) ?\| (.*?) ?\|", README.read_text(encoding="utf-8"), re.MULTILINE)
    listed = {name: (values, default) for name, values, default in rows}
    for entry in OPTIONS:
        values, default = listed[entry.name]
        if entry.kind == "spin":
            assert [int(number) for number in re.findall(r"\d+", values)] == [entry.low, entry.high]
        elif entry.kind == "combo":
            names = values.replace("or a name below", ", ".join(setting_names("profiles")))
            assert tuple(names.split(", ")) == entry.choices
        if entry.kind != "string":
            assert default == str(entry.default).lower()


def test_every_default_is_itself_allowed() -> None:
    for entry in OPTIONS:
        assert (
            entry.accept(str(entry.default).lower() if entry.kind == "check" else str(entry.default)) == entry.default
        )
        assert entry.help
