"""Endings are found by the names people use for them, and a slip of the pen is told from a name nobody knows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.solver.material import COVERED, FIVE_MEN, Material
from matebot.solver.names import UnknownEnding, ending_named


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("KBNK", "KBNK"),
        ("knbk", "KBNK"),
        ("KBNvK", "KBNK"),
        ("KNB v K", "KBNK"),
        ("kbn-k", "KBNK"),
        ("kqkr", "KQKR"),
        ("KQ vs. KR", "KQKR"),
        ("bishop and knight", "KBNK"),
        ("Knight and Bishop", "KBNK"),
        ("bishop-and-knight", "KBNK"),
        ("king, bishop and knight against king", "KBNK"),
        ("queen against rook", "KQKR"),
        ("queen v rook", "KQKR"),
        ("two bishops", "KBBK"),
        ("bishops", "KBBK"),
        ("2 knights", "KNNK"),
        ("rook", "KRK"),
        ("rook versus pawn", "KRKP"),
        ("king and pawn against king", "KPK"),
        (" a queen against the lone king ", "KQK"),
    ],
)
def test_an_ending_is_known_by_the_names_people_use(text: str, name: str) -> None:
    """Common practice, no source."""
    named = ending_named(text)
    assert named.material.name == name
    assert not named.turned


@pytest.mark.parametrize("material", COVERED, ids=lambda material: material.name)
def test_every_signature_read_backwards_names_the_same_ending_from_the_other_side(material: Material) -> None:
    backwards = f"K{material.black[::-1]}K{material.white[::-1]}"
    assert ending_named(material.name).material == ending_named(backwards).material == material
    assert ending_named(backwards).turned == (material.white != material.black)


@pytest.mark.parametrize(
    ("text", "suggested"),
    [("KBNKK", "KBNK"), ("bishop and knigth", "KBNK"), ("quen against rook", "KQKR"), ("KRRRRK", "KRRK"), ("kxk", "K")],
)
def test_a_near_miss_suggests_one_ending(text: str, suggested: str) -> None:
    with pytest.raises(UnknownEnding, match="did you mean") as fault:
        ending_named(text)
    assert suggested in str(fault.value)
    assert str(fault.value).count("K") <= 12
    assert str(fault.value).endswith(f"got {text!r}")


@pytest.mark.parametrize("text", ["", "KK", "king", "KBNKBN", "three bishops and a rook", "chess", "a" * 10_000, "all"])
def test_what_names_no_covered_ending_is_refused(text: str) -> None:
    with pytest.raises(UnknownEnding, match=r"^expected an ending such as KBNK or 'bishop and knight'"):
        ending_named(text)


@given(st.text(alphabet="KQRBNPkqv and+bishop-rook", max_size=30))
def test_any_words_give_an_ending_or_one_refusal(text: str) -> None:
    try:
        assert ending_named(text).material in (*COVERED, *FIVE_MEN)
    except UnknownEnding:
        return
