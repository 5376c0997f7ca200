"""A ladder is one file: what it says is found, listed, taught and proved, and nothing else need be touched."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from matebot.cli import main
from matebot.method import plans

#: Two stages where the ladder that ships has three.
LADDER = """
from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.plans.shared import everywhere, on_the_edge

LADDERS = (
    Plan(
        "two steps",
        "KQK",
        (
            Stage("to the edge", "drive the king to the edge", "a queen that stands loose", everywhere),
            Stage(
                "mate there",
                "bring the king and mate",
                "stalemate",
                on_the_edge,
                conditions=(Condition.DEFENDER_ON_EDGE,),
                marks=(Condition.KING_AT_HAND,),
            ),
        ),
        heading="The queen in two steps",
        job="Drive it to the edge, mate it there.",
        why="In the open there is no mate.",
        figures=Figures((8, 8), 10, 5.7226, 10, 5.6167, 144_508),
        pictures=(Textbook("a king in the corner", "k7/2Q5/8/8/8/8/8/K7 b - - 0 1", 2),),
    ),
)
"""


@pytest.fixture
def one_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Lay a file beside the ladders that ship."""
    (tmp_path / "two_steps_of_a_test.py").write_text(LADDER, encoding="utf-8")
    monkeypatch.setattr(plans, "__path__", [*plans.__path__, str(tmp_path)])
    found = plans.discovered()
    assert [plan.name for plan in found["KQK"]] == ["edge", "two steps"]
    assert {ending: names for ending, names in found.items() if ending != "KQK"} == {
        ending: names for ending, names in plans.ALL_PLANS.items() if ending != "KQK"
    }
    # What takes long to teach and says nothing of the file.
    monkeypatch.setattr("matebot.lessons.model_game._STARTS", 2)
    monkeypatch.setattr("matebot.lessons.teaching.slips_taught", lambda *_: ())
    for table in (plans.ALL_PLANS, plans.PLANS):
        monkeypatch.setitem(table, "KQK", found["KQK"])


@pytest.mark.usefixtures("one_file")
def test_a_ladder_of_one_file_is_proved_listed_taught_and_explained(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["method", "KQK", "--ladder", "two steps"]
    assert main([*asked, "--brief", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)["ladders"]
    assert main([*asked, "--brief", "--json", "--prove"]) == 0
    assert json.loads(capsys.readouterr().out)["ladders"] == listed
    assert main([*asked, "--json"]) == 0
    (taught,) = json.loads(capsys.readouterr().out)["ladders"]
    assert (taught["job"], taught["where"]) == ("Drive it to the edge, mate it there.", "In the open there is no mate.")
    last = taught["stages"][-1]
    assert [condition["condition"] for condition in last["conditions"]] == ["other king on the edge", "king at hand"]
    assert "A king in the corner. Black to move: drawn." in [example["caption"] for example in last["examples"]]
    assert main(["explain", "8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"]) == 0
    assert "By two steps: Stage 1 of 2: to the edge" in capsys.readouterr().out
