"""A board as a picture: python-chess's drawing in colours of our own, with what a coach would mark on it.

Every mark is a group with a class and the squares it stands on in ``data-squares``, so a drawing can be read back.
Marks differ by form and lightness, not by hue alone: the picture is readable in grey. Never decides what is marked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from xml.etree import ElementTree as ET

import chess
import chess.svg

from matebot.records import dataclass

SVG = "http://www.w3.org/2000/svg"
_USE = f"{{{SVG}}}use"
_LINK = "{http://www.w3.org/1999/xlink}href"
_SQUARE, _MARGIN = 45, 15
_COLOURS = {
    "square light": "#f4f1e8",
    "square dark": "#cfc6b0",
    "margin": "#ffffff",
    "coord": "#4a463d",
    "inner border": "#8b8371",
    "outer border": "#ffffff",
}
_RANGE, _INK, _ARROW = "#3f6f8f", "#17242c", "#a4481f"

ET.register_namespace("", SVG)


@dataclass(frozen=True)
class Picture:
    """A board and what is marked on it.

    Attributes
    ----------
    board : the position
    caption : the words under it
    text : what it shows, in words, for those who do not see it
    reach : squares of the defending king's range, shaded
    cage : whether the range is shut, and drawn as a cage
    holes : squares, ringed
    guards : squares next to the range with the men that guard them, marked by the men's letters
    arrows : moves and routes, from square to square
    replies : answers to them, dashed
    stars : squares to know, such as key squares, marked in the middle
    letters : the letters of king, queen, rook, bishop, knight and pawn
    """

    board: chess.Board
    caption: str
    text: str
    reach: Iterable[chess.Square] = ()
    cage: bool = False
    holes: Iterable[chess.Square] = ()
    guards: Mapping[chess.Square, tuple[chess.Square, ...]] = field(default_factory=dict)
    arrows: tuple[tuple[chess.Square, chess.Square], ...] = ()
    replies: tuple[tuple[chess.Square, chess.Square], ...] = ()
    stars: Iterable[chess.Square] = ()
    letters: str = "KQRBNP"

    @property
    def marks(self) -> set[str]:
        """The names of the marks it bears."""
        names = ("holes", "guards", "stars", "arrows", "replies")
        found = {name for name in names if getattr(self, name)}
        return found | ({"reach"} if self.reach else set()) | ({"cage"} if self.reach and self.cage else set())


def drawn(picture: Picture) -> ET.Element:
    """Return a picture as an SVG element whose men and marks refer to `definitions`."""
    text = chess.svg.board(picture.board, colors=_COLOURS, coordinates=True)
    element = ET.fromstring(text)
    for child in list(element):
        if child.tag != _USE:
            element.remove(child)  # the empty board is shared by all pictures
    for use in element.iter(f"{{{SVG}}}use"):
        use.attrib.pop(_LINK, None)
    for name in ("width", "height"):
        element.attrib.pop(name, None)
    element.set("role", "img")
    element.set("class", "board")
    element.set("data-fen", picture.board.fen())
    title = ET.Element(f"{{{SVG}}}title")
    title.text = clean(picture.text)
    below = [title, ET.Element(_USE, {"href": "#ground"}), *_under_the_men(picture)]
    for place, child in enumerate(below):
        element.insert(place, child)
    element.extend(_over_the_men(picture))
    return element


def definitions() -> ET.Element:
    """Return what all pictures of a page share: the men and the patterns."""
    element = ET.Element(f"{{{SVG}}}svg", {"class": "definitions", "width": "0", "height": "0", "aria-hidden": "true"})
    shared = ET.SubElement(element, f"{{{SVG}}}defs")
    for piece in chess.svg.PIECES.values():
        shared.append(ET.fromstring(piece.replace("<g ", f'<g xmlns="{SVG}" ', 1)))
    shared.append(_ground())
    hatch = ET.SubElement(
        shared,
        f"{{{SVG}}}pattern",
        {
            "id": "reach",
            "width": "9",
            "height": "9",
            "patternUnits": "userSpaceOnUse",
            "patternTransform": "rotate(45)",
        },
    )
    ET.SubElement(hatch, f"{{{SVG}}}rect", {"width": "9", "height": "9", "fill": _RANGE, "fill-opacity": "0.22"})
    ET.SubElement(hatch, f"{{{SVG}}}rect", {"width": "3", "height": "9", "fill": _RANGE, "fill-opacity": "0.45"})
    tip = ET.SubElement(
        shared,
        f"{{{SVG}}}marker",
        {
            "id": "tip",
            "viewBox": "0 0 10 10",
            "refX": "7",
            "refY": "5",
            "markerWidth": "4",
            "markerHeight": "4",
            "orient": "auto-start-reverse",
        },
    )
    ET.SubElement(tip, f"{{{SVG}}}path", {"d": "M0 0L10 5L0 10z", "fill": _ARROW})
    return element


def _ground() -> ET.Element:
    """Return the empty board with its coordinates."""
    ground = ET.Element(f"{{{SVG}}}g", {"id": "ground"})
    empty = ET.fromstring(chess.svg.board(None, colors=_COLOURS, coordinates=True))
    ground.extend(child for child in empty if child.tag not in (f"{{{SVG}}}defs", f"{{{SVG}}}desc"))
    return ground


def clean(text: str) -> str:
    """Return a text without the control characters and lone surrogates that HTML does not allow."""
    return "".join(c if c in "\n\t" or c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


def _under_the_men(picture: Picture) -> list[ET.Element]:
    reach = sorted(picture.reach)
    if not reach:
        return []
    group = _group("cage" if picture.cage else "reach", reach)
    for square in reach:
        x, y = _corner(square)
        ET.SubElement(group, f"{{{SVG}}}rect", {**_at(x, y, _SQUARE), "fill": "url(#reach)"})
    if picture.cage:
        group.append(_outline(reach))
    return [group]


def _over_the_men(picture: Picture) -> list[ET.Element]:
    found = []
    holes = sorted(picture.holes)
    if holes:
        group = _group("holes", holes)
        for square in holes:
            x, y = _corner(square)
            ring = {"cx": str(x + 22.5), "cy": str(y + 22.5), "r": "17", "fill": "none", "stroke": _ARROW}
            ET.SubElement(group, f"{{{SVG}}}circle", {**ring, "stroke-width": "4", "stroke-dasharray": "7 4"})
        found.append(group)
    if picture.guards:
        found.append(_guards(picture))
    stars = sorted(picture.stars)
    if stars:
        group = _group("stars", stars)
        for square in stars:
            x, y = _corner(square)
            diamond = f"M{x + 22.5} {y + 13}l9.5 9.5l-9.5 9.5l-9.5 -9.5z"
            look = {"fill": "none", "stroke": _RANGE, "stroke-width": "3"}
            ET.SubElement(group, f"{{{SVG}}}path", {"d": diamond, **look})
        found.append(group)
    for name, moves in (("arrows", picture.arrows), ("replies", picture.replies)):
        if moves:
            group = ET.Element(f"{{{SVG}}}g", {"class": name, "data-moves": _moves(moves)})
            for tail, head in moves:
                group.append(_arrow(tail, head, dashed=name == "replies"))
            found.append(group)
    return found


def _guards(picture: Picture) -> ET.Element:
    group = _group("guards", sorted(picture.guards))
    for square, men in sorted(picture.guards.items()):
        letters = "".join(sorted({_letter(picture, man) for man in men}))
        x, y = _corner(square)
        mark = ET.SubElement(
            group,
            f"{{{SVG}}}text",
            {"x": str(x + 3), "y": str(y + 14), "font-size": "16", "font-weight": "bold", "fill": _INK},
        )
        mark.set("data-square", chess.square_name(square))
        mark.text = letters
    return group


def _letter(picture: Picture, man: chess.Square) -> str:
    kind = picture.board.piece_type_at(man)
    assert kind is not None
    return picture.letters["KQRBNP".index(chess.piece_symbol(kind).upper())]


def _arrow(tail: chess.Square, head: chess.Square, dashed: bool) -> ET.Element:
    (x1, y1), (x2, y2) = ((x + 22.5, y + 22.5) for x, y in (_corner(tail), _corner(head)))
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5 or 1.0
    back = 9 / length
    ends = {"x1": x1 + (x2 - x1) * 12 / length, "y1": y1 + (y2 - y1) * 12 / length}
    ends |= {"x2": x2 - (x2 - x1) * back, "y2": y2 - (y2 - y1) * back}
    line = {name: f"{value:.1f}" for name, value in ends.items()}
    line |= {"stroke-dasharray": "8 5"} if dashed else {}
    return ET.Element(
        f"{{{SVG}}}line",
        {**line, "stroke": _ARROW, "stroke-width": "5", "stroke-opacity": "0.85", "marker-end": "url(#tip)"},
    )


def _outline(squares: list[chess.Square]) -> ET.Element:
    """Return the border of a set of squares as a thick line."""
    inside, path = set(squares), []
    for square in squares:
        x, y = _corner(square)
        file, rank = chess.square_file(square), chess.square_rank(square)
        for beside, line in (
            ((file, rank + 1), f"M{x} {y}h{_SQUARE}"),
            ((file, rank - 1), f"M{x} {y + _SQUARE}h{_SQUARE}"),
            ((file - 1, rank), f"M{x} {y}v{_SQUARE}"),
            ((file + 1, rank), f"M{x + _SQUARE} {y}v{_SQUARE}"),
        ):
            on_board = 0 <= beside[0] < 8 and 0 <= beside[1] < 8
            if not on_board or chess.square(*beside) not in inside:
                path.append(line)
    return ET.Element(
        f"{{{SVG}}}path",
        {"d": "".join(path), "stroke": _RANGE, "stroke-width": "5", "stroke-linecap": "square", "fill": "none"},
    )


def _group(name: str, squares: Iterable[chess.Square]) -> ET.Element:
    names = " ".join(chess.square_name(square) for square in squares)
    return ET.Element(f"{{{SVG}}}g", {"class": name, "data-squares": names})


def _moves(arrows: Iterable[tuple[chess.Square, chess.Square]]) -> str:
    return " ".join(chess.square_name(tail) + chess.square_name(head) for tail, head in arrows)


def _corner(square: chess.Square) -> tuple[int, int]:
    """Return the upper left corner of a square in the drawing."""
    return _MARGIN + _SQUARE * chess.square_file(square), _MARGIN + _SQUARE * (7 - chess.square_rank(square))


def _at(x: float, y: float, size: float) -> dict[str, str]:
    return {"x": str(x), "y": str(y), "width": str(size), "height": str(size)}
