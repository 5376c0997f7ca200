"""The ideas in what `matebot explain --json` prints."""

from __future__ import annotations

import json

import chess
import pytest

from matebot.cli import main
from matebot.ideas.order import ORDER

CAGE = "8/1k1N3B/4K3/8/8/8/8/8 w - - 0 1"


def explained(capsys: pytest.CaptureFixture[str], fen: str, *move: str) -> list[dict[str, object]]:
    assert main(["explain", "--fen", fen, "--json", *(["--move", *move] if move else [])]) == 0
    moves: list[dict[str, object]] = json.loads(capsys.readouterr().out)["moves"]
    return moves


def test_a_move_carries_the_positions_before_and_after_and_its_ideas(capsys: pytest.CaptureFixture[str]) -> None:
    (move,) = explained(capsys, CAGE, "Bd3")
    assert set(move["before"]) == set(move["after"]) == {"king_range", "cage", "holes"}  # type: ignore[call-overload]
    assert move["before"]["cage"] is None  # type: ignore[index]
    eight = ["a7", "a8", "b7", "c6", "c7", "c8", "d8", "e8"]
    assert move["after"] == {"king_range": eight, "cage": eight, "holes": []}
    shuts = {"kind": "cage", "change": "shuts", "size_before": 45, "size_after": 8, "gate": ["b5", "a6"]}
    room = sorted(eight, key=lambda square: square[::-1])
    assert shuts | {"along": [], "same": False, "loose": [], "room": room} in move["ideas"]  # type: ignore[operator]


def test_a_check_with_a_hole_carries_the_hole(capsys: pytest.CaptureFixture[str]) -> None:
    (move,) = explained(capsys, CAGE, "Be4+")
    assert move["after"]["holes"] == ["a6"]  # type: ignore[index]
    assert move["after"]["cage"] is None  # type: ignore[index]


@pytest.mark.parametrize("fen", [CAGE, CAGE.replace(" w ", " b "), "8/8/8/3qk3/8/8/1r6/6K1 b - - 0 1"])
def test_every_move_carries_ideas_in_the_order_of_the_table(capsys: pytest.CaptureFixture[str], fen: str) -> None:
    order = [entry.kind for entry in ORDER]
    for move in explained(capsys, fen):
        kinds = [idea["kind"] for idea in move["ideas"]]  # type: ignore[attr-defined]
        assert kinds == sorted(kinds, key=order.index)
        for position in (move["before"], move["after"]):
            names = position["king_range"]  # type: ignore[index]
            assert names == sorted(names)
            assert set(names) <= set(chess.SQUARE_NAMES)


def test_without_an_attacker_there_are_no_ideas(capsys: pytest.CaptureFixture[str]) -> None:
    (move,) = explained(capsys, "1r6/8/8/3k4/8/8/6K1/R7 w - - 0 1", "Ra2")
    assert move["attacker"] is move["before"] is move["after"] is None
    assert move["ideas"] == []
