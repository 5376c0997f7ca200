"""Words from outside are shown as one harmless line, whatever is in them; outside readers see what was meant."""

from __future__ import annotations

import doctest
import io
import re
import unicodedata
from xml.etree import ElementTree

import chess.pgn
from hypothesis import given
from hypothesis import strategies as st

from matebot import quoting
from matebot.quoting import MOST, as_code, as_markdown, as_pgn_comment, as_pgn_tag, shown

#: Any text, lone surrogates included, and often what would do harm.
HARMFUL = st.lists(
    st.one_of(
        st.characters(),
        st.characters(categories=("Cs", "Cc", "Cf", "Zl", "Zp", "Co", "Cn")),
        st.sampled_from('"\\{}[]()<>&|`*_#~-+:./w\x1b\r\n'),
    ),
    max_size=40,
).map("".join)
#: Unicode 15, section 4.5: general categories of what is no visible character and no plain space.
INVISIBLE = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def test_the_examples_in_the_module_are_true() -> None:
    assert doctest.testmod(quoting).failed == 0
    assert doctest.testmod(quoting).attempted >= 6


@given(HARMFUL)
def test_no_control_character_and_no_end_of_line_is_left_in_any_form(text: str) -> None:
    for form in (shown, as_markdown, as_code, as_pgn_tag, as_pgn_comment):
        made = form(text)
        assert not {unicodedata.category(char) for char in made} & INVISIBLE
        assert len(made.splitlines()) <= 1
        made.encode("utf-8")


def test_what_can_be_printed_stays_as_it_is() -> None:
    for text in ("a small engine 1.2", "Schlüsselfeld, ключ, 鍵", "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"):
        assert shown(text) == text


@given(st.text("k\x1b\n", min_size=1), st.integers(1, 50))
def test_a_long_text_loses_its_middle_and_tells_how_much(text: str, most: int) -> None:
    made = shown(text * 60, most)
    left_out = re.search(r"\.\.\. \((\d+) characters left out\) \.\.\.", made)
    assert left_out is None or int(left_out[1]) == len(text * 60) - most
    assert (left_out is None) == (len(text * 60) <= most)


def test_a_fault_with_a_huge_input_still_says_what_was_expected_and_where_it_ended() -> None:
    made = shown(f"expected a FEN, got {'8/' * 200_000 + 'end'!r}")
    assert made.startswith("expected a FEN, got '8/8/")
    assert made.endswith("8/end'")
    assert len(made) < MOST + 50


@given(HARMFUL)
def test_a_document_of_xml_may_hold_whatever_is_shown(text: str) -> None:
    element = ElementTree.Element("a", b=shown(text))
    element.text = shown(text)
    again = ElementTree.fromstring(ElementTree.tostring(element))
    assert (again.get("b"), again.text or "") == (shown(text), shown(text))


@given(HARMFUL)
def test_a_tag_ends_where_it_should_and_is_short_enough_to_be_read(text: str) -> None:
    """PGN standard, section 7: a string ends at the first quote without a backslash before it."""
    for long in (text, text * 30):
        value = as_pgn_tag(long)
        assert len(value) <= 255
        assert re.fullmatch(r'(?:[^"\\]|\\["\\])*', value)


@given(HARMFUL)
def test_a_game_with_any_words_in_tags_and_comments_is_read_back_whole(text: str) -> None:
    game = chess.pgn.Game()
    game.headers["White"] = as_pgn_tag(text)
    game.comment = f"a {as_pgn_comment(text)} z"
    game.add_variation(chess.Move.from_uci("e2e4"))
    again = chess.pgn.read_game(io.StringIO(f"{game}\n\n"))
    assert again is not None
    assert not again.errors
    assert again.headers["White"] == as_pgn_tag(text)
    assert [move.uci() for move in again.mainline_moves()] == ["e2e4"]
    assert "".join(again.comment.split()) == "".join(f"a{as_pgn_comment(text)}z".split())


def test_markup_has_no_meaning_left() -> None:
    # CommonMark 0.31.2: a backslash before ASCII punctuation makes it plain.
    assert as_markdown("<img src=x>") == "\\<img src=x>"
    assert as_markdown("[a](b) *c* `d` _e_ a|b & ~~f~~") == (
        "\\[a\\](b) \\*c\\* \\`d\\` \\_e\\_ a\\|b \\& \\~\\~f\\~\\~"
    )
    assert as_markdown("# head") == "\\# head"
    assert as_markdown("> said") == "\\> said"
    assert as_markdown(" 12. one") == "12\\. one"
    assert as_markdown("https://there www.there") == "https\\://there www\\.there"
    assert as_markdown("excess_moves_mean>=0.95") == "excess_moves_mean>=0.95"


@given(HARMFUL)
def test_a_piece_of_code_ends_only_at_its_own_end(text: str) -> None:
    """CommonMark 0.31.2, section 6.1: it ends at the first run of backticks as long as the one it began with."""
    made = as_code(text)
    fence = re.match("`+", made)
    assert fence is not None
    runs = re.findall("`+", made)
    assert [len(run) for run in runs].count(len(fence[0])) == 2
    assert len(runs[-1]) == len(fence[0])
