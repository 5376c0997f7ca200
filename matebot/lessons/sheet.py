"""What a lesson sheet is made of: sections of words, lists, tables, pictures and moves, as data; no HTML here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from matebot.lessons.picture import Picture
from matebot.records import dataclass


@dataclass(frozen=True)
class Words:
    """A paragraph.

    Attributes
    ----------
    strong : stands out
    inner : belongs to a variation and is set in
    told : is no word of the author's but told beside his
    """

    text: str
    strong: bool = False
    inner: bool = False
    told: bool = False


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
class Part:
    """A piece of a game: the position it begins with and the moves beside it, an item each; `wordy` ones say more."""

    shown: Shown
    moves: tuple[str, ...]
    wordy: bool = False


@dataclass(frozen=True)
class Columns:
    """Blocks that flow in two columns, such as a model game."""

    blocks: tuple[Words | Shown | Grid | Entries | Part, ...]


Block = Words | Ticks | Entries | Grid | Gallery | Columns | Shown | Part


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
    checked : how many claims of the author's were checked and do not hold
    """

    title: str
    lead: str
    sections: tuple[Section, ...]
    foot: str = ""
    checked: str = ""


def pictures_of(sections: Iterable[Section]) -> Iterator[Picture]:
    """Yield the pictures of sections in their order."""
    for section in sections:
        for block in section.blocks:
            yield from _pictures(block)


def marks_of(sections: Iterable[Section]) -> set[str]:
    """Return the names of the marks that pictures of sections bear."""
    return {name for picture in pictures_of(sections) for name in picture.marks}


def _pictures(block: Block) -> Iterator[Picture]:
    if isinstance(block, Shown):
        yield block.picture
    elif isinstance(block, Part):
        yield block.shown.picture
    elif isinstance(block, Gallery | Columns):
        for inner in block.shown if isinstance(block, Gallery) else block.blocks:
            yield from _pictures(inner)
