"""What a lesson sheet is made of: sections of words, lists, tables, pictures and moves, as data; no HTML here."""

from __future__ import annotations

from dataclasses import dataclass

from matebot.lessons.picture import Picture


@dataclass(frozen=True)
class Words:
    """A paragraph; `strong` makes it stand out."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Ticks:
    """Conditions that can be ticked off, each with whether it is fulfilled."""

    items: tuple[tuple[str, bool], ...]


@dataclass(frozen=True)
class Entries:
    """A list of short texts."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A table with a heading line; cells are texts."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Shown:
    """A picture with what belongs under it."""

    picture: Picture
    under: tuple[Words | Ticks | Entries, ...] = ()


@dataclass(frozen=True)
class Gallery:
    """Pictures side by side; `small` for exercises and slips."""

    shown: tuple[Shown, ...]
    small: bool = False


@dataclass(frozen=True)
class Columns:
    """Blocks that flow in two columns, such as a model game."""

    blocks: tuple[Words | Shown | Grid | Entries, ...]


Block = Words | Ticks | Entries | Grid | Gallery | Columns | Shown


@dataclass(frozen=True)
class Section:
    """A heading and what stands below it; `overleaf` begins the other side of the paper."""

    heading: str
    blocks: tuple[Block, ...]
    overleaf: bool = False


@dataclass(frozen=True)
class Sheet:
    """A page.

    Attributes
    ----------
    title : its name
    lead : the job in a line
    foot : what stands at the very end
    """

    title: str
    lead: str
    sections: tuple[Section, ...]
    foot: str = ""
