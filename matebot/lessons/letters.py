"""The letters of the men in other languages: put into the pictures, the moves and the words of a sheet of our own.

Only for sheets whose words are all made here; never for words from outside.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from matebot.lessons.sheet import Block, Columns, Entries, Gallery, Grid, Part, Section, Sheet, Shown, Ticks, Words

ENGLISH = "KQRBNP"
#: King, queen, rook, bishop, knight and pawn. Source: PGN standard, table of piece letters by language; from memory.
LANGUAGES = {
    "czech": "KDVSJP",
    "danish": "KDTLSB",
    "dutch": "KDTLPO",
    "english": ENGLISH,
    "estonian": "KLVORP",
    "finnish": "KDTLRP",
    "french": "RDTFCP",
    "german": "KDTLSB",
    "hungarian": "KVBFHG",
    "icelandic": "KDHBRP",
    "italian": "RDTACP",
    "norwegian": "KDTLSB",
    "polish": "KHWGSP",
    "portuguese": "RDTBCP",
    "romanian": "RDTNCP",
    "spanish": "RDTACP",
    "swedish": "KDTLSB",
}
#: The letter of a man before its square or in its move, and of what a pawn becomes.
_LETTER = re.compile(r"(?<!\w)[KQRBN](?=[a-h]?[1-8]?x?[a-h][1-8])|(?<=[a-h][18]=)[QRBN]")

Put = Callable[[str], str]


def lettered(sheet: Sheet, letters: str) -> Sheet:
    """Return a sheet with other letters of the men, given as `ENGLISH` is."""
    if letters == ENGLISH:
        return sheet

    def put(text: str) -> str:
        return _LETTER.sub(lambda found: letters[ENGLISH.index(found[0])], text)

    sections = tuple(
        Section(put(part.heading), tuple(_block(block, put, letters) for block in part.blocks), part.overleaf)
        for part in sheet.sections
    )
    return replace(sheet, lead=put(sheet.lead), sections=sections)


def _block(block: Block, put: Put, letters: str) -> Block:
    if isinstance(block, Gallery):
        return replace(block, shown=tuple(_shown(shown, put, letters) for shown in block.shown))
    if isinstance(block, Columns):
        return Columns(tuple(_block(inner, put, letters) for inner in block.blocks))  # type: ignore[misc]
    if isinstance(block, Part):
        return replace(block, shown=_shown(block.shown, put, letters), moves=tuple(map(put, block.moves)))
    if isinstance(block, Shown):
        return _shown(block, put, letters)
    if isinstance(block, Grid):
        return Grid(tuple(map(put, block.head)), tuple(tuple(map(put, row)) for row in block.rows))
    return _plain(block, put)


def _plain(block: Words | Ticks | Entries, put: Put) -> Words | Ticks | Entries:
    if isinstance(block, Words):
        return replace(block, text=put(block.text))
    if isinstance(block, Ticks):
        return Ticks(tuple((put(text), there) for text, there in block.items))
    return Entries(tuple(map(put, block.items)))


def _shown(shown: Shown, put: Put, letters: str) -> Shown:
    picture = shown.picture
    changed = replace(picture, caption=put(picture.caption), text=put(picture.text), letters=letters)
    return Shown(changed, tuple(_plain(block, put) for block in shown.under))
