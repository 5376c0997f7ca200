"""Reads a sheet back from its HTML with a strict parser that shares no code with the program."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from xml.etree import ElementTree as ET

import chess
import html5lib

_MOVE = re.compile(r"translate\((\d+),\s*(\d+)\)")
_SQUARE, _MARGIN = 45, 15


@dataclass(frozen=True)
class Seen:
    """A picture as it is drawn: its FEN, its words, the men on their squares, marks by class, moves by class."""

    fen: str
    text: str
    men: dict[int, str]
    marks: dict[str, set[int]]
    moves: dict[str, list[str]]


@lru_cache(maxsize=32)
def document(text: str) -> ET.Element:
    """Return a document, its elements without namespaces; raises on anything the HTML standard calls an error.

    Nobody may change it: whoever reads the same text is given the same document.
    """
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    root: ET.Element = parser.parse(text)
    for element in root.iter():
        if isinstance(element.tag, str):
            element.tag = element.tag.split("}")[-1]
    return root


@lru_cache(maxsize=32)
def pictures(root: ET.Element) -> tuple[Seen, ...]:
    """Return the pictures of a document in its order."""
    return tuple(_picture(board) for board in root.iter("svg") if board.get("class") == "board")


def _picture(board: ET.Element) -> Seen:
    men = {}
    for use in board.iter("use"):
        if use.get("href") == "#ground":
            continue  # the empty board
        found = _MOVE.fullmatch(use.get("transform", ""))
        assert found is not None
        file, row = ((int(number) - _MARGIN) // _SQUARE for number in found.groups())
        men[chess.square(file, 7 - row)] = (use.get("href") or "").removeprefix("#")
    marks, moves = {}, {}
    for group in board.iter("g"):
        name = group.get("class", "")
        if group.get("data-squares") is not None:
            marks[name] = {chess.parse_square(square) for square in group.get("data-squares", "").split()}
        if group.get("data-moves") is not None:
            moves[name] = group.get("data-moves", "").split()
    title = board.find("title")
    assert title is not None
    return Seen(board.get("data-fen", ""), title.text or "", men, marks, moves)


def placed(fen: str) -> dict[int, str]:
    """Return the men of a FEN in the drawing's own names: ``white-king``."""
    return {
        square: f"{chess.COLOR_NAMES[piece.color]}-{chess.piece_name(piece.piece_type)}"
        for square, piece in chess.Board(fen).piece_map().items()
    }
