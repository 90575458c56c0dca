"""Lengths, areas and shares as people type them."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.job.quantities import Area, Length, QuantityError, Share
from readiness.job.written import MisreadError


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5.5 in", "11/2"),
        ("5.5in", "11/2"),
        ('3-1/2"', "7/2"),
        ('3 1/2"', "7/2"),
        ("3 1/2 inches", "7/2"),
        ("5½”", "11/2"),
        ("½ in", "1/2"),
        ("1/2 in", "1/2"),
        ("5⅝″", "45/8"),
        ("2x6", "11/2"),
        ("2 X 4", "7/2"),
        ("2×10", "37/4"),
        ("8'-6 1/2\"", "205/2"),
        ("8’ 6½”", "205/2"),
        ("8 ft 6 in", "102"),
        ("8'", "96"),
        ("8 feet", "96"),
        ("3''", "3"),
        ("254 mm", "10"),
        ("25.4 cm", "10"),
        ("0.254 m", "10"),
        ("254\u00a0mm", "10"),
        ("0 in", "0"),
    ],
)
def test_a_length_is_read_exactly(text: str, inches: str) -> None:
    assert Length.parse(text).inches == Fraction(inches)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "5.5",
        "5 1/2",
        "in",
        "5.5 inn",
        "5.5 in in",
        "8'6",
        "-3 in",
        "3/0 in",
        "5,5 in",
        "1,200 mm",
        "5.5 F",
        "٣ in",
        "５ in",
        "5.5 in\u202e",
        "5.5\nin 3 mm",
        "1e3 in",
        "nan in",
        "2x7",
        "2x64",
        "0x6",
        "7x6",
        "99999 in",
        "9" * 5000 + " in",
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        Length.parse(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5.5", "a number needs its unit"),
        ("5 1/2", "a number needs its unit"),
        ("5,5 in", "a comma has two readings"),
        ("8'6", "say the unit of the second number too"),
        ("-3 in", "it can't be negative"),
        ("", 'write e.g. "5.5 in"'),
        ("five", 'write e.g. "5.5 in"'),
        ("3/0 in", "nothing is divided by 0"),
        ("2x7", "boards are 2x2, 2x3, 2x4, 2x6"),
        ("99999 in", "is the unit right?"),
    ],
)
def test_a_refused_length_says_how_to_write_it(text: str, words: str) -> None:
    with pytest.raises(QuantityError) as caught:
        Length.parse(text)
    assert words in caught.value.hint
    assert caught.value.read == text
    assert caught.value.wanted


def test_limits_are_within() -> None:
    assert Length.parse("12000 in").inches == 12_000
    assert Length.parse(" " * 76 + "5 in").inches == 5
    assert Area.parse("10000000 sf").square_feet == 10_000_000


def test_a_very_long_text_is_shown_cut() -> None:
    with pytest.raises(QuantityError) as caught:
        Length.parse("9" * 5000)
    assert len(caught.value.read) < 100


def test_a_length_shows_itself_as_written_and_converts() -> None:
    length = Length.parse(' 3-1/2" ')
    assert str(length) == '3-1/2"'
    assert length.written == '3-1/2"'
    assert length.in_units("metric") == "89 mm"
    assert length.in_units("US") == "3.5 in"
    assert Length.parse("1/3 in").in_units("US") == "0.33 in"
    assert length.millimetres == Fraction("88.9")


def test_a_board_shows_its_real_depth() -> None:
    """A 2x6 is 5.5 in deep; the nominal name alone would promise foam that does not fit."""
    board = Length.parse("2x6")
    assert board.is_board
    assert str(board) == "2x6 (5.5 in)"
    assert board.written == "2x6"
    assert not Length.parse("5.5 in").is_board


def test_lengths_compare_by_what_they_are_worth() -> None:
    assert Length.parse("2x6") == Length.parse("5.5 in") == Length.parse("139.7 mm")
    assert hash(Length.parse("2x6")) == hash(Length.parse("5.5 in"))
    assert Length.parse("140 mm") > Length.parse("5.5 in")


@given(
    st.integers(0, 900), st.integers(0, 11), st.sampled_from([2, 4, 8, 16, 32]), st.integers(1, 31)
)
def test_every_way_to_write_feet_and_inches_is_worth_the_same(
    feet: int, inches: int, parts: int, share: int
) -> None:
    share = share % parts or 1
    exact = feet * 12 + inches + Fraction(share, parts)
    for text in (
        f"{feet}'-{inches} {share}/{parts}\"",
        f"{feet} ft {inches}-{share}/{parts} in",
        f"{feet}′ {inches} {share}⁄{parts}″",
        f"{feet * 12 + inches} {share}/{parts} in",
    ):
        assert Length.parse(text).inches == exact


@given(st.decimals(0, 9999, places=3), st.sampled_from(["in", "mm", "cm", "m", "ft"]))
def test_what_a_length_shows_reads_back_as_the_same(value: object, unit: str) -> None:
    try:
        length = Length.parse(f"{value} {unit}")
    except QuantityError:
        assert unit in {"m", "ft"}
        return
    assert Length.parse(str(length)) == length


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused_in_our_words(text: str) -> None:
    """No other error than ours leaves a parser, whatever is typed."""
    for kind in (Length, Area, Share):
        with suppress(QuantityError):
            assert kind.parse(text).written == text.strip()


@pytest.mark.parametrize(
    ("text", "square_feet", "basis"),
    [
        ("120 sq ft net", "120", "net"),
        ("64 sq. ft. gross", "64", "gross"),
        ("240 sf", "240", ""),
        ("240 SQFT Net", "240", "net"),
        ("240 ft² net", "240", "net"),
        ("240 square feet", "240", ""),
        ("9.290304 m2 net", "100", "net"),
        ("9.290304 m²", "100", ""),
        ("9.290304 sq m gross", "100", "gross"),
    ],
)
def test_an_area_keeps_whether_openings_are_in_it(text: str, square_feet: str, basis: str) -> None:
    area = Area.parse(text)
    assert (area.square_feet, area.basis) == (Fraction(square_feet), basis)
    assert str(area) == text


@pytest.mark.parametrize("text", ["120", "120 ft", "1,200 sq ft", "12 m", "net", "99999999 m2"])
def test_what_is_no_area_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        Area.parse(text)


def test_an_area_converts() -> None:
    assert Area.parse("120 sq ft net").in_units("metric") == "11.1 m2 net"
    assert Area.parse("12 m2").in_units("US") == "129 sq ft"
    assert Area.parse("12 m2").square_metres == 12
    assert str(Area(Fraction(100))) == "100 sq ft"


@pytest.mark.parametrize(
    ("text", "fraction"), [("60 %", "3/5"), ("60%", "3/5"), ("18 percent", "9/50"), ("0 %", "0")]
)
def test_a_share_is_a_fraction_of_all(text: str, fraction: str) -> None:
    share = Share.parse(text)
    assert share.fraction == Fraction(fraction)
    assert share.percent == 100 * Fraction(fraction)
    assert str(share) == text


@pytest.mark.parametrize("text", ["0.6", "60", "101 %", "-5 %", "%"])
def test_what_is_no_share_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        Share.parse(text)


def test_a_quantity_is_taken_as_it_is_and_a_number_is_refused() -> None:
    length = Length.parse("5.5 in")
    assert Length.from_written(length) is length
    with pytest.raises(MisreadError, match="write it as text"):
        Length.from_written(5.5)
