"""A fact is one file and two lines: nothing else need be touched for it to be made and printed."""

from __future__ import annotations

import sys
from pathlib import Path
from types import ModuleType

import chess
import pytest

from matebot import facts
from matebot.facts import move_facts
from matebot.facts.making import FactMaker
from matebot.facts.played import Played
from matebot.method.library import Library
from matebot.play.judged import Judged

FACT = """
from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class KingsFile:
    king_files: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> KingsFile:
        return cls(tuple("abcdefgh"[square % 8] for square in map(played.after.king, (True, False))))
"""
#: A line of `move_facts` -> the line that is put behind it.
LINES = {
    "from matebot.facts.kings_room import KingsRoom\n": "from matebot.facts.kings_file_of_a_test import KingsFile\n",
    "    room: KingsRoom\n": "    files: KingsFile\n",
}


def test_a_fact_is_one_file_and_two_lines(library: Library, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "kings_file_of_a_test.py").write_text(FACT, encoding="utf-8")
    monkeypatch.setattr(facts, "__path__", [*facts.__path__, str(tmp_path)])
    source = Path(move_facts.__file__).read_text(encoding="utf-8")
    for line, new in LINES.items():
        assert source.count(line) == 1
        source = source.replace(line, line + new)
    module = ModuleType("matebot.facts.move_facts_of_a_test")
    monkeypatch.setitem(sys.modules, module.__name__, module)
    exec(compile(source, module.__name__, "exec"), vars(module))
    board = chess.Board("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1")
    played = Played(FactMaker(Judged.of(library, board)), chess.Move.from_uci("a1b2"))
    shipped = move_facts.MoveFacts.of(played).as_data()
    assert module.MoveFacts.of(played).as_data() == shipped | {"king_files": ["b", "e"]}
    sys.modules.pop("matebot.facts.kings_file_of_a_test")
