"""A sheet as one HTML file that needs no script and no other file, for the screen, dark or light, and for A4.

The document is built as a tree, never out of strings, so no word of a sheet can bring in markup.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch
from importlib.resources import files
from xml.etree import ElementTree as ET

from matebot.lessons.picture import SVG, clean, definitions, drawn
from matebot.lessons.sheet import Block, Columns, Entries, Gallery, Grid, Part, Section, Sheet, Shown, Ticks, Words

_DOCTYPE = "<!DOCTYPE html>\n"


def page(sheet: Sheet) -> str:
    """Return a sheet as an HTML document."""
    root = ET.Element("html", {"lang": "en"})
    head = ET.SubElement(root, "head")
    ET.SubElement(head, "meta", {"charset": "utf-8"})
    ET.SubElement(head, "meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"})
    ET.SubElement(head, "meta", {"name": "color-scheme", "content": "light dark"})
    _text(head, "title", sheet.title)
    _text(head, "style", files("matebot.lessons").joinpath("style.css").read_text(encoding="utf-8"))
    body = ET.SubElement(root, "body")
    body.append(definitions())
    header = ET.SubElement(body, "header")
    _text(header, "h1", sheet.title)
    if sheet.lead:
        _text(header, "p", sheet.lead, "lead")
    main = ET.SubElement(body, "main")
    for section in sheet.sections:
        main.append(_section(section))
    if sheet.foot:
        _text(ET.SubElement(body, "footer"), "p", sheet.foot)
    return _DOCTYPE + _serialised(root)


def _serialised(root: ET.Element) -> str:
    """Return a tree as HTML; SVG elements lose their prefix, as HTML wants it."""
    for element in root.iter():
        if isinstance(element.tag, str):
            element.tag = element.tag.removeprefix(f"{{{SVG}}}")
    return ET.tostring(root, encoding="unicode", method="html") + "\n"


def _section(section: Section) -> ET.Element:
    element = ET.Element("section", {"class": "overleaf"} if section.overleaf else {})
    if section.heading:
        _text(element, "h2", section.heading)
    for block in section.blocks:
        element.append(_block(block))
    return element


@singledispatch
def _block(block: Block) -> ET.Element:
    raise TypeError(f"expected a block of a sheet, got {block!r}")


@_block.register
def _(block: Words) -> ET.Element:
    names = [name for name in ("strong", "inner", "told") if getattr(block, name)]
    element = ET.Element("p", {"class": " ".join(names)} if names else {})
    element.text = clean(block.text)
    return element


@_block.register
def _(block: Ticks) -> ET.Element:
    element = ET.Element("ul", {"class": "ticks"})
    for text, fulfilled in block.items:
        _text(element, "li", f"{'☑' if fulfilled else '☐'} {text}", "done" if fulfilled else "open")
    return element


@_block.register
def _(block: Entries) -> ET.Element:
    element = ET.Element("ul", {"class": "plain"})
    for text in block.items:
        _text(element, "li", text)
    return element


@_block.register
def _(block: Grid) -> ET.Element:
    wrapper = ET.Element("div", {"class": "wide"})
    element = ET.SubElement(wrapper, "table")
    row = ET.SubElement(ET.SubElement(element, "thead"), "tr")
    for text in block.head:
        _text(row, "th", text).set("scope", "col")
    body = ET.SubElement(element, "tbody")
    for cells in block.rows:
        row = ET.SubElement(body, "tr")
        for text in cells:
            _text(row, "td", text)
    return wrapper


@_block.register
def _(block: Shown) -> ET.Element:
    element = ET.Element("figure")
    element.append(drawn(block.picture))
    caption = ET.SubElement(element, "figcaption")
    _text(caption, "p", block.picture.caption, "caption")
    _all(caption, block.under)
    return element


@_block.register
def _(block: Gallery) -> ET.Element:
    element = ET.Element("div", {"class": "gallery small" if block.small else "gallery"})
    _all(element, block.shown)
    return element


@_block.register
def _(block: Columns) -> ET.Element:
    element = ET.Element("div", {"class": "columns"})
    _all(element, block.blocks)
    return element


@_block.register
def _(block: Part) -> ET.Element:
    element = ET.Element("div", {"class": "part wordy" if block.wordy else "part"})
    element.append(_block(block.shown))
    moves = ET.SubElement(element, "ul", {"class": "moves"})
    for text in block.moves:
        _text(moves, "li", text)
    return element


def _all(element: ET.Element, blocks: Iterable[Block]) -> None:
    for block in blocks:
        element.append(_block(block))


def _text(parent: ET.Element, tag: str, text: str, name: str = "") -> ET.Element:
    element = ET.SubElement(parent, tag, {"class": name} if name else {})
    element.text = text if tag == "style" else clean(text)
    return element
