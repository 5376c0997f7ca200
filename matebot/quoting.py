"""Words from outside, such as the name of an engine, a tag of a game or a fault with an input in it, made safe to show.

A form for each place: a line of text, Markdown, PGN. XML needs none of its own: its writer escapes markup, and what
`shown` leaves are characters every document may hold. Never changes what is kept, only what is shown.
"""

from __future__ import annotations

import re

#: Characters of a text that are shown unless said otherwise.
MOST = 200
#: PGN standard, section 7: "Currently, a string is limited to a maximum of 255 characters of data."
MOST_TAG = 255
# CommonMark 0.31.2, section 2.4: a backslash takes the meaning from any ASCII punctuation. Underscores inside words
# have none. "://" and "www." make links without markup in common extensions (common practice, no source).
_MARKUP = re.compile(r"[\\`*\[\]<&|~]|(?<![A-Za-z0-9])_|_(?![A-Za-z0-9])|^[#>+=-]|^\d+[.)]|:(?=//)|(?<=www)\.")
_BACKTICKS = re.compile("`+")


def shown(text: str, most: int = MOST) -> str:
    r"""Return a text as one line without control characters, a long one without its middle.

    What cannot be printed, the ends of lines and the marks that turn the direction of writing included, is shown as
    in a Python string: ``\n``, ``\x1b``, ``\u202e``.

    Parameters
    ----------
    most : characters of the text that are kept; how many are left out is told

    >>> shown("a\x1b[31mb\n")
    'a\\x1b[31mb\\n'
    >>> shown("k" * 1000, 8)
    'kkkkkk... (992 characters left out) ...kk'
    """
    over = len(text) - most
    if over <= 0:
        return _visible(text)
    end = most // 4
    return f"{_visible(text[: most - end])}... ({over} characters left out) ...{_visible(text[len(text) - end :])}"


def as_markdown(text: str, most: int = MOST) -> str:
    r"""Return a text for a line or a cell of Markdown, as `shown` and with its markup escaped.

    >>> as_markdown("<b>|x|</b>")
    '\\<b>\\|x\\|\\</b>'
    """
    return _MARKUP.sub(lambda found: f"{found[0][:-1]}\\{found[0][-1]}", shown(text.strip(), most))


def as_code(text: str, most: int = MOST) -> str:
    """Return a text as a piece of code in Markdown, outside tables; CommonMark 0.31.2, section 6.1.

    >>> as_code("a`b")
    '``a`b``'
    """
    text = shown(text, most)
    fence = "`" * (1 + max((len(run) for run in _BACKTICKS.findall(text)), default=0))
    space = " " if not text or text[0] in " `" or text[-1] in " `" else ""
    return f"{fence}{space}{text}{space}{fence}"


def as_pgn_tag(text: str) -> str:
    r"""Return a text for the value of a PGN tag, between its quotes; PGN standard, section 7, and at most 255 long.

    python-chess writes values as they are.

    >>> as_pgn_tag('the "big" one')
    'the \\"big\\" one'
    """
    most = MOST_TAG
    while True:
        value = shown(text, most).replace("\\", "\\\\").replace('"', '\\"')
        if len(value) <= MOST_TAG:
            return value
        most -= 1 + most // 8


def as_pgn_comment(text: str, most: int = MOST) -> str:
    """Return a text for a PGN comment in braces, which ends at the first closing brace; PGN standard, section 5.

    >>> as_pgn_comment("so {it} goes")
    'so (it) goes'
    """
    return shown(text, most).replace("{", "(").replace("}", ")")


def _visible(text: str) -> str:
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else repr(char)[1:-1] for char in text)
