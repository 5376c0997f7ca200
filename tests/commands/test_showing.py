"""The commands that show: demonstrate, explain and method, as a coach would call them."""

from __future__ import annotations

import json
import re
from argparse import ArgumentParser
from itertools import groupby
from pathlib import Path

import chess
import chess.pgn
import pytest

from matebot.cli import main
from matebot.commands import practise
from matebot.method.ladder import Rung
from matebot.method.plans import PLANS
from matebot.method.standing import Standing
from matebot.wording import stages

KBNK = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
MATE_IN_2 = "8/8/8/8/8/k1K5/8/3R4 b - - 0 1"


def test_demonstrate_plays_the_longest_bishop_and_knight_win_to_mate(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    pgn = tmp_path / "game.pgn"
    assert main(["demonstrate", "--attack", "method", "--pgn", str(pgn)]) == 0
    out = capsys.readouterr().out
    assert "White mates in 33, White to move." in out
    assert "Black is checkmated." in out
    assert not re.search(r"(?<!--)[Ss]tage \d", out)
    with pgn.open() as file:
        game = chess.pgn.read_game(file)
    assert game is not None
    assert not game.errors
    assert game.end().board().is_checkmate()
    moves = (len(list(game.mainline_moves())) + 1) // 2
    words = " ".join([game.comment, *(node.comment for node in game.mainline())]).replace("\n", " ")
    for aim in ("bring king, bishop and knight together", "lead the king along the edge", "keep the king inside"):
        assert words.count(f"Next: {aim}") == 1  # each change of stage is told once, with a board
        assert sum(f"Next: {aim}"[:30] in line for line in out.splitlines()) == 1
    in_sum = out[out.index("In sum") :].splitlines()
    stages = [re.split(r"  +", line) for line in in_sum[2 : in_sum.index("")]]
    assert sum(int(row[1]) for row in stages[:-1]) == int(stages[-1][1]) == moves
    assert all(int(row[1]) <= int(row[2]) for row in stages)
    assert "No slips." in in_sum
    assert max(map(len, out.splitlines())) <= 78
    assert in_sum[-1].startswith("  matebot practise --ending KBNK --stage ")


def test_what_a_demonstration_says_to_practise_is_a_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demonstrate", MATE_IN_2]) == 0
    words = capsys.readouterr().out.splitlines()[-1].split()
    assert words[:2] == ["matebot", "practise"]
    parser = ArgumentParser()
    practise.add_arguments(parser)
    parsed = parser.parse_args(words[2:])
    assert (parsed.ending, parsed.stage, parsed.side) == ("KRK", "4", "attack")


def test_an_ending_without_stages_has_no_longest_one_to_practise(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demonstrate", "--ending", "KNNK"]) == 0
    last = capsys.readouterr().out.splitlines()[-2:]
    assert last == ["To practise it:", "  matebot practise --ending KNNK --as attack"]


def test_a_demonstration_counts_the_slips_of_a_defence_that_may_fall_short(capsys: pytest.CaptureFixture[str]) -> None:
    play = ["--ending", "KRK", "--defence", "centre", "--defence-margin", "20", "--json"]
    assert main(["demonstrate", *play]) == 0
    data = json.loads(capsys.readouterr().out)
    sooner = [move for move in data["moves"] if re.search(r"mate comes \d+ moves sooner", " ".join(move["sentences"]))]
    assert sooner
    assert data["summary"]["slips"] == [{"side": "defence", "kind": "mated sooner", "times": len(sooner)}]
    attack = [move for move in data["moves"] if move["turn"] == data["moves"][0]["turn"]]
    assert sum(stage["moves"] for stage in data["summary"]["stages"]) == len(attack)


def test_demonstrate_takes_a_position_and_the_options_of_play(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["demonstrate", "--fen", "8/8/8/3k4/8/8/8/R3K3 w - - 0 1", "--explanations", "off"]
    assert main([*arguments, "--attack", "method", "--defence", "changing", "--seed", "3"]) == 0
    first = capsys.readouterr().out
    assert main([*arguments, "--attack", "method", "--defence", "changing", "--seed", "3"]) == 0
    assert capsys.readouterr().out == first
    assert "takes" not in first


def test_explain_shows_outcome_stages_and_every_legal_move(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--fen", KBNK]) == 0
    out = capsys.readouterr().out
    assert "White mates in 30, White to move." in out
    assert "By edge and corner: Stage 1 of 4" in out
    assert "By shrinking triangles: Stage 1 of 4" in out
    listed = out[out.index("Legal moves") :].splitlines()[1:]
    assert len(listed) == chess.Board(KBNK).legal_moves.count()
    assert listed[0].split() == ["Kb2", "wins", "mate", "in", "30"]


def test_once_it_is_mate_no_aim_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--fen", "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1"]) == 0
    out = capsys.readouterr().out
    assert "Black is checkmated." in out
    assert "Stage" not in out
    assert "Aim" not in out


def test_explain_gives_facts_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--fen", KBNK, "--move", "Ne3", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["outcome"] == "win"
    assert data["plies_to_mate"] == 59
    assert not [key for key in data if key.startswith(("dtm", "dtz"))]
    assert [s["ladder"] for s in data["standings"]] == ["edge and corner", "shrinking triangles"]
    (move,) = data["moves"]
    assert move["san"] == "Ne3"
    assert move["moves_lost"] > 0
    assert move["sentences"]


def test_method_prints_the_proved_figures(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["method", "KRK", "--prove", "--brief", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["ending"] == "KRK"
    (ladder,) = data["ladders"]
    assert set(ladder) == {
        "name",
        "stages",
        "longest_moves",
        "mean_moves",
        "shortest_longest_moves",
        "shortest_mean_moves",
        "positions",
        "proved_by",
    }
    assert ladder["longest_moves"] == 20
    assert ladder["shortest_longest_moves"] == 16
    assert [set(stage) for stage in ladder["stages"]] == [{"title", "aim", "longest_moves"}] * 4


@pytest.mark.usefixtures("lessons_taught_once")
def test_method_teaches_one_ladder_and_lists_all_of_them(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["method"]) == 0
    table = capsys.readouterr().out
    assert main(["method", "KBNK", "--brief"]) == 0
    brief = capsys.readouterr().out
    assert brief in table
    assert brief.count("KBNK: ") == 2
    assert "Tick off" not in table
    assert main(["method", "pawn"]) == 0
    taught = capsys.readouterr().out
    assert "Tick off" in taught
    assert "matebot practise --ending KPK" in taught
    assert main(["method", "--ladder", "box"]) == 2
    assert "expected an ending with --ladder, got only 'box'" in capsys.readouterr().err
    assert main(["method", "KBNK", "--ladder", "box"]) == 2
    assert "expected a ladder of KBNK" in capsys.readouterr().err


@pytest.mark.usefixtures("lessons_taught_once")
def test_method_gives_as_data_the_parts_that_it_tells(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: python-chess tells which moves are checkmate, stalemate and legal."""
    assert main(["method", "KPK", "--json"]) == 0
    (ladder,) = json.loads(capsys.readouterr().out)["ladders"]
    kinds = [example["kind"] for stage in ladder["stages"] for example in stage["examples"]]
    assert kinds.count("square of the pawn") == 2
    assert chess.Board(ladder["stages"][-1]["examples"][-1]["fen"]).is_checkmate()
    for stage in ladder["stages"]:
        assert all(set(condition) == {"condition", "holds"} for condition in stage["conditions"])
        assert chess.Board(stage["position"]["fen"]).is_valid()
    assert len(ladder["slips"]) == 5
    assert all(slip["sentences"][0].startswith(slip["move"]) for slip in ladder["slips"])


@pytest.mark.usefixtures("lessons_taught_once")
@pytest.mark.parametrize("command", [["demonstrate", MATE_IN_2], ["explain", MATE_IN_2], ["method", "KPK"]])
def test_flip_shows_every_board_from_the_other_side(capsys: pytest.CaptureFixture[str], command: list[str]) -> None:
    assert main(command) == 0
    plain = capsys.readouterr().out
    assert main([*command, "--flip"]) == 0
    flipped = capsys.readouterr().out
    assert plain.count("a b c d e f g h") == flipped.count("h g f e d c b a") > 0
    assert "h g f e d c b a" not in plain
    assert "a b c d e f g h" not in flipped
    row = re.compile(r"(?<!\S)([1-8])  ((?:[^ ] ){7}[^ ])(?!\S)")
    seen = [[(match[1], match[2]) for match in row.finditer(text)] for text in (plain, flipped)]
    assert sorted((rank, men[::-1]) for rank, men in seen[0]) == sorted(seen[1])
    assert seen[0][0][0] == "8"
    assert seen[1][0][0] == "1"


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (["explain", "--fen", "x"], "expected a FEN of four to six fields, got 'x'"),
        (["explain", "--fen", chess.STARTING_FEN], "32 men: at most five are covered"),
        (["explain", "--fen", KBNK, "--move", "Ka3"], "expected a legal move in"),
        (["explain"], "expected a position in FEN, got none"),
        (["demonstrate", "--ending", "KNK"], "expected an ending the stronger side can win, got 'KNK'"),
        (["demonstrate", "--ending", "KXK"], "expected an ending such as KBNK"),
        (["demonstrate", "--ending", "KRK", "--fen", KBNK], "expected a position or an ending, got"),
        (["demonstrate", "--defence-margin", "99"], "expected a defence margin from 0 to 20 plies, got 99"),
        (["demonstrate", "--profile", "nobody"], "expected a profile"),
        (["method", "KRKR"], "expected an ending with a ladder"),
        (["verify", "KRK", "--count", "0"], "expected"),
        (["solve", "KXK"], "expected an ending such as KBNK"),
    ],
)
def test_a_wrong_call_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], arguments: list[str], complaint: str
) -> None:
    assert main(arguments) == 2
    captured = capsys.readouterr()
    assert complaint in captured.err
    assert len(captured.err.strip().splitlines()) == 1
    assert "Traceback" not in captured.err


def test_demonstrate_takes_the_explanations_of_a_profile_unless_told_otherwise(
    capsys: pytest.CaptureFixture[str],
) -> None:
    silent = ["demonstrate", "--fen", "k7/8/2K5/8/8/8/1Q6/8 w - - 0 1", "--profile", "before-the-tournament"]
    assert main(silent) == 0
    assert "# is checkmate" not in capsys.readouterr().out
    assert main([*silent, "--explanations", "full"]) == 0
    assert "# is checkmate" in capsys.readouterr().out


def _without_change(comment: str) -> str:
    """Return a comment without what it says of a change of stage."""
    for plan in PLANS["KBNK"]:
        for number in range(len(plan.stages)):
            begun = Standing(plan, Rung(number, 0), 0)
            for said in (" ".join(stages.change(begun)), stages.again(begun)):
                comment = comment.removesuffix(said).rstrip()
    return comment


@pytest.mark.parametrize("level", ["off", "brief", "full"])
def test_a_demonstration_explains_the_same_moves_on_the_screen_and_in_its_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, level: str
) -> None:
    """Brief tells the attacker's moves and the defender's slips, which a defence with a margin makes."""
    pgn = tmp_path / "game.pgn"
    play = ["--ending", "KBNK", "--defence", "corner", "--defence-margin", "20", "--explanations", level]
    assert main(["demonstrate", *play, "--pgn", str(pgn)]) == 0
    lines = capsys.readouterr().out.splitlines()
    groups = groupby(lines, key=lambda line: re.match(r" {8}\S", line) is not None)
    shown = [" ".join(" ".join(group).split()) for indented, group in groups if indented]
    with pgn.open() as file:
        game = chess.pgn.read_game(file)
    assert game is not None
    comments = [(node, " ".join(node.comment.split())) for node in game.mainline()]
    told = [(node, _without_change(comment)) for node, comment in comments]
    assert [text for _, text in told if text] == shown
    attack = [text for node, text in told if not node.turn()]
    defence = [text for node, text in told if node.turn()]
    assert all(attack) if level != "off" else not any(attack)
    assert all(defence) if level == "full" else any(defence) == (level == "brief")
    if level == "brief":
        assert all(
            re.search(r" mate comes (one move|\d+ moves) sooner( than after |\.$)", text) for text in defence if text
        )
        assert not all(defence)


def test_a_folder_in_the_place_of_a_file_is_refused_before_the_work(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["demonstrate", "--ending", "KQK", "--pgn", str(tmp_path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert f"got {str(tmp_path)!r}" in told.err
